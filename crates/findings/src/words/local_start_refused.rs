//! The program holds a stop bit that the new drive obeys also under local control.

use calc::sources::PACK;
use calc::working::Recorder;
use plant::choice::{Choice, YesNo};
use plant::network::{BitMeaning, Direction};
use plant::survey::{NETWORK_LOCAL, NETWORK_STOP_HELD};

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop};

check! {
    name: "words/local-start-refused",
    severity: Downtime,
    rows: &[82],
    unit: "",
    ways: &[],
    measures: &[Measure::WordsBlock],
    page: "local_start_refused.md",
    run: run,
    remedies: super::remedy,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some((_, new)) = facts.both_words(unit)? else { return Ok(Outcome::NotHere) };
    if new.bit(Direction::ToDrive, BitMeaning::Stop).is_none() {
        return Ok(Outcome::NotHere);
    }
    let (held, local) = (facts.get(NETWORK_STOP_HELD)?, facts.get(NETWORK_LOCAL)?);
    let barred = held == YesNo::Yes && local == YesNo::Yes;
    let Some(always) = new.stop_always_acts else {
        return Err(Stop::PackSilent("whether the network's stop bit acts under local control (layouts.csv, stop_always_acts)"));
    };
    Ok(holds_if(
        rec,
        !(barred && always) || unit.measures.has(Measure::WordsBlock),
        || {
            format!(
                "stop bit held: {}; started by hand: {}; the unit obeys it {}",
                held.word(),
                local.word(),
                if always { "always" } else { "under network control alone" }
            )
        },
        &PACK,
    ))
}

#[cfg(test)]
mod tests {
    use plant::network::Bit;

    use super::*;
    use crate::words::cases::{is, is_silent, is_with_block, plain, with};

    fn stops(always: Option<bool>) -> plant::network::Layout {
        with(|l| {
            l.words[0].bits.push(Bit::high(7, BitMeaning::Stop));
            l.stop_always_acts = always;
        })
    }

    #[test]
    fn a_held_stop_bars_the_keypad_only_where_it_always_acts() {
        let both = &[("network.stop_held", "yes"), ("network.local", "yes")];
        is(&CHECK, both, plain(), stops(Some(true)), false);
        is(&CHECK, both, plain(), stops(Some(false)), true);
        is(&CHECK, &[("network.stop_held", "yes"), ("network.local", "no")], plain(), stops(Some(true)), true);
        is_with_block(&CHECK, both, plain(), stops(Some(true)), true);
        is_silent(&CHECK, both, plain(), stops(None), "stop_always_acts");
    }
}
