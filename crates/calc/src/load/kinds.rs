//! Torque against speed of the kinds of driven machines, as shares of the torque at full speed forwards.

use plant::quantity::{Ratio, dim};

use crate::registry::{Arguments, Calculation, Refusal, output, quantity, quantity_or, word};
use crate::sources::{Knowledge, Source};
use crate::working::{Recorder, Step, Working};

/// Where the laws come from.
pub const LOAD_LAWS: Source = Source::new("load torque against speed by kind of machine", Knowledge::CommonPractice);

/// How a machine's torque goes with its speed. Torque counts positive against forward rotation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Law {
    /// The same torque at any speed, against the motion: extruder, positive-displacement pump, level conveyor.
    Constant,
    /// Torque in proportion to speed: calender, viscous mixer.
    Linear,
    /// `fixed` + (1 − `fixed`)·n²: a fan with 0; a centrifugal pump with the share of torque that static head and seals keep up.
    Quadratic {
        /// Share that does not fall with speed, 0 … 1.
        fixed: f64,
    },
    /// 1/n down to the speed ratio `from`, constant below it: winder, machine tool spindle.
    ConstantPower {
        /// Speed ratio below which the torque no longer rises, above 0 and up to 1.
        from: f64,
    },
    /// A hung load through a gear: 1 upwards, η² downwards (it drives the motor), η at rest.
    Hoist {
        /// Efficiency between load and motor, above 0 and up to 1. Taken the same in both directions: a gear runs backwards
        /// with less (about 2 − 1/η), so this never understates what comes back.
        efficiency: f64,
    },
    /// An inclined conveyor or a travel drive: a share that climbs, the rest friction against the motion.
    Incline {
        /// Share of the forward torque that lifts the load, 0 … 1. Above 0.5 the load drives the motor downwards.
        climbing: f64,
    },
}

impl Law {
    /// Refuses shares that no machine has.
    ///
    /// # Errors
    /// When a share lies outside the range that its law states.
    pub fn check(&self) -> Result<(), Refusal> {
        let (value, good, what) = match *self {
            Self::Constant | Self::Linear => return Ok(()),
            Self::Quadratic { fixed } => (fixed, (0.0..=1.0).contains(&fixed), "share of torque that does not fall with speed is 0 … 1"),
            Self::ConstantPower { from } => (from, from > 0.0 && from <= 1.0, "lowest speed of constant power is above 0 and up to 1"),
            Self::Hoist { efficiency } => {
                (efficiency, efficiency > 0.0 && efficiency <= 1.0, "efficiency of a hoist is above 0 and up to 1")
            }
            Self::Incline { climbing } => (climbing, (0.0..=1.0).contains(&climbing), "share of torque that lifts the load is 0 … 1"),
        };
        if good { Ok(()) } else { Err(Refusal::new(format!("the {what}, not {value}"))) }
    }

    /// Torque share while moving in a direction at a speed ratio `magnitude` ≥ 0 (0: just starting that way).
    #[must_use]
    #[inline]
    pub fn moving(&self, forwards: bool, magnitude: f64) -> f64 {
        let against = if forwards { 1.0 } else { -1.0 };
        match *self {
            Self::Constant => against,
            Self::Linear => against * magnitude,
            Self::Quadratic { fixed } => against * (fixed + (1.0 - fixed) * magnitude * magnitude),
            Self::ConstantPower { from } => against / magnitude.max(from),
            Self::Hoist { efficiency } => {
                if forwards {
                    1.0
                } else {
                    efficiency * efficiency
                }
            }
            Self::Incline { climbing } => climbing + (1.0 - climbing) * against,
        }
    }

    /// Torque share that holds the machine at rest: zero where only motion asks for torque.
    #[must_use]
    pub fn holding(&self) -> f64 {
        match *self {
            Self::Constant | Self::Linear | Self::Quadratic { .. } | Self::ConstantPower { .. } => 0.0,
            Self::Hoist { efficiency } => efficiency,
            Self::Incline { climbing } => climbing,
        }
    }

    /// Speed ratio at which the law bends, if it does.
    pub(crate) fn bend(&self) -> Option<f64> {
        if let Self::ConstantPower { from } = *self { Some(from) } else { None }
    }

    /// Speed ratio at which the forward torque share is `share`, where it passes that value.
    pub(crate) fn speed_at(&self, share: f64) -> Option<f64> {
        let n = match *self {
            Self::Linear => share,
            Self::Quadratic { fixed } => ((share - fixed) / (1.0 - fixed)).sqrt(),
            Self::ConstantPower { .. } => 1.0 / share,
            Self::Constant | Self::Hoist { .. } | Self::Incline { .. } => return None,
        };
        (n.is_finite() && n > 0.0).then_some(n)
    }
}

