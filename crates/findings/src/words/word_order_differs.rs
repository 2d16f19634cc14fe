//! A value of 32 bits has its words in another order, or comes where the program reads 16 bits.

use calc::sources::PACK;
use calc::working::Recorder;
use plant::choice::Choice;

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop};

check! {
    name: "words/word-order-differs",
    severity: Equipment,
    rows: &[77],
    unit: "",
    ways: &[],
    measures: &[Measure::WordsBlock],
    page: "word_order_differs.md",
    run: run,
    remedies: super::remedy,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some((old, new)) = facts.both_words(unit)? else { return Ok(Outcome::NotHere) };
    let shared = || old.words.iter().filter_map(|w| new.word(w.meaning).map(|(_, n)| (w, n))).filter(|(w, _)| w.scale.is_some());
    let wide = |word: &plant::network::DataWord| word.width == 32;
    if shared().any(|(_, n)| wide(n)) && new.word_order.is_none() {
        return Err(Stop::PackSilent("which word of a 32-bit value comes first (layouts.csv, word_order)"));
    }
    let order = old.word_order != new.word_order;
    let differs = shared().find(|(w, n)| w.width != n.width || (wide(w) && order));
    Ok(holds_if(
        rec,
        differs.is_none() || unit.measures.has(Measure::WordsBlock),
        || {
            differs.map_or_else(
                || "every number has its width and order".to_owned(),
                |(w, n)| format!("{}: {} bits before, {} now", w.meaning.word(), w.width, n.width),
            )
        },
        &PACK,
    ))
}

#[cfg(test)]
mod tests {
    use plant::network::WordOrder;

    use super::*;
    use crate::words::cases::{is, is_silent, is_with_block, plain, with};

    fn wide(order: Option<WordOrder>) -> plant::network::Layout {
        with(|l| {
            l.words[3].width = 32;
            l.word_order = order;
        })
    }

    #[test]
    fn width_and_order_count() {
        is(&CHECK, &[], plain(), plain(), true);
        is(&CHECK, &[], plain(), wide(Some(WordOrder::HighFirst)), false);
        is(&CHECK, &[], wide(Some(WordOrder::LowFirst)), wide(Some(WordOrder::HighFirst)), false);
        is(&CHECK, &[], wide(Some(WordOrder::LowFirst)), wide(Some(WordOrder::LowFirst)), true);
        is_with_block(&CHECK, &[], plain(), wide(Some(WordOrder::HighFirst)), true);
    }

    #[test]
    fn an_order_that_nobody_said_is_asked_for() {
        is_silent(&CHECK, &[], plain(), wide(None), "word_order");
    }
}
