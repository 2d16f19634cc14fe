//! Reactors and motor cable together leave the motor too little voltage.

use calc::conductor::drop::{voltage_drop, voltage_drop_iec};
use calc::conductor::impedance::{Conduit, nec_impedance};
use calc::feeder::reactor::series_reactors;
use calc::sources::SURVEY;
use calc::working::{Recorder, Step};
use plant::position::Code;
use plant::quantity::{Ratio, Temperature};
use plant::survey::{CABLE_AREA, CABLE_LENGTH, MOTOR_CURRENT, MOTOR_POWER_FACTOR, MOTOR_VOLTAGE, REACTOR, ROOM_TEMPERATURE, SUPPLY_LOWEST};

use super::motor_run::{full_load, iec_cable, iec_new_cable, nec_cable, nec_new_cable, new_motor_cable};
use super::supply_too_small::too_thin;
use crate::candidate::{Candidate, Measure, Remedy};
use crate::check::{Outcome, Way, check};
use crate::facts::{Reader, Stop};
use crate::line::{choke, reactor};
use crate::supply::reactors_in_series::{COS, LEAST_VOLTAGE, MOTOR_TOLERANCE, without_reactor};

check! {
    name: "conductors/motor-drop-too-large",
    severity: Downtime,
    rows: &[23],
    unit: "%",
    ways: &[(CABLE_AREA.id, Way::Up), (CABLE_LENGTH.id, Way::Down), (SUPPLY_LOWEST.id, Way::Up), (REACTOR.id, Way::Down), (MOTOR_CURRENT.id, Way::Down), (ROOM_TEMPERATURE.id, Way::Up)],
    undone: (Measure::NewMotorCable, &[MOTOR_CURRENT.id]),
    measures: &[Measure::NewMotorCable, Measure::NoLineReactor, Measure::LineReactor],
    page: "motor_drop_too_large.md",
    run: run,
    remedies: remedies,
}

/// Temperature at which the tables state resistance.
const AT: Temperature = Temperature::c(75.0);
/// What the margin is where nothing is left.
const NOTHING: f64 = -100.0;

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let reactors = [reactor(facts, unit)?, choke(unit)?];
    let (line, motor) = (facts.get(SUPPLY_LOWEST)?, facts.get(MOTOR_VOLTAGE)?);
    let (current, cos, length) = (facts.get(MOTOR_CURRENT)?, facts.get(MOTOR_POWER_FACTOR)?, facts.get(CABLE_LENGTH)?);
    let load = Ratio::of_one((facts.all_motors()? / unit.rating.current).min(1.0));
    let left = series_reactors(line, &reactors, load, COS, motor, rec)?.voltage;
    rec.step(|| Step::new("l", "motor cable, longest run", "", &SURVEY).gives(length));
    let new = unit.measures.has(Measure::NewMotorCable);
    let lost = match facts.position().code {
        Code::Nec => {
            let (size, run) = nec_cable(facts, unit)?;
            let size = if new { Some(nec_new_cable(&run, full_load(facts, &mut calc::working::Silent)? * 1.25)?) } else { size };
            let Some(size) = size else { return Ok(too_thin(rec)) };
            let z = nec_impedance(size, run.material, Conduit::Steel, length, run.parallel, AT, rec)?;
            voltage_drop(current, z, cos, left, rec)
        }
        Code::Iec => {
            let (size, run) = iec_cable(facts, unit)?;
            let size = if new { Some(iec_new_cable(&run, current)?) } else { size };
            let Some(size) = size else { return Ok(too_thin(rec)) };
            voltage_drop_iec(current, length, size.area(), run.material, cos, left, rec)
        }
    };
    // A run that would lose more than there is leaves nothing.
    let Ok(lost) = lost else { return Ok(Outcome::Margin(NOTHING)) };
    let at_motor = left - lost.drop;
    rec.step(|| {
        Step::new("U_M", "voltage left at the motor", "U_2 − ΔU", &calc::sources::DEFINITION)
            .with("U_2", left)
            .with("ΔU", lost.drop)
            .gives(at_motor)
    });
    let margin = Ratio::of_one(at_motor / motor) - LEAST_VOLTAGE;
    rec.step(|| {
        Step::new("margin", "voltage left at the motor, of its plate, above the least", "U_M/U_N − 90 %", &MOTOR_TOLERANCE)
            .with("U_M", at_motor)
            .with("U_N", motor)
            .gives(margin)
            .note("at the lowest line voltage and rated current of the motor; an output reactor or filter takes its own share on top")
    });
    Ok(Outcome::Margin(margin.in_percent()))
}

fn remedies(unit: &Candidate<'_>) -> Vec<Remedy> {
    let mut list = without_reactor(unit);
    list.extend(new_motor_cable(unit));
    list
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::facts::Survey;
    use crate::fixture::{changed, near, position, said};

    fn margin(length: &str, area: &str, reactor: &str) -> Result<Outcome, Stop> {
        let unit = changed("R1", Duty::Heavy, |s| s.line_sides[0].choke = Some(Ratio::percent(3.0)));
        let mut place = position(&[
            ("supply.lowest", "460 V"),
            ("supply.reactor", reactor),
            ("motor.voltage", "460 V"),
            ("motor.power", "40 hp"),
            ("motor.current", "52 A"),
            ("motor.power_factor", "0.85"),
            ("cable.area", area),
            ("cable.metal", "copper"),
            ("cable.insulation", "75 °C"),
            ("cable.length", length),
            ("box.room_temperature", "30 °C"),
        ]);
        place.code = Code::Nec;
        said(&CHECK, &Survey::new(&place), &unit).outcome
    }

    #[test]
    fn reactors_and_cable_by_hand() {
        // Reactors of 5 and 3 % at full load leave 97.213 % (see `reactors_in_series`): 447.18 V. NEC Chapter 9 Table 9 (2020), 6 AWG
        // copper in steel: R 0.49, X 0.064 Ω per 1000 ft; Z_e = 0.49·0.85 + 0.064·0.52678 = 0.45021; 200 ft: 0.090043 Ω;
        // √3·52·0.090043 = 8.110 V: 439.07 V of 460 V = 95.45 %.
        near(margin("200 ft", "6 AWG", "5 %"), 5.45, 0.01);
        // Ten times as long: 81.10 V: 366.08 V, 79.58 %.
        near(margin("2000 ft", "6 AWG", "5 %"), -10.42, 0.02);
        near(margin("20000 ft", "6 AWG", "5 %"), -100.0, 1e-9);
    }

    #[test]
    fn a_longer_thinner_cable_and_more_reactors_are_never_better() {
        let of = |length: &str, area: &str, reactor: &str| match margin(length, area, reactor) {
            Ok(Outcome::Margin(m)) => m,
            other => panic!("{other:?}"),
        };
        let lengths: Vec<f64> = ["20 ft", "100 ft", "300 ft", "900 ft"].iter().map(|l| of(l, "6 AWG", "0 %")).collect();
        assert!(lengths.windows(2).all(|pair| pair[0] > pair[1]), "{lengths:?}");
        let areas: Vec<f64> = ["10 AWG", "6 AWG", "2 AWG"].iter().map(|a| of("300 ft", a, "0 %")).collect();
        assert!(areas.windows(2).all(|pair| pair[0] < pair[1]), "{areas:?}");
        let reactors: Vec<f64> = ["0 %", "3 %", "8 %"].iter().map(|r| of("300 ft", "6 AWG", r)).collect();
        assert!(reactors.windows(2).all(|pair| pair[0] > pair[1]), "{reactors:?}");
    }
}
