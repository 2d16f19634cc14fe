//! The conductors between panel and unit carry less than the unit's rated input asks for.

use calc::conductor::iec_ampacity::iec_ampacity;
use calc::conductor::nec_ampacity::nec_ampacity;
use calc::conductor::required::{Circuit, required_ampacity};
use calc::sources::{DEFINITION, SURVEY};
use calc::working::{Recorder, Silent, Step};
use plant::position::Code;
use plant::survey::{CONDUCTOR_AREA, CONDUCTORS_CARRYING, ROOM_TEMPERATURE};

use super::run::{IecConductors, NecConductors, iec_conductors, iec_new, nec_conductors, nec_new, new_conductors};
use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, Way, check, covered, holds_if};
use crate::facts::{Reader, Stop};
use crate::line::input_current;

check! {
    name: "conductors/supply-too-small",
    severity: Equipment,
    rows: &[21],
    unit: "%",
    ways: &[(CONDUCTOR_AREA.id, Way::Up), (ROOM_TEMPERATURE.id, Way::Down), (CONDUCTORS_CARRYING.id, Way::Down)],
    undone: (Measure::NewConductors, &[ROOM_TEMPERATURE.id]),
    measures: &[Measure::NewConductors],
    page: "supply_too_small.md",
    run: run,
    remedies: new_conductors,
}

/// What the margin is for a conductor below the smallest size of the tables.
const NO_SIZE: f64 = -100.0;

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    match facts.position().code {
        Code::Nec => american(facts, unit, rec),
        Code::Iec => metric(facts, unit, rec),
    }
}

fn american<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let NecConductors { size, run } = nec_conductors(facts, unit)?;
    let input = input_current(facts, unit, rec)?;
    let required = required_ampacity(Circuit::DriveInput, None, Some(input), rec)?;
    if let Some(old) = facts.position().old_input_current {
        let before = required_ampacity(Circuit::DriveInput, None, Some(old), &mut Silent)?;
        rec.step(|| Step::new("I_before", "the same for the old drive", "1.25·I_in", &DEFINITION).with("I_in", old).gives(before));
    }
    let size = if unit.measures.has(Measure::NewConductors) { Some(nec_new(facts, &run, required, input)?) } else { size };
    let Some(size) = size else {
        return Ok(too_thin(rec));
    };
    rec.step(|| Step::new("A", "supply conductor", "", &SURVEY).gives(size.name()).note(as_table(unit)));
    let usable = nec_ampacity(size, &run, rec)?.usable;
    Ok(covered(rec, "I_z/I_req − 1", ("I_z", usable), ("I_req", required)))
}

fn metric<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let IecConductors { size, run } = iec_conductors(facts, unit)?;
    let input = input_current(facts, unit, rec)?;
    let size = if unit.measures.has(Measure::NewConductors) { Some(iec_new(facts, &run, input, input)?) } else { size };
    let Some(size) = size else {
        return Ok(too_thin(rec));
    };
    rec.step(|| Step::new("A", "supply conductor", "", &SURVEY).gives(size.area()).note(as_table(unit)));
    let usable = iec_ampacity(size, &run, rec)?.usable;
    Ok(covered(rec, "I_z/I_in − 1", ("I_z", usable), ("I_in", input)))
}

