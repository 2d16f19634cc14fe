//! What else the old unit shared with its supply: pre-charge, a generator, a control transformer.

use plant::quantity::{ApparentPower, Dimension, Rate, Ratio, dim};

use crate::checks::{above_zero, flag, not_negative};
use crate::registry::{Arguments, Calculation, Input, InputKind, Refusal, output, quantity};
use crate::sources::{DEFINITION, Knowledge, PACK, Source};
use crate::working::{Recorder, Step, Working};

/// Non-linear load on a generator.
pub const GENERATOR: Source = Source::new(
    "a generator of about twice its non-linear load, and X_d\" of that load's base up to about 15 %, habits of the trade",
    Knowledge::CommonPractice,
);

/// Line switching against what the pre-charge stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Switching {
    /// Allowed less what happens.
    pub margin: Rate,
    /// It holds.
    pub holds: bool,
}

/// Whether the unit is switched on no more often than its pre-charge stands.
///
/// # Errors
/// When a rate is negative, or the allowed one not above zero.
///
/// Source: the unit's documents. Worked example: 20 an hour against 12: eight too many.
/// ```
/// use calc::{feeder::upstream::line_switching, working::Silent};
/// use plant::quantity::Rate;
/// let found = line_switching(Rate::per_h(20.0), Rate::per_h(12.0), &mut Silent).unwrap();
/// assert!(!found.holds && (found.margin.in_per_h() + 8.0).abs() < 1e-9);
/// ```
pub fn line_switching<R: Recorder>(starts: Rate, allowed: Rate, rec: &mut R) -> Result<Switching, Refusal> {
    not_negative("the rate of line switching", starts)?;
    above_zero("the allowed rate of line switching", allowed)?;
    let margin = allowed - starts;
    let holds = starts <= allowed;
    rec.step(|| {
        Step::new("m", "allowed power-ups over those that happen", "n_max − n", &PACK)
            .with("n_max", allowed)
            .with("n", starts)
            .gives(margin)
            .note(if holds { "" } else { "start and stop by a control input, not by the line contactor" })
    });
    Ok(Switching { margin, holds })
}

/// A generator and its non-linear load.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GeneratorShare {
    /// Non-linear over generator.
    pub share: Ratio,
    /// Subtransient reactance on the base of the non-linear load.
    pub reactance: Ratio,
    /// Both habits hold.
    pub holds: bool,
}

/// Non-linear share of a generator, and its subtransient reactance on that load's base.
///
/// x = X_d"·S_nl/S_gen. By habit S_gen ≥ 2·S_nl and x ≤ 15 %. What the voltage looks like is a question of harmonics. Units: VA.
///
/// # Errors
/// When a value is not above zero.
///
/// Source: common practice. Worked example: 300 kVA on 500 kVA of 20 %: 60 %, 12 %: too much of it.
/// ```
/// use calc::{feeder::upstream::generator_share, working::Silent};
/// use plant::quantity::{ApparentPower, Ratio};
/// let found = generator_share(ApparentPower::kva(300.0), ApparentPower::kva(500.0), Ratio::percent(20.0), &mut Silent).unwrap();
/// assert!(!found.holds && (found.reactance.in_percent() - 12.0).abs() < 1e-9);
/// ```
pub fn generator_share<R: Recorder>(
    non_linear: ApparentPower,
    generator: ApparentPower,
    subtransient: Ratio,
    rec: &mut R,
) -> Result<GeneratorShare, Refusal> {
    above_zero("the non-linear load", non_linear)?;
    above_zero("the rated power of the generator", generator)?;
    above_zero("the subtransient reactance", subtransient)?;
    let share = Ratio::of_one(non_linear / generator);
    let reactance = subtransient * share.in_of_one();
    let holds = share <= Ratio::percent(50.0) && reactance <= Ratio::percent(15.0);
    rec.step(|| {
        Step::new("s", "non-linear share of the generator", "S_nl/S_gen", &GENERATOR)
            .with("S_nl", non_linear)
            .with("S_gen", generator)
            .gives(share)
    });
    rec.step(|| {
        Step::new("x", "subtransient reactance on that load's base", "X_d\"·s", &GENERATOR)
            .with("X_d\"", subtransient)
            .with("s", share)
            .gives(reactance)
            .note(if holds { "within both habits" } else { "beyond a habit: ask the maker of the generator" })
    });
    Ok(GeneratorShare { share, reactance, holds })
}

/// A control transformer and what hangs on it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Budget {
    /// Sum of the loads.
    pub load: ApparentPower,
    /// Rating less load.
    pub margin: ApparentPower,
    /// It carries them.
    pub holds: bool,
}

