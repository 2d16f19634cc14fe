//! The behaviour: where the new unit acts differently, the worst first, each with its events, what both do and what takes it away; the
//! rules of safety held against each side; and the dangerous ones as timing figures.

use dossier::behaviour::{Behaviour, Difference, Rule};
use dossier::drawing::Drawing;
use findings::candidate::Candidate;
use findings::caution::find;
use job::assess::{join, old_series};
use job::behaviour::figures;
use maud::{Markup, PreEscaped, html};
use output::svg::{Options, svg};
use serde_json::json;

use super::answer::{Answered, of};
use super::rating::choose;
use crate::ask::Ask;
use crate::server::Desk;
use crate::view::{Tab, Trouble, View, verdict};

/// Differences of contacts and of what they tell: the least, and the most.
const SIGNALS: &str = "signals otherwise";
/// Cautions that belong to commands and to altered safety functions.
const CAUTIONS: [char; 2] = ['X', 'S'];

fn made(answered: &Answered, candidate: &str) -> Result<Behaviour, String> {
    let input = answered.now.input();
    let surveyed = answered.now.folder.position(&answered.tag).ok_or("the position is gone")?;
    let position = join(input, surveyed, &mut Vec::new());
    let new = input.packs.iter().flat_map(Candidate::all).find(|c| c.id() == candidate).ok_or("there is no such candidate")?;
    job::behaviour::behaviour(&position, old_series(input, &position), new.series)
}

pub(crate) fn show(desk: &Desk, ask: &Ask) -> Result<View, Trouble> {
    let answered = of(desk, ask)?;
    let candidate = answered.candidate(ask).map(|c| c.id.clone()).unwrap_or_default();
    let made = made(&answered, &candidate);
    let body = html! {
        (answered.head())
        @match &made {
            Err(why) => { h2 { "Behaviour" } p { "Not examined: " (why) "." } },
            Ok(answer) => { (choose(&answered, "/behaviour", &candidate)) (page(answer)) },
        }
    };
    let json = json!({ "tag": answered.tag, "candidate": candidate, "behaviour": made.as_ref().ok(), "not_examined": made.as_ref().err() });
    Ok(answered.page(Tab::Behaviour, "behaviour", body, json))
}

fn page(answer: &Behaviour) -> Markup {
    html! {
        p { "Old: " (answer.old) ". New: " (answer.new) ", first as delivered, then with what is done together." }
        @if answer.states > 0 {
            p { "Wiring: " (answer.scheme) ". " (answer.states) " states of both side by side were looked at, with every event in each. No unit was tried." }
        }
        @if !answer.open.is_empty() { section { h2 { "To read first" } ul { @for o in &answer.open { li { (o) } } } } }
        @if answer.states > 0 {
            (rules(&answer.rules))
            section { h2 { "Done together until nothing dangerous is left that can be mended here" }
                @if answer.remedies.is_empty() { p { "Nothing was found that helps." } } @else { ul { @for r in &answer.remedies { li { (r) } } } }
                p { "Then left: " @if answer.left.is_empty() { "no difference" } @for (i, l) in answer.left.iter().enumerate() { @if i > 0 { ", " } (l.differences) " " (l.danger) } "." }
                @let stays: Vec<&Difference> = answer.stays.iter().filter(|d| d.danger != SIGNALS).collect();
                @if !stays.is_empty() { details { summary { "What then stays, to be accepted by name" } (list(&stays, false)) } }
            }
            (differences(answer))
        }
        @if !answer.remarks.is_empty() { section { h2 { "To know" } ul { @for r in &answer.remarks { li { (r) } } } } }
        section.cautions { h2 { "Cautions" } dl { @for caution in CAUTIONS.into_iter().filter_map(find) { dt { (caution.hazard) } dd { (caution.text) } } } }
    }
}

fn rules(rules: &[Rule]) -> Markup {
    html! {
        section { h2 { "Rules, each side alone" }
            table.cards {
                thead { tr { th { "Rule" } th { "New" } th { "Old" } th { "Broken by" } th { "Kept with" } } }
                tbody { @for r in rules.iter().filter(|r| r.verdict != "not here") { tr {
                    th scope="row" { (r.rule) @if !r.on.is_empty() { span.sub { "depends on " (r.on.join("; ")) } } }
                    td data-name="New" { (verdict(&r.verdict)) @if r.after != r.verdict { span.sub { "with all that is done together: " (r.after) } } }
                    td data-name="Old" { (r.old) }
                    td data-name="Broken by" { @if r.events.is_empty() { "—" } @else { (r.events.join(", then ")) } }
                    td data-name="Kept with" { @if r.remedies.is_empty() { "—" } @else { (r.remedies.join("; or ")) } }
                } } }
            }
        }
    }
}

