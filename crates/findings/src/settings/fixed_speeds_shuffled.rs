//! Fixed speeds answer to other inputs, or their numbers mean other speeds.

use calc::sources::PACK;
use calc::working::Recorder;

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop};
use crate::settings::look::{By, by_sheet, deviation};

/// By how much a fixed speed may differ. Common practice, no source.
const ALLOWED: f64 = 0.02;
/// Most fixed speeds, and most inputs, of one unit.
const MOST: u32 = 16;

check! {
    name: "settings/fixed-speeds-shuffled",
    severity: Downtime,
    rows: &[72],
    unit: "",
    ways: &[],
    measures: &[Measure::SettingsSheet],
    page: "fixed_speeds_shuffled.md",
    run: run,
    remedies: super::sheet,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some(pair) = facts.settings(unit, &["preset-speeds"])? else { return Ok(Outcome::NotHere) };
    // An input may have its delivered function with no speed behind it.
    let used = |number: u32| match pair.old.of("preset-speeds", number) {
        None => false,
        Some(speed) => speed.is_ok_and(|s| s.abs() > 0.0),
    };
    if !(1..=MOST).any(used) {
        return Ok(Outcome::NotHere);
    }
    let bit = |number: u32| pair.old.word("input-function", number).filter(|w| w.starts_with("preset-bit"));
    let bits: Vec<(u32, &str)> = (1..=MOST).filter_map(|n| Some((n, bit(n)?))).collect();
    if bits.is_empty() && pair.did("reference-source", 1)? != Some("presets") {
        return Ok(Outcome::NotHere);
    }
    for (number, was) in bits {
        let same =
            if by_sheet(unit) { pair.takes("input-function", number, was) } else { pair.delivered("input-function", number) == Some(was) };
        if !same {
            let called = pair.called("input-function", number);
            let how = if by_sheet(unit) { "cannot do so" } else { "does otherwise as delivered" };
            return Ok(holds_if(rec, false, || format!("{called} was “{was}”; the new unit’s input of that number {how}"), &PACK));
        }
    }
    for number in 1..=MOST {
        let Some(found) = deviation(&pair, unit, "preset-speeds", number, By::Copying)?.filter(|d| d.was.abs() > 0.0) else { continue };
        if found.off > ALLOWED {
            return Ok(holds_if(rec, false, || found.text(&pair, unit, By::Copying), &PACK));
        }
    }
    Ok(holds_if(rec, true, || "fixed speeds and their inputs agree".to_owned(), &PACK))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::settings::cases::{List, is, number, word};
    use plant::settings::Definition as D;

    #[test]
    fn the_order_of_the_inputs_counts() {
        let list = |old: &str, new: &str| {
            List::of(word("input-function", 3, old), word("input-function", 3, new).able(&["preset-bit-1", "preset-bit-2"]))
                .old(number("preset-speeds", 1, D::Plain, "Hz", "30"))
                .offered(number("preset-speeds", 1, D::Plain, "Hz", "0"))
        };
        is(&CHECK, &list("preset-bit-1", "preset-bit-1"), false, true);
        is(&CHECK, &list("preset-bit-1", "preset-bit-2"), false, false);
        is(&CHECK, &list("preset-bit-1", "preset-bit-2"), true, true);
        is(&CHECK, &list("preset-bit-3", "preset-bit-2"), true, false);
    }

    #[test]
    fn so_do_their_speeds() {
        let list = List::of(word("reference-source", 1, "presets"), word("reference-source", 1, "presets"))
            .old(number("preset-speeds", 2, D::OfMaximum, "%", "50").default("0"))
            .old(number("maximum-output-frequency", 1, D::Plain, "Hz", "80"))
            .old(number("motor-frequency", 1, D::Plain, "Hz", "60"));
        // 50 % of 80 Hz are 40 Hz, of 60 Hz 30 Hz.
        is(&CHECK, &list.clone().offered(number("preset-speeds", 2, D::OfBase, "%", "0")), false, false);
        is(&CHECK, &list.clone().offered(number("preset-speeds", 2, D::OfBase, "%", "0")), true, true);
        is(&CHECK, &list.offered(number("preset-speeds", 1, D::OfMaximum, "%", "0")), true, false);
    }
}
