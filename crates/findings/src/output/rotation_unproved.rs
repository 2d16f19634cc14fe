//! Nobody has noted which way the motor turns on the drive and on the bypass.

use calc::sources::PRACTICE;
use calc::working::Recorder;
use plant::choice::{Choice, YesNo};
use plant::survey::BYPASS_ROTATION;

use crate::candidate::Candidate;
use crate::check::{Outcome, check, holds_if, no_remedy};
use crate::facts::{Reader, Stop};
use crate::output::bypass;

check! {
    name: "output/rotation-unproved",
    severity: Equipment,
    rows: &[39],
    unit: "",
    ways: &[],
    measures: &[],
    page: "rotation_unproved.md",
    run: run,
    remedies: no_remedy,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, _: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    if bypass(facts, rec)?.is_none() {
        return Ok(Outcome::NotHere);
    }
    let noted = facts.get(BYPASS_ROTATION)?;
    Ok(holds_if(rec, noted == YesNo::Yes, || format!("both directions noted before the swap: {}", noted.word()), &PRACTICE))
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::fixture::{by_hand, is_not_here, unit};

    #[test]
    fn it_is_noted_or_it_is_not() {
        let unit = unit("R1", Duty::Heavy);
        is_not_here(&CHECK, &[("output.bypass", "none")], &unit);
        by_hand(&CHECK, &[("output.bypass", "not interlocked"), ("output.rotation_noted", "yes")], &unit, 1.0);
        by_hand(&CHECK, &[("output.bypass", "not interlocked"), ("output.rotation_noted", "no")], &unit, -1.0);
    }
}
