//! The brake opens before the motor holds the load.

use calc::sources::PACK;
use calc::working::Recorder;
use plant::choice::{BrakeFeed, Choice, LoadKind, YesNo};
use plant::survey::{HOLDING_BRAKE, LOAD_KIND, LOAD_OVERHAULING};

use crate::candidate::Candidate;
use crate::check::{Outcome, check, holds_if, no_remedy};
use crate::facts::{Reader, Stop};
use crate::output::side;

check! {
    name: "braking/load-let-go",
    severity: Injury,
    rows: &[52],
    unit: "",
    ways: &[],
    measures: &[],
    page: "load_let_go.md",
    run: run,
    remedies: no_remedy,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let hangs = facts.get(LOAD_OVERHAULING)? == YesNo::Yes && facts.get(LOAD_KIND)? != LoadKind::HighInertia;
    if !hangs || facts.get(HOLDING_BRAKE)? == BrakeFeed::None {
        return Ok(Outcome::NotHere);
    }
    let proves = side(unit)?
        .torque_proving
        .ok_or(Stop::PackSilent("whether it proves torque before it opens a brake (motor.csv, torque_proving)"))?;
    Ok(holds_if(rec, proves == YesNo::Yes, || format!("the unit proves torque before it opens the brake: {}", proves.word()), &PACK))
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::fixture::{by_hand, changed, is_not_here, is_silent, unit};

    const HANGS: &[(&str, &str)] = &[("load.kind", "hoist"), ("load.overhauling", "yes"), ("stop.brake_feed", "own supply")];

    #[test]
    fn torque_is_proved_or_it_is_not() {
        by_hand(&CHECK, HANGS, &unit("R1", Duty::Heavy), 1.0);
        let blind = changed("R1", Duty::Heavy, |s| s.motor_sides[0].torque_proving = Some(YesNo::No));
        by_hand(&CHECK, HANGS, &blind, -1.0);
        let silent = changed("R1", Duty::Heavy, |s| s.motor_sides[0].torque_proving = None);
        is_silent(&CHECK, HANGS, &silent, "torque_proving");
        is_not_here(&CHECK, &[HANGS, &[("stop.brake_feed", "no brake")]].concat(), &unit("R1", Duty::Heavy));
    }
}
