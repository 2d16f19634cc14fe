//! What if: a reading is typed, or picked from its range, and the page says at once which verdicts it would settle. Nothing is
//! written; the form of the survey does that.

use job::assess::{Input, assess_position};
use job::measure::possible;
use job::phrase::{margin_text, standing};
use maud::{Markup, html};
use packs::text::{fact_id, fact_text, parse_fact_of};
use plant::fact::{Fact, Known, Origin};
use plant::position::Position;
use plant::survey::{FactId, def};
use serde_json::{Value, json};

use super::answer::{Answered, of};
use crate::ask::Ask;
use crate::figures::margins::bar;
use crate::server::Desk;
use crate::view::{Tab, Trouble, View, at, verdict};

/// Readings that are offered from a range, its ends included.
const OFFERED: usize = 7;
/// Readings that a slider stops at.
const STOPS: usize = 25;

/// One finding before and after.
struct Turn<'p> {
    before: &'p dossier::Finding,
    after: &'p dossier::Finding,
}

impl Turn<'_> {
    fn settles(&self) -> bool {
        self.before.verdict == "depends" && self.after.verdict != "depends"
    }
}

pub(crate) fn show(desk: &Desk, ask: &Ask) -> Result<View, Trouble> {
    let answered = of(desk, ask)?;
    let path = ask.query("fact");
    let id = fact_id(path).map_err(|wrong| Trouble::missing(format!("{}; {}", wrong.message, wrong.help)))?;
    let position = answered.now.folder.position(&answered.tag).ok_or_else(|| super::answer::no_position(&answered.now, &answered.tag))?;
    if position.fact(id).is_none() {
        return Err(Trouble::missing(format!("{} has no {path}", answered.tag)));
    }
    let value = ask.query("value");
    let tried = if value.is_empty() { Ok(None) } else { try_it(&answered, position, id, value).map(Some) };
    let stops = offered(&answered, position, id, STOPS);
    let offered = offered(&answered, position, id, OFFERED);
    let body = html! {
        (answered.head())
        h2 { "What if: " (def(id).label) }
        form.filter.trial method="get" action=(at(&answered.tag, "/try")) data-trial data-stops=[(stops.len() > 2).then(|| stops.join("|"))] {
            input type="hidden" name="fact" value=(path);
            label { "Reading" input name="value" value=(value) list="offered" autocomplete="off" maxlength="400"; }
            datalist #offered { @for o in &offered { option value=(o) {} } }
            button type="submit" { "Try" }
        }
        @if !offered.is_empty() {
            p.offered { "It may be: " @for o in &offered { a href=(at(&answered.tag, &format!("/try?fact={}&value={}", path, crate::ask::part_of_path(o)))) aria-current=[(o == value).then_some("true")] { (o) } " " } }
        }
        @match &tried {
            Err(wrong) => p.wrong role="alert" { (wrong) },
            Ok(None) => p { "Type a reading, a narrower range, or pick one. Nothing is written." },
            Ok(Some(after)) => (turned(&answered, after)),
        }
        p { a href=(at(&answered.tag, &format!("/found#{path}"))) { "Write a reading into the survey" } }
    };
    let json = json!({
        "tag": answered.tag, "fact": path, "value": value, "offered": offered,
        "wrong": tried.as_ref().err(), "after": tried.as_ref().ok().and_then(|t| t.as_ref()).map(|after| after_json(&answered, after)),
    });
    Ok(answered.page(Tab::Answer, "what if", body, json))
}

/// The position assessed with a fact as it may be read.
fn try_it(answered: &Answered, position: &Position, id: FactId, value: &str) -> Result<dossier::Position, String> {
    let known = parse_fact_of(value, def(id)).map_err(|wrong| format!("{}; {}", wrong.message, wrong.help))?;
    let now = &answered.now;
    // Only the drives of its box bear on a position.
    let beside = |p: &&Position| p.tag == position.tag || position.enclosure.is_some() && p.enclosure == position.enclosure;
    let mut positions: Vec<Position> = now.folder.positions.iter().filter(beside).cloned().collect();
    let Some(own) = positions.iter_mut().find(|p| p.tag == position.tag) else { return Err("the position is gone".into()) };
    if let Some(fact) = own.fact_mut(id) {
        *fact = Fact { known, origin: Origin { proof: Some("tried, not read".into()), ..Origin::default() } };
    }
    let own = own.clone();
    Ok(assess_position(Input { positions: &positions, ..now.input() }, &own))
}

/// Readings over what a fact may be.
fn offered(answered: &Answered, position: &Position, id: FactId, count: usize) -> Vec<String> {
    let input = answered.now.input();
    let joined = job::assess::join(input, position, &mut Vec::new());
    let survey = job::assess::survey_of(input, &joined);
    let mut texts: Vec<String> = Vec::new();
    for value in possible(&survey, id, count) {
        let text = fact_text(&Known::Value(value), def(id).kind, input.site.units);
        if !texts.contains(&text) {
            texts.push(text);
        }
    }
    texts
}

/// Findings of the candidate that leads now, before and after.
fn turns<'p>(answered: &'p Answered, after: &'p dossier::Position) -> Vec<Turn<'p>> {
    let Some(first) = answered.position.candidates.first() else { return Vec::new() };
    let Some(then) = after.candidates.iter().find(|c| c.id == first.id) else { return Vec::new() };
    let pair = |before: &'p dossier::Finding| then.findings.iter().find(|f| f.name == before.name).map(|after| Turn { before, after });
    first.findings.iter().filter_map(pair).filter(|t| t.before.verdict != t.after.verdict || t.before.margin != t.after.margin).collect()
}

fn turned(answered: &Answered, after: &dossier::Position) -> Markup {
    let turns = turns(answered, after);
    let settled = turns.iter().filter(|t| t.settles()).count();
    let (first, then) = (answered.position.candidates.first(), after.candidates.first());
    html! {
        div.outcome aria-live="polite" {
            p.lead { "It would settle " strong { (settled) } @if settled == 1 { " verdict." } @else { " verdicts." } }
            @if let (Some(first), Some(then)) = (first, then) {
                p { "Now: " (verdict(standing(first))) " " (first.id) ". Then: " (verdict(standing(then))) " " (then.id) "." }
                @if !after.candidates.iter().any(|c| c.id == first.id) { p.remark { (first.id) " would no longer be among the candidates that are shown." } }
            }
            @if turns.is_empty() { p { "No margin changes." } } @else {
                table.cards {
                    thead { tr { th { "Fault" } th { "Now" } th { "Then" } } }
                    tbody { @for t in &turns { tr data-settles[t.settles()] {
                        th scope="row" { (t.after.title) span.sub { (t.after.name) } }
                        td data-name="Now" { (verdict(&t.before.verdict)) (bar(&t.before.margin)) span.figures { (margin_text(&t.before.margin)) } }
                        td data-name="Then" { (verdict(&t.after.verdict)) (bar(&t.after.margin)) span.figures { (margin_text(&t.after.margin)) } }
                    } } }
                }
            }
        }
    }
}

fn after_json(answered: &Answered, after: &dossier::Position) -> Value {
    let turns = turns(answered, after);
    json!({
        "settles": turns.iter().filter(|t| t.settles()).count(),
        "candidate": after.candidates.first().map(|c| &c.id), "verdict": after.verdict,
        "changes": turns.iter().map(|t| json!({ "finding": t.after.name, "before": { "verdict": t.before.verdict, "margin": t.before.margin }, "after": { "verdict": t.after.verdict, "margin": t.after.margin } })).collect::<Vec<_>>(),
    })
}
