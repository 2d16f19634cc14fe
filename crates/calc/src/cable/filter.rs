//! Whether an output filter or reactor that is there may stay behind the new unit.

use plant::quantity::{Capacitance, Current, Frequency, Inductance, Ratio, Resistance, dim};

use crate::load::above_zero;
use crate::registry::{Arguments, Calculation, Refusal, output, quantity, quantity_or, word};
use crate::sources::{DEFINITION, PACK, PRACTICE, SURVEY};
use crate::working::{Recorder, Step, Working};

/// What a filter's plate or papers allow.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Filter {
    /// Lowest switching frequency.
    pub carrier_from: Frequency,
    /// Highest, where one is stated.
    pub carrier_to: Option<Frequency>,
    /// Rated current.
    pub current: Current,
    /// Highest output frequency.
    pub frequency: Frequency,
    /// The filter's and the unit's papers allow vector control with it.
    pub vector: bool,
}

/// What is asked of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Duty {
    /// Switching frequency of the unit at its lowest: a unit that lowers its carrier when hot counts with that.
    pub carrier: Frequency,
    /// Largest rms current for longer than minutes.
    pub current: Current,
    /// Highest output frequency used.
    pub frequency: Frequency,
    /// The unit controls the motor by its vector.
    pub vector: bool,
}

/// How the filter stands against its duty; every margin at zero or above: it may stay as far as these figures go.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reuse {
    /// Carrier over the lowest less one; above the highest counts negative too.
    pub carrier: Ratio,
    /// Rated current over the current asked, less one.
    pub current: Ratio,
    /// Highest frequency over the one asked, less one.
    pub frequency: Ratio,
    /// The control mode may be used with it.
    pub control: bool,
}

impl Reuse {
    /// Nothing speaks against it.
    #[must_use]
    pub fn holds(&self) -> bool {
        self.control && [self.carrier, self.current, self.frequency].iter().all(|m| *m >= Ratio::ZERO)
    }
}

/// Compares a filter with its duty.
///
/// A filter run below its carrier resonates and burns; one below the current saturates; above its frequency its drop and its
/// capacitor current grow; and vector control must know it, or it sees the filter as the motor.
///
/// # Errors
/// When a figure is not above zero.
///
/// Source: the filter's papers and the unit's pack. Worked example: lowest carrier 4 kHz, used at 2 kHz: −50 %, it may not stay.
/// ```
/// use calc::{cable::filter::{reuse, Duty, Filter}, working::Silent};
/// use plant::quantity::{Current, Frequency};
/// let (khz, a, hz) = (Frequency::khz, Current::a, Frequency::hz);
/// let filter = Filter { carrier_from: khz(4.0), carrier_to: None, current: a(50.0), frequency: hz(70.0), vector: false };
/// let duty = Duty { carrier: khz(2.0), current: a(40.0), frequency: hz(60.0), vector: false };
/// let stays = reuse(&filter, &duty, &mut Silent).unwrap();
/// assert!((stays.carrier.in_percent() + 50.0).abs() < 1e-9 && !stays.holds());
/// ```
pub fn reuse<R: Recorder>(filter: &Filter, duty: &Duty, rec: &mut R) -> Result<Reuse, Refusal> {
    above_zero(filter.carrier_from, "filter's lowest carrier")?;
    above_zero(filter.current, "filter's rated current")?;
    above_zero(filter.frequency, "filter's highest output frequency")?;
    above_zero(duty.carrier, "unit's carrier")?;
    above_zero(duty.current, "current")?;
    above_zero(duty.frequency, "output frequency")?;
    let mut carrier = duty.carrier / filter.carrier_from - 1.0;
    if let Some(highest) = filter.carrier_to {
        if highest < filter.carrier_from {
            return Err(Refusal::new(format!("the filter's highest carrier of {highest} is below its lowest of {}", filter.carrier_from)));
        }
        carrier = carrier.min(highest / duty.carrier - 1.0);
    }
    let stays = Reuse {
        carrier: Ratio::of_one(carrier),
        current: Ratio::of_one(filter.current / duty.current - 1.0),
        frequency: Ratio::of_one(filter.frequency / duty.frequency - 1.0),
        control: filter.vector || !duty.vector,
    };
    rec.step(|| {
        Step::new("m_c", "margin of the carrier", "f_c/f_min − 1", &SURVEY)
            .with("f_c", duty.carrier)
            .with("f_min", filter.carrier_from)
            .gives(stays.carrier)
            .note(match filter.carrier_to {
                Some(highest) => format!("and at most {highest}: the smaller margin counts"),
                None => "the filter's papers state no highest carrier".to_owned(),
            })
    });
    rec.step(|| {
        Step::new("m_I", "margin of the current", "I_f/I − 1", &SURVEY)
            .with("I_f", filter.current)
            .with("I", duty.current)
            .gives(stays.current)
    });
    rec.step(|| {
        Step::new("m_f", "margin of the output frequency", "f_max/f − 1", &SURVEY)
            .with("f_max", filter.frequency)
            .with("f", duty.frequency)
            .gives(stays.frequency)
    });
    rec.step(|| {
        Step::new("control", "control mode with this filter", "", &PACK)
            .gives(if stays.control { "may be used" } else { "must not be used" })
            .note(if stays.control {
                ""
            } else {
                "vector control takes the filter for a part of the motor: V/Hz, or a filter that the unit knows"
            })
    });
    Ok(stays)
}

