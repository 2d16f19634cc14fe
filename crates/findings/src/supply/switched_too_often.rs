//! Line power is switched on to the unit more often than its pre-charge circuit stands.

use calc::feeder::upstream::line_switching;
use calc::sources::PACK;
use calc::working::{Recorder, Step};
use plant::quantity::Ratio;
use plant::survey::LINE_STARTS;

use crate::candidate::{Candidate, Measure, Remedy};
use crate::check::{Outcome, Way, check};
use crate::facts::{Reader, Stop};
use crate::line::side;

check! {
    name: "supply/switched-too-often",
    severity: Equipment,
    rows: &[28],
    unit: "%",
    ways: &[(LINE_STARTS.id, Way::Down)],
    measures: &[Measure::ControlStart],
    page: "switched_too_often.md",
    run: run,
    remedies: remedies,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    if unit.measures.has(Measure::ControlStart) {
        return Ok(Outcome::NotHere);
    }
    let allowed = side(unit)?.power_ups.ok_or(Stop::PackSilent("how often it may be switched on to the line (line.csv, power_ups)"))?;
    let starts = facts.get(LINE_STARTS)?;
    let found = line_switching(starts, allowed, rec)?;
    if let Some(old) = facts.position().old_line_side.as_ref().and_then(|side| side.power_ups) {
        rec.step(|| Step::new("n_old", "what the old drive stands", "", &PACK).gives(old).note("before"));
    }
    let margin = Ratio::of_one(found.margin / allowed);
    rec.step(|| {
        Step::new("margin", "room left, of what is allowed", "(n_max − n)/n_max", &calc::sources::DEFINITION)
            .with("n_max", allowed)
            .with("n", starts)
            .gives(margin)
    });
    Ok(Outcome::Margin(margin.in_percent()))
}

fn remedies(_: &Candidate<'_>) -> Vec<Remedy> {
    vec![Remedy {
        measure: Measure::ControlStart,
        what: "leave line power on and start and stop by a control input; the line contactor stays for emergency and isolation alone"
            .into(),
        parts: Some(0.0),
        minutes: 120.0,
    }]
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::fixture::{by_hand, changed, is_not_here, is_silent, just_covered, remedied, unit};

    #[test]
    fn power_ups_against_what_the_documents_allow() {
        let unit = unit("R1", Duty::Heavy); // 12 an hour
        by_hand(&CHECK, &[("supply.line_starts", "3 1/h")], &unit, 75.0);
        by_hand(&CHECK, &[("supply.line_starts", "20 1/h")], &unit, -66.67); // −8/12
        just_covered(&CHECK, &[("supply.line_starts", "12 1/h")], &unit);
        is_not_here(&CHECK, &[("supply.line_starts", "20 1/h")], &remedied(&CHECK, &unit));
        let silent = changed("R1", Duty::Heavy, |s| s.line_sides[0].power_ups = None);
        is_silent(&CHECK, &[("supply.line_starts", "1 1/h")], &silent, "power_ups");
    }
}
