//! The server: takes connections of this machine, bounds what they may ask, and hands each request to its page's handler.

use std::fmt;
use std::future::Future;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::extract::{RawPathParams, Request};
use axum::routing::{MethodRouter, get, post};
use hyper::server::conn::http1;
use hyper::{Response, StatusCode, header};
use hyper_util::rt::{TokioIo, TokioTimer};
use plant::position::Position;
use tokio::io::{AsyncRead, AsyncWrite};
use tokio::net::TcpListener;
use tokio::sync::Semaphore;
use tokio::time::timeout;
use tower_service::Service;

use crate::answers::{Answers, Now};
use crate::ask::{Ask, fields, parts};
use crate::face::Face;
use crate::guard;
use crate::made::Made;
use crate::view::{Trouble, View};
use crate::world::World;
use crate::{assets, pages};

/// Most bytes of a form.
pub const LONGEST_BODY: usize = 4 << 20;
/// Most bytes of a form with files: a photograph of a telephone, or a long list.
pub const LONGEST_UPLOAD: usize = 16 << 20;
/// Forms with files that are taken in at a time.
const UPLOADS: usize = 2;
/// Most connections at a time; a browser opens six.
const CONNECTIONS: usize = 64;
/// Most header fields of a request.
const HEADERS: usize = 64;
/// Most bytes that are held of a request's head.
const HEAD_BYTES: usize = 32 << 10;
/// How long a request's head may take, and how long a connection may wait for the next.
const HEAD_TIME: Duration = Duration::from_secs(20);
/// How long a request's body may take.
const BODY_TIME: Duration = Duration::from_secs(20);
/// How long an answer may take.
const ANSWER_TIME: Duration = Duration::from_secs(120);

/// A handler of a page.
pub(crate) type Handler = fn(&Desk, &Ask) -> Result<View, Trouble>;

/// A site on the desk.
pub struct Desk {
    pub(crate) world: Box<dyn World>,
    pub(crate) answers: Answers,
    now: Mutex<Option<Arc<Now>>>,
    working_ahead: AtomicBool,
    /// Room for forms with files.
    uploads: Semaphore,
    /// Audits of the power path.
    pub(crate) power: Made<pages::power::Power>,
    /// Charts of a candidate, which several pages show.
    pub(crate) charts: Made<Vec<job::charts::Drawn>>,
    /// Boxes with their layout.
    pub(crate) boxes: Made<Option<dossier::boxes::BoxReport>>,
    /// Plans of the change-over.
    pub(crate) plans: Made<pages::cutover::Plan>,
    /// Papers before they are set.
    pub(crate) binders: Made<Option<dossier::paper::Binder>>,
    /// Files of papers that were made not long ago.
    pub(crate) papers: Mutex<pages::papers::Finished>,
    /// One change at a time: what is read, edited and written must stay together.
    pub(crate) writing: Mutex<()>,
}

impl fmt::Debug for Desk {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Desk").field("now", &self.now).finish_non_exhaustive()
    }
}

impl Desk {
    /// Of a site in a world.
    #[must_use]
    pub fn new(world: Box<dyn World>) -> Arc<Self> {
        Arc::new(Self {
            world,
            answers: Answers::default(),
            now: Mutex::default(),
            working_ahead: AtomicBool::new(false),
            power: Made::default(),
            charts: Made::default(),
            boxes: Made::default(),
            plans: Made::default(),
            binders: Made::default(),
            papers: Mutex::default(),
            uploads: Semaphore::new(UPLOADS),
            writing: Mutex::default(),
        })
    }

    /// The site as it stands.
    pub(crate) fn now(&self) -> Result<Arc<Now>, Trouble> {
        let folder = self.world.folder().map_err(|why| Trouble::new(StatusCode::SERVICE_UNAVAILABLE, why))?;
        let date = self.world.today();
        let mut kept = self.now.lock().unwrap_or_else(PoisonError::into_inner);
        match &*kept {
            Some(now) if now.folder.stamp == folder.stamp && *now.date == *date => Ok(Arc::clone(now)),
            _ => {
                let now = Arc::new(Now::new(folder, &date, kept.as_deref()));
                self.answers.sweep(&now);
                *kept = Some(Arc::clone(&now));
                Ok(now)
            }
        }
    }

    /// The site as somebody asked for it last: what is worked out ahead need not look at every file again each time, and whoever asks
    /// brings it up to date. Read where nobody has asked yet.
    fn last(&self) -> Result<Arc<Now>, Trouble> {
        let last = self.now.lock().unwrap_or_else(PoisonError::into_inner).clone();
        last.map_or_else(|| self.now(), Ok)
    }

