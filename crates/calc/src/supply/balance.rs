//! Balance of the phases: voltage unbalance and what it costs the motor, and feeding a three-phase drive from
//! a single phase.

use plant::quantity::{Current, Ratio, Voltage, dim};

use crate::drive::derate::Curve;
use crate::registry::{Arguments, Calculation, Refusal, output, quantity};
use crate::sources::{DEFINITION, Knowledge, PRACTICE, Source};
use crate::working::{Recorder, Step, Working};

/// The unbalance that American documents mean.
pub const NEMA_UNBALANCE: Source = Source::new("NEMA MG 1 14.36 (clause from memory)", Knowledge::LookedUp);
/// The unbalance that IEC documents mean.
pub const SEQUENCES: Source = Source::new("symmetrical components; IEC 61000-4-30 gives the same closed form", Knowledge::FromMemory);
/// The curve of what a motor may still carry.
pub const NEMA_14_1: Source = Source::new("NEMA MG 1 Figure 14-1, as tabulated by a handbook site", Knowledge::LookedUp);
/// The rule for the hotter winding.
pub const HOT_PHASE: Source = Source::new("Hubert, Electric Machines, Example 5.14", Knowledge::LookedUp);
/// How a three-phase drive is derated for single-phase supply where its documents say nothing.
pub const SINGLE_PHASE: Source = Source::new("half the rating, a habit of the trade", Knowledge::CommonPractice);

/// Unbalance of three line voltages.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Unbalance {
    /// Mean of the three.
    pub mean: Voltage,
    /// Largest deviation from the mean over the mean: what NEMA documents call unbalance.
    pub nema: Ratio,
    /// Negative over positive sequence: what IEC documents call unbalance.
    pub sequence: Ratio,
}

/// Unbalance of three line-to-line voltages, both ways.
///
/// u = max |U_i − Ū|/Ū, and V_2/V_1 from the three magnitudes alone: with squares a, b, c, their sum S, and
/// x = √(3·(S² − 2·(a² + b² + c²)))/S, V_2/V_1 = √(2·((a−b)² + (b−c)² + (c−a)²))/(S·(1 + x)); this is the usual
/// √((1 − √(3 − 6β))/(1 + √(3 − 6β))) without its loss of digits near balance. Units: V. Take all three readings
/// at the same moment, loaded, line to line: a line-to-neutral reading hides or invents unbalance.
///
/// # Errors
/// When a reading is not above zero, or the three do not close to a triangle.
///
/// Source: NEMA MG 1; symmetrical components. Worked example: 460, 467, 450 V give 1.96 % and 2.15 %.
/// ```
/// use calc::{supply::balance::voltage_unbalance, working::Silent};
/// use plant::quantity::Voltage;
/// let u = voltage_unbalance(Voltage::v(460.0), Voltage::v(467.0), Voltage::v(450.0), &mut Silent).unwrap();
/// assert!((u.nema.in_percent() - 1.961).abs() < 0.001);
/// assert!((u.sequence.in_percent() - 2.146).abs() < 0.001);
/// ```
pub fn voltage_unbalance<R: Recorder>(ab: Voltage, bc: Voltage, ca: Voltage, rec: &mut R) -> Result<Unbalance, Refusal> {
    let lines = [ab.in_v(), bc.in_v(), ca.in_v()];
    if !lines.iter().all(|v| v.is_finite() && *v > 0.0) {
        return Err(Refusal::new(format!("three line-to-line voltages above zero are needed, not {ab}, {bc}, {ca}")));
    }
    let mean = lines.iter().sum::<f64>() / 3.0;
    let deviation = lines.iter().fold(0.0, |worst: f64, v| worst.max((v - mean).abs()));
    // In parts of the mean, so that the fourth powers below stay near 1 at any voltage.
    let [a, b, c] = lines.map(|v| (v / mean).powi(2));
    let sum = a + b + c;
    let closed = sum * sum - 2.0 * (a * a + b * b + c * c);
    if closed < 0.0 {
        return Err(Refusal::new(format!(
            "{ab}, {bc} and {ca} cannot be line-to-line voltages of one supply: one exceeds the other two together"
        )));
    }
    let x = (3.0 * closed).sqrt() / sum;
    let spread = (a - b).powi(2) + (b - c).powi(2) + (c - a).powi(2);
    let unbalance = Unbalance {
        mean: Voltage::v(mean),
        nema: Ratio::of_one(deviation / mean),
        sequence: Ratio::of_one((2.0 * spread).sqrt() / (sum * (1.0 + x))),
    };
    rec.step(|| {
        Step::new("Ū", "mean line voltage", "(U_ab + U_bc + U_ca)/3", &DEFINITION)
            .with("U_ab", ab)
            .with("U_bc", bc)
            .with("U_ca", ca)
            .gives(unbalance.mean)
    });
    rec.step(|| {
        Step::new("u", "voltage unbalance (NEMA)", "ΔU/Ū", &NEMA_UNBALANCE)
            .with("ΔU", Voltage::v(deviation))
            .with("Ū", unbalance.mean)
            .gives(unbalance.nema)
            .note("ΔU is the largest deviation of a line from the mean, not the spread between lines")
    });
    rec.step(|| {
        // β of the closed form is unity over three at balance.
        let beta = (a * a + b * b + c * c) / (sum * sum);
        Step::new("V_2/V_1", "unbalance (negative over positive sequence)", "√((1 − √(3 − 6·β))/(1 + √(3 − 6·β)))", &SEQUENCES)
            .with("β", plant::quantity::digits(beta, 8))
            .gives(unbalance.sequence)
            .note("β = (U_ab⁴ + U_bc⁴ + U_ca⁴)/(U_ab² + U_bc² + U_ca²)²")
    });
    Ok(unbalance)
}

