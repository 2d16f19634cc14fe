//! Too much of the voltage stays in the conductors between panel and unit.

use calc::conductor::drop::{voltage_drop, voltage_drop_iec};
use calc::conductor::impedance::{Conduit, nec_impedance};
use calc::sources::{DEFINITION, SURVEY};
use calc::working::{Recorder, Step};
use plant::position::Code;
use plant::quantity::{Ratio, Temperature};
use plant::survey::{CONDUCTOR_AREA, CONDUCTOR_LENGTH, LOAD_CURRENT, MOTOR_CURRENT, ROOM_TEMPERATURE, SUPPLY_VOLTAGE};

use super::run::{
    DROP_HABIT, IecConductors, MOST_DROP, NecConductors, RECTIFIER_COS, iec_conductors, iec_new, nec_conductors, nec_new, new_conductors,
};
use super::supply_too_small::too_thin;
use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, Way, check};
use crate::facts::{Reader, Stop};
use crate::line::{input_current, load_share};

check! {
    name: "conductors/drop-too-large",
    severity: Downtime,
    rows: &[23],
    unit: "%",
    ways: &[
        (CONDUCTOR_AREA.id, Way::Up), (CONDUCTOR_LENGTH.id, Way::Down), (LOAD_CURRENT.id, Way::Down), (MOTOR_CURRENT.id, Way::Down),
        (SUPPLY_VOLTAGE.id, Way::Up),
        // A warmer place takes thicker new conductors; those that are there do not change.
        (ROOM_TEMPERATURE.id, Way::Up),
    ],
    undone: (Measure::NewConductors, &[CONDUCTOR_LENGTH.id, SUPPLY_VOLTAGE.id]),
    measures: &[Measure::NewConductors],
    page: "drop_too_large.md",
    run: run,
    remedies: new_conductors,
}

/// The whole voltage.
const ALL: Ratio = Ratio::percent(100.0);
/// Temperature at which the tables state resistance.
const AT: Temperature = Temperature::c(75.0);

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let rated = input_current(facts, unit, rec)?;
    let share = load_share(facts, unit)?;
    let load = rated * share.in_of_one();
    rec.step(|| {
        Step::new("I", "input current at the worst load", "k·I_in", &DEFINITION)
            .with("k", share)
            .with("I_in", rated)
            .gives(load)
            .note("k: measured motor current over the unit's rated output, at most one")
    });
    let (length, voltage) = (facts.get(CONDUCTOR_LENGTH)?, facts.get(SUPPLY_VOLTAGE)?);
    rec.step(|| Step::new("l", "length, one way", "", &SURVEY).gives(length));
    let new = unit.measures.has(Measure::NewConductors);
    let drop = match facts.position().code {
        Code::Nec => {
            let NecConductors { size, run } = nec_conductors(facts, unit)?;
            let required = rated * 1.25;
            let size = if new { Some(nec_new(facts, &run, required, rated)?) } else { size };
            let Some(size) = size else { return Ok(too_thin(rec)) };
            let z = nec_impedance(size, run.material, Conduit::Steel, length, run.parallel, AT, rec)?;
            voltage_drop(load, z, RECTIFIER_COS, voltage, rec)
        }
        Code::Iec => {
            let IecConductors { size, run } = iec_conductors(facts, unit)?;
            let size = if new { Some(iec_new(facts, &run, rated, rated)?) } else { size };
            let Some(size) = size else { return Ok(too_thin(rec)) };
            voltage_drop_iec(load / f64::from(run.parallel), length, size.area(), run.material, RECTIFIER_COS, voltage, rec)
        }
    };
    // A run that would lose more than there is leaves nothing.
    let lost = drop.map_or(ALL, |drop| drop.ratio);
    let margin = MOST_DROP - lost;
    rec.step(|| {
        Step::new("margin", "room to the usual limit", "u_max − u", &DROP_HABIT)
            .with("u_max", MOST_DROP)
            .with("u", lost)
            .gives(Ratio::of_one(margin.in_of_one()))
    });
    Ok(Outcome::Margin(margin.in_percent()))
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::facts::Survey;
    use crate::fixture::{near, position, said, unit};

    fn at(length: &str, area: &str) -> f64 {
        let mut place = position(&[
            ("supply.phases", "three"),
            ("supply.voltage", "480 V"),
            ("load.current", "52 A"),
            ("box.room_temperature", "30 °C"),
            ("conductors.area", area),
            ("conductors.metal", "copper"),
            ("conductors.insulation", "75 °C"),
            ("conductors.length", length),
        ]);
        place.code = Code::Nec;
        match said(&CHECK, &Survey::new(&place), &unit("R1", Duty::Heavy)).outcome {
            Ok(Outcome::Margin(margin)) => margin,
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn by_hand_from_table_9() {
        // NEC Chapter 9 Table 9 (2020), 6 AWG copper in steel conduit: R 0.49, X 0.064 Ω per 1000 ft.
        // Z_e = 0.49·0.95 + 0.064·0.3122 = 0.48548; 200 ft: 0.097096 Ω; √3·52 A·0.097096 = 8.745 V of 480 V = 1.822 %; 3 − 1.822.
        near(Ok(Outcome::Margin(at("200 ft", "6 AWG"))), 1.18, 0.01);
        // 400 ft: 3.644 %.
        near(Ok(Outcome::Margin(at("400 ft", "6 AWG"))), -0.64, 0.01);
    }

    #[test]
    fn a_longer_or_thinner_run_is_never_better() {
        let lengths = ["10 ft", "50 ft", "100 ft", "300 ft", "900 ft", "3000 ft"];
        let areas = ["14 AWG", "10 AWG", "6 AWG", "2 AWG", "2/0 AWG", "350 kcmil"];
        for area in areas {
            let margins: Vec<f64> = lengths.iter().map(|l| at(l, area)).collect();
            assert!(margins.windows(2).all(|pair| pair[0] > pair[1] || pair[1] <= 3.0 - 100.0), "{area}: {margins:?}");
        }
        for length in lengths {
            let margins: Vec<f64> = areas.iter().map(|a| at(length, a)).collect();
            assert!(margins.windows(2).all(|pair| pair[0] < pair[1] || pair[1] <= 3.0 - 100.0), "{length}: {margins:?}");
        }
    }
}
