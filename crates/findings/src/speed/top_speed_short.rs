//! The highest speed in use cannot be reached: the unit's output frequency ends below it, or the motor has no
//! torque left there.

use calc::sources::{PACK, Source};
use calc::working::{Recorder, Step};
use plant::choice::LoadKind;
use plant::quantity::{Ratio, Voltage};
use plant::survey::{
    LOAD_KIND, MOTOR_BREAKDOWN, MOTOR_FREQUENCY, MOTOR_VOLTAGE, OLD_VOLTAGE, SPEED_HIGHEST, SUPPLY_LOWEST, SUPPLY_VOLTAGE,
};

use crate::candidate::Candidate;
use crate::check::{Outcome, Way, check, covered, no_remedy};
use crate::facts::{Reader, Stop};

check! {
    name: "speed/top-speed-short",
    severity: Downtime,
    rows: &[5],
    unit: "%",
    ways: &[
        (SPEED_HIGHEST.id, Way::Down), (MOTOR_BREAKDOWN.id, Way::Up), (SUPPLY_LOWEST.id, Way::Up), (SUPPLY_VOLTAGE.id, Way::Up),
        (OLD_VOLTAGE.id, Way::Up), (MOTOR_VOLTAGE.id, Way::Down),
    ],
    measures: &[],
    page: "top_speed_short.md",
    run: run,
    remedies: no_remedy,
}

/// Room that breakdown torque must keep above the load's torque.
const ROOM: f64 = 1.3;
/// Where that room comes from.
const ROOM_SOURCE: Source = Source::new("30 % between load and breakdown torque", calc::sources::Knowledge::CommonPractice);

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let highest = facts.get(SPEED_HIGHEST)?;
    let ceiling = unit.series.control.highest_frequency;
    rec.step(|| Step::new("f_max", "highest output frequency of the unit", "", &PACK).gives(ceiling));
    let by_frequency = covered(rec, "f_max/f_top − 1", ("f_max", ceiling), ("f_top", highest));

    let (base, motor_voltage): (_, Voltage) = (facts.get(MOTOR_FREQUENCY)?, facts.get(MOTOR_VOLTAGE)?);
    // The unit gives no more than its lowest supply: above that voltage's frequency the field weakens.
    let voltage_share = (facts.get(SUPPLY_LOWEST)? / motor_voltage).min(1.0);
    let corner = base * voltage_share;
    let over = (highest / corner).max(1.0);
    rec.step(|| {
        Step::new(
            "x",
            "top frequency against the frequency where the voltage ends",
            "f_top/(f_N·min(1, U_low/U_N))",
            &calc::sources::DEFINITION,
        )
        .with("f_top", highest)
        .with("f_N", base)
        .with("U_low", motor_voltage * voltage_share)
        .with("U_N", motor_voltage)
        .gives(Ratio::of_one(over))
    });
    let breakdown = facts.get(MOTOR_BREAKDOWN)?;
    let available = breakdown / (over * over) / ROOM;
    rec.step(|| {
        Step::new("T_max", "torque that may be used there, of rated torque", "T_b/T_N/x²/1.3", &ROOM_SOURCE)
            .with("T_b/T_N", breakdown)
            .with("x", Ratio::of_one(over))
            .gives(available)
    });
    let ratio = highest / base;
    let load = Ratio::of_one(match facts.get(LOAD_KIND)? {
        LoadKind::Quadratic => ratio * ratio,
        LoadKind::Linear => ratio,
        LoadKind::ConstantPower => 1.0 / ratio.max(1.0),
        LoadKind::ConstantTorque | LoadKind::Conveyor | LoadKind::Elevator | LoadKind::Hoist | LoadKind::HighInertia => 1.0,
    });
    rec.step(|| {
        Step::new("T_load", "torque of the load there, of rated torque", "", &calc::sources::PRACTICE)
            .gives(load)
            .note("rated torque at rated frequency, along the law of the load")
    });
    let by_torque = covered(rec, "T_max/T_load − 1", ("T_max", available), ("T_load", load));
    Ok(match (by_frequency, by_torque) {
        (Outcome::Margin(a), Outcome::Margin(b)) => Outcome::Margin(a.min(b)),
        (one, _) => one,
    })
}
