//! The old drive sits in a withdrawable unit of a motor control center, whose listing covers it as it was built.

use calc::sources::PRACTICE;
use calc::working::Recorder;
use plant::choice::Housing;
use plant::survey::BOX_HOUSING;

use crate::candidate::{Candidate, Measure, Remedy};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop};

check! {
    name: "box/listed-unit-altered",
    severity: Injury,
    rows: &[109],
    unit: "",
    ways: &[],
    measures: &[Measure::FieldEvaluation],
    page: "listed_unit_altered.md",
    run: run,
    remedies: remedies,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    if facts.get(BOX_HOUSING)? != Housing::McUnit {
        return Ok(Outcome::NotHere);
    }
    let evaluated = unit.measures.has(Measure::FieldEvaluation);
    let told = || {
        let what = if evaluated { "an evaluation of the altered unit is part of the job" } else { "nobody has evaluated the altered unit" };
        format!("a withdrawable unit is listed as built, with its interlocks and its short-circuit rating; {what}")
    };
    Ok(holds_if(rec, evaluated, told, &PRACTICE))
}

fn remedies(_: &Candidate<'_>) -> Vec<Remedy> {
    vec![Remedy {
        measure: Measure::FieldEvaluation,
        what: "have the altered unit evaluated in the field, or order a unit that is built and listed for the section".into(),
        parts: None,
        minutes: 60.0,
    }]
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::fixture::{by_hand, is_not_here, remedied, unit};

    #[test]
    fn only_a_withdrawable_unit_needs_an_evaluation() {
        let small = unit("R1", Duty::Light);
        let bucket = [("box.housing", "withdrawable-unit")];
        by_hand(&CHECK, &bucket, &small, -1.0);
        by_hand(&CHECK, &bucket, &remedied(&CHECK, &small), 1.0);
        is_not_here(&CHECK, &[("box.housing", "wall-box")], &small);
    }
}
