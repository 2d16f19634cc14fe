//! Work on the unit: the bench test before the day, and the commissioning sheet with what is expected at each step.

use std::f64::consts::SQRT_2;

use dossier::paper::{Cell, Column, Field, Paper, Row, Run, Tick};
use plant::quantity::{System, Voltage};
use plant::survey::{
    FactId, LOAD_CURRENT, LOAD_OVERHAULING, LOAD_PEAK_CURRENT, MOTOR_COUNT, MOTOR_CURRENT, MOTOR_FREQUENCY, MOTOR_NO_LOAD_CURRENT,
    MOTOR_SPEED, MOTOR_VOLTAGE, SPEED_HIGHEST, SPEED_LOWEST, STOP_NEED, STOP_TIME, SUPPLY_HIGHEST, SUPPLY_LOWEST, SUPPLY_UNBALANCE, path,
};

use super::rotation::rotation;
use super::sheet::{Desk, Sheet, energise, expect, fact_run, finding_cell, hold, tick};
use crate::measure;
use crate::report::range_text;

pub(super) fn bench(desk: &Desk<'_>) -> Paper {
    let mut sheet = Sheet::new(desk, "bench-test", "Bench test: script and record", "technician");
    sheet.reads_choice();
    let Some(first) = desk.first() else {
        return sheet.not_examined("There is no unit to try.");
    };
    sheet.say(format!(
        "For {} {} before it goes to {}. On a bench with its own protective device, protective earth first; the unit's documents say which \
         connections a run on the bench allows.",
        first.series, first.code, desk.report.tag
    ));
    sheet.cautions("CDX");
    sheet.heading("Before power");
    sheet.ticks(vec![
        expect("Order code on the plate compared with the bill.", first.code.clone()),
        expect("Date code and time since it was last energised.", "re-formed first where its documents ask for it"),
        tick("Looked over: transport damage, loose screws, options in their slots, links as the settings book says."),
        hold("Protective earth connected, bench cleared, nobody can touch a terminal."),
    ]);
    sheet.heading("With power");
    let mut steps = vec![
        energise("Line on by the bench's own switch.", "display comes up, no fault"),
        expect("Firmware read.", "the version that the settings are written for"),
        tick("Duty class, motor plate and ramps set; settings saved to a file and to paper."),
        tick("Digital inputs simulated one by one: each does what the crosswalk says, and nothing else."),
        tick("Analogue inputs at 0, 50 and 100 %; outputs read back."),
        energise("A small motor run at 10, 30 and 60 Hz or as far as it may; both directions.", "runs smoothly, rotation as shown"),
        tick("Stop by every stop input; the way it stops is the one that the machine needs."),
        tick("Power taken away and given back with the run command standing: what it does is what was agreed."),
        tick("Reference wire opened while it runs: what it does is what was agreed."),
    ];
    if desk.words.is_some() {
        steps.push(tick(
            "Network: words exchanged with a simulated controller, table of test vectors worked through, cable pulled while it runs.",
        ));
    }
    sheet.ticks(steps);
    sheet.heading("Record");
    let rows = ["firmware", "settings file", "seen otherwise than expected", "repeated after what change"]
        .map(|what| Row::of(vec![Cell::text(what), Cell::Blank]));
    sheet.table("record", "", vec![Column::words("what", 1.0), Column::room("found", 110.0)], rows.into());
    sheet.fields(vec![Field::line("Tried by, date"), Field::line("Seen by")]);
    sheet.finish()
}

/// Lowest and highest value that a fact may have, SI; `None` where that cannot be told.
fn span(desk: &Desk<'_>, id: FactId) -> Option<(f64, f64)> {
    if let Some(bounds) = desk.survey.position().fact(id).and_then(|f| f.known.bounds()) {
        return Some(bounds);
    }
    let values = measure::possible(desk.survey, id, 2);
    let first = *values.first()?;
    Some(values.iter().fold((first, first), |(low, high), v| (low.min(*v), high.max(*v))))
}

