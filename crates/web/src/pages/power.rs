//! The power path, before and after: each quantity with its limit, its room and its verdict, the figures that belong to it, and a page of
//! its own for the working of each number.

use std::sync::Arc;

use dossier::power::{Audit, Line, Reading, Section, Worked};
use job::charts::Drawn;
use job::phrase::margin_text;
use maud::{Markup, html};
use serde_json::{Value, json};

use super::answer::{Answered, inputs, of, steps};
use super::rating::{charts_of, choose, told, twin};
use crate::ask::{Ask, part_of_path};
use crate::figures::margins;
use crate::server::Desk;
use crate::view::{Tab, Trouble, View, at, verdict};

/// Sections with the finding whose figure stands in them.
const DRAWN: &[(&str, &str)] = &[("harmonics", "harmonics/limit-exceeded"), ("motor-cable", "motor/winding-overstressed")];

/// The audit for a candidate with the figures that belong to it, or why there is none.
pub(crate) type Power = Result<(Audit, Vec<Drawn>), String>;

/// The audit for the candidate that is asked for, with its name.
fn made(desk: &Desk, answered: &Answered, ask: &Ask) -> (String, Arc<Power>) {
    let id = answered.candidate(ask).map(|c| c.id.clone()).unwrap_or_default();
    let (now, tag) = (&answered.now, &answered.tag);
    let make = || -> Power {
        if id.is_empty() {
            return Err("there is no candidate".into());
        }
        let audit = job::power::audit(now.input(), tag, Some(&id)).ok_or("the position is gone")??;
        let drawn = charts_of(desk, now, tag, &id);
        Ok((audit, drawn.iter().filter(|d| DRAWN.iter().any(|(_, finding)| *finding == d.finding)).cloned().collect()))
    };
    let made = match now.folder.position(tag) {
        Some(position) => desk.power.of(now.key(position), &id, make),
        None => Arc::new(make()),
    };
    (id, made)
}

pub(crate) fn show(desk: &Desk, ask: &Ask) -> Result<View, Trouble> {
    let answered = of(desk, ask)?;
    let tag = &answered.tag;
    let (candidate, made) = made(desk, &answered, ask);
    let (audit, drawn) = match &*made {
        Ok(made) => made,
        Err(why) => {
            let body = html! { (answered.head()) h2 { "Power" } p { "Not examined: " (why) "." } };
            let json = json!({ "tag": tag, "candidate": null, "power": null, "figures": [], "not_examined": why });
            return Ok(answered.page(Tab::Power, "power", body, json));
        }
    };
    let body = html! {
        (answered.head())
        (choose(&answered, "/power", &candidate))
        (page(audit, tag, &candidate, drawn))
    };
    let json = ask.twin(|| {
        let figures: Vec<Value> = drawn.iter().map(twin).collect();
        json!({ "tag": tag, "candidate": candidate, "power": audit, "figures": figures, "not_examined": null })
    });
    Ok(answered.page(Tab::Power, "power", body, json))
}

fn page(audit: &Audit, tag: &str, candidate: &str, drawn: &[Drawn]) -> Markup {
    html! {
        p.lead { "The power path: " (verdict(&audit.verdict)) }
        dl.sides {
            dt { "Before" } dd { (audit.old.as_deref().unwrap_or("not known")) }
            dt { "After" } dd { (audit.new) @for (i, remedy) in audit.remedies.iter().enumerate() { (if i == 0 { ", with: " } else { "; " }) (remedy) } }
        }
        @if !audit.open.is_empty() {
            section { h2 { "Open: nothing may be assumed" } p { (facts(tag, &audit.open)) } }
        }
        p.help { "Each number leads to its working. A range goes over all that the survey leaves open; the bar of the room runs from its lowest to its highest, and left of its upright line, hatched, there is none." }
        @for section in &audit.sections {
            section {
                h2 id=(section.name) { (section.title) }
                (table(section, tag, candidate))
                @for figure in drawn.iter().filter(|d| DRAWN.contains(&(section.name.as_str(), d.finding))) {
                    h3 { (figure.title) }
                    (told(tag, candidate, figure))
                }
            }
        }
        @if !audit.remarks.is_empty() { section { h2 { "To know" } ul { @for r in &audit.remarks { li { (r) } } } } }
        section.cautions { h2 { "Cautions" } dl { @for c in &audit.cautions { dt { (c.hazard) } dd { (c.text) } } } }
    }
}

/// Facts, each with its place in the survey form.
fn facts(tag: &str, paths: &[String]) -> Markup {
    html! { @for (i, fact) in paths.iter().enumerate() { @if i > 0 { ", " } a href=(at(tag, &format!("/found#{fact}"))) { (fact) } } }
}

fn for_candidate(candidate: &str) -> String {
    format!("?candidate={}", part_of_path(candidate))
}

/// The page of the finding that judges a line.
fn finding(line: &Line, tag: &str, candidate: &str) -> Option<String> {
    line.finding.as_ref().map(|name| at(tag, &format!("/finding/{name}{}", for_candidate(candidate))))
}

