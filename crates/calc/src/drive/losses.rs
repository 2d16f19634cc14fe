//! Losses of a drive at the current that it really carries.

use plant::quantity::{Power, Ratio, dim};

use crate::registry::{Arguments, Calculation, Input, Refusal, output, quantity, quantity_or};
use crate::sources::{Knowledge, PACK, Source};
use crate::working::{Recorder, Step, Working};

/// Why a straight line is on the safe side.
pub const CHORD: Source = Source::new(
    "losses rise at least as fast as the current, so their chord lies above them; beyond rated current by its square",
    Knowledge::CommonPractice,
);

/// What is printed of a unit's losses.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Printed {
    /// At rated current and the unit's own carrier.
    pub rated: Power,
    /// Without load, where printed.
    pub idle: Option<Power>,
    /// Multiple at the carrier in use, 1 at the unit's own.
    pub carrier: Ratio,
}

/// Losses at a share s of rated current.
///
/// Up to rated current P = k·(P_0 + (P_N − P_0)·s), the chord between what is printed without load and at rated load; the
/// losses of diodes and switches are a straight and a square part of the current, so the chord lies above them. Without P_0 the
/// losses at rated load are taken for every load. Above rated current P = k·P_N·s², which lies above both parts. Units: W.
///
/// # Errors
/// When a figure is negative or no number, or idle losses exceed rated ones.
///
/// Source: common practice, no source; IEC 61800-9-2 measures the points between (from memory). Worked example: 640 W rated,
/// 140 W idle, half load: 390 W; by the quarter more at a faster carrier: 487.5 W.
/// ```
/// use calc::{drive::losses::{Printed, losses_at}, working::Silent};
/// use plant::quantity::{Power, Ratio};
/// let printed = Printed { rated: Power::w(640.0), idle: Some(Power::w(140.0)), carrier: Ratio::percent(125.0) };
/// assert!((losses_at(printed, Ratio::percent(50.0), &mut Silent).unwrap().in_w() - 487.5).abs() < 1e-9);
/// let rated_only = Printed { idle: None, ..printed };
/// assert!((losses_at(rated_only, Ratio::percent(50.0), &mut Silent).unwrap().in_w() - 800.0).abs() < 1e-9);
/// ```
pub fn losses_at<R: Recorder>(printed: Printed, share: Ratio, rec: &mut R) -> Result<Power, Refusal> {
    let Printed { rated, idle, carrier } = printed;
    let s = share.in_of_one();
    for (what, value) in [
        ("losses at rated load", rated.in_w()),
        ("losses without load", idle.unwrap_or_default().in_w()),
        ("the multiple for the carrier", carrier.in_of_one()),
        ("the share of rated current", s),
    ] {
        if !(value.is_finite() && value >= 0.0) {
            return Err(Refusal::new(format!("{what} is zero or more, not {value}")));
        }
    }
    if idle.is_some_and(|idle| idle > rated) {
        return Err(Refusal::new(format!("losses without load of {} are above those at rated load, {rated}", idle.unwrap_or_default())));
    }
    let base = idle.unwrap_or(rated);
    let at_own_carrier = if s > 1.0 { rated * (s * s) } else { base + (rated - base) * s };
    let losses = at_own_carrier * carrier.in_of_one();
    rec.step(|| Step::new("P_N", "losses at rated load", "", &PACK).gives(rated.electric()));
    rec.step(|| {
        let formula = if s > 1.0 { "k_c·P_N·s²" } else { "k_c·(P_0 + (P_N − P_0)·s)" };
        let step = Step::new("P_d", "losses of the unit at its load", formula, &CHORD)
            .with("k_c", carrier)
            .with("P_0", base.electric())
            .with("P_N", rated.electric())
            .with("s", share)
            .gives(losses.electric());
        if idle.is_none() && s <= 1.0 {
            step.note("losses without load are not printed: those at rated load are taken for them")
        } else {
            step
        }
    });
    Ok(losses)
}

/// `calc drive-losses`.
pub const DRIVE_LOSSES: Calculation = Calculation {
    name: "drive-losses",
    summary: "Losses of a drive at a share of its rated current, from what its documents print.",
    inputs: &[RATED, IDLE, SHARE, CARRIER],
    results: &[output::<dim::PowerDim>("losses", "W", "losses at that load")],
    sources: &[&PACK, &CHORD],
    run: |a: &Arguments, rec: &mut Working| {
        let idle = a.get_opt("idle");
        let losses = losses_at(Printed { rated: a.get("rated"), idle, carrier: a.get("carrier") }, a.get("share"), rec)?;
        Ok(vec![losses.in_si()])
    },
};

const RATED: Input = quantity::<dim::PowerDim>("rated", "losses at rated load and the unit's own carrier");
const IDLE: Input = quantity_or::<dim::PowerDim>("idle", "", "losses without load, where printed");
const SHARE: Input = quantity::<dim::RatioDim>("share", "share of rated current");
const CARRIER: Input = quantity_or::<dim::RatioDim>("carrier", "1", "multiple of the losses at the carrier in use");

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::working::Silent;

    proptest! {
        #[test]
        fn more_current_and_a_faster_carrier_never_cost_less(rated in 1.0f64..5000.0, idle in 0.0f64..1.0, s in 0.0f64..2.0, more in 0.0f64..0.5, k in 0.5f64..2.0) {
            let printed = Printed { rated: Power::w(rated), idle: Some(Power::w(rated * idle)), carrier: Ratio::of_one(k) };
            let at = |s: f64| losses_at(printed, Ratio::of_one(s), &mut Silent).unwrap();
            prop_assert!(at(s + more) >= at(s));
            let without = losses_at(Printed { idle: None, ..printed }, Ratio::of_one(s), &mut Silent).unwrap();
            prop_assert!(without >= at(s), "not knowing is never cooler");
        }
    }

    #[test]
    fn what_cannot_be_is_refused() {
        let printed = Printed { rated: Power::w(100.0), idle: Some(Power::w(120.0)), carrier: Ratio::of_one(1.0) };
        assert!(losses_at(printed, Ratio::of_one(0.5), &mut Silent).is_err());
        assert!(losses_at(Printed { idle: None, ..printed }, Ratio::of_one(f64::NAN), &mut Silent).is_err());
        assert!(losses_at(Printed { idle: None, ..printed }, Ratio::of_one(-0.1), &mut Silent).is_err());
    }
}
