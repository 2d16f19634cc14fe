//! The protective earth conductor is too small for the device ahead, or for the line conductors.

use calc::conductor::earth::earthing_conductor;
use calc::conductor::size::Material;
use calc::sources::{Knowledge, SURVEY, Source};
use calc::working::{Recorder, Step};
use plant::choice::{Choice, Metal};
use plant::position::Code;
use plant::quantity::Area;
use plant::survey::{CONDUCTOR_AREA, CONDUCTOR_METAL, DEVICE_RATING, EARTH_AREA};

use crate::candidate::{Candidate, Measure, Remedy};
use crate::check::{Outcome, Way, check, covered};
use crate::facts::{Reader, Stop};
use crate::line::{best, fitted};

check! {
    name: "conductors/earth-too-small",
    severity: Injury,
    rows: &[21],
    unit: "%",
    ways: &[(EARTH_AREA.id, Way::Up), (DEVICE_RATING.id, Way::Down)],
    measures: &[Measure::NewEarthConductor, Measure::ListedDevice],
    page: "earth_too_small.md",
    run: run,
    remedies: remedies,
}

/// Protective conductors beside line conductors.
const IEC_54_2: Source = Source::new(
    "IEC 60364-5-54 Table 54.2: as the line conductor up to 16 mm², 16 mm² up to 35 mm², half of it beyond",
    Knowledge::FromMemory,
);

/// Sizes that differ by less are the same.
const SAME_SIZE: f64 = 0.005;

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    if unit.measures.has(Measure::NewEarthConductor) {
        return Ok(Outcome::NotHere);
    }
    let needed = match facts.position().code {
        Code::Nec => {
            // A unit without a list keeps the device that is there.
            let rating = if best(unit).is_some() { fitted(facts, unit)?.rating } else { facts.get(DEVICE_RATING)? };
            let material = match facts.get(CONDUCTOR_METAL)? {
                Metal::Copper => Material::Copper,
                Metal::Aluminium => Material::Aluminium,
            };
            let found = earthing_conductor(rating, material, None, rec)?;
            // 250.122(A): never larger than the line conductors.
            found.size.area().min(facts.get(CONDUCTOR_AREA)?)
        }
        Code::Iec => {
            let (line, metal) = (facts.get(CONDUCTOR_AREA)?, facts.get(CONDUCTOR_METAL)?);
            let needed = beside(line);
            rec.step(|| {
                Step::new("A_PE", "protective conductor beside the line conductors", "", &IEC_54_2)
                    .with("A", line)
                    .gives(needed)
                    .note(format!("of the same metal, {}", metal.word()))
            });
            needed
        }
    };
    let area = facts.get(EARTH_AREA)?;
    rec.step(|| Step::new("A_e", "protective earth conductor", "", &SURVEY).gives(area));
    if (area / needed - 1.0).abs() < SAME_SIZE {
        covered(rec, "A_e/A_PE − 1", ("A_e", needed), ("A_PE", needed));
        return Ok(Outcome::Margin(0.0));
    }
    Ok(covered(rec, "A_e/A_PE − 1", ("A_e", area), ("A_PE", needed)))
}

fn beside(line: Area) -> Area {
    const SMALL: Area = Area::mm2(16.0);
    if line <= SMALL { line } else { SMALL.max(line * 0.5) }
}

fn remedies(_: &Candidate<'_>) -> Vec<Remedy> {
    vec![Remedy {
        measure: Measure::NewEarthConductor,
        what: "run a protective earth conductor of the size in the working beside the line conductors".into(),
        parts: None,
        minutes: 180.0,
    }]
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::facts::Survey;
    use crate::fixture::{by_hand, is_not_here, is_open, near, position, remedied, said, unit};

    fn american(entries: &[(&str, &str)], expected: f64) {
        let mut place = position(entries);
        place.code = Code::Nec;
        near(said(&CHECK, &Survey::new(&place), &unit("R1", Duty::Heavy)).outcome, expected, 0.005 + 1e-9);
    }

    #[test]
    fn table_250_122_by_the_device() {
        // NEC Table 250.122, copper: 100 A 8 AWG, 60 A 10 AWG. Circular mils of a conductor that is read as 10 AWG follow from its
        // definition, 10 383, those of the sizes asked for from Chapter 9 Table 8, 16 510 and 10 380; 8 AWG as read is 16 509.
        let usual = [("conductors.metal", "copper"), ("conductors.area", "4 AWG"), ("protection.device", "fuse class J")];
        let with = |rating, earth| [&usual[..], &[("protection.rating", rating), ("conductors.earth_area", earth)]].concat();
        american(&with("80 A", "8 AWG"), 0.0);
        american(&with("80 A", "10 AWG"), -37.11); // 10.383/16.51
        american(&with("60 A", "8 AWG"), 59.05); // 16.509/10.38
    }

    #[test]
    fn the_metric_rule_by_the_line_conductor() {
        let at = |line, earth| [("conductors.metal", "copper"), ("conductors.area", line), ("conductors.earth_area", earth)];
        let unit = unit("R1", Duty::Heavy);
        by_hand(&CHECK, &at("10 mm²", "6 mm²"), &unit, -40.0);
        by_hand(&CHECK, &at("25 mm²", "16 mm²"), &unit, 0.0);
        by_hand(&CHECK, &at("70 mm²", "25 mm²"), &unit, -28.57); // 25/35
        is_open(&CHECK, &at("10 mm²", "6 mm²")[..2], &unit, "conductors.earth_area");
        is_not_here(&CHECK, &at("10 mm²", "6 mm²"), &remedied(&CHECK, &unit));
    }
}
