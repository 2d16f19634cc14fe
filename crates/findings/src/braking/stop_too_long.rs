//! The unit's regulators stretch the stop beyond what is needed.

use calc::sources::SURVEY;
use calc::working::{Recorder, Step};
use plant::choice::StopNeed;
use plant::survey::{LOAD_INERTIA, MOTOR_BREAKDOWN, STOP_NEED, STOP_TIME};

use crate::braking::returned::{NEVER, shorteners, shortest};
use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, Way, check, covered};
use crate::facts::{Reader, Stop};

check! {
    name: "braking/stop-too-long",
    severity: Injury,
    rows: &[49],
    unit: "%",
    ways: &[
        (LOAD_INERTIA.id, Way::Down), (MOTOR_BREAKDOWN.id, Way::Up), (STOP_TIME.id, Way::Up),
    ],
    measures: &[Measure::Chopper, Measure::NewResistor],
    page: "stop_too_long.md",
    run: run,
    remedies: shorteners,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    if facts.get(STOP_NEED)? == StopNeed::Free {
        return Ok(Outcome::NotHere);
    }
    let Some(time) = shortest(facts, unit, rec)? else { return Ok(Outcome::Margin(NEVER)) };
    let needed = facts.get(STOP_TIME)?;
    rec.step(|| Step::new("t_need", "stop that is needed", "", &SURVEY).gives(needed));
    Ok(covered(rec, "t_need/t − 1", ("t_need", needed), ("t", time)))
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
    use crate::fixture::{by_hand, is_not_here, remedied, unit};

    fn stop(inertia: &str, time: &str) -> Vec<(&'static str, String)> {
        ROTOR
            .iter()
            .map(|(path, text)| (*path, (*text).to_string()))
            .filter(|(path, _)| !matches!(*path, "load.inertia" | "stop.time"))
            .chain([("load.inertia", inertia.to_string()), ("stop.time", time.to_string())])
            .chain(
                [("motor.power", "30 kW"), ("motor.current", "50 A"), ("motor.count", "1"), ("motor.breakdown_torque", "250 %")]
                    .map(|(p, t)| (p, t.to_string())),
            )
            .collect()
    }

    fn entries<'a>(all: &'a [(&'static str, String)]) -> Vec<(&'static str, &'a str)> {
        all.iter().map(|(path, text)| (*path, text.as_str())).collect()
    }

    #[test]
    fn losses_alone_stretch_it_and_a_chopper_shortens_it() {
        // Without a chopper 0.9 kW of losses take 900/0.85 = 1058.8 W: T_lim = 193.57·1.8·52/50 = 362.4 N·m never rules; above
        // ω_c = 2.922 rad/s: J/2·(ω0² − ω_c²)/K = 6·(24 020.4 − 8.5)/1058.8 = 136.07 s, below it 12·2.922/362.4 = 0.10 s: 136.17 s.
        let long = stop("12 kg·m²", "8 s");
        by_hand(&CHECK, &entries(&long), &unit("R1", Duty::Heavy), -94.12);
        // With 800²/24 = 26.667 kW and the losses: K = 27 566.7/0.85 = 32 431.4 W; ω_c = 89.501 rad/s;
        // 6·(24 020.4 − 8010.4)/32 431.4 = 2.9620 s and 12·89.501/362.36 = 2.9640 s: 5.9259 s.
        by_hand(&CHECK, &entries(&long), &remedied(&CHECK, &unit("R1", Duty::Heavy)), 35.00);
    }

    #[test]
    fn nobody_waits_for_a_free_stop() {
        is_not_here(&CHECK, &[("stop.need", "free")], &unit("R1", Duty::Heavy));
    }
}
