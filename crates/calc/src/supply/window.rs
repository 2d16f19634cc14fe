//! The supply voltage and what can be made of it: the window of a unit, the DC link, the highest output voltage,
//! and the flux that a V/Hz setting leaves in the motor.

use std::f64::consts::{PI, SQRT_2};

use plant::quantity::{Frequency, Ratio, Voltage, dim};

use crate::registry::{Arguments, Calculation, Refusal, output, quantity, quantity_or, word};
use crate::sources::{DEFINITION, Knowledge, PACK, SURVEY, Source};
use crate::working::{Recorder, Step, Working};

/// Rectifier and inverter waveforms.
pub const WAVEFORMS: Source = Source::new("waveforms of an ideal six-pulse rectifier and a two-level inverter", Knowledge::Derived);

fn positive(name: &str, voltage: Voltage) -> Result<(), Refusal> {
    if voltage.is_finite() && voltage > Voltage::ZERO {
        Ok(())
    } else {
        Err(Refusal::new(format!("{name} is a voltage above zero, not {voltage}")))
    }
}

/// A range of line voltage.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct VoltageRange {
    /// Lowest line-to-line voltage.
    pub lowest: Voltage,
    /// Highest line-to-line voltage.
    pub highest: Voltage,
}

/// How far the supply stays inside a unit's window; positive is inside.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SupplyWindow {
    /// (lowest measured − lowest allowed) over lowest allowed.
    pub low_margin: Ratio,
    /// (highest allowed − highest measured) over highest allowed.
    pub high_margin: Ratio,
}

impl SupplyWindow {
    /// The smaller of both margins.
    #[must_use]
    pub fn margin(self) -> Ratio {
        self.low_margin.min(self.high_margin)
    }
}

/// The margins of measured line voltages inside what a unit allows, tolerances included.
///
/// m_l = (U_min − U_l)/U_l and m_h = (U_h − U_max)/U_h. Units: V line to line, rms. Give the limits with their
/// tolerance worked in: 380 V − 15 % is 323 V. Short dips are another matter: this is the continuous window.
///
/// # Errors
/// When a voltage is not above zero or a range is upside down.
///
/// Source: definition; limits from the unit's documents. Worked example: 455 to 497 V in 323 to 528 V leave 5.9 % above.
/// ```
/// use calc::{supply::window::{VoltageRange, supply_window}, working::Silent};
/// use plant::quantity::Voltage;
/// let range = |low, high| VoltageRange { lowest: Voltage::v(low), highest: Voltage::v(high) };
/// let window = supply_window(range(455.0, 497.0), range(323.0, 528.0), &mut Silent).unwrap();
/// assert!((window.high_margin.in_percent() - 31.0 / 5.28).abs() < 1e-9);
/// assert!((window.low_margin.in_percent() - 132.0 / 3.23).abs() < 1e-9);
/// ```
pub fn supply_window<R: Recorder>(measured: VoltageRange, allowed: VoltageRange, rec: &mut R) -> Result<SupplyWindow, Refusal> {
    for (name, range) in [("the measured supply", measured), ("the unit's window", allowed)] {
        positive(name, range.lowest)?;
        positive(name, range.highest)?;
        if range.lowest > range.highest {
            return Err(Refusal::new(format!(
                "{name} runs from {} down to {}; the lower voltage comes first",
                range.lowest, range.highest
            )));
        }
    }
    let window = SupplyWindow {
        low_margin: Ratio::of_one((measured.lowest - allowed.lowest) / allowed.lowest),
        high_margin: Ratio::of_one((allowed.highest - measured.highest) / allowed.highest),
    };
    for (symbol, name, value, source) in [
        ("U_min", "lowest line voltage", measured.lowest, &SURVEY),
        ("U_max", "highest line voltage", measured.highest, &SURVEY),
        ("U_l", "lowest allowed", allowed.lowest, &PACK),
        ("U_h", "highest allowed", allowed.highest, &PACK),
    ] {
        rec.step(|| Step::new(symbol, name, "", source).gives(value));
    }
    rec.step(|| {
        Step::new("m_l", "margin below", "(U_min − U_l)/U_l", &DEFINITION)
            .with("U_min", measured.lowest)
            .with("U_l", allowed.lowest)
            .gives(window.low_margin)
    });
    rec.step(|| {
        Step::new("m_h", "margin above", "(U_h − U_max)/U_h", &DEFINITION)
            .with("U_h", allowed.highest)
            .with("U_max", measured.highest)
            .gives(window.high_margin)
    });
    Ok(window)
}

