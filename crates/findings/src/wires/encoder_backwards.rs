//! Nobody has shown that the encoder counts the way the motor turns.

use calc::sources::PRACTICE;
use calc::working::Recorder;

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop};

check! {
    name: "wires/encoder-backwards",
    severity: Injury,
    rows: &[70],
    unit: "",
    ways: &[],
    measures: &[Measure::EncoderTrial],
    page: "encoder_backwards.md",
    run: run,
    remedies: trial,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some(wired) = facts.wired(unit)? else { return Ok(Outcome::NotHere) };
    if !wired.circuits.iter().any(|c| c.is("encoder")) {
        return Ok(Outcome::NotHere);
    }
    let planned = unit.measures.has(Measure::EncoderTrial);
    let what = || format!("its direction is tried before the loop is closed: {}", if planned { "planned" } else { "not planned" });
    Ok(holds_if(rec, planned, what, &PRACTICE))
}

/// Minutes of the trial. Common practice, no source.
const TRIAL: f64 = 40.0;

fn trial(_: &Candidate<'_>) -> Vec<crate::candidate::Remedy> {
    vec![crate::candidate::Remedy {
        measure: Measure::EncoderTrial,
        what: "try the encoder's direction: over-speed trip set low, turn the shaft by hand, then run slowly without the loop closed"
            .to_owned(),
        parts: Some(0.0),
        minutes: TRIAL,
    }]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::wires::cases::*;

    #[test]
    fn an_encoder_asks_for_a_trial() {
        is(&CHECK, vec![wire("encoder", |_| ())], false);
        assert_eq!(at(&CHECK, vec![wire("encoder", |_| ())], |_| (), Some(Measure::EncoderTrial)), Ok(Outcome::Margin(1.0)));
        is_not_here(&CHECK, vec![wire("run-forward", signal)]);
    }
}
