//! The plant goes by a fault contact that says healthy when the unit is dead.

use calc::sources::PACK;
use calc::working::Recorder;
use plant::choice::{Choice, YesNo};
use plant::control::{FaultContact, Habit};
use plant::survey::SCHEME_FAULT_USER;

use super::side::{safe, start, word};
use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop};

check! {
    name: "control/fault-contact-reversed",
    severity: Injury,
    rows: &[61],
    unit: "",
    ways: &[],
    measures: &[Measure::SafeHabits],
    page: "fault_contact_reversed.md",
    run: run,
    remedies: super::set_habits,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    start(facts)?;
    if facts.get(SCHEME_FAULT_USER)? == YesNo::No {
        return Ok(Outcome::NotHere);
    }
    let sense = word(unit, Habit::FaultContact, safe(Habit::FaultContact, false, None))?;
    Ok(holds_if(
        rec,
        sense == FaultContact::ClosedHealthy.index(),
        || {
            let text = FaultContact::INFO.words.get(sense).map_or("", |w| w.doc);
            format!("contact of the new unit, dead / healthy / faulted: {text}")
        },
        &PACK,
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::control::side::cases::{is, unit};

    #[test]
    fn a_dead_unit_must_read_as_a_fault_where_somebody_goes_by_it() {
        let used = [("scheme.start", "two-wire"), ("scheme.fault_contact_used", "yes")];
        is(&CHECK, &used, &unit(&[(Habit::FaultContact, &[0, 1], 0)], false), true);
        is(&CHECK, &used, &unit(&[(Habit::FaultContact, &[0, 1], 1)], false), false);
        is(&CHECK, &used, &unit(&[(Habit::FaultContact, &[0, 1], 1)], true), true);
        is(&CHECK, &used, &unit(&[(Habit::FaultContact, &[1], 1)], true), false);
    }
}
