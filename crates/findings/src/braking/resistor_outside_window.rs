//! The brake resistor has too few ohms for the chopper or too many for the load.

use calc::braking::window::{Need, resistor_window};
use calc::working::Recorder;
use plant::quantity::Ratio;
use plant::survey::{
    LOAD_INERTIA, MOTOR_BREAKDOWN, MOTOR_CURRENT, MOTOR_EFFICIENCY, MOTOR_NO_LOAD_CURRENT, MOTOR_POWER_FACTOR, MOTOR_SPEED, RESISTOR,
    SPEED_HIGHEST, STOP_TIME,
};

use crate::braking::returned::{has_chopper, returned};
use crate::candidate::{Candidate, Measure, Remedy};
use crate::check::{Outcome, Way, check, covered};
use crate::facts::{Reader, Stop};
use crate::output::one;

check! {
    name: "braking/resistor-outside-window",
    severity: Equipment,
    rows: &[47],
    unit: "%",
    ways: &[
        (STOP_TIME.id, Way::Up), (LOAD_INERTIA.id, Way::Down), (MOTOR_EFFICIENCY.id, Way::Down), (SPEED_HIGHEST.id, Way::Down), (MOTOR_SPEED.id, Way::Down),
        (MOTOR_NO_LOAD_CURRENT.id, Way::Up), (MOTOR_BREAKDOWN.id, Way::Up), (MOTOR_POWER_FACTOR.id, Way::Up), (MOTOR_CURRENT.id, Way::Up),
    ],
    measures: &[Measure::Chopper, Measure::NewResistor],
    page: "resistor_outside_window.md",
    run: run,
    remedies: remedies,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let kept = facts.find(RESISTOR)?.filter(|_| !unit.measures.has(Measure::NewResistor));
    if !has_chopper(unit) || (kept.is_none() && !unit.measures.has(Measure::NewResistor)) {
        return Ok(Outcome::NotHere);
    }
    let (Some(level), Some(smallest)) = (unit.frame.chopper_level, unit.frame.chopper_smallest) else {
        return Err(Stop::PackSilent("chopper level and smallest resistor of the frame"));
    };
    let Some(peak) = returned(facts, rec)? else {
        let Some(ohms) = kept else { return Ok(Outcome::NotHere) };
        return Ok(covered(rec, "R/R_min − 1", ("R", ohms), ("R_min", smallest)));
    };
    // Measured ohms stray no further.
    let window = resistor_window(&Need { smallest, level, peak, tolerance: Ratio::ZERO }, rec)?;
    let Some(ohms) = kept else {
        return Ok(covered(rec, "R_max/R_min − 1", ("R_max", window.largest), ("R_min", window.smallest)));
    };
    if ohms < window.smallest {
        return Ok(covered(rec, "R/R_min − 1", ("R", ohms), ("R_min", window.smallest)));
    }
    let above = covered(rec, "R_max/R − 1", ("R_max", window.largest), ("R", ohms));
    let below = ohms / window.smallest - 1.0;
    match above {
        Outcome::Margin(margin) if below * 100.0 < margin => Ok(covered(rec, "R/R_min − 1", ("R", ohms), ("R_min", window.smallest))),
        other => Ok(other),
    }
}

fn remedies(_: &Candidate<'_>) -> Vec<Remedy> {
    one(
        Measure::NewResistor,
        "fit a resistor inside the window (resistor-outside-window) and with the watts (resistor-too-hot) in the workings, its thermal contact dropping the line",
        150.0,
    )
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
    use crate::fixture::{by_hand, changed, is_not_here, is_silent, remedied, unit};

    #[test]
    fn bounded_by_the_chopper_and_by_the_load() {
        let unit = unit("R2", Duty::Heavy);
        let kept = |ohms| [ROTOR, &[("resistor.ohms", ohms)]].concat();
        // At least 20 Ω; at most 800²/30 626 = 20.897 Ω.
        by_hand(&CHECK, &kept("15 Ω"), &unit, -25.0);
        by_hand(&CHECK, &kept("25 Ω"), &unit, -16.41);
        by_hand(&CHECK, &kept("20.5 Ω"), &unit, 1.94);
        by_hand(&CHECK, &kept("15 Ω"), &remedied(&CHECK, &unit), 4.49);
    }

    #[test]
    fn without_a_resistor_or_a_chopper_it_is_not_here() {
        is_not_here(&CHECK, ROTOR, &unit("R2", Duty::Heavy));
        is_not_here(&CHECK, &[("resistor.ohms", "20 Ω")], &unit("R1", Duty::Heavy));
        let silent = changed("R2", Duty::Heavy, |s| s.frames[1].chopper_level = None);
        is_silent(&CHECK, &[ROTOR, &[("resistor.ohms", "20 Ω")]].concat(), &silent, "chopper level");
    }
}
