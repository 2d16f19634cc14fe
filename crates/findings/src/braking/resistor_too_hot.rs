//! The brake resistor gets hotter than it is built for.

use calc::braking::resistor::{Body, Pulse, heat};
use calc::sources::DEFINITION;
use calc::working::{Recorder, Step};
use plant::choice::{LoadKind, YesNo};
use plant::quantity::{Power, Rate, Ratio, TemperatureRise, Time};
use plant::survey::{
    LOAD_INERTIA, LOAD_KIND, LOAD_OVERHAULING, LOAD_STARTS, MOTOR_SPEED, RESISTOR, RESISTOR_CONSTANT, RESISTOR_POWER, SPEED_HIGHEST,
    STOP_TIME,
};

use crate::braking::returned::{has_chopper, returned};
use crate::candidate::{Candidate, Measure, Remedy};
use crate::check::{Outcome, Way, check};
use crate::facts::{Reader, Stop};
use crate::output::one;

check! {
    name: "braking/resistor-too-hot",
    severity: Injury,
    rows: &[48],
    unit: "%",
    ways: &[
        (LOAD_INERTIA.id, Way::Down), (SPEED_HIGHEST.id, Way::Down), (MOTOR_SPEED.id, Way::Down), (LOAD_STARTS.id, Way::Down),
        (RESISTOR_POWER.id, Way::Up),
    ],
    measures: &[Measure::Chopper, Measure::NewResistor],
    page: "resistor_too_hot.md",
    run: run,
    remedies: remedies,
}

/// The rise at continuous power cancels out of the share: any figure does.
const ANY_RISE: TemperatureRise = TemperatureRise::dk(100.0);

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    if !has_chopper(unit) || unit.measures.has(Measure::NewResistor) || facts.find(RESISTOR)?.is_none() {
        return Ok(Outcome::NotHere);
    }
    let Some(peak) = returned(facts, rec)? else { return Ok(Outcome::NotHere) };
    let power = facts.get(RESISTOR_POWER)?;
    let body = Body { power, rise: ANY_RISE, constant: facts.get(RESISTOR_CONSTANT)? };
    let on = facts.get(STOP_TIME)?;
    let starts = facts.get(LOAD_STARTS)?;
    // More stops than fit into the hour follow each other at once.
    let period = if starts > Rate::ZERO { Time::s(1.0 / starts.in_per_s()).max(on) } else { DAY };
    // A driving load feeds the resistor to the end of the stop.
    let end = if facts.get(LOAD_OVERHAULING)? == YesNo::Yes && facts.get(LOAD_KIND)? != LoadKind::HighInertia { peak } else { Power::ZERO };
    let found = heat(&body, &Pulse { peak, end, on, period: Some(period) }, rec)?;
    let margin = Ratio::of_one(1.0 / found.share.in_of_one() - 1.0);
    rec.step(|| {
        Step::new("margin", "rise that it is built for, over the rise that it comes to", "1/k − 1", &DEFINITION)
            .with("k", found.share)
            .gives(margin)
    });
    Ok(Outcome::Margin(margin.in_percent()))
}

/// Stops rarer than once a day count as once a day.
const DAY: Time = Time::days(1.0);

fn remedies(_: &Candidate<'_>) -> Vec<Remedy> {
    one(Measure::NewResistor, "fit a resistor inside the window in the working, its thermal contact dropping the line", 150.0)
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
    use crate::fixture::{is_not_here, remedied, unit};

    #[test]
    fn many_stops_come_to_the_mean_power() {
        let unit = unit("R2", Duty::Heavy);
        let kept = |watts| {
            let resistor: &[(&str, &str)] =
                &[("resistor.ohms", "20 Ω"), ("resistor.power", watts), ("resistor.time_constant", "2 h"), ("load.starts", "60 per hour")];
            [ROTOR, resistor].concat()
        };
        // 30.626 kW falling to nothing over 8 s, once a minute: mean 2041.7 W. With τ = 2 h the ripple is below 0.6 % of it:
        // 2.1 kW hold with some 2 %, 1 kW fails by a half.
        let margin = |watts| match crate::fixture::outcome(&CHECK, &kept(watts), &unit) {
            Ok(Outcome::Margin(margin)) => margin,
            other => panic!("{other:?}"),
        };
        assert!((2100.0 / 2041.7 - 1.006 - margin("2100 W") / 100.0).abs() < 0.006, "{}", margin("2100 W"));
        assert!((1000.0 / 2041.7 - 1.0 - margin("1000 W") / 100.0).abs() < 0.006, "{}", margin("1000 W"));
        is_not_here(&CHECK, &kept("1000 W"), &remedied(&CHECK, &unit));
    }

    #[test]
    fn a_single_cold_stop() {
        // Once a day into a cold resistor of 600 s: rise of a falling ramp, by hand k = (P/P_N)·f, f(8/600) = 0.006623:
        // 30 626/1000·0.006623 = 0.20284 (first two terms of the series: x/2 − x²/3 with x = 1/75, minus ...) and 1/k − 1 = 393 %.
        let cold: &[(&str, &str)] =
            &[("resistor.ohms", "20 Ω"), ("resistor.power", "1 kW"), ("resistor.time_constant", "600 s"), ("load.starts", "0 per hour")];
        match crate::fixture::outcome(&CHECK, &[ROTOR, cold].concat(), &unit("R2", Duty::Heavy)) {
            Ok(Outcome::Margin(margin)) => assert!(margin > 350.0 && margin < 450.0, "{margin}"),
            other => panic!("{other:?}"),
        }
    }
}