/// Resonance of a sine filter and its place between output frequency and carrier.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Resonance {
    /// Resonance of inductance and capacitance.
    pub at: Frequency,
    /// Carrier over it.
    pub carrier: Ratio,
    /// It over the output frequency.
    pub output: Ratio,
    /// Characteristic impedance √(L/C), which both reactances equal at the resonance.
    pub impedance: Resistance,
}

/// Resonance of a filter, f_r = 1/(2π·√(L·C)), per phase of the equivalent star (capacitors in delta count threefold).
///
/// # Errors
/// When an input is not above zero.
///
/// Source: definition. Worked example: 2 mH and 10 µF: 1125 Hz.
/// ```
/// use calc::{cable::filter::resonance, working::Silent};
/// use plant::quantity::{Capacitance, Frequency, Inductance};
/// let r = resonance(Inductance::mh(2.0), Capacitance::uf(10.0), Frequency::khz(4.0), Frequency::hz(60.0), &mut Silent).unwrap();
/// assert!((r.at.in_hz() - 1125.4).abs() < 0.05);
/// ```
pub fn resonance<R: Recorder>(
    inductance: Inductance,
    capacitance: Capacitance,
    carrier: Frequency,
    highest: Frequency,
    rec: &mut R,
) -> Result<Resonance, Refusal> {
    above_zero(inductance, "inductance")?;
    above_zero(capacitance, "capacitance")?;
    above_zero(carrier, "carrier")?;
    above_zero(highest, "output frequency")?;
    let at = Frequency::hz(1.0 / (std::f64::consts::TAU * (inductance.in_henry() * capacitance.in_farad()).sqrt()));
    let impedance = Resistance::ohm((inductance.in_henry() / capacitance.in_farad()).sqrt());
    rec.step(|| {
        Step::new("f_r", "resonance of the filter", "1/(2π·√(L·C))", &DEFINITION).with("L", inductance).with("C", capacitance).gives(at)
    });
    let result = Resonance { at, carrier: Ratio::of_one(carrier / at), output: Ratio::of_one(at / highest), impedance };
    rec.step(|| {
        Step::new("f_c/f_r", "carrier over resonance", "f_c/f_r", &PRACTICE)
            .with("f_c", carrier)
            .with("f_r", at)
            .gives(result.carrier.in_of_one())
            .note("2.5 or more is usual; the filter's stated carrier counts")
    });
    rec.step(|| {
        Step::new("f_r/f", "resonance over output frequency", "f_r/f", &PRACTICE)
            .with("f_r", at)
            .with("f", highest)
            .gives(result.output.in_of_one())
            .note("ten or more is usual")
    });
    Ok(result)
}

