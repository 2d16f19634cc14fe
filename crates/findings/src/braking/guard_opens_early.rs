//! A guard may be opened before the machine stands.

use calc::sources::SURVEY;
use calc::working::{Recorder, Step};
use plant::choice::StopNeed;
use plant::survey::{GUARD_DELAY, LOAD_INERTIA, MOTOR_BREAKDOWN, STOP_NEED, STOP_TIME};

use crate::braking::returned::{NEVER, shorteners, shortest};
use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, Way, check, covered};
use crate::facts::{Reader, Stop};

check! {
    name: "braking/guard-opens-early",
    severity: Injury,
    rows: &[53],
    unit: "%",
    ways: &[
        (LOAD_INERTIA.id, Way::Down), (MOTOR_BREAKDOWN.id, Way::Up), (GUARD_DELAY.id, Way::Up),
    ],
    measures: &[Measure::Chopper, Measure::NewResistor],
    page: "guard_opens_early.md",
    run: run,
    remedies: shorteners,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some(delay) = facts.find(GUARD_DELAY)? else { return Ok(Outcome::NotHere) };
    if facts.get(STOP_NEED)? == StopNeed::Free {
        rec.step(|| Step::new("t", "time of a stop that is left to coast", "", &SURVEY).gives("no time is kept"));
        return Ok(Outcome::Margin(NEVER));
    }
    let Some(shortest) = shortest(facts, unit, rec)? else { return Ok(Outcome::Margin(NEVER)) };
    // The ramp that is set is never driven faster.
    let time = shortest.max(facts.get(STOP_TIME)?);
    rec.step(|| Step::new("t", "stop, at least the ramp that is set", "", &SURVEY).gives(time));
    rec.step(|| Step::new("t_g", "time after which the guard may be opened", "", &SURVEY).gives(delay));
    Ok(covered(rec, "t_g/t − 1", ("t_g", delay), ("t", time)))
}

#[cfg(test)]
mod tests {
    /// A rotor of 12 kg·m² that must stop from 1480 rpm in 8 s; 85 % of its power reaches the bus: 36.031 kW at the shaft, 30.626 kW
    /// at the bus (see `energy_without_way_out`).
    const ROTOR: &[(&str, &str)] = &[
        ("load.kind", "high-inertia"),
        ("load.inertia", "12 kg·m²"),
        ("motor.speed", "1480 rpm"),
        ("motor.frequency", "50 Hz"),
        ("motor.efficiency", "85 %"),
        ("speed.highest", "50 Hz"),
        ("stop.need", "timed"),
        ("stop.time", "8 s"),
        ("load.overhauling", "no"),
    ];

    use plant::choice::Duty;

    use super::*;
    use crate::fixture::{by_hand, is_not_here, unit};

    #[test]
    fn the_guard_waits_for_the_stop_or_not() {
        // 136.17 s by the losses alone (see `stop_too_long`).
        let more: &[(&str, &str)] = &[
            ("motor.power", "30 kW"),
            ("motor.current", "50 A"),
            ("motor.count", "1"),
            ("motor.breakdown_torque", "250 %"),
            ("stop.guard_delay", "20 s"),
        ];
        by_hand(&CHECK, &[ROTOR, more].concat(), &unit("R1", Duty::Heavy), -85.31);
        is_not_here(&CHECK, ROTOR, &unit("R1", Duty::Heavy));
        // A guard that waits for a machine that coasts waits for no time at all.
        by_hand(&CHECK, &[ROTOR, more, &[("stop.need", "free")]].concat(), &unit("R1", Duty::Heavy), -100.0);
    }
}
