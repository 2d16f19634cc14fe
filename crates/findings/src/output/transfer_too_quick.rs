//! The bypass closes while the motor still has a field.

use calc::sources::{Knowledge, Source};
use calc::working::{Recorder, Step};
use plant::quantity::{Current, Ratio, Time};
use plant::survey::{BYPASS_DELAY, MOTOR_CURRENT, MOTOR_FREQUENCY, MOTOR_NO_LOAD_CURRENT, MOTOR_SPEED};

use crate::candidate::{Candidate, Measure, Remedy};
use crate::check::{Outcome, Way, check, covered};
use crate::facts::{Reader, Stop, poles_by_plate};
use crate::output::{bypass, one};

check! {
    name: "output/transfer-too-quick",
    severity: Equipment,
    rows: &[38],
    unit: "%",
    ways: &[(BYPASS_DELAY.id, Way::Up), (MOTOR_NO_LOAD_CURRENT.id, Way::Up), (MOTOR_CURRENT.id, Way::Down)],
    measures: &[Measure::TransferTimer],
    page: "transfer_too_quick.md",
    run: run,
    remedies: remedies,
}

/// Shortest wait, whatever the model says.
const LEAST: Time = Time::s(0.5);
/// Slip that an induction motor has at least: what its plate rounds away.
const LEAST_SLIP: f64 = 0.002;
/// Time constants that are waited for.
const CONSTANTS: f64 = 1.5;
/// Setting of a timer that is added.
const SET: Time = Time::s(3.0);
/// Where the wait comes from.
const WAIT: Source = Source::new(
    "NEMA MG 1 20.33: 1.5 open-circuit time constants, 22 % of the voltage left; 0.5 s at least is a habit of the trade",
    Knowledge::FromMemory,
);
/// Where the time constant comes from.
const CONSTANT: Source =
    Source::new("machine theory: T_o = X_m/(2π·f·R_2) with X_m = U/(√3·I_0) and R_2 = s·U/(√3·I_2), leakage left out", Knowledge::Derived);

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    if bypass(facts, rec)?.is_none() {
        return Ok(Outcome::NotHere);
    }
    let delay = if unit.measures.has(Measure::TransferTimer) { SET } else { facts.get(BYPASS_DELAY)? };
    let gone = field_gone(facts, rec)?;
    Ok(covered(rec, "t/t_f − 1", ("t", delay), ("t_f", gone)))
}

/// Time in which the motor's own field is gone, from its plate.
fn field_gone<R: Recorder>(facts: &mut Reader<'_>, rec: &mut R) -> Result<Time, Stop> {
    let (rated, idle) = (facts.get(MOTOR_CURRENT)?, facts.get(MOTOR_NO_LOAD_CURRENT)?);
    let (speed, frequency) = (facts.get(MOTOR_SPEED)?, facts.get(MOTOR_FREQUENCY)?);
    let poles = poles_by_plate(speed.in_rpm(), frequency.in_hz());
    let slip = Ratio::of_one((1.0 - speed.in_rpm() * poles.in_count() / (120.0 * frequency.in_hz())).max(LEAST_SLIP));
    let load = Current::a((rated.in_a() * rated.in_a() - idle.in_a() * idle.in_a()).max(0.0).sqrt());
    let constant = Time::s(load / idle / (std::f64::consts::TAU * frequency.in_hz() * slip.in_of_one()));
    rec.step(|| {
        Step::new("T_o", "open-circuit time constant of the rotor", "√(I_N² − I_0²)/I_0/(2π·f·s)", &CONSTANT)
            .with("I_N", rated)
            .with("I_0", idle)
            .with("f", frequency)
            .with("s", slip)
            .gives(constant)
            .note("`calc flux-decay` takes a whole equivalent circuit")
    });
    let gone = (constant * CONSTANTS).max(LEAST);
    rec.step(|| Step::new("t_f", "time in which the field is gone", "max(1.5·T_o, 0.5 s)", &WAIT).with("T_o", constant).gives(gone));
    Ok(gone)
}

fn remedies(_: &Candidate<'_>) -> Vec<Remedy> {
    one(Measure::TransferTimer, "put a timer of 3 s between opening one way and closing the other", 60.0)
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::fixture::{by_hand, is_not_here, just_covered, remedied, unit};

    fn at<'a>(delay: &'a str, idle: &'a str, speed: &'a str) -> [(&'a str, &'a str); 6] {
        [
            ("output.bypass", "mechanically interlocked"),
            ("output.bypass_delay", delay),
            ("motor.frequency", "50 Hz"),
            ("motor.speed", speed),
            ("motor.current", "50 A"),
            ("motor.no_load_current", idle),
        ]
    }

    #[test]
    fn the_field_of_the_motor_itself_is_waited_for() {
        let unit = unit("R1", Duty::Heavy);
        // s = 1 − 1470/1500 = 2 %; √(50² − 14²)/14 = 3.42857; T_o = 3.42857/(314.159·0.02) = 0.545674 s: 0.818511 s.
        by_hand(&CHECK, &at("1 s", "14 A", "1470 rpm"), &unit, 22.17);
        by_hand(&CHECK, &at("0.5 s", "14 A", "1470 rpm"), &unit, -38.91);
        // s = 1 %: 1.637022 s.
        by_hand(&CHECK, &at("1 s", "14 A", "1485 rpm"), &unit, -38.91);
        // A motor whose field is soon gone: half a second all the same.
        just_covered(&CHECK, &at("0.5 s", "40 A", "1380 rpm"), &unit);
        by_hand(&CHECK, &at("0 s", "40 A", "1380 rpm"), &remedied(&CHECK, &unit), 500.0);
        is_not_here(&CHECK, &[("output.bypass", "none")], &unit);
    }
}
