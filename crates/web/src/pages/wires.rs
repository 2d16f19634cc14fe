//! The control wires: what becomes of every conductor at the old drive, as a figure and as a table with the proof of each landing; start and
//! stop, modules and parts, links, and what must be so before the machine runs.

use dossier::wires::{Conductor, Line, Permissive, Wires};
use findings::candidate::Candidate;
use findings::caution::find;
use job::assess::{join, old_series};
use job::phrase::money;
use maud::{Markup, html};
use plant::quantity::digits;
use serde_json::json;

use super::answer::{Answered, of};
use crate::ask::{Ask, part_of_path};
use crate::figures::{margins, wiring};
use crate::server::Desk;
use crate::view::{Tab, Trouble, View, at, verdict};

/// What may become of a conductor.
const ACTIONS: &[(&str, &str)] =
    &[("", "Every conductor"), ("landed", "Landed"), ("interposed", "Interposed"), ("spared", "Spared"), ("removed", "Removed")];
/// Cautions that belong to control wires.
const CAUTIONS: [char; 3] = ['L', 'X', 'S'];
/// The finding that holds the start against what the new unit takes.
const START: &str = "wires/start-taken-otherwise";

/// The answer, and for each conductor where it stands in the list.
struct Made {
    wires: Wires,
    places: Vec<String>,
}

fn made(answered: &Answered, candidate: &str) -> Result<Made, String> {
    let input = answered.now.input();
    let surveyed = answered.now.folder.position(&answered.tag).ok_or("the position is gone")?;
    let position = join(input, surveyed, &mut Vec::new());
    let new = input.packs.iter().flat_map(Candidate::all).find(|c| c.id() == candidate).ok_or("there is no such candidate")?;
    let wires = job::wires::wires(&position, old_series(input, &position), new.series, Some(new.rating), input.site)?;
    let places = position.wires.iter().flat_map(|list| &list.conductors).map(|c| c.place.to_string()).collect();
    Ok(Made { wires, places })
}

pub(crate) fn show(desk: &Desk, ask: &Ask) -> Result<View, Trouble> {
    let answered = of(desk, ask)?;
    let candidate = answered.candidate(ask);
    let id = candidate.map(|c| c.id.clone()).unwrap_or_default();
    let made = if candidate.is_some() { made(&answered, &id) } else { Err("there is no candidate".to_owned()) };
    let action = ask.query("action");
    let body = html! {
        (answered.head())
        @match &made {
            Err(why) => { h2 { "Wires" } p { "Not examined: " (why) "." } },
            Ok(made) => (page(made, &answered, candidate, action)),
        }
    };
    let (wires, places, why) = match made {
        Ok(mut made) => {
            let mut kept = made.wires.conductors.iter().map(|c| fits(c, action)).collect::<Vec<_>>().into_iter();
            made.places.retain(|_| kept.next().unwrap_or(true));
            made.wires.conductors.retain(|c| fits(c, action));
            (Some(made.wires), made.places, None)
        }
        Err(why) => (None, Vec::new(), Some(why)),
    };
    let json = json!({
        "tag": answered.tag, "candidate": id, "action": action, "wires": wires, "places": places, "findings": of_wires(candidate),
        "not_examined": why,
    });
    Ok(answered.page(Tab::Wires, "wires", body, json))
}

fn fits(conductor: &Conductor, action: &str) -> bool {
    action.is_empty() || conductor.action == action
}

/// What the findings say of the wires.
fn of_wires(candidate: Option<&dossier::Candidate>) -> Vec<&dossier::Finding> {
    candidate.map(|c| c.findings.iter().filter(|f| f.name.starts_with("wires/")).collect()).unwrap_or_default()
}

