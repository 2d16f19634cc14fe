//! Motor leads of several drives lie in one unscreened raceway.

use calc::sources::PRACTICE;
use calc::working::Recorder;
use plant::choice::{Choice, YesNo};
use plant::survey::CABLE_SHARED;

use crate::candidate::{Candidate, Measure, Remedy};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop};
use crate::output::one;

check! {
    name: "output/leads-share-raceway",
    severity: Injury,
    rows: &[44],
    unit: "",
    ways: &[],
    measures: &[Measure::OwnRaceway, Measure::NewMotorCable],
    page: "leads_share_raceway.md",
    run: run,
    remedies: remedies,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    // A new motor cable is a screened one: it needs no second.
    if unit.measures.has(Measure::OwnRaceway) || unit.measures.has(Measure::NewMotorCable) {
        return Ok(Outcome::NotHere);
    }
    let shared = facts.get(CABLE_SHARED)?;
    Ok(holds_if(
        rec,
        shared == YesNo::No,
        || format!("motor leads of several drives in one unscreened raceway: {}", shared.word()),
        &PRACTICE,
    ))
}

fn remedies(_: &Candidate<'_>) -> Vec<Remedy> {
    one(Measure::OwnRaceway, "run a screened motor cable, or leads in a steel conduit of their own", 480.0)
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::fixture::{by_hand, is_not_here, remedied, unit};

    #[test]
    fn seen_or_seen_not() {
        let unit = unit("R1", Duty::Heavy);
        by_hand(&CHECK, &[("cable.shared", "yes")], &unit, -1.0);
        by_hand(&CHECK, &[("cable.shared", "no")], &unit, 1.0);
        is_not_here(&CHECK, &[("cable.shared", "yes")], &remedied(&CHECK, &unit));
        let mut screened = unit.clone();
        screened.measures = unit.measures.with(Measure::NewMotorCable);
        is_not_here(&CHECK, &[("cable.shared", "yes")], &screened);
    }
}
