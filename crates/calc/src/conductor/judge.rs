//! Which size a circuit needs, and whether the conductors that are there may stay: American sizes. The metric ones are in
//! `judge_iec.rs`; the search is the same.

use plant::quantity::{Area, Current, Length, Ratio, Temperature, Voltage, dim};

use super::drop::{Drop, voltage_drop};
use super::impedance::{Conduit, nec_impedance};
use super::nec_ampacity::{CONDUCTOR, NecAmpacity, NecRun, RUN, TABLE_2008, TABLE_2011, TABLE_2020, TERMINATIONS, nec_ampacity, run_of};
use super::size::NecSize;
use crate::checks::{above_zero, flag};
use crate::registry::{Arguments, Calculation, Input, Refusal, output, quantity, quantity_or, word};
use crate::sources::{DEFINITION, PRACTICE};
use crate::working::{Recorder, Silent, Step, Working};

/// The first size that is enough, and what it gives. Sizes that a table leaves out are passed over; when every one is
/// refused, the last refusal says why.
pub(super) fn first_enough<S: Copy, A: Copy>(
    sizes: impl Iterator<Item = S>,
    gives: impl Fn(S) -> Result<A, Refusal>,
    enough: impl Fn(S, &A) -> bool,
) -> Result<(S, A), Refusal> {
    let mut refused = Refusal::new("no size at all");
    let mut any = false;
    for size in sizes {
        match gives(size) {
            Ok(found) if enough(size, &found) => return Ok((size, found)),
            Ok(_) => any = true,
            Err(refusal) => refused = refusal,
        }
    }
    Err(if any { Refusal::new("no size of the table is enough; run more conductors in parallel or shorten the run") } else { refused })
}

/// A limit on voltage drop, which may ask for a larger size than ampacity does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DropLimit {
    /// Current of the load.
    pub load: Current,
    /// One way.
    pub length: Length,
    /// Line to line.
    pub voltage: Voltage,
    /// Of the load, lagging.
    pub power_factor: Ratio,
    /// What encloses the conductors.
    pub conduit: Conduit,
    /// Most that may be lost.
    pub most: Ratio,
}

/// The smallest conductor for a circuit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Smallest {
    /// Size by ampacity and voltage drop.
    pub size: NecSize,
    /// Size by ampacity alone: what an increase of the earthing conductor is counted from.
    pub by_ampacity: NecSize,
    /// What the size may carry.
    pub ampacity: NecAmpacity,
    /// What it loses, where a limit was given.
    pub drop: Option<Drop>,
}

/// The smallest conductor that has the ampacity and keeps within a voltage drop.
///
/// # Errors
/// When the current is not above zero, no size of the table is enough, or its conditions are refused.
///
/// Source: NEC 310.15, 310.16. Worked example: 75 A on 75 °C terminals take 4 AWG copper.
/// ```
/// use calc::{conductor::{judge::smallest, nec_ampacity::{Degrees, NecRun}, size::{Edition, Material}}, working::Silent};
/// use plant::quantity::{Current, Temperature};
/// let run = NecRun {
///     material: Material::Copper, insulation: Degrees::C75, terminals: Degrees::C75, ambient: Temperature::c(30.0),
///     carrying: 3, parallel: 1, edition: Edition::Nec2020,
/// };
/// assert_eq!(smallest(Current::a(75.0), &run, None, &mut Silent).unwrap().size.name(), "4 AWG");
/// ```
pub fn smallest<R: Recorder>(required: Current, run: &NecRun, limit: Option<&DropLimit>, rec: &mut R) -> Result<Smallest, Refusal> {
    above_zero("the ampacity needed", required)?;
    let gives = |size| nec_ampacity(size, run, &mut Silent);
    let carries = |ampacity: &NecAmpacity| ampacity.usable >= required;
    let (by_ampacity, _) = first_enough(NecSize::all(), gives, |_, a| carries(a))?;
    let lost = |size, limit: &DropLimit| {
        // Conductors warm up to their rating at most; the table's 75 °C are kept for every one of them.
        let z = nec_impedance(size, run.material, limit.conduit, limit.length, run.parallel, Temperature::c(75.0), &mut Silent)?;
        voltage_drop(limit.load, z, limit.power_factor, limit.voltage, &mut Silent)
    };
    let (size, drop) = match limit {
        None => (by_ampacity, None),
        Some(limit) => {
            above_zero("the largest voltage drop", limit.most)?;
            let from = NecSize::all().filter(|s| *s >= by_ampacity);
            let (size, found) = first_enough(from, |s| lost(s, limit), |_, d: &Drop| d.ratio <= limit.most)?;
            (size, Some(found))
        }
    };
    let ampacity = nec_ampacity(size, run, rec)?;
    rec.step(|| {
        Step::new("A", "smallest conductor", "", &DEFINITION).with("I_req", required).gives(size.name()).note(
            match (drop, size == by_ampacity) {
                (None, _) => "voltage drop was not asked for".to_owned(),
                (Some(d), true) => format!("by ampacity; it loses {}", d.ratio),
                (Some(d), false) => format!("by voltage drop; {} would have the ampacity; it loses {}", by_ampacity.name(), d.ratio),
            },
        )
    });
    Ok(Smallest { size, by_ampacity, ampacity, drop })
}

