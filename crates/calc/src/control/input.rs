//! Digital inputs: the voltage that leakage leaves on them, the resistor that takes it away, the limits of the standard's types.

use plant::quantity::{Current, Power, Resistance, Voltage, dim};

use crate::load::{above_zero, not_below_zero};
use crate::registry::{Arguments, Calculation, Refusal, output, quantity, word};
use crate::sources::{DEFINITION, Knowledge, Source};
use crate::working::{Recorder, Step, Working};

/// Ohm's law.
pub const OHM: Source = Source::new("Ohm's law", Knowledge::Derived);
/// The input types: thresholds in volts.
pub const INPUT_TYPES: Source = Source::new(
    "IEC 61131-2:2007 Table 7 (types 1 and 3 at 24 V d.c. as data sheets of several inputs quote them; type 2 and 120 V a.c. from memory)",
    Knowledge::LookedUp,
);

/// Voltage on an input while the switch ahead of it is off and leaks.
///
/// U = I·R. A; Ω, the input's resistance with whatever lies beside it. Above the input's off level nobody knows what it sees.
///
/// # Errors
/// When the current is below zero or the resistance not above it.
///
/// Source: Ohm's law. Worked example: 1.7 mA through 3300 Ω leave 5.61 V.
/// ```
/// use calc::{control::input::off_voltage, working::Silent};
/// use plant::quantity::{Current, Resistance};
/// let u = off_voltage(Current::ma(1.7), Resistance::ohm(3300.0), &mut Silent).unwrap();
/// assert!((u.in_v() - 5.61).abs() < 1e-9);
/// ```
pub fn off_voltage<R: Recorder>(leakage: Current, resistance: Resistance, rec: &mut R) -> Result<Voltage, Refusal> {
    not_below_zero(leakage, "leakage")?;
    above_zero(resistance, "resistance of the input")?;
    let volts = Voltage::v(leakage.in_a() * resistance.in_ohm());
    rec.step(|| Step::new("U_off", "voltage on the input while off", "I·R", &OHM).with("I", leakage).with("R", resistance).gives(volts));
    Ok(volts)
}

/// Two resistances beside each other.
///
/// 1/(1/R₁ + 1/R₂), Ω.
///
/// # Errors
/// When one is not above zero.
///
/// Source: Ohm's law. Worked example: 3300 Ω beside 2200 Ω are 1320 Ω.
/// ```
/// use calc::{control::input::beside, working::Silent};
/// use plant::quantity::Resistance;
/// let r = beside(Resistance::ohm(3300.0), Resistance::ohm(2200.0), &mut Silent).unwrap();
/// assert!((r.in_ohm() - 1320.0).abs() < 1e-9);
/// ```
pub fn beside<R: Recorder>(one: Resistance, other: Resistance, rec: &mut R) -> Result<Resistance, Refusal> {
    above_zero(one, "resistance")?;
    above_zero(other, "resistance")?;
    let both = Resistance::ohm(1.0 / (1.0 / one.in_ohm() + 1.0 / other.in_ohm()));
    rec.step(|| Step::new("R", "both beside each other", "1/(1/R_1 + 1/R_2)", &OHM).with("R_1", one).with("R_2", other).gives(both));
    Ok(both)
}

/// A resistor beside an input, and what it has to bear.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bleeder {
    /// Largest resistance that keeps the input off.
    pub largest: Resistance,
    /// What it turns into heat at that resistance while the signal is on.
    pub heat: Power,
}

/// The largest resistor beside an input that keeps leakage from holding it on; `None` where none is needed.
///
/// 1/R_b = I/U_off − 1/R. Its heat is U²/R_b while the signal is on; take the next smaller value of a row and twice the power.
///
/// # Errors
/// When an input is out of its range.
///
/// Source: Ohm's law. Worked example: 1.7 mA, off up to 5 V, 5000 Ω: 1/R_b = 0.34 mS − 0.2 mS, 7143 Ω; at 24 V 81 mW.
/// ```
/// use calc::{control::input::bleeder, working::Silent};
/// use plant::quantity::{Current, Resistance, Voltage};
/// let b = bleeder(Current::ma(1.7), Voltage::v(5.0), Resistance::ohm(5000.0), Voltage::v(24.0), &mut Silent).unwrap().unwrap();
/// assert!((b.largest.in_ohm() - 7142.857).abs() < 0.001 && (b.heat.in_w() - 0.08064).abs() < 1e-5);
/// assert!(bleeder(Current::ma(0.5), Voltage::v(5.0), Resistance::ohm(5000.0), Voltage::v(24.0), &mut Silent).unwrap().is_none());
/// ```
pub fn bleeder<R: Recorder>(
    leakage: Current,
    off: Voltage,
    resistance: Resistance,
    on: Voltage,
    rec: &mut R,
) -> Result<Option<Bleeder>, Refusal> {
    not_below_zero(leakage, "leakage")?;
    above_zero(off, "off level")?;
    above_zero(resistance, "resistance of the input")?;
    let siemens = leakage.in_a() / off.in_v() - 1.0 / resistance.in_ohm();
    if siemens <= 0.0 {
        rec.step(|| Step::new("R_b", "resistor beside the input", "1/(I/U_off − 1/R)", &OHM).gives("none is needed"));
        return Ok(None);
    }
    let largest = Resistance::ohm(1.0 / siemens);
    let heat = Power::w(on.in_v() * on.in_v() / largest.in_ohm());
    rec.step(|| {
        Step::new("R_b", "largest resistor beside the input", "1/(I/U_off − 1/R)", &OHM)
            .with("I", leakage)
            .with("U_off", off)
            .with("R", resistance)
            .gives(largest)
    });
    rec.step(|| Step::new("P_b", "its heat while on", "U²/R_b", &OHM).with("U", on).with("R_b", largest).gives(heat));
    Ok(Some(Bleeder { largest, heat }))
}

