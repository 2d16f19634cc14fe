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
    // The voltages are for the reader; the verdict does not need them.
    if rec.keeps()
        && let Ok(voltage) = facts.get(SUPPLY_VOLTAGE)
    {
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

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::facts::Survey;
    use crate::fixture::{by_hand, changed, is_silent, position, remedied, said, unit};

    fn supply(grounding: &str) -> [(&str, &str); 2] {
        [("supply.grounding", grounding), ("supply.voltage", "480 V")]
    }

    #[test]
    fn as_delivered_a_solid_star_point_alone_is_allowed() {
        let small = unit("R1", Duty::Heavy);
        for (grounding, margin) in [("solid", 1.0), ("corner", -1.0), ("high-resistance", -1.0), ("ungrounded", -1.0)] {
            by_hand(&CHECK, &supply(grounding), &small, margin);
        }
    }

    #[test]
    fn links_out_make_it_hold_where_the_documents_say_so() {
        let out = remedied(&CHECK, &unit("R1", Duty::Heavy));
        for (grounding, margin) in [("solid", 1.0), ("corner", 1.0), ("high-resistance", 1.0), ("ungrounded", -1.0)] {
            by_hand(&CHECK, &supply(grounding), &out, margin);
        }
    }

    #[test]
    fn a_frame_may_be_barred_whatever_its_series_allows() {
        let out = remedied(&CHECK, &unit("R2", Duty::Heavy)); // for solid and high-resistance supplies alone
        by_hand(&CHECK, &supply("corner"), &out, -1.0);
        by_hand(&CHECK, &supply("high-resistance"), &out, 1.0);
    }

    #[test]
    fn a_grounding_that_the_pack_does_not_list_gives_no_verdict() {
        is_silent(&CHECK, &supply("high-leg"), &unit("R1", Duty::Heavy), "grounding");
        let never_out = changed("R1", Duty::Heavy, |s| s.groundings.retain(|(_, links)| *links != Links::Out));
        assert!(remedies(&never_out).is_empty());
    }

    #[test]
    fn an_unknown_grounding_stays_open_whatever_the_margin_says() {
        let position = position(&[("supply.voltage", "480 V")]);
        let said = said(&CHECK, &Survey::new(&position), &unit("R1", Duty::Heavy));
        assert!(said.outcome.is_ok() && said.open.contains(SUPPLY_GROUNDING.id), "{said:?}");
    }

    #[test]
    fn the_working_shows_what_a_fault_does_to_the_sound_phases() {
        // 480/√3 = 277.1 V to earth while healthy; 480 V with one phase on earth.
        let position = position(&supply("high-resistance"));
        let said = said(&CHECK, &Survey::new(&position), &unit("R1", Duty::Heavy));
        let lines: Vec<String> = said.working.steps.iter().map(|s| s.line(plant::quantity::System::Metric)).collect();
        assert!(lines[0].ends_with("= 277.1 V") && lines.iter().any(|l| l.starts_with("U_f") && l.ends_with("= 480 V")), "{lines:?}");
    }
}
