//! What the comparison of behaviour puts on papers: lines of “what will be different”, and tests with their expected results.

use dossier::behaviour::Behaviour;
use dossier::paper::{Cell, Column, Row, Tick};

use super::sheet::{Desk, Sheet, energise};

/// Most lines on a paper; the command lists all.
const MOST: usize = 24;

/// Notes that a paper was made from the wiring of the position.
pub(super) fn read(sheet: &mut Sheet<'_>) {
    sheet.reads_table("scheme");
    sheet.reads_table("output");
    sheet.reads_table("network");
}

/// Differences in which the motor moves otherwise, each to be accepted by a name.
pub(super) fn differences(sheet: &mut Sheet<'_>, desk: &Desk<'_>) {
    let Some(behaviour) = moving(desk) else { return };
    read(sheet);
    sheet.heading("How it will act differently");
    sheet.say(
        "Found by running both control schemes side by side, as the units' documents and the survey describe them and with the new unit as \
         delivered; no unit was tried. A line that a setting or a wire takes away says so.",
    );
    let lines = behaviour.differences.iter().filter(|d| d.danger != SIGNALS);
    let rows = lines.clone().take(MOST).map(|d| {
        let gone = if d.remedies.is_empty() { "nothing was found that takes it away".to_owned() } else { d.remedies.join("; or ") };
        let certain = if d.certain { String::new() } else { format!(" (depends on {})", d.on.join("; ")) };
        Row::of(vec![Cell::text(d.danger.clone()), Cell::text(format!("{}{certain}", d.sentence())), Cell::text(gone), Cell::Blank])
    });
    let columns = vec![
        Column::words("kind", 1.0),
        Column::words("what happens, old and new", 2.4),
        Column::words("taken away by", 1.8),
        Column::room("accepted by, on", 30.0),
    ];
    sheet.table("behaviour", "", columns, rows.collect());
    let more = lines.count().saturating_sub(MOST);
    if more > 0 {
        sheet.say(&format!("and {more} more: the command “behaviour” lists them"));
    }
}

/// Each dangerous difference and each rule that is broken, as a test with its expected result.
pub(super) fn tests(sheet: &mut Sheet<'_>, desk: &Desk<'_>) {
    let Some(behaviour) = moving(desk) else { return };
    let broken = behaviour.rules.iter().filter(|r| !r.events.is_empty());
    let rules = broken.map(|r| (r.events.join(", "), format!("the motor does not move: {}", r.rule)));
    let dangerous = behaviour.differences.iter().filter(|d| d.danger != SIGNALS && d.danger != OTHERWISE);
    let differences = dangerous.map(|d| (d.events.join(", "), format!("as the old unit, unless accepted by name: {}", d.old)));
    let ticks: Vec<Tick> =
        rules.chain(differences).take(MOST).map(|(events, expected)| energise(&format!("In this order: {events}."), expected)).collect();
    if ticks.is_empty() {
        return;
    }
    read(sheet);
    sheet.heading("Starts and stops that went otherwise on paper");
    sheet.say("Motor uncoupled, people clear. Each was found by running both control schemes side by side; each is tried after the settings are in.");
    sheet.ticks(ticks);
}

const SIGNALS: &str = "signals otherwise";
const OTHERWISE: &str = "moves otherwise";

fn moving<'d>(desk: &'d Desk<'_>) -> Option<&'d Behaviour> {
    desk.behaviour.as_ref().filter(|b| b.states > 0)
}