fn table(section: &Section, tag: &str, candidate: &str) -> Markup {
    let lines = || section.lines.iter().enumerate();
    let idle: Vec<&str> = section.lines.iter().filter(|l| !l.speaks()).map(|l| l.what.as_str()).collect();
    html! {
        @if section.lines.iter().any(Line::speaks) {
            table.cards.power {
                thead { tr { th { "Quantity" } th { "Before" } th { "After" } th { "Limit" } th { "Room" } th { "Verdict" } } }
                tbody { @for (number, line) in lines().filter(|(_, l)| l.speaks()) { (row(line, &section.name, number + 1, tag, candidate)) } }
            }
        }
        @if !idle.is_empty() { p.help { "Not here: " (idle.join("; ")) "." } }
    }
}

/// Numbers with their units unparted: a range is broken between its ends alone.
fn kept_together(text: &str) -> String {
    const LONGEST: usize = 16;
    let end = |end: &str| if end.chars().count() <= LONGEST { end.replace(' ', "\u{a0}") } else { end.to_owned() };
    text.split(" … ").map(end).collect::<Vec<_>>().join(" … ")
}

fn row(line: &Line, section: &str, number: usize, tag: &str, candidate: &str) -> Markup {
    let own = |part: &str| at(tag, &format!("/power/{section}/{number}{}#{part}", for_candidate(candidate)));
    let judged = finding(line, tag, candidate);
    // Where no working of its own is kept, the number stands in that of the finding.
    let cell = |reading: &Reading, worked: &Worked, part: &str| {
        let to = if worked.is_empty() { judged.clone().filter(|_| part != "before" && reading.low.is_some()) } else { Some(own(part)) };
        html! { @match to.filter(|_| !reading.text.is_empty()) { Some(to) => a href=(to) { (kept_together(&reading.text)) }, None => (kept_together(&reading.text)) } }
    };
    let room = line.margin.as_ref().filter(|m| !m.unit.is_empty() && m.low.is_some());
    html! {
        tr {
            th scope="row" {
                @if let Some(to) = &judged { a href=(to) { (line.what) } } @else { (line.what) }
                @if !line.note.is_empty() { span.sub { (line.note) } }
                @if !line.open.is_empty() { span.sub { "open: " (facts(tag, &line.open)) } }
                @if !line.depends_on.is_empty() { span.sub { "depends on " (facts(tag, &line.depends_on)) } }
                @if !line.source.is_empty() { span.sub { "rests on: " (line.source) } }
            }
            td data-name="Before" { (cell(&line.before, &line.working_before, "before")) @if !matches!(line.verdict_before.as_str(), "" | "holds") { span.sub { (line.verdict_before) } } }
            td data-name="After" { (cell(&line.after, &line.working, "after")) }
            td data-name="Limit" { (cell(&line.limit, &line.working_limit, "limit")) }
            td data-name="Room" { @if let Some(margin) = room { (margins::bar(margin)) span.figures { (margin_text(margin)) } } }
            td data-name="Verdict" { @if !line.verdict.is_empty() { (verdict(&line.verdict)) } }
        }
    }
}

/// How the numbers of one line come about.
pub(crate) fn working(desk: &Desk, ask: &Ask) -> Result<View, Trouble> {
    let answered = of(desk, ask)?;
    let (candidate, made) = made(desk, &answered, ask);
    let (audit, _) = made.as_ref().as_ref().map_err(|why| Trouble::missing(why.clone()))?;
    let (name, number) = (ask.part("section"), ask.part("line"));
    let section = audit.sections.iter().find(|s| s.name == name);
    let at_line = number.parse::<usize>().ok().and_then(|n| n.checked_sub(1));
    let Some((section, line)) = section.zip(at_line).and_then(|(s, at)| Some((s, s.lines.get(at)?))) else {
        return Err(Trouble::missing(format!("the power path has no line {number} under “{name}”")));
    };
    let tag = &answered.tag;
    let back = at(tag, &format!("/power{}#{}", for_candidate(&candidate), section.name));
    let sides = [
        ("before", "Before", audit.old.as_deref().unwrap_or("not known"), &line.before, &line.working_before),
        ("after", "After", audit.new.as_str(), &line.after, &line.working),
        ("limit", "Limit", audit.new.as_str(), &line.limit, &line.working_limit),
    ];
    let body = html! {
        div.head {
            h1 { (line.what) }
            p { @if !line.verdict.is_empty() { (verdict(&line.verdict)) " " } a href=(back) { (section.title) } ", for " (candidate) " at " (tag) }
        }
        @if !line.note.is_empty() { p { (line.note) } }
        @if let Some(name) = &line.finding { p { "Judged by " a href=(finding(line, tag, &candidate).unwrap_or_default()) { (name) } ", with its working at the lowest margin." } }
        @for (part, title, whose, reading, worked) in sides {
            @if !reading.text.is_empty() {
                section id=(part) {
                    h2 { (title) ": " (reading.text) }
                    @if part != "limit" { p { (whose) } }
                    @if worked.is_empty() {
                        p { @if line.finding.is_some() && part != "before" { "Its working is that of the finding." } @else { "There is nothing to calculate." } }
                    } @else {
                        p.help { "The working where what is open turns out so that the margin, or else the number itself, is lowest." }
                        (steps(&worked.steps))
                        @if !worked.inputs.is_empty() { h3 { "Facts in it" } (inputs(tag, &worked.inputs)) }
                    }
                }
            }
        }
        @if !line.source.is_empty() { p { "Rests on: " (line.source) } }
    };
    let json = json!({ "tag": tag, "candidate": candidate, "section": section.name, "line": line });
    Ok(answered.page(Tab::Power, &format!("power: {}", line.what), body, json))
}
