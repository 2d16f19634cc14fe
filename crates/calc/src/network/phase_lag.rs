//! What a delay inside a control loop costs in phase.

use plant::quantity::{Angle, Frequency, Time, dim};

use crate::registry::{Arguments, Calculation, Refusal, output, quantity};
use crate::sources::DEFINITION;
use crate::working::{Recorder, Step, Working};

/// Phase that a dead time costs at a frequency.
///
/// φ = 360°·f·τ (f in Hz, τ in s, both zero or more): a wave of frequency f is late by the share f·τ of its period. At the crossover of a
/// control loop it is taken from the phase margin.
///
/// # Errors
/// When the frequency or the delay is below zero or no number.
///
/// Source: definition. Worked example: 25 ms at 1 Hz are 9°.
/// ```
/// use calc::{network::phase_lag::phase_lag, working::Silent};
/// use plant::quantity::{Frequency, Time};
/// let lag = phase_lag(Frequency::hz(1.0), Time::ms(25.0), &mut Silent).unwrap();
/// assert!((lag.in_deg() - 9.0).abs() < 1e-9);
/// ```
pub fn phase_lag<R: Recorder>(frequency: Frequency, delay: Time, rec: &mut R) -> Result<Angle, Refusal> {
    let sound = frequency >= Frequency::ZERO && frequency.is_finite() && delay >= Time::ZERO && delay.is_finite();
    if !sound {
        return Err(Refusal::new(format!("frequency and delay must be zero or more, not {frequency} and {delay}")));
    }
    let lag = Angle::deg(360.0 * frequency.in_hz() * delay.in_s());
    rec.step(|| Step::new("φ", "phase that the delay costs", "360°·f·τ", &DEFINITION).with("f", frequency).with("τ", delay).gives(lag));
    Ok(lag)
}

/// `calc phase-lag`.
pub const PHASE_LAG: Calculation = Calculation {
    name: "phase-lag",
    summary: "Phase that a delay costs a control loop at its crossover frequency.",
    inputs: &[
        quantity::<dim::FrequencyDim>("frequency", "crossover frequency of the loop"),
        quantity::<dim::TimeDim>("delay", "delay, or by how much it has grown"),
    ],
    results: &[output::<dim::AngleDim>("lag", "°", "phase that is lost")],
    sources: &[&DEFINITION],
    run: |a: &Arguments, w: &mut Working| Ok(vec![phase_lag(a.get("frequency"), a.get("delay"), w)?.in_si()]),
};

#[cfg(test)]
mod tests {
    use super::*;
    use crate::working::Silent;

    #[test]
    fn outside_its_limits_it_is_refused() {
        assert!(phase_lag(Frequency::hz(-1.0), Time::ms(1.0), &mut Silent).is_err());
        assert!(phase_lag(Frequency::hz(1.0), Time::s(f64::NAN), &mut Silent).is_err());
    }
}
