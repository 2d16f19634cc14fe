//! The safety file stub and the isolation sheet.

use dossier::paper::{Cell, Column, Field, Paper, Row, Run};
use plant::survey::{LOAD_KIND, LOAD_OVERHAULING, MOTOR_KIND, STOP_NEED, STOP_TIME, SUPPLY_GROUNDING, SUPPLY_VOLTAGE, def, path};

use super::sheet::{Desk, Sheet, energise, expect, fact_run, hold, tick};
use crate::report::range_text;

pub(super) fn stub(desk: &Desk<'_>) -> Paper {
    let mut sheet = Sheet::new(desk, "safety-file", "Safety file, to be filled in", "safety engineer");
    for id in [STOP_NEED.id, STOP_TIME.id, LOAD_OVERHAULING.id, LOAD_KIND.id] {
        sheet.reads(id);
    }
    sheet.runs(vec![
        Run::strong("This paper claims nothing. "),
        Run::plain(
            "No safety function of this machine was examined, calculated or validated here. It lists what a competent person has to ask before the \
             machine runs again, and leaves room for the answers.",
        ),
    ]);
    sheet.cautions("SLOX");
    sheet.heading("What the survey says of stopping");
    let system = desk.input.site.units;
    let rows = [STOP_NEED.id, STOP_TIME.id, LOAD_OVERHAULING.id].map(|id| {
        Row::of(vec![Cell::text(def(id).label), Cell::Words(vec![fact_run(&path(id))]), Cell::text(range_text(desk.survey, id, system))])
    });
    sheet.table("survey", "", vec![Column::words("question", 1.5), Column::fit("fact"), Column::words("answer", 1.0)], rows.into());
    sheet.heading("Functions that the replacement may touch");
    let rows =
        FUNCTIONS.iter().map(|(what, ask)| Row::of(vec![Cell::text(*what), Cell::text(*ask), Cell::Blank, Cell::Blank, Cell::Blank]));
    let columns = vec![
        Column::words("function", 1.2),
        Column::words("to ask", 2.0),
        Column::room("there today", 26.0),
        Column::room("required", 26.0),
        Column::room("validated by, on", 30.0),
    ];
    sheet.table("functions", "", columns, rows.collect());
    sheet.heading("Tests by making a fault");
    sheet.say("To be planned by the competent person; each with what is expected and what was seen.");
    let rows = FAULTS.iter().map(|fault| Row::of(vec![Cell::text(*fault), Cell::Blank, Cell::Blank, Cell::Tick]));
    let columns = vec![Column::words("fault", 1.6), Column::room("expected", 45.0), Column::room("seen", 45.0), Column::fit("done")];
    sheet.table("faults", "", columns, rows.collect());
    sheet.failures();
    sheet.heading("Words for the door");
    sheet.say("“This drive's stop and its safe torque off are no isolation. Lock out every source and prove dead before work.”");
    sheet.fields(vec![
        Field { label: "What remains, and who was told".into(), hint: String::new(), lines: 3 },
        Field::line("Competent person, licence"),
        Field::line("Date, signature"),
    ]);
    sheet.finish()
}

/// Common practice, no source.
const FUNCTIONS: &[(&str, &str)] = &[
    ("emergency stop", "does it still open what it opened; does a braked stop still brake when power is cut"),
    ("guards and pull cords", "were they in the drive's run circuit, and what takes their place"),
    ("safe torque off", "is it used; are both channels led and monitored; is the link of delivery out"),
    ("line or motor contactor", "was it part of a safety function before it was left out or bypassed"),
    ("restart", "may the motor start by itself after power, fault, reset or the network come back"),
    ("holding brake", "who lifts it, and what proves that it holds"),
    ("stop time", "is the longest stop time that the guards were laid out for still kept"),
    ("fire, smoke or emergency mode", "is its input led, and are the trips masked as it asks"),
];

/// Common practice, no source.
const FAULTS: &[&str] = &[
    "one channel of the stop opened alone, then the other",
    "control voltage lost and back with the run command standing",
    "network lost and back with the run command standing",
    "stop at full speed and load, by every stop device in turn",
    "drive fault while a safety function is asked for",
];

