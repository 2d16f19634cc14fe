//! With the start bit still standing, the new drive starts when a fault is reset; the old one did not.

use calc::sources::PACK;
use calc::working::Recorder;
use plant::choice::YesNo;
use plant::network::Sequence;
use plant::survey::NETWORK_START_HELD;

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop};

check! {
    name: "words/restarts-on-reset",
    severity: Injury,
    rows: &[83],
    unit: "",
    ways: &[],
    measures: &[Measure::WordsBlock],
    page: "restarts_on_reset.md",
    run: run,
    remedies: super::remedy,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some((old, new)) = facts.both_words(unit)? else { return Ok(Outcome::NotHere) };
    let held = facts.get(NETWORK_START_HELD)? == YesNo::Yes;
    let restarts = |sequence| held && sequence == Sequence::Level;
    let (was, is) = (restarts(old.sequence), restarts(new.sequence));
    Ok(holds_if(
        rec,
        was || !is || unit.measures.has(Measure::WordsBlock),
        || {
            format!(
                "start {}; the old drive {}, the new one {} on a reset",
                if held { "held" } else { "taken away" },
                starts(was),
                starts(is)
            )
        },
        &PACK,
    ))
}

const fn starts(again: bool) -> &'static str {
    if again { "starts again" } else { "stands" }
}

#[cfg(test)]
mod tests {

    use super::*;
    use crate::words::cases::{is, is_with_block, plain, with};

    #[test]
    fn a_level_where_an_edge_was_restarts() {
        let edge = || with(|l| l.sequence = Sequence::Edge);
        is(&CHECK, &[("network.start_held", "yes")], edge(), plain(), false);
        is(&CHECK, &[("network.start_held", "no")], edge(), plain(), true);
        is(&CHECK, &[("network.start_held", "yes")], plain(), edge(), true);
        is(&CHECK, &[("network.start_held", "yes")], plain(), plain(), true);
        is_with_block(&CHECK, &[("network.start_held", "yes")], edge(), plain(), true);
    }
}
