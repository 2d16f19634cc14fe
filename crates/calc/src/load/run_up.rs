//! Run-up and coast-down of an inertia when torques go with speed, t = ∫ J dω/(T − T_L), by adaptive Gauss–Kronrod quadrature.

use plant::quantity::{Inertia, Speed, Time, Torque, dim};

use crate::load::above_zero;
use crate::load::kinds::{LAW_SHARE_DOC, LAW_WORDS, Law, law_of};
use crate::registry::{Arguments, Calculation, Refusal, output, quantity, quantity_or, word};
use crate::sources::{DEFINITION, Knowledge, Source};
use crate::working::{Recorder, Step, Working};

/// The quadrature.
pub const QUADRATURE: Source = Source::new("Gauss–Kronrod 7/15 rule (QUADPACK nodes)", Knowledge::FromMemory);

/// Nodes of the 15-point Kronrod rule on −1 … 1, positive half; every second one belongs to the 7-point Gauss rule.
const NODES: [f64; 8] = [
    0.991_455_371_120_812_6,
    0.949_107_912_342_758_5,
    0.864_864_423_359_769_1,
    0.741_531_185_599_394_4,
    0.586_087_235_467_691_1,
    0.405_845_151_377_397_2,
    0.207_784_955_007_898_47,
    0.0,
];
const KRONROD: [f64; 8] = [
    0.022_935_322_010_529_224,
    0.063_092_092_629_978_56,
    0.104_790_010_322_250_18,
    0.140_653_259_715_525_92,
    0.169_004_726_639_267_9,
    0.190_350_578_064_785_4,
    0.204_432_940_075_298_9,
    0.209_482_141_084_727_83,
];
const GAUSS: [f64; 4] = [0.129_484_966_168_869_7, 0.279_705_391_489_276_64, 0.381_830_050_505_118_9, 0.417_959_183_673_469_4];
/// Relative error asked of each part of the quadrature: far below what any torque curve is known to.
const QUADRATURE_ERROR: f64 = 1e-11;
/// Halvings of the speed range: what still misses the error then has no finite integral.
const DEEPEST: u32 = 40;

/// Parts that a range may be cut into; torque curves need a few dozen, and what needs more is no torque curve.
const MOST_PARTS: u32 = 10_000;

/// ∫ f over a … b; NaN when f gives NaN or the integral has no end.
pub(crate) fn integrate(f: &mut impl FnMut(f64) -> f64, a: f64, b: f64) -> f64 {
    let (whole, _) = gauss_kronrod(f, a, b);
    refine(f, a, b, whole.abs() * QUADRATURE_ERROR, DEEPEST, &mut MOST_PARTS.clone())
}

fn refine(f: &mut impl FnMut(f64) -> f64, a: f64, b: f64, error: f64, depth: u32, parts: &mut u32) -> f64 {
    if *parts == 0 {
        return f64::NAN;
    }
    *parts -= 1;
    let (value, gap) = gauss_kronrod(f, a, b);
    if value.is_nan() || gap <= error.max(value.abs() * QUADRATURE_ERROR) {
        return value;
    }
    if depth == 0 {
        return f64::NAN;
    }
    let middle = 0.5 * (a + b);
    let left = refine(f, a, middle, error, depth - 1, parts);
    // An integral without end is noticed on the way down: the rest need not be tried.
    if left.is_nan() { left } else { left + refine(f, middle, b, error, depth - 1, parts) }
}

/// The 15-point value and its distance from the 7-point one.
fn gauss_kronrod(f: &mut impl FnMut(f64) -> f64, a: f64, b: f64) -> (f64, f64) {
    let (middle, half) = (0.5 * (a + b), 0.5 * (b - a));
    let (mut kronrod, mut gauss) = (0.0, 0.0);
    for (i, (node, weight)) in NODES.iter().zip(KRONROD).enumerate() {
        let sum = if i == NODES.len() - 1 { f(middle) } else { f(middle + half * node) + f(middle - half * node) };
        kronrod += weight * sum;
        if i % 2 == 1 {
            gauss += GAUSS[i / 2] * sum;
        }
    }
    (kronrod * half, ((kronrod - gauss) * half).abs())
}

/// A run-up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RunUp {
    /// How long it takes.
    pub time: Time,
    /// The least torque left for acceleration that was met on the way.
    pub least_spare: Torque,
    /// Where that was.
    pub least_spare_at: Speed,
}