pub(super) fn isolation(desk: &Desk<'_>) -> Paper {
    let mut sheet = Sheet::new(desk, "isolation-sheet", "Method and isolation sheet", "electrician, safety");
    for id in [SUPPLY_VOLTAGE.id, SUPPLY_GROUNDING.id, MOTOR_KIND.id, LOAD_OVERHAULING.id, LOAD_KIND.id] {
        sheet.reads(id);
    }
    let position = desk.survey.position();
    let system = desk.input.site.units;
    let told = |id| range_text(desk.survey, id, system);
    sheet.say(format!(
        "For work on {}: {}. The plant's own permit and lock-out rules stand above this sheet.",
        position.tag, position.machine
    ));
    sheet.cautions_of_position("ALDOPWX");
    sheet.heading("Sources to lock out");
    sheet.say("Every line is struck by hand when it was looked for and is not there. A source that nobody looked for counts as live.");
    let supply = position.supply.clone().unwrap_or_else(|| "not named in the survey".to_owned());
    let grounding = told(SUPPLY_GROUNDING.id);
    let known = [("line supply", format!("{supply}, {}, grounding: {grounding}", told(SUPPLY_VOLTAGE.id)))];
    let asked = SOURCES.iter().map(|(what, text)| (*what, (*text).to_owned()));
    let rows = known
        .into_iter()
        .chain(asked)
        .map(|(what, text)| Row::of(vec![Cell::text(what), Cell::text(text), Cell::Blank, Cell::Blank, Cell::Blank]));
    let columns = vec![
        Column::words("source", 1.0),
        Column::words("what to look for", 1.6),
        Column::room("locked at", 28.0),
        Column::room("lock no.", 18.0),
        Column::room("volts found", 24.0),
    ];
    sheet.table("sources", "", columns, rows.collect());
    sheet.heading("Making it dead");
    let wait = desk.unit().and_then(|u| u.unit.series.bus_wait).map(|t| format!("; the new unit's documents say {t}")).unwrap_or_default();
    let mut steps = vec![
        hold("Permit given; everybody who is to work here has read this sheet."),
        tick("As found: settings read out or written down, photographs, positions of switches and links."),
        tick("Load lowered, blocked or held by its own brake, and that proved."),
        tick("Machine stopped and run command taken away at its source."),
        tick("Every source above switched off, locked and tagged, each person with a lock of their own."),
        hold("Tester proved, every conductor proved dead at the point of work, tester proved again."),
        expect(
            format!("Waited as marked on the unit{wait}, then DC volts measured at the bus terminals."),
            "below 50 V DC, and not rising again",
        ),
    ];
    if !told(MOTOR_KIND.id).starts_with("induction") || told(LOAD_OVERHAULING.id) != "no" {
        steps.push(hold(
            "Shaft locked, or motor leads open, proved dead and earthed: this motor may make voltage or be driven by its load.",
        ));
    }
    steps.extend([
        tick("Control, PLC and neighbour's voltages in the box found and marked, covered or locked out."),
        tick("Old unit: lifting points and mass read before the last screw is loosened."),
    ]);
    sheet.ticks(steps);
    sheet.failures();
    sheet.heading("Giving it back");
    sheet.ticks(vec![
        tick("Tools, rags and swarf out; covers on; earths and shorting leads counted back."),
        hold("Everybody out and told; each takes off their own lock."),
        energise(
            "Power given back by the person named on the permit; the commissioning sheet goes on from here.",
            "no smell, no smoke, no trip",
        ),
    ]);
    sheet.fields(vec![
        Field::line("Permit number"),
        Field::line("In charge of the isolation"),
        Field::line("Made dead at, by"),
        Field::line("Given back at, by"),
    ]);
    sheet.finish()
}

/// Sources that the survey has no fact for. Common practice, no source.
const SOURCES: &[(&str, &str)] = &[
    ("control supply", "a separate transformer or panel; the old unit's own transformer that feeds others"),
    ("shared DC bus", "other units on the same bus"),
    ("bypass", "back-feed through the bypass contactor"),
    ("motor", "turned by its load, by wind or water; magnets in the rotor"),
    ("neighbours", "conductors of other drives in the same conduit or duct"),
    ("PLC and field voltage", "foreign volts on control terminals"),
    ("battery or UPS", "supplies that stay alive when the line is off"),
    ("stored force", "springs, counterweights, pressure, a column of water, a taut belt"),
];