/// DC link voltages behind an uncontrolled rectifier.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DcLink {
    /// Unloaded, capacitors charged to the crest.
    pub peak: Voltage,
    /// Mean of the ideal six-pulse waveform: what a loaded link with a choke comes near to.
    pub mean: Voltage,
}

/// DC link voltage of a three-phase diode rectifier.
///
/// U_peak = √2·U and U_mean = 3·√2/π·U. Units: V. Ideal: no commutation or diode drop, no regeneration.
///
/// # Errors
/// When the line voltage is not above zero.
///
/// Source: derived from the waveform. Worked example: 480 V give 678.8 V and 648.2 V.
/// ```
/// use calc::{supply::window::dc_link, working::Silent};
/// use plant::quantity::Voltage;
/// let link = dc_link(Voltage::v(480.0), &mut Silent).unwrap();
/// assert!((link.peak.in_v() - 678.82).abs() < 0.01);
/// assert!((link.mean.in_v() - 648.23).abs() < 0.01);
/// ```
pub fn dc_link<R: Recorder>(line: Voltage, rec: &mut R) -> Result<DcLink, Refusal> {
    positive("the line voltage", line)?;
    let link = DcLink { peak: line * SQRT_2, mean: line * (3.0 * SQRT_2 / PI) };
    rec.step(|| Step::new("U_peak", "DC link, unloaded", "√2·U", &WAVEFORMS).with("U", line).gives(link.peak));
    rec.step(|| Step::new("U_mean", "DC link, ideal six-pulse mean", "3·√2/π·U", &WAVEFORMS).with("U", line).gives(link.mean));
    Ok(link)
}

/// How the inverter makes its output from the link.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Modulation {
    /// Sine-triangle without added third harmonic: √3/(2·√2) of the link.
    Sine,
    /// Space vector, or sine with added third harmonic, up to where its fundamental stays undistorted: 1/√2 of the link.
    SpaceVector,
    /// Full over-modulation, six blocks a turn: √6/π of the link, with low harmonics in current and torque.
    SixStep,
}

impl Modulation {
    /// The words of the command line; the first is what modern units do.
    pub const WORDS: &'static [&'static str] = &["space-vector", "sine", "six-step"];

    /// The variant that a word names.
    #[must_use]
    pub fn named(word: &str) -> Option<Self> {
        [Self::SpaceVector, Self::Sine, Self::SixStep].into_iter().zip(Self::WORDS).find(|(_, w)| **w == word).map(|(how, _)| how)
    }

    const fn formula(self) -> &'static str {
        match self {
            Self::Sine => "√3/(2·√2)·U_dc",
            Self::SpaceVector => "U_dc/√2",
            Self::SixStep => "√6/π·U_dc",
        }
    }

    fn of_link(self) -> f64 {
        match self {
            Self::Sine => 3f64.sqrt() / (2.0 * SQRT_2),
            Self::SpaceVector => 1.0 / SQRT_2,
            Self::SixStep => 6f64.sqrt() / PI,
        }
    }
}