/// Time from one speed to a higher one, t = ∫ J dω/(T(ω) − T_L(ω)).
///
/// `bends` are speeds at which a torque curve has a corner: the quadrature starts anew there. The curves are read at the ends,
/// at the bends and at 15 or more points between each two; where the load reaches the available torque the run-up is refused.
///
/// # Errors
/// When inertia or speeds make no sense, or the available torque does not exceed the load's somewhere.
///
/// Source: definition; error of the quadrature about 1e-10. Worked example: 2 kg·m² with 100 N·m against a fan of 60 N·m at
/// 157.08 rad/s: (J·ω/√(100·60))·artanh(√0.6) = 4.18 s.
/// ```
/// use calc::load::run_up::run_up;
/// use calc::working::Silent;
/// use plant::quantity::{Inertia, Speed, Torque};
/// let (full, none) = (Speed::rad_s(157.08), Speed::ZERO);
/// let fan = |n: Speed| Torque::nm(60.0) * (n / full) * (n / full);
/// let run = run_up(Inertia::kgm2(2.0), none, full, &[], |_| Torque::nm(100.0), fan, &mut Silent).unwrap();
/// assert!((run.time.in_s() - 4.18).abs() < 0.005);
/// assert!((run.least_spare.in_nm() - 40.0).abs() < 1e-9);
/// ```
pub fn run_up<R: Recorder>(
    inertia: Inertia,
    from: Speed,
    to: Speed,
    bends: &[Speed],
    available: impl Fn(Speed) -> Torque,
    load: impl Fn(Speed) -> Torque,
    rec: &mut R,
) -> Result<RunUp, Refusal> {
    above_zero(inertia, "inertia")?;
    if !(to > from && from >= Speed::ZERO && to.is_finite()) {
        return Err(Refusal::new(format!("a run-up goes from 0 or more to a higher speed, not from {from} to {to}")));
    }
    let mut run = RunUp { time: Time::ZERO, least_spare: Torque::si(f64::INFINITY), least_spare_at: from };
    let mut spare = |rad_s: f64| {
        let speed = Speed::rad_s(rad_s);
        let torque = available(speed) - load(speed);
        // Not a number counts as no torque at all, and stays the least.
        if torque < run.least_spare || torque.in_si().is_nan() {
            (run.least_spare, run.least_spare_at) = (torque, speed);
        }
        if torque > Torque::ZERO { inertia.in_kgm2() / torque.in_nm() } else { f64::NAN }
    };
    let (mut seconds, mut at) = (0.0, from);
    while at < to {
        let next = bends.iter().copied().filter(|b| *b > at && *b < to).fold(to, Speed::min);
        let ends_hold = spare(at.in_rad_s()).is_finite() && spare(next.in_rad_s()).is_finite();
        seconds += if ends_hold { integrate(&mut spare, at.in_rad_s(), next.in_rad_s()) } else { f64::NAN };
        at = next;
    }
    run.time = Time::s(seconds);
    if !run.time.is_finite() {
        return Err(Refusal::new(format!(
            "at {} the torque left for acceleration is {}: the run-up stalls",
            run.least_spare_at, run.least_spare
        )));
    }
    rec.step(|| {
        Step::new("t", "run-up time", "∫ J dω/(T − T_L)", &DEFINITION)
            .with("J", inertia)
            .gives(run.time)
            .note(format!("from {from} to {to}; least torque left for acceleration {} at {}", run.least_spare, run.least_spare_at))
    });
    Ok(run)
}

/// Time to coast from one speed to a lower one against the load alone, t = ∫ J dω/T_L(ω).
///
/// # Errors
/// When inertia or speeds make no sense, or the load does not slow the machine somewhere: a fan by itself never quite stops,
/// so its last speed must be above zero or its law must hold a share that does not fall with speed.
///
/// Source: definition. Worked example: a fan of 2 kg·m² and 60 N·m at 157.08 rad/s from there to a tenth of it:
/// J·ω/T·(1/0.1 − 1) = 47.1 s.
/// ```
/// use calc::load::run_up::coast_down;
/// use calc::working::Silent;
/// use plant::quantity::{Inertia, Speed, Torque};
/// let full = Speed::rad_s(157.08);
/// let fan = |n: Speed| Torque::nm(60.0) * (n / full) * (n / full);
/// let time = coast_down(Inertia::kgm2(2.0), full, full * 0.1, &[], fan, &mut Silent).unwrap();
/// assert!((time.in_s() - 47.1).abs() < 0.05);
/// assert!(coast_down(Inertia::kgm2(2.0), full, Speed::ZERO, &[], fan, &mut Silent).is_err());
/// ```
pub fn coast_down<R: Recorder>(
    inertia: Inertia,
    from: Speed,
    to: Speed,
    bends: &[Speed],
    load: impl Fn(Speed) -> Torque,
    rec: &mut R,
) -> Result<Time, Refusal> {
    if from <= to {
        return Err(Refusal::new(format!("a coast-down goes to a lower speed, not from {from} to {to}")));
    }
    // The same integral with the load as what changes the speed.
    let run = run_up(inertia, to, from, bends, load, |_| Torque::ZERO, &mut crate::working::Silent).map_err(|refusal| {
        Refusal::new(format!("the load does not slow the machine all the way from {from} to {to}, so it never gets there ({refusal})"))
    })?;
    rec.step(|| {
        Step::new("t", "coast-down time", "∫ J dω/T_L", &DEFINITION).with("J", inertia).gives(run.time).note(format!("from {from} to {to}"))
    });
    Ok(run.time)
}

