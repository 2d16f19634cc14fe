//! The unit would charge, or be charged by, links that it is not made for.

use calc::sources::{DEFINITION, Knowledge, PACK, PRACTICE, SURVEY, Source};
use calc::working::{Recorder, Step};
use plant::choice::{LinkJoining, YesNo};
use plant::quantity::Ratio;
use plant::survey::{LINK_CAPACITANCE, LINK_FUSED, LINK_JOINING, LINK_LEVEL, LINK_SHARED};

use crate::braking::returned::has_chopper;
use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, Way, check, covered, holds_if, no_remedy};
use crate::facts::{Reader, Stop};
use crate::output::side;

check! {
    name: "braking/link-members-clash",
    severity: Injury,
    rows: &[51],
    unit: "%",
    ways: &[(LINK_CAPACITANCE.id, Way::Down)],
    measures: &[Measure::Chopper],
    page: "link_members_clash.md",
    run: run,
    remedies: no_remedy,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    if facts.get(LINK_SHARED)? == YesNo::No {
        return Ok(Outcome::NotHere);
    }
    if facts.get(LINK_FUSED)? == YesNo::No {
        holds_if(rec, false, || "members of the link have no DC fuses of their own: a fault in one is fed by all".into(), &PRACTICE);
        return Ok(Outcome::Margin(MUST_NOT));
    }
    let joining = facts.get(LINK_JOINING)?;
    if joining == LinkJoining::Unguarded {
        let why = || "nothing keeps a member from being joined at another voltage than the link's: it is charged in a moment".into();
        holds_if(rec, false, why, &PRACTICE);
        return Ok(Outcome::Margin(MUST_NOT));
    }
    let charges = side(unit)?.charges.ok_or(Stop::PackSilent("the capacitance that its pre-charge may charge (motor.csv, charges)"))?;
    let own = unit.frame.bus_capacitance.ok_or(Stop::PackSilent("its bus capacitance (frames.csv, bus_capacitance)"))?;
    let charged = if joining == LinkJoining::EachCharges {
        rec.step(|| {
            Step::new("C_p", "capacitance that falls to its pre-charge: its own", "", &SURVEY)
                .gives(own)
                .note("each member charges itself; it is joined only at the voltage of the link")
        });
        own
    } else {
        let others = facts.get(LINK_CAPACITANCE)?;
        let all = own + others;
        rec.step(|| {
            Step::new("C_p", "capacitance that may fall to its pre-charge: of all members", "C + C_o", &DEFINITION)
                .with("C", own)
                .with("C_o", others)
                .gives(all)
                .note("joined dead; which member then charges the link is to be seen on its one-line: here it may be this one")
        });
        all
    };
    rec.step(|| Step::new("C_may", "that the unit may charge", "", &PACK).gives(charges).note("zero: it must not be joined"));
    let Some(own_level) = unit.frame.chopper_level.filter(|_| has_chopper(unit)) else {
        return Ok(covered(rec, "C_may/C_p − 1", ("C_may", charges), ("C_p", charged)));
    };
    let level = facts.get(LINK_LEVEL)?;
    let apart = Ratio::of_one((own_level / level - 1.0).abs());
    let (room, charge) = (SAME_LEVEL - apart, Ratio::of_one(charges / charged - 1.0));
    rec.step(|| {
        Step::new("ΔU", "level of the unit's chopper beside the others'", "|U_on/U_o − 1|", &LEVELS)
            .with("U_on", own_level)
            .with("U_o", level)
            .gives(apart)
            .note("the one with the lowest level takes the energy of all")
    });
    let margin = charge.min(room);
    rec.step(|| {
        Step::new("margin", "less room of the two", "min(C_may/C_p − 1, 2 % − ΔU)", &DEFINITION)
            .with("C_may", charges)
            .with("C_p", charged)
            .with("ΔU", apart)
            .gives(margin)
    });
    Ok(Outcome::Margin(margin.in_percent()))
}

/// What the margin is where members have no fuses of their own, or nothing waits for their voltages.
const MUST_NOT: f64 = -100.0;
/// Levels that count as one.
const SAME_LEVEL: Ratio = Ratio::percent(2.0);
/// Why.
const LEVELS: Source = Source::new("choppers on one link share the work where their levels lie within 2 %", Knowledge::CommonPractice);

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::fixture::{by_hand, is_not_here, is_open, just_covered, unit};

    const LINK: &[(&str, &str)] = &[("link.shared", "yes"), ("link.fused", "yes"), ("link.joining", "charged by one")];

    #[test]
    fn all_members_against_what_may_be_charged() {
        let unit = unit("R1", Duty::Heavy);
        is_not_here(&CHECK, &[("link.shared", "no")], &unit);
        // 1500 µF of its own, 4500 µF may be charged.
        just_covered(&CHECK, &[LINK, &[("link.capacitance", "3000 µF")]].concat(), &unit);
        by_hand(&CHECK, &[LINK, &[("link.capacitance", "7500 µF")]].concat(), &unit, -50.0);
        is_open(&CHECK, LINK, &unit, "link.capacitance");
    }

    #[test]
    fn levels_and_fuses_of_the_members() {
        // R2: a chopper at 800 V. 4500/(1500 + 1500) = 1.5: 50 %; levels 800 over 790 V: 1.266 % apart, 2 − 1.27 = 0.73.
        let unit = unit("R2", Duty::Heavy);
        let at = |level| [LINK, &[("link.capacitance", "1500 µF"), ("link.level", level)]].concat();
        by_hand(&CHECK, &at("790 V"), &unit, 0.73);
        by_hand(&CHECK, &at("760 V"), &unit, -3.26); // 5.263 % apart
        is_open(&CHECK, &[LINK, &[("link.capacitance", "1500 µF")]].concat(), &unit, "link.level");
        by_hand(&CHECK, &[("link.shared", "yes"), ("link.fused", "no")], &unit, -100.0);
    }

    #[test]
    fn the_way_of_joining_decides_what_is_charged() {
        let unit = unit("R1", Duty::Heavy);
        let at = |joining| [("link.shared", "yes"), ("link.fused", "yes"), ("link.joining", joining)];
        // Each charges itself: 4500 µF may be charged, 1500 µF are; the others' capacitance is not asked for.
        by_hand(&CHECK, &at("charged each"), &unit, 200.0);
        is_open(&CHECK, &at("charged by one"), &unit, "link.capacitance");
        by_hand(&CHECK, &at("nothing waits"), &unit, -100.0);
    }
}
