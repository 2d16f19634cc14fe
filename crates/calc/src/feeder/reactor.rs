//! How stiff the supply looks to a drive, the reactor that this asks for, and what two reactors in series cost in voltage. All at
//! the fundamental: harmonics need the rectifier itself.

use plant::quantity::{ApparentPower, Current, Frequency, Inductance, Ratio, Voltage, dim};

use crate::checks::{above_zero, flag, not_negative};
use crate::registry::{Arguments, Calculation, Refusal, output, quantity, quantity_or};
use crate::sources::{DEFINITION, Knowledge, Source};
use crate::working::{Recorder, Step, Working};

/// When a reactor is added.
pub const STIFF: Source = Source::new(
    "below about 1 % of source impedance, or a transformer of more than ten times the drive: add 3 to 5 %, a habit of the trade",
    Knowledge::CommonPractice,
);
/// Mean of an ideal six-pulse rectifier.
pub const SIX_PULSE: Source = Source::new("ideal six-pulse rectifier: U_d = (3·√2/π)·U = 1.35·U", Knowledge::Derived);

/// Less source impedance than this asks for a reactor.
const LEAST: Ratio = Ratio::percent(1.0);
/// A larger transformer than this many drives asks for one.
const MOST_TIMES: f64 = 10.0;
/// The reactor that is usually added.
const USUAL: Ratio = Ratio::percent(3.0);

/// How stiff a supply is for a drive.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stiffness {
    /// Impedance of the supply in parts of the drive's base.
    pub impedance: Ratio,
    /// Transformer over drive, where the transformer is known.
    pub times: Option<f64>,
    /// Reactor or choke that is there, in the same parts.
    pub fitted: Ratio,
    /// By habit a reactor is added.
    pub needed: bool,
    /// The reactor to add; zero when none is needed.
    pub add: Ratio,
}

/// Source impedance on the base of the drive, and whether a reactor is needed.
///
/// z = S_drive/(√3·U·I_k). A reactor is needed when z and what is fitted stay below 1 %, or when the transformer has more than ten
/// times the drive's kVA and less than 3 % is fitted. `fitted` counts a reactor ahead and the new unit's own DC choke by its
/// equivalent in the line. Units: VA, V, A.
///
/// # Errors
/// When a value is not above zero (`fitted`: not from zero up).
///
/// Source: definition; common practice for the limits. Worked example: 11 kVA on 31.38 kA at 480 V: 0.042 %, so 3 %.
/// ```
/// use calc::{feeder::reactor::source_stiffness, working::Silent};
/// use plant::quantity::{ApparentPower, Current, Ratio, Voltage};
/// let drive = ApparentPower::kva(11.0);
/// let found = source_stiffness(drive, Voltage::v(480.0), Current::ka(31.378), Some(ApparentPower::kva(1500.0)), Ratio::ZERO, &mut Silent).unwrap();
/// assert!((found.impedance.in_percent() - 0.0422).abs() < 1e-4 && found.needed);
/// ```
pub fn source_stiffness<R: Recorder>(
    drive: ApparentPower,
    voltage: Voltage,
    fault: Current,
    transformer: Option<ApparentPower>,
    fitted: Ratio,
    rec: &mut R,
) -> Result<Stiffness, Refusal> {
    above_zero("the rated input of the drive", drive)?;
    above_zero("the line voltage", voltage)?;
    above_zero("the fault current at the drive", fault)?;
    not_negative("what is fitted", fitted)?;
    let times = transformer.map(|t| above_zero("the rated power of the transformer", t).map(|()| t / drive)).transpose()?;
    let impedance = Ratio::of_one(drive.in_va() / (3f64.sqrt() * voltage.in_v() * fault.in_a()));
    let needed = impedance + fitted < LEAST || times.is_some_and(|t| t > MOST_TIMES) && fitted < USUAL;
    let add = if needed { USUAL - fitted } else { Ratio::ZERO };
    rec.step(|| {
        Step::new("z", "source impedance on the base of the drive", "S/(√3·U·I_k)", &DEFINITION)
            .with("S", drive)
            .with("U", voltage)
            .with("I_k", fault)
            .gives(impedance)
    });
    if let (Some(times), Some(transformer)) = (times, transformer) {
        rec.step(|| Step::new("n", "transformer over drive", "S_T/S", &DEFINITION).with("S_T", transformer).with("S", drive).gives(times));
    }
    rec.step(|| {
        Step::new("z_L", "reactor to add", "", &STIFF).with("z_fitted", fitted).gives(add).note(if needed {
            "below 1 %, or behind more than ten times its size; the unit's documents come first"
        } else {
            "none by this habit; the unit's documents come first"
        })
    });
    Ok(Stiffness { impedance, times, fitted, needed, add })
}

