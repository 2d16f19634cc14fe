//! Who may ask: only pages of this desk itself. Checked before any page is looked for: the host (against rebinding of names), the
//! origin (against other sites), the method; and what every answer tells the browser: no foreign scripts, frames or caches.

use std::net::IpAddr;

use axum::body::Body;
use hyper::header::{self, HeaderMap, HeaderName, HeaderValue};
use hyper::{Method, Request, Response, StatusCode, Uri};

/// Scripts and styles of this desk only, none inline; no frames, no plug-ins, no requests to elsewhere.
const CONTENT: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; \
    form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

const HEADERS: &[(&str, &str)] = &[
    ("content-security-policy", CONTENT),
    ("x-content-type-options", "nosniff"),
    ("x-frame-options", "DENY"),
    ("referrer-policy", "same-origin"),
    ("cross-origin-opener-policy", "same-origin"),
    ("cross-origin-resource-policy", "same-origin"),
];

/// The names under which the desk may be asked for, as browsers write them: "127.0.0.1:8460".
#[derive(Clone, Debug)]
pub(crate) struct Hosts {
    names: Vec<String>,
    /// "http://" or "https://".
    scheme: &'static str,
}

impl Hosts {
    /// Of a desk on this port of the machine itself.
    pub(crate) fn own(port: u16) -> Self {
        Self { names: ["127.0.0.1", "localhost", "[::1]"].iter().map(|name| format!("{name}:{port}")).collect(), scheme: "http://" }
    }

    /// Of an encrypted desk that is reached under an address and these names; the usual port is left out by browsers.
    pub(crate) fn beyond(address: IpAddr, port: u16, names: &[String]) -> Self {
        const USUAL: u16 = 443;
        let own = match address {
            _ if address.is_unspecified() => None,
            IpAddr::V4(v4) => Some(v4.to_string()),
            IpAddr::V6(v6) => Some(format!("[{v6}]")),
        };
        let with_port = own.iter().chain(names).flat_map(|name| {
            let bare = (port == USUAL).then(|| name.clone());
            bare.into_iter().chain([format!("{name}:{port}")])
        });
        Self { names: with_port.collect(), scheme: "https://" }
    }

    /// Whether what is said is encrypted.
    pub(crate) fn is_encrypted(&self) -> bool {
        self.scheme == "https://"
    }

    fn has(&self, host: &str) -> bool {
        self.names.iter().any(|own| own.eq_ignore_ascii_case(host))
    }
}

/// Why a request is turned away.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Refused {
    pub(crate) status: StatusCode,
    pub(crate) why: &'static str,
}

/// Looks at a request before its page is looked for.
///
/// # Errors
/// When it does not come from a page of this desk.
pub(crate) fn admit(method: &Method, uri: &Uri, headers: &HeaderMap, hosts: &Hosts) -> Result<(), Refused> {
    let refuse = |status, why| Err(Refused { status, why });
    if !matches!(*method, Method::GET | Method::HEAD | Method::POST) {
        return refuse(StatusCode::METHOD_NOT_ALLOWED, "the desk is only read (GET) and written to (POST)");
    }
    let one = |name| {
        let mut all = headers.get_all(name).iter();
        let first = all.next().map(|v| v.to_str().unwrap_or_default().to_owned());
        first.filter(|_| all.next().is_none())
    };
    let Some(host) = one(header::HOST).filter(|host| hosts.has(host)) else {
        return refuse(StatusCode::MISDIRECTED_REQUEST, "the desk answers only to the address that it printed when it was opened");
    };
    if uri.authority().is_some_and(|named| !hosts.has(named.as_str())) {
        return refuse(StatusCode::MISDIRECTED_REQUEST, "the desk is no way to other hosts");
    }
    let site = headers.get("sec-fetch-site").and_then(|v| v.to_str().ok());
    if method == Method::POST {
        // Browsers name the origin with every POST; whatever else writes has to name it as well.
        let own = one(header::ORIGIN)
            .is_some_and(|origin| origin.strip_prefix(hosts.scheme).is_some_and(|from| from.eq_ignore_ascii_case(&host)));
        if !own || !matches!(site, None | Some("same-origin")) {
            return refuse(StatusCode::FORBIDDEN, "changes come from the desk's own pages (header Origin: the address of the desk)");
        }
    } else if site.is_some_and(|site| !matches!(site, "same-origin" | "none")) {
        // A link from elsewhere may open a page; nothing else may be taken from here.
        let opens = headers.get("sec-fetch-mode").is_some_and(|m| m == "navigate")
            && headers.get("sec-fetch-dest").is_some_and(|d| d == "document");
        if !opens {
            return refuse(StatusCode::FORBIDDEN, "another page asked for this");
        }
    }
    Ok(())
}

