//! The process regulator has another sense, gain or time in the new unit.

use calc::sources::PACK;
use calc::working::Recorder;

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop};
use crate::settings::look::{By, by_sheet, deviation};

/// By how much gain and times may differ. Common practice, no source.
const ALLOWED: f64 = 0.1;

check! {
    name: "settings/process-loop-swings",
    severity: Downtime,
    rows: &[97],
    unit: "",
    ways: &[],
    measures: &[Measure::SettingsSheet],
    page: "process_loop_swings.md",
    run: run,
    remedies: super::sheet,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some(pair) = facts.settings(unit, &["pid-gain", "pid-integral", "pid-derivative"])? else { return Ok(Outcome::NotHere) };
    if pair.did("reference-source", 1)? != Some("process-regulator") {
        return Ok(Outcome::NotHere);
    }
    if let Some(was) = pair.did("pid-action", 1)? {
        let same = if by_sheet(unit) { pair.takes("pid-action", 1, was) } else { pair.delivered("pid-action", 1) == Some(was) };
        if !same {
            let called = pair.called("pid-action", 1);
            return Ok(holds_if(rec, false, || format!("{called} was “{was}”; the new unit’s regulator acts the other way"), &PACK));
        }
    }
    for concept in ["pid-gain", "pid-integral", "pid-derivative"] {
        let Some(found) = deviation(&pair, unit, concept, 1, By::Copying)?.filter(|d| d.was.abs() > 0.0) else { continue };
        if found.off > ALLOWED {
            return Ok(holds_if(rec, false, || found.text(&pair, unit, By::Copying), &PACK));
        }
    }
    Ok(holds_if(rec, true, || "sense, gain and times agree".to_owned(), &PACK))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::settings::cases::{List, is, number, word};
    use plant::settings::Definition as D;

    fn list() -> List {
        List::of(word("pid-action", 1, "direct"), word("pid-action", 1, "direct").able(&["direct", "reverse"]))
            .old(word("reference-source", 1, "process-regulator"))
            .old(number("pid-gain", 1, D::Gain, "", "2"))
    }

    #[test]
    fn a_band_is_no_gain() {
        is(&CHECK, &list().offered(number("pid-gain", 1, D::Gain, "", "1")), false, true);
        // A gain of 2 typed in as a band of 2 is a gain of a half.
        is(&CHECK, &list().offered(number("pid-gain", 1, D::ProportionalBand, "", "1")), false, false);
        is(&CHECK, &list().offered(number("pid-gain", 1, D::ProportionalBand, "", "1")), true, true);
    }

    #[test]
    fn the_sense_counts_too() {
        let list = List::of(word("pid-action", 1, "direct"), word("pid-action", 1, "reverse").able(&["direct", "reverse"])).old(word(
            "reference-source",
            1,
            "process-regulator",
        ));
        is(&CHECK, &list, false, false);
        is(&CHECK, &list, true, true);
    }
}
