//! Nothing protects the motor while it runs on the bypass.

use calc::sources::{Knowledge, Source};
use calc::working::Recorder;
use plant::choice::YesNo;
use plant::survey::BYPASS_OVERLOAD;

use crate::candidate::{Candidate, Measure, Remedy};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop};
use crate::output::{bypass, one};

check! {
    name: "output/bypass-without-overload",
    severity: Equipment,
    rows: &[40],
    unit: "",
    ways: &[],
    measures: &[Measure::BypassOverload],
    page: "bypass_without_overload.md",
    run: run,
    remedies: remedies,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    if bypass(facts, rec)?.is_none() {
        return Ok(Outcome::NotHere);
    }
    let there = unit.measures.has(Measure::BypassOverload) || facts.get(BYPASS_OVERLOAD)? == YesNo::Yes;
    Ok(holds_if(rec, there, || format!("overload relay of its own on the bypass: {}", if there { "yes" } else { "no" }), &NEC_OVERLOAD))
}

/// Where it is asked for.
const NEC_OVERLOAD: Source = Source::new("NEC 430.31 and 430.32: overload protection of the motor (from memory)", Knowledge::FromMemory);

fn remedies(_: &Candidate<'_>) -> Vec<Remedy> {
    one(Measure::BypassOverload, "fit an overload relay, set to the motor's plate, into the bypass", 75.0)
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::fixture::{by_hand, is_not_here, remedied, unit};

    #[test]
    fn the_bypass_needs_a_relay_of_its_own() {
        let unit = unit("R1", Duty::Heavy);
        let with = |relay| [("output.bypass", "mechanically interlocked"), ("output.bypass_overload", relay)];
        is_not_here(&CHECK, &[("output.bypass", "none")], &unit);
        by_hand(&CHECK, &with("yes"), &unit, 1.0);
        by_hand(&CHECK, &with("no"), &unit, -1.0);
        by_hand(&CHECK, &with("no"), &remedied(&CHECK, &unit), 1.0);
    }
}
