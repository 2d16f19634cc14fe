//! The supply conductors as they were found, or new ones in their place, in the terms of the tables of either code.

use calc::conductor::iec_ampacity::{self, Grouping, IecRun, Method};
use calc::conductor::impedance::Conduit;
use calc::conductor::judge::{DropLimit, smallest};
use calc::conductor::judge_iec::{IecDropLimit, smallest_iec};
use calc::conductor::nec_ampacity::{Degrees, NecRun};
use calc::conductor::size::{Edition, IecSize, Material, NecSize};
use calc::sources::Source;
use calc::working::Silent;
use plant::choice::{CableMethod, Insulation, Metal};
use plant::quantity::{Area, Current, Ratio};
use plant::survey::{
    CONDUCTOR_AREA, CONDUCTOR_INSULATION, CONDUCTOR_LENGTH, CONDUCTOR_METAL, CONDUCTOR_METHOD, CONDUCTORS_CARRYING, ROOM_TEMPERATURE,
    SUPPLY_VOLTAGE,
};

use crate::candidate::{Candidate, Measure, Remedy};
use crate::facts::{Reader, Stop};
use crate::line::side;
use crate::surroundings::each;

/// Largest voltage drop between panel and unit.
pub(crate) const MOST_DROP: Ratio = Ratio::percent(3.0);
/// Power factor of the fundamental at a rectifier with a choke.
pub(crate) const RECTIFIER_COS: Ratio = Ratio::of_one(0.95);
/// Why both.
pub(crate) const DROP_HABIT: Source = Source::new(
    "3 % on a branch: NEC 215.2(A) and 210.19(A) informational notes, 5 % in all (from memory); cos φ 0.95 of a rectifier is a habit of the trade",
    calc::sources::Knowledge::FromMemory,
);

/// The metal as the tables name it.
pub(crate) const fn material(metal: Metal) -> Material {
    match metal {
        Metal::Copper => Material::Copper,
        Metal::Aluminium => Material::Aluminium,
    }
}

/// Sizes of the two worlds that are not larger than what is there: a size between two counts as the smaller.
pub(crate) const SAME_SIZE: f64 = 1.005;

/// Conductors by American tables.
#[derive(Clone, Copy, Debug)]
pub(crate) struct NecConductors {
    /// Size; nothing when what is there is smaller than any.
    pub size: Option<NecSize>,
    /// How they run.
    pub run: NecRun,
}

/// The table's size that is not larger than the area.
pub(crate) fn nec_size(area: Area) -> Option<NecSize> {
    NecSize::all().filter(|s| s.area() <= area * SAME_SIZE).last()
}

/// Temperature rating by American tables: 70 °C insulation counts as 60 °C there.
pub(crate) fn degrees(insulation: Insulation) -> Degrees {
    match insulation {
        Insulation::C60 | Insulation::C70 => Degrees::C60,
        Insulation::C75 => Degrees::C75,
        Insulation::C90 => Degrees::C90,
    }
}

/// The supply conductors as found, by American tables.
pub(crate) fn nec_conductors(facts: &mut Reader<'_>, unit: &Candidate<'_>) -> Result<NecConductors, Stop> {
    let terminals = side(unit)?.terminals.ok_or(Stop::PackSilent("the temperature rating of its power terminals (line.csv, terminals)"))?;
    let new = unit.measures.has(Measure::NewConductors);
    let run = NecRun {
        material: if new { Material::Copper } else { material(facts.get(CONDUCTOR_METAL)?) },
        insulation: if new { Degrees::C75 } else { degrees(facts.get(CONDUCTOR_INSULATION)?) },
        terminals: degrees(terminals),
        ambient: facts.get(ROOM_TEMPERATURE)?,
        carrying: if new { 3 } else { whole(facts.get(CONDUCTORS_CARRYING)?.in_count()) },
        parallel: if new { 1 } else { each(facts)? },
        edition: Edition::Nec2020,
    };
    let size = if new { None } else { nec_size(facts.get(CONDUCTOR_AREA)?) };
    Ok(NecConductors { size, run })
}

