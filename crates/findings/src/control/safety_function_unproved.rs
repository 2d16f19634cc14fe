//! The emergency stop acts through the unit, the unit is another one now, and nobody has shown that it still does its job.

use calc::sources::PRACTICE;
use calc::working::Recorder;
use plant::choice::{Choice, YesNo};
use plant::control::Emergency;
use plant::survey::{SCHEME_EMERGENCY, SCHEME_VALIDATED};

use super::side::start;
use crate::candidate::Candidate;
use crate::check::{Outcome, check, holds_if, no_remedy};
use crate::facts::{Reader, Stop};

check! {
    name: "control/safety-function-unproved",
    severity: Injury,
    rows: &[111],
    unit: "",
    ways: &[],
    measures: &[],
    page: "safety_function_unproved.md",
    run: run,
    remedies: no_remedy,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, _: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    start(facts)?;
    let acts = facts.get(SCHEME_EMERGENCY)?;
    let through = match acts {
        Emergency::None | Emergency::LineContactor => return Ok(Outcome::NotHere),
        Emergency::DelayedContactor => "the stop before the contactor drops",
        Emergency::EnableInput => "the enable",
        Emergency::SafeOff | Emergency::DelayedSafeOff => "safe torque off",
        Emergency::StopCircuit => "the stop",
    };
    let proved = facts.get(SCHEME_VALIDATED)? == YesNo::Yes;
    Ok(holds_if(
        rec,
        proved,
        || {
            format!(
                "emergency stop: {}; {through} of the new unit is part of it; validated: {}",
                acts.word(),
                if proved { "yes" } else { "no" }
            )
        },
        &PRACTICE,
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::control::side::cases::{is, unit};

    #[test]
    fn what_acts_through_the_unit_needs_a_validation() {
        for acts in ["delayed-contactor", "enable-input", "safe-off", "delayed-safe-off", "stop-circuit"] {
            for (validated, holds) in [("yes", true), ("no", false)] {
                let entries = [("scheme.start", "two-wire"), ("scheme.emergency", acts), ("scheme.safety_validated", validated)];
                is(&CHECK, &entries, &unit(&[], false), holds);
            }
        }
        crate::fixture::is_not_here(&CHECK, &[("scheme.start", "two-wire"), ("scheme.emergency", "line-contactor")], &unit(&[], false));
    }
}
