//! The new drive does not take registers in the way in which the program writes them.

use calc::sources::PACK;
use calc::working::Recorder;
use plant::choice::Choice;
use plant::network::Layout;

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop};

check! {
    name: "words/writes-refused",
    severity: Downtime,
    rows: &[79],
    unit: "",
    ways: &[],
    measures: &[Measure::WordsBlock],
    page: "writes_refused.md",
    run: run,
    remedies: super::remedy,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some((old, new)) = facts.both_words(unit)? else { return Ok(Outcome::NotHere) };
    if old.writes.is_empty() {
        return Ok(Outcome::NotHere);
    }
    if new.writes.is_empty() {
        return Err(Stop::PackSilent("in which ways registers are written (layouts.csv, writes)"));
    }
    let taken = old.writes.iter().all(|w| new.writes.contains(w));
    let list = |l: &Layout| l.writes.iter().map(|w| w.word()).collect::<Vec<_>>().join(" or ");
    Ok(holds_if(
        rec,
        taken || unit.measures.has(Measure::WordsBlock),
        || format!("written {} before; the new drive takes {}", list(old), list(new)),
        &PACK,
    ))
}

#[cfg(test)]
mod tests {
    use plant::network::WriteMethod;

    use super::*;
    use crate::words::cases::{is, is_silent, plain, with};

    #[test]
    fn every_old_way_must_be_taken() {
        is(&CHECK, &[], plain(), plain(), true);
        is(&CHECK, &[], plain(), with(|l| l.writes = vec![WriteMethod::Several]), false);
        is(&CHECK, &[], with(|l| l.writes = vec![WriteMethod::Several]), plain(), true);
        is_silent(&CHECK, &[], plain(), with(|l| l.writes.clear()), "writes");
    }
}
