//! The motor is so small against the unit that the unit can neither identify nor protect it.

use calc::sources::PACK;
use calc::working::{Recorder, Step};
use plant::quantity::Ratio;
use plant::survey::{MOTOR_COUNT, MOTOR_CURRENT, MOTOR_EFFICIENCY, MOTOR_POWER, MOTOR_POWER_FACTOR, MOTOR_VOLTAGE};

use crate::candidate::Candidate;
use crate::check::{Outcome, Way, check, covered, no_remedy};
use crate::facts::{Reader, Stop};

check! {
    name: "rating/motor-too-small",
    severity: Equipment,
    rows: &[7],
    unit: "%",
    ways: &[
        (MOTOR_CURRENT.id, Way::Up), (MOTOR_COUNT.id, Way::Up), (MOTOR_POWER.id, Way::Up), (MOTOR_VOLTAGE.id, Way::Down),
        (MOTOR_EFFICIENCY.id, Way::Down), (MOTOR_POWER_FACTOR.id, Way::Down),
    ],
    measures: &[],
    page: "motor_too_small.md",
    run: run,
    remedies: no_remedy,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let smallest: Ratio = unit.series.control.smallest_motor;
    if smallest == Ratio::ZERO {
        return Err(Stop::PackSilent("smallest motor that the unit identifies and protects (smallest_motor)"));
    }
    let least = unit.rating.current * smallest.in_of_one();
    rec.step(|| {
        Step::new("I_least", "smallest motor that the unit can identify and protect", "k_min·I_N,unit", &PACK)
            .with("k_min", smallest)
            .with("I_N,unit", unit.rating.current)
            .gives(least)
    });
    let total = facts.get(MOTOR_CURRENT)? * facts.get(MOTOR_COUNT)?.in_count();
    Ok(covered(rec, "I_M/I_least − 1", ("I_M", total), ("I_least", least)))
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::fixture::{by_hand, changed, is_open, is_silent, just_covered, unit};

    #[test]
    fn a_motor_of_fitting_size_holds() {
        by_hand(&CHECK, &[("motor.current", "52 A")], &unit("R1", Duty::Heavy), 300.0); // least 0.25·52 = 13 A
    }

    #[test]
    fn a_quarter_of_the_rating_is_just_enough() {
        just_covered(&CHECK, &[("motor.current", "52 A")], &unit("R3", Duty::Heavy)); // 0.25·208 = 52 A
    }

    #[test]
    fn less_than_a_quarter_fails() {
        by_hand(&CHECK, &[("motor.current", "52 A")], &unit("R3", Duty::Light), -13.33); // 0.25·240 = 60 A; 52/60
    }

    #[test]
    fn several_motors_count_by_their_sum() {
        by_hand(&CHECK, &[("motor.current", "40 A"), ("motor.count", "2")], &unit("R3", Duty::Light), 33.33); // 80/60
    }

    #[test]
    fn a_pack_that_names_no_smallest_motor_is_silent_and_no_plate_is_open() {
        let silent = changed("R3", Duty::Heavy, |s| s.control.smallest_motor = Ratio::ZERO);
        is_silent(&CHECK, &[("motor.current", "52 A")], &silent, "smallest_motor");
        is_open(&CHECK, &[], &unit("R3", Duty::Heavy), "motor.power");
    }
}
