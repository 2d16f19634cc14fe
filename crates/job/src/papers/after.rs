//! What stays when the work is done: the as-left record, the door card, and the card of symptoms for the first months.

use dossier::paper::{Cell, Column, Field, Paper, Part, Row, Run};
use findings::failure_modes::FAILURE_MODES;

use super::sheet::{Desk, Sheet};

pub(super) fn as_left(desk: &Desk<'_>) -> Paper {
    let mut sheet = Sheet::new(desk, "as-left-record", "As-left record", "maintenance");
    sheet.reads_choice();
    let Some(first) = desk.first() else {
        return sheet.not_examined("There is no unit whose state could be recorded.");
    };
    sheet.say("Filled in on the night, by the person who leaves last. What stays empty was not done.");
    let rows = ["series", "order code", "duty class"].into_iter().zip([&first.series, &first.code, &first.duty]);
    let rows = rows.map(|(what, planned)| Row::of(vec![Cell::text(what), Cell::text(planned.clone()), Cell::Blank]));
    let more = [
        "serial number",
        "date code",
        "firmware",
        "option modules, slot by slot",
        "order code of the fuse or breaker",
        "line conductors",
        "motor conductors",
    ];
    let rows = rows.chain(more.map(|what| Row::of(vec![Cell::text(what), Cell::Empty, Cell::Blank])));
    let columns = vec![Column::words("unit", 1.0), Column::words("as planned", 1.2), Column::room("as built in", 70.0)];
    sheet.heading("What is built in");
    sheet.table("unit", "", columns, rows.collect());
    sheet.heading("How it stands");
    let rows = LEFT.iter().map(|(what, ask)| Row::of(vec![Cell::text(*what), Cell::text(*ask), Cell::Blank, Cell::Tick]));
    let columns = vec![Column::words("what", 1.0), Column::words("to record", 1.6), Column::room("as left", 60.0), Column::fit("seen")];
    sheet.table("state", "", columns, rows.collect());
    sheet.heading("Readings at hand-over");
    let rows = READINGS.iter().map(|(what, unit)| Row::of(vec![Cell::text(*what), Cell::text(*unit), Cell::Blank, Cell::Blank]));
    let columns = vec![Column::words("reading", 1.4), Column::fit("unit"), Column::room("idle", 38.0), Column::room("at full load", 38.0)];
    sheet.table("readings", "", columns, rows.collect());
    sheet.fields(vec![
        Field { label: "Open points, with who and until when".into(), hint: String::new(), lines: 4 },
        Field { label: "Protections that were switched off for the run, and why".into(), hint: String::new(), lines: 2 },
        Field::line("Left by, date, time"),
        Field::line("Taken over by"),
    ]);
    sheet.finish()
}

/// Common practice, no source.
const LEFT: &[(&str, &str)] = &[
    ("settings", "file name, where its copies are; every setting that differs from the settings book"),
    ("links and switches", "earth links of filter and varistors, input type, termination"),
    ("safe torque off", "wired or linked; who allowed the link"),
    ("spare", "where it stands, its date code, its copy of the settings"),
    ("wires left over", "numbers, where they end, how they are insulated"),
    ("temporary things", "every link, clamp or bypass of the night is out"),
    ("photographs", "power, control, links, plate, door shut"),
    ("labels", "door card, arc-flash label, wire labels"),
    ("old unit", "kept until when, where, for the way back"),
];

/// Common practice, no source.
const READINGS: &[(&str, &str)] = &[
    ("line volts, three pairs", "V"),
    ("line amperes, three phases", "A"),
    ("DC bus", "V"),
    ("output frequency", "Hz"),
    ("motor amperes, three phases", "A"),
    ("air in the box after an hour", "°C or °F"),
    ("heat sink, by the unit", "°C or °F"),
    ("stop time", "s"),
];