fn page(made: &Made, answered: &Answered, candidate: Option<&dossier::Candidate>, action: &str) -> Markup {
    let (wires, tag) = (&made.wires, answered.tag.as_str());
    let shown: Vec<(&Conductor, &String)> = wires.conductors.iter().zip(&made.places).filter(|(c, _)| fits(c, action)).collect();
    let drawn: Vec<&Conductor> = shown.iter().map(|(c, _)| *c).collect();
    let id = candidate.map_or("", |c| c.id.as_str());
    let findings = of_wires(candidate);
    html! {
        p { "Old: " (wires.old) ". New: " (wires.new) "." }
        p.lead {
            (wires.conductors.len()) " conductors: "
            @for (i, c) in wires.counts.iter().enumerate() { @if i > 0 { ", " } (c.conductors) " " (c.action) } "."
        }
        (unsettled(wires))
        (filter(answered, id, action))
        @if drawn.is_empty() { p { "No conductor is " @if action.is_empty() { "listed" } @else { (action) } "." } } @else {
            section {
                h2 { "Before and after" }
                (wiring::pictures(wires, &drawn))
            }
            section {
                h2 { (ACTIONS.iter().find(|(word, _)| *word == action).map_or("Conductors", |(_, title)| title)) " (" (shown.len()) ")" }
                (table(&shown, answered))
            }
        }
        (start_and_stop(wires, tag, id, findings.iter().copied().find(|f| f.name == START)))
        (to_order(wires))
        (links(wires))
        (permissives(&wires.permissives))
        @if !findings.is_empty() {
            section {
                h2 { "What the findings say of the wires" }
                @let (holds, open): (Vec<&dossier::Finding>, Vec<&dossier::Finding>) = findings.iter().partition(|f| f.verdict == "holds");
                @if open.is_empty() { p { "Everything that is examined holds." } } @else { (margins::table(tag, id, &open)) }
                @if !holds.is_empty() { details { summary { (holds.len()) " that hold" } (margins::table(tag, id, &holds)) } }
            }
        }
        @if !wires.remarks.is_empty() { section { h2 { "To know" } ul { @for r in &wires.remarks { li { (r) } } } } }
        section.cautions { h2 { "Cautions" } dl { @for caution in CAUTIONS.into_iter().filter_map(find) { dt { (caution.hazard) } dd { (caution.text) } } } }
    }
}

/// Another candidate, or the conductors of one action alone.
fn filter(answered: &Answered, candidate: &str, action: &str) -> Markup {
    html! {
        form.filter method="get" action=(at(&answered.tag, "/wires")) {
            label { "For"
                select name="candidate" {
                    @for c in &answered.position.candidates { option value=(c.id) selected[c.id == candidate] { (c.series) " " (c.code) ", " (c.duty) } }
                }
            }
            label { "Conductors"
                select name="action" { @for (word, name) in ACTIONS { option value=(word) selected[*word == action] { (name) } } }
            }
            button type="submit" { "Show" }
        }
    }
}

/// What may not wait: circuits that clash, points that nothing closes, lines of a proof that do not hold.
fn unsettled(wires: &Wires) -> Markup {
    let mut seen: Vec<&str> = Vec::new();
    let mut doubtful: Vec<(&Conductor, &Line)> = Vec::new();
    for c in &wires.conductors {
        // The proof is that of the circuit: once is enough.
        if !seen.contains(&c.old.circuit.as_str()) {
            let lines: Vec<&Line> = c.proof.iter().filter(|l| l.verdict != "holds").collect();
            if !lines.is_empty() {
                seen.push(&c.old.circuit);
            }
            doubtful.extend(lines.into_iter().map(|l| (c, l)));
        }
    }
    let waiting: Vec<&str> = wires.start_conditions.iter().filter(|c| c.closed_by.is_none()).map(|c| c.point.as_str()).collect();
    html! {
        @if !(wires.conflicts.is_empty() && waiting.is_empty() && doubtful.is_empty()) {
            section {
                h2 { "To settle before anything is energised" }
                ul {
                    @for c in &wires.conflicts { li { "Cannot be met together: " (c.circuits.join(", ")) @if !c.smallest { " (a smaller set may conflict)" } "." } }
                    @for point in &waiting { li { "Nothing closes " strong { (point) } ": the unit does not become ready until something does." } }
                    @for (c, line) in &doubtful { li { strong { (c.old.circuit) } ": " (proof_line(line)) } }
                }
            }
        }
    }
}

