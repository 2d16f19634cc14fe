//! Something of the old unit had no neutral meaning and was in use: timers, blocks, links, trimmers.

use calc::sources::PACK;
use calc::working::Recorder;
use plant::settings::Access;

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop};

check! {
    name: "settings/logic-vanished",
    severity: Injury,
    rows: &[103],
    unit: "",
    ways: &[],
    measures: &[Measure::LogicRebuilt],
    page: "logic_vanished.md",
    run: run,
    remedies: super::logic_rebuilt,
}

/// How the note of a setting begins that only changes what people see.
const DISPLAY: &str = "display";

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some(pair) = facts.settings(unit, &[])? else { return Ok(Outcome::NotHere) };
    let settings = pair.old.settings.iter().enumerate();
    let unknown = settings.filter(|(_, s)| s.meaning.is_none() && s.access != Access::ReadOnly && !s.note.starts_with(DISPLAY));
    let used: Vec<String> = unknown
        .filter(|(at, s)| s.default.is_some() && pair.old.values.get(*at).is_some_and(Option::is_some) && pair.changed(*at))
        .map(|(_, s)| format!("{} ({})", s.id, s.text))
        .collect();
    let holds = used.is_empty() || unit.measures.has(Measure::LogicRebuilt);
    let what = || {
        if used.is_empty() {
            "nothing without a neutral meaning stands away from its default".to_owned()
        } else {
            format!("without a neutral meaning, and away from its default: {}", used.join(", "))
        }
    };
    Ok(holds_if(rec, holds, what, &PACK))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::candidate::Measure;
    use crate::settings::cases::{List, is, is_with, nameless, word};

    #[test]
    fn a_timer_in_use_is_told() {
        let new = || word("external-fault", 1, "trip");
        is(&CHECK, &List::of(nameless("0").default("0"), new()), false, true);
        is(&CHECK, &List::of(nameless("30").default("0"), new()), true, false);
        is_with(&CHECK, &List::of(nameless("30").default("0"), new()), Measure::LogicRebuilt, true);
    }
}
