//! Filter capacitors and varistors stay tied to earth on a supply that does not bear it, or the frame is not
//! made for that supply at all.

use calc::sources::PACK;
use calc::supply::grounding::grounding_voltages;
use calc::working::Recorder;
use plant::choice::{Choice, Links};
use plant::survey::{SUPPLY_GROUNDING, SUPPLY_VOLTAGE};

use crate::candidate::{Candidate, Measure, Remedy};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop};

check! {
    name: "supply/links-to-earth",
    severity: Injury,
    rows: &[15],
    unit: "",
    ways: &[],
    measures: &[Measure::LinksOut],
    page: "links_to_earth.md",
    run: run,
    remedies: remedies,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let grounding = facts.get(SUPPLY_GROUNDING)?;
    if rec.keeps() {
        let voltage = facts.get(SUPPLY_VOLTAGE)?;
        grounding_voltages(grounding, voltage, rec)?;
    }
    let Some(links) = unit.series.links(grounding, unit.frame) else {
        return Err(Stop::PackSilent("what this kind of supply grounding asks of the unit ([grounding] in pack.toml)"));
    };
    let out = unit.measures.has(Measure::LinksOut);
    let holds = match links {
        Links::In => true,
        Links::Out => out,
        Links::NotAllowed => false,
    };
    Ok(holds_if(
        rec,
        holds,
        || {
            let state = if out { "out" } else { "as delivered" };
            format!("supply {}: the unit's documents say “{}” for frame {}; links {state}", grounding.word(), links.word(), unit.frame.name)
        },
        &PACK,
    ))
}

fn remedies(unit: &Candidate<'_>) -> Vec<Remedy> {
    if !unit.series.groundings.iter().any(|(_, links)| *links == Links::Out) {
        return Vec::new();
    }
    vec![Remedy {
        measure: Measure::LinksOut,
        what:
            "take the filter and varistor links to earth out, as the unit's own instructions show, before first power; tag and record them"
                .into(),
        parts: Some(0.0),
        minutes: 15.0,
    }]
}
