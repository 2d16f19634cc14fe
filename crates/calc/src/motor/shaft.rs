//! Speed, slip, torque and power at the shaft.

use plant::quantity::{Count, Frequency, Speed, dim};

use crate::registry::{Arguments, Calculation, Refusal, output, quantity};
use crate::sources::DEFINITION;
use crate::working::{Recorder, Step, Working};

/// The speed of the rotating field.
///
/// n_s = 120·f/p (rpm), with f the supply frequency (Hz) and p the number of poles (not pole pairs).
/// Valid for any even number of poles; an odd number is refused.
///
/// # Errors
/// When the poles are no positive even number.
///
/// Source: definition. Worked example: 60 Hz, 4 poles give 1800 rpm.
/// ```
/// use calc::{motor::shaft::synchronous_speed, working::Silent};
/// use plant::quantity::{Count, Frequency};
/// let n = synchronous_speed(Frequency::hz(60.0), Count::of(4.0), &mut Silent).unwrap();
/// assert!((n.in_rpm() - 1800.0).abs() < 1e-9);
/// ```
pub fn synchronous_speed<R: Recorder>(frequency: Frequency, poles: Count, rec: &mut R) -> Result<Speed, Refusal> {
    let p = poles.in_count();
    if !(p >= 2.0 && p % 2.0 == 0.0) {
        return Err(Refusal::new(format!("a motor has 2, 4, 6 … poles, not {p} (poles, not pole pairs)")));
    }
    let speed = Speed::rpm(120.0 * frequency.in_hz() / p);
    rec.step(|| Step::new("n_s", "synchronous speed", "120·f/p", &DEFINITION).with("f", frequency).with("p", poles).gives(speed));
    Ok(speed)
}

/// `calc synchronous-speed`.
pub const SYNCHRONOUS_SPEED: Calculation = Calculation {
    name: "synchronous-speed",
    summary: "Speed of the rotating field from frequency and poles.",
    inputs: &[
        quantity::<dim::FrequencyDim>("frequency", "supply frequency"),
        quantity::<dim::CountDim>("poles", "number of poles, not pole pairs"),
    ],
    results: &[output::<dim::SpeedDim>("speed", "rpm", "synchronous speed")],
    sources: &[&DEFINITION],
    run: |a: &Arguments, w: &mut Working| Ok(vec![synchronous_speed(a.get("frequency"), a.get("poles"), w)?.in_si()]),
};
