//! What a motor draws at a torque and a frequency, from three figures of its plate: cheap enough to be asked
//! for every instant of a duty cycle and every candidate. The equivalent circuit ([`super::circuit`]) is the check.

use plant::quantity::{Current, Ratio, dim};

use super::{not_negative, positive, share};
use crate::registry::{Calculation, Refusal, output, quantity, quantity_or};
use crate::sources::{Knowledge, PRACTICE, Source};
use crate::working::{Recorder, Step};

/// The two parts of the current, and what weakening of the field does to them.
const TWO_CURRENTS: Source = Source::new("magnetising and torque-producing current at right angles, flux ∝ U/f", Knowledge::Derived);
/// The circle diagram without stator resistance.
const CIRCLE: Source = Source::new("circle diagram of the induction motor without stator resistance", Knowledge::Derived);

/// The current of a motor as a function of torque and frequency, made from its rated current, its no-load current and
/// its breakdown torque.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CurrentModel {
    rated_current: Current,
    no_load_current: Current,
    breakdown: Ratio,
    no_load_squared_a2: f64,
    /// I_N² − I_0²: the square of the torque-producing current at rated torque.
    torque_squared_a2: f64,
}

impl CurrentModel {
    /// The model of a motor; breakdown torque in multiples of the rated torque, at base frequency.
    ///
    /// # Errors
    /// When the no-load current is not below the rated one, or the breakdown torque lies below the rated torque.
    pub fn new(rated_current: Current, no_load_current: Current, breakdown: Ratio) -> Result<Self, Refusal> {
        let rated_a = positive("the rated current", rated_current)?;
        let no_load_a = not_negative("the no-load current", no_load_current)?;
        if no_load_a >= rated_a {
            return Err(Refusal::new(format!("the no-load current ({no_load_current}) must be below the rated current ({rated_current})")));
        }
        if !(breakdown.in_of_one() >= 1.0 && breakdown.is_finite()) {
            return Err(Refusal::new(format!("the breakdown torque is at least the rated torque, not {breakdown} of it")));
        }
        let no_load_squared_a2 = no_load_a * no_load_a;
        Ok(Self {
            rated_current,
            no_load_current,
            breakdown,
            no_load_squared_a2,
            torque_squared_a2: rated_a * rated_a - no_load_squared_a2,
        })
    }

    /// The rated current.
    #[must_use]
    pub const fn rated_current(&self) -> Current {
        self.rated_current
    }

    /// The no-load current at rated voltage and frequency.
    #[must_use]
    pub const fn no_load_current(&self) -> Current {
        self.no_load_current
    }

    /// Breakdown torque in multiples of the rated torque.
    #[must_use]
    pub const fn breakdown(&self) -> Ratio {
        self.breakdown
    }
}

/// The flux in multiples of the rated flux at a frequency in multiples of the base frequency: min(1, 1/x).
/// Not a number only for what is not a number.
#[must_use]
pub fn flux(frequency_ratio: f64) -> f64 {
    let x = frequency_ratio.abs();
    if x <= 1.0 { 1.0 } else { 1.0 / x }
}

/// The square of the current (A²) at torque `m` (multiples of rated torque, sign of no effect) and frequency `x`
/// (multiples of base frequency): see [`current_at`]. Never NaN; infinite beyond breakdown and for what is no number.
#[inline]
#[must_use]
pub fn current_squared_a2(model: &CurrentModel, m: f64, x: f64) -> f64 {
    let phi = flux(x);
    let most = model.breakdown.in_of_one() * phi * phi;
    let m = m.abs();
    // Written so that NaN, and a flux of nothing, end here.
    if !(most > 0.0 && m <= most) {
        return f64::INFINITY;
    }
    let load = m / phi;
    phi * phi * model.no_load_squared_a2 + load * load * model.torque_squared_a2
}