fn proof_line(line: &Line) -> Markup {
    html! {
        (verdict(&line.verdict)) " " (line.what) ": " (line.have) " against " (line.need)
        @if let Some(margin) = line.margin { ", room " (digits(margin * 100.0, 3)) " %" }
    }
}

fn table(shown: &[(&Conductor, &String)], answered: &Answered) -> Markup {
    html! {
        table.cards.conductors {
            thead { tr { th { "Wire" } th { "Old terminal" } th { "What it is" } th { "Action" } th { "New terminal" } th { "What stands between" } th { "Why" } } }
            tbody { @for (c, listed) in shown { tr {
                th scope="row" { (c.wire) span.sub { (listed_at(answered, listed, &c.wire)) } }
                td data-name="Old terminal" { (c.old.terminal) @if !c.old.to.is_empty() { span.sub { "to " (c.old.to) } } }
                td data-name="What it is" { (c.old.function.replace('-', " ")) " " (c.old.volts) @if c.old.circuit != c.wire { span.sub { "circuit " (c.old.circuit) } } }
                td data-name="Action" { strong { (c.action) } }
                td data-name="New terminal" { (c.new.as_deref().unwrap_or("—")) }
                td data-name="Between" { (c.parts.join("; ")) }
                td data-name="Why" { (reason(c)) (proof(c)) }
            } } }
        }
    }
}

/// Where a conductor is listed: a link where the list is a text.
fn listed_at(answered: &Answered, listed: &str, wire: &str) -> Markup {
    let Some((file, line)) = listed.rsplit_once(':') else { return html! { (listed) } };
    let path: Vec<String> = file.split('/').map(part_of_path).collect();
    html! {
        @if answered.now.folder.text(file).is_some() {
            a href={ "/files/" (path.join("/")) "#L" (line) } aria-label={ "line " (line) " of the list, wire " (wire) } { "line " (line) }
        } @else { (listed) }
    }
}

/// Why, without the part that stands beside it already.
fn reason(conductor: &Conductor) -> &str {
    let part = conductor.parts.first().map_or("", String::as_str);
    let rest = conductor.reason.strip_prefix(part).map(|rest| rest.trim_start_matches([';', ':', ' ']));
    rest.filter(|rest| !rest.is_empty()).unwrap_or(&conductor.reason)
}

/// The proof of a landing, line by line, folded.
fn proof(conductor: &Conductor) -> Markup {
    let doubtful = conductor.proof.iter().filter(|l| l.verdict != "holds").count();
    html! {
        @if !conductor.proof.is_empty() {
            details.proof {
                summary aria-label={ "Proof of wire " (conductor.wire) } {
                    "Proof: " @if doubtful == 0 { "all " (conductor.proof.len()) " hold" } @else { (doubtful) " of " (conductor.proof.len()) " do not hold" }
                }
                ul { @for line in &conductor.proof { li { (proof_line(line)) } } }
            }
        }
    }
}

fn start_and_stop(wires: &Wires, tag: &str, candidate: &str, finding: Option<&dossier::Finding>) -> Markup {
    // What a check that only holds or fails has looked at is its last step.
    let after = finding.and_then(|f| f.working.iter().rev().find(|s| s.symbol == "verdict")).map(|s| s.name.as_str());
    html! {
        section {
            h2 { "Start and stop" }
            @if wires.schemes.is_empty() {
                p { "The list of conductors shows no start command: it comes over a network or from the keypad, or the list lacks it." }
            } @else {
                dl.sides {
                    dt { "Before" } dd { (wires.schemes.join("; ")) }
                    dt { "After" } dd {
                        "must stay what it was"
                        @if let Some(f) = finding {
                            "; " a href=(margins::link(tag, candidate, f)) { (f.title) } ": " (verdict(&f.verdict))
                            @if let Some(after) = after { " " (after) } @else if let Some(reason) = &f.reason { " " (reason) }
                        } @else { "; whether the new unit's settings take it so is not examined" }
                    }
                }
            }
        }
    }
}

