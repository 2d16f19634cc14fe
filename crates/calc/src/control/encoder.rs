//! The frequency of an incremental encoder's tracks.

use plant::quantity::{Count, Frequency, Speed, dim};

use crate::load::not_below_zero;
use crate::registry::{Arguments, Calculation, Refusal, output, quantity};
use crate::sources::DEFINITION;
use crate::working::{Recorder, Step, Working};

/// Frequency of one track.
///
/// f = z·n/60 with pulses in a turn and turns in a minute; an input that counts edges sees four times as many events at this frequency.
///
/// # Errors
/// When pulses or speed are below zero.
///
/// Source: definition. Worked example: 2500 pulses at 3600 rpm are 150 kHz.
/// ```
/// use calc::{control::encoder::track_frequency, working::Silent};
/// use plant::quantity::{Count, Speed};
/// let f = track_frequency(Count::of(2500.0), Speed::rpm(3600.0), &mut Silent).unwrap();
/// assert!((f.in_hz() - 150e3).abs() < 1e-6);
/// ```
pub fn track_frequency<R: Recorder>(pulses: Count, speed: Speed, rec: &mut R) -> Result<Frequency, Refusal> {
    not_below_zero(pulses, "pulses in a turn")?;
    not_below_zero(speed, "speed")?;
    let frequency = Frequency::hz(pulses.in_count() * speed.in_rpm() / 60.0);
    rec.step(|| Step::new("f", "frequency of a track", "z·n", &DEFINITION).with("z", pulses).with("n", speed).gives(frequency));
    Ok(frequency)
}

/// `calc encoder-frequency`.
pub const ENCODER_FREQUENCY: Calculation = Calculation {
    name: "encoder-frequency",
    summary: "Frequency of an incremental encoder's tracks at a speed.",
    inputs: &[
        quantity::<dim::CountDim>("pulses", "pulses in a turn, of one track"),
        quantity::<dim::SpeedDim>("speed", "highest speed of its shaft"),
    ],
    results: &[output::<dim::FrequencyDim>("frequency", "kHz", "frequency of a track")],
    sources: &[&DEFINITION],
    run: |a: &Arguments, w: &mut Working| Ok(vec![track_frequency(a.get("pulses"), a.get("speed"), w)?.in_si()]),
};