/// The current that a motor draws on a drive at a torque and a frequency.
///
/// φ = min(1, 1/x); I² = (φ·I_0)² + (m/φ)²·(I_N² − I_0²), with m the torque in multiples of rated torque (its magnitude
/// counts: braking draws what driving draws), x the frequency in multiples of base frequency, I_0 the no-load and I_N the
/// rated current. Exact at rated torque and at no load by construction. Between a quarter and one and a half
/// times rated torque and up to 1.25 times base frequency it stays within 7.5 % of the equivalent circuits of three textbook motors
/// fed with held flux when driving, and reads up to 14 % high when braking (tested in `tests.rs` beside this file); nearer to
/// breakdown it reads low, because leakage is left out. The fundamental only:
/// harmonics of the drive add some percent of heat, not counted here.
///
/// # Errors
/// When |m| > breakdown·φ² (the motor would stall), or an input is no number.
///
/// Source: derived from the two components of the current at right angles. Worked example: 52 A rated, 20 A at no load, half
/// torque at base frequency: √(20² + 0.25·(52² − 20²)) = 31.24 A.
/// ```
/// use calc::{motor::current::{current_at, CurrentModel}, working::Silent};
/// use plant::quantity::{Current, Ratio};
/// let model = CurrentModel::new(Current::a(52.0), Current::a(20.0), Ratio::percent(220.0)).unwrap();
/// let i = current_at(&model, Ratio::percent(50.0), Ratio::percent(100.0), &mut Silent).unwrap();
/// assert!((i.in_a() - 31.241).abs() < 1e-3);
/// assert!(current_at(&model, Ratio::percent(100.0), Ratio::percent(150.0), &mut Silent).is_err()); // 2.2/1.5² = 0.978
/// ```
pub fn current_at<R: Recorder>(model: &CurrentModel, torque: Ratio, frequency: Ratio, rec: &mut R) -> Result<Current, Refusal> {
    let current = Current::a(current_squared_a2(model, torque.in_of_one(), frequency.in_of_one()).sqrt());
    let phi = flux(frequency.in_of_one());
    if !current.is_finite() {
        let most = model.breakdown * (phi * phi);
        return Err(Refusal::new(format!(
            "{} of rated torque is beyond the {most} that the motor can give at {frequency} of base frequency",
            torque.abs()
        )));
    }
    rec.step(|| Step::new("φ", "flux", "min(1, 1/x)", &TWO_CURRENTS).with("x", frequency.in_of_one()).gives(Ratio::of_one(phi)));
    rec.step(|| {
        Step::new("I", "motor current", "√((φ·I_0)² + (m/φ)²·(I_N² − I_0²))", &TWO_CURRENTS)
            .with("φ", phi)
            .with("m", torque.in_of_one().abs())
            .with("I_0", model.no_load_current)
            .with("I_N", model.rated_current)
            .gives(current)
    });
    Ok(current)
}

/// What keeps a motor from giving more torque.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TorqueBound {
    /// The current that it is given.
    Current,
    /// Its breakdown torque.
    Breakdown,
}

/// The most torque at a current limit, and what bounds it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AvailableTorque {
    /// In multiples of rated torque.
    pub torque: Ratio,
    /// What bounds it.
    pub bound: TorqueBound,
}