fn to_order(wires: &Wires) -> Markup {
    let price = |price: Option<f64>| html! { @if let Some(price) = price { (money(price)) " " (wires.currency) } @else { "no price" } };
    let mut circuits: Vec<&Conductor> = Vec::new();
    for c in wires.conductors.iter().filter(|c| !c.parts.is_empty()) {
        if circuits.iter().all(|other| other.old.circuit != c.old.circuit) {
            circuits.push(c);
        }
    }
    html! {
        section {
            h2 { "To order for the wires" }
            @if let Some(variant) = &wires.variant { p { "Variant of the unit: " strong { (variant) } } }
            @if !wires.modules.is_empty() {
                table.cards {
                    thead { tr { th { "Slot" } th { "Module" } th { "What it does" } th.number { "Price" } } }
                    tbody { @for m in &wires.modules { tr {
                        th scope="row" { "slot " (m.slot) } td data-name="Module" { (m.module) }
                        td data-name="What" { (m.what) @if !m.limits.is_empty() { span.sub { (m.limits) } } }
                        td.number data-name="Price" { (price(m.price)) }
                    } } }
                }
            } @else { p { "No module." } }
            @if !circuits.is_empty() {
                table.cards {
                    thead { tr { th { "Circuit" } th { "Parts" } } }
                    tbody { @for c in circuits { tr { th scope="row" { (c.old.circuit) } td data-name="Parts" { (c.parts.join("; ")) } } } }
                }
            }
            p.cost {
                (money(wires.cost)) " " (wires.currency) " with " (digits(wires.minutes, 3)) " minutes of work"
                @match wires.unpriced { 0 => {}, 1 => " and one part without a price", n => { " and " (n) " parts without a price" } }
            }
        }
    }
}

fn links(wires: &Wires) -> Markup {
    html! {
        @if !wires.links.is_empty() {
            section {
                h2 { "Links" }
                table.cards {
                    thead { tr { th { "Link" } th { "Do" } th { "Why" } } }
                    tbody { @for l in &wires.links { tr { th scope="row" { (l.link) } td data-name="Do" { strong { (l.action) } } td data-name="Why" { (l.reason) } } } }
                }
            }
        }
        @if !wires.start_conditions.is_empty() {
            section {
                h2 { "The unit is ready only with these closed" }
                table.cards {
                    thead { tr { th { "Point" } th { "Closed by" } } }
                    tbody { @for c in &wires.start_conditions { tr { th scope="row" { (c.point) } td data-name="Closed by" { (c.closed_by.as_deref().unwrap_or("nothing closes it")) } } } }
                }
            }
        }
    }
}

fn permissives(permissives: &[Permissive]) -> Markup {
    let modes = |modes: &Option<Vec<String>>| match modes {
        None => "the list does not say".to_owned(),
        Some(modes) if modes.is_empty() => "in none".to_owned(),
        Some(modes) => modes.join(", "),
    };
    html! {
        section {
            h2 { "What must be so before it runs, by mode" }
            @if permissives.is_empty() {
                p { "The list of conductors shows no permissive, stop or enable. A machine without any is rare: look again before the night." }
            } @else {
                table.cards {
                    thead { tr { th { "Interlock" } th { "Old terminals" } th { "Acts in, before" } th { "Afterwards at" } th { "Acts in, after" } th { "To look at" } } }
                    tbody { @for p in permissives { tr {
                        th scope="row" { (p.circuit) span.sub { (p.function.replace('-', " ")) } }
                        td data-name="Old terminals" { (p.old) }
                        td data-name="Acts in, before" { (modes(&p.modes)) }
                        td data-name="Afterwards at" { (p.new.as_deref().unwrap_or("nowhere")) }
                        td data-name="Acts in, after" { (modes(&p.after)) }
                        td data-name="To look at" { (p.remark) }
                    } } }
                }
            }
        }
    }
}
