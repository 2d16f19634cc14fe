//! The settings: what becomes of each one of the old drive by its meaning, what to enter in the new one in which order, and what does not
//! go together.

use dossier::settings::{Line, Settings};
use findings::candidate::Candidate;
use findings::caution::find;
use job::assess::{join, old_series};
use maud::{Markup, html};
use plant::product::Series;
use serde_json::json;

use super::answer::{Answered, of};
use super::rating::choose;
use crate::ask::{Ask, part_of_path};
use crate::server::Desk;
use crate::view::{Tab, Trouble, View, at};

/// The outcomes in the order in which people need them, with their headings.
const PARTS: &[(&str, &str)] = &[
    ("needs-decision", "Needs a decision"),
    ("out-of-range", "Out of the new unit’s range"),
    ("no-counterpart", "Without counterpart"),
    ("rounded", "Rounded"),
    ("converted", "Converted"),
    ("carried", "Carried over as it stands"),
    ("left-at-default", "Left at the new unit’s default"),
];
/// Cautions that belong to entering settings.
const CAUTIONS: [char; 3] = ['O', 'R', 'S'];

/// The answer with the series that it is for.
fn made<'a>(answered: &'a Answered, candidate: &str) -> Result<(Settings, &'a Series), String> {
    let input = answered.now.input();
    let surveyed = answered.now.folder.position(&answered.tag).ok_or("the position is gone")?;
    let position = join(input, surveyed, &mut Vec::new());
    let new = input.packs.iter().flat_map(Candidate::all).find(|c| c.id() == candidate).ok_or("there is no such candidate")?;
    let old = old_series(input, &position);
    let answer = job::settings::settings(&position, old, new.series, Some((new.rating, new.rating.duty)), input.site.units)?;
    Ok((answer, new.series))
}

fn of_candidate<'a>(answered: &'a Answered, ask: &Ask) -> Result<(Settings, &'a Series), String> {
    made(answered, &answered.candidate(ask).ok_or("there is no candidate")?.id)
}

pub(crate) fn show(desk: &Desk, ask: &Ask) -> Result<View, Trouble> {
    let answered = of(desk, ask)?;
    let candidate = answered.candidate(ask).map(|c| c.id.clone()).unwrap_or_default();
    let made = of_candidate(&answered, ask);
    let body = html! {
        (answered.head())
        @match &made {
            Err(why) => { h2 { "Settings" } p { "Not examined: " (why) "." } },
            Ok((answer, _)) => {
                (choose(&answered, "/settings", &candidate))
                (page(answer, &answered.tag, &candidate))
            },
        }
    };
    let (answer, why) = match &made {
        Ok((answer, _)) => (Some(answer), None),
        Err(why) => (None, Some(why)),
    };
    let json = json!({ "tag": answered.tag, "candidate": candidate, "settings": answer, "not_examined": why });
    Ok(answered.page(Tab::Settings, "settings", body, json))
}

/// A file to take along: the sheet, the load sequence, or the configuration file of the object dictionary.
pub(crate) fn file(desk: &Desk, ask: &Ask) -> Result<View, Trouble> {
    let answered = of(desk, ask)?;
    let (answer, series) = of_candidate(&answered, ask).map_err(Trouble::missing)?;
    let name = ask.part("name");
    let text = match name {
        "settings.csv" => output::settings::sheet_csv(&answer),
        "load-sequence.csv" => output::settings::load_csv(&answer),
        "settings.dcf" if has_dictionary(&answer) => output::dcf::dcf(&answer, &series.maker, &answered.now.date),
        other => return Err(Trouble::missing(format!("there is no file “{other}” of these settings"))),
    };
    Ok(View::File { name: format!("{}-{name}", answered.tag), bytes: text.into_bytes() })
}

fn has_dictionary(answer: &Settings) -> bool {
    answer.load_sequence.iter().any(|s| s.index.is_some())
}

