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
        "Found by running both control schemes side by side, as the units' documents and the survey describe them and with the new unit as \
         delivered; no unit was tried. A line that a setting or a wire takes away says so.",
    );
    let moving = || behaviour.differences.iter().filter(|d| d.danger != SIGNALS);
    let lines = outcomes(moving());
    let rows = lines.iter().take(MOST).map(|(d, ways)| {
        let others = if *ways > 1 { format!(" The same comes in {} other ways.", ways - 1) } else { String::new() };
        let certain = if d.certain { String::new() } else { format!(" (depends on {})", d.on.join("; ")) };
        Row::of(vec![
            Cell::text(d.danger.clone()),
            Cell::text(format!("{}{certain}.{others}", d.sentence())),
            Cell::text(d.taken_away_by()),
            Cell::Blank,
        ])
    });
    let columns = vec![
        Column::words("kind", 1.0),
        Column::words("what happens, old and new", 2.4),
        Column::words("taken away by", 1.8),
        Column::room("accepted by, on", 30.0),
    ];
    sheet.table("behaviour", "", columns, rows.collect());
    if lines.is_empty() {
        sheet.say("The motor moves as before after every sequence of events that was looked at.");
    }
    more(sheet, lines.len());
    let quiet = behaviour.differences.len() - moving().count();
    if quiet > 0 {
        sheet.say(format!("In {quiet} further ways contacts, or what they tell, differ: the command “behaviour” lists them."));
    }
}

/// Each dangerous difference and each rule that is broken, as a test with its expected result.
pub(super) fn tests(sheet: &mut Sheet<'_>, desk: &Desk<'_>) {
    let Some(behaviour) = compared(sheet, desk) else { return };
    let rules = behaviour.rules.iter().filter(|r| !r.events.is_empty()).map(rule);
    let dangerous = outcomes(behaviour.differences.iter().filter(|d| d.danger != SIGNALS && d.danger != OTHERWISE));
    let all: Vec<Tick> = rules.chain(dangerous.into_iter().map(|(d, _)| difference(d))).collect();
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
    energise(in_order(&rule.events), format!("kept: {}", rule.rule))
}

fn difference(difference: &Difference) -> Tick {
    let expected = if difference.gone {
        format!("as the old unit: it {}", difference.old)
    } else {
        format!("it {} (the old one: {}); accepted by name, or not released", difference.new, difference.old)
    };
    energise(in_order(&difference.events), expected)
}
