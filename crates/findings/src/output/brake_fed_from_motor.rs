//! The coil of the motor's brake hangs on the motor's terminals.

use calc::sources::PRACTICE;
use calc::working::Recorder;
use plant::choice::{BrakeFeed, Choice};
use plant::survey::HOLDING_BRAKE;

use crate::candidate::{Candidate, Measure, Remedy};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop};
use crate::output::one;

check! {
    name: "output/brake-fed-from-motor",
    severity: Injury,
    rows: &[41],
    unit: "",
    ways: &[],
    measures: &[Measure::BrakeSupply],
    page: "brake_fed_from_motor.md",
    run: run,
    remedies: remedies,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let feed = match facts.get(HOLDING_BRAKE)? {
        BrakeFeed::None => return Ok(Outcome::NotHere),
        BrakeFeed::Motor if unit.measures.has(Measure::BrakeSupply) => BrakeFeed::Own,
        found => found,
    };
    Ok(holds_if(rec, feed == BrakeFeed::Own, || format!("feed of the motor's brake: {}", feed.word()), &PRACTICE))
}

fn remedies(_: &Candidate<'_>) -> Vec<Remedy> {
    one(Measure::BrakeSupply, "feed the brake from its own supply, through a contact that the unit's brake output closes", 150.0)
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::fixture::{by_hand, is_not_here, remedied, unit};

    #[test]
    fn the_coil_needs_its_own_supply() {
        let unit = unit("R1", Duty::Heavy);
        is_not_here(&CHECK, &[("stop.brake_feed", "no brake")], &unit);
        by_hand(&CHECK, &[("stop.brake_feed", "own supply")], &unit, 1.0);
        by_hand(&CHECK, &[("stop.brake_feed", "motor terminals")], &unit, -1.0);
        by_hand(&CHECK, &[("stop.brake_feed", "motor terminals")], &remedied(&CHECK, &unit), 1.0);
    }
}