/// The share of its rated power that a motor on unbalanced line voltages may carry.
///
/// Table, straight between its rows. Valid to 5 %; for a motor on the line (a drive with a DC link gives its
/// motor balanced voltage, but its own rectifier then carries the unbalance).
///
/// # Errors
/// Above 5 %, where the motor must not run.
///
/// Source: NEMA MG 1 Figure 14-1 as tabulated by a handbook site; the table has no row at 1 %, and 0.75 is commonly
/// quoted at 5 % (from memory). Worked example: 3 % leave 0.89.
/// ```
/// use calc::{supply::balance::unbalance_derating, working::Silent};
/// use plant::quantity::Ratio;
/// assert!((unbalance_derating(Ratio::percent(3.0), &mut Silent).unwrap().in_of_one() - 0.89).abs() < 1e-9);
/// assert!(unbalance_derating(Ratio::percent(5.5), &mut Silent).is_err());
/// ```
pub fn unbalance_derating<R: Recorder>(unbalance: Ratio, rec: &mut R) -> Result<Ratio, Refusal> {
    if unbalance < Ratio::ZERO {
        return Err(Refusal::new(format!("unbalance is a magnitude, not {unbalance}")));
    }
    FIGURE_14_1
        .read("share of rated power under unbalanced voltage", unbalance, &NEMA_14_1, rec)
        .map_err(|_| Refusal::new(format!("the figure ends at 5 % unbalance; at {unbalance} a motor is not to be run, at any load")))
}

const FIGURE_14_1: Curve<'static> = Curve::unchecked(&[
    (0.0, 1.00),
    (0.005, 1.00),
    (0.015, 0.97),
    (0.020, 0.95),
    (0.025, 0.93),
    (0.030, 0.89),
    (0.035, 0.85),
    (0.040, 0.82),
    (0.045, 0.78),
    (0.050, 0.76),
]);

/// By how much the temperature rise of the hottest winding grows.
///
/// ΔT% = 2·u² with u in % (NEMA unbalance). A rule for a few per cent; at rated load, on the line.
///
/// # Errors
/// When `unbalance` is negative or no number.
///
/// Source: Hubert, Example 5.14. Worked example: 2.583 % give 13.34 % more.
/// ```
/// use calc::{supply::balance::unbalance_heating, working::Silent};
/// use plant::quantity::Ratio;
/// assert!((unbalance_heating(Ratio::percent(2.583), &mut Silent).unwrap().in_percent() - 13.344).abs() < 0.01);
/// ```
pub fn unbalance_heating<R: Recorder>(unbalance: Ratio, rec: &mut R) -> Result<Ratio, Refusal> {
    if !(unbalance >= Ratio::ZERO && unbalance.is_finite()) {
        return Err(Refusal::new(format!("unbalance is a magnitude, not {unbalance}")));
    }
    let more = Ratio::percent(2.0 * unbalance.in_percent().powi(2));
    rec.step(|| {
        Step::new("ΔT%", "more temperature rise in the hottest winding", "2·(u)²", &HOT_PHASE)
            .with("u", unbalance)
            .gives(more)
            .note("u as the number of per cent")
    });
    Ok(more)
}