fn page(answer: &Settings, tag: &str, candidate: &str) -> Markup {
    let file = |name: &str| at(tag, &format!("/settings/file/{name}?candidate={}", part_of_path(candidate)));
    html! {
        p { "Old: " (answer.old) ", list " (answer.extent.replace('-', " ")) ". New: " (answer.new) "." }
        p { @for (i, c) in answer.counts.iter().enumerate() { @if i > 0 { ", " } (c.lines) " " (c.outcome.replace('-', " ")) } "." }
        p {
            "To take along: " a href=(file("settings.csv")) { "the sheet (CSV)" } ", " a href=(file("load-sequence.csv")) { "the order of entering (CSV)" }
            @if has_dictionary(answer) { ", " a href=(file("settings.dcf")) { "the configuration file (CiA 306)" } }
            "."
        }
        @if !answer.conflicts.is_empty() {
            section { h2 { "What does not go together in the new unit" }
                ul { @for c in &answer.conflicts { li { strong { (c.settings.join(", ")) } ": " (c.what) } } }
            }
        }
        @for (outcome, title) in PARTS {
            @let lines: Vec<&Line> = answer.settings.iter().filter(|l| l.outcome == *outcome).collect();
            @if !lines.is_empty() { (part(title, &lines)) }
        }
        (sequence(answer))
        @if !answer.remarks.is_empty() { section { h2 { "To know" } ul { @for r in &answer.remarks { li { (r) } } } } }
        section.cautions { h2 { "Cautions" } dl { @for caution in CAUTIONS.into_iter().filter_map(find) { dt { (caution.hazard) } dd { (caution.text) } } } }
    }
}

/// What neither side ever touched fills pages and says little.
fn is_quiet(line: &Line) -> bool {
    line.outcome == "left-at-default" || (line.outcome == "no-counterpart" && line.from_default)
}

fn part(title: &str, lines: &[&Line]) -> Markup {
    let (quiet, shown): (Vec<&Line>, Vec<&Line>) = lines.iter().copied().partition(|l| is_quiet(l));
    html! {
        section {
            h2 { (title) " (" (lines.len()) ")" }
            @if !shown.is_empty() { (table(&shown)) }
            @if !quiet.is_empty() { details { summary { (quiet.len()) " that nobody has changed" } (table(&quiet)) } }
        }
    }
}

fn table(lines: &[&Line]) -> Markup {
    let setting = |s: Option<&dossier::settings::Setting>| {
        html! { @if let Some(s) = s { code { (s.id) } @if !s.text.is_empty() { " " strong { (s.text) } } span.sub { (s.name) } } @else { "—" } }
    };
    html! {
        table.cards {
            thead { tr { th { "Old" } th { "What it means" } th { "New" } th { "Why" } } }
            tbody { @for l in lines { tr {
                th scope="row" { (setting(l.old.as_ref())) }
                td data-name="Means" { @if let Some(m) = &l.meaning { (m.concept) @if !m.text.is_empty() { " " (m.text) } } @else { "—" } }
                td data-name="New" { (setting(l.new.as_ref())) }
                td data-name="Why" { (l.reason) @if let Some(loss) = &l.loss { span.sub { (loss) } } }
            } } }
        }
    }
}

fn sequence(answer: &Settings) -> Markup {
    html! {
        section {
            h2 { "To enter, in this order" }
            @if answer.load_sequence.is_empty() { p { "Nothing." } } @else {
                table.cards {
                    thead { tr { th.number { "Step" } th { "Setting" } th { "Value" } th { "Motor" } th { "Why here" } } }
                    tbody { @for s in &answer.load_sequence { tr {
                        th.number scope="row" { (s.step) }
                        td data-name="Setting" { code { (s.id) } span.sub { (s.name) } }
                        td data-name="Value" { strong { (s.text) } }
                        td data-name="Motor" { @if s.access == "stopped" { "at standstill" } @else { "may run" } }
                        td data-name="Why here" { (s.why) }
                    } } }
                }
            }
        }
    }
}
