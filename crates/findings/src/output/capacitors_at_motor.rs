//! Capacitors of the days on the line are still at the motor.

use calc::sources::PRACTICE;
use calc::working::Recorder;
use plant::choice::{Choice, YesNo};
use plant::survey::OUTPUT_CAPACITORS;

use crate::candidate::{Candidate, Measure, Remedy};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop};

check! {
    name: "output/capacitors-at-motor",
    severity: Equipment,
    rows: &[36],
    unit: "",
    ways: &[],
    measures: &[Measure::NoCapacitors],
    page: "capacitors_at_motor.md",
    run: run,
    remedies: remedies,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    if unit.measures.has(Measure::NoCapacitors) {
        return Ok(Outcome::NotHere);
    }
    let there = facts.get(OUTPUT_CAPACITORS)?;
    Ok(holds_if(rec, there == YesNo::No, || format!("capacitors or surge arresters at the motor: {}", there.word()), &PRACTICE))
}

fn remedies(_: &Candidate<'_>) -> Vec<Remedy> {
    vec![Remedy {
        measure: Measure::NoCapacitors,
        what: "take the capacitors and arresters at the motor and in the old starter out of the circuit".into(),
        parts: Some(0.0),
        minutes: 45.0,
    }]
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::fixture::{by_hand, is_not_here, remedied, unit};

    #[test]
    fn found_or_none_found() {
        let unit = unit("R1", Duty::Heavy);
        by_hand(&CHECK, &[("output.capacitors", "yes")], &unit, -1.0);
        by_hand(&CHECK, &[("output.capacitors", "no")], &unit, 1.0);
        is_not_here(&CHECK, &[("output.capacitors", "yes")], &remedied(&CHECK, &unit));
    }
}
