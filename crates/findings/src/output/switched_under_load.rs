//! A switch between unit and motor opens without telling the unit.

use calc::sources::PRACTICE;
use calc::working::Recorder;
use plant::choice::{Choice, OutputSwitch};
use plant::survey::OUTPUT_SWITCH;

use crate::candidate::{Candidate, Measure, Remedy};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop};
use crate::output::one;

check! {
    name: "output/switched-under-load",
    severity: Equipment,
    rows: &[37],
    unit: "",
    ways: &[],
    measures: &[Measure::EarlyBreakContact],
    page: "switched_under_load.md",
    run: run,
    remedies: remedies,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let switch = match facts.get(OUTPUT_SWITCH)? {
        OutputSwitch::None => return Ok(Outcome::NotHere),
        OutputSwitch::Plain if unit.measures.has(Measure::EarlyBreakContact) => OutputSwitch::EarlyBreak,
        found => found,
    };
    Ok(holds_if(rec, switch == OutputSwitch::EarlyBreak, || format!("switch between unit and motor: {}", switch.word()), &PRACTICE))
}

fn remedies(_: &Candidate<'_>) -> Vec<Remedy> {
    one(Measure::EarlyBreakContact, "give the isolator a contact that opens before its poles, and land it in the run permit", 45.0)
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::fixture::{by_hand, is_not_here, remedied, unit};

    #[test]
    fn only_a_switch_that_says_nothing_fails() {
        let unit = unit("R1", Duty::Heavy);
        is_not_here(&CHECK, &[("output.switch", "none")], &unit);
        by_hand(&CHECK, &[("output.switch", "with early-break contact")], &unit, 1.0);
        by_hand(&CHECK, &[("output.switch", "without early-break contact")], &unit, -1.0);
        by_hand(&CHECK, &[("output.switch", "without early-break contact")], &remedied(&CHECK, &unit), 1.0);
    }
}
