//! What torque a motor carries continuously as its own fan slows down.

use plant::choice::{Choice, Cooling};
use plant::quantity::{Ratio, dim};

use super::current::flux;
use super::{not_negative, required_word};
use crate::drive::derate::words;
use crate::registry::{Calculation, Refusal, output, quantity};
use crate::sources::{Knowledge, PRACTICE, Source};
use crate::working::{Recorder, Step};

/// The curve of a way of cooling: (frequency ratio, share of rated torque), straight between its points, constant outside them.
#[must_use]
pub const fn cooling_curve(cooling: Cooling) -> &'static [(f64, f64)] {
    match cooling {
        Cooling::SelfVentilated => &[(0.0, 0.40), (0.1, 0.50), (0.2, 0.60), (0.5, 0.80), (0.8, 0.95), (1.0, 1.0)],
        // Near standstill one phase carries a standing peak, so even moving air does not help fully.
        Cooling::Forced => &[(0.0, 0.90), (0.1, 1.0)],
        // Rated without moving air, so speed changes nothing; less iron loss at low frequency is left as margin.
        Cooling::NonVentilated => &[(0.0, 1.0)],
    }
}

const fn source(cooling: Cooling) -> &'static Source {
    match cooling {
        Cooling::SelfVentilated | Cooling::Forced => &PRACTICE,
        Cooling::NonVentilated => &RATED_WITHOUT_FAN,
    }
}

const WORDS: [&str; 3] = words(Cooling::INFO);

/// A motor without fan is rated without one.
const RATED_WITHOUT_FAN: Source = Source::new("rated for natural cooling, which speed does not change", Knowledge::Derived);
/// Above base frequency the current stays and the flux falls.
const CONSTANT_POWER: Source = Source::new("rated current with flux ∝ 1/f", Knowledge::Derived);

/// The share of its rated loss current that cooling allows at a frequency ratio `x` (sign of no effect): never falls as `x`
/// rises, 1 from base frequency up. Not a number only for what is not a number.
#[must_use]
pub fn cooling_factor(cooling: Cooling, x: f64) -> f64 {
    let x = x.abs();
    let curve = cooling_curve(cooling);
    let Some(after) = curve.iter().position(|(at, _)| x < *at) else {
        return if x.is_nan() { x } else { curve[curve.len() - 1].1 };
    };
    if after == 0 {
        return curve[0].1;
    }
    let ((x0, m0), (x1, m1)) = (curve[after - 1], curve[after]);
    m0 + (m1 - m0) * (x - x0) / (x1 - x0)
}

/// The torque that a motor carries continuously on a drive, in multiples of its rated torque.
///
/// m = c(x)·φ, with c the cooling curve, φ = min(1, 1/x) the flux and x the frequency in multiples of base frequency. Rises
/// with x up to base frequency and falls as 1/x above it. For the rated ambient (40 °C) and altitude (1000 m), no service
/// factor. The curves are typical ones: a motor's own data sheet overrules them, and an explosion-protected motor has only its
/// certificate.
///
/// # Errors
/// When the frequency is no number.
///
/// Source: IC 411 and IC 416: common practice, no source; the curve for IC 411 has the shape of NEMA MG 1 Part 30 and
/// IEC/TS 60034-25 (from memory, figures to be read there). IC 410 and above base frequency: derived. Worked example: a
/// self-ventilated 60 Hz motor at 12 Hz carries 60 % of its rated torque.
/// ```
/// use calc::{motor::cooling::continuous_torque, working::Silent};
/// use plant::{choice::Cooling, quantity::Ratio};
/// let m = continuous_torque(Cooling::SelfVentilated, Ratio::of_one(12.0 / 60.0), &mut Silent).unwrap();
/// assert!((m.in_percent() - 60.0).abs() < 1e-9);
/// ```
pub fn continuous_torque<R: Recorder>(cooling: Cooling, frequency: Ratio, rec: &mut R) -> Result<Ratio, Refusal> {
    let x = not_negative("the frequency", frequency.abs())?;
    let (factor, phi) = (cooling_factor(cooling, x), flux(x));
    let torque = Ratio::of_one(factor * phi);
    rec.step(|| {
        Step::new("c", "share of rated torque that cooling allows", "", source(cooling))
            .gives(Ratio::of_one(factor))
            .note(format!("read from the curve at x = {}", plant::quantity::digits(x, 3)))
    });
    rec.step(|| Step::new("φ", "flux", "min(1, 1/x)", &CONSTANT_POWER).with("x", x).gives(Ratio::of_one(phi)));
    rec.step(|| Step::new("m", "continuous torque", "c·φ", &CONSTANT_POWER).with("c", factor).with("φ", phi).gives(torque));
    Ok(torque)
}

/// `calc cooling-torque`.
pub const COOLING_TORQUE: Calculation = Calculation {
    name: "cooling-torque",
    summary: "Torque that a motor carries continuously at a frequency, by how it is cooled.",
    inputs: &[
        required_word("cooling", &WORDS, "IC 411, IC 416 or IC 410 (IEC 60034-6)"),
        quantity::<dim::RatioDim>("frequency", "in multiples of base frequency"),
    ],
    results: &[output::<dim::RatioDim>("torque", "%", "in multiples of rated torque")],
    sources: &[&PRACTICE, &RATED_WITHOUT_FAN, &CONSTANT_POWER],
    run: |a, w| {
        let cooling = Cooling::from_word(a.word("cooling")).ok_or_else(|| Refusal::new("no such way of cooling"))?;
        Ok(vec![continuous_torque(cooling, a.get("frequency"), w)?.in_si()])
    },
};

#[cfg(test)]
mod tests {
    use super::*;
    use crate::working::Silent;

    const WAYS: [Cooling; 3] = [Cooling::SelfVentilated, Cooling::Forced, Cooling::NonVentilated];

    #[test]
    fn more_air_never_carries_less() {
        for i in 0..300 {
            let x = f64::from(i) / 200.0;
            let at = |way| continuous_torque(way, Ratio::of_one(x), &mut Silent).expect("a number").in_of_one();
            assert!(at(Cooling::SelfVentilated) <= at(Cooling::Forced));
            for way in WAYS {
                assert!(cooling_factor(way, x) <= cooling_factor(way, x + 0.005), "{way:?} {x}");
                if x < 0.995 {
                    assert!(at(way) <= continuous_torque(way, Ratio::of_one(x + 0.005), &mut Silent).expect("a number").in_of_one());
                }
            }
        }
    }

    #[test]
    fn rated_torque_at_base_frequency_and_rated_power_above() {
        for way in WAYS {
            for (x, m) in [(1.0, 1.0), (-1.0, 1.0), (2.0, 0.5)] {
                let got = continuous_torque(way, Ratio::of_one(x), &mut Silent).expect("a number").in_of_one();
                assert!((got - m).abs() < 1e-12, "{way:?} {x}: {got}");
            }
            assert!(continuous_torque(way, Ratio::of_one(f64::NAN), &mut Silent).is_err());
        }
    }
}
