//! The unit's rated current is less than the motor's plate: the kilowatts were taken instead of the amperes.

use calc::sources::{PACK, SURVEY};
use calc::working::{Recorder, Step};
use plant::survey::{MOTOR_COUNT, MOTOR_CURRENT, MOTOR_EFFICIENCY, MOTOR_POWER, MOTOR_POWER_FACTOR, MOTOR_VOLTAGE};

use crate::candidate::Candidate;
use crate::check::{Outcome, Way, check, covered, no_remedy};
use crate::facts::{Reader, Stop};

check! {
    name: "rating/motor-current-uncovered",
    severity: Equipment,
    rows: &[3],
    unit: "%",
    ways: &[
        (MOTOR_CURRENT.id, Way::Down), (MOTOR_COUNT.id, Way::Down), (MOTOR_POWER.id, Way::Down),
        (MOTOR_VOLTAGE.id, Way::Up), (MOTOR_EFFICIENCY.id, Way::Up), (MOTOR_POWER_FACTOR.id, Way::Up),
    ],
    measures: &[],
    page: "motor_current_uncovered.md",
    run: run,
    remedies: no_remedy,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let motors = facts.get(MOTOR_COUNT)?;
    let each = facts.get(MOTOR_CURRENT)?;
    let total = each * motors.in_count();
    rec.step(|| {
        Step::new("I_M", "rated current of all motors on the drive", "n·I_N", &SURVEY).with("n", motors).with("I_N", each).gives(total)
    });
    rec.step(|| Step::new("I_N,unit", "rated current of the unit in this duty class", "", &PACK).gives(unit.rating.current));
    Ok(covered(rec, "I_N,unit/I_M − 1", ("I_N,unit", unit.rating.current), ("I_M", total)))
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::fixture::{by_hand, is_open, just_covered, unit};

    /// 40 hp at 460 V: 52 A, 10 hp at 460 V: 14 A by NEC Table 430.250 (2008 text, looked up in a public copy).
    const FORTY_HP: &[(&str, &str)] = &[("motor.power", "40 hp"), ("motor.voltage", "460 V"), ("motor.current", "52 A")];

    #[test]
    fn a_larger_unit_holds() {
        // 65/52 = 1.25.
        by_hand(&CHECK, FORTY_HP, &unit("R1", Duty::Light), 25.0);
    }

    #[test]
    fn equal_amperes_are_just_enough() {
        just_covered(&CHECK, FORTY_HP, &unit("R1", Duty::Heavy));
    }

    #[test]
    fn four_motors_that_add_up_to_40_hp_draw_more_than_one() {
        // 4 × 14 A = 56 A; 52/56 = 0.92857.
        let four = [("motor.count", "4"), ("motor.power", "10 hp"), ("motor.voltage", "460 V"), ("motor.current", "14 A")];
        by_hand(&CHECK, &four, &unit("R1", Duty::Heavy), -7.14);
    }

    #[test]
    fn without_plate_current_the_rest_of_the_plate_gives_it() {
        // 40 hp = 29 828 W; √3·460 V·0.94·0.80 = 599.15 V; 49.784 A; 52/49.784 = 1.04452.
        let rest = [("motor.power", "40 hp"), ("motor.voltage", "460 V"), ("motor.efficiency", "94 %"), ("motor.power_factor", "0.80 pu")];
        by_hand(&CHECK, &rest, &unit("R1", Duty::Heavy), 4.45);
    }

    #[test]
    fn without_current_and_power_it_is_open() {
        is_open(&CHECK, &[("motor.voltage", "460 V")], &unit("R1", Duty::Heavy), "motor.power");
    }
}
