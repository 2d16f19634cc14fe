//! The measured current at the worst load is more than the unit may carry for good: a rewound motor, a service
//! factor in use, or simply more load than the plate.

use calc::sources::{PACK, SURVEY};
use calc::working::{Recorder, Step};
use plant::choice::Winding;
use plant::survey::{LOAD_CURRENT, MOTOR_CURRENT, MOTOR_EFFICIENCY, MOTOR_POWER, MOTOR_POWER_FACTOR, MOTOR_VOLTAGE, MOTOR_WINDING};

use crate::candidate::Candidate;
use crate::check::{Outcome, Way, check, covered, no_remedy};
use crate::facts::{Reader, Stop};

check! {
    name: "rating/measured-current-uncovered",
    severity: Downtime,
    rows: &[4],
    unit: "%",
    ways: &[
        (LOAD_CURRENT.id, Way::Down), (MOTOR_CURRENT.id, Way::Down), (MOTOR_POWER.id, Way::Down),
        (MOTOR_VOLTAGE.id, Way::Up), (MOTOR_EFFICIENCY.id, Way::Up), (MOTOR_POWER_FACTOR.id, Way::Up),
    ],
    measures: &[],
    page: "measured_current_uncovered.md",
    run: run,
    remedies: no_remedy,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    // The plate of a rewound motor no longer tells its amperes: without a reading nothing may be assumed from it.
    if facts.get(MOTOR_WINDING)? == Winding::Rewound && !facts.is_surveyed(LOAD_CURRENT) {
        return Err(Stop::Open(LOAD_CURRENT.id));
    }
    let load = facts.get(LOAD_CURRENT)?;
    rec.step(|| Step::new("I_load", "current at the worst load", "", &SURVEY).gives(load));
    rec.step(|| Step::new("I_N,unit", "rated current of the unit in this duty class", "", &PACK).gives(unit.rating.current));
    Ok(covered(rec, "I_N,unit/I_load − 1", ("I_N,unit", unit.rating.current), ("I_load", load)))
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::fixture::{by_hand, is_open, just_covered, unit};

    #[test]
    fn a_light_load_holds_and_more_than_the_plate_fails() {
        let heavy = unit("R1", Duty::Heavy);
        let measured = |text| [("motor.winding", "original"), ("motor.current", "52 A"), ("load.current", text)];
        by_hand(&CHECK, &measured("40 A"), &heavy, 30.0); // 52/40
        by_hand(&CHECK, &measured("60 A"), &heavy, -13.33); // 52/60 = 0.86667: the service factor in daily use
        just_covered(&CHECK, &measured("52 A"), &heavy);
    }

    #[test]
    fn an_original_winding_may_be_judged_by_its_plate() {
        // Middle of 60 … 115 %: 87.5 % of 52 A = 45.5 A; 52/45.5 = 1.142857.
        by_hand(&CHECK, &[("motor.winding", "original"), ("motor.current", "52 A")], &unit("R1", Duty::Heavy), 14.29);
    }

    #[test]
    fn a_rewound_motor_is_judged_by_a_reading_alone() {
        let rewound = [("motor.winding", "rewound"), ("motor.current", "52 A"), ("load.current", "65 A")];
        is_open(&CHECK, &rewound[..2], &unit("R2", Duty::Light), "load.current");
        just_covered(&CHECK, &rewound, &unit("R1", Duty::Light)); // 65/65
        by_hand(&CHECK, &rewound, &unit("R1", Duty::Heavy), -20.0); // 52/65 = 0.8
    }
}
