//! Several motors on one drive, and no overload relay for each: the drive sees only their sum.

use calc::sources::PRACTICE;
use calc::working::Recorder;
use plant::choice::YesNo;
use plant::survey::{MOTOR_COUNT, MOTOR_OWN_OVERLOADS};

use crate::candidate::{Candidate, Measure, Remedy};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop};

check! {
    name: "motor/overloads-missing",
    severity: Equipment,
    rows: &[12],
    unit: "",
    ways: &[],
    measures: &[Measure::MotorOverloads],
    page: "overloads_missing.md",
    run: run,
    remedies: remedies,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let motors = facts.get(MOTOR_COUNT)?.in_count();
    if motors < 1.5 {
        return Ok(Outcome::NotHere);
    }
    let own = facts.get(MOTOR_OWN_OVERLOADS)? == YesNo::Yes;
    Ok(holds_if(
        rec,
        own || unit.measures.has(Measure::MotorOverloads),
        || format!("{motors} motors: the sum of their currents cannot show that one of them is overloaded"),
        &PRACTICE,
    ))
}

fn remedies(_: &Candidate<'_>) -> Vec<Remedy> {
    vec![Remedy {
        measure: Measure::MotorOverloads,
        what: "fit an overload relay for each motor, its contact in the run permit".into(),
        parts: None,
        minutes: 60.0,
    }]
}