/// Torque of a law at a speed ratio (negative: backwards; 0: just starting forwards), as a share of that at full speed forwards.
///
/// The sign is that of the torque, not of the power: torque times speed is positive where the machine takes power and
/// negative where it gives power back (a load going down).
///
/// Source: common practice. Worked example: a fan at half speed asks for a quarter of the torque.
/// ```
/// use calc::load::kinds::{Law, torque_share};
/// assert!((torque_share(&Law::Quadratic { fixed: 0.0 }, 0.5) - 0.25).abs() < 1e-12);
/// // A hoist of 80 % lowers with 0.8² of the torque that lifts: what the load gives, less the losses, over the load plus the losses.
/// assert!((torque_share(&Law::Hoist { efficiency: 0.8 }, -1.0) - 0.64).abs() < 1e-12);
/// ```
#[must_use]
pub fn torque_share(law: &Law, speed_ratio: f64) -> f64 {
    law.moving(speed_ratio >= 0.0, speed_ratio.abs())
}

/// The words of the laws on the command line.
pub(crate) const LAW_WORDS: &[&str] = &["constant", "linear", "quadratic", "constant-power", "hoist", "incline"];

/// A law from its word and its one share.
pub(crate) fn law_of(word: &str, share: f64) -> Result<Law, Refusal> {
    let law = match word {
        "linear" => Law::Linear,
        "quadratic" => Law::Quadratic { fixed: share },
        "constant-power" => Law::ConstantPower { from: share },
        "hoist" => Law::Hoist { efficiency: share },
        "incline" => Law::Incline { climbing: share },
        _ => Law::Constant,
    };
    law.check()?;
    Ok(law)
}

/// What the one share of [`law_of`] means, for the help text.
pub(crate) const LAW_SHARE_DOC: &str =
    "quadratic: share that does not fall with speed; constant-power: lowest speed ratio; hoist: efficiency; incline: share that lifts";

/// `calc load-torque`.
pub const LOAD_TORQUE: Calculation = Calculation {
    name: "load-torque",
    summary: "Torque and power of a kind of machine at a speed, as shares of those at full speed.",
    inputs: &[
        word("law", LAW_WORDS, "how torque goes with speed"),
        quantity::<dim::RatioDim>("speed", "speed over full speed; negative backwards"),
        quantity_or::<dim::RatioDim>("share", "0 %", LAW_SHARE_DOC),
    ],
    results: &[
        output::<dim::RatioDim>("torque", "pu", "torque over that at full speed"),
        output::<dim::RatioDim>("power", "pu", "power over that at full speed; negative where it comes back"),
    ],
    sources: &[&LOAD_LAWS],
    run: |a: &Arguments, w: &mut Working| {
        let (speed, share) = (a.get::<dim::RatioDim>("speed"), a.get::<dim::RatioDim>("share"));
        let law = law_of(a.word("law"), share.in_of_one())?;
        let torque = torque_share(&law, speed.in_of_one());
        w.step(|| Step::new("m", format!("torque share, {}", a.word("law")), "", &LOAD_LAWS).gives(Ratio::of_one(torque)));
        w.step(|| {
            Step::new("p", "power share", "m·n", &LOAD_LAWS)
                .with("m", Ratio::of_one(torque))
                .with("n", speed)
                .gives(Ratio::of_one(torque * speed.in_of_one()))
        });
        Ok(vec![torque, torque * speed.in_of_one()])
    },
};

#[cfg(test)]
mod tests {
    use super::*;

    const LAWS: [Law; 6] = [
        Law::Constant,
        Law::Linear,
        Law::Quadratic { fixed: 0.3 },
        Law::ConstantPower { from: 0.25 },
        Law::Hoist { efficiency: 0.8 },
        Law::Incline { climbing: 0.7 },
    ];

    #[test]
    fn full_speed_forwards_is_the_reference() {
        for law in LAWS {
            assert!((torque_share(&law, 1.0) - 1.0).abs() < 1e-12, "{law:?}");
        }
    }

    #[test]
    fn only_hung_loads_give_power_back() {
        for law in LAWS {
            let comes_back = torque_share(&law, -0.8) * -0.8 < 0.0;
            assert_eq!(comes_back, matches!(law, Law::Hoist { .. } | Law::Incline { .. }), "{law:?}");
        }
        assert!(torque_share(&Law::Incline { climbing: 0.4 }, -1.0) < 0.0, "friction above the climb: the motor drives downwards too");
    }

    #[test]
    fn the_speed_at_a_share_has_that_share() {
        for law in [LAWS[1], LAWS[2], LAWS[3]] {
            let n = law.speed_at(torque_share(&law, 0.6)).expect("passes");
            assert!((n - 0.6).abs() < 1e-12, "{law:?}");
        }
    }

    #[test]
    fn shares_that_no_machine_has_are_refused() {
        for law in [
            Law::Quadratic { fixed: 1.1 },
            Law::ConstantPower { from: 0.0 },
            Law::Hoist { efficiency: f64::NAN },
            Law::Incline { climbing: -0.1 },
        ] {
            assert!(law.check().is_err(), "{law:?}");
        }
    }
}
