//! Several motors on one drive under vector control: their sum is no motor that a model fits.

use calc::sources::PRACTICE;
use calc::working::Recorder;
use plant::choice::Control;
use plant::survey::MOTOR_COUNT;

use crate::candidate::{Candidate, Measure, Remedy};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop};

check! {
    name: "motor/several-on-vector",
    severity: Equipment,
    rows: &[11],
    unit: "",
    ways: &[],
    measures: &[Measure::ScalarControl],
    page: "several_on_vector.md",
    run: run,
    remedies: remedies,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let motors = facts.get(MOTOR_COUNT)?.in_count();
    if motors < 1.5 {
        return Ok(Outcome::NotHere);
    }
    let only_scalar = unit.series.control.methods == [Control::Scalar];
    Ok(holds_if(
        rec,
        only_scalar || unit.measures.has(Measure::ScalarControl),
        || format!("{motors} motors on one drive need volts per hertz, slip compensation off, no identification run"),
        &PRACTICE,
    ))
}

fn remedies(unit: &Candidate<'_>) -> Vec<Remedy> {
    if !unit.series.control.methods.contains(&Control::Scalar) {
        return Vec::new();
    }
    vec![Remedy {
        measure: Measure::ScalarControl,
        what: "set volts-per-hertz control, slip compensation off, and leave the identification run out".into(),
        parts: Some(0.0),
        minutes: 10.0,
    }]
}
