//! A list of positions from a spreadsheet: first a preview that shows every row, those that cannot be read with the reason; then, on a
//! second press, the rows that can.

use hyper::StatusCode;
use maud::{Markup, html};
use packs::{ListRow, PositionList, Source, TEXTS, read_position_list};
use plant::fact::{Origin, Place};
use serde_json::json;

use super::add::new_tag;
use crate::answers::Now;
use crate::ask::Ask;
use crate::change::{Draft, who};
use crate::server::Desk;
use crate::view::{Page, Trouble, View};

/// Name that a list has while it goes to and fro between preview and import.
const AGAIN: &str = "list.csv";

pub(crate) fn show(desk: &Desk, ask: &Ask) -> Result<View, Trouble> {
    let now = desk.now()?;
    Ok(page(&now, form(ask, None), json!({ "columns": columns() }), StatusCode::OK))
}

fn page(now: &Now, body: Markup, json: serde_json::Value, status: StatusCode) -> View {
    let body = html! { h1 { "Import a list" } (body) };
    View::Page(Box::new(Page { status, title: "Import".into(), position: None, body, json, stamp: now.folder.stamp }))
}

/// What columns can be called, beside "tag".
fn columns() -> Vec<&'static str> {
    TEXTS.iter().copied().chain(plant::survey::FACTS.iter().map(|f| f.path)).collect()
}

fn form(ask: &Ask, wrong: Option<&str>) -> Markup {
    html! {
        p { "A spreadsheet (XLSX, first sheet) or CSV with a row per position. Its first row names the columns: " code { "tag" } ", " code { "machine" } ", " code { "motor.power" } " and any other fact, by its name or its label; a unit in brackets behind the name, “motor.power [hp]”, holds for bare numbers. Nothing is written before you have seen how it was read." }
        form.stack method="post" action="/import" enctype="multipart/form-data" {
            @if let Some(wrong) = wrong { p.wrong role="alert" { (wrong) } }
            label { "File" input type="file" name="file" accept=".csv,.xlsx,.txt"; }
            label { "Or rows copied out of a spreadsheet" textarea name="pasted" rows="6" maxlength="200000" { (ask.field("pasted")) } }
            button.main type="submit" { "Show how it is read" }
        }
        details { summary { "Names that columns can have" } p { @for (i, name) in columns().iter().enumerate() { @if i > 0 { ", " } code { (name) } } } }
    }
}

/// A list as it came, or the one that the preview sends back.
pub(crate) fn save(desk: &Desk, ask: &Ask) -> Result<View, Trouble> {
    if ask.form.iter().any(|(key, _)| key == "list") {
        return write(desk, ask);
    }
    let now = desk.now()?;
    let list = match ask.files.iter().find(|f| f.field == "file" && !f.bytes.is_empty()) {
        Some(file) => read_position_list(&file.name, &file.bytes),
        None if ask.field("pasted").is_empty() => {
            let body = form(ask, Some("choose a file, or paste rows"));
            return Ok(page(&now, body, json!({ "wrong": "no list was sent" }), StatusCode::UNPROCESSABLE_ENTITY));
        }
        None => read_position_list(AGAIN, ask.field("pasted").as_bytes()),
    };
    Ok(preview(&now, ask, judged(&now, list), None))
}

/// The list with what the site has against its rows.
fn judged(now: &Now, mut list: PositionList) -> PositionList {
    for row in list.rows.iter_mut().filter(|r| !r.tag.is_empty()) {
        if let Err(why) = new_tag(now, &row.tag) {
            row.wrong.push(why);
        }
    }
    list
}

fn preview(now: &Now, ask: &Ask, list: PositionList, wrong: Option<&str>) -> View {
    let usable = if list.wrong.is_empty() { list.rows.iter().filter(|r| r.wrong.is_empty()).count() } else { 0 };
    let unread = list.rows.len() - list.rows.iter().filter(|r| r.wrong.is_empty()).count();
    let body = html! {
        @for why in &list.wrong { p.wrong role="alert" { (why) } }
        @if let Some(why) = wrong { p.wrong role="alert" { (why) } }
        p.lead { (list.rows.len()) " rows: " strong { (usable) } " can be added, " strong { (unread) } " cannot." }
        (head(&list))
        @if unread > 0 { section { h2 { "Rows that cannot be read" } (rows(list.rows.iter().filter(|r| !r.wrong.is_empty()))) p.help { "Mend them in your list and send it again, or add the others now: these stay out." } } }
        @if usable > 0 {
            form.stack method="post" action="/import" {
                input type="hidden" name="list" value=(again(&list));
                label { "Name" input name="by" required maxlength="80" autocomplete="name" value=(if ask.field("by").is_empty() { &ask.who } else { ask.field("by") }); }
                button.main type="submit" { "Add " (usable) @if usable == 1 { " position" } @else { " positions" } }
            }
            section { h2 { "Rows that can" } (rows(list.rows.iter().filter(|r| r.wrong.is_empty()))) }
        }
        p { a href="/import" { "Another list" } }
    };
    let json = json!({
        "wrong": list.wrong, "usable": usable, "unread": unread,
        "columns": list.columns.iter().map(|c| json!({ "head": c.head, "path": c.path, "unit": c.unit, "wrong": c.wrong })).collect::<Vec<_>>(),
        "rows": list.rows.iter().map(|r| json!({ "line": r.line, "tag": r.tag, "values": r.values, "wrong": r.wrong })).collect::<Vec<_>>(),
    });
    let status = if list.wrong.is_empty() && wrong.is_none() { StatusCode::OK } else { StatusCode::UNPROCESSABLE_ENTITY };
    page(now, body, json, status)
}

