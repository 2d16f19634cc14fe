//! The controller's connection to the drive is set up for another protocol or for other numbers of words.

use calc::sources::PACK;
use calc::working::Recorder;
use plant::choice::Choice;
use plant::network::Direction;

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop};

check! {
    name: "words/refused-by-master",
    severity: Downtime,
    rows: &[75],
    unit: "",
    ways: &[],
    measures: &[Measure::WordsBlock],
    page: "refused_by_master.md",
    run: run,
    remedies: super::remedy,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some(pair) = facts.words(unit)? else { return Ok(Outcome::NotHere) };
    let (old, new) = (pair.old, pair.new);
    let Some(new) = new.filter(|n| n.protocol == old.protocol) else {
        return Ok(holds_if(
            rec,
            false,
            || format!("the old words travel by {}; the new series has no such layout", old.protocol.word()),
            &PACK,
        ));
    };
    let lengths = [Direction::ToDrive, Direction::FromDrive].map(|d| (old.length(d), new.length(d)));
    let same = lengths.iter().all(|(was, is)| was == is);
    Ok(holds_if(
        rec,
        same || unit.measures.has(Measure::WordsBlock),
        || format!("words to the drive {} then {}, from the drive {} then {}", lengths[0].0, lengths[0].1, lengths[1].0, lengths[1].1),
        &PACK,
    ))
}

#[cfg(test)]
mod tests {
    use plant::network::Protocol;

    use super::*;
    use crate::words::cases::{is, is_with_block, plain, with};

    #[test]
    fn the_same_layout_is_accepted_and_another_length_is_not() {
        is(&CHECK, &[], plain(), plain(), true);
        is(&CHECK, &[], plain(), with(|l| drop(l.words.pop())), false);
        is_with_block(&CHECK, &[], plain(), with(|l| drop(l.words.pop())), true);
    }

    #[test]
    fn another_protocol_is_refused_whatever_is_done() {
        is_with_block(&CHECK, &[], plain(), with(|l| l.protocol = Protocol::Cip), false);
    }
}
