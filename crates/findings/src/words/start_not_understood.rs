//! The new drive wants another start than the program gives: other bits, an edge, a walk through states.

use calc::sources::PACK;
use calc::working::Recorder;
use plant::choice::Choice;
use plant::network::{Bit, Direction, Layout};

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop};

check! {
    name: "words/start-not-understood",
    severity: Downtime,
    rows: &[81],
    unit: "",
    ways: &[],
    measures: &[Measure::WordsBlock],
    page: "start_not_understood.md",
    run: run,
    remedies: super::remedy,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some((old, new)) = facts.both_words(unit)? else { return Ok(Outcome::NotHere) };
    let bits = |l: &Layout| -> Vec<Bit> {
        let mut bits: Vec<Bit> = l.words(Direction::ToDrive).flat_map(|(_, w)| w.bits.iter().copied()).collect();
        bits.sort_by_key(|b| b.meaning);
        bits
    };
    let (was, is) = (bits(old), bits(new));
    let odd = was.iter().find(|b| !is.contains(b)).or_else(|| is.iter().find(|b| !was.contains(b)));
    let same = old.sequence == new.sequence && odd.is_none();
    Ok(holds_if(
        rec,
        same || unit.measures.has(Measure::WordsBlock),
        || {
            let bit =
                odd.map_or_else(|| "all command bits agree".to_owned(), |b| format!("“{}” is not the same bit in both", b.meaning.word()));
            format!("sequence {} before, {} now; {bit}", old.sequence.word(), new.sequence.word())
        },
        &PACK,
    ))
}

#[cfg(test)]
mod tests {
    use plant::network::{BitMeaning, Sequence, Trigger};

    use super::*;
    use crate::words::cases::{is, is_with_block, plain, with};

    #[test]
    fn sequence_place_and_sense_count() {
        is(&CHECK, &[], plain(), plain(), true);
        is(&CHECK, &[], plain(), with(|l| l.sequence = Sequence::Edge), false);
        is(&CHECK, &[], plain(), with(|l| l.words[0].bits[0].at = 4), false);
        is(&CHECK, &[], plain(), with(|l| l.words[0].bits[2].trigger = Trigger::Edge), false);
        is(&CHECK, &[], plain(), with(|l| l.words[0].bits.push(Bit::high(9, BitMeaning::Coast).low())), false);
        is_with_block(&CHECK, &[], plain(), with(|l| l.sequence = Sequence::Edge), true);
    }
}
