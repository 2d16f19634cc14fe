//! The unit's own earth-fault trip lies above what a high-resistance ground lets through.

use calc::feeder::earth::earth_fault_seen;
use calc::sources::SURVEY;
use calc::working::Recorder;
use plant::choice::{Grounding, YesNo};
use plant::survey::{EARTH_RELAY, NEUTRAL_CURRENT, SUPPLY_GROUNDING};

use crate::candidate::{Candidate, Measure, Remedy};
use crate::check::{Outcome, Way, check, covered, holds_if};
use crate::facts::{Reader, Stop};
use crate::line::side;

check! {
    name: "supply/earth-fault-unseen",
    severity: Equipment,
    rows: &[16],
    unit: "%",
    ways: &[(NEUTRAL_CURRENT.id, Way::Up)],
    measures: &[Measure::EarthFaultRelay],
    page: "earth_fault_unseen.md",
    run: run,
    remedies: remedies,
}

/// What the margin is where a relay looks at the branch.
const WATCHED: f64 = 100.0;

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    if facts.get(SUPPLY_GROUNDING)? != Grounding::HighResistance {
        return Ok(Outcome::NotHere);
    }
    if unit.measures.has(Measure::EarthFaultRelay) || facts.get(EARTH_RELAY)? == YesNo::Yes {
        holds_if(rec, true, || "a sensitive earth-fault relay looks at this branch".into(), &SURVEY);
        return Ok(Outcome::Margin(WATCHED));
    }
    let trip = side(unit)?.earth_trip.ok_or(Stop::PackSilent("where its earth-fault trip lies (line.csv, earth_trip)"))?;
    let seen = earth_fault_seen(facts.get(NEUTRAL_CURRENT)?, unit.rating.current, trip, rec)?;
    Ok(covered(rec, "I_R/I_trip − 1", ("I_R", seen.let_through), ("I_trip", seen.trip)))
}

fn remedies(_: &Candidate<'_>) -> Vec<Remedy> {
    vec![Remedy {
        measure: Measure::EarthFaultRelay,
        what: "add a sensitive earth-fault relay with its ring transformer to this branch, set below the neutral resistor's current".into(),
        parts: None,
        minutes: 240.0,
    }]
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::facts::Survey;
    use crate::fixture::{by_hand, changed, fact_id, is_not_here, is_open, is_silent, position, remedied, said, unit};

    fn at<'a>(current: &'a str, relay: &'a str) -> [(&'a str, &'a str); 3] {
        [("supply.grounding", "high-resistance"), ("supply.neutral_current", current), ("protection.earth_relay", relay)]
    }

    #[test]
    fn let_through_against_the_trip() {
        // Trip at half of 52 A: 26 A.
        let unit = unit("R1", Duty::Heavy);
        by_hand(&CHECK, &at("5 A", "no"), &unit, -80.77);
        by_hand(&CHECK, &at("39 A", "no"), &unit, 50.0);
        by_hand(&CHECK, &at("5 A", "yes"), &unit, 100.0);
        by_hand(&CHECK, &at("5 A", "no"), &remedied(&CHECK, &unit), 100.0);
    }

    #[test]
    fn other_groundings_and_what_is_not_known() {
        let unit = unit("R1", Duty::Heavy);
        is_not_here(&CHECK, &[("supply.grounding", "solid")], &unit);
        let nothing = said(&CHECK, &Survey::new(&position(&[])), &unit);
        assert!(nothing.open.contains(fact_id("supply.grounding")), "an open grounding keeps it from being ruled out");
        is_open(&CHECK, &[at("5 A", "no")[0], at("5 A", "no")[2]], &unit, "supply.neutral_current");
        let silent = changed("R1", Duty::Heavy, |s| s.line_sides[0].earth_trip = None);
        is_silent(&CHECK, &at("5 A", "no"), &silent, "earth_trip");
    }
}
