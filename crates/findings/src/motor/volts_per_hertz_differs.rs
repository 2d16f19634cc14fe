//! The unit comes set to another voltage per hertz than the motor's plate asks for.

use calc::sources::{PACK, PRACTICE};
use calc::supply::window::{VoltsPerHertz, flux};
use calc::working::{Recorder, Step};
use plant::quantity::Ratio;
use plant::survey::{MOTOR_FREQUENCY, MOTOR_VOLTAGE};

use crate::candidate::{Candidate, Measure, Remedy};
use crate::check::{Outcome, check};
use crate::facts::{Reader, Stop};

check! {
    name: "motor/volts-per-hertz-differs",
    severity: Equipment,
    rows: &[9],
    unit: "%",
    ways: &[],
    measures: &[Measure::PlateVoltsAndHertz],
    page: "volts_per_hertz_differs.md",
    run: run,
    remedies: remedies,
}

/// Flux may differ by this much before the motor saturates or weakens noticeably.
const TOLERANCE: f64 = 0.05;

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let plate = VoltsPerHertz { voltage: facts.get(MOTOR_VOLTAGE)?, frequency: facts.get(MOTOR_FREQUENCY)? };
    let set = if unit.measures.has(Measure::PlateVoltsAndHertz) {
        plate
    } else {
        match (unit.series.control.default_voltage, unit.series.control.default_frequency) {
            (Some(voltage), Some(frequency)) => VoltsPerHertz { voltage, frequency },
            _ => return Err(Stop::PackSilent("base voltage and frequency that the unit comes set to")),
        }
    };
    rec.step(|| Step::new("U_set", "base voltage that the unit is set to", "", &PACK).gives(set.voltage));
    rec.step(|| Step::new("f_set", "base frequency that the unit is set to", "", &PACK).gives(set.frequency));
    // At half speed the slope of the line counts, at rated frequency also where the line ends.
    let half = flux(plate, set, plate.frequency * 0.5, rec)?.flux;
    let full = flux(plate, set, plate.frequency, rec)?.flux;
    let deviation = (half.in_of_one() - 1.0).abs().max((full.in_of_one() - 1.0).abs());
    let margin = Ratio::of_one(TOLERANCE - deviation);
    rec.step(|| {
        Step::new("margin", "what is left of the tolerance", "5 % − max(|φ_half − 1|, |φ_full − 1|)", &PRACTICE)
            .with("φ_half", half)
            .with("φ_full", full)
            .gives(margin)
    });
    Ok(Outcome::Margin(margin.in_percent()))
}

fn remedies(_: &Candidate<'_>) -> Vec<Remedy> {
    vec![Remedy {
        measure: Measure::PlateVoltsAndHertz,
        what: "set base voltage and base frequency to the motor's plate before the first run".into(),
        parts: Some(0.0),
        minutes: 5.0,
    }]
}