/// What commissioning compares with: facts of the survey, and the bus volts that follow from the line.
const EXPECTED: &[(&str, FactId)] = &[
    ("motor plate: volts", MOTOR_VOLTAGE.id),
    ("motor plate: frequency", MOTOR_FREQUENCY.id),
    ("motor plate: speed", MOTOR_SPEED.id),
    ("motor plate: amperes", MOTOR_CURRENT.id),
    ("motors on this drive", MOTOR_COUNT.id),
    ("amperes without load", MOTOR_NO_LOAD_CURRENT.id),
    ("amperes at the worst load", LOAD_CURRENT.id),
    ("peak amperes at break-away", LOAD_PEAK_CURRENT.id),
    ("lowest frequency used for long", SPEED_LOWEST.id),
    ("highest frequency used", SPEED_HIGHEST.id),
    ("stop time that the process needs", STOP_TIME.id),
    ("voltage unbalance", SUPPLY_UNBALANCE.id),
];

pub(super) fn commissioning(desk: &Desk<'_>) -> Paper {
    let mut sheet = Sheet::new(desk, "commissioning-sheet", "Commissioning sheet", "commissioning technician");
    for id in EXPECTED.iter().map(|(_, id)| *id).chain([SUPPLY_LOWEST.id, SUPPLY_HIGHEST.id, STOP_NEED.id, LOAD_OVERHAULING.id]) {
        sheet.reads(id);
    }
    // A range that was not read follows from the motor's plate.
    sheet.reads_table("motor");
    sheet.reads_table("supply");
    sheet.reads_table("load");
    sheet.reads_candidate();
    let Some(first) = desk.first() else {
        return sheet.not_examined("There is no unit to commission.");
    };
    let system = desk.input.site.units;
    let told = |id| range_text(desk.survey, id, system);
    sheet.cautions_of_position("LDRWX");
    let open: Vec<&dossier::Finding> = first.findings.iter().filter(|f| f.verdict != "holds" && f.severity != "nuisance").collect();
    if !open.is_empty() {
        sheet.heading("Not settled yet");
        sheet.say("Each of these holds, or is accepted by name, before the first run.");
        let rows = open.iter().map(|f| {
            let who = f.accepted.as_ref().filter(|_| !f.stays_open).map_or(Cell::Blank, |a| Cell::text(format!("accepted: {}", a.by)));
            Row::of(vec![Cell::Verdict(f.verdict.clone()), finding_cell(f), Cell::text(f.severity.clone()), who])
        });
        let columns =
            vec![Column::fit("verdict"), Column::words("fault", 1.0), Column::fit("may cost"), Column::room("settled by, how", 60.0)];
        sheet.table("unsettled", "", columns, rows.collect());
    }
    sheet.heading("What is expected");
    let mut rows = vec![bus(desk, system)];
    rows.extend(
        EXPECTED.iter().map(|(what, id)| {
            Row::of(vec![Cell::text(*what), Cell::text(told(*id)), Cell::Words(vec![fact_run(&path(*id))]), Cell::Blank])
        }),
    );
    let unit = desk.unit().map(|u| u.unit.rating.current.text(system)).unwrap_or_default();
    rows.push(Row::of(vec![Cell::text("rated amperes of the unit in this duty"), Cell::text(unit), Cell::text("its pack"), Cell::Blank]));
    let columns =
        vec![Column::words("reading", 1.3), Column::words("expected", 1.3), Column::words("from", 1.2), Column::room("found", 34.0)];
    sheet.table("expected", "", columns, rows);
    sheet.heading("Dry checks, everything dead");
    sheet.ticks(dry(first));
    sheet.heading("First power, motor not turning");
    sheet.ticks(vec![
        hold("Everybody clear of machine and panel; the person with the stop in sight of the machine."),
        energise("Line on; display read before anything else.", "no fault, no smell, no noise"),
        expect(
            "Line volts, three pairs, and DC bus read.",
            format!("{} … {}; bus as above", told(SUPPLY_LOWEST.id), told(SUPPLY_HIGHEST.id)),
        ),
        tick("Settings loaded, then compared line by line with the settings book."),
        tick("Inputs and outputs tried one by one by the crosswalk, run command last."),
        tick("Stop chain opened at each device in turn: the unit sees every one."),
    ]);
    sheet.heading("First turns");
    let mut turns = vec![
        hold("Motor uncoupled, or the machine safe to run backwards; that is agreed with operations."),
        energise("Short jog at low frequency: rotation.", "as the machine needs, on the drive and on the bypass"),
        energise(
            "Slow run, then the whole range; sound, vibration, skipped frequencies.",
            format!("amperes {}", told(MOTOR_NO_LOAD_CURRENT.id)),
        ),
    ];
    if told(LOAD_OVERHAULING.id) != "no" {
        turns.insert(1, hold("The mechanical brake alone holds the load: proved by looking, before the unit ever lifts it."));
    }
    sheet.ticks(turns);
    rotation(&mut sheet);
    super::behaviour::tests(&mut sheet, desk);
    sheet.heading("With the load");
    sheet.ticks(vec![
        energise("Start with the usual load; peak amperes read.", told(LOAD_PEAK_CURRENT.id)),
        expect("Worst load of the day; amperes and frequency read after ten minutes.", told(LOAD_CURRENT.id)),
        expect(format!("Stop from full speed with load ({}); time taken.", told(STOP_NEED.id)), told(STOP_TIME.id)),
        tick("Power dip or loss acted out as far as the plant allows: what it does is what was agreed."),
        expect("Air in the box and the unit's own temperature after an hour.", "below the figures of the heat balance"),
        hold("Operations have seen it run, stop, fault and restart, and take it over."),
    ]);
    sheet.failures();
    sheet.heading("Stop at once when");
    sheet.lines(STOP.iter().map(|s| (*s).to_owned()));
    sheet.fields(vec![Field::line("Commissioned by, date"), Field::line("For operations"), Field::line("Released to run at")]);
    sheet.finish()
}

