//! One phase only, or phases so unequal that the rectifier works as if one were missing.

use calc::sources::{PACK, SURVEY};
use calc::working::{Recorder, Step};
use plant::choice::Phases;
use plant::survey::{SUPPLY_PHASES, SUPPLY_UNBALANCE};

use crate::candidate::Candidate;
use crate::check::{Outcome, Way, check, no_remedy};
use crate::facts::{Reader, Stop};

check! {
    name: "supply/phase-missing-or-unbalanced",
    severity: Downtime,
    rows: &[14],
    unit: "%",
    ways: &[(SUPPLY_UNBALANCE.id, Way::Down)],
    measures: &[],
    page: "phase_missing_or_unbalanced.md",
    run: run,
    remedies: no_remedy,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    if facts.get(SUPPLY_PHASES)? == Phases::Single {
        let allowed = unit.series.single_phase;
        rec.step(|| {
            Step::new("1 phase", "whether the unit may be fed by a single phase", "", &PACK).gives(if allowed { "yes" } else { "no" })
        });
        return Ok(if allowed { Outcome::NotHere } else { Outcome::Margin(-100.0) });
    }
    let Some(limit) = unit.series.unbalance_limit else {
        return Err(Stop::PackSilent("largest voltage unbalance allowed (unbalance_limit)"));
    };
    let unbalance = facts.get(SUPPLY_UNBALANCE)?;
    rec.step(|| Step::new("u", "voltage unbalance, largest deviation from the mean", "", &SURVEY).gives(unbalance));
    rec.step(|| Step::new("u_max", "largest unbalance that the unit's documents allow", "", &PACK).gives(limit));
    let margin = limit - unbalance;
    rec.step(|| {
        Step::new("margin", "room left", "u_max − u", &calc::sources::DEFINITION).with("u_max", limit).with("u", unbalance).gives(margin)
    });
    Ok(Outcome::Margin(margin.in_percent()))
}
