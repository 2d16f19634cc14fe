//! The bypass can put the line onto the unit's output.

use calc::cable::bypass::{BothClosed, Interlock, both_closed};
use calc::sources::PRACTICE;
use calc::working::Recorder;
use plant::choice::Bypass;

use crate::candidate::{Candidate, Measure, Remedy};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop};
use crate::output::{bypass, one};

check! {
    name: "output/bypass-feeds-back",
    severity: Injury,
    rows: &[38],
    unit: "",
    ways: &[],
    measures: &[Measure::MechanicalInterlock],
    page: "bypass_feeds_back.md",
    run: run,
    remedies: remedies,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some(found) = bypass(facts, rec)? else { return Ok(Outcome::NotHere) };
    let interlock = Interlock {
        mechanical: found == Bypass::Mechanical || unit.measures.has(Measure::MechanicalInterlock),
        mirror_contacts: found == Bypass::Electrical,
        changeover_time: found == Bypass::Electrical,
    };
    let state = both_closed(interlock, rec);
    Ok(holds_if(
        rec,
        state == BothClosed::Kept,
        || "both contactors closed must not be reachable, a single fault included".into(),
        &PRACTICE,
    ))
}

fn remedies(_: &Candidate<'_>) -> Vec<Remedy> {
    one(Measure::MechanicalInterlock, "interlock the contactors of drive and bypass mechanically", 120.0)
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::fixture::{by_hand, is_not_here, remedied, unit};

    #[test]
    fn only_a_mechanical_link_keeps_them_apart() {
        let unit = unit("R1", Duty::Heavy);
        is_not_here(&CHECK, &[("output.bypass", "none")], &unit);
        by_hand(&CHECK, &[("output.bypass", "mechanically interlocked")], &unit, 1.0);
        by_hand(&CHECK, &[("output.bypass", "electrically interlocked")], &unit, -1.0);
        by_hand(&CHECK, &[("output.bypass", "not interlocked")], &unit, -1.0);
        by_hand(&CHECK, &[("output.bypass", "not interlocked")], &remedied(&CHECK, &unit), 1.0);
    }
}