/// Bus volts without load: the peak of the line voltage behind a diode bridge. Derived.
fn bus(desk: &Desk<'_>, system: System) -> Row {
    let low = span(desk, SUPPLY_LOWEST.id).map(|(low, _)| low * SQRT_2);
    let high = span(desk, SUPPLY_HIGHEST.id).map(|(_, high)| high * SQRT_2);
    let text = match (low, high) {
        (Some(low), Some(high)) => format!("{} … {}", Voltage::si(low).text(system), Voltage::si(high).text(system)),
        _ => "√2 times the line volts".to_owned(),
    };
    let from = vec![Run::plain("√2·U, no load: "), fact_run(&path(SUPPLY_LOWEST.id)), Run::plain(", "), fact_run(&path(SUPPLY_HIGHEST.id))];
    Row::of(vec![Cell::text("DC bus, motor not turning"), Cell::text(text), Cell::Words(from), Cell::Blank])
}

fn dry(first: &dossier::Candidate) -> Vec<Tick> {
    let mut ticks = vec![
        expect("Unit, duty class and options compared with the bill.", format!("{}, {} duty", first.code, first.duty)),
        tick("Tightening torques of power terminals as the unit's documents say; marked."),
        tick("Line on the line terminals, motor on the motor terminals: looked at by a second person."),
        tick("Earth links of filter and varistors as the settings book and the supply's grounding ask."),
        tick("Motor and cable tested for insulation with the unit disconnected; discharged afterwards."),
        tick("Protective earth continuous from unit, motor and plate."),
        tick("Clearances, covers, swarf, tools."),
    ];
    for remedy in first.findings.iter().flat_map(|f| &f.remedies).filter(|r| r.taken) {
        ticks.push(tick(format!("Done and seen: {}.", remedy.what)));
    }
    ticks.push(hold("Dry checks signed before any power."));
    ticks
}

/// Common practice, no source.
const STOP: &[&str] = &[
    "smoke, smell, or a sound that was not there",
    "rotation is wrong with the load coupled",
    "the stop does not stop it, or stops it otherwise than agreed",
    "amperes stay above the motor's plate",
    "the bus climbs towards its trip while the load drives",
    "the line or motor volts differ between phases",
];