/// Inductance of a line reactor: L = z·U/(√3·I)/(2π·f).
///
/// # Errors
/// When a value is not above zero.
///
/// Source: definition. Worked example: 3 % for 65 A at 480 V and 60 Hz: 0.339 mH.
/// ```
/// use calc::{feeder::reactor::reactor_inductance, working::Silent};
/// use plant::quantity::{Current, Frequency, Ratio, Voltage};
/// let l = reactor_inductance(Ratio::percent(3.0), Voltage::v(480.0), Current::a(65.0), Frequency::hz(60.0), &mut Silent).unwrap();
/// assert!((l.in_mh() - 0.339279).abs() < 1e-5);
/// ```
pub fn reactor_inductance<R: Recorder>(
    percent: Ratio,
    voltage: Voltage,
    current: Current,
    frequency: Frequency,
    rec: &mut R,
) -> Result<Inductance, Refusal> {
    above_zero("the impedance of the reactor", percent)?;
    above_zero("the line voltage", voltage)?;
    above_zero("the rated current", current)?;
    above_zero("the line frequency", frequency)?;
    let omega = std::f64::consts::TAU * frequency.in_hz();
    let inductance = Inductance::henry(percent.in_of_one() * voltage.in_v() / (3f64.sqrt() * current.in_a() * omega));
    rec.step(|| {
        Step::new("L", "inductance a phase", "z·U/(√3·I·2·π·f)", &DEFINITION)
            .with("z", percent)
            .with("U", voltage)
            .with("I", current)
            .with("f", frequency)
            .gives(inductance)
    });
    Ok(inductance)
}

/// What reactors in series leave of the voltage.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Left {
    /// Sum of the reactors, in parts of the drive's base.
    pub sum: Ratio,
    /// Fundamental line voltage behind them.
    pub voltage: Voltage,
    /// Lost, in parts of the line voltage.
    pub lost: Ratio,
    /// Mean of the DC link by an ideal rectifier.
    pub link: Voltage,
    /// `voltage` less what the motor needs: negative when it cannot have full torque at rated speed.
    pub margin: Voltage,
}

/// Fundamental voltage behind reactors in series.
///
/// With x the sum of the reactances in parts of rated voltage over rated current, i the load in parts of rated current and φ the angle
/// of the fundamental behind the reactors: u = √(1 − (x·i·cos φ)²) − x·i·sin φ, in parts of the line voltage. A choke in the DC link counts
/// by its equivalent in the line. Resistance is left out; the rectifier's own drop and the modulation are not in it. Units: V.
///
/// # Errors
/// When a value is not what it must be, or the reactors leave nothing.
///
/// Source: phasors. Worked example: 3 % and 5 % at full load and cos φ 0.95: √(1 − 0.076²) − 0.08·0.3122 = 97.2 %.
/// ```
/// use calc::{feeder::reactor::series_reactors, working::Silent};
/// use plant::quantity::{Ratio, Voltage};
/// let both = [Ratio::percent(3.0), Ratio::percent(5.0)];
/// let left = series_reactors(Voltage::v(460.0), &both, Ratio::of_one(1.0), Ratio::of_one(0.95), Voltage::v(460.0), &mut Silent).unwrap();
/// assert!((left.voltage.in_v() / 460.0 - 0.97213).abs() < 1e-4 && left.margin < Voltage::ZERO);
/// ```
pub fn series_reactors<R: Recorder>(
    line: Voltage,
    reactors: &[Ratio],
    load: Ratio,
    power_factor: Ratio,
    motor: Voltage,
    rec: &mut R,
) -> Result<Left, Refusal> {
    above_zero("the line voltage", line)?;
    above_zero("the motor's rated voltage", motor)?;
    not_negative("the load", load)?;
    for reactor in reactors {
        not_negative("the impedance of a reactor", *reactor)?;
    }
    let cos = power_factor.in_of_one();
    if !(cos > 0.0 && cos <= 1.0) {
        return Err(Refusal::new(format!("a power factor lies above 0 and at most at 1, not at {power_factor}")));
    }
    let sum = reactors.iter().fold(Ratio::ZERO, |sum, r| sum + *r);
    let drop = sum.in_of_one() * load.in_of_one();
    let sin = (1.0 - cos * cos).max(0.0).sqrt();
    let u = (1.0 - (drop * cos).powi(2)).max(0.0).sqrt() - drop * sin;
    if !(u > 0.0 && drop * cos <= 1.0) {
        return Err(Refusal::new(format!("reactors of {sum} leave no voltage at {load} of load")));
    }
    let voltage = line * u;
    let link = voltage * (3.0 * 2f64.sqrt() / std::f64::consts::PI);
    let left = Left { sum, voltage, lost: Ratio::of_one(1.0 - u), link, margin: voltage - motor };
    rec.step(|| {
        Step::new("x", format!("{} reactors in series", reactors.len()), "", &DEFINITION)
            .gives(sum)
            .note("in parts of the drive's base; a DC choke by its equivalent in the line")
    });
    rec.step(|| {
        Step::new("U_2", "fundamental behind them", "U·(√(1 − (x·i·cos φ)²) − x·i·sin φ)", &DEFINITION)
            .with("U", line)
            .with("x", sum)
            .with("i", load)
            .with("cos φ", plant::quantity::digits(cos, 4))
            .with("sin φ", plant::quantity::digits(sin, 4))
            .gives(voltage)
    });
    rec.step(|| {
        Step::new("U_d", "mean of the DC link", "3·√2/π·U_2", &SIX_PULSE).with("U_2", voltage).gives(link).note("an ideal rectifier")
    });
    rec.step(|| {
        Step::new("m", "left for the motor over its rated voltage", "U_2 − U_N", &DEFINITION)
            .with("U_2", voltage)
            .with("U_N", motor)
            .gives(left.margin)
            .note("a drive gives its motor no more than the line behind its reactors, without overmodulation")
    });
    Ok(left)
}

