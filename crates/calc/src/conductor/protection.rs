//! The largest branch-circuit protective device that the NEC allows a motor, and the standard ratings.
//!
//! For a drive the device in its listing comes first (430.130): what is worked out here is an upper limit, never a choice.

use plant::quantity::{Current, Ratio, dim};

use crate::checks::{above_zero, worded};
use crate::registry::{Arguments, Calculation, Refusal, output, quantity, word};
use crate::sources::{Knowledge, Source};
use crate::working::{Recorder, Step, Working};

/// Percentages of full-load current.
pub const NEC_430_52: Source =
    Source::new("NFPA 70 NEC Table 430.52(C)(1) (2011 text; Table 430.52 before), read in a public copy", Knowledge::LookedUp);
/// The next standard rating may be taken.
pub const NEC_430_52_EX1: Source = Source::new("NFPA 70 NEC 430.52(C)(1) Exception No. 1", Knowledge::LookedUp);
/// How far a device may be raised that trips at starting.
pub const NEC_430_52_EX2: Source = Source::new(
    "NFPA 70 NEC 430.52(C)(1) Exception No. 2; for instantaneous-trip breakers 430.52(C)(3) Exception No. 1",
    Knowledge::FromMemory,
);
/// Standard ratings.
pub const NEC_240_6: Source = Source::new("NFPA 70 NEC 240.6(A)", Knowledge::FromMemory);

worded! {
    /// Kind of motor.
    MotorKind "kind of motor" {
        DesignB "design-b" "Squirrel cage, Design B energy efficient and premium.";
        SquirrelCage "squirrel-cage" "Other squirrel cage.";
        SinglePhase "single-phase" "Single-phase.";
        Synchronous "synchronous" "Synchronous.";
        WoundRotor "wound-rotor" "Wound rotor.";
        DirectCurrent "direct-current" "Direct current, constant voltage.";
    }
}

worded! {
    /// Kind of protective device.
    Device "kind of device" {
        InverseTime "inverse-time" "Inverse-time breaker.";
        TimeDelay "time-delay" "Dual-element (time-delay) fuse.";
        NonTimeDelay "non-time-delay" "Fuse without time delay.";
        Instantaneous "instantaneous" "Instantaneous-trip breaker, in a listed combination only.";
    }
}

/// Ratings of fuses and inverse-time breakers, A.
const STANDARD: [f64; 37] = [
    15.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0, 60.0, 70.0, 80.0, 90.0, 100.0, 110.0, 125.0, 150.0, 175.0, 200.0, 225.0, 250.0, 300.0,
    350.0, 400.0, 450.0, 500.0, 600.0, 700.0, 800.0, 1000.0, 1200.0, 1600.0, 2000.0, 2500.0, 3000.0, 4000.0, 5000.0, 6000.0,
];
/// Ratings that fuses have besides.
const FUSES_ALSO: [f64; 5] = [1.0, 3.0, 6.0, 10.0, 601.0];
/// A product of percent and amperes differs in its last bits from the printed figure.
const SAME_RATING: f64 = 1e-9;

fn ratings(fuse: bool) -> impl Iterator<Item = f64> {
    STANDARD.into_iter().chain(FUSES_ALSO.into_iter().filter(move |_| fuse))
}

/// The smallest standard rating that is no smaller than `current`.
///
/// # Errors
/// Beyond 6000 A, or when the current is not above zero.
///
/// Source: NEC 240.6(A). Worked example: 162.5 A take 175 A.
/// ```
/// use calc::{conductor::protection::standard_rating, working::Silent};
/// use plant::quantity::Current;
/// assert_eq!(standard_rating(Current::a(162.5), false, &mut Silent), Ok(Current::a(175.0)));
/// ```
pub fn standard_rating<R: Recorder>(current: Current, fuse: bool, rec: &mut R) -> Result<Current, Refusal> {
    above_zero("a current", current)?;
    let next = ratings(fuse).filter(|r| *r >= current.in_a() * (1.0 - SAME_RATING)).reduce(f64::min);
    let Some(rating) = next.map(Current::a) else {
        return Err(Refusal::new(format!("standard ratings end at 6000 A, below {current}")));
    };
    rec.step(|| Step::new("I_n", format!("next standard rating from {current}"), "", &NEC_240_6).gives(rating));
    Ok(rating)
}