    /// Works out every position that is not worked out yet, beside what is asked for: as many at a time as the machine has processors,
    /// but for one, which is left to those who ask.
    pub(crate) fn work_ahead(self: &Arc<Self>) {
        if self.working_ahead.swap(true, Ordering::SeqCst) {
            return;
        }
        let desk = Arc::clone(self);
        let at_a_time = std::thread::available_parallelism().map_or(1, |all| all.get().saturating_sub(1).max(1));
        tokio::task::spawn_blocking(move || {
            // Files may change meanwhile, so the next one is looked for anew each time; what people look at comes first.
            while let Ok(now) = desk.last() {
                if desk.answers.look_ahead(&now) {
                    continue;
                }
                let open = desk.next_open(&now, at_a_time);
                if open.is_empty() {
                    break;
                }
                let (answers, now) = (&desk.answers, &*now);
                std::thread::scope(|scope| {
                    for position in open {
                        scope.spawn(move || answers.ahead(now, position));
                    }
                });
            }
            desk.working_ahead.store(false, Ordering::SeqCst);
        });
    }

    fn next_open<'n>(&self, now: &'n Now, count: usize) -> Vec<&'n Position> {
        now.folder.positions.iter().filter(|p| now.hindered(p).is_none() && self.answers.ready(now, p).is_none()).take(count).collect()
    }
}

/// Serves the desk on a listener until `end` is done.
pub async fn serve(desk: Arc<Desk>, listener: TcpListener, face: Face, end: impl Future<Output = ()>) {
    let face = Arc::new(face);
    let router = router(&desk);
    let room = Arc::new(Semaphore::new(CONNECTIONS));
    desk.work_ahead();
    tokio::pin!(end);
    loop {
        let room = Arc::clone(&room);
        let taken = tokio::select! {
            () = &mut end => return,
            taken = async { (room.acquire_owned().await, listener.accept().await) } => taken,
        };
        // A connection that broke off before it was taken is nobody's trouble.
        let (Ok(seat), Ok((stream, _))) = taken else { continue };
        let (router, face, desk) = (router.clone(), Arc::clone(&face), Arc::clone(&desk));
        tokio::spawn(async move {
            match &face.tls {
                // Who does not get as far as an encrypted line is not answered.
                Some(tls) => {
                    if let Ok(Ok(stream)) = timeout(HEAD_TIME, tls.accept(stream)).await {
                        converse(&desk, router, &face, stream).await;
                    }
                }
                None => converse(&desk, router, &face, stream).await,
            }
            drop(seat);
        });
    }
}

/// Answers what is asked on one connection.
async fn converse(desk: &Arc<Desk>, router: Router, face: &Arc<Face>, stream: impl AsyncRead + AsyncWrite + Unpin) {
    let service = hyper::service::service_fn(move |request: hyper::Request<hyper::body::Incoming>| {
        let (router, face, desk) = (router.clone(), Arc::clone(face), Arc::clone(desk));
        async move { Ok::<_, std::convert::Infallible>(answer(&desk, router, &face, request.map(Body::new)).await) }
    });
    let mut server = http1::Builder::new();
    server.timer(TokioTimer::new()).header_read_timeout(HEAD_TIME).max_headers(HEADERS).max_buf_size(HEAD_BYTES);
    // How a connection ends is its other end's affair.
    let _ = server.serve_connection(TokioIo::new(stream), service).await;
}

async fn answer(desk: &Arc<Desk>, mut router: Router, face: &Face, mut request: Request) -> Response<Body> {
    let mut response = match guard::admit(request.method(), request.uri(), request.headers(), &face.hosts) {
        Ok(()) if !face.lets_in(request.headers()).await => {
            let refused = Trouble::new(StatusCode::UNAUTHORIZED, "the desk asks for its password");
            let mut response = refused.into_response(&Ask::default(), "");
            let realm = header::HeaderValue::from_static("Basic realm=\"desk\", charset=\"UTF-8\"");
            response.headers_mut().insert(header::WWW_AUTHENTICATE, realm);
            response
        }
        Ok(()) => {
            guard::twin(&mut request);
            match timeout(ANSWER_TIME, router.call(request)).await {
                Ok(Ok(response)) => response,
                Ok(Err(never)) => match never {},
                Err(_) => Trouble::new(StatusCode::GATEWAY_TIMEOUT, "this takes too long").into_response(&Ask::default(), ""),
            }
        }
        Err(refused) => Trouble::new(refused.status, refused.why).into_response(&Ask::default(), ""),
    };
    guard::seal(&mut response, &face.hosts);
    desk.work_ahead();
    response
}