/// The highest fundamental line-to-line output voltage from a DC link.
///
/// √3/(2·√2), 1/√2 or √6/π of the link voltage. Units: V rms. Ideal switches without dead time.
///
/// # Errors
/// When the link voltage is not above zero.
///
/// Source: derived from the waveforms. Worked example: a 480 V supply loaded to its ideal mean of 648.2 V leaves 458.4 V.
/// ```
/// use calc::{supply::window::{Modulation, available_output, dc_link}, working::Silent};
/// use plant::quantity::Voltage;
/// let link = dc_link(Voltage::v(480.0), &mut Silent).unwrap();
/// let loaded = available_output(link.mean, Modulation::SpaceVector, &mut Silent).unwrap();
/// assert!((loaded.in_v() - 480.0 * 3.0 / std::f64::consts::PI).abs() < 1e-9);
/// let unloaded = available_output(link.peak, Modulation::SpaceVector, &mut Silent).unwrap();
/// assert!((unloaded.in_v() - 480.0).abs() < 1e-9);
/// ```
pub fn available_output<R: Recorder>(link: Voltage, modulation: Modulation, rec: &mut R) -> Result<Voltage, Refusal> {
    positive("the DC link voltage", link)?;
    let highest = link * modulation.of_link();
    rec.step(|| Step::new("U_o", "highest output voltage", modulation.formula(), &WAVEFORMS).with("U_dc", link).gives(highest));
    Ok(highest)
}

/// Voltage and frequency that belong together: a motor's plate, or a drive's base setting.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct VoltsPerHertz {
    /// Line-to-line voltage.
    pub voltage: Voltage,
    /// Frequency at that voltage.
    pub frequency: Frequency,
}

/// What a V/Hz setting does at one frequency.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Flux {
    /// Output voltage.
    pub voltage: Voltage,
    /// Flux over rated flux.
    pub flux: Ratio,
    /// Pull-out torque over its rated value: the square of the flux.
    pub peak_torque: Ratio,
}

/// Flux and pull-out torque of an induction motor under a linear V/Hz setting.
///
/// U = U_s·min(f/f_s, 1); φ = (U/f)/(U_n/f_n); T_pk ∝ φ². Units: V, Hz. Stator resistance and boost neglected, so
/// not for the lowest frequencies; above about 110 % flux the motor saturates and the figure says only "too much".
///
/// # Errors
/// When a voltage or frequency is not above zero.
///
/// Source: definition. Worked example: a 400 V 50 Hz motor under a setting of 400 V at 60 Hz gets 333 V at 50 Hz,
/// 83 % flux, 69 % pull-out torque.
/// ```
/// use calc::{supply::window::{VoltsPerHertz, flux}, working::Silent};
/// use plant::quantity::{Frequency, Voltage};
/// let of = |v, f| VoltsPerHertz { voltage: Voltage::v(v), frequency: Frequency::hz(f) };
/// let flux = flux(of(400.0, 50.0), of(400.0, 60.0), Frequency::hz(50.0), &mut Silent).unwrap();
/// assert!((flux.voltage.in_v() - 1000.0 / 3.0).abs() < 1e-9);
/// assert!((flux.flux.in_of_one() - 5.0 / 6.0).abs() < 1e-12);
/// assert!((flux.peak_torque.in_of_one() - 25.0 / 36.0).abs() < 1e-12);
/// ```
pub fn flux<R: Recorder>(motor: VoltsPerHertz, setting: VoltsPerHertz, at: Frequency, rec: &mut R) -> Result<Flux, Refusal> {
    positive("the motor's voltage", motor.voltage)?;
    positive("the setting's voltage", setting.voltage)?;
    for (name, f) in
        [("the motor's frequency", motor.frequency), ("the setting's frequency", setting.frequency), ("the output frequency", at)]
    {
        if !(f.is_finite() && f > Frequency::ZERO) {
            return Err(Refusal::new(format!("{name} is above zero, not {f}")));
        }
    }
    let voltage = setting.voltage * (at / setting.frequency).min(1.0);
    let share = (voltage / motor.voltage) / (at / motor.frequency);
    let flux = Flux { voltage, flux: Ratio::of_one(share), peak_torque: Ratio::of_one(share * share) };
    rec.step(|| {
        Step::new("U", "output voltage", "U_s·min(f/f_s, 1)", &DEFINITION)
            .with("U_s", setting.voltage)
            .with("f", at)
            .with("f_s", setting.frequency)
            .gives(voltage)
    });
    rec.step(|| {
        Step::new("φ", "flux over rated flux", "(U/f)/(U_n/f_n)", &DEFINITION)
            .with("U", voltage)
            .with("f", at)
            .with("U_n", motor.voltage)
            .with("f_n", motor.frequency)
            .gives(flux.flux)
    });
    rec.step(|| {
        Step::new("T_pk", "pull-out torque over rated pull-out torque", "(φ)²", &DEFINITION).with("φ", flux.flux).gives(flux.peak_torque)
    });
    Ok(flux)
}

