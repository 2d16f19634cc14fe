//! The new unit does something else when its reference is lost.

use calc::working::Recorder;

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check};
use crate::facts::{Reader, Stop};
use crate::settings::look::{Which, words};

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
    words(&pair, unit, rec, LOOKED_AT)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::settings::cases::{List, is, word};

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
