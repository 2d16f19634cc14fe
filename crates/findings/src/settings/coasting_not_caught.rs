//! The new unit does not catch a turning motor as the old one did, or catches one that stands.

use calc::working::Recorder;

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check};
use crate::facts::{Reader, Stop};
use crate::settings::look::{Which, words};

/// What is compared.
const LOOKED_AT: &[Which] = &[("flying-start", 1)];

check! {
    name: "settings/coasting-not-caught",
    severity: Downtime,
    rows: &[94],
    unit: "",
    ways: &[],
    measures: &[Measure::SettingsSheet],
    page: "coasting_not_caught.md",
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
        let list = |delivered: &str, can: &[&str]| List::of(word("flying-start", 1, "both"), word("flying-start", 1, delivered).able(can));
        is(&CHECK, &list("both", &["both", "off"]), false, true);
        is(&CHECK, &list("off", &["both", "off"]), false, false);
        is(&CHECK, &list("off", &["both", "off"]), true, true);
        is(&CHECK, &list("off", &["off"]), true, false);
    }
}