/// Limits of a motor's branch-circuit device.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BranchProtection {
    /// The table's share of full-load current.
    pub percent: Ratio,
    /// That share in amperes.
    pub by_table: Current,
    /// The standard rating that may be taken: the next one up; for an instantaneous-trip breaker `by_table`, it has a setting.
    pub allowed: Current,
    /// The share that must not be exceeded even where the motor would not start.
    pub highest_percent: Ratio,
    /// The largest standard rating within that; for an instantaneous-trip breaker its setting.
    pub highest: Current,
}

fn percent(motor: MotorKind, device: Device) -> f64 {
    let by_device = |non_time_delay, time_delay, instantaneous, inverse_time| match device {
        Device::NonTimeDelay => non_time_delay,
        Device::TimeDelay => time_delay,
        Device::Instantaneous => instantaneous,
        Device::InverseTime => inverse_time,
    };
    match motor {
        MotorKind::DesignB => by_device(300.0, 175.0, 1100.0, 250.0),
        MotorKind::SquirrelCage | MotorKind::SinglePhase | MotorKind::Synchronous => by_device(300.0, 175.0, 800.0, 250.0),
        MotorKind::WoundRotor => by_device(150.0, 150.0, 800.0, 150.0),
        MotorKind::DirectCurrent => by_device(150.0, 150.0, 250.0, 150.0),
    }
}

/// Limits of the branch-circuit device of one motor.
///
/// I = k·I_FL, rounded up to a standard rating (Exception 1); where the motor cannot start, up to 400 % for fuses without time
/// delay up to 600 A (300 % above), 225 % for time-delay ones (300 % above 600 A), 400 % for inverse-time breakers up to
/// 100 A of full-load current (300 % above), 1300 % for an instantaneous-trip setting (1700 % Design B). Units: A; I_FL by the
/// Code's tables. Class CC fuses, torque motors and low-locked-current synchronous motors have rules of their own.
///
/// # Errors
/// When the current is not above zero or the device lies beyond 6000 A.
///
/// Source: NEC 430.52. Worked example: 65 A, inverse time: 162.5 A, so 175 A; at most 400 % = 260 A, so 250 A.
/// ```
/// use calc::{conductor::protection::{Device, MotorKind, branch_protection}, working::Silent};
/// use plant::quantity::Current;
/// let limits = branch_protection(Current::a(65.0), MotorKind::DesignB, Device::InverseTime, &mut Silent).unwrap();
/// assert_eq!((limits.by_table, limits.allowed, limits.highest), (Current::a(162.5), Current::a(175.0), Current::a(250.0)));
/// ```
pub fn branch_protection<R: Recorder>(
    full_load: Current,
    motor: MotorKind,
    device: Device,
    rec: &mut R,
) -> Result<BranchProtection, Refusal> {
    above_zero("a full-load current", full_load)?;
    let share = percent(motor, device);
    let by_table = full_load * (share / 100.0);
    let fuse = matches!(device, Device::TimeDelay | Device::NonTimeDelay);
    let most = match device {
        Device::NonTimeDelay if full_load.in_a() * 4.0 <= 600.0 => 400.0,
        Device::TimeDelay if full_load.in_a() * 2.25 <= 600.0 => 225.0,
        Device::InverseTime if full_load <= Current::a(100.0) => 400.0,
        Device::TimeDelay | Device::NonTimeDelay | Device::InverseTime => 300.0,
        Device::Instantaneous if motor == MotorKind::DesignB => 1700.0,
        Device::Instantaneous => 1300.0,
    };
    let limit = full_load * (most / 100.0);
    rec.step(|| {
        Step::new("I", format!("{} on a {} motor", device.word(), motor.word()), "k·I_FL", &NEC_430_52)
            .with("k", Ratio::percent(share))
            .with("I_FL", full_load)
            .gives(by_table)
            .note("an upper limit; for a drive the device in its listing comes first")
    });
    let (allowed, highest) = if device == Device::Instantaneous {
        (by_table, limit)
    } else {
        let allowed = standard_rating(by_table, fuse, rec)?;
        // A fuse whose 400 % or 225 % lies above 600 A falls under the 300 % of larger ones; a rating of 600 A is allowed either way.
        let within = ratings(fuse).filter(|r| *r <= limit.in_a() * (1.0 + SAME_RATING)).fold(0.0, f64::max);
        (allowed, Current::a(within))
    };
    // Where even the smallest standard rating lies above the limit, what Exception 1 allows stays allowed.
    let highest = highest.max(allowed);
    rec.step(|| {
        Step::new("I_max", "largest where the motor would not start", "k_max·I_FL", &NEC_430_52_EX2)
            .with("k_max", Ratio::percent(most))
            .with("I_FL", full_load)
            .gives(highest)
            .note("the largest standard rating within, or what the first exception allows")
    });
    Ok(BranchProtection { percent: Ratio::percent(share), by_table, allowed, highest_percent: Ratio::percent(most), highest })
}

