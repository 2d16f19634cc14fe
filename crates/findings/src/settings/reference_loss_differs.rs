//! The new unit does something else when its reference is lost.

use calc::working::Recorder;

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check};
use crate::facts::{Reader, Stop};
use crate::settings::look::{Which, words};

/// Sources of the reference that come by a signal.
const SIGNALS: &[&str] = &["analogue-1", "analogue-2", "pulse", "process-regulator"];
/// What is compared.
const LOOKED_AT: &[Which] = &[("reference-loss-action", 1)];

check! {
    name: "settings/reference-loss-differs",
    severity: Injury,
    rows: &[65],
    unit: "",
    ways: &[],
    measures: &[Measure::SettingsSheet],
    page: "reference_loss_differs.md",
    run: run,
    remedies: super::sheet,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some(pair) = facts.settings(unit, &[])? else { return Ok(Outcome::NotHere) };
    // A keypad or a fixed speed has no signal that could be lost.
    if pair.did("reference-source", 1)?.is_some_and(|source| !SIGNALS.contains(&source)) {
        return Ok(Outcome::NotHere);
    }
    words(&pair, unit, rec, LOOKED_AT)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::settings::cases::{List, is, outcome, word};

    #[test]
    fn a_keypad_has_no_signal_to_lose() {
        let list = List::of(word("reference-loss-action", 1, "trip"), word("reference-loss-action", 1, "none"));
        is(&CHECK, &list.clone().old(word("reference-source", 1, "analogue-1")), false, false);
        let keypad = outcome(&CHECK, &[], &list.old(word("reference-source", 1, "keypad")), false);
        assert_eq!(keypad, Ok(Outcome::NotHere));
    }

    #[test]
    fn the_new_unit_has_to_do_the_same() {
        let list = |delivered: &str, can: &[&str]| {
            List::of(word("reference-loss-action", 1, "ramp-stop"), word("reference-loss-action", 1, delivered).able(can))
        };
        is(&CHECK, &list("ramp-stop", &["ramp-stop", "hold-speed"]), false, true);
        is(&CHECK, &list("hold-speed", &["ramp-stop", "hold-speed"]), false, false);
        is(&CHECK, &list("hold-speed", &["ramp-stop", "hold-speed"]), true, true);
        is(&CHECK, &list("hold-speed", &["hold-speed"]), true, false);
    }
}