pub(super) fn door_card(desk: &Desk<'_>) -> Paper {
    let mut sheet = Sheet::new(desk, "door-card", "Door card", "shift electrician");
    sheet.reads_choice();
    let Some(first) = desk.first() else {
        return sheet.not_examined("There is no unit that a card could stand for.");
    };
    sheet.part(Part::Statement(vec![
        Run::strong(desk.report.tag.clone()),
        Run::plain(format!(" — {} {}, {} duty", first.series, first.code, first.duty)),
    ]));
    sheet.heading("It has stopped");
    steps(
        &mut sheet,
        "stopped",
        &[
            "Read the fault text and write it down with the time before anything is reset.",
            "Look at the machine: is it free, is somebody at it?",
            "Reset once, from outside the machine, everybody clear. It may start at once if a start command still stands.",
            "The same fault again: do not reset any more. Lock out, and call.",
        ],
    );
    sheet.heading("Do not");
    sheet.lines(NEVER.iter().map(|s| (*s).to_owned()));
    sheet.heading("A spare goes in");
    steps(
        &mut sheet,
        "spare",
        &[
            "Same order code as above? Date code looked at; re-formed if it lay long?",
            "Isolation sheet worked through; bus measured.",
            "Wires moved one by one by their numbers; links as in the as-left record.",
            "Settings loaded from the copy; motor data and ramps compared with the record.",
            "Then the commissioning sheet, from its dry checks on.",
        ],
    );
    sheet.failures();
    sheet.cautions("DLX");
    sheet.fields(vec![
        Field::line("Call first"),
        Field::line("Call next"),
        Field::line("Spare stands at"),
        Field::line("Copy of the settings at"),
        Field::line("Run by hand: how, who may"),
    ]);
    sheet.finish()
}

/// Steps of a card: it hangs on a door for years, so that nothing is ticked on it.
fn steps(sheet: &mut Sheet<'_>, name: &str, steps: &[&str]) {
    let rows = (1..).zip(steps).map(|(number, step)| Row::of(vec![super::answer::count(number), Cell::text(*step)]));
    sheet.table(name, "", vec![Column::numbers("no.", ""), Column::words("step", 1.0)], rows.collect());
}

/// Common practice, no source.
const NEVER: &[&str] = &[
    "take the unit's stop, or a dark display, for isolation",
    "put volts on a unit whose power section has blown, not even to read its fault",
    "test insulation with the unit connected",
    "open the motor's contactor or disconnect under load unless the unit is told",
    "change a setting without writing it into the record",
];

pub(super) fn what_changed(desk: &Desk<'_>) -> Paper {
    let mut sheet = Sheet::new(desk, "what-changed-card", "What-changed card for the first ninety days", "maintenance");
    sheet.reads_candidate();
    let Some(first) = desk.first() else {
        return sheet.not_examined("There is no unit that symptoms could be told of.");
    };
    sheet.say(
        "Symptoms that this replacement may bring, by what was found to be different or left open here; nearest first. The cause named is \
         the first to look for, not the only one.",
    );
    let mut seen: Vec<u8> = Vec::new();
    let mut rows = Vec::new();
    for (finding, check) in
        first.findings.iter().filter_map(|f| Some((f, desk.unit()?.findings.iter().find(|a| a.check.name == f.name)?.check)))
    {
        let touched = finding.verdict != "holds" || finding.accepted.is_some() || finding.remedies.iter().any(|r| r.taken);
        if !touched {
            continue;
        }
        for mode in FAILURE_MODES.iter().filter(|m| check.rows.contains(&m.row)) {
            if seen.contains(&mode.row) {
                continue;
            }
            seen.push(mode.row);
            rows.push(Row::of(vec![
                super::answer::count(rows.len() + 1),
                Cell::text(mode.symptom),
                Cell::text(mode.cause),
                super::sheet::finding_cell(finding),
                Cell::Blank,
            ]));
        }
    }
    if rows.is_empty() {
        sheet.say("Nothing that was examined is different enough to bring one.");
    }
    let columns = vec![
        Column::numbers("no.", ""),
        Column::words("seen at the machine", 1.4),
        Column::words("look first for", 1.4),
        Column::words("why here", 1.2),
        Column::room("seen on", 24.0),
    ];
    sheet.table("symptoms", "", columns, rows);
    sheet.heading("First measurements, in this order");
    sheet.lines(FIRST.iter().map(|s| (*s).to_owned()));
    sheet.cautions("ADLX");
    sheet.finish()
}

/// Common practice, no source.
const FIRST: &[&str] = &[
    "the fault text, its time, and what the machine did in the minute before",
    "motor amperes by the unit's display against the as-left record",
    "line volts, three pairs, at the moment of trouble if it can be had",
    "air at the unit, with the door as it is in service",
    "settings compared with the as-left copy",
];