/// A three-phase drive on a single phase.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SinglePhase {
    /// Input current from one phase for the same output.
    pub current: Current,
    /// That current over the three-phase one: √3.
    pub ratio: Ratio,
    /// Share of the rating that keeps the rectifier within its three-phase current: 1/√3.
    pub by_rectifier: Ratio,
    /// Share to use where the documents of the unit give none: the smaller of `by_rectifier` and the habitual half,
    /// because the ripple in the link capacitors grows more than the current.
    pub factor: Ratio,
}

/// What a single-phase supply does to a three-phase drive.
///
/// I_1 = √3·I_3 at the same apparent power and line voltage; shares of the rating: 1/√3 by the rectifier, half by habit.
/// Units: A. Only for a unit whose documents allow single-phase supply; its phase-loss supervision will trip otherwise.
///
/// # Errors
/// When the current is no positive number.
///
/// Source: definition; common practice for the half. Worked example: 10 A become 17.3 A.
/// ```
/// use calc::{supply::balance::single_phase_derate, working::Silent};
/// use plant::quantity::Current;
/// let single = single_phase_derate(Current::a(10.0), &mut Silent).unwrap();
/// assert!((single.current.in_a() - 17.3205).abs() < 1e-4);
/// assert!((single.factor.in_percent() - 50.0).abs() < 1e-9);
/// ```
pub fn single_phase_derate<R: Recorder>(three_phase: Current, rec: &mut R) -> Result<SinglePhase, Refusal> {
    const HALF: f64 = 0.5;
    if !(three_phase.is_finite() && three_phase > Current::ZERO) {
        return Err(Refusal::new(format!("an input current is above zero, not {three_phase}")));
    }
    let root3 = 3f64.sqrt();
    let single = SinglePhase {
        current: three_phase * root3,
        ratio: Ratio::of_one(root3),
        by_rectifier: Ratio::of_one(1.0 / root3),
        factor: Ratio::of_one(HALF.min(1.0 / root3)),
    };
    rec.step(|| {
        Step::new("I_1", "input current from a single phase", "√3·I_3", &DEFINITION).with("I_3", three_phase).gives(single.current)
    });
    rec.step(|| Step::new("k_r", "share of the rating by rectifier current", "1/√3", &DEFINITION).gives(single.by_rectifier));
    rec.step(|| {
        Step::new("k", "share of the rating to use", "min(k_r, 50 %)", &SINGLE_PHASE)
            .with("k_r", single.by_rectifier)
            .gives(single.factor)
            .note("ripple in the link capacitors decides; the unit's documents come first")
    });
    Ok(single)
}

/// `calc voltage-unbalance`.
pub const VOLTAGE_UNBALANCE: Calculation = Calculation {
    name: "voltage-unbalance",
    summary: "Unbalance of three line voltages, as NEMA and as IEC documents mean it.",
    inputs: &[
        quantity::<dim::VoltageDim>("ab", "line voltage A to B"),
        quantity::<dim::VoltageDim>("bc", "line voltage B to C"),
        quantity::<dim::VoltageDim>("ca", "line voltage C to A"),
    ],
    results: &[
        output::<dim::VoltageDim>("mean", "V", "mean line voltage"),
        output::<dim::RatioDim>("nema", "%", "largest deviation from the mean, over the mean"),
        output::<dim::RatioDim>("sequence", "%", "negative over positive sequence"),
    ],
    sources: &[&NEMA_UNBALANCE, &SEQUENCES],
    run: |a: &Arguments, w: &mut Working| {
        let u = voltage_unbalance(a.get("ab"), a.get("bc"), a.get("ca"), w)?;
        Ok(vec![u.mean.in_si(), u.nema.in_si(), u.sequence.in_si()])
    },
};

/// `calc unbalance-derating`.
pub const UNBALANCE_DERATING: Calculation = Calculation {
    name: "unbalance-derating",
    summary: "Share of rated power that a motor may carry on unbalanced voltage, and the growth of its temperature rise.",
    inputs: &[quantity::<dim::RatioDim>("unbalance", "NEMA voltage unbalance")],
    results: &[
        output::<dim::RatioDim>("factor", "pu", "share of rated power"),
        output::<dim::RatioDim>("heating", "%", "more temperature rise at rated load"),
    ],
    sources: &[&NEMA_14_1, &HOT_PHASE],
    run: |a: &Arguments, w: &mut Working| {
        let u = a.get("unbalance");
        Ok(vec![unbalance_derating(u, w)?.in_si(), unbalance_heating(u, w)?.in_si()])
    },
};

