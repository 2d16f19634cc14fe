//! The reference that raise and lower moved outlives a stop or a loss of power in one unit and not in the other.

use calc::working::Recorder;

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check};
use crate::facts::{Reader, Stop};
use crate::settings::look::words;

/// Most inputs of one unit.
const MOST: u32 = 16;

check! {
    name: "settings/raise-lower-remembers",
    severity: Equipment,
    rows: &[73],
    unit: "",
    ways: &[],
    measures: &[Measure::SettingsSheet],
    page: "raise_lower_remembers.md",
    run: run,
    remedies: super::sheet,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some(pair) = facts.settings(unit, &[])? else { return Ok(Outcome::NotHere) };
    let by_input = (1..=MOST).any(|n| matches!(pair.old.word("input-function", n), Some("raise" | "lower")));
    if !by_input && pair.did("reference-source", 1)? != Some("motor-potentiometer") {
        return Ok(Outcome::NotHere);
    }
    if pair.did("motor-potentiometer-memory", 1)?.is_none() {
        return Err(Stop::PackSilent("whether the old unit’s raise and lower outlive a stop (settings.csv, motor-potentiometer-memory)"));
    }
    words(&pair, unit, rec, &[("motor-potentiometer-memory", 1)])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::settings::cases::{List, is, outcome, word};

    #[test]
    fn a_kept_reference_is_kept() {
        let list = |new: &str| {
            List::of(
                word("motor-potentiometer-memory", 1, "cleared"),
                word("motor-potentiometer-memory", 1, new).able(&["cleared", "kept"]),
            )
            .old(word("reference-source", 1, "motor-potentiometer"))
        };
        is(&CHECK, &list("cleared"), false, true);
        is(&CHECK, &list("kept"), false, false);
        is(&CHECK, &list("kept"), true, true);
    }

    #[test]
    fn only_where_raise_and_lower_are_used() {
        let memory = || word("motor-potentiometer-memory", 1, "cleared");
        let idle = List::of(memory(), word("motor-potentiometer-memory", 1, "kept")).old(word("reference-source", 1, "keypad"));
        assert_eq!(outcome(&CHECK, &[], &idle, false), Ok(Outcome::NotHere));
        let silent = List::of(word("input-function", 2, "raise"), memory());
        assert!(matches!(outcome(&CHECK, &[], &silent, false), Err(Stop::PackSilent(_))));
    }
}