/// `calc supply-window`.
pub const SUPPLY_WINDOW: Calculation = Calculation {
    name: "supply-window",
    summary: "Margins of measured line voltages inside a unit's voltage window.",
    inputs: &[
        quantity::<dim::VoltageDim>("lowest", "lowest line voltage measured"),
        quantity::<dim::VoltageDim>("highest", "highest line voltage measured"),
        quantity::<dim::VoltageDim>("from", "lower rated voltage of the unit"),
        quantity::<dim::VoltageDim>("to", "upper rated voltage of the unit"),
        quantity_or::<dim::RatioDim>("below", "0 %", "tolerance below the lower rated voltage"),
        quantity_or::<dim::RatioDim>("above", "0 %", "tolerance above the upper rated voltage"),
    ],
    results: &[
        output::<dim::RatioDim>("low-margin", "%", "margin of the lowest voltage; negative is too low"),
        output::<dim::RatioDim>("high-margin", "%", "margin of the highest voltage; negative is too high"),
    ],
    sources: &[&DEFINITION, &PACK, &SURVEY],
    run: |a: &Arguments, w: &mut Working| {
        let measured = VoltageRange { lowest: a.get("lowest"), highest: a.get("highest") };
        let share = |name| a.get::<dim::RatioDim>(name).in_of_one();
        let allowed = VoltageRange {
            lowest: a.get::<dim::VoltageDim>("from") * (1.0 - share("below")),
            highest: a.get::<dim::VoltageDim>("to") * (1.0 + share("above")),
        };
        let window = supply_window(measured, allowed, w)?;
        Ok(vec![window.low_margin.in_si(), window.high_margin.in_si()])
    },
};

/// `calc dc-link`.
pub const DC_LINK: Calculation = Calculation {
    name: "dc-link",
    summary: "DC link voltage of a three-phase diode rectifier, unloaded and loaded, and the output voltage that leaves.",
    inputs: &[
        quantity::<dim::VoltageDim>("line", "line-to-line voltage"),
        word("modulation", Modulation::WORDS, "how the inverter makes its output"),
    ],
    results: &[
        output::<dim::VoltageDim>("peak", "V", "unloaded"),
        output::<dim::VoltageDim>("mean", "V", "ideal six-pulse mean"),
        output::<dim::VoltageDim>("output", "V", "highest output voltage from the mean"),
    ],
    sources: &[&WAVEFORMS],
    run: |a: &Arguments, w: &mut Working| {
        let link = dc_link(a.get("line"), w)?;
        let modulation = Modulation::named(a.word("modulation")).unwrap_or(Modulation::SpaceVector);
        let highest = available_output(link.mean, modulation, w)?;
        Ok(vec![link.peak.in_si(), link.mean.in_si(), highest.in_si()])
    },
};

