//! What was changed, by whom and when, with the lines before and after; and where a change is taken back.

use hyper::StatusCode;
use maud::{Markup, html};
use packs::{Change, undone};
use serde_json::json;

use crate::ask::Ask;
use crate::change::{Draft, who};
use crate::server::Desk;
use crate::view::{Page, Tab, Trouble, View, place};

/// Changes that are shown, the latest of them.
const SHOWN: usize = 200;

/// Longest piece of a line that is shown.
const LONGEST: usize = 600;

pub(crate) fn show(desk: &Desk, ask: &Ask) -> Result<View, Trouble> {
    let now = desk.now()?;
    let folder = &now.folder;
    let tag = ask.part("tag");
    let position = if tag.is_empty() { None } else { Some(folder.position(tag).ok_or_else(|| super::answer::no_position(&now, tag))?) };
    let about = |c: &Change| position.is_none_or(|p| *c.file == *p.place.file || c.what.split(' ').next() == Some(tag));
    let list: Vec<(usize, &Change)> = folder.history().changes.iter().enumerate().rev().filter(|(_, c)| about(c)).collect();
    let body = html! {
        h1 { "History" @if !tag.is_empty() { " of " (tag) } }
        p { "Changes made at the desk. What was changed in an editor is in the files, but not here." }
        @if folder.history().unreadable > 0 { p.remark { (folder.history().unreadable) " entries of history.toml cannot be read." } }
        @if list.is_empty() { p { "Nothing was changed yet." } }
        @if list.len() > SHOWN { p { "The latest " (SHOWN) " of " (list.len()) "." } }
        ol.changes { @for (number, c) in list.iter().take(SHOWN) { (entry(*number, c, folder.text(&c.file).map(|t| &**t), ask)) } }
    };
    let json = json!({
        "unreadable": folder.history().unreadable,
        "changes": list.iter().map(|(n, c)| json!({ "number": n, "when": c.when, "who": c.who, "file": c.file, "what": c.what, "line": c.hunk.line, "old": c.hunk.old, "new": c.hunk.new, "written": c.written })).collect::<Vec<_>>(),
    });
    Ok(View::Page(Box::new(Page {
        status: StatusCode::OK,
        title: format!("{tag} history").trim().to_owned(),
        position: position.map(|_| (tag.to_owned(), Tab::History)),
        body,
        json,
        stamp: folder.stamp,
    })))
}

fn entry(number: usize, c: &Change, text: Option<&str>, ask: &Ask) -> Markup {
    let can = c.written && text.is_some_and(|t| undone(t, c).is_some());
    let cut = |t: &str| t.trim_end().chars().take(LONGEST).collect::<String>();
    html! {
        li {
            p { strong { (c.what) } " by " (c.who) ", " time datetime=(c.when) { (c.when.replace('T', " ").trim_end_matches('Z')) " UTC" } }
            @if !c.written { p.remark { "Not written: somebody else had changed it meanwhile. Both are kept here." } }
            dl.diff {
                dt { "Before" } dd { pre { @if c.hunk.old.is_empty() { "(nothing)" } @else { (cut(&c.hunk.old)) } } }
                dt { @if c.written { "After" } @else { "Wanted" } } dd { pre { @if c.hunk.new.is_empty() { "(nothing)" } @else { (cut(&c.hunk.new)) } } }
            }
            p.sub { (place(&format!("{}:{}", c.file, c.hunk.line.max(1)))) }
            @if can {
                form.undo method="post" action="/history" {
                    input type="hidden" name="number" value=(number);
                    input type="hidden" name="when" value=(c.when);
                    input type="hidden" name="back" value=(ask.here);
                    label { "Name" input name="by" required maxlength="80" autocomplete="name" value=(ask.who); }
                    button type="submit" { "Take back" }
                }
            } @else if c.written { p.sub { "These lines have changed since, so it cannot be taken back by itself." } }
        }
    }
}

pub(crate) fn undo(desk: &Desk, ask: &Ask) -> Result<View, Trouble> {
    let by = who(ask.field("by")).map_err(Trouble::unusable)?;
    let _turn = desk.one_at_a_time();
    let now = desk.now()?;
    let number: usize = ask.field("number").parse().map_err(|_| Trouble::unusable("which change is to be taken back?"))?;
    let change = now.folder.history().changes.get(number).filter(|c| c.when == ask.field("when") && c.written);
    let Some(change) = change else { return Err(Trouble::missing("there is no such change in the history any more")) };
    // The name in a history may have been changed by hand: only files that were read of this site are written.
    let text = now.folder.text(&change.file).ok_or_else(|| Trouble::missing(format!("{} is not there any more", change.file)))?;
    let before = undone(text, change).ok_or_else(|| {
        Trouble::new(
            StatusCode::CONFLICT,
            format!("the lines of this change in {} have changed since; nothing was taken back", change.file),
        )
    })?;
    // A file that was made with this change is left empty, not without its head.
    let before = if before.trim().is_empty() { format!("schema = {}\n", packs::SCHEMA) } else { before };
    let mut draft = Draft::of(&now.folder, &change.file);
    draft.step(&format!("{} (taken back)", change.what.trim_end_matches(" (taken back)")), before);
    let came = match change.file.as_str() {
        "decisions.toml" => draft.came(|s| packs::read_decisions(s).problems),
        file if file.starts_with("positions/") && file.ends_with(".toml") => draft.came(|s| packs::read_position(s).problems),
        file if file.starts_with("cutover/") && file.ends_with(".toml") => {
            let window = now.folder.site.shutdown.window.as_ref();
            draft.came(|s| packs::read_ticks(s, window).problems)
        }
        other => return Err(Trouble::unusable(format!("{other} is not changed at the desk"))),
    };
    if let Some(problem) = came.first() {
        return Err(Trouble::new(StatusCode::CONFLICT, format!("taken back alone it would leave a mistake: {problem}")));
    }
    desk.write(&draft, &by)?;
    let back = Some(ask.field("back")).filter(|b| b.starts_with("/history") || b.starts_with("/at/")).unwrap_or("/history");
    Ok(View::Go { to: back.to_owned(), json: json!({ "taken_back": change.what }), cookies: vec![("who", by)] })
}
