//! The at-speed or zero-speed bit has a narrower band than before, or is not there.

use calc::sources::PACK;
use calc::working::Recorder;
use plant::choice::Choice;
use plant::network::{BitMeaning, Direction, WordMeaning};

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop};

check! {
    name: "words/at-speed-comes-late",
    severity: Downtime,
    rows: &[85],
    unit: "",
    ways: &[],
    measures: &[Measure::WordsBlock],
    page: "at_speed_comes_late.md",
    run: run,
    remedies: super::remedy,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some((old, new)) = facts.both_words(unit)? else { return Ok(Outcome::NotHere) };
    let made = unit.measures.has(Measure::WordsBlock) && new.word(WordMeaning::SpeedActual).is_some();
    let from = Direction::FromDrive;
    let mut seen = false;
    for meaning in [BitMeaning::AtSpeed, BitMeaning::ZeroSpeed] {
        let Some((_, was)) = old.bit(from, meaning) else { continue };
        seen = true;
        if made {
            continue;
        }
        let Some((_, is)) = new.bit(from, meaning) else {
            return Ok(holds_if(rec, false, || format!("the new layout has no bit for “{}”", meaning.word()), &PACK));
        };
        let (Some(before), Some(after)) = (was.band, is.band) else {
            return Err(Stop::PackSilent("the band of at-speed and zero-speed bits (bits.csv, band)"));
        };
        if after < before {
            return Ok(holds_if(rec, false, || format!("“{}” within {before} before, {after} now", meaning.word()), &PACK));
        }
    }
    if !seen {
        return Ok(Outcome::NotHere);
    }
    Ok(holds_if(rec, true, || "the bits come as early as before".to_owned(), &PACK))
}

#[cfg(test)]
mod tests {
    use plant::quantity::Frequency;

    use super::*;
    use crate::words::cases::{is, is_silent, is_with_block, plain, with};

    fn band(hertz: f64) -> plant::network::Layout {
        with(|l| l.words[2].bits[2].band = Some(Frequency::hz(hertz)))
    }

    #[test]
    fn a_narrower_band_or_none_fails() {
        is(&CHECK, &[], band(1.0), band(1.0), true);
        is(&CHECK, &[], band(1.0), band(0.5), false);
        is(&CHECK, &[], band(1.0), with(|l| l.words[2].bits.truncate(2)), false);
        is_with_block(&CHECK, &[], band(1.0), band(0.5), true);
        is_silent(&CHECK, &[], band(1.0), plain(), "band");
    }
}
