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
            // One figure for the whole series speaks of the classes that it lies in.
            (Some(voltage), Some(frequency)) if (unit.class.lowest..=unit.class.highest).contains(&voltage) => {
                VoltsPerHertz { voltage, frequency }
            }
            _ => return Err(Stop::PackSilent("base voltage and frequency that this voltage class comes set to")),
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

#[cfg(test)]
mod tests {
    use plant::choice::Duty;
    use plant::quantity::{Frequency, Voltage};

    use super::*;
    use crate::candidate::Candidate;
    use crate::fixture::{by_hand, changed, is_open, is_silent, just_covered, remedied, unit};

    /// A unit that comes set to this.
    fn set_to(volts: f64, hertz: f64) -> Candidate<'static> {
        changed("R1", Duty::Heavy, |s| {
            s.control.default_voltage = Some(Voltage::v(volts));
            s.control.default_frequency = Some(Frequency::hz(hertz));
        })
    }

    const GRID_50: &[(&str, &str)] = &[("motor.voltage", "400 V"), ("motor.frequency", "50 Hz")];
    const GRID_60: &[(&str, &str)] = &[("motor.voltage", "460 V"), ("motor.frequency", "60 Hz")];

    #[test]
    fn the_plate_as_delivered_leaves_the_whole_tolerance() {
        by_hand(&CHECK, GRID_60, &unit("R1", Duty::Heavy), 5.0);
    }

    #[test]
    fn a_50_hz_motor_on_60_hz_gets_83_percent_flux() {
        // (400/60)/(400/50) = 5/6 at half frequency and at 50 Hz alike: 5 % − 16.667 %. With the plate set, 5 %.
        let unit = set_to(400.0, 60.0);
        by_hand(&CHECK, GRID_50, &unit, -11.67);
        by_hand(&CHECK, GRID_50, &remedied(&CHECK, &unit), 5.0);
    }

    #[test]
    fn flux_counts_also_where_the_line_ends() {
        // 460 V, 60 Hz on 400 V, 50 Hz. At 30 Hz 240 V: 8/7.6667 = 1.04348, inside. At 60 Hz 400 V: 400/460 = 0.86957; 5 % − 13.043 %.
        by_hand(&CHECK, GRID_60, &set_to(400.0, 50.0), -8.04);
        // On 440 V, 50 Hz it is the other way round: 440/460 = 0.95652 at 60 Hz; 8.8/7.6667 = 1.14783 below 50 Hz; 5 % − 14.783 %.
        by_hand(&CHECK, GRID_60, &set_to(440.0, 50.0), -9.78);
        // 400 V, 50 Hz on 480 V, 60 Hz: both lines have 8 V/Hz.
        by_hand(&CHECK, GRID_50, &set_to(480.0, 60.0), 5.0);
    }

    #[test]
    fn five_percent_either_way_is_just_borne() {
        just_covered(&CHECK, GRID_60, &set_to(483.0, 60.0));
        just_covered(&CHECK, GRID_60, &set_to(437.0, 60.0));
    }

    #[test]
    fn it_is_open_without_a_plate_and_a_pack_may_be_silent() {
        is_open(&CHECK, &[("motor.frequency", "50 Hz")], &unit("R1", Duty::Heavy), "motor.voltage");
        let silent = changed("R1", Duty::Heavy, |s| s.control.default_frequency = None);
        is_silent(&CHECK, GRID_50, &silent, "base voltage");
        by_hand(&CHECK, GRID_50, &remedied(&CHECK, &silent), 5.0);
    }
}