/// Whether the conductors that are there are enough, before and after.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Verdict {
    /// What they may carry.
    pub usable: Current,
    /// `usable` less what was needed before, where that is known.
    pub before: Option<Current>,
    /// `usable` less what is needed now: negative when they must be replaced.
    pub after: Current,
    /// They may stay.
    pub stays: bool,
    /// The conductors were too small already, before anything was changed.
    pub was_wrong: bool,
}

fn verdict<R: Recorder>(usable: Current, before: Option<Current>, after: Current, rec: &mut R) -> Result<Verdict, Refusal> {
    above_zero("the ampacity needed", after)?;
    if let Some(before) = before {
        above_zero("the ampacity needed before", before)?;
    }
    let found = Verdict {
        usable,
        before: before.map(|b| usable - b),
        after: usable - after,
        stays: usable >= after,
        was_wrong: before.is_some_and(|b| usable < b),
    };
    if let (Some(needed), Some(margin)) = (before, found.before) {
        rec.step(|| {
            Step::new("m_before", "margin before", "I_z − I_before", &DEFINITION).with("I_z", usable).with("I_before", needed).gives(margin)
        });
    }
    rec.step(|| {
        let words = match (found.stays, found.was_wrong) {
            (true, _) => "they may stay, as far as ampacity goes; their age and state are for the electrician to judge",
            (false, true) => "too small, and they were already",
            (false, false) => "too small for the new unit, though they were right for the old one",
        };
        Step::new("m_after", "margin after", "I_z − I_after", &DEFINITION)
            .with("I_z", usable)
            .with("I_after", after)
            .gives(found.after)
            .note(words)
    });
    Ok(found)
}

/// Whether existing conductors carry what the new unit needs.
///
/// # Errors
/// As [`nec_ampacity`], or when a current is not above zero.
///
/// Source: NEC 310.16. Worked example: 6 AWG copper (65 A) was right for 65 A and lacks 10 A for 75 A.
/// ```
/// use calc::{conductor::{judge::judge, nec_ampacity::{Degrees, NecRun}, size::{Edition, Material, NecSize}}, working::Silent};
/// use plant::quantity::{Area, Current, Temperature};
/// let run = NecRun {
///     material: Material::Copper, insulation: Degrees::C75, terminals: Degrees::C75, ambient: Temperature::c(30.0),
///     carrying: 3, parallel: 1, edition: Edition::Nec2020,
/// };
/// let six = NecSize::of(Area::kcmil(26.24)).unwrap();
/// let verdict = judge(six, &run, Some(Current::a(65.0)), Current::a(75.0), &mut Silent).unwrap();
/// assert!(!verdict.stays && !verdict.was_wrong && verdict.after == Current::a(-10.0));
/// ```
pub fn judge<R: Recorder>(size: NecSize, run: &NecRun, before: Option<Current>, after: Current, rec: &mut R) -> Result<Verdict, Refusal> {
    let usable = nec_ampacity(size, run, rec)?.usable;
    verdict(usable, before, after, rec)
}

/// The same for an ampacity that was found another way.
pub(super) fn judge_usable<R: Recorder>(usable: Current, before: Option<Current>, after: Current, rec: &mut R) -> Result<Verdict, Refusal> {
    verdict(usable, before, after, rec)
}

