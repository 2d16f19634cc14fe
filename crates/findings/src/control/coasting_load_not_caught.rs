//! The load turns when it is started, and the new unit does not take it over from there.

use calc::sources::PACK;
use calc::working::Recorder;
use plant::choice::{Choice, YesNo};
use plant::control::{Habit, Spinning};
use plant::survey::SCHEME_SPINNING;

use super::side::{safe, start, word};
use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop};

check! {
    name: "control/coasting-load-not-caught",
    severity: Downtime,
    rows: &[94],
    unit: "",
    ways: &[],
    measures: &[Measure::SafeHabits],
    page: "coasting_load_not_caught.md",
    run: run,
    remedies: super::set_habits,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    start(facts)?;
    if facts.get(SCHEME_SPINNING)? == YesNo::No {
        return Ok(Outcome::NotHere);
    }
    let act = word(unit, Habit::Spinning, safe(Habit::Spinning, false, None))?;
    Ok(holds_if(
        rec,
        act == Spinning::Catches.index(),
        || format!("a start on a turning load: {}", Spinning::INFO.words.get(act).map_or("", |w| w.doc)),
        &PACK,
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::control::side::cases::{is, unit};

    #[test]
    fn a_turning_load_has_to_be_caught() {
        let turns = [("scheme.start", "two-wire"), ("scheme.spinning", "yes")];
        for (act, holds) in [(0, true), (1, false), (2, false)] {
            is(&CHECK, &turns, &unit(&[(Habit::Spinning, &[0, 1, 2], act)], false), holds);
        }
        is(&CHECK, &turns, &unit(&[(Habit::Spinning, &[0, 2], 2)], true), true);
        is(&CHECK, &turns, &unit(&[(Habit::Spinning, &[2], 2)], true), false);
    }
}
