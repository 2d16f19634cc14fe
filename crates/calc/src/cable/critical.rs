//! The reflection at the end of a cable, the length from which it is felt in full, and the bound that follows.

use plant::quantity::{Length, Ratio, Resistance, Time, Velocity, Voltage, dim};

use super::micros;
use crate::load::{above_zero, not_below_zero};
use crate::registry::{Arguments, Calculation, Input, Refusal, output, quantity, quantity_or};
use crate::sources::{Knowledge, Source};
use crate::working::{Recorder, Step, Working};

/// Reflection at the end of a line.
pub const LINE_THEORY: Source = Source::new("transmission-line theory, lossless line", Knowledge::Derived);
/// The length of full reflection.
pub const FULL_REFLECTION: Source =
    Source::new("an edge is over when its echo is back: l_c = v·t_r/2; some papers count v·t_r/3", Knowledge::Derived);
/// The bound on the peak.
pub const ENVELOPE: Source = Source::new("bound U·(1 + Γ·min(1, l/l_c)) on the first peak", Knowledge::CommonPractice);

/// Share of a wave that the end of a line sends back.
///
/// Γ = (Z_e − Z_0)/(Z_e + Z_0), from −1 (short) to 1 (open end). Ω; real impedances.
///
/// # Errors
/// When the line's impedance is not above zero or the end's is below it.
///
/// Source: transmission-line theory. Worked example: 800 Ω behind 80 Ω send 81.8 % back.
/// ```
/// use calc::{cable::critical::reflection, working::Silent};
/// use plant::quantity::Resistance;
/// let share = reflection(Resistance::ohm(800.0), Resistance::ohm(80.0), &mut Silent).unwrap();
/// assert!((share.in_of_one() - 0.818_182).abs() < 1e-6);
/// ```
pub fn reflection<R: Recorder>(end: Resistance, line: Resistance, rec: &mut R) -> Result<Ratio, Refusal> {
    not_below_zero(end, "impedance at the end")?;
    above_zero(line, "surge impedance of the cable")?;
    let share = Ratio::of_one((end - line) / (end + line));
    rec.step(|| {
        Step::new("Γ", "share of a wave sent back", "(Z_e − Z_0)/(Z_e + Z_0)", &LINE_THEORY).with("Z_e", end).with("Z_0", line).gives(share)
    });
    Ok(share)
}

/// Length from which on an edge is over before its echo from the drive is back at the motor: the reflection is felt in full.
///
/// l_c = v·t_r/2, with t_r the whole rise of a straight edge.
///
/// # Errors
/// When the rise time or the velocity is not above zero.
///
/// Source: derived. Worked example: 0.1 µs at 150 m/µs give 7.5 m.
/// ```
/// use calc::{cable::critical::critical_length, working::Silent};
/// use plant::quantity::{Time, Velocity};
/// let l = critical_length(Time::us(0.1), Velocity::m_s(150e6), &mut Silent).unwrap();
/// assert!((l.in_m() - 7.5).abs() < 1e-9);
/// ```
pub fn critical_length<R: Recorder>(rise: Time, velocity: Velocity, rec: &mut R) -> Result<Length, Refusal> {
    above_zero(rise, "rise time")?;
    above_zero(velocity, "velocity on the cable")?;
    let length = velocity * rise / 2.0;
    rec.step(|| {
        Step::new("l_c", "length of full reflection", "v·t_r/2", &FULL_REFLECTION)
            .with("v", velocity)
            .with("t_r", micros(rise))
            .gives(length)
    });
    Ok(length)
}

/// Bound on the first peak at the motor, whatever the shape of the edge: never falls with the length.
///
/// U·(1 + Γ·min(1, l/l_c)); for Γ below zero U itself. A straight edge stays at or below it, real edges are not straight:
/// judge by this bound.
///
/// # Errors
/// When an input is out of its range.
///
/// Source: common practice. Worked example: 650 V, 15 m, 0.4 µs, 800 Ω behind 80 Ω: 916 V.
/// ```
/// use calc::{cable::critical::envelope, working::Silent};
/// use plant::quantity::{Length, Ratio, Voltage};
/// let u = envelope(Voltage::v(650.0), Ratio::of_one(0.818_182), Length::m(15.0), Length::m(30.0), &mut Silent).unwrap();
/// assert!((u.in_v() - 915.9).abs() < 0.05);
/// ```
pub fn envelope<R: Recorder>(step: Voltage, reflected: Ratio, length: Length, critical: Length, rec: &mut R) -> Result<Voltage, Refusal> {
    above_zero(critical, "length of full reflection")?;
    not_below_zero(length, "length of the cable")?;
    let felt = (length / critical).min(1.0);
    let bound = step * (1.0 + reflected.in_of_one().max(0.0) * felt);
    rec.step(|| {
        Step::new("U_b", "bound on the first peak", "U·(1 + Γ·min(1, l/l_c))", &ENVELOPE)
            .with("U", step)
            .with("Γ", reflected)
            .with("l", length)
            .with("l_c", critical)
            .gives(bound)
            .note(if reflected < Ratio::ZERO { "Γ below zero counts as zero" } else { "" })
    });
    Ok(bound)
}

/// Rise time of the drive's edges.
pub(super) const RISE: Input = quantity::<dim::TimeDim>("rise", "whole rise time of a straight edge at the unit; 10 to 90 % over 0.8");
/// Velocity on the cable.
pub(super) const VELOCITY: Input =
    quantity_or::<dim::VelocityDim>("velocity", "150000000 m/s", "velocity on the cable: half the speed of light is usual");

/// `calc critical-length`.
pub const CRITICAL_LENGTH: Calculation = Calculation {
    name: "critical-length",
    summary: "Cable length from which on the reflection at the motor is felt in full.",
    inputs: &[RISE, VELOCITY],
    results: &[output::<dim::LengthDim>("length", "m", "length of full reflection")],
    sources: &[&FULL_REFLECTION],
    run: |a: &Arguments, w: &mut Working| Ok(vec![critical_length(a.get("rise"), a.get("velocity"), w)?.in_si()]),
};

/// `calc reflection`.
pub const REFLECTION: Calculation = Calculation {
    name: "reflection",
    summary: "Share of a wave that the motor sends back, and what it passes on.",
    inputs: &[
        quantity::<dim::ResistanceDim>("motor", "surge impedance of the motor"),
        quantity::<dim::ResistanceDim>("cable", "surge impedance of the cable"),
    ],
    results: &[
        output::<dim::RatioDim>("reflected", "pu", "share sent back, negative with the sign turned"),
        output::<dim::RatioDim>("passed", "pu", "voltage at the motor over that of the arriving wave"),
    ],
    sources: &[&LINE_THEORY],
    run: |a: &Arguments, w: &mut Working| {
        let share = reflection(a.get("motor"), a.get("cable"), w)?;
        Ok(vec![share.in_si(), 1.0 + share.in_si()])
    },
};