/// What a drive-fed motor can give: a torque limit up to the base speed, falling with 1/n above it (constant current, weaker
/// field), and never more than its breakdown torque, which falls with 1/n².
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TorqueLimit {
    /// Limit up to the base speed.
    pub limit: Torque,
    /// Speed at which the voltage is used up.
    pub base: Speed,
    /// Breakdown torque at the base speed.
    pub breakdown: Torque,
}

impl TorqueLimit {
    /// Torque available at a speed.
    #[must_use]
    pub fn at(&self, speed: Speed) -> Torque {
        let field = if speed > self.base { self.base / speed } else { 1.0 };
        (self.limit * field).min(self.breakdown * (field * field))
    }

    /// Where the curve has corners.
    #[must_use]
    pub fn bends(&self) -> [Speed; 2] {
        [self.base, self.base * (self.breakdown / self.limit).max(1.0)]
    }
}

const INERTIA: crate::registry::Input = quantity::<dim::InertiaDim>("inertia", "whole inertia at the motor shaft");
const LAW: crate::registry::Input = word("law", LAW_WORDS, "how the load's torque goes with speed");
const SHARE: crate::registry::Input = quantity_or::<dim::RatioDim>("share", "0 %", LAW_SHARE_DOC);
const LOAD: crate::registry::Input = quantity::<dim::TorqueDim>("load", "torque of the load at full speed");
const FULL: crate::registry::Input = quantity::<dim::SpeedDim>("full_speed", "speed that the load's torque belongs to");

/// The load's torque against speed and where it bends.
fn load_curve(a: &Arguments) -> Result<(impl Fn(Speed) -> Torque, Option<Speed>), Refusal> {
    let law: Law = law_of(a.word("law"), a.get::<dim::RatioDim>("share").in_of_one())?;
    let (full, torque) = (a.get::<dim::SpeedDim>("full_speed"), a.get::<dim::TorqueDim>("load"));
    above_zero(full, "full speed")?;
    Ok((move |n: Speed| torque * law.moving(true, n / full), law.bend().map(|n| full * n)))
}

/// `calc run-up-time`.
pub const RUN_UP_TIME: Calculation = Calculation {
    name: "run-up-time",
    summary: "Run-up time of a load whose torque goes with speed, at the drive's torque limit.",
    inputs: &[
        INERTIA,
        quantity_or::<dim::SpeedDim>("from", "0 rpm", "speed before"),
        quantity::<dim::SpeedDim>("to", "speed after"),
        quantity::<dim::TorqueDim>("limit", "torque limit up to the base speed"),
        quantity::<dim::SpeedDim>("base_speed", "speed at which the voltage is used up"),
        quantity_or::<dim::RatioDim>("breakdown", "1000 %", "breakdown torque at base speed over the torque limit"),
        LAW,
        SHARE,
        LOAD,
        FULL,
    ],
    results: &[
        output::<dim::TimeDim>("time", "s", "run-up time"),
        output::<dim::TorqueDim>("least_spare", "N·m", "least torque left for acceleration"),
    ],
    sources: &[&DEFINITION, &QUADRATURE],
    run: |a: &Arguments, w: &mut Working| {
        let (curve, bend) = load_curve(a)?;
        let limit: Torque = a.get("limit");
        let motor = TorqueLimit { limit, base: a.get("base_speed"), breakdown: limit * a.get::<dim::RatioDim>("breakdown").in_of_one() };
        above_zero(motor.base, "base speed")?;
        let [first, second] = motor.bends();
        let bends = [first, second, bend.unwrap_or(first)];
        let run = run_up(a.get("inertia"), a.get("from"), a.get("to"), &bends, |n| motor.at(n), curve, w)?;
        Ok(vec![run.time.in_si(), run.least_spare.in_si()])
    },
};