/// The most torque that a motor gives when its current is limited.
///
/// The inverse of [`current_at`]: m = φ·√((I_lim² − (φ·I_0)²)/(I_N² − I_0²)), at most breakdown·φ²/k, with k the safety
/// factor against stalling (1.3 is common practice; 1 takes the breakdown torque itself). Zero where the limit does not even
/// magnetise the motor.
///
/// # Errors
/// When the limit is negative, the safety factor is below one, or an input is no number.
///
/// Source: derived; the usual safety factor is common practice, no source. Worked example: 52 A rated, 20 A no load, 78 A
/// limit: √((78² − 20²)/(52² − 20²)) = 157.1 %.
/// ```
/// use calc::{motor::current::{available_torque, CurrentModel, TorqueBound}, working::Silent};
/// use plant::quantity::{Current, Ratio};
/// let model = CurrentModel::new(Current::a(52.0), Current::a(20.0), Ratio::percent(220.0)).unwrap();
/// let full = available_torque(&model, Current::a(78.0), Ratio::percent(100.0), Ratio::of_one(1.3), &mut Silent).unwrap();
/// assert!((full.torque.in_percent() - 157.06).abs() < 0.01 && full.bound == TorqueBound::Current);
/// let weak = available_torque(&model, Current::a(78.0), Ratio::percent(200.0), Ratio::of_one(1.3), &mut Silent).unwrap();
/// assert!((weak.torque.in_percent() - 42.31).abs() < 0.01 && weak.bound == TorqueBound::Breakdown);
/// ```
pub fn available_torque<R: Recorder>(
    model: &CurrentModel,
    limit: Current,
    frequency: Ratio,
    safety: Ratio,
    rec: &mut R,
) -> Result<AvailableTorque, Refusal> {
    let limit_a = not_negative("the current limit", limit)?;
    let x = not_negative("the frequency", frequency.abs())?;
    if !(safety.in_of_one() >= 1.0 && safety.is_finite()) {
        return Err(Refusal::new(format!("the safety factor against stalling is at least 1, not {}", safety.in_of_one())));
    }
    let phi = flux(x);
    let by_current = phi * ((limit_a * limit_a - phi * phi * model.no_load_squared_a2).max(0.0) / model.torque_squared_a2).sqrt();
    let by_breakdown = model.breakdown.in_of_one() * phi * phi / safety.in_of_one();
    let bound = if by_current <= by_breakdown { TorqueBound::Current } else { TorqueBound::Breakdown };
    let torque = Ratio::of_one(by_current.min(by_breakdown));
    rec.step(|| Step::new("φ", "flux", "min(1, 1/x)", &TWO_CURRENTS).with("x", x).gives(Ratio::of_one(phi)));
    rec.step(|| {
        Step::new("m_I", "torque at the current limit", "φ·√((I_lim² − (φ·I_0)²)/(I_N² − I_0²))", &TWO_CURRENTS)
            .with("φ", phi)
            .with("I_lim", limit)
            .with("I_0", model.no_load_current)
            .with("I_N", model.rated_current)
            .gives(Ratio::of_one(by_current))
    });
    rec.step(|| {
        Step::new("m_b", "torque below breakdown", "m_k·φ²/k", &PRACTICE)
            .with("m_k", model.breakdown.in_of_one())
            .with("φ", phi)
            .with("k", safety.in_of_one())
            .gives(Ratio::of_one(by_breakdown))
            .note("k: safety factor against stalling")
    });
    rec.step(|| Step::new("m", "available torque", "min(m_I, m_b)", &TWO_CURRENTS).gives(torque));
    Ok(AvailableTorque { torque, bound })
}

/// Bounds of the no-load current.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NoLoadCurrent {
    /// By the circle diagram without stator resistance: all reactive current that leakage can explain is taken off.
    pub low: Current,
    /// The usual simple estimate: the whole reactive current at rated load.
    pub high: Current,
}

/// Bounds of a motor's no-load current from its plate.
///
/// high: I_N·sin φ_N, the whole reactive current at rated load, part of which is leakage that no load does not need.
/// low: I_N·(sin φ_N − cos φ_N·(λ − √(λ² − 1))), the circle diagram's figure for a breakdown torque of λ times rated
/// torque, never below zero. The truth lies between in the textbook motors tested here. More no-load current means more
/// current below rated torque and less above it ([`current_at`]), so a range is carried as a range.
///
/// # Errors
/// When the power factor lies outside 0 … 1 or the breakdown torque below the rated torque.
///
/// Source: derived (circle diagram). Worked example: 18.9 A at cos φ 0.832 with 3.6 times breakdown torque: 8.2 … 10.5 A; its
/// equivalent circuit gives 9.7 A (Chapman, Electric Machinery Fundamentals, ex. 7-3).
/// ```
/// use calc::{motor::current::no_load_current, working::Silent};
/// use plant::quantity::{Current, Ratio};
/// let range = no_load_current(Current::a(18.9), Ratio::of_one(0.832), Ratio::of_one(3.6), &mut Silent).unwrap();
/// assert!(range.low.in_a() < 9.7 && 9.7 < range.high.in_a());
/// ```
pub fn no_load_current<R: Recorder>(
    rated_current: Current,
    power_factor: Ratio,
    breakdown: Ratio,
    rec: &mut R,
) -> Result<NoLoadCurrent, Refusal> {
    positive("the rated current", rated_current)?;
    let cos = share("the power factor", power_factor)?;
    let lambda = breakdown.in_of_one();
    if !(lambda >= 1.0 && lambda.is_finite()) {
        return Err(Refusal::new(format!("the breakdown torque is at least the rated torque, not {breakdown} of it")));
    }
    let sin = (1.0 - cos * cos).sqrt();
    // λ − √(λ² − 1), written without the difference of two near numbers.
    let leakage = 1.0 / (lambda + (lambda * lambda - 1.0).sqrt());
    let range = NoLoadCurrent { low: rated_current * (sin - cos * leakage).max(0.0), high: rated_current * sin };
    rec.step(|| {
        Step::new("I_0,low", "no-load current, low", "I_N·(sinφ − cosφ·(λ − √(λ² − 1)))", &CIRCLE)
            .with("I_N", rated_current)
            .with("sinφ", sin)
            .with("cosφ", cos)
            .with("λ", lambda)
            .gives(range.low)
    });
    rec.step(|| {
        Step::new("I_0,high", "no-load current, high", "I_N·sinφ", &CIRCLE).with("I_N", rated_current).with("sinφ", sin).gives(range.high)
    });
    Ok(range)
}

