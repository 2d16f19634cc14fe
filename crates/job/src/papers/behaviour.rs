//! What the comparison of behaviour puts on papers: lines of “what will be different”, and tests with their expected results. Differences
//! that come to the same are one line.

use dossier::behaviour::{Behaviour, Difference, Rule};
use dossier::paper::{Cell, Column, Row, Tick};

use super::sheet::{Desk, Sheet, energise};
use crate::behaviour::reads;

/// Most lines on a paper; the command lists all.
const MOST: usize = 24;
const SIGNALS: &str = "signals otherwise";
const OTHERWISE: &str = "moves otherwise";

/// Notes that a paper was made from the wiring of the position.
fn read(sheet: &mut Sheet<'_>) {
    reads().for_each(|id| sheet.reads(id));
}

/// The comparison; nothing where no unit can be compared, or not even the way of starting is known.
fn compared<'d>(sheet: &mut Sheet<'_>, desk: &'d Desk<'_>) -> Option<&'d Behaviour> {
    read(sheet);
    desk.behaviour.as_ref().filter(|b| b.states > 0)
}

/// Differences in which the motor moves otherwise, each to be accepted by a name.
pub(super) fn differences(sheet: &mut Sheet<'_>, desk: &Desk<'_>) {
    sheet.heading("How it will act differently");
    let Some(behaviour) = compared(sheet, desk) else {
        sheet.say(
            "Not examined: too little is known of what starts and stops this motor. Take every start, stop and return of power as different \
             until each was tried.",
        );
        return;
    };
    sheet.say(
        "Found by running both control schemes side by side, as the units' documents and the survey describe them; no unit was tried. Whoever \
         accepts a line signs it.",
    );
    if behaviour.remedies.is_empty() {
        accepted(sheet, behaviour);
    } else {
        sheet.say("The new unit as delivered:");
        delivered(sheet, behaviour);
        sheet.say(format!("Done together, so that nothing dangerous is left that can be mended here: {}.", behaviour.remedies.join("; ")));
        sheet.say("With that stays:");
        accepted(sheet, behaviour);
    }
}

/// Differences as delivered, and what takes each away.
fn delivered(sheet: &mut Sheet<'_>, behaviour: &Behaviour) {
    let lines = outcomes(moving(&behaviour.differences));
    let rows = lines
        .iter()
        .take(MOST)
        .map(|(d, ways)| Row::of(vec![Cell::text(d.danger.clone()), Cell::text(line(d, *ways)), Cell::text(d.taken_away_by())]));
    let columns = vec![Column::words("kind", 1.0), Column::words("what happens, old and new", 2.8), Column::words("taken away by", 2.0)];
    sheet.table("behaviour", "", columns, rows.collect());
    more(sheet, lines.len());
}

/// What stays, with room for who accepts it.
fn accepted(sheet: &mut Sheet<'_>, behaviour: &Behaviour) {
    let stays = behaviour.to_accept();
    let lines = outcomes(moving(stays));
    if lines.is_empty() {
        sheet.say("The motor moves as before after every sequence of events that was looked at.");
    } else {
        let rows =
            lines.iter().take(MOST).map(|(d, ways)| Row::of(vec![Cell::text(d.danger.clone()), Cell::text(line(d, *ways)), Cell::Blank]));
        let columns =
            vec![Column::words("kind", 1.0), Column::words("what happens, old and new", 3.4), Column::room("accepted by, on", 35.0)];
        sheet.table("behaviour-accepted", "", columns, rows.collect());
        more(sheet, lines.len());
    }
    let quiet = stays.len() - moving(stays).count();
    if quiet > 0 {
        sheet.say(format!("In {quiet} further ways contacts, or what they tell, differ: the command “behaviour” lists them."));
    }
}

fn moving(differences: &[Difference]) -> impl Iterator<Item = &Difference> {
    differences.iter().filter(|d| d.danger != SIGNALS)
}

fn dangerous(differences: &[Difference]) -> impl Iterator<Item = &Difference> {
    moving(differences).filter(|d| d.danger != OTHERWISE)
}

/// A difference as a line of a table.
fn line(difference: &Difference, ways: usize) -> String {
    let certain = if difference.certain { String::new() } else { format!(" (depends on {})", difference.on.join("; ")) };
    let others = if ways > 1 { format!(" The same comes in {} other ways.", ways - 1) } else { String::new() };
    format!("{}{certain}.{others}", difference.sentence())
}

/// Each dangerous difference and each rule that is broken, as a test with its expected result.
pub(super) fn tests(sheet: &mut Sheet<'_>, desk: &Desk<'_>) {
    let Some(behaviour) = compared(sheet, desk) else { return };
    let rules = behaviour.rules.iter().filter(|r| !r.events.is_empty()).map(rule);
    let found = outcomes(dangerous(&behaviour.differences));
    let stays = outcomes(dangerous(&behaviour.stays).filter(|s| behaviour.differences.iter().all(|d| d.events != s.events)));
    let all: Vec<Tick> =
        rules.chain(found.into_iter().map(|(d, _)| difference(d))).chain(stays.into_iter().map(|(d, _)| staying(d))).collect();
    if all.is_empty() {
        return;
    }
    let of = all.len();
    sheet.heading("Starts and stops that went otherwise on paper");
    sheet.say(
        "Motor uncoupled or the machine safe to move, people clear. Each sequence was found by running both control schemes side by side; each \
         is tried after the settings are in and the remedies are done.",
    );
    if !behaviour.remedies.is_empty() {
        sheet.say(format!("Done before them: {}.", behaviour.remedies.join("; ")));
    }
    sheet.ticks(all.into_iter().take(MOST).collect());
    more(sheet, of);
}

/// What differences come to, each by the first, which has the shortest way there, and how many ways there are.
fn outcomes<'b>(differences: impl Iterator<Item = &'b Difference>) -> Vec<(&'b Difference, usize)> {
    let mut list: Vec<(&Difference, usize)> = Vec::new();
    for difference in differences {
        match list.iter_mut().find(|(first, _)| first.ends_as(difference)) {
            Some((_, ways)) => *ways += 1,
            None => list.push((difference, 1)),
        }
    }
    list
}

fn more(sheet: &mut Sheet<'_>, of: usize) {
    if of > MOST {
        sheet.say(format!("And {} more: the command “behaviour” lists them.", of - MOST));
    }
}

fn in_order(events: &[String]) -> String {
    format!("In this order: {}.", events.join(", "))
}

fn rule(rule: &Rule) -> Tick {
    let expected = if rule.after == "holds" {
        format!("kept: {}", rule.rule)
    } else {
        format!("on paper it is not kept: {}; not released before somebody answers for that", rule.rule)
    };
    energise(in_order(&rule.events), expected)
}

fn difference(difference: &Difference) -> Tick {
    let expected = if difference.mended { format!("it {}", difference.after) } else { unmended(&difference.after, &difference.old) };
    energise(in_order(&difference.events), expected)
}

fn staying(difference: &Difference) -> Tick {
    energise(in_order(&difference.events), unmended(&difference.new, &difference.old))
}

fn unmended(new: &str, old: &str) -> String {
    format!("on paper it {new} (the old one: {old}); accepted by name, or not released")
}
