//! The files that answers are made from, line by line, so that every number leads back to where it was written. Only what was
//! read of the site is shown; no path of the disk is looked up.

use hyper::StatusCode;
use maud::html;
use serde_json::json;

use crate::ask::{Ask, part_of_path};
use crate::server::Desk;
use crate::view::{Page, Trouble, View};

/// Most lines that are shown of a file; a current log may have a million.
const LINES: usize = 5_000;

pub(crate) fn list(desk: &Desk, _: &Ask) -> Result<View, Trouble> {
    let now = desk.now()?;
    let folder = &now.folder;
    let body = html! {
        h1 { "Files" }
        p { "The files on the disk are the truth. A change made in an editor appears here by itself." }
        (super::site::problems(&folder.problems))
        ul { @for (name, file) in &folder.files {
            li { @if file.text.is_some() { a href=(link(name)) { (name) } } @else { (name) " (no text)" } }
        } }
    };
    let json = json!({ "files": folder.files.keys().map(|n| &**n).collect::<Vec<_>>() });
    Ok(View::Page(Box::new(Page { status: StatusCode::OK, title: "Files".into(), position: None, body, json, stamp: folder.stamp })))
}

fn link(name: &str) -> String {
    let parts: Vec<String> = name.split('/').map(part_of_path).collect();
    format!("/files/{}", parts.join("/"))
}

pub(crate) fn show(desk: &Desk, ask: &Ask) -> Result<View, Trouble> {
    let now = desk.now()?;
    let name = ask.part("name");
    let text = now.folder.text(name).ok_or_else(|| Trouble::missing(format!("“{name}” is no text file that was read of this site")))?;
    let all = text.lines().count();
    let body = html! {
        h1 { (name) }
        @if all > LINES { p { "The first " (LINES) " of " (all) " lines." } }
        ol.source { @for (i, line) in text.lines().take(LINES).enumerate() { li id={ "L" (i + 1) } { code { (line) } } } }
    };
    let json = json!({ "file": name, "text": &**text });
    Ok(View::Page(Box::new(Page { status: StatusCode::OK, title: name.to_owned(), position: None, body, json, stamp: now.folder.stamp })))
}