/// Takes ".json" off the path and asks for JSON instead.
pub(crate) fn twin(request: &mut Request<Body>) {
    let uri = request.uri();
    let Some(bare) = uri.path().strip_suffix(".json") else { return };
    let bare = if bare == "/site" { "/" } else { bare };
    let path = uri.query().map_or_else(|| bare.to_owned(), |query| format!("{bare}?{query}"));
    if let Ok(uri) = path.parse() {
        *request.uri_mut() = uri;
        request.headers_mut().insert(header::ACCEPT, HeaderValue::from_static("application/json"));
    }
}

/// What every answer carries.
pub(crate) fn seal(response: &mut Response<Body>, hosts: &Hosts) {
    if hosts.is_encrypted() {
        let cookies: Vec<HeaderValue> = response.headers().get_all(header::SET_COOKIE).iter().cloned().collect();
        response.headers_mut().remove(header::SET_COOKIE);
        for cookie in cookies {
            // What was set encrypted is never sent in the clear.
            let kept = [cookie.as_bytes(), b"; Secure"].concat();
            if let Ok(kept) = HeaderValue::from_bytes(&kept) {
                response.headers_mut().append(header::SET_COOKIE, kept);
            }
        }
    }
    for (name, value) in HEADERS {
        response.headers_mut().insert(HeaderName::from_static(name), HeaderValue::from_static(value));
    }
    response.headers_mut().entry(header::CACHE_CONTROL).or_insert(HeaderValue::from_static("no-store"));
}

#[cfg(test)]
mod tests {
    use super::*;

    fn asked(method: Method, headers: &[(&'static str, &'static str)]) -> Result<(), StatusCode> {
        let mut all = HeaderMap::new();
        for (name, value) in headers {
            all.append(HeaderName::from_static(name), HeaderValue::from_static(value));
        }
        admit(&method, &Uri::from_static("/"), &all, &Hosts::own(8460)).map_err(|r| r.status)
    }

    #[test]
    fn beyond_this_machine_only_its_own_names_count() {
        let hosts = Hosts::beyond(IpAddr::from([192, 0, 2, 7]), 443, &["desk.example".to_owned()]);
        for own in ["192.0.2.7", "192.0.2.7:443", "desk.example", "DESK.example:443"] {
            assert!(hosts.has(own), "{own}");
        }
        for other in ["localhost:443", "127.0.0.1:443", "desk.example:80", "elsewhere.example"] {
            assert!(!hosts.has(other), "{other}");
        }
        let any = Hosts::beyond(IpAddr::from([0, 0, 0, 0]), 8443, &["desk.example".to_owned()]);
        assert!(any.has("desk.example:8443") && !any.has("0.0.0.0:8443") && !any.has("desk.example"));
    }

    #[test]
    fn only_the_desks_own_pages_get_in() {
        const HOST: (&str, &str) = ("host", "127.0.0.1:8460");
        const OWN: (&str, &str) = ("origin", "http://127.0.0.1:8460");
        assert_eq!(asked(Method::GET, &[HOST]), Ok(()));
        assert_eq!(asked(Method::GET, &[("host", "LOCALHOST:8460")]), Ok(()));
        assert_eq!(asked(Method::POST, &[HOST, OWN]), Ok(()));
        // A name that was bound to this machine, no name, another port, two names.
        for wrong in [&[("host", "elsewhere.example:8460")][..], &[], &[("host", "127.0.0.1")], &[("host", "127.0.0.1:80")], &[HOST, HOST]]
        {
            assert_eq!(asked(Method::GET, wrong), Err(StatusCode::MISDIRECTED_REQUEST), "{wrong:?}");
        }
        for wrong in [
            &[HOST][..],
            &[HOST, ("origin", "null")],
            &[HOST, ("origin", "https://127.0.0.1:8460")],
            &[HOST, ("origin", "http://localhost:8460")],
            &[HOST, ("origin", "http://elsewhere.example")],
            &[HOST, OWN, OWN],
            &[HOST, OWN, ("sec-fetch-site", "same-site")],
        ] {
            assert_eq!(asked(Method::POST, wrong), Err(StatusCode::FORBIDDEN), "{wrong:?}");
        }
        assert_eq!(asked(Method::DELETE, &[HOST, OWN]), Err(StatusCode::METHOD_NOT_ALLOWED));
        let cross = ("sec-fetch-site", "cross-site");
        assert_eq!(asked(Method::GET, &[HOST, cross]), Err(StatusCode::FORBIDDEN));
        assert_eq!(
            asked(Method::GET, &[HOST, cross, ("sec-fetch-mode", "navigate"), ("sec-fetch-dest", "iframe")]),
            Err(StatusCode::FORBIDDEN)
        );
        assert_eq!(asked(Method::GET, &[HOST, cross, ("sec-fetch-mode", "navigate"), ("sec-fetch-dest", "document")]), Ok(()));
    }
}
