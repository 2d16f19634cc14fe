//! The old drive gave energy back to the line, and the unit cannot.

use calc::sources::PACK;
use calc::working::Recorder;
use plant::choice::{Choice, FrontEnd};
use plant::survey::RESISTOR;

use crate::braking::returned::{has_chopper, returned, shorteners};
use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop};
use crate::line;

check! {
    name: "braking/regeneration-lost",
    severity: Injury,
    rows: &[50],
    unit: "",
    ways: &[],
    measures: &[Measure::Chopper, Measure::NewResistor],
    page: "regeneration_lost.md",
    run: run,
    remedies: shorteners,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let old = facts.position().old_line_side.as_ref().map(|side| side.front_end);
    if old != Some(FrontEnd::Active) {
        return Ok(Outcome::NotHere);
    }
    let new = line::side(unit)?.front_end;
    let Some(power) = returned(facts, rec)? else { return Ok(Outcome::NotHere) };
    // A chopper without a resistor takes nothing.
    let burns = has_chopper(unit)
        && (facts.find(RESISTOR)?.is_some() || unit.measures.has(Measure::NewResistor) || unit.measures.has(Measure::Chopper));
    let holds = new == FrontEnd::Active || burns;
    Ok(holds_if(
        rec,
        holds,
        || {
            format!(
                "{power} come back; front end before: active, afterwards: {}, chopper with a resistor: {}",
                new.word(),
                if burns { "yes" } else { "no" }
            )
        },
        &PACK,
    ))
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
    use crate::facts::Survey;
    use crate::fixture::{is_not_here, position, remedied, said, unit};

    #[test]
    fn a_diode_bridge_needs_a_chopper() {
        let unit = unit("R1", Duty::Heavy);
        is_not_here(&CHECK, ROTOR, &unit);
        let mut position = position(ROTOR);
        position.old_line_side = unit.series.line_sides.first().cloned().map(|mut side| {
            side.front_end = FrontEnd::Active;
            side
        });
        assert_eq!(said(&CHECK, &Survey::new(&position), &unit).outcome, Ok(Outcome::Margin(-1.0)));
        assert_eq!(said(&CHECK, &Survey::new(&position), &remedied(&CHECK, &unit)).outcome, Ok(Outcome::Margin(1.0)));
    }
}
