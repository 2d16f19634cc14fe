//! The motor is of a kind that the unit cannot run, or that nobody has recognised yet.

use calc::sources::PACK;
use calc::working::Recorder;
use plant::choice::Choice;
use plant::survey::MOTOR_KIND;

use crate::candidate::Candidate;
use crate::check::{Outcome, check, holds_if, no_remedy};
use crate::facts::{Reader, Stop};

check! {
    name: "motor/kind-not-run",
    severity: Equipment,
    rows: &[10],
    unit: "",
    ways: &[],
    measures: &[],
    page: "kind_not_run.md",
    run: run,
    remedies: no_remedy,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let kind = facts.get(MOTOR_KIND)?;
    let runs = &unit.series.control.motors;
    Ok(holds_if(
        rec,
        runs.contains(&kind),
        || {
            let words: Vec<&str> = runs.iter().map(|k| k.word()).collect();
            format!("motor: {}; the unit runs: {}", kind.word(), words.join(", "))
        },
        &PACK,
    ))
}
