//! The unit would charge, or be charged by, links that it is not made for.

use calc::sources::{DEFINITION, PACK};
use calc::working::{Recorder, Step};
use plant::choice::YesNo;
use plant::survey::{LINK_CAPACITANCE, LINK_SHARED};

use crate::candidate::Candidate;
use crate::check::{Outcome, Way, check, covered, no_remedy};
use crate::facts::{Reader, Stop};
use crate::output::side;

check! {
    name: "braking/link-members-clash",
    severity: Injury,
    rows: &[51],
    unit: "%",
    ways: &[(LINK_CAPACITANCE.id, Way::Down)],
    measures: &[],
    page: "link_members_clash.md",
    run: run,
    remedies: no_remedy,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    if facts.get(LINK_SHARED)? == YesNo::No {
        return Ok(Outcome::NotHere);
    }
    let charges = side(unit)?.charges.ok_or(Stop::PackSilent("the capacitance that its pre-charge may charge (motor.csv, charges)"))?;
    let own = unit.frame.bus_capacitance.ok_or(Stop::PackSilent("its bus capacitance (frames.csv, bus_capacitance)"))?;
    let others = facts.get(LINK_CAPACITANCE)?;
    let all = own + others;
    rec.step(|| Step::new("ΣC", "capacitance of all members", "C + C_o", &DEFINITION).with("C", own).with("C_o", others).gives(all));
    rec.step(|| {
        Step::new("C_may", "that the unit may charge", "", &PACK)
            .gives(charges)
            .note("zero: it must not be joined; fuses of each member, bus level and sequence remain to be checked")
    });
    Ok(covered(rec, "C_may/ΣC − 1", ("C_may", charges), ("ΣC", all)))
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::fixture::{by_hand, is_not_here, is_open, just_covered, unit};

    #[test]
    fn all_members_against_what_may_be_charged() {
        let unit = unit("R1", Duty::Heavy);
        is_not_here(&CHECK, &[("link.shared", "no")], &unit);
        // 1500 µF of its own, 4500 µF may be charged.
        just_covered(&CHECK, &[("link.shared", "yes"), ("link.capacitance", "3000 µF")], &unit);
        by_hand(&CHECK, &[("link.shared", "yes"), ("link.capacitance", "7500 µF")], &unit, -50.0);
        is_open(&CHECK, &[("link.shared", "yes")], &unit, "link.capacitance");
    }
}
