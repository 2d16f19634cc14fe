//! The conductors between drive and motor as they were found, or new ones in their place, in the terms of the tables of either code.

use calc::conductor::iec_ampacity::{self, Grouping, IecRun, Method};
use calc::conductor::nec_ampacity::NecRun;
use calc::conductor::size::{Edition, IecSize, Material, NecSize};
use calc::motor::full_load::{NecEdition, nec_motor_amps};
use calc::sources::SURVEY;
use calc::working::{Recorder, Silent, Step};
use plant::choice::{Insulation, YesNo};
use plant::position::Code;
use plant::quantity::Current;
use plant::survey::{
    CABLE_AREA, CABLE_INSULATION, CABLE_METAL, CABLE_SCREENED, MOTOR_CURRENT, MOTOR_POWER, MOTOR_VOLTAGE, ROOM_TEMPERATURE,
};

use super::run::{SAME_SIZE, degrees, material, nec_size};
use crate::candidate::{Candidate, Measure, Remedy};
use crate::facts::{Reader, Stop};
use crate::line::side;

/// What the conductors of one motor are sized for: the full-load current of the Code's table or the plate's, whichever is larger.
pub(crate) fn full_load<R: Recorder>(facts: &mut Reader<'_>, rec: &mut R) -> Result<Current, Stop> {
    let plate = facts.get(MOTOR_CURRENT)?;
    rec.step(|| Step::new("I_N", "rated current of the motor, by its plate", "", &SURVEY).gives(plate));
    if facts.position().code == Code::Iec {
        return Ok(plate);
    }
    let (power, voltage) = (facts.get(MOTOR_POWER)?, facts.get(MOTOR_VOLTAGE)?);
    // A rating that stands in no row counts with its plate.
    let table = nec_motor_amps(power, voltage, NecEdition::Y2020, rec).ok();
    Ok(table.map_or(plate, |table| table.max(plate)))
}

/// The motor cable by American tables; nothing for a size below any of them.
pub(crate) fn nec_cable(facts: &mut Reader<'_>, unit: &Candidate<'_>) -> Result<(Option<NecSize>, NecRun), Stop> {
    let terminals = side(unit)?.terminals.ok_or(Stop::PackSilent("the temperature rating of its power terminals (line.csv, terminals)"))?;
    let new = unit.measures.has(Measure::NewMotorCable);
    let run = NecRun {
        material: if new { Material::Copper } else { material(facts.get(CABLE_METAL)?) },
        insulation: degrees(if new { Insulation::C75 } else { facts.get(CABLE_INSULATION)? }),
        terminals: degrees(terminals),
        ambient: facts.get(ROOM_TEMPERATURE)?,
        carrying: 3,
        parallel: 1,
        edition: Edition::Nec2020,
    };
    let size = if new { None } else { nec_size(facts.get(CABLE_AREA)?) };
    Ok((size, run))
}

/// The motor cable by IEC tables: a multicore cable on a tray or in free air where it is screened, in conduit where it is not.
pub(crate) fn iec_cable(facts: &mut Reader<'_>, unit: &Candidate<'_>) -> Result<(Option<IecSize>, IecRun), Stop> {
    let new = unit.measures.has(Measure::NewMotorCable);
    let insulation = if new { Insulation::C90 } else { facts.get(CABLE_INSULATION)? };
    let insulation = match insulation {
        Insulation::C60 => return Err(Stop::Refused("insulation of 60 °C stands in no table of IEC 60364-5-52".into())),
        Insulation::C70 | Insulation::C75 => iec_ampacity::Insulation::Pvc,
        Insulation::C90 => iec_ampacity::Insulation::Xlpe,
    };
    let screened = new || facts.get(CABLE_SCREENED)? == YesNo::Yes;
    let run = IecRun {
        material: if new { Material::Copper } else { material(facts.get(CABLE_METAL)?) },
        insulation,
        method: if screened { Method::C } else { Method::B2 },
        ambient: facts.get(ROOM_TEMPERATURE)?,
        grouping: Grouping::Bunched,
        circuits: 1,
        parallel: 1,
    };
    let area = if new { None } else { Some(facts.get(CABLE_AREA)?) };
    Ok((area.and_then(|area| IecSize::all().filter(|s| s.area() <= area * SAME_SIZE).last()), run))
}

/// The smallest new cable by American tables that carries the current.
pub(crate) fn nec_new_cable(run: &NecRun, required: Current) -> Result<NecSize, Stop> {
    Ok(calc::conductor::judge::smallest(required, run, None, &mut Silent)?.size)
}

/// The same by IEC tables.
pub(crate) fn iec_new_cable(run: &IecRun, required: Current) -> Result<IecSize, Stop> {
    Ok(calc::conductor::judge_iec::smallest_iec(required, run, None, &mut Silent)?.size)
}

/// A new motor cable.
pub(crate) fn new_motor_cable(_: &Candidate<'_>) -> Vec<Remedy> {
    vec![Remedy {
        measure: Measure::NewMotorCable,
        what: "run a new screened motor cable of the size in the working, copper, with room for it at both glands".into(),
        parts: None,
        minutes: 480.0,
    }]
}
