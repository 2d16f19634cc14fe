//! The conductors between drive and motor carry less than the code asks for.

use calc::conductor::iec_ampacity::iec_ampacity;
use calc::conductor::nec_ampacity::nec_ampacity;
use calc::conductor::required::{Circuit, required_ampacity};
use calc::sources::SURVEY;
use calc::working::{Recorder, Step};
use plant::position::Code;
use plant::survey::{CABLE_AREA, MOTOR_CURRENT, ROOM_TEMPERATURE};

use super::motor_run::{full_load, iec_cable, iec_new_cable, nec_cable, nec_new_cable, new_motor_cable};
use super::supply_too_small::too_thin;
use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, Way, check, covered};
use crate::facts::{Reader, Stop};

check! {
    name: "conductors/output-too-small",
    severity: Equipment,
    rows: &[21],
    unit: "%",
    ways: &[(CABLE_AREA.id, Way::Up), (ROOM_TEMPERATURE.id, Way::Down), (MOTOR_CURRENT.id, Way::Down)],
    undone: (Measure::NewMotorCable, &[ROOM_TEMPERATURE.id, MOTOR_CURRENT.id]),
    measures: &[Measure::NewMotorCable],
    page: "output_too_small.md",
    run: run,
    remedies: new_motor_cable,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let load = full_load(facts, rec)?;
    let new = unit.measures.has(Measure::NewMotorCable);
    match facts.position().code {
        Code::Nec => {
            let (size, run) = nec_cable(facts, unit)?;
            let required = required_ampacity(Circuit::DriveOutput, Some(load), None, rec)?;
            let size = if new { Some(nec_new_cable(&run, required)?) } else { size };
            let Some(size) = size else { return Ok(too_thin(rec)) };
            rec.step(|| Step::new("A", "conductor of the motor cable", "", &SURVEY).gives(size.name()).note(as_table(new)));
            let usable = nec_ampacity(size, &run, rec)?.usable;
            Ok(covered(rec, "I_z/I_req − 1", ("I_z", usable), ("I_req", required)))
        }
        Code::Iec => {
            let (size, run) = iec_cable(facts, unit)?;
            let size = if new { Some(iec_new_cable(&run, load)?) } else { size };
            let Some(size) = size else { return Ok(too_thin(rec)) };
            rec.step(|| Step::new("A", "conductor of the motor cable", "", &SURVEY).gives(size.area()).note(as_table(new)));
            let usable = iec_ampacity(size, &run, rec)?.usable;
            Ok(covered(rec, "I_z/I_req − 1", ("I_z", usable), ("I_req", load)))
        }
    }
}

/// What the size stands for.
const fn as_table(new: bool) -> &'static str {
    if new { "the smallest new one that carries the current" } else { "the size of the table that is not larger than what was found" }
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::facts::Survey;
    use crate::fixture::{Entries, near, position, remedied, said, unit};

    const MOTOR: Entries<'static> = &[
        ("motor.power", "40 hp"),
        ("motor.voltage", "460 V"),
        ("motor.current", "48.5 A"),
        ("cable.metal", "copper"),
        ("cable.insulation", "75 °C"),
        ("cable.screened", "yes"),
        ("box.room_temperature", "30 °C"),
    ];

    fn margin(code: Code, entries: Entries<'_>, unit: &Candidate<'_>) -> Result<Outcome, Stop> {
        let mut place = position(&[MOTOR, entries].concat());
        place.code = code;
        said(&CHECK, &Survey::new(&place), unit).outcome
    }

    #[test]
    fn by_hand_from_the_tables() {
        let unit = unit("R1", Duty::Heavy);
        // NEC Table 430.250 (2008): 40 hp at 460 V 52 A; 430.22: 65 A. Table 310.16 (2020): 6 AWG copper at 75 °C 65 A, 8 AWG 50 A.
        near(margin(Code::Nec, &[("cable.area", "6 AWG")], &unit), 0.0, 1e-6);
        near(margin(Code::Nec, &[("cable.area", "8 AWG")], &unit), -23.08, 0.01); // 50/65
        // 33 to 35 °C and above: Table 310.15(B)(1) (2020) 0.94 from 31 to 35 °C: 85·0.94 = 79.9; of 65: 22.92 %.
        near(margin(Code::Nec, &[("cable.area", "4 AWG"), ("box.room_temperature", "34 °C")], &unit), 22.92, 0.01);
        // IEC 60364-5-52 Table B.52.4 (from memory): copper, PVC, three loaded, method C: 10 mm² 57 A; 57/48.5.
        near(margin(Code::Iec, &[("cable.area", "10 mm²"), ("cable.insulation", "70 °C")], &unit), 17.53, 0.01);
    }

    #[test]
    fn a_new_cable_carries_it_and_a_missing_size_is_open() {
        let unit = unit("R1", Duty::Heavy);
        near(margin(Code::Nec, &[("cable.area", "8 AWG")], &remedied(&CHECK, &unit)), 0.0, 1e-6);
        assert_eq!(margin(Code::Nec, &[], &unit), Err(Stop::Open(CABLE_AREA.id)));
    }
}
