//! People work on the machine while nothing but a control function keeps the motor still.

use calc::working::Recorder;
use plant::choice::Choice;
use plant::control::Isolating;
use plant::survey::SCHEME_ISOLATING;

use super::side::start;
use crate::candidate::Candidate;
use crate::check::{Outcome, check, holds_if, no_remedy};
use crate::facts::{Reader, Stop};
use calc::sources::PRACTICE;

check! {
    name: "control/held-by-control-alone",
    severity: Injury,
    rows: &[110],
    unit: "",
    ways: &[],
    measures: &[],
    page: "held_by_control_alone.md",
    run: run,
    remedies: no_remedy,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, _: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    start(facts)?;
    let locked = facts.get(SCHEME_ISOLATING)?;
    Ok(holds_if(rec, locked == Isolating::Disconnect, || format!("what is locked for work on the machine: {}", locked.word()), &PRACTICE))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::control::side::cases::{is, unit};

    #[test]
    fn only_a_disconnect_isolates() {
        for (locked, holds) in [("disconnect", true), ("contactor", false), ("safe-off", false)] {
            is(&CHECK, &[("scheme.start", "two-wire"), ("scheme.isolating", locked)], &unit(&[], false), holds);
        }
    }
}
