//! The power cables come into the box on another side than the one on which the unit takes them.

use calc::sources::{PACK, PRACTICE};
use calc::working::Recorder;
use plant::choice::{Choice, Housing};
use plant::survey::{BOX_HOUSING, CABLE_DIAMETER, GLAND_SIDE, GLAND_WIDTH};

use crate::candidate::{Candidate, Measure, Remedy};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop};

check! {
    name: "box/cables-enter-elsewhere",
    severity: Downtime,
    rows: &[104],
    unit: "",
    ways: &[],
    measures: &[Measure::CableDetour],
    page: "cables_enter_elsewhere.md",
    run: run,
    remedies: remedies,
}

/// Two cables side by side with glands half as wide again as the cable: 2 · 1.5 diameters. Common practice, no source.
const WIDTH_IN_DIAMETERS: f64 = 3.0;

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    if facts.get(BOX_HOUSING)? == Housing::Room || unit.measures.has(Measure::CableDetour) {
        return Ok(Outcome::NotHere);
    }
    let (enter, take) = (facts.get(GLAND_SIDE)?, unit.frame.cable_side);
    if enter != take {
        return Ok(holds_if(
            rec,
            false,
            || format!("cables enter the box from {}, the unit takes them from {}", enter.word(), take.word()),
            &PACK,
        ));
    }
    if let (Some(width), Some(diameter)) = (facts.find(GLAND_WIDTH)?, facts.find(CABLE_DIAMETER)?) {
        let needed = diameter * WIDTH_IN_DIAMETERS;
        let told = || format!("line and motor cable of {diameter} need {needed} of gland plate; there are {width}");
        return Ok(holds_if(rec, width >= needed, told, &PRACTICE));
    }
    Ok(holds_if(rec, true, || format!("cables enter the box from {}, where the unit takes them", enter.word()), &PACK))
}

fn remedies(_: &Candidate<'_>) -> Vec<Remedy> {
    vec![Remedy {
        measure: Measure::CableDetour,
        what: "lead the power cables round inside the box, with longer tails, their bends and their supports".into(),
        parts: None,
        minutes: 120.0,
    }]
}

#[cfg(test)]
mod tests {
    use plant::choice::{Duty, PlateSide};

    use super::*;
    use crate::fixture::{by_hand, changed, is_not_here, remedied, unit};

    #[test]
    fn the_side_of_the_entry_must_be_that_of_the_terminals() {
        let from = |side| [("box.housing", "wall-box"), ("box.gland_side", side)];
        let small = unit("R1", Duty::Light);
        by_hand(&CHECK, &from("below"), &small, 1.0);
        by_hand(&CHECK, &from("above"), &small, -1.0);
        by_hand(&CHECK, &from("above"), &changed("R1", Duty::Light, |s| s.frames[0].cable_side = PlateSide::Above), 1.0);
        is_not_here(&CHECK, &from("above"), &remedied(&CHECK, &small));
    }

    #[test]
    fn the_gland_plate_must_be_wide_enough_for_both_cables() {
        let with = |width| {
            [("box.housing", "wall-box"), ("box.gland_side", "below"), ("conductors.cable_diameter", "30 mm"), ("box.gland_width", width)]
        };
        // 3 · 30 mm.
        by_hand(&CHECK, &with("91 mm"), &unit("R1", Duty::Light), 1.0);
        by_hand(&CHECK, &with("89 mm"), &unit("R1", Duty::Light), -1.0);
    }
}
