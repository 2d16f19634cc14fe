//! A new position, of which nothing is known yet.

use hyper::StatusCode;
use maud::html;
use serde_json::json;

use crate::answers::Now;
use crate::ask::Ask;
use crate::change::{Draft, who};
use crate::server::Desk;
use crate::view::{Page, Trouble, View, at};

/// Longest tag.
const LONGEST_TAG: usize = 64;

/// Whether a tag can name a new position.
///
/// # Errors
/// Why not.
pub(crate) fn new_tag(now: &Now, tag: &str) -> Result<(), String> {
    let fine = !tag.is_empty()
        && tag.len() <= LONGEST_TAG
        && !tag.starts_with(['.', '-'])
        && tag.chars().all(|c| c.is_alphanumeric() || "-_.".contains(c));
    if !fine {
        return Err(format!("a tag names a file: letters, digits, “-”, “_” and “.”, at most {LONGEST_TAG} bytes"));
    }
    let file = format!("positions/{tag}.toml").to_lowercase();
    if now.folder.files.keys().any(|name| name.to_lowercase() == file) || now.folder.position(tag).is_some() {
        return Err(format!("{tag} is there already"));
    }
    Ok(())
}

pub(crate) fn show(desk: &Desk, ask: &Ask) -> Result<View, Trouble> {
    page(&*desk.now()?, ask, None, StatusCode::OK)
}

fn page(now: &Now, ask: &Ask, wrong: Option<&str>, status: StatusCode) -> Result<View, Trouble> {
    let body = html! {
        h1 { "Add a position" }
        form.stack method="post" action="/add" {
            @if let Some(wrong) = wrong { p.wrong role="alert" { (wrong) } }
            label.big { span { "Tag" span.sub { "its file is named so" } } input name="tag" required maxlength="64" value=(ask.field("tag")) autocomplete="off"; }
            label.big { span { "What it drives" } input name="machine" maxlength="400" value=(ask.field("machine")) autocomplete="off"; }
            label.big { span { "Your name" } input name="by" required maxlength="80" autocomplete="name" value=(if ask.field("by").is_empty() { &ask.who } else { ask.field("by") }); }
            div.save { button.main type="submit" { "Add" } }
        }
        p { "A drive that stands still now? " a href="/breakdown" { "Breakdown" } " asks for less. Many at once? " a href="/import" { "Import a list" } "." }
    };
    Ok(View::Page(Box::new(Page {
        status,
        title: "Add".into(),
        position: None,
        body,
        json: json!({ "wrong": wrong }),
        stamp: now.folder.stamp,
    })))
}

pub(crate) fn save(desk: &Desk, ask: &Ask) -> Result<View, Trouble> {
    let _turn = desk.one_at_a_time();
    let now = desk.now()?;
    let tag = ask.field("tag");
    let by = match who(ask.field("by")).and_then(|by| new_tag(&now, tag).map(|()| by)) {
        Ok(by) => by,
        Err(why) => return page(&now, ask, Some(&why), StatusCode::UNPROCESSABLE_ENTITY),
    };
    let new = packs::new_position(tag);
    let mut draft = Draft::of(&now.folder, &new.path);
    let source = packs::Source::new(new.path.as_str(), new.text);
    let text = packs::set_text(&source, "machine", ask.field("machine")).map_err(|p| Trouble::unusable(p.to_string()))?;
    draft.step(&format!("{tag} added"), text);
    if let Some(problem) = draft.came(|s| packs::read_position(s).problems).first() {
        return page(&now, ask, Some(&problem.to_string()), StatusCode::UNPROCESSABLE_ENTITY);
    }
    desk.write(&draft, &by)?;
    Ok(View::Go { to: at(tag, "/found"), json: json!({ "added": tag }), cookies: vec![("who", by)] })
}
