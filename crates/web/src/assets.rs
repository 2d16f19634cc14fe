//! The style sheet, the script and the icon of the desk, as they stand beside this crate.

use axum::body::Body;
use hyper::{Response, StatusCode, header};

/// A file that pages load.
struct Asset {
    name: &'static str,
    kind: &'static str,
    text: &'static str,
}

const ASSETS: &[Asset] = &[
    Asset { name: "desk.css", kind: "text/css; charset=utf-8", text: include_str!("../assets/desk.css") },
    Asset { name: "desk.js", kind: "text/javascript; charset=utf-8", text: include_str!("../assets/desk.js") },
    Asset { name: "icon.svg", kind: "image/svg+xml", text: include_str!("../assets/icon.svg") },
];

/// The file of that name.
pub(crate) fn answer(name: &str) -> Response<Body> {
    match ASSETS.iter().find(|a| a.name == name) {
        Some(asset) => {
            let mut response = Response::new(Body::from(asset.text));
            response.headers_mut().insert(header::CONTENT_TYPE, header::HeaderValue::from_static(asset.kind));
            // Checked again each time: a newer program must not meet an older script.
            response.headers_mut().insert(header::CACHE_CONTROL, header::HeaderValue::from_static("no-cache"));
            response
        }
        None => {
            let mut response = Response::new(Body::from("there is no such file"));
            *response.status_mut() = StatusCode::NOT_FOUND;
            response
        }
    }
}
