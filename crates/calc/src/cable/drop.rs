//! What is left of the voltage at the motor: the drop of reactors and cable, and the DC link of a low line behind two reactors.

use std::f64::consts::PI;

use plant::quantity::{Current, Dimension, Frequency, Inductance, Ratio, Resistance, Voltage, dim};

use crate::load::{above_zero, not_below_zero};
use crate::registry::{Arguments, Calculation, Input, InputKind, Refusal, output, quantity, quantity_or, word};
use crate::sources::{DEFINITION, Knowledge, Source};
use crate::supply::window::{Modulation, available_output};
use crate::working::{Recorder, Step, Working};

/// Mean of a six-pulse bridge behind reactance.
pub const COMMUTATION: Source = Source::new(
    "six-pulse bridge with smooth current: U_dc = 3·√2/π·U − 3/π·X·I_dc, which with X on the base of U and the fundamental current is π/6·x",
    Knowledge::Derived,
);

/// A piece in series between drive and motor, per phase.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Series {
    /// Resistance.
    pub resistance: Resistance,
    /// Inductance.
    pub inductance: Inductance,
}

/// What a motor draws.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Draw {
    /// Line current.
    pub current: Current,
    /// cos φ at the motor; lagging.
    pub power_factor: Ratio,
    /// Frequency.
    pub frequency: Frequency,
}

/// The voltage behind the pieces.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drop {
    /// At the motor.
    pub motor: Voltage,
    /// What is missing.
    pub drop: Voltage,
    /// The same over the drive's voltage.
    pub share: Ratio,
    /// The handbook's √3·I·(R·cos φ + X·sin φ): a little low for long cables.
    pub handbook: Voltage,
    /// Resistance of all pieces.
    pub resistance: Resistance,
    /// Reactance of all pieces.
    pub reactance: Resistance,
}

/// Voltage at the motor behind pieces in series, as phasors.
///
/// a = √3·I·(R·cos φ + X·sin φ) along the motor's voltage, b = √3·I·(X·cos φ − R·sin φ) across it; U_M = √(U² − b²) − a.
/// Line to line, V; fundamental only.
///
/// # Errors
/// When an input is out of range, or nothing is left at the motor.
///
/// Source: definition. Worked example: 124 A, cos φ 0.85, 250 ft of 0.12 Ω and 0.055 Ω per 1000 ft: handbook 7.03 V.
/// ```
/// use calc::{cable::drop::{series_drop, Draw, Series}, working::Silent};
/// use plant::quantity::{Current, Frequency, Inductance, Ratio, Resistance, Voltage};
/// let draw = Draw { current: Current::a(124.0), power_factor: Ratio::of_one(0.85), frequency: Frequency::hz(60.0) };
/// let cable = Series { resistance: Resistance::ohm(0.03), inductance: Inductance::henry(0.01375 / (120.0 * std::f64::consts::PI)) };
/// let d = series_drop(Voltage::v(460.0), &[cable], &draw, &mut Silent).unwrap();
/// assert!((d.handbook.in_v() - 7.032).abs() < 0.001 && (d.drop - d.handbook).in_v().abs() < 0.01);
/// ```
pub fn series_drop<R: Recorder>(drive: Voltage, pieces: &[Series], draw: &Draw, rec: &mut R) -> Result<Drop, Refusal> {
    above_zero(drive, "voltage at the drive")?;
    not_below_zero(draw.current, "current")?;
    above_zero(draw.frequency, "frequency")?;
    let cos = draw.power_factor.in_of_one();
    if !(0.0..=1.0).contains(&cos) {
        return Err(Refusal::new(format!("the power factor lies from 0 to 1, not at {cos}")));
    }
    let (mut r, mut x) = (0.0, 0.0);
    for piece in pieces {
        not_below_zero(piece.resistance, "resistance of a piece")?;
        not_below_zero(piece.inductance, "inductance of a piece")?;
        r += piece.resistance.in_ohm();
        x += std::f64::consts::TAU * draw.frequency.in_hz() * piece.inductance.in_henry();
    }
    let (resistance, reactance) = (Resistance::ohm(r), Resistance::ohm(x));
    let sin = (1.0 - cos * cos).sqrt();
    let amps = 3.0_f64.sqrt() * draw.current.in_a();
    let (along, across) = (amps * (r * cos + x * sin), amps * (x * cos - r * sin));
    let left = drive.in_v() * drive.in_v() - across * across;
    let motor = Voltage::v(left.max(0.0).sqrt() - along);
    if motor <= Voltage::ZERO {
        return Err(Refusal::new(format!("{} cannot flow through {resistance} and {reactance} at {drive}: nothing is left", draw.current)));
    }
    let drop = drive - motor;
    let result = Drop { motor, drop, share: Ratio::of_one(drop / drive), handbook: Voltage::v(along), resistance, reactance };
    rec.step(|| Step::new("R", "resistance of all pieces", "Σ R_i", &DEFINITION).gives(resistance));
    rec.step(|| Step::new("X", "reactance of all pieces", "2π·f·Σ L_i", &DEFINITION).with("f", draw.frequency).gives(reactance));
    rec.step(|| {
        Step::new("a", "drop along the motor's voltage", "√3·I·(R·cosφ + X·sinφ)", &DEFINITION)
            .with("I", draw.current)
            .with("R", resistance)
            .with("X", reactance)
            .with("cosφ", cos)
            .with("sinφ", sin)
            .gives(result.handbook)
    });
    rec.step(|| {
        Step::new("U_M", "voltage at the motor", "√(U² − b²) − a", &DEFINITION)
            .with("U", drive)
            .with("a", result.handbook)
            .with("b", Voltage::v(across))
            .gives(motor)
    });
    Ok(result)
}

