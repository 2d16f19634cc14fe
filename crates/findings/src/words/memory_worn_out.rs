//! The program writes a setting again and again, and the new drive keeps each in a memory that wears.

use calc::sources::PACK;
use calc::working::Recorder;
use plant::network::Direction;
use plant::quantity::digits;
use plant::survey::NETWORK_WRITES;

use crate::candidate::Candidate;
use crate::check::{Outcome, check, holds_if, no_remedy};
use crate::facts::{Reader, Stop};

/// Writes that such a memory bears. Common practice, no source.
const WRITES: f64 = 1e5;
/// Years that a drive is to last. Common practice, no source.
const YEARS: f64 = 10.0;

check! {
    name: "words/memory-worn-out",
    severity: Equipment,
    rows: &[87],
    unit: "",
    ways: &[],
    measures: &[],
    page: "memory_worn_out.md",
    run: run,
    remedies: no_remedy,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some((old, new)) = facts.both_words(unit)? else { return Ok(Outcome::NotHere) };
    let to = Direction::ToDrive;
    let carried = |c: &Option<String>| c.is_some() && new.words(to).any(|(_, n)| n.carries == *c && n.kept != Some(false));
    let Some((_, word)) = old.words(to).find(|(_, w)| carried(&w.carries)) else { return Ok(Outcome::NotHere) };
    if new.words(to).any(|(_, n)| n.carries == word.carries && n.kept.is_none()) {
        return Err(Stop::PackSilent("whether a written setting goes into a memory that wears (words.csv, kept)"));
    }
    let writes = facts.get(NETWORK_WRITES)?.in_si() * YEARS * 365.25 * 86_400.0;
    Ok(holds_if(
        rec,
        writes <= WRITES,
        || format!("“{}”: {} writes in {YEARS} years, {} are borne", word.name, digits(writes, 3), digits(WRITES, 3)),
        &PACK,
    ))
}

#[cfg(test)]
mod tests {
    use plant::network::{DataWord, WordMeaning};

    use super::*;
    use crate::words::cases::{is, is_silent, with};

    fn keeps(kept: Option<bool>) -> plant::network::Layout {
        with(|l| {
            let word = DataWord::plain("ramp", Direction::ToDrive, 9, WordMeaning::Configurable);
            l.words.push(DataWord { carries: Some("acceleration-ramp".into()), kept, ..word });
        })
    }

    #[test]
    fn once_an_hour_is_borne_and_once_a_minute_is_not() {
        // Ten years have 87 660 hours and 5 259 600 minutes.
        is(&CHECK, &[("network.setting_writes", "1 /h")], keeps(None), keeps(Some(true)), true);
        is(&CHECK, &[("network.setting_writes", "60 /h")], keeps(None), keeps(Some(true)), false);
        is_silent(&CHECK, &[], keeps(None), keeps(None), "kept");
    }
}
