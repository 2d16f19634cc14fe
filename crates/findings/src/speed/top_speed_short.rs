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
    let lowest = facts.get(SUPPLY_LOWEST)?;
    let voltage_share = (lowest / motor_voltage).min(1.0);
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
        .with("U_low", lowest)
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

#[cfg(test)]
mod tests {
    use plant::choice::Duty;
    use plant::quantity::Frequency;

    use super::*;
    use crate::fixture::{by_hand, changed, is_open, just_covered, unit};

    /// A 460 V, 60 Hz motor at its full voltage with this load, top frequency and breakdown torque.
    fn motor<'a>(kind: &'a str, top: &'a str, breakdown: &'a str) -> Vec<(&'a str, &'a str)> {
        vec![
            ("motor.voltage", "460 V"),
            ("motor.frequency", "60 Hz"),
            ("motor.breakdown_torque", breakdown),
            ("load.kind", kind),
            ("speed.highest", top),
            ("supply.voltage", "480 V"),
            ("supply.lowest", "460 V"),
        ]
    }

    #[test]
    fn at_base_frequency_the_room_below_breakdown_is_left() {
        by_hand(&CHECK, &motor("constant-torque", "60 Hz", "220 %"), &unit("R1", Duty::Heavy), 69.23); // 2.2/1.3 = 1.69231
    }

    #[test]
    fn above_it_breakdown_torque_falls_with_the_square_and_the_load_by_its_law() {
        // x = 90/60 = 1.5: 2.2/2.25/1.3 = 0.752137 of rated torque. The ceiling leaves 120/90 − 1 = 33.33 %.
        let heavy = unit("R1", Duty::Heavy);
        by_hand(&CHECK, &motor("constant-torque", "90 Hz", "220 %"), &heavy, -24.79);
        by_hand(&CHECK, &motor("constant-power", "90 Hz", "220 %"), &heavy, 12.82); // load 1/1.5: 0.752137·1.5 = 1.12821
        by_hand(&CHECK, &motor("quadratic", "90 Hz", "220 %"), &heavy, -66.57); // load 2.25: 0.334283
        by_hand(&CHECK, &motor("linear", "90 Hz", "220 %"), &heavy, -49.86); // load 1.5: 0.501425
        // x = 1.25: 203.125 %/1.5625/1.3 = 100 %.
        just_covered(&CHECK, &motor("hoist", "75 Hz", "203.125 %"), &heavy);
    }

    #[test]
    fn the_ceiling_of_the_unit_may_end_it_first() {
        let heavy = unit("R1", Duty::Heavy);
        just_covered(
            &CHECK,
            &motor("quadratic", "60 Hz", "220 %"),
            &changed("R1", Duty::Heavy, |s| s.control.highest_frequency = Frequency::hz(60.0)),
        );
        // 120/150 − 1 = −20 %; by torque 3/6.25/1.3·2.5 = 0.92308, −7.7 %.
        by_hand(&CHECK, &motor("constant-power", "150 Hz", "300 %"), &heavy, -20.0);
    }

    #[test]
    fn a_low_line_weakens_the_field_early() {
        // 414 V of 460 V: the voltage ends at 54 Hz, x = 1/0.9; 2.2·0.81/1.3 = 1.37077.
        let low = [motor("constant-torque", "60 Hz", "220 %"), vec![("supply.lowest", "414 V")]].concat();
        by_hand(&CHECK, &low, &unit("R1", Duty::Heavy), 37.08);
    }

    #[test]
    fn without_the_plate_it_is_open() {
        is_open(&CHECK, &[("speed.highest", "60 Hz")], &unit("R1", Duty::Heavy), "motor.voltage");
    }
}