/// What a line and the reactors before the link leave of the DC link and the output.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LowLine {
    /// DC link, mean.
    pub bus: Voltage,
    /// Highest output voltage of the unit.
    pub output: Voltage,
}

/// DC link and highest output of a six-pulse unit behind reactors in series, at the load that their per cent are stated for.
///
/// U_dc = 3·√2/π·U·(1 − π/6·Σx·i); x: each reactance over U_N/(√3·I_1), i: load over that base. A DC choke in the link drops no
/// mean voltage but its resistance; one stated as "equivalent to x %" counts with that figure, which is the strict reading.
///
/// # Errors
/// When the line is not above zero, a reactance is below zero, or nothing is left.
///
/// Source: derived. Worked example: 432 V with 5 % and 3 % at full load: 559 V.
/// ```
/// use calc::{cable::drop::low_line, supply::window::Modulation, working::Silent};
/// use plant::quantity::{Ratio, Voltage};
/// let x = [Ratio::percent(5.0), Ratio::percent(3.0)];
/// let low = low_line(Voltage::v(432.0), &x, Ratio::of_one(1.0), Modulation::SpaceVector, &mut Silent).unwrap();
/// assert!((low.bus.in_v() - 558.97).abs() < 0.05);
/// ```
pub fn low_line<R: Recorder>(
    line: Voltage,
    reactances: &[Ratio],
    load: Ratio,
    modulation: Modulation,
    rec: &mut R,
) -> Result<LowLine, Refusal> {
    above_zero(line, "line voltage")?;
    not_below_zero(load, "load")?;
    for x in reactances {
        not_below_zero(*x, "reactance")?;
    }
    let sum = Ratio::of_one(reactances.iter().map(|x| x.in_of_one()).sum());
    let left = 1.0 - PI / 6.0 * sum.in_of_one() * load.in_of_one();
    if left <= 0.0 {
        return Err(Refusal::new(format!("reactances of {sum} leave no DC link at a load of {load}")));
    }
    let bus = line * (3.0 * std::f64::consts::SQRT_2 / PI * left);
    rec.step(|| {
        Step::new("U_dc", "DC link, mean", "3·√2/π·U·(1 − π/6·x·i)", &COMMUTATION)
            .with("U", line)
            .with("x", sum)
            .with("i", load)
            .gives(bus)
            .note("smooth current; without any reactance the crest charges the link higher")
    });
    let output = available_output(bus, modulation, rec)?;
    Ok(LowLine { bus, output })
}

const PIECES: Input = Input {
    name: "pieces",
    kind: InputKind::Rows(&[dim::ResistanceDim::INFO, dim::InductanceDim::INFO]),
    default: None,
    doc: "resistance and inductance per phase of each piece in series: output reactor, filter, cable",
};
const CURRENT: Input = quantity::<dim::CurrentDim>("current", "current of the motor");
const POWER_FACTOR: Input = quantity_or::<dim::RatioDim>("power-factor", "0.85", "cos φ of the motor");
const FREQUENCY: Input = quantity::<dim::FrequencyDim>("frequency", "output frequency");

fn pieces(a: &Arguments) -> Vec<Series> {
    let piece = |row: &Vec<f64>| match row[..] {
        [r, l] => Some(Series { resistance: Resistance::si(r), inductance: Inductance::si(l) }),
        _ => None,
    };
    a.rows("pieces").iter().filter_map(piece).collect()
}