pub(super) const REQUIRED: Input = quantity::<dim::CurrentDim>("required", "ampacity that the circuit needs: see required-ampacity");
pub(super) const BEFORE: Input = quantity_or::<dim::CurrentDim>("before", "", "ampacity that the old unit needed, if known");
pub(super) const AFTER: Input = quantity::<dim::CurrentDim>("after", "ampacity that the new unit needs: see required-ampacity");
pub(super) const LOAD: Input = quantity_or::<dim::CurrentDim>("load", "", "current of the load, for a limit on voltage drop");
pub(super) const RUN_LENGTH: Input = quantity_or::<dim::LengthDim>("length", "", "one way, for a limit on voltage drop");
pub(super) const RUN_VOLTAGE: Input = quantity_or::<dim::VoltageDim>("voltage", "", "line to line, for a limit on voltage drop");
pub(super) const RUN_PF: Input = quantity_or::<dim::RatioDim>("power-factor", "0.85", "of the load, lagging");
pub(super) const MOST_DROP: Input = quantity_or::<dim::RatioDim>("most-drop", "3 %", "largest voltage drop");

/// Load, length and voltage, when all are given.
pub(super) fn drop_inputs(a: &Arguments) -> Result<Option<(Current, Length, Voltage)>, Refusal> {
    match (a.get_opt("load"), a.get_opt("length"), a.get_opt("voltage")) {
        (Some(load), Some(length), Some(voltage)) => Ok(Some((load, length, voltage))),
        (None, None, None) => Ok(None),
        _ => Err(Refusal::new("a limit on voltage drop needs load, length and voltage together")),
    }
}

/// Results of a verdict, in the order of [`VERDICT_RESULTS`].
pub(super) fn verdict_values(found: &Verdict) -> Vec<f64> {
    // Without a figure from before there is no margin; the margin after stands in its place and `before-known` says so.
    vec![
        found.usable.in_si(),
        found.before.unwrap_or(found.after).in_si(),
        flag(found.before.is_some()),
        found.after.in_si(),
        flag(found.stays),
        flag(found.was_wrong),
    ]
}

pub(super) const VERDICT_RESULTS: &[crate::registry::Output] = &[
    output::<dim::CurrentDim>("usable", "A", "what the conductors may carry"),
    output::<dim::CurrentDim>("margin-before", "A", "usable less what was needed before; as margin-after where that is not known"),
    output::<dim::CountDim>("before-known", "", "1 when “before” was given"),
    output::<dim::CurrentDim>("margin-after", "A", "usable less what is needed now"),
    output::<dim::CountDim>("stays", "", "1 when the conductors may stay"),
    output::<dim::CountDim>("was-wrong", "", "1 when they were too small before"),
];

/// `calc conductor-size`.
pub const CONDUCTOR_SIZE: Calculation = Calculation {
    name: "conductor-size",
    summary: "Smallest American conductor that has the ampacity and keeps within a voltage drop.",
    inputs: &[
        REQUIRED,
        RUN[0],
        RUN[1],
        RUN[2],
        RUN[3],
        RUN[4],
        RUN[5],
        RUN[6],
        LOAD,
        RUN_LENGTH,
        RUN_VOLTAGE,
        RUN_PF,
        word("conduit", Conduit::WORDS, "what encloses the conductors, for a limit on voltage drop"),
        MOST_DROP,
    ],
    results: &[
        output::<dim::AreaDim>("size", "kcmil", "smallest conductor; 4 AWG is 41.74 kcmil"),
        output::<dim::AreaDim>("by-ampacity", "kcmil", "smallest one by ampacity alone"),
        output::<dim::CurrentDim>("usable", "A", "what the phase may carry with it"),
        output::<dim::RatioDim>("drop", "%", "voltage drop, 0 where it was not asked for"),
    ],
    sources: &[&TABLE_2020, &TABLE_2011, &TABLE_2008, &TERMINATIONS, &super::impedance::TABLE_9, &super::drop::NEC_NOTES, &PRACTICE],
    run: |a: &Arguments, w: &mut Working| {
        let conduit = Conduit::from_word(a.word("conduit"))?;
        let limit = drop_inputs(a)?.map(|(load, length, voltage)| DropLimit {
            load,
            length,
            voltage,
            power_factor: a.get("power-factor"),
            conduit,
            most: a.get("most-drop"),
        });
        let found = smallest(a.get("required"), &run_of(a)?, limit.as_ref(), w)?;
        let drop = found.drop.map_or(Ratio::ZERO, |d| d.ratio);
        Ok(vec![found.size.area().in_si(), found.by_ampacity.area().in_si(), found.ampacity.usable.in_si(), drop.in_si()])
    },
};