/// `calc coast-down-time`.
pub const COAST_DOWN_TIME: Calculation = Calculation {
    name: "coast-down-time",
    summary: "Time to coast from one speed to a lower one against the load alone.",
    inputs: &[
        INERTIA,
        quantity::<dim::SpeedDim>("from", "speed before"),
        quantity::<dim::SpeedDim>("to", "speed after"),
        LAW,
        SHARE,
        LOAD,
        FULL,
    ],
    results: &[output::<dim::TimeDim>("time", "s", "coast-down time")],
    sources: &[&DEFINITION, &QUADRATURE],
    run: |a: &Arguments, w: &mut Working| {
        let (curve, bend) = load_curve(a)?;
        Ok(vec![coast_down(a.get("inertia"), a.get("from"), a.get("to"), bend.as_slice(), curve, w)?.in_si()])
    },
};

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::working::Silent;

    /// The quadrature asks 1e-11 of each of its parts.
    const CLOSE: f64 = 1e-9;

    #[test]
    fn the_rules_are_exact_to_their_degree() {
        for degree in 0..=22_i32 {
            let exact = if degree % 2 == 0 { 2.0 / f64::from(degree + 1) } else { 0.0 };
            let (value, gap) = gauss_kronrod(&mut |x: f64| x.powi(degree), -1.0, 1.0);
            assert!((value - exact).abs() < 1e-15, "degree {degree}: {value}");
            assert!(degree > 13 || gap < 1e-15, "degree {degree}: the 7-point rule is off by {gap}");
        }
    }

    #[test]
    fn an_integral_without_end_is_none() {
        assert!(integrate(&mut |x: f64| 1.0 / x, 0.0, 1.0).is_nan());
        assert!((integrate(&mut |x: f64| if x < 0.3 { 1.0 } else { 2.0 }, 0.0, 1.0) - 1.7).abs() < CLOSE, "a corner that nobody told of");
    }

    #[test]
    fn a_run_up_that_stalls_says_where() {
        let load = |n: Speed| Torque::nm(n.in_rpm() / 10.0);
        let stalls = run_up(Inertia::kgm2(1.0), Speed::ZERO, Speed::rpm(1500.0), &[], |_| Torque::nm(149.0), load, &mut Silent);
        assert!(stalls.expect_err("stalls").0.contains("1500 rpm"));
        let touches = run_up(Inertia::kgm2(1.0), Speed::ZERO, Speed::rpm(1500.0), &[], |_| Torque::nm(150.0), load, &mut Silent);
        assert!(touches.is_err());
        let dip = |n: Speed| Torque::nm(100.0 + 0.3 * (n.in_rpm() - 700.0).abs());
        assert!(
            run_up(Inertia::kgm2(1.0), Speed::ZERO, Speed::rpm(1500.0), &[Speed::rpm(700.0)], dip, |_| Torque::nm(100.0), &mut Silent)
                .is_err()
        );
    }

    #[test]
    fn field_weakening_follows_its_closed_form() {
        // Free inertia at constant power above base: t = J/T·(n1 + (n2² − n1²)/(2·n1)).
        let motor = TorqueLimit { limit: Torque::nm(10.0), base: Speed::rad_s(100.0), breakdown: Torque::nm(1000.0) };
        let run =
            run_up(Inertia::kgm2(1.0), Speed::ZERO, Speed::rad_s(200.0), &motor.bends(), |n| motor.at(n), |_| Torque::ZERO, &mut Silent);
        assert!((run.expect("runs").time.in_s() - 25.0).abs() < CLOSE * 25.0);
        let weak = TorqueLimit { breakdown: Torque::nm(12.5), ..motor };
        assert!((weak.at(Speed::rad_s(200.0)).in_nm() - 3.125).abs() < CLOSE && (weak.bends()[1].in_rad_s() - 125.0).abs() < CLOSE);
    }

    proptest! {
        #[test]
        fn fans_follow_their_closed_form(j in 0.01f64..1e3, full in 10.0f64..600.0, limit in 10.0f64..1e4, part in 0.01f64..0.999) {
            let load = limit * part;
            let full_speed = Speed::rad_s(full);
            let fan = |n: Speed| Torque::nm(load) * ((n / full_speed) * (n / full_speed));
            let run = run_up(Inertia::kgm2(j), Speed::ZERO, full_speed, &[], |_| Torque::nm(limit), fan, &mut Silent).expect("runs up");
            let exact = j * full / (limit * load).sqrt() * part.sqrt().atanh();
            prop_assert!((run.time.in_s() / exact - 1.0).abs() < CLOSE);
            let coast = coast_down(Inertia::kgm2(j), full_speed, full_speed * part, &[], fan, &mut Silent).expect("slows");
            prop_assert!((coast.in_s() / (j * full / load * (1.0 / part - 1.0)) - 1.0).abs() < CLOSE);
        }
    }
}