/// Whether a control transformer carries all that hangs on it, the loads that the old unit fed among them.
///
/// Sealed (holding) loads are added as magnitudes; the pull-in of the largest contactor is another question, for the transformer's
/// own chart. Units: VA.
///
/// # Errors
/// When the rating is not above zero or a load is negative.
///
/// Source: definition. Worked example: 40, 35 and 50 VA on 100 VA: 25 too much.
/// ```
/// use calc::{feeder::upstream::control_transformer, working::Silent};
/// use plant::quantity::ApparentPower;
/// let found = control_transformer(ApparentPower::va(100.0), &[40.0, 35.0, 50.0].map(ApparentPower::va), &mut Silent).unwrap();
/// assert!(!found.holds && found.margin == ApparentPower::va(-25.0));
/// ```
pub fn control_transformer<R: Recorder>(rating: ApparentPower, loads: &[ApparentPower], rec: &mut R) -> Result<Budget, Refusal> {
    above_zero("the rating of the transformer", rating)?;
    for load in loads {
        not_negative("a load of the transformer", *load)?;
    }
    let load = loads.iter().fold(ApparentPower::ZERO, |sum, l| sum + *l);
    let margin = rating - load;
    rec.step(|| {
        Step::new("m", format!("control transformer over its {} loads", loads.len()), "S − ΣS_i", &DEFINITION)
            .with("S", rating)
            .with("ΣS_i", load)
            .gives(margin)
            .note("holding loads; the pull-in of contactors is not in it")
    });
    Ok(Budget { load, margin, holds: load <= rating })
}

/// `calc line-switching`.
pub const LINE_SWITCHING: Calculation = Calculation {
    name: "line-switching",
    summary: "Whether a unit is switched on no more often than its pre-charge stands.",
    inputs: &[
        quantity::<dim::RateDim>("starts", "power-ups by the line contactor: 20 1/h"),
        quantity::<dim::RateDim>("allowed", "what the unit's documents allow"),
    ],
    results: &[
        output::<dim::RateDim>("margin", "1/h", "allowed less what happens"),
        output::<dim::CountDim>("holds", "", "1 when it holds"),
    ],
    sources: &[&PACK],
    run: |a: &Arguments, w: &mut Working| {
        let found = line_switching(a.get("starts"), a.get("allowed"), w)?;
        Ok(vec![found.margin.in_si(), flag(found.holds)])
    },
};

/// `calc generator-share`.
pub const GENERATOR_SHARE: Calculation = Calculation {
    name: "generator-share",
    summary: "Non-linear share of a generator and its subtransient reactance on that load's base.",
    inputs: &[
        quantity::<dim::ApparentPowerDim>("non-linear", "drives and other rectifiers on the generator"),
        quantity::<dim::ApparentPowerDim>("generator", "its rated power"),
        quantity::<dim::RatioDim>("subtransient", "X_d\" of the generator on its own base"),
    ],
    results: &[
        output::<dim::RatioDim>("share", "%", "non-linear over generator"),
        output::<dim::RatioDim>("reactance", "%", "on the base of the non-linear load"),
        output::<dim::CountDim>("holds", "", "1 when both habits hold"),
    ],
    sources: &[&GENERATOR],
    run: |a: &Arguments, w: &mut Working| {
        let found = generator_share(a.get("non-linear"), a.get("generator"), a.get("subtransient"), w)?;
        Ok(vec![found.share.in_si(), found.reactance.in_si(), flag(found.holds)])
    },
};

/// `calc control-transformer`.
pub const CONTROL_TRANSFORMER: Calculation = Calculation {
    name: "control-transformer",
    summary: "Whether a control transformer carries all that hangs on it.",
    inputs: &[
        quantity::<dim::ApparentPowerDim>("rating", "of the transformer"),
        Input {
            name: "loads",
            kind: InputKind::Rows(&[<dim::ApparentPowerDim as Dimension>::INFO]),
            default: None,
            doc: "holding load of each thing on it: 40 VA; 35 VA",
        },
    ],
    results: &[
        output::<dim::ApparentPowerDim>("load", "VA", "sum of the loads"),
        output::<dim::ApparentPowerDim>("margin", "VA", "rating less load"),
        output::<dim::CountDim>("holds", "", "1 when it carries them"),
    ],
    sources: &[&DEFINITION],
    run: |a: &Arguments, w: &mut Working| {
        let loads: Vec<ApparentPower> = a.rows("loads").iter().flatten().copied().map(ApparentPower::si).collect();
        let found = control_transformer(a.get("rating"), &loads, w)?;
        Ok(vec![found.load.in_si(), found.margin.in_si(), flag(found.holds)])
    },
};

#[cfg(test)]
mod tests {
    use super::*;
    use crate::working::Silent;

    #[test]
    fn limits_themselves_hold() {
        assert!(line_switching(Rate::per_h(12.0), Rate::per_h(12.0), &mut Silent).unwrap().holds);
        let share =
            |nl, x| generator_share(ApparentPower::kva(nl), ApparentPower::kva(500.0), Ratio::percent(x), &mut Silent).unwrap().holds;
        assert!(share(250.0, 30.0) && !share(251.0, 10.0) && !share(250.0, 31.0));
        assert!(control_transformer(ApparentPower::va(100.0), &[ApparentPower::va(100.0)], &mut Silent).unwrap().holds);
    }

    #[test]
    fn what_cannot_be_is_refused() {
        assert!(line_switching(Rate::per_h(-1.0), Rate::per_h(12.0), &mut Silent).is_err());
        assert!(line_switching(Rate::ZERO, Rate::ZERO, &mut Silent).is_err());
        assert!(generator_share(ApparentPower::ZERO, ApparentPower::kva(1.0), Ratio::percent(1.0), &mut Silent).is_err());
        assert!(control_transformer(ApparentPower::va(1.0), &[ApparentPower::va(-1.0)], &mut Silent).is_err());
    }
}
