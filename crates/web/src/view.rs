//! What a handler answers with, and the frame that every page has: the way round the site, the page, the footer.

use axum::body::Body;
use findings::caution::DEFERENCE;
use hyper::header::{self, HeaderValue};
use hyper::{Response, StatusCode};
use maud::{DOCTYPE, Markup, PreEscaped, html};
use serde_json::{Value, json};

use crate::ask::{Ask, part_of_path};

/// A page with its twin.
#[derive(Debug)]
pub(crate) struct Page {
    pub(crate) status: StatusCode,
    pub(crate) title: String,
    /// The position that it speaks of, with the tab that it is.
    pub(crate) position: Option<(String, Tab)>,
    /// What stands in `main`.
    pub(crate) body: Markup,
    /// The same for scripts.
    pub(crate) json: Value,
    /// Stands for the files that it was made from; the page asks whether they changed.
    pub(crate) stamp: u64,
}

/// What a handler answers with.
#[derive(Debug)]
pub(crate) enum View {
    /// A page.
    Page(Box<Page>),
    /// Data alone.
    Json(Value),
    /// A picture.
    Picture(String),
    /// A photograph, to be shown.
    Photograph { kind: &'static str, bytes: Vec<u8> },
    /// A file to take along.
    File { name: String, bytes: Vec<u8> },
    /// Another page is to be looked at now; `json` says what was done. With cookies to keep.
    Go { to: String, json: Value, cookies: Vec<(&'static str, String)> },
}

/// Why there is no page.
#[derive(Debug)]
pub(crate) struct Trouble {
    pub(crate) status: StatusCode,
    pub(crate) text: String,
}

impl Trouble {
    pub(crate) fn new(status: StatusCode, text: impl Into<String>) -> Self {
        Self { status, text: text.into() }
    }

    pub(crate) fn missing(text: impl Into<String>) -> Self {
        Self::new(StatusCode::NOT_FOUND, text)
    }

    pub(crate) fn unusable(text: impl Into<String>) -> Self {
        Self::new(StatusCode::UNPROCESSABLE_ENTITY, text)
    }
}

/// The views of a position, in the order of the job.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Tab {
    Answer,
    Found,
    Replacement,
    Findings,
    Rating,
    Power,
    Box,
    Wires,
    Settings,
    Words,
    Behaviour,
    Cutover,
    Papers,
    History,
}

impl Tab {
    const ALL: [(Self, &'static str, &'static str); 14] = [
        (Self::Answer, "", "Answer"),
        (Self::Found, "/found", "As found"),
        (Self::Replacement, "/replacement", "Replacement"),
        (Self::Findings, "/findings", "Findings"),
        (Self::Rating, "/rating", "Rating and duty"),
        (Self::Power, "/power", "Power"),
        (Self::Box, "/box", "Box"),
        (Self::Wires, "/wires", "Wires"),
        (Self::Settings, "/settings", "Settings"),
        (Self::Words, "/words", "Words"),
        (Self::Behaviour, "/behaviour", "Behaviour"),
        (Self::Cutover, "/cutover", "Cutover"),
        (Self::Papers, "/papers", "Papers"),
        (Self::History, "/history", "History"),
    ];
}

/// The path of a position's page.
pub(crate) fn at(tag: &str, rest: &str) -> String {
    format!("/at/{}{rest}", part_of_path(tag))
}

impl View {
    pub(crate) fn into_response(self, ask: &Ask, look: &str) -> Response<Body> {
        match self {
            Self::Page(page) if ask.json => data(page.status, &page.json),
            Self::Page(page) => text(page.status, "text/html; charset=utf-8", frame(&page, ask, look).into_string()),
            Self::Json(value) => data(StatusCode::OK, &value),
            Self::Picture(svg) => text(StatusCode::OK, "image/svg+xml", svg),
            Self::Photograph { kind, bytes } => {
                let mut response = Response::new(Body::from(bytes));
                response.headers_mut().insert(header::CONTENT_TYPE, HeaderValue::from_static(kind));
                response
            }
            Self::File { name, bytes } => file(&name, bytes),
            Self::Go { json, cookies, to } => {
                let mut response = if ask.json {
                    data(StatusCode::OK, &json)
                } else {
                    text(StatusCode::SEE_OTHER, "text/plain; charset=utf-8", String::new())
                };
                if !ask.json
                    && let Ok(to) = HeaderValue::from_str(&to)
                {
                    response.headers_mut().insert(header::LOCATION, to);
                }
                for (name, value) in cookies {
                    let cookie = format!("{name}={}; Path=/; Max-Age=31536000; SameSite=Strict; HttpOnly", part_of_path(&value));
                    if let Ok(cookie) = HeaderValue::from_str(&cookie) {
                        response.headers_mut().append(header::SET_COOKIE, cookie);
                    }
                }
                response
            }
        }
    }
}

impl Trouble {
    pub(crate) fn into_response(self, ask: &Ask, look: &str) -> Response<Body> {
        let body = html! { h1 { "This cannot be shown" } p { (self.text) } p { a href="/" { "To the site" } } };
        let json = json!({ "error": self.text });
        View::Page(Box::new(Page { status: self.status, title: "Trouble".into(), position: None, body, json, stamp: 0 }))
            .into_response(ask, look)
    }
}

fn text(status: StatusCode, kind: &'static str, text: String) -> Response<Body> {
    let mut response = Response::new(Body::from(text));
    *response.status_mut() = status;
    response.headers_mut().insert(header::CONTENT_TYPE, HeaderValue::from_static(kind));
    response
}

/// A file that is taken along, not shown: whatever stands in it is not run.
fn file(name: &str, bytes: Vec<u8>) -> Response<Body> {
    let kind = match name.rsplit('.').next().unwrap_or_default() {
        "pdf" => "application/pdf",
        "zip" => "application/zip",
        "csv" => "text/csv; charset=utf-8",
        "svg" => "image/svg+xml",
        "json" => "application/json",
        "xml" => "application/xml",
        "xlsx" => "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
        _ => "application/octet-stream",
    };
    let mut response = Response::new(Body::from(bytes));
    response.headers_mut().insert(header::CONTENT_TYPE, HeaderValue::from_static(kind));
    let plain: String = name.chars().map(|c| if c.is_ascii_alphanumeric() || "-_.".contains(c) { c } else { '-' }).collect();
    // The plain name for old browsers, the whole one (RFC 5987) for the others.
    let named = format!("attachment; filename=\"{plain}\"; filename*=UTF-8''{}", part_of_path(name));
    if let Ok(named) = HeaderValue::from_str(&named) {
        response.headers_mut().insert(header::CONTENT_DISPOSITION, named);
    }
    response
}

fn data(status: StatusCode, value: &Value) -> Response<Body> {
    text(status, "application/json", format!("{value:#}\n"))
}

fn frame(page: &Page, ask: &Ask, look: &str) -> Markup {
    let path = ask.here.split('?').next().unwrap_or("/");
    let twin = if path == "/" { "/site.json".to_owned() } else { ask.here.replacen(path, &format!("{path}.json"), 1) };
    let places = [
        ("/", "Positions"),
        ("/breakdown", "Breakdown"),
        ("/add", "Add"),
        ("/import", "Import"),
        ("/history", "History"),
        ("/files", "Files"),
    ];
    html! {
        (DOCTYPE)
        html lang="en" class=(look) {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                title { (page.title) " · changeout" }
                link rel="stylesheet" href="/own/desk.css";
                link rel="icon" href="/own/icon.svg" type="image/svg+xml";
                link rel="alternate" type="application/json" href=(twin);
                script type="module" src="/own/desk.js" {}
            }
            body data-stamp=(page.stamp) {
                a.skip href="#main" { "To the content" }
                header.top {
                    nav aria-label="Site" {
                        ul {
                            @for (to, name) in places {
                                li { a href=(to) aria-current=[(path == to).then_some("page")] { (name) } }
                            }
                        }
                    }
                }
                @if let Some((tag, tab)) = &page.position {
                    nav.tabs aria-label={ "Position " (tag) } {
                        ul {
                            @for (one, rest, name) in Tab::ALL {
                                li { a href=(at(tag, rest)) aria-current=[(one == *tab).then_some("page")] { (name) } }
                            }
                        }
                    }
                }
                p.notice #notice role="status" {}
                main #main tabindex="-1" {
                    (page.body)
                    @if let Some((tag, tab)) = &page.position { (onward(tag, *tab)) }
                }
                footer {
                    p { "Nothing here says that an installation complies with a code. The unit's own instructions, the local code and licensed people decide what may be built and energised. " (DEFERENCE) }
                    div.look {
                        a href=(twin) { "This page as JSON" }
                        form method="post" action="/look" {
                            input type="hidden" name="back" value=(ask.here);
                            input type="hidden" name="kept" value=(look);
                            fieldset {
                                legend { "Looks" }
                                @for (value, name) in [("", "As the system"), ("light", "Light"), ("dark", "Dark"), ("large", "Large type"), ("usual", "Usual type")] {
                                    button type="submit" name="look" value=(value) { (name) }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// The views before and after this one in the order of the job.
fn onward(tag: &str, tab: Tab) -> Markup {
    let here = Tab::ALL.iter().position(|(one, ..)| *one == tab);
    let view = |number: Option<usize>| number.and_then(|n| Tab::ALL.get(n));
    html! {
        nav.onward aria-label="Order of the job" {
            @if let Some((_, rest, name)) = view(here.and_then(|n| n.checked_sub(1))) { a href=(at(tag, rest)) { "← " (name) } }
            @if let Some((_, rest, name)) = view(here.map(|n| n + 1)) { a.next href=(at(tag, rest)) { "Next: " (name) " →" } }
        }
    }
}

/// A verdict with its sign, so that it is told without colour.
pub(crate) fn verdict(word: &str) -> Markup {
    let (class, sign) = match word {
        w if w.starts_with("holds but") => ("open", "◐"),
        w if w.starts_with("holds") || w == "sound" => ("holds", "✓"),
        w if w.starts_with("fails") || w == "ruled out" => ("fails", "✗"),
        _ => ("depends", "?"),
    };
    html! { span class={ "verdict " (class) } { span.sign aria-hidden="true" { (sign) } " " (word) } }
}

/// A link to a place "positions/BE-101.toml:12" in a file of the site; plain text where it is none.
pub(crate) fn place(text: &str) -> Markup {
    match text.rsplit_once(':') {
        Some((file, line)) if line.parse::<u32>().is_ok() => {
            let path: Vec<String> = file.split('/').map(part_of_path).collect();
            html! { a href={ "/files/" (path.join("/")) "#L" (line) } { (text) } }
        }
        _ => html! { (text) },
    }
}

/// A text of ours with `code`, paragraphs and lists in the marks of our own pages; everything else stands as text.
pub(crate) fn prose(text: &str) -> Markup {
    let mut out = String::new();
    let inline = |line: &str| {
        let mut parts = String::new();
        for (i, part) in line.split('`').enumerate() {
            let escaped = html! { (part) }.into_string();
            if i % 2 == 1 { parts.push_str(&format!("<code>{escaped}</code>")) } else { parts.push_str(&escaped) }
        }
        parts
    };
    for block in text.split("\n\n").map(str::trim).filter(|b| !b.is_empty()) {
        let items: Vec<&str> = block.split("\n- ").collect();
        if let Some(first) = items[0].strip_prefix("- ") {
            let all = std::iter::once(first).chain(items[1..].iter().copied());
            out.push_str(&format!("<ul>{}</ul>", all.map(|i| format!("<li>{}</li>", inline(i))).collect::<String>()));
        } else {
            out.push_str(&format!("<p>{}</p>", inline(block)));
        }
    }
    PreEscaped(out)
}
