//! The conductors that are there do not land on the unit's power terminals: size, number, metal or make-up.

use calc::sources::{DEFINITION, PACK, SURVEY};
use calc::working::{Recorder, Step};
use plant::choice::{Choice, Metal, Strands, YesNo};
use plant::quantity::{Area, Ratio};
use plant::survey::{CONDUCTOR_AREA, CONDUCTOR_METAL, CONDUCTOR_STRANDS};

use crate::candidate::{Candidate, Measure, Remedy};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop};
use crate::surroundings::each;

check! {
    name: "box/conductor-outside-terminal",
    severity: Downtime,
    rows: &[45],
    unit: "%",
    ways: &[],
    measures: &[Measure::TerminalBlock],
    page: "conductor_outside_terminal.md",
    run: run,
    remedies: terminal_block,
}

/// Sizes that differ by less are the same: a metric size that is meant to be an AWG size is rounded.
const SAME_SIZE: f64 = 0.005;

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    if unit.measures.has(Measure::TerminalBlock) {
        return Ok(Outcome::NotHere);
    }
    let frame = unit.frame;
    let largest =
        frame.terminal_largest.ok_or(Stop::PackSilent("largest conductor of the power terminals (frames.csv, terminal_largest)"))?;
    let smallest =
        frame.terminal_smallest.ok_or(Stop::PackSilent("smallest conductor of the power terminals (frames.csv, terminal_smallest)"))?;
    rec.step(|| Step::new("A_max", "largest conductor of the terminal", "", &PACK).gives(largest));
    rec.step(|| Step::new("A_min", "smallest conductor of the terminal", "", &PACK).gives(smallest));
    let area: Area = facts.get(CONDUCTOR_AREA)?;
    let (count, metal) = (each(facts)?, facts.get(CONDUCTOR_METAL)?);
    rec.step(|| {
        Step::new("A", "conductor at the terminal", "", &SURVEY).gives(area).note(format!("{count} at each terminal, {}", metal.word()))
    });
    if count > 1 {
        let most =
            frame.terminal_conductors.ok_or(Stop::PackSilent("conductors at one power terminal (frames.csv, terminal_conductors)"))?;
        if count > most {
            return Ok(no(rec, || format!("{count} conductors come to each terminal, which takes {most}")));
        }
    }
    if metal == Metal::Aluminium {
        if frame.terminal_metals.is_empty() {
            return Err(Stop::PackSilent("metals that the power terminals are made for (frames.csv, terminal_metals)"));
        }
        if !frame.terminal_metals.contains(&metal) {
            return Ok(no(rec, || "the terminals are not made for aluminium".into()));
        }
    }
    if facts.get(CONDUCTOR_STRANDS)? == Strands::Fine {
        let fine =
            frame.terminal_fine.ok_or(Stop::PackSilent("whether the power terminals take fine strands (frames.csv, terminal_fine)"))?;
        if fine == YesNo::No {
            return Ok(no(rec, || "the terminals do not take fine strands without ferrules".into()));
        }
    }
    let (above, below) = (largest / area - 1.0, area / smallest - 1.0);
    let snug = |margin: f64| if margin.abs() < SAME_SIZE { 0.0 } else { margin };
    let margin = snug(above).min(snug(below));
    rec.step(|| {
        Step::new("margin", "how far the conductor lies within the range of the terminal", "min(A_max/A, A/A_min) − 1", &DEFINITION)
            .with("A_max", largest)
            .with("A", area)
            .with("A_min", smallest)
            .gives(Ratio::of_one(margin))
    });
    Ok(Outcome::Margin(margin * 100.0))
}

fn no<R: Recorder>(rec: &mut R, what: impl FnOnce() -> String) -> Outcome {
    holds_if(rec, false, what, &PACK);
    Outcome::Margin(-100.0)
}

/// A terminal block between the conductors that are there and the unit.
pub(crate) fn terminal_block(_: &Candidate<'_>) -> Vec<Remedy> {
    vec![Remedy {
        measure: Measure::TerminalBlock,
        what: "set a power terminal block with short conductors to the unit, or lugs listed for the old conductors".into(),
        parts: None,
        minutes: 90.0,
    }]
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::fixture::{by_hand, changed, is_not_here, is_open, is_silent, just_covered, remedied, unit};

    /// The small frame takes 2.5 to 25 mm² of copper, one at a terminal, no fine strands.
    fn at<'a>(area: &'a str, more: &[(&'a str, &'a str)]) -> Vec<(&'a str, &'a str)> {
        let usual = [("conductors.area", area), ("conductors.metal", "copper"), ("conductors.strands", "stranded")];
        usual.iter().filter(|(key, _)| more.iter().all(|(k, _)| k != key)).chain(more).copied().collect()
    }

    #[test]
    fn the_nearer_end_of_the_range_counts() {
        let small = unit("R1", Duty::Light);
        by_hand(&CHECK, &at("10 mm²", &[]), &small, 150.0); // 25/10
        by_hand(&CHECK, &at("3 mm²", &[]), &small, 20.0); // 3/2.5
        by_hand(&CHECK, &at("35 mm²", &[]), &small, -28.57); // 25/35
        just_covered(&CHECK, &at("25 mm²", &[]), &small);
        // 3 AWG is 26.67 mm²: too much; 4 AWG, 21.15 mm², lands.
        by_hand(&CHECK, &at("3 AWG", &[]), &small, -6.26);
    }

    #[test]
    fn number_metal_and_strands_must_be_taken_too() {
        let small = unit("R1", Duty::Light);
        by_hand(&CHECK, &at("10 mm²", &[("conductors.per_terminal", "2")]), &small, -100.0);
        by_hand(&CHECK, &at("10 mm²", &[("conductors.metal", "aluminium")]), &small, -100.0);
        by_hand(&CHECK, &at("10 mm²", &[("conductors.strands", "fine")]), &small, -100.0);
        is_not_here(&CHECK, &at("10 mm²", &[("conductors.metal", "aluminium")]), &remedied(&CHECK, &small));
    }

    #[test]
    fn what_is_not_known_is_asked_for() {
        is_open(&CHECK, &[], &unit("R1", Duty::Light), "conductors.area");
        let silent = changed("R1", Duty::Light, |s| s.frames[0].terminal_metals.clear());
        is_silent(&CHECK, &at("10 mm²", &[("conductors.metal", "aluminium")]), &silent, "metals");
        is_silent(&CHECK, &at("10 mm²", &[]), &unit("R2", Duty::Light), "largest conductor");
    }
}