/// `calc conductor-verdict`.
pub const CONDUCTOR_VERDICT: Calculation = Calculation {
    name: "conductor-verdict",
    summary: "Whether American conductors that are there carry what the new unit needs, and whether they were right before.",
    inputs: &[CONDUCTOR, RUN[0], RUN[1], RUN[2], RUN[3], RUN[4], RUN[5], RUN[6], BEFORE, AFTER],
    results: VERDICT_RESULTS,
    sources: &[&TABLE_2020, &TABLE_2011, &TABLE_2008, &TERMINATIONS],
    run: |a: &Arguments, w: &mut Working| {
        let conductor: Area = a.get("conductor");
        Ok(verdict_values(&judge(NecSize::of(conductor)?, &run_of(a)?, a.get_opt("before"), a.get("after"), w)?))
    },
};

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::conductor::nec_ampacity::Degrees;
    use crate::conductor::size::{Edition, Material};

    fn run(material: Material, parallel: u8) -> NecRun {
        NecRun {
            material,
            insulation: Degrees::C75,
            terminals: Degrees::C75,
            ambient: Temperature::c(30.0),
            carrying: 3,
            parallel,
            edition: Edition::Nec2023,
        }
    }

    fn limit(length: f64) -> DropLimit {
        DropLimit {
            load: Current::a(60.0),
            length: Length::ft(length),
            voltage: Voltage::v(480.0),
            power_factor: Ratio::of_one(0.85),
            conduit: Conduit::Steel,
            most: Ratio::percent(3.0),
        }
    }

    #[test]
    fn a_long_run_takes_a_larger_size_than_ampacity() {
        // By hand, 4 AWG steel: √3·60·0.7·(0.31·0.85 + 0.060·0.5268)/480 = 4.47 %; 3 AWG 3.68 %; 2 AWG √3·42·(0.2·0.85 + 0.057·0.5268)/480 = 3.03 %;
        // 1 AWG √3·42·(0.16·0.85 + 0.057·0.5268)/480 = 2.52 %.
        let found = smallest(Current::a(75.0), &run(Material::Copper, 1), Some(&limit(700.0)), &mut Silent).unwrap();
        assert_eq!((found.by_ampacity.name(), found.size.name()), ("4 AWG", "1 AWG"));
        assert!((found.drop.unwrap().ratio.in_percent() - 2.52).abs() < 0.01);
        assert!(smallest(Current::a(75.0), &run(Material::Copper, 1), Some(&limit(1e5)), &mut Silent).is_err());
    }

    #[test]
    fn conditions_that_no_size_meets_say_why() {
        let hot = NecRun { ambient: Temperature::c(90.0), ..run(Material::Copper, 1) };
        let refusal = smallest(Current::a(75.0), &hot, None, &mut Silent).unwrap_err();
        assert!(refusal.0.contains("may carry nothing"), "{refusal}");
        let refusal = smallest(Current::a(3000.0), &run(Material::Copper, 1), None, &mut Silent).unwrap_err();
        assert!(refusal.0.contains("in parallel"), "{refusal}");
        assert_eq!(smallest(Current::a(290.0), &run(Material::Copper, 2), None, &mut Silent).unwrap().size.name(), "1/0 AWG");
        assert_eq!(smallest(Current::a(15.0), &run(Material::Aluminium, 1), None, &mut Silent).unwrap().size.name(), "12 AWG");
    }

    proptest! {
        #[test]
        fn the_smallest_carries_and_the_one_below_does_not(amperes in 1.0f64..600.0, aluminium: bool) {
            let run = run(if aluminium { Material::Aluminium } else { Material::Copper }, 1);
            if let Ok(found) = smallest(Current::a(amperes), &run, None, &mut Silent) {
                prop_assert!(found.ampacity.usable.in_a() >= amperes);
                for below in NecSize::all().filter(|s| *s < found.size) {
                    prop_assert!(nec_ampacity(below, &run, &mut Silent).map_or(true, |a| a.usable.in_a() < amperes));
                }
            } else {
                prop_assert!(amperes > 560.0);
            }
        }
    }
}
