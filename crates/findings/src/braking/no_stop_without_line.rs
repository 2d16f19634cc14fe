//! The unit does not brake once the line is gone.

use calc::sources::{PACK, SURVEY};
use calc::working::Recorder;
use plant::choice::{Choice, YesNo};
use plant::survey::STOP_AFTER_LOSS;

use crate::candidate::Candidate;
use crate::check::{Outcome, check, holds_if, no_remedy};
use crate::facts::{Reader, Stop};
use crate::output::side;

check! {
    name: "braking/no-stop-without-line",
    severity: Injury,
    rows: &[54],
    unit: "",
    ways: &[],
    measures: &[],
    page: "no_stop_without_line.md",
    run: run,
    remedies: no_remedy,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some(needed) = facts.find(STOP_AFTER_LOSS)? else { return Ok(Outcome::NotHere) };
    if needed == YesNo::No {
        return Ok(holds_if(rec, true, || "nobody relies on braking after a loss of power".into(), &SURVEY));
    }
    let brakes = side(unit)?.kinetic.ok_or(Stop::PackSilent("whether it goes on braking while the line is away (motor.csv, kinetic)"))?;
    Ok(holds_if(rec, brakes == YesNo::Yes, || format!("the unit goes on braking from the load's energy: {}", brakes.word()), &PACK))
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::fixture::{by_hand, changed, is_not_here, is_silent, unit};

    #[test]
    fn only_where_somebody_relies_on_it() {
        let unit = unit("R1", Duty::Heavy);
        is_not_here(&CHECK, &[], &unit);
        by_hand(&CHECK, &[("stop.after_power_loss", "no")], &unit, 1.0);
        by_hand(&CHECK, &[("stop.after_power_loss", "yes")], &unit, -1.0);
        let silent = changed("R1", Duty::Heavy, |s| s.motor_sides[0].kinetic = None);
        is_silent(&CHECK, &[("stop.after_power_loss", "yes")], &silent, "kinetic");
    }
}