/// `calc flux`.
pub const FLUX: Calculation = Calculation {
    name: "flux",
    summary: "Voltage, flux and pull-out torque of a motor under a V/Hz setting.",
    inputs: &[
        quantity::<dim::VoltageDim>("motor-voltage", "voltage on the motor's plate"),
        quantity::<dim::FrequencyDim>("motor-frequency", "frequency on the motor's plate"),
        quantity::<dim::VoltageDim>("set-voltage", "base voltage set in the drive"),
        quantity::<dim::FrequencyDim>("set-frequency", "base frequency set in the drive"),
        quantity::<dim::FrequencyDim>("frequency", "output frequency"),
    ],
    results: &[
        output::<dim::VoltageDim>("voltage", "V", "output voltage"),
        output::<dim::RatioDim>("flux", "%", "flux over rated flux"),
        output::<dim::RatioDim>("peak-torque", "%", "pull-out torque over its rated value"),
    ],
    sources: &[&DEFINITION],
    run: |a: &Arguments, w: &mut Working| {
        let motor = VoltsPerHertz { voltage: a.get("motor-voltage"), frequency: a.get("motor-frequency") };
        let setting = VoltsPerHertz { voltage: a.get("set-voltage"), frequency: a.get("set-frequency") };
        let flux = flux(motor, setting, a.get("frequency"), w)?;
        Ok(vec![flux.voltage.in_si(), flux.flux.in_si(), flux.peak_torque.in_si()])
    },
};

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::working::Silent;

    fn range(low: f64, high: f64) -> VoltageRange {
        VoltageRange { lowest: Voltage::v(low), highest: Voltage::v(high) }
    }

    fn of(v: f64, f: f64) -> VoltsPerHertz {
        VoltsPerHertz { voltage: Voltage::v(v), frequency: Frequency::hz(f) }
    }

    #[test]
    fn impossible_inputs_are_refused() {
        assert!(supply_window(range(500.0, 450.0), range(380.0, 480.0), &mut Silent).is_err());
        assert!(supply_window(range(450.0, 500.0), range(0.0, 480.0), &mut Silent).is_err());
        assert!(dc_link(Voltage::v(f64::NAN), &mut Silent).is_err());
        assert!(flux(of(400.0, 50.0), of(400.0, 0.0), Frequency::hz(50.0), &mut Silent).is_err());
        assert!(flux(of(400.0, 50.0), of(400.0, 50.0), Frequency::ZERO, &mut Silent).is_err());
    }

    #[test]
    fn words_name_the_variant_they_say() {
        assert_eq!(Modulation::named("sine"), Some(Modulation::Sine));
        assert_eq!(Modulation::named("space-vector"), Some(Modulation::SpaceVector));
        assert_eq!(Modulation::named("six-step"), Some(Modulation::SixStep));
    }

    proptest! {
        #[test]
        fn margins_are_signed_as_inside_and_outside(low in 100.0f64..500.0, spread in 0.0f64..100.0, from in 100.0f64..500.0, width in 0.0f64..200.0) {
            let (measured, allowed) = (range(low, low + spread), range(from, from + width));
            let window = supply_window(measured, allowed, &mut Silent).unwrap();
            let inside = measured.lowest >= allowed.lowest && measured.highest <= allowed.highest;
            prop_assert_eq!(window.margin() >= Ratio::ZERO, inside);
        }

        #[test]
        fn link_and_output_keep_their_order(line in 100.0f64..700.0) {
            let link = dc_link(Voltage::v(line), &mut Silent).unwrap();
            prop_assert!(link.mean < link.peak && link.mean.in_v() > line);
            let out = |m| available_output(link.mean, m, &mut Silent).unwrap();
            prop_assert!(out(Modulation::Sine) < out(Modulation::SpaceVector) && out(Modulation::SpaceVector) < out(Modulation::SixStep));
            prop_assert!(out(Modulation::SpaceVector).in_v() < line);
        }

        #[test]
        fn a_setting_that_matches_the_plate_keeps_full_flux_and_weakens_above(v in 200.0f64..700.0, base in 40.0f64..100.0, f in 5.0f64..200.0) {
            let result = flux(of(v, base), of(v, base), Frequency::hz(f), &mut Silent).unwrap();
            let expected = (base / f).min(1.0);
            prop_assert!((result.flux.in_of_one() - expected).abs() < 1e-12);
            prop_assert!(result.voltage.in_v() <= v);
        }
    }
}