/// The smallest new conductors that carry the current and lose no more than may be lost.
pub(crate) fn nec_new(facts: &mut Reader<'_>, run: &NecRun, required: Current, load: Current) -> Result<NecSize, Stop> {
    let limit = DropLimit {
        load,
        length: facts.get(CONDUCTOR_LENGTH)?,
        voltage: facts.get(SUPPLY_VOLTAGE)?,
        power_factor: RECTIFIER_COS,
        conduit: Conduit::Steel,
        most: MOST_DROP,
    };
    Ok(smallest(required, run, Some(&limit), &mut Silent)?.size)
}

/// Conductors by IEC tables.
#[derive(Clone, Copy, Debug)]
pub(crate) struct IecConductors {
    /// Size; nothing when what is there is smaller than any.
    pub size: Option<IecSize>,
    /// How they run.
    pub run: IecRun,
}

/// The supply conductors as found, by IEC tables.
pub(crate) fn iec_conductors(facts: &mut Reader<'_>, unit: &Candidate<'_>) -> Result<IecConductors, Stop> {
    let new = unit.measures.has(Measure::NewConductors);
    let insulation = if new {
        iec_ampacity::Insulation::Xlpe
    } else {
        match facts.get(CONDUCTOR_INSULATION)? {
            Insulation::C60 => return Err(Stop::Refused("insulation of 60 °C stands in no table of IEC 60364-5-52".into())),
            Insulation::C70 | Insulation::C75 => iec_ampacity::Insulation::Pvc,
            Insulation::C90 => iec_ampacity::Insulation::Xlpe,
        }
    };
    let method = match facts.get(CONDUCTOR_METHOD)? {
        CableMethod::A1 => Method::A1,
        CableMethod::A2 => Method::A2,
        CableMethod::B1 => Method::B1,
        CableMethod::B2 => Method::B2,
        CableMethod::C => Method::C,
        CableMethod::E => Method::E,
    };
    let run = IecRun {
        material: if new { Material::Copper } else { material(facts.get(CONDUCTOR_METAL)?) },
        insulation,
        method,
        ambient: facts.get(ROOM_TEMPERATURE)?,
        grouping: Grouping::Bunched,
        circuits: if new { 1 } else { whole(facts.get(CONDUCTORS_CARRYING)?.in_count() / 3.0) },
        parallel: if new { 1 } else { each(facts)? },
    };
    let area = if new { None } else { Some(facts.get(CONDUCTOR_AREA)?) };
    Ok(IecConductors { size: area.and_then(|area| IecSize::all().filter(|s| s.area() <= area * SAME_SIZE).last()), run })
}

/// As [`nec_new`] by IEC tables.
pub(crate) fn iec_new(facts: &mut Reader<'_>, run: &IecRun, required: Current, load: Current) -> Result<IecSize, Stop> {
    let limit = IecDropLimit {
        load,
        length: facts.get(CONDUCTOR_LENGTH)?,
        voltage: facts.get(SUPPLY_VOLTAGE)?,
        power_factor: RECTIFIER_COS,
        most: MOST_DROP,
    };
    Ok(smallest_iec(required, run, Some(&limit), &mut Silent)?.size)
}

/// A small whole number, rounded up.
fn whole(value: f64) -> u8 {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "held within the range of the type")]
    let count = value.ceil().clamp(1.0, f64::from(u8::MAX)) as u8;
    count
}

/// New supply conductors.
pub(crate) fn new_conductors(_: &Candidate<'_>) -> Vec<Remedy> {
    vec![Remedy {
        measure: Measure::NewConductors,
        what: "run new supply conductors of the size in the working, copper, in a raceway of their own".into(),
        parts: None,
        minutes: 480.0,
    }]
}