/// `calc single-phase-derate`.
pub const SINGLE_PHASE_DERATE: Calculation = Calculation {
    name: "single-phase-derate",
    summary: "Input current and usable share of a three-phase drive on a single phase.",
    inputs: &[quantity::<dim::CurrentDim>("current", "input current on three phases")],
    results: &[
        output::<dim::CurrentDim>("current", "A", "input current on one phase for the same output"),
        output::<dim::RatioDim>("ratio", "pu", "that current over the three-phase one"),
        output::<dim::RatioDim>("by-rectifier", "%", "share that keeps the rectifier current"),
        output::<dim::RatioDim>("factor", "%", "share to use where the documents give none"),
    ],
    sources: &[&DEFINITION, &SINGLE_PHASE, &PRACTICE],
    run: |a: &Arguments, w: &mut Working| {
        let single = single_phase_derate(a.get("current"), w)?;
        Ok(vec![single.current.in_si(), single.ratio.in_si(), single.by_rectifier.in_si(), single.factor.in_si()])
    },
};

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::working::Silent;

    fn unbalance(a: f64, b: f64, c: f64) -> Unbalance {
        voltage_unbalance(Voltage::v(a), Voltage::v(b), Voltage::v(c), &mut Silent).unwrap()
    }

    #[test]
    fn balanced_lines_have_no_unbalance_at_all() {
        let u = unbalance(480.0, 480.0, 480.0);
        assert!(u.nema == Ratio::ZERO && u.sequence == Ratio::ZERO);
    }

    #[test]
    fn readings_that_cannot_be_are_refused() {
        for (a, b, c) in [(480.0, 480.0, 0.0), (480.0, 200.0, 200.0), (f64::NAN, 480.0, 480.0), (-480.0, 480.0, 480.0)] {
            assert!(voltage_unbalance(Voltage::v(a), Voltage::v(b), Voltage::v(c), &mut Silent).is_err(), "{a} {b} {c}");
        }
        for u in [-1.0, 5.001, f64::NAN] {
            assert!(unbalance_derating(Ratio::percent(u), &mut Silent).is_err(), "{u}");
        }
    }

    proptest! {
        #[test]
        fn unbalance_does_not_depend_on_order_or_scale(a in 440.0f64..500.0, b in 440.0f64..500.0, c in 440.0f64..500.0, scale in 0.1f64..30.0) {
            let u = unbalance(a, b, c);
            for other in [unbalance(b, c, a), unbalance(c, a, b), unbalance(b, a, c), unbalance(a * scale, b * scale, c * scale)] {
                prop_assert!((other.nema - u.nema).abs().in_of_one() < 1e-12);
                prop_assert!((other.sequence - u.sequence).abs().in_of_one() < 1e-12);
            }
        }

        #[test]
        fn sequence_ratio_is_that_of_the_phasors(v2 in 0.0f64..0.3, angle in 0.0f64..std::f64::consts::TAU) {
            // Lines built from a positive sequence of 1 and a negative one of v2: an independent way to the same figure.
            let line = |k: f64| {
                let shift = k * 2.0 * std::f64::consts::FRAC_PI_3;
                let (re, im) = ((-shift).cos() + v2 * (angle + shift).cos(), (-shift).sin() + v2 * (angle + shift).sin());
                480.0 * re.hypot(im)
            };
            let u = unbalance(line(0.0), line(1.0), line(2.0));
            prop_assert!((u.sequence.in_of_one() - v2).abs() < 1e-9, "{} for {v2}", u.sequence.in_of_one());
            // The largest deviation never exceeds the sequence ratio by more than the curvature of the mean.
            prop_assert!(u.nema.in_of_one() <= v2 + v2 * v2);
        }

        #[test]
        fn more_unbalance_never_leaves_more(a in 0.0f64..0.05, b in 0.0f64..0.05) {
            let factor = |u| unbalance_derating(Ratio::of_one(u), &mut Silent).unwrap().in_of_one();
            prop_assert!(factor(a.max(b)) <= factor(a.min(b)));
            prop_assert!((0.0..=1.0).contains(&factor(a)) && factor(a) > 0.0);
        }
    }
}