fn head(list: &PositionList) -> Markup {
    let lost: Vec<_> = list.columns.iter().filter(|c| c.path.is_none()).collect();
    html! {
        p { "Columns: " @for (i, c) in list.columns.iter().filter(|c| c.path.is_some()).enumerate() { @if i > 0 { ", " } "“" (c.head) "” as " code { (c.path.as_deref().unwrap_or_default()) } @if let Some(u) = &c.unit { " in " (u) } } "." }
        @if !lost.is_empty() {
            p.remark { "Columns that are left out:" }
            ul { @for c in lost { li { "“" (c.head) "”: " (c.wrong) } } }
        }
    }
}

fn rows<'r>(rows: impl Iterator<Item = &'r ListRow>) -> Markup {
    html! {
        table.cards {
            thead { tr { th.number { "Line" } th { "Tag" } th { "Read" } th { "Wrong" } } }
            tbody { @for r in rows { tr {
                th.number scope="row" { (r.line) }
                td data-name="Tag" { @if r.tag.is_empty() { "—" } @else { (r.tag) } }
                td data-name="Read" { @for (i, (path, value)) in r.values.iter().enumerate() { @if i > 0 { ", " } (path) " " strong { (value) } } }
                td data-name="Wrong" { @if r.wrong.is_empty() { "—" } @else { span.wrong { (r.wrong.join("; ")) } } }
            } } }
        }
    }
}

/// The rows that can be used as CSV of our own, so that a workbook need not be sent twice.
fn again(list: &PositionList) -> String {
    let quoted = |text: &str| format!("\"{}\"", text.replace('"', "\"\""));
    let paths: Vec<&str> = list.columns.iter().filter_map(|c| c.path.as_deref()).filter(|p| *p != "tag").collect();
    let mut out = std::iter::once("tag").chain(paths.iter().copied()).map(quoted).collect::<Vec<_>>().join(",") + "\n";
    for row in list.rows.iter().filter(|r| r.wrong.is_empty()) {
        let value = |path: &&str| row.values.iter().find(|(p, _)| p == path).map_or("", |(_, v)| v.as_str());
        let cells = std::iter::once(row.tag.as_str()).chain(paths.iter().map(value)).map(quoted);
        out.push_str(&(cells.collect::<Vec<_>>().join(",") + "\n"));
    }
    out
}

fn write(desk: &Desk, ask: &Ask) -> Result<View, Trouble> {
    let _turn = desk.one_at_a_time();
    let now = desk.now()?;
    let list = judged(&now, read_position_list(AGAIN, ask.field("list").as_bytes()));
    let by = match who(ask.field("by")) {
        Ok(by) => by,
        Err(why) => return Ok(preview(&now, ask, list, Some(&why))),
    };
    // What the preview showed as fine may have changed meanwhile: then it is shown again, and nothing is written.
    if list.rows.iter().any(|r| !r.wrong.is_empty()) || !list.wrong.is_empty() {
        return Ok(preview(&now, ask, list, Some("the site has changed since this was shown; nothing was written")));
    }
    let drafts = list.rows.iter().map(|row| draft(&now, row, &by)).collect::<Result<Vec<_>, _>>()?;
    for draft in &drafts {
        desk.write(draft, &by)?;
    }
    Ok(View::Go {
        to: "/".into(),
        json: json!({ "added": list.rows.iter().map(|r| &r.tag).collect::<Vec<_>>() }),
        cookies: vec![("who", by)],
    })
}

/// The file of a new position out of a row.
fn draft(now: &Now, row: &ListRow, by: &str) -> Result<Draft, Trouble> {
    let new = packs::new_position(&row.tag);
    let mut text = new.text;
    let origin = Origin { by: Some(by.to_owned()), on: Some(now.date.to_string()), proof: None, kind: None, place: Place::default() };
    for (path, value) in &row.values {
        let source = Source::new(new.path.as_str(), text.as_str());
        let written = if TEXTS.contains(&path.as_str()) {
            packs::set_text(&source, path, value)
        } else {
            packs::record(&source, path, value, Some(&origin))
        };
        text = written.map_err(|p| Trouble::unusable(format!("line {}: {p}", row.line)))?;
    }
    let mut draft = Draft::of(&now.folder, &new.path);
    draft.step(&format!("{} added from a list", row.tag), text);
    match draft.came(|s| packs::read_position(s).problems).first() {
        Some(problem) => Err(Trouble::unusable(format!("line {}: {problem}", row.line))),
        None => Ok(draft),
    }
}