/// `calc source-stiffness`.
pub const SOURCE_IMPEDANCE: Calculation = Calculation {
    name: "source-stiffness",
    summary: "Source impedance on the base of a drive, transformer over drive, and whether a reactor is needed.",
    inputs: &[
        quantity::<dim::ApparentPowerDim>("drive", "rated input of the drive: √3·U·I"),
        quantity::<dim::VoltageDim>("voltage", "line to line"),
        quantity::<dim::CurrentDim>("fault", "fault current at the drive: see fault-current"),
        quantity_or::<dim::ApparentPowerDim>("transformer", "", "rated power of the transformer that feeds it"),
        quantity_or::<dim::RatioDim>("fitted", "0 %", "reactor ahead and own choke, as equivalent in the line"),
    ],
    results: &[
        output::<dim::RatioDim>("impedance", "%", "source impedance on the base of the drive"),
        output::<dim::CountDim>("times", "", "transformer over drive; 0 when the transformer is not given"),
        output::<dim::CountDim>("needed", "", "1 when by habit a reactor is added"),
        output::<dim::RatioDim>("add", "%", "reactor to add"),
    ],
    sources: &[&DEFINITION, &STIFF],
    run: |a: &Arguments, w: &mut Working| {
        let found = source_stiffness(a.get("drive"), a.get("voltage"), a.get("fault"), a.get_opt("transformer"), a.get("fitted"), w)?;
        Ok(vec![found.impedance.in_si(), found.times.unwrap_or(0.0), flag(found.needed), found.add.in_si()])
    },
};

/// `calc reactor-inductance`.
pub const REACTOR_INDUCTANCE: Calculation = Calculation {
    name: "reactor-inductance",
    summary: "Inductance of a line reactor of a stated impedance.",
    inputs: &[
        quantity::<dim::RatioDim>("impedance", "in parts of rated voltage over rated current: 3 %"),
        quantity::<dim::VoltageDim>("voltage", "line to line"),
        quantity::<dim::CurrentDim>("current", "rated current"),
        quantity::<dim::FrequencyDim>("frequency", "of the line"),
    ],
    results: &[output::<dim::InductanceDim>("inductance", "mH", "a phase")],
    sources: &[&DEFINITION],
    run: |a: &Arguments, w: &mut Working| {
        Ok(vec![reactor_inductance(a.get("impedance"), a.get("voltage"), a.get("current"), a.get("frequency"), w)?.in_si()])
    },
};