fn as_table(unit: &Candidate<'_>) -> &'static str {
    if unit.measures.has(Measure::NewConductors) {
        "new: the smallest that carries the current and loses no more than 3 %"
    } else {
        "the largest size of the table that is no larger than what is there"
    }
}

pub(super) fn too_thin<R: Recorder>(rec: &mut R) -> Outcome {
    holds_if(rec, false, || "thinner than the smallest size of the tables".into(), &DEFINITION);
    Outcome::Margin(NO_SIZE)
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::facts::Survey;
    use crate::fixture::changed;
    use crate::fixture::{by_hand, is_open, is_silent, near, position, remedied, said, unit};

    const RUN: &[(&str, &str)] = &[
        ("supply.phases", "three"),
        ("supply.voltage", "480 V"),
        ("box.room_temperature", "30 °C"),
        ("conductors.metal", "copper"),
        ("conductors.insulation", "75 °C"),
        ("conductors.carrying", "3"),
        ("conductors.length", "20 m"),
    ];

    fn american_margin(more: &[(&str, &str)], unit: &Candidate<'_>, expected: f64) {
        let entries: Vec<_> = RUN.iter().filter(|(key, _)| more.iter().all(|(k, _)| k != key)).chain(more).copied().collect();
        let mut place = position(&entries);
        place.code = Code::Nec;
        near(said(&CHECK, &Survey::new(&place), unit).outcome, expected, 0.005 + 1e-9);
    }

    #[test]
    fn the_american_table_against_125_percent_of_rated_input() {
        // 52 A in: 65 A needed (430.122(A)). Table 310.16 (2020), copper, 75 °C: 6 AWG 65 A, 8 AWG 50 A, 4 AWG 85 A.
        let unit = unit("R1", Duty::Heavy);
        american_margin(&[("conductors.area", "6 AWG")], &unit, 0.0);
        american_margin(&[("conductors.area", "8 AWG")], &unit, -23.08); // 50/65
        american_margin(&[("conductors.area", "4 AWG")], &unit, 30.77); // 85/65
        // Six conductors: 80 %; 36 to 40 °C at 75 °C: 0.88 (Table 310.15(B)(1)).
        american_margin(&[("conductors.area", "4 AWG"), ("conductors.carrying", "6")], &unit, 4.62); // 68/65
        american_margin(&[("conductors.area", "4 AWG"), ("box.room_temperature", "40 °C")], &unit, 15.08); // 74.8/65
        // A metric 16 mm² lies between 6 and 4 AWG and counts as 6 AWG.
        american_margin(&[("conductors.area", "16 mm²")], &unit, 0.0);
    }

    #[test]
    fn a_larger_rating_asks_for_more_than_the_motor_does() {
        american_margin(&[("conductors.area", "6 AWG")], &unit("R2", Duty::Heavy), -35.0); // 65/(1.25·80)
    }

    #[test]
    fn the_metric_table_by_method() {
        // IEC 60364-5-52 Table B.52.4, copper, PVC, 30 °C: 10 mm² in conduit on a wall (B1) carries 50 A.
        let more = [("conductors.area", "10 mm²"), ("conductors.method", "B1"), ("conductors.insulation", "70 °C")];
        let entries: Vec<_> = RUN.iter().filter(|(key, _)| more.iter().all(|(k, _)| k != key)).chain(&more).copied().collect();
        by_hand(&CHECK, &entries, &unit("R1", Duty::Heavy), -3.85); // 50/52
    }

    #[test]
    fn new_conductors_are_sized_and_checked_again() {
        // 4 AWG would do; 6 AWG has the ampacity exactly: 65/65.
        american_margin(&[("conductors.area", "8 AWG")], &remedied(&CHECK, &unit("R1", Duty::Heavy)), 0.0);
    }

    #[test]
    fn what_is_not_known_is_asked_for() {
        is_open(&CHECK, RUN, &unit("R1", Duty::Heavy), "conductors.area");
        let silent = changed("R1", Duty::Heavy, |s| s.line_sides[0].terminals = None);
        let mut place = position(&[("conductors.area", "6 AWG")]);
        place.code = Code::Nec;
        let outcome = said(&CHECK, &Survey::new(&place), &silent).outcome;
        assert!(matches!(outcome, Err(Stop::PackSilent(what)) if what.contains("terminals")), "{outcome:?}");
        is_silent(&crate::supply::source_too_stiff::CHECK, &[], &changed("R1", Duty::Heavy, |s| s.line_sides.clear()), "line.csv");
    }
}
