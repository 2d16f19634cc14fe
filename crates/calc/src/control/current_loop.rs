//! A current loop: whether its supply has volts enough for the transmitter and everything in series, and where it sticks when not.

use plant::quantity::{Current, Resistance, Voltage, dim};

use crate::load::{above_zero, not_below_zero};
use crate::registry::{Arguments, Calculation, Refusal, output, quantity, quantity_or};
use crate::sources::{Knowledge, Source};
use crate::working::{Recorder, Step, Working};

/// Kirchhoff's voltage law round the loop.
pub const ROUND_THE_LOOP: Source = Source::new("Kirchhoff's voltage law and Ohm's law", Knowledge::Derived);

/// Full scale of a 4 to 20 mA loop (IEC 60381-1).
pub const FULL_SCALE: Current = Current::ma(20.0);
/// Its live zero.
pub const LIVE_ZERO: Current = Current::ma(4.0);

/// What a loop needs and where it ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Loop {
    /// Voltage that the supply must have at full scale.
    pub needs: Voltage,
    /// Highest current that it reaches, full scale at most.
    pub reaches: Current,
}

/// Voltage that a loop needs at full scale, and the current that its supply reaches.
///
/// U = U_t + I·ΣR; I_max = (U_s − U_t)/ΣR, no more than full scale and not below zero.
///
/// # Errors
/// When a voltage or resistance is below zero, or the full scale not above it.
///
/// Source: Kirchhoff. Worked example: 24 V, transmitter 12 V, 250 + 40 + 500 Ω: 27.8 V are needed, the loop sticks at 15.2 mA.
/// ```
/// use calc::{control::current_loop::current_loop, working::Silent};
/// use plant::quantity::{Current, Resistance, Voltage};
/// let l = current_loop(Voltage::v(24.0), Voltage::v(12.0), Resistance::ohm(790.0), Current::ma(20.0), &mut Silent).unwrap();
/// assert!((l.needs.in_v() - 27.8).abs() < 1e-9 && (l.reaches.in_a() - 0.0151899).abs() < 1e-7);
/// ```
pub fn current_loop<R: Recorder>(
    supply: Voltage,
    transmitter: Voltage,
    burden: Resistance,
    full: Current,
    rec: &mut R,
) -> Result<Loop, Refusal> {
    not_below_zero(supply, "supply of the loop")?;
    not_below_zero(transmitter, "least voltage of the transmitter")?;
    not_below_zero(burden, "resistance in the loop")?;
    above_zero(full, "full scale")?;
    let needs = transmitter + Voltage::v(full.in_a() * burden.in_ohm());
    let left = (supply.in_v() - transmitter.in_v()).max(0.0);
    let reaches = if burden.in_ohm() > 0.0 { Current::a(left / burden.in_ohm()).min(full) } else { full };
    rec.step(|| {
        Step::new("U", "voltage that the loop needs", "U_t + I·ΣR", &ROUND_THE_LOOP)
            .with("U_t", transmitter)
            .with("I", full)
            .with("ΣR", burden)
            .gives(needs)
    });
    rec.step(|| {
        Step::new("I_max", "current that it reaches", "min(I, (U_s − U_t)/ΣR)", &ROUND_THE_LOOP)
            .with("U_s", supply)
            .with("U_t", transmitter)
            .with("ΣR", burden)
            .gives(reaches)
    });
    Ok(Loop { needs, reaches })
}

/// `calc loop-voltage`.
pub const LOOP_VOLTAGE: Calculation = Calculation {
    name: "loop-voltage",
    summary: "Voltage that a current loop needs at full scale, and where it sticks when its supply has less.",
    inputs: &[
        quantity::<dim::VoltageDim>("supply", "supply of the loop"),
        quantity::<dim::VoltageDim>("transmitter", "least voltage that the transmitter needs"),
        quantity::<dim::ResistanceDim>("burden", "all resistance in the loop: inputs, meters, wire"),
        quantity_or::<dim::CurrentDim>("full", "20 mA", "current at full scale"),
    ],
    results: &[
        output::<dim::VoltageDim>("needs", "V", "voltage that the supply must have"),
        output::<dim::CurrentDim>("reaches", "mA", "highest current that the loop reaches"),
        output::<dim::RatioDim>("span", "%", "the same as share of the span from 4 mA"),
    ],
    sources: &[&ROUND_THE_LOOP],
    run: |a: &Arguments, w: &mut Working| {
        let full: Current = a.get("full");
        let found = current_loop(a.get("supply"), a.get("transmitter"), a.get("burden"), full, w)?;
        above_zero(full - LIVE_ZERO, "span above 4 mA")?;
        Ok(vec![found.needs.in_si(), found.reaches.in_si(), (found.reaches - LIVE_ZERO) / (full - LIVE_ZERO)])
    },
};