fn router(desk: &Arc<Desk>) -> Router {
    let shown = |handler: Handler| get(page(desk, handler));
    let sent = |handler: Handler| post(page(desk, handler));
    let both = |show: Handler, send: Handler| -> MethodRouter { get(page(desk, show)).post(page(desk, send)) };
    let routes = pages::ROUTES.iter().fold(Router::new(), |router, route| {
        router.route(
            route.path,
            match (route.get, route.post) {
                (Some(show), Some(send)) => both(show, send),
                (Some(show), None) => shown(show),
                (None, Some(send)) => sent(send),
                (None, None) => MethodRouter::new(),
            },
        )
    });
    routes
        .route(
            "/own/{name}",
            get(|parts: RawPathParams| async move {
                let name = parts.iter().next().map_or(String::new(), |(_, name)| name.to_owned());
                assets::answer(&name)
            }),
        )
        .fallback(page(desk, |_, _| Err(Trouble::missing("there is no such page"))))
}

/// The way of a request to its handler, which may calculate and wait for the disk, and so runs beside the connections.
fn page(
    desk: &Arc<Desk>,
    handler: Handler,
) -> impl Fn(RawPathParams, Request) -> std::pin::Pin<Box<dyn Future<Output = Response<Body>> + Send>> + Clone + use<> {
    let desk = Arc::clone(desk);
    move |parts: RawPathParams, request: Request| {
        let desk = Arc::clone(&desk);
        Box::pin(async move {
            let kind = request.headers().get(header::CONTENT_TYPE).and_then(|v| v.to_str().ok()).unwrap_or_default().to_owned();
            let (mut ask, look, body) = read(&parts, request);
            if let Err(trouble) = take(&desk, &mut ask, &kind, body).await {
                return trouble.into_response(&ask, &look);
            }
            let work = tokio::task::spawn_blocking(move || match handler(&desk, &ask) {
                Ok(view) => view.into_response(&ask, &look),
                Err(trouble) => trouble.into_response(&ask, &look),
            });
            work.await.unwrap_or_else(|_| {
                Trouble::new(StatusCode::INTERNAL_SERVER_ERROR, "this page broke; the program's window says where")
                    .into_response(&Ask::default(), "")
            })
        })
    }
}

/// Takes a request's body in: fields, and files where there are some.
async fn take(desk: &Desk, ask: &mut Ask, kind: &str, body: Body) -> Result<(), Trouble> {
    let with_files = kind.to_ascii_lowercase().starts_with("multipart/form-data");
    let most = if with_files { LONGEST_UPLOAD } else { LONGEST_BODY };
    // Held until the body is here, so that many large ones at once do not fill the memory.
    let _room = if with_files { desk.uploads.acquire().await.ok() } else { None };
    let bytes = match timeout(BODY_TIME, to_bytes(body, most)).await {
        Ok(Ok(bytes)) => bytes,
        Ok(Err(_)) => return Err(Trouble::new(StatusCode::PAYLOAD_TOO_LARGE, format!("at most {} MiB can be sent", most >> 20))),
        Err(_) => return Err(Trouble::new(StatusCode::REQUEST_TIMEOUT, "the request did not come to its end")),
    };
    if with_files {
        (ask.form, ask.files) = parts(kind, bytes).await.map_err(Trouble::unusable)?;
    } else {
        ask.form = fields(&bytes).collect();
    }
    Ok(())
}

/// What a request says before its body.
fn read(parts: &RawPathParams, request: Request) -> (Ask, String, Body) {
    let (head, body) = request.into_parts();
    let cookies: Vec<(String, String)> = head
        .headers
        .get_all(header::COOKIE)
        .iter()
        .filter_map(|v| v.to_str().ok())
        .flat_map(|line| line.split(';'))
        .filter_map(|pair| pair.trim().split_once('='))
        // What pages set is escaped as parts of paths are.
        .flat_map(|(name, value)| fields(format!("{name}={}", value.replace('+', "%2B")).as_bytes()).collect::<Vec<_>>())
        .collect();
    let cookie = |name: &str| cookies.iter().find(|(key, _)| key == name).map_or(String::new(), |(_, v)| v.clone());
    let look = cookie("look").split(' ').filter(|w| matches!(*w, "light" | "dark" | "large")).collect::<Vec<_>>().join(" ");
    let ask = Ask {
        here: head.uri.path_and_query().map_or_else(|| "/".to_owned(), |p| p.as_str().to_owned()),
        parts: parts.iter().map(|(k, v)| (k.to_owned(), v.to_owned())).collect(),
        query: fields(head.uri.query().unwrap_or_default().as_bytes()).collect(),
        form: Vec::new(),
        files: Vec::new(),
        who: cookie("who"),
        json: head.headers.get(header::ACCEPT).is_some_and(|v| v.as_bytes().starts_with(b"application/json")),
    };
    (ask, look, body)
}
