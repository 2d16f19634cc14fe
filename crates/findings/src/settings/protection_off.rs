//! Somebody had switched protection of the old unit off; carrying the setting over carries that over.

use calc::sources::PACK;
use calc::working::Recorder;

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop};

/// Protections with a response of their own.
const RESPONSES: &[&str] = &["input-phase-loss", "output-phase-loss", "feedback-loss", "external-fault", "stall-response"];

check! {
    name: "settings/protection-off",
    severity: Injury,
    rows: &[101],
    unit: "",
    ways: &[],
    measures: &[Measure::ProtectionOn],
    page: "protection_off.md",
    run: run,
    remedies: super::protection_on,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some(pair) = facts.settings(unit, &[])? else { return Ok(Outcome::NotHere) };
    // One that is delivered off was switched off by nobody.
    let off = |concept: &&&str| pair.old.word(concept, 1) == Some("none") && pair.old.find(concept, 1).is_some_and(|at| pair.changed(at));
    let mut list: Vec<String> = RESPONSES.iter().filter(off).map(|c| pair.called(c, 1)).collect();
    if let Some(at) = pair.old.find("earth-fault-trip", 1)
        && matches!(pair.old.values.get(at), Some(Some(plant::settings::Raw::Number(n))) if n.abs() <= 0.0)
        && pair.changed(at)
    {
        list.push(pair.called("earth-fault-trip", 1));
    }
    let holds = list.is_empty() || unit.measures.has(Measure::ProtectionOn);
    let what = || {
        if list.is_empty() {
            "no protection of the old unit was switched off".to_owned()
        } else {
            format!("switched off in the old unit: {}", list.join(", "))
        }
    };
    Ok(holds_if(rec, holds, what, &PACK))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::candidate::Measure;
    use crate::settings::cases::{List, is, is_with, number, word};
    use plant::settings::Definition as D;

    #[test]
    fn what_was_switched_off_is_told() {
        let new = || word("external-fault", 1, "trip");
        is(&CHECK, &List::of(word("input-phase-loss", 1, "trip").default("trip"), new()), false, true);
        is(&CHECK, &List::of(word("input-phase-loss", 1, "none").default("none"), new()), false, true);
        is(&CHECK, &List::of(word("input-phase-loss", 1, "none").default("trip"), new()), true, false);
        is(&CHECK, &List::of(number("earth-fault-trip", 1, D::OfUnitCurrent, "%", "0").default("50"), new()), false, false);
        is_with(&CHECK, &List::of(word("input-phase-loss", 1, "none").default("trip"), new()), Measure::ProtectionOn, true);
    }
}