/// `calc motor-cable-drop`.
pub const MOTOR_CABLE_DROP: Calculation = Calculation {
    name: "motor-cable-drop",
    summary: "Voltage at the motor behind output reactor, filter and cable.",
    inputs: &[quantity::<dim::VoltageDim>("drive", "voltage at the drive"), PIECES, CURRENT, POWER_FACTOR, FREQUENCY],
    results: &[
        output::<dim::VoltageDim>("motor", "V", "voltage at the motor"),
        output::<dim::VoltageDim>("drop", "V", "what is missing"),
        output::<dim::RatioDim>("share", "%", "the same over the drive's voltage"),
        output::<dim::VoltageDim>("handbook", "V", "√3·I·(R·cos φ + X·sin φ)"),
    ],
    sources: &[&DEFINITION],
    run: |a: &Arguments, w: &mut Working| {
        let draw = Draw { current: a.get("current"), power_factor: a.get("power-factor"), frequency: a.get("frequency") };
        let d = series_drop(a.get("drive"), &pieces(a), &draw, w)?;
        Ok(vec![d.motor.in_si(), d.drop.in_si(), d.share.in_si(), d.handbook.in_si()])
    },
};

/// `calc voltage-at-motor`.
pub const VOLTAGE_AT_MOTOR: Calculation = Calculation {
    name: "voltage-at-motor",
    summary: "Voltage left for the motor at a low line behind reactors in series, cable and filter, against its plate.",
    inputs: &[
        quantity::<dim::VoltageDim>("line", "lowest line voltage under load"),
        Input {
            name: "reactors",
            kind: InputKind::Rows(&[dim::RatioDim::INFO]),
            default: Some("0 %"),
            doc: "each reactance before the DC link, in per cent of the base below: supply; line reactor; choke inside",
        },
        quantity_or::<dim::RatioDim>("load", "100 %", "load over the base of the reactors' per cent"),
        word("modulation", Modulation::WORDS, "how the inverter makes its output"),
        Input { default: Some("0 Ω, 0 mH"), ..PIECES },
        CURRENT,
        POWER_FACTOR,
        quantity::<dim::VoltageDim>("plate-voltage", "voltage on the motor's plate"),
        quantity::<dim::FrequencyDim>("plate-frequency", "frequency on the motor's plate"),
    ],
    results: &[
        output::<dim::VoltageDim>("bus", "V", "DC link"),
        output::<dim::VoltageDim>("output", "V", "highest output voltage of the unit"),
        output::<dim::VoltageDim>("motor", "V", "voltage left at the motor"),
        output::<dim::RatioDim>("of-plate", "%", "that over the plate's voltage"),
        output::<dim::FrequencyDim>("full-flux-to", "Hz", "frequency up to which the motor keeps full flux"),
        output::<dim::RatioDim>("peak-torque", "%", "pull-out torque at the plate's frequency over its rated value, at most 100 %"),
    ],
    sources: &[&COMMUTATION, &DEFINITION],
    run: |a: &Arguments, w: &mut Working| {
        let (plate, base) = (a.get::<dim::VoltageDim>("plate-voltage"), a.get::<dim::FrequencyDim>("plate-frequency"));
        above_zero(plate, "voltage on the motor's plate")?;
        above_zero(base, "frequency on the motor's plate")?;
        let reactances: Vec<Ratio> = a.rows("reactors").iter().flatten().map(|x| Ratio::si(*x)).collect();
        let modulation = Modulation::named(a.word("modulation")).unwrap_or(Modulation::SpaceVector);
        let low = low_line(a.get("line"), &reactances, a.get("load"), modulation, w)?;
        let draw = Draw { current: a.get("current"), power_factor: a.get("power-factor"), frequency: base };
        let d = series_drop(low.output, &pieces(a), &draw, w)?;
        let share = Ratio::of_one(d.motor / plate);
        let flux = base * share.in_of_one().min(1.0);
        w.step(|| Step::new("s", "voltage over the plate's", "U_M/U_N", &DEFINITION).with("U_M", d.motor).with("U_N", plate).gives(share));
        w.step(|| {
            Step::new("f_b", "full flux up to", "f_N·min(1, s)", &DEFINITION)
                .with("f_N", base)
                .with("s", share)
                .gives(flux)
                .note("above it the pull-out torque falls with the square of the voltage")
        });
        Ok(vec![low.bus.in_si(), low.output.in_si(), d.motor.in_si(), share.in_si(), flux.in_si(), share.in_of_one().min(1.0).powi(2)])
    },
};
