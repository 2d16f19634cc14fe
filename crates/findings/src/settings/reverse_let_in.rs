//! The old unit turned one way only; the new one lets a negative reference through, or the other way round.

use calc::working::Recorder;

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check};
use crate::facts::{Reader, Stop};
use crate::settings::look::{Which, words};

/// What is compared.
const LOOKED_AT: &[Which] = &[("reverse-inhibit", 1)];

check! {
    name: "settings/reverse-let-in",
    severity: Equipment,
    rows: &[74],
    unit: "",
    ways: &[],
    measures: &[Measure::SettingsSheet],
    page: "reverse_let_in.md",
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
            List::of(word("reverse-inhibit", 1, "forward-only"), word("reverse-inhibit", 1, delivered).able(can))
        };
        is(&CHECK, &list("forward-only", &["forward-only", "both"]), false, true);
        is(&CHECK, &list("both", &["forward-only", "both"]), false, false);
        is(&CHECK, &list("both", &["forward-only", "both"]), true, true);
        is(&CHECK, &list("both", &["both"]), true, false);
    }
}