/// `calc branch-protection`.
pub const BRANCH_PROTECTION: Calculation = Calculation {
    name: "branch-protection",
    summary: "Largest branch-circuit device that the NEC allows a motor: by table, next standard rating, and the last limit.",
    inputs: &[
        quantity::<dim::CurrentDim>("motor", "full-load current of the motor by the Code's tables"),
        word("kind", MotorKind::WORDS, "kind of motor"),
        word("device", Device::WORDS, "kind of device"),
    ],
    results: &[
        output::<dim::RatioDim>("percent", "%", "the table's share of full-load current"),
        output::<dim::CurrentDim>("by-table", "A", "that share"),
        output::<dim::CurrentDim>("allowed", "A", "standard rating that may be taken"),
        output::<dim::RatioDim>("highest-percent", "%", "share that must not be exceeded"),
        output::<dim::CurrentDim>("highest", "A", "largest rating within that"),
    ],
    sources: &[&NEC_430_52, &NEC_430_52_EX1, &NEC_430_52_EX2, &NEC_240_6],
    run: |a: &Arguments, w: &mut Working| {
        let (kind, device) = (MotorKind::from_word(a.word("kind"))?, Device::from_word(a.word("device"))?);
        let limits = branch_protection(a.get("motor"), kind, device, w)?;
        Ok(vec![
            limits.percent.in_si(),
            limits.by_table.in_si(),
            limits.allowed.in_si(),
            limits.highest_percent.in_si(),
            limits.highest.in_si(),
        ])
    },
};

/// `calc standard-rating`.
pub const STANDARD_RATING: Calculation = Calculation {
    name: "standard-rating",
    summary: "Next standard rating of a fuse or breaker.",
    inputs: &[
        quantity::<dim::CurrentDim>("current", "what is to be covered"),
        word("device", &["breaker", "fuse"], "fuses have a few ratings more"),
    ],
    results: &[output::<dim::CurrentDim>("rating", "A", "next standard rating")],
    sources: &[&NEC_240_6],
    run: |a: &Arguments, w: &mut Working| Ok(vec![standard_rating(a.get("current"), a.word("device") == "fuse", w)?.in_si()]),
};

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::working::Silent;

    #[test]
    fn ratings_rise_and_end() {
        assert!(STANDARD.windows(2).all(|p| p[0] < p[1]));
        assert_eq!(standard_rating(Current::a(600.5), true, &mut Silent), Ok(Current::a(601.0)));
        assert_eq!(standard_rating(Current::a(600.5), false, &mut Silent), Ok(Current::a(700.0)));
        assert_eq!(standard_rating(Current::a(2.0), true, &mut Silent), Ok(Current::a(3.0)));
        assert!(standard_rating(Current::a(6001.0), true, &mut Silent).is_err());
        assert!(standard_rating(Current::a(f64::NAN), true, &mut Silent).is_err());
    }

    #[test]
    fn an_instantaneous_breaker_is_set_not_rounded() {
        let limits = branch_protection(Current::a(65.0), MotorKind::DesignB, Device::Instantaneous, &mut Silent).unwrap();
        assert!((limits.allowed.in_a() - 715.0).abs() < 1e-9 && (limits.highest.in_a() - 1105.0).abs() < 1e-9);
    }

    proptest! {
        #[test]
        fn a_larger_motor_never_has_a_smaller_device(a in 0.5f64..500.0, b in 0.5f64..500.0, kind in 0usize..6, device in 0usize..4) {
            let at = |amperes: f64| branch_protection(Current::a(amperes), MotorKind::ALL[kind], Device::ALL[device], &mut Silent).unwrap();
            let (small, large) = (at(a.min(b)), at(a.max(b)));
            prop_assert!(large.allowed >= small.allowed && small.allowed >= small.by_table * 0.999_999);
            prop_assert!(small.highest >= small.allowed);
        }
    }
}