fn differences(answer: &Behaviour) -> Markup {
    let drawn = figures(answer);
    let moving: Vec<&Difference> = answer.differences.iter().filter(|d| d.danger != SIGNALS).collect();
    let quiet: Vec<&Difference> = answer.differences.iter().filter(|d| d.danger == SIGNALS).collect();
    let mut dangers: Vec<&str> = moving.iter().map(|d| d.danger.as_str()).collect();
    dangers.dedup();
    html! {
        @if moving.is_empty() { section { h2 { "Differences" } p { "The motor moves as before after every sequence of events." } } }
        @for danger in dangers {
            section { h2 { "As delivered, the new one " (danger) }
                @for (number, difference, others) in outcomes(&moving, danger) {
                    (told(number, difference, drawn.get(number)))
                    @if !others.is_empty() { details { summary { (others.len()) " other ways to the same" } (list(&others, true)) } }
                }
            }
        }
        @if !quiet.is_empty() {
            section { h2 { "Contacts and what they tell" }
                details { summary { (quiet.len()) " in which the motor moves as before" } (list(&quiet, true)) }
            }
        }
    }
}

/// Differences of one danger by what both sides then do: the first, which has the shortest way there, with its number, and the others.
fn outcomes<'d>(moving: &[&'d Difference], danger: &str) -> Vec<(usize, &'d Difference, Vec<&'d Difference>)> {
    let mut list: Vec<(usize, &Difference, Vec<&Difference>)> = Vec::new();
    for (number, difference) in moving.iter().copied().enumerate().filter(|(_, d)| d.danger == danger) {
        match list.iter_mut().find(|(_, first, _)| first.ends_as(difference)) {
            Some((_, _, others)) => others.push(difference),
            None => list.push((number, difference, Vec::new())),
        }
    }
    list
}

fn told(number: usize, difference: &Difference, figure: Option<&Drawing>) -> Markup {
    let prefix = format!("course-{number}-");
    html! {
        article.difference id={ "difference-" (number + 1) } {
            h3 { (number + 1) ". After “" (difference.events.last().map_or("power-up", String::as_str)) "”: the old one " (difference.old) "; the new one " (difference.new) }
            @if !difference.certain { p { "Depends on " (difference.on.join("; ")) "." } }
            @match difference.remedies.as_slice() {
                [] if difference.gone => p { "Gone with what is done together." },
                [] if difference.here.is_empty() => p { "Nothing that was tried takes it away." },
                [] => { p { "Other ways to it may stay; on this one it is gone with any one of:" } ul { @for r in &difference.here { li { (r) } } } },
                remedies => { p { "Gone with any one of:" } ul { @for r in remedies { li { (r) } } } },
            }
            @if let Some(picture) = figure.and_then(|f| svg(f, &Options { prefix, ..Options::default() }).ok()) {
                figure.course tabindex="0" role="group" aria-label={ "Course of difference " (number + 1) } { (PreEscaped(picture)) }
                details { summary { "The same as a table" } (course(difference)) }
            } @else { (course(difference)) }
        }
    }
}

/// What both did after each event.
fn course(difference: &Difference) -> Markup {
    html! {
        table.cards {
            thead { tr { th { "Event" } th { "Old" } th { "New" } } }
            tbody { @for (event, moment) in difference.events.iter().zip(&difference.course) { tr {
                th scope="row" { (event) } td data-name="Old" { (moment.old) } td data-name="New" { (moment.new) }
            } } }
        }
    }
}

/// `tried`: whether remedies were tried on them.
fn list(differences: &[&Difference], tried: bool) -> Markup {
    html! {
        table.cards {
            thead { tr { th { "Events" } th { "Old" } th { "New" } @if tried { th { "Gone with" } } } }
            tbody { @for d in differences { tr {
                th scope="row" { (d.events.join(", then ")) @if !d.certain { span.sub { "depends on " (d.on.join("; ")) } } }
                td data-name="Old" { (d.old) }
                td data-name="New" { (d.new) }
                @if tried { td data-name="Gone with" { @if d.remedies.is_empty() { "—" } @else { (d.remedies.join("; or ")) } } }
            } } }
        }
    }
}
