//! A motor that cools itself is asked for more torque at its lowest speed than its own fan can cool.

use calc::motor::cooling::continuous_torque;
use calc::sources::PRACTICE;
use calc::working::{Recorder, Step};
use plant::choice::{Cooling, LoadKind};
use plant::quantity::Ratio;
use plant::survey::{
    LOAD_CURRENT, LOAD_KIND, MOTOR_COOLING, MOTOR_CURRENT, MOTOR_EFFICIENCY, MOTOR_FREQUENCY, MOTOR_POWER, MOTOR_POWER_FACTOR,
    MOTOR_VOLTAGE, SPEED_LOWEST,
};

use crate::candidate::{Candidate, Measure, Remedy};
use crate::check::{Outcome, Way, check, covered};
use crate::facts::{Reader, Stop};

check! {
    name: "motor/hot-at-low-speed",
    severity: Equipment,
    rows: &[13],
    unit: "%",
    ways: &[
        (LOAD_CURRENT.id, Way::Down), (MOTOR_CURRENT.id, Way::Up), (MOTOR_POWER.id, Way::Up), (MOTOR_VOLTAGE.id, Way::Down),
        (MOTOR_EFFICIENCY.id, Way::Down), (MOTOR_POWER_FACTOR.id, Way::Down),
    ],
    measures: &[Measure::Blower],
    page: "hot_at_low_speed.md",
    run: run,
    remedies: remedies,
}

/// From this share of base frequency on a motor's own fan gives what it was rated with: nothing of this fault is left.
const FULL_SPEED: f64 = 0.95 - 1e-9;

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let (lowest, base) = (facts.get(SPEED_LOWEST)?, facts.get(MOTOR_FREQUENCY)?);
    let share = Ratio::of_one((lowest / base).abs());
    if share.in_of_one() >= FULL_SPEED {
        return Ok(Outcome::NotHere);
    }
    let cooling = if unit.measures.has(Measure::Blower) { Cooling::Forced } else { facts.get(MOTOR_COOLING)? };
    let allowed = continuous_torque(cooling, share, rec)?;
    let kind = facts.get(LOAD_KIND)?;
    let x = share.in_of_one();
    let along = match kind {
        LoadKind::Quadratic => x * x,
        LoadKind::Linear => x,
        LoadKind::ConstantTorque
        | LoadKind::ConstantPower
        | LoadKind::Conveyor
        | LoadKind::Elevator
        | LoadKind::Hoist
        | LoadKind::HighInertia => 1.0,
    };
    let loading = facts.get(LOAD_CURRENT)? / facts.all_motors()?;
    let load = Ratio::of_one(loading * along);
    if load == Ratio::ZERO {
        return Ok(Outcome::NotHere);
    }
    rec.step(|| {
        Step::new("T_load", "torque of the load at the lowest speed, of rated torque", "I_load/I_N·(law of the load)", &PRACTICE)
            .with("I_load/I_N", Ratio::of_one(loading))
            .with("(law of the load)", Ratio::of_one(along))
            .gives(load)
            .note("the share of rated current stands for the share of rated torque: on the safe side up to rated current")
    });
    Ok(covered(rec, "T_cool/T_load − 1", ("T_cool", allowed), ("T_load", load)))
}

fn remedies(_: &Candidate<'_>) -> Vec<Remedy> {
    vec![Remedy {
        measure: Measure::Blower,
        what: "fit a separately driven blower to the motor, with its own starter and its contact in the run permit".into(),
        parts: None,
        minutes: 180.0,
    }]
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::fixture::{by_hand, is_not_here, is_open, just_covered, remedied, unit};

    /// A self-ventilated 60 Hz motor of 52 A that draws this much and runs as slowly as this for long.
    fn motor<'a>(kind: &'a str, lowest: &'a str, current: &'a str) -> Vec<(&'a str, &'a str)> {
        vec![
            ("motor.frequency", "60 Hz"),
            ("motor.current", "52 A"),
            ("motor.cooling", "self-ventilated"),
            ("load.kind", kind),
            ("load.current", current),
            ("speed.lowest", lowest),
        ]
    }

    #[test]
    fn a_fifth_of_the_speed_carries_60_percent_of_the_torque() {
        let unit = unit("R1", Duty::Heavy);
        by_hand(&CHECK, &motor("constant-torque", "12 Hz", "26 A"), &unit, 20.0); // 0.6/0.5
        by_hand(&CHECK, &motor("constant-torque", "12 Hz", "52 A"), &unit, -40.0); // 0.6/1
        just_covered(&CHECK, &motor("constant-torque", "12 Hz", "31.2 A"), &unit); // 31.2/52 = 0.6
    }

    #[test]
    fn the_law_of_the_load_decides_what_is_asked_down_there() {
        // At x = 0.5 the motor carries 80 %; a fan asks for 25 %, a calender for 50 %, a hoist for all.
        let unit = unit("R1", Duty::Heavy);
        by_hand(&CHECK, &motor("quadratic", "30 Hz", "52 A"), &unit, 220.0);
        by_hand(&CHECK, &motor("linear", "30 Hz", "52 A"), &unit, 60.0);
        by_hand(&CHECK, &motor("hoist", "30 Hz", "52 A"), &unit, -20.0);
    }

    #[test]
    fn near_base_frequency_the_fan_blows_as_rated() {
        let unit = unit("R1", Duty::Heavy);
        is_not_here(&CHECK, &motor("constant-torque", "57.1 Hz", "60 A"), &unit);
        is_not_here(&CHECK, &motor("constant-torque", "90 Hz", "60 A"), &unit);
        // x = 0.94: 95 % + 5 %·0.14/0.2 = 98.5 %; 0.985/(60/52) = 0.85367.
        by_hand(&CHECK, &motor("constant-torque", "56.4 Hz", "60 A"), &unit, -14.63);
    }

    #[test]
    fn a_blower_makes_it_hold() {
        let (bare, blown) = (unit("R1", Duty::Heavy), remedied(&CHECK, &unit("R1", Duty::Heavy)));
        let slow = motor("constant-torque", "6 Hz", "52 A");
        by_hand(&CHECK, &slow, &bare, -50.0);
        just_covered(&CHECK, &slow, &blown); // 100 % from a tenth of the speed on
        by_hand(&CHECK, &motor("constant-torque", "3 Hz", "52 A"), &blown, -5.0); // 95 % halfway down to standstill
        just_covered(&CHECK, &[slow, vec![("motor.cooling", "non-ventilated")]].concat(), &bare);
    }

    #[test]
    fn without_the_motors_current_it_is_open() {
        is_open(&CHECK, &[("motor.frequency", "60 Hz"), ("speed.lowest", "6 Hz")], &unit("R1", Duty::Heavy), "motor.power");
    }
}
