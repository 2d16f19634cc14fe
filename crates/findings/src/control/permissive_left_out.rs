//! A permissive lived in the old unit and goes with it, or does not count in every mode.

use calc::sources::PRACTICE;
use calc::working::Recorder;
use plant::choice::Choice;
use plant::control::{PermissiveActs, PermissivePlace, StartBy};
use plant::survey::{SCHEME_PERMISSIVE, SCHEME_PERMISSIVE_IN};

use super::side::start;
use crate::candidate::{Candidate, Measure, Remedy};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop};

check! {
    name: "control/permissive-left-out",
    severity: Injury,
    rows: &[60],
    unit: "",
    ways: &[],
    measures: &[Measure::PermissivesWired],
    page: "permissive_left_out.md",
    run: run,
    remedies: remedies,
}

/// Minutes to wire permissives anew and to open each of them in each mode. Common practice, no source.
const MINUTES: f64 = 180.0;

fn remedies(_: &Candidate<'_>) -> Vec<Remedy> {
    vec![Remedy {
        measure: Measure::PermissivesWired,
        what:
            "wire every permissive into the stop circuit, in series with every start, and open each one in each mode to see the motor stop"
                .to_owned(),
        parts: None,
        minutes: MINUTES,
    }]
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let start = start(facts)?;
    let acts = facts.get(SCHEME_PERMISSIVE)?;
    if acts == PermissiveActs::None {
        return Ok(Outcome::NotHere);
    }
    let place = facts.get(SCHEME_PERMISSIVE_IN)?;
    let modes = matches!(start, StartBy::HandAuto | StartBy::Network);
    let lost = place == PermissivePlace::OldUnit;
    let partly = modes && acts == PermissiveActs::AutoOnly;
    Ok(holds_if(
        rec,
        !(lost || partly) || unit.measures.has(Measure::PermissivesWired),
        || format!("permissives count in {}; they live in {}; started {}", acts.word(), place.word(), start.word()),
        &PRACTICE,
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::control::side::cases::{is, unit};

    #[test]
    fn what_lives_in_the_old_unit_is_lost_and_hand_without_it_is_no_permissive() {
        for (start, acts, place, holds) in [
            ("two-wire", "every-mode", "circuit", true),
            ("two-wire", "every-mode", "old-unit", false),
            ("two-wire", "auto-only", "circuit", true),
            ("hand-off-auto", "auto-only", "circuit", false),
            ("network", "auto-only", "controller", false),
            ("hand-off-auto", "every-mode", "controller", true),
        ] {
            let entries = [("scheme.start", start), ("scheme.permissive", acts), ("scheme.permissive_in", place)];
            is(&CHECK, &entries, &unit(&[], false), holds);
            is(&CHECK, &entries, &crate::fixture::with(&CHECK, &unit(&[], false), Measure::PermissivesWired), true);
        }
    }
}
