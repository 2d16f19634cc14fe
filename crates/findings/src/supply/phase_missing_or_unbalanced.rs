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

#[cfg(test)]
mod tests {
    use plant::choice::Duty;
    use plant::quantity::Ratio;

    use super::*;
    use crate::fixture::{by_hand, changed, is_not_here, is_silent, just_covered, unit};

    fn three(unbalance: &str) -> [(&str, &str); 2] {
        [("supply.phases", "three"), ("supply.unbalance", unbalance)]
    }

    #[test]
    fn room_is_left_below_the_limit_and_none_above() {
        // 460, 455, 440 V: mean 451.67 V, 11.67/451.67 = 2.583 % (Hubert, Electric Machines, ex. 5.14: 2.58 %, looked up).
        by_hand(&CHECK, &three("2.583 %"), &unit("R1", Duty::Heavy), 0.42); // 3 − 2.583
        by_hand(&CHECK, &three("4.2 %"), &unit("R1", Duty::Heavy), -1.2);
        by_hand(&CHECK, &three("2.583 %"), &changed("R1", Duty::Heavy, |s| s.unbalance_limit = Some(Ratio::percent(2.0))), -0.58);
    }

    #[test]
    fn at_the_limit_it_still_holds() {
        just_covered(&CHECK, &three("3 %"), &unit("R1", Duty::Heavy));
    }

    #[test]
    fn a_single_phase_is_allowed_or_not() {
        let single = [("supply.phases", "single"), ("supply.unbalance", "0 %")];
        by_hand(&CHECK, &single, &unit("R1", Duty::Heavy), -100.0);
        is_not_here(&CHECK, &single, &changed("R1", Duty::Heavy, |s| s.single_phase = true));
    }

    #[test]
    fn a_pack_without_a_limit_is_silent_on_three_phases_alone() {
        let silent = changed("R1", Duty::Heavy, |s| (s.unbalance_limit, s.single_phase) = (None, true));
        is_silent(&CHECK, &three("0 %"), &silent, "unbalance_limit");
        is_not_here(&CHECK, &[("supply.phases", "single")], &silent);
    }
}
