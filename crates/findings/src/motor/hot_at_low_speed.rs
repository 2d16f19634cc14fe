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
const FULL_SPEED: Ratio = Ratio::percent(95.0);

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let (lowest, base) = (facts.get(SPEED_LOWEST)?, facts.get(MOTOR_FREQUENCY)?);
    let share = Ratio::of_one((lowest / base).abs());
    if share >= FULL_SPEED {
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
    let loading = facts.get(LOAD_CURRENT)? / facts.get(MOTOR_CURRENT)?;
    let load = Ratio::of_one(loading * along);
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
