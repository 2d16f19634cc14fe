//! The words lie at other addresses than the program asks for.

use calc::sources::PACK;
use calc::working::Recorder;
use plant::network::{Protocol, WordMeaning};

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop};

check! {
    name: "words/registers-shifted",
    severity: Equipment,
    rows: &[78],
    unit: "",
    ways: &[],
    measures: &[Measure::WordsBlock],
    page: "registers_shifted.md",
    run: run,
    remedies: super::remedy,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some((old, new)) = facts.both_words(unit)? else { return Ok(Outcome::NotHere) };
    if !matches!(old.protocol, Protocol::ModbusRtu | Protocol::ModbusTcp) {
        return Ok(Outcome::NotHere);
    }
    if old.addressing.is_none() || new.addressing.is_none() {
        return Err(Stop::PackSilent("how register numbers are counted (layouts.csv, addressing)"));
    }
    let moved = old
        .words
        .iter()
        .filter(|w| w.meaning != WordMeaning::Padding)
        .filter_map(|w| new.word(w.meaning).map(|(_, n)| (w, old.address(w), new.address(n))))
        .find(|(_, was, is)| was != is);
    Ok(holds_if(
        rec,
        moved.is_none() || unit.measures.has(Measure::WordsBlock),
        || {
            let text = |a: Option<u32>| a.map_or_else(|| "none".to_owned(), |a| a.to_string());
            moved.map_or_else(
                || "every word keeps its address".to_owned(),
                |(w, was, is)| format!("{}: address {} before, {} now", w.name, text(was), text(is)),
            )
        },
        &PACK,
    ))
}

#[cfg(test)]
mod tests {
    use plant::network::Addressing;

    use super::*;
    use crate::words::cases::{is, is_silent, is_with_block, plain, with};

    #[test]
    fn the_request_counts_not_the_print() {
        is(&CHECK, &[], plain(), plain(), true);
        // Printed from 40001 instead of from 1: the same requests.
        let four = with(|l| {
            l.addressing = Some(Addressing::LeadingFour);
            l.words.iter_mut().for_each(|w| w.number += 40_000);
        });
        is(&CHECK, &[], plain(), four, true);
        is(&CHECK, &[], plain(), with(|l| l.addressing = Some(Addressing::Zero)), false);
        is_with_block(&CHECK, &[], plain(), with(|l| l.addressing = Some(Addressing::Zero)), true);
        is_silent(&CHECK, &[], plain(), with(|l| l.addressing = None), "addressing");
    }
}