/// `calc filter-reuse`.
pub const FILTER_REUSE: Calculation = Calculation {
    name: "filter-reuse",
    summary: "Whether an output filter or reactor may stay: carrier, current, output frequency and control mode.",
    inputs: &[
        quantity::<dim::FrequencyDim>("filter-carrier", "lowest carrier that the filter allows"),
        quantity_or::<dim::FrequencyDim>("filter-carrier-to", "", "highest carrier that it allows, where stated"),
        quantity::<dim::CurrentDim>("filter-current", "rated current of the filter"),
        quantity::<dim::FrequencyDim>("filter-frequency", "highest output frequency of the filter"),
        word("filter-vector", &["no", "yes"], "whether the papers of filter and unit allow vector control with it"),
        quantity::<dim::FrequencyDim>("carrier", "carrier of the unit, at its lowest"),
        quantity::<dim::CurrentDim>("current", "largest lasting current"),
        quantity::<dim::FrequencyDim>("frequency", "highest output frequency used"),
        word("control", &["volts-per-hertz", "vector"], "control mode"),
    ],
    results: &[
        output::<dim::RatioDim>("carrier-margin", "%", "margin of the carrier; negative is outside"),
        output::<dim::RatioDim>("current-margin", "%", "margin of the current; negative is too small"),
        output::<dim::RatioDim>("frequency-margin", "%", "margin of the output frequency; negative is too fast"),
        output::<dim::CountDim>("control", "", "1 the control mode may be used with it, 0 not"),
        output::<dim::CountDim>("reuse", "", "1 nothing of these speaks against it, 0 it may not stay"),
    ],
    sources: &[&SURVEY, &PACK],
    run: |a: &Arguments, w: &mut Working| {
        let filter = Filter {
            carrier_from: a.get("filter-carrier"),
            carrier_to: a.get_opt("filter-carrier-to"),
            current: a.get("filter-current"),
            frequency: a.get("filter-frequency"),
            vector: a.word("filter-vector") == "yes",
        };
        let duty = Duty {
            carrier: a.get("carrier"),
            current: a.get("current"),
            frequency: a.get("frequency"),
            vector: a.word("control") == "vector",
        };
        let stays = reuse(&filter, &duty, w)?;
        let one = |yes: bool| f64::from(u8::from(yes));
        Ok(vec![stays.carrier.in_si(), stays.current.in_si(), stays.frequency.in_si(), one(stays.control), one(stays.holds())])
    },
};

/// `calc filter-resonance`.
pub const FILTER_RESONANCE: Calculation = Calculation {
    name: "filter-resonance",
    summary: "Resonance of an output filter between output frequency and carrier.",
    inputs: &[
        quantity::<dim::InductanceDim>("inductance", "inductance per phase"),
        quantity::<dim::CapacitanceDim>("capacitance", "capacitance per phase of the equivalent star; in delta three times that of one"),
        quantity::<dim::FrequencyDim>("carrier", "carrier of the unit"),
        quantity::<dim::FrequencyDim>("frequency", "highest output frequency"),
    ],
    results: &[
        output::<dim::FrequencyDim>("resonance", "Hz", "resonance"),
        output::<dim::RatioDim>("carrier-ratio", "pu", "carrier over resonance"),
        output::<dim::RatioDim>("output-ratio", "pu", "resonance over output frequency"),
        output::<dim::ResistanceDim>("impedance", "Ω", "√(L/C), which both reactances equal at the resonance"),
    ],
    sources: &[&DEFINITION, &PRACTICE],
    run: |a: &Arguments, w: &mut Working| {
        let r = resonance(a.get("inductance"), a.get("capacitance"), a.get("carrier"), a.get("frequency"), w)?;
        Ok(vec![r.at.in_si(), r.carrier.in_si(), r.output.in_si(), r.impedance.in_si()])
    },
};