/// `calc series-reactors`.
pub const SERIES_REACTORS: Calculation = Calculation {
    name: "series-reactors",
    summary: "Fundamental voltage that is left behind two reactors in series, and for the motor.",
    inputs: &[
        quantity::<dim::VoltageDim>("line", "line voltage ahead, the lowest there is"),
        quantity::<dim::RatioDim>("first", "reactor that is there, on the drive's base"),
        quantity_or::<dim::RatioDim>("second", "0 %", "the new unit's own reactor, or its choke as equivalent in the line"),
        quantity_or::<dim::RatioDim>("load", "100 %", "input current over rated"),
        quantity_or::<dim::RatioDim>("power-factor", "0.95", "of the fundamental, behind the reactors"),
        quantity::<dim::VoltageDim>("motor", "rated voltage of the motor"),
    ],
    results: &[
        output::<dim::VoltageDim>("voltage", "V", "fundamental line voltage behind them"),
        output::<dim::RatioDim>("lost", "%", "lost, of the line voltage"),
        output::<dim::VoltageDim>("link", "V", "mean of the DC link by an ideal rectifier"),
        output::<dim::VoltageDim>("margin", "V", "left for the motor over its rated voltage"),
    ],
    sources: &[&DEFINITION, &SIX_PULSE],
    run: |a: &Arguments, w: &mut Working| {
        let reactors = [a.get("first"), a.get("second")];
        let left = series_reactors(a.get("line"), &reactors, a.get("load"), a.get("power-factor"), a.get("motor"), w)?;
        Ok(vec![left.voltage.in_si(), left.lost.in_si(), left.link.in_si(), left.margin.in_si()])
    },
};

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::working::Silent;

    fn stiff(kva: f64, fault: f64, transformer: Option<f64>, fitted: f64) -> Stiffness {
        let transformer = transformer.map(ApparentPower::kva);
        source_stiffness(ApparentPower::kva(kva), Voltage::v(480.0), Current::ka(fault), transformer, Ratio::percent(fitted), &mut Silent)
            .unwrap()
    }

    #[test]
    fn what_is_fitted_counts() {
        assert!(stiff(11.0, 31.378, Some(1500.0), 0.0).needed);
        assert!((stiff(11.0, 31.378, Some(1500.0), 2.0).add.in_percent() - 1.0).abs() < 1e-9);
        assert!(!stiff(11.0, 31.378, Some(1500.0), 3.0).needed);
        assert!(!stiff(300.0, 15.0, None, 0.0).needed); // 2.4 %
        assert!(!stiff(300.0, 15.0, Some(3000.0), 0.0).needed); // ten times exactly
        assert!(stiff(300.0, 15.0, Some(3001.0), 0.0).needed);
    }

    #[test]
    fn no_reactor_loses_nothing() {
        let left = series_reactors(Voltage::v(480.0), &[], Ratio::of_one(1.0), Ratio::of_one(0.9), Voltage::v(460.0), &mut Silent).unwrap();
        assert!(left.lost.abs() < Ratio::of_one(1e-12) && left.margin == Voltage::v(20.0));
        let at = |x: f64, pf: f64| {
            series_reactors(Voltage::v(480.0), &[Ratio::of_one(x)], Ratio::of_one(1.0), Ratio::of_one(pf), Voltage::v(460.0), &mut Silent)
                .is_err()
        };
        assert!(at(2.0, 0.9) && at(0.1, 0.0) && at(-0.1, 0.9) && at(f64::NAN, 0.9) && !at(0.1, 1.0));
    }

    proptest! {
        #[test]
        fn a_stiffer_supply_never_asks_for_less(a in 1.0f64..100.0, b in 1.0f64..100.0, kva in 1.0f64..500.0, fitted in 0.0f64..5.0) {
            prop_assert!(stiff(kva, a.max(b), None, fitted).add >= stiff(kva, a.min(b), None, fitted).add);
            prop_assert!(stiff(kva, a, None, fitted).add >= Ratio::ZERO);
        }

        #[test]
        fn the_phasors_close(x in 0.0f64..0.2, cos in 0.5f64..1.0) {
            // The line is the voltage behind plus j·x times the current: an independent way back to 1.
            let left = series_reactors(Voltage::v(1.0), &[Ratio::of_one(x)], Ratio::of_one(1.0), Ratio::of_one(cos), Voltage::v(1.0), &mut Silent).unwrap();
            let (u, sin) = (left.voltage.in_v(), (1.0 - cos * cos).sqrt());
            prop_assert!(((u + x * sin).hypot(x * cos) - 1.0).abs() < 1e-12);
        }

        #[test]
        fn more_reactance_never_leaves_more(x in 0.0f64..0.2, y in 0.0f64..0.2, cos in 0.5f64..1.0) {
            let at = |x: f64| {
                series_reactors(Voltage::v(1.0), &[Ratio::of_one(x)], Ratio::of_one(1.0), Ratio::of_one(cos), Voltage::v(1.0), &mut Silent).unwrap().voltage
            };
            prop_assert!(at(x.max(y)) <= at(x.min(y)));
        }
    }
}
