//! The new drive's fault numbers mean other faults than the panel and the program believe.

use calc::sources::{PACK, SURVEY};
use calc::working::Recorder;
use plant::choice::YesNo;
use plant::network::{FaultCode, WordMeaning};
use plant::survey::NETWORK_TEXTS;

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop};

check! {
    name: "words/fault-texts-differ",
    severity: Downtime,
    rows: &[84],
    unit: "",
    ways: &[],
    measures: &[Measure::WordsBlock],
    page: "fault_texts_differ.md",
    run: run,
    remedies: super::remedy,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some((old, new)) = facts.both_words(unit)? else { return Ok(Outcome::NotHere) };
    if old.word(WordMeaning::FaultCode).is_none() {
        return Ok(Outcome::NotHere);
    }
    if facts.get(NETWORK_TEXTS)? == YesNo::No {
        return Ok(holds_if(rec, true, || "nobody goes by the old fault numbers".to_owned(), &SURVEY));
    }
    let was = facts.old_faults();
    if was.is_empty() || unit.series.faults.is_empty() {
        return Err(Stop::PackSilent("what fault numbers mean in both series (faults.csv)"));
    }
    let same = |o: &FaultCode| unit.series.faults.iter().any(|n| n.meaning == o.meaning && n.code == o.code);
    let differ = was.iter().filter(|o| !same(o)).count();
    let block = unit.measures.has(Measure::WordsBlock) && new.word(WordMeaning::FaultCode).is_some();
    Ok(holds_if(rec, differ == 0 || block, || format!("{differ} of {} old fault numbers mean something else or nothing", was.len()), &PACK))
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;
    use plant::fact::Place;
    use plant::network::{DataWord, Direction, FaultMeaning, Layout};

    use crate::fixture::changed;
    use crate::words::cases::{on_network, yes};

    use super::*;
    use crate::words::cases::{is, is_silent, with};

    fn coded() -> Layout {
        with(|l| l.words.push(DataWord::plain("trip", Direction::FromDrive, 6, WordMeaning::FaultCode)))
    }

    #[test]
    fn numbers_count_only_where_they_are_used() {
        is(&CHECK, &[("network.fault_texts", "no")], coded(), coded(), true);
        // The series of the fixture names no faults.
        is_silent(&CHECK, &[("network.fault_texts", "yes")], coded(), coded(), "faults.csv");
    }

    #[test]
    fn the_same_fault_needs_the_same_number() {
        let fault = |code| FaultCode { code, meaning: FaultMeaning::OverVoltage, text: "bus".into(), place: Place::default() };
        for (new, holds) in [(7, true), (8, false)] {
            let unit = changed("R1", Duty::Heavy, |s| {
                s.layouts = vec![coded()];
                s.faults = vec![fault(new)];
            });
            assert_eq!(on_network(&CHECK, &[("network.fault_texts", "yes")], coded(), vec![fault(7)], &unit), yes(holds));
        }
    }
}
