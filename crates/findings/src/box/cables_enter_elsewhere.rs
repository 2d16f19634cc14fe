//! The power cables come into the box on another side than the one on which the unit takes them.

use calc::sources::PACK;
use calc::working::Recorder;
use plant::choice::{Choice, Housing};
use plant::survey::{BOX_HOUSING, GLAND_SIDE};

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

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    if facts.get(BOX_HOUSING)? == Housing::Room || unit.measures.has(Measure::CableDetour) {
        return Ok(Outcome::NotHere);
    }
    let (enter, take) = (facts.get(GLAND_SIDE)?, unit.frame.cable_side);
    Ok(holds_if(
        rec,
        enter == take,
        || format!("cables enter the box from {}, the unit takes them from {}", enter.word(), take.word()),
        &PACK,
    ))
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
}