/// `calc motor-current`.
pub const MOTOR_CURRENT: Calculation = Calculation {
    name: "motor-current",
    summary: "Current of a motor on a drive at a torque and a frequency.",
    inputs: &[
        quantity::<dim::CurrentDim>("rated_current", "plate current"),
        quantity::<dim::CurrentDim>("no_load_current", "current at rated voltage and frequency without load"),
        quantity::<dim::RatioDim>("breakdown", "breakdown torque in multiples of rated torque"),
        quantity::<dim::RatioDim>("torque", "in multiples of rated torque; its magnitude counts"),
        quantity::<dim::RatioDim>("frequency", "in multiples of base frequency"),
    ],
    results: &[output::<dim::CurrentDim>("current", "A", "motor current, fundamental")],
    sources: &[&TWO_CURRENTS],
    run: |a, w| {
        let model = CurrentModel::new(a.get("rated_current"), a.get("no_load_current"), a.get("breakdown"))?;
        Ok(vec![current_at(&model, a.get("torque"), a.get("frequency"), w)?.in_si()])
    },
};

/// `calc available-torque`.
pub const AVAILABLE_TORQUE: Calculation = Calculation {
    name: "available-torque",
    summary: "Most torque of a motor whose current is limited, bounded by its breakdown torque.",
    inputs: &[
        quantity::<dim::CurrentDim>("rated_current", "plate current"),
        quantity::<dim::CurrentDim>("no_load_current", "current at rated voltage and frequency without load"),
        quantity::<dim::RatioDim>("breakdown", "breakdown torque in multiples of rated torque"),
        quantity::<dim::CurrentDim>("limit", "current that the drive can give"),
        quantity::<dim::RatioDim>("frequency", "in multiples of base frequency"),
        quantity_or::<dim::RatioDim>("safety", "1.3", "safety factor against stalling"),
    ],
    results: &[output::<dim::RatioDim>("torque", "%", "in multiples of rated torque")],
    sources: &[&TWO_CURRENTS, &PRACTICE],
    run: |a, w| {
        let model = CurrentModel::new(a.get("rated_current"), a.get("no_load_current"), a.get("breakdown"))?;
        Ok(vec![available_torque(&model, a.get("limit"), a.get("frequency"), a.get("safety"), w)?.torque.in_si()])
    },
};

/// `calc no-load-current`.
pub const NO_LOAD_CURRENT: Calculation = Calculation {
    name: "no-load-current",
    summary: "Bounds of a motor's no-load current from its plate.",
    inputs: &[
        quantity::<dim::CurrentDim>("rated_current", "plate current"),
        quantity::<dim::RatioDim>("power_factor", "plate cos φ"),
        quantity::<dim::RatioDim>("breakdown", "breakdown torque in multiples of rated torque"),
    ],
    results: &[
        output::<dim::CurrentDim>("low", "A", "lower bound, by the circle diagram"),
        output::<dim::CurrentDim>("high", "A", "upper bound, the usual simple estimate"),
    ],
    sources: &[&CIRCLE],
    run: |a, w| {
        let range = no_load_current(a.get("rated_current"), a.get("power_factor"), a.get("breakdown"), w)?;
        Ok(vec![range.low.in_si(), range.high.in_si()])
    },
};