/// Limits of an input type.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TypeLimits {
    /// Surely off up to here, whatever current flows below its limit.
    pub off: Voltage,
    /// Surely on from here.
    pub on: Voltage,
    /// Highest voltage while on.
    pub highest: Voltage,
}

/// Limits of an input type of the standard, at 24 V direct or 120 V alternating; `None` for another type or supply.
///
/// Source: IEC 61131-2 Table 7. Worked example: a type 3 input at 24 V d.c. is on from 11 V.
/// ```
/// use calc::{control::input::type_limits, working::Silent};
/// assert_eq!(type_limits("24 V dc", "3", &mut Silent).unwrap().on.in_v(), 11.0);
/// ```
pub fn type_limits<R: Recorder>(supply: &str, kind: &str, rec: &mut R) -> Option<TypeLimits> {
    let (off, on, highest) = match (supply, kind) {
        ("24 V dc", "1") => (5.0, 15.0, 30.0),
        ("24 V dc", "2" | "3") => (5.0, 11.0, 30.0),
        ("120 V ac", "1") => (20.0, 79.0, 132.0),
        ("120 V ac", "2" | "3") => (20.0, 74.0, 132.0),
        _ => return None,
    };
    let limits = TypeLimits { off: Voltage::v(off), on: Voltage::v(on), highest: Voltage::v(highest) };
    rec.step(|| Step::new("U_off", "surely off up to", "", &INPUT_TYPES).gives(limits.off));
    rec.step(|| Step::new("U_on", "surely on from", "", &INPUT_TYPES).gives(limits.on));
    Some(limits)
}

/// `calc input-off`.
pub const INPUT_OFF: Calculation = Calculation {
    name: "input-off",
    summary: "Voltage that the leakage of an output that is off leaves on an input, and whether the input is off with it.",
    inputs: &[
        quantity::<dim::CurrentDim>("leakage", "current of the output while off"),
        quantity::<dim::ResistanceDim>("resistance", "resistance of the input, with a resistor beside it where there is one"),
        quantity::<dim::VoltageDim>("off", "up to here the input is surely off"),
    ],
    results: &[
        output::<dim::VoltageDim>("voltage", "V", "voltage on the input"),
        output::<dim::RatioDim>("share", "%", "share of the off level: above 100 % the input may be on"),
    ],
    sources: &[&OHM],
    run: |a: &Arguments, w: &mut Working| {
        let off: Voltage = a.get("off");
        above_zero(off, "off level")?;
        let volts = off_voltage(a.get("leakage"), a.get("resistance"), w)?;
        w.step(|| Step::new("s", "share of the off level", "U/U_off", &DEFINITION).with("U", volts).with("U_off", off));
        Ok(vec![volts.in_si(), volts / off])
    },
};

/// `calc input-bleeder`.
pub const BLEEDER: Calculation = Calculation {
    name: "input-bleeder",
    summary: "Largest resistor beside an input that keeps leakage from holding it on.",
    inputs: &[
        quantity::<dim::CurrentDim>("leakage", "current of the output while off"),
        quantity::<dim::VoltageDim>("off", "up to here the input is surely off"),
        quantity::<dim::ResistanceDim>("resistance", "resistance of the input"),
        quantity::<dim::VoltageDim>("on", "voltage while the signal is on"),
    ],
    results: &[
        output::<dim::ResistanceDim>("largest", "Ω", "largest resistance beside the input"),
        output::<dim::PowerDim>("heat", "W", "its heat while on"),
    ],
    sources: &[&OHM],
    run: |a: &Arguments, w: &mut Working| match bleeder(a.get("leakage"), a.get("off"), a.get("resistance"), a.get("on"), w)? {
        Some(found) => Ok(vec![found.largest.in_si(), found.heat.in_si()]),
        None => Err(Refusal::new("none is needed: the leakage leaves less than the off level on the input")),
    },
};

/// `calc input-type`.
pub const INPUT_TYPE: Calculation = Calculation {
    name: "input-type",
    summary: "Where a digital input of a type of IEC 61131-2 is surely off and surely on.",
    inputs: &[
        word("supply", &["24 V dc", "120 V ac"], "nominal supply of the signal"),
        word("type", &["1", "2", "3"], "type of the input"),
    ],
    results: &[
        output::<dim::VoltageDim>("off", "V", "surely off up to here"),
        output::<dim::VoltageDim>("on", "V", "surely on from here"),
        output::<dim::VoltageDim>("highest", "V", "highest voltage while on"),
    ],
    sources: &[&INPUT_TYPES],
    run: |a: &Arguments, w: &mut Working| match type_limits(a.word("supply"), a.word("type"), w) {
        Some(limits) => Ok(vec![limits.off.in_si(), limits.on.in_si(), limits.highest.in_si()]),
        None => Err(Refusal::new("no such type")),
    },
};
