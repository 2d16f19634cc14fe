//! Life of an electrolytic capacitor by its temperature.

use plant::quantity::{Temperature, Time};

use super::circuit::above_zero;
use crate::registry::Refusal;
use crate::sources::{Knowledge, Source};
use crate::working::{Recorder, Step};

/// The rule of ten kelvin.
pub const TEN_KELVIN: Source =
    Source::new("10 K rule of electrolytic capacitors: half the life for every 10 K, as capacitor handbooks state it", Knowledge::LookedUp);
/// Shares of life used up add to one.
pub const MINER: Source = Source::new("linear damage sum (Miner)", Knowledge::LookedUp);

/// A stretch of service at one temperature of the capacitor's core.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Service {
    /// Core temperature, self-heating by ripple included.
    pub temperature: Temperature,
    /// How long, or any share of it: only the proportions count.
    pub time: Time,
}

/// Life at a mix of temperatures: L_i = L_0·2^((T_0 − T_i)/10 K), L = Σt_i / Σ(t_i/L_i).
///
/// `rated` life at `rated_at`. The rule knows no drying-out by age: on paper 300 000 h, in service about 15 years (common practice, no
/// source); so a large result says only that heat is not what ends this capacitor. Ripple current enters by the core's
/// temperature alone; its weights by frequency are the capacitor's own data.
///
/// ```
/// use calc::harmonics::{Service, capacitor_life};
/// use calc::working::Silent;
/// use plant::quantity::{Temperature, Time};
/// let service = [45.0, 55.0, 65.0].map(|t| Service { temperature: Temperature::c(t), time: Time::hours(8.0) });
/// let life = capacitor_life(Time::hours(1000.0), Temperature::c(105.0), &service, &mut Silent)?;
/// assert!((life.in_hours() - 27_428.57).abs() < 0.01);
/// # Ok::<(), calc::Refusal>(())
/// ```
///
/// # Errors
/// No service, times that are not above zero, core temperatures outside −40 °C to 125 °C.
///
/// Source: [`TEN_KELVIN`], [`MINER`].
pub fn capacitor_life(rated: Time, rated_at: Temperature, service: &[Service], rec: &mut impl Recorder) -> Result<Time, Refusal> {
    above_zero("the rated life", rated)?;
    if service.is_empty() {
        return Err(Refusal::new("no service: give at least one temperature with its time"));
    }
    let sensible = -40.0..=125.0;
    for t in service.iter().map(|s| s.temperature).chain([rated_at]) {
        if !sensible.contains(&t.in_c()) {
            return Err(Refusal::new(format!("a capacitor's core lies between −40 °C and 125 °C, not at {t}")));
        }
    }
    let (mut time, mut used) = (0.0, 0.0);
    for s in service {
        above_zero("the time at a temperature", s.time)?;
        let life = rated * 2f64.powf((rated_at.in_c() - s.temperature.in_c()) / 10.0);
        time += s.time.in_s();
        used += s.time / life;
        rec.step(|| {
            Step::new("L_i", "life at one temperature", "L_0·2^((T_0 − T)/10 K)", &TEN_KELVIN)
                .with("L_0", rated)
                .with("T_0", rated_at)
                .with("T", s.temperature)
                .gives(life)
        });
    }
    let life = Time::s(time / used);
    rec.step(|| {
        Step::new("L", "life at the mix", "Σt / Σ(t/L_i)", &MINER)
            .gives(life)
            .note("above about 15 years something else ends it (common practice, no source)")
    });
    Ok(life)
}
