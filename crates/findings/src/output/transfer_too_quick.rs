//! The bypass closes while the motor still has a field.

use calc::sources::{Knowledge, Source};
use calc::working::{Recorder, Step};
use plant::quantity::Time;
use plant::survey::BYPASS_DELAY;

use crate::candidate::{Candidate, Measure, Remedy};
use crate::check::{Outcome, Way, check, covered};
use crate::facts::{Reader, Stop};
use crate::output::{bypass, one};

check! {
    name: "output/transfer-too-quick",
    severity: Equipment,
    rows: &[38],
    unit: "%",
    ways: &[(BYPASS_DELAY.id, Way::Up)],
    measures: &[Measure::TransferTimer],
    page: "transfer_too_quick.md",
    run: run,
    remedies: remedies,
}

/// Time in which a motor loses its field; large ones take the longest.
const FIELD_GONE: Time = Time::s(2.0);
/// Setting of a timer that is added.
const SET: Time = Time::s(3.0);
/// Where they come from.
const HABIT: Source = Source::new(
    "the field of a motor is gone after 0.5 to 2 s: common practice; `calc flux-decay` tells for a motor",
    Knowledge::CommonPractice,
);

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    if bypass(facts, rec)?.is_none() {
        return Ok(Outcome::NotHere);
    }
    let delay = if unit.measures.has(Measure::TransferTimer) { SET } else { facts.get(BYPASS_DELAY)? };
    rec.step(|| Step::new("t_f", "time in which the field is gone", "", &HABIT).gives(FIELD_GONE));
    Ok(covered(rec, "t/t_f − 1", ("t", delay), ("t_f", FIELD_GONE)))
}

fn remedies(_: &Candidate<'_>) -> Vec<Remedy> {
    one(Measure::TransferTimer, "put a timer of 3 s between opening one way and closing the other", 60.0)
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::fixture::{by_hand, is_not_here, just_covered, remedied, unit};

    #[test]
    fn the_field_needs_two_seconds() {
        let unit = unit("R1", Duty::Heavy);
        let after = |delay| [("output.bypass", "mechanically interlocked"), ("output.bypass_delay", delay)];
        by_hand(&CHECK, &after("0.5 s"), &unit, -75.0);
        just_covered(&CHECK, &after("2 s"), &unit);
        by_hand(&CHECK, &after("0 s"), &remedied(&CHECK, &unit), 50.0);
        is_not_here(&CHECK, &[("output.bypass", "none")], &unit);
    }
}
