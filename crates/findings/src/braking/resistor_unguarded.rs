//! A shorted chopper would heat the brake resistor for good.

use calc::sources::PRACTICE;
use calc::working::Recorder;
use plant::choice::{Choice, ThermalContact};
use plant::survey::{RESISTOR, RESISTOR_CONTACT};

use crate::braking::returned::has_chopper;
use crate::candidate::{Candidate, Measure, Remedy};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop};
use crate::output::one;

check! {
    name: "braking/resistor-unguarded",
    severity: Injury,
    rows: &[48],
    unit: "",
    ways: &[],
    measures: &[Measure::LineTrip, Measure::NewResistor, Measure::Chopper],
    page: "resistor_unguarded.md",
    run: run,
    remedies: remedies,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    if !has_chopper(unit) || unit.measures.has(Measure::NewResistor) || facts.find(RESISTOR)?.is_none() {
        return Ok(Outcome::NotHere);
    }
    let contact = if unit.measures.has(Measure::LineTrip) { ThermalContact::OpensLine } else { facts.get(RESISTOR_CONTACT)? };
    Ok(holds_if(rec, contact == ThermalContact::OpensLine, || format!("thermal contact of the resistor: {}", contact.word()), &PRACTICE))
}

fn remedies(_: &Candidate<'_>) -> Vec<Remedy> {
    one(
        Measure::LineTrip,
        "land the resistor's thermal contact so that it drops the line, by a contactor or the breaker's shunt trip",
        120.0,
    )
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::fixture::{by_hand, is_not_here, remedied, unit};

    #[test]
    fn only_what_drops_the_line_helps() {
        let unit = unit("R2", Duty::Heavy);
        let with = |contact| [("resistor.ohms", "20 Ω"), ("resistor.thermal_contact", contact)];
        by_hand(&CHECK, &with("opens the line"), &unit, 1.0);
        by_hand(&CHECK, &with("stops the run"), &unit, -1.0);
        by_hand(&CHECK, &with("none"), &remedied(&CHECK, &unit), 1.0);
        is_not_here(&CHECK, &[], &unit);
    }
}
