//! The motor: what its plate says, what follows from it, what it draws and what it may carry.

use plant::quantity::{Dimension, Quantity, Ratio};

use crate::registry::{Calculation, Input, InputKind, Refusal, quantity};

pub mod breakdown;
pub mod circuit;
mod complex;
pub mod cooling;
pub mod current;
pub mod driven;
pub mod from_plate;
pub mod from_tests;
pub mod full_load;
pub mod losses;
pub mod nema;
pub mod nema_torques;
pub mod shaft;
#[cfg(test)]
mod tests;

/// The calculations of this subject that can be called by name.
pub const CALCULATIONS: &[&Calculation] = &[
    &shaft::SYNCHRONOUS_SPEED,
    &shaft::SLIP,
    &shaft::SHAFT_TORQUE,
    &shaft::SHAFT_POWER,
    &shaft::APPARENT_POWER,
    &shaft::FULL_LOAD_AMPS,
    &shaft::BASE_IMPEDANCE,
    &full_load::NEC_MOTOR_AMPS,
    &full_load::CLASS_EFFICIENCY,
    &full_load::CLASS_FULL_LOAD_AMPS,
    &current::MOTOR_CURRENT,
    &current::AVAILABLE_TORQUE,
    &current::NO_LOAD_CURRENT,
    &cooling::COOLING_TORQUE,
    &losses::POWER_FLOW,
    &losses::ROTOR_LOSS,
    &circuit::EQUIVALENT_CIRCUIT,
    &breakdown::THEVENIN,
    &breakdown::BREAKDOWN_TORQUE,
    &breakdown::SLIP_FOR_TORQUE,
    &driven::DRIVEN_MOTOR,
    &from_tests::STATOR_RESISTANCE,
    &from_tests::CIRCUIT_FROM_TESTS,
    &from_plate::CIRCUIT_FROM_PLATE,
    &nema::CODE_LETTER_INRUSH,
    &nema::LOCKED_ROTOR_AMPS,
    &nema::LOCKED_ROTOR_SCALING,
    &nema_torques::DESIGN_B_TORQUES,
    &nema_torques::DESIGN_RANGES,
    &nema_torques::DESIGN_TORQUES,
    &nema_torques::UNDERVOLTAGE_TORQUE,
];

/// Takes a quantity that must be a number above zero.
fn positive<D: Dimension>(what: &str, value: Quantity<D>) -> Result<f64, Refusal> {
    let si = value.in_si();
    if si > 0.0 && si.is_finite() { Ok(si) } else { Err(Refusal::new(format!("{what} must be above zero, not {value}"))) }
}

/// Takes a quantity that must be a number of zero or more.
fn not_negative<D: Dimension>(what: &str, value: Quantity<D>) -> Result<f64, Refusal> {
    let si = value.in_si();
    if si >= 0.0 && si.is_finite() { Ok(si) } else { Err(Refusal::new(format!("{what} must be zero or more, not {value}"))) }
}

/// Takes a share: above zero, at most one (an efficiency, a power factor).
fn share(what: &str, value: Ratio) -> Result<f64, Refusal> {
    let si = value.in_si();
    if si > 0.0 && si <= 1.0 { Ok(si) } else { Err(Refusal::new(format!("{what} lies above 0 and at most at 100 %, not at {value}"))) }
}

/// Room for the conversion of a unit (hp to W and back) when a rating is looked for in a table: a few bits.
const SAME_RATING: f64 = 1e-9;

/// The row whose key is `wanted`, or a refusal that names the rows on both sides of it.
fn row_of<'t, T>(rows: &'t [T], key: impl Fn(&T) -> f64, wanted: f64, unit: &str, table: &str) -> Result<&'t T, Refusal> {
    if let Some(row) = rows.iter().find(|r| (key(r) - wanted).abs() <= SAME_RATING * key(r)) {
        return Ok(row);
    }
    let below = rows.iter().map(&key).filter(|k| *k < wanted).max_by(f64::total_cmp);
    let above = rows.iter().map(&key).filter(|k| *k > wanted).min_by(f64::total_cmp);
    let near: Vec<String> = [below, above].into_iter().flatten().map(|k| format!("{k} {unit}")).collect();
    let wanted = plant::quantity::digits(wanted, 4);
    Err(Refusal::new(format!(
        "{table} has no row of {wanted} {unit}; the nearest {} {}",
        if near.len() == 1 { "is" } else { "are" },
        near.join(" and ")
    )))
}

/// A quantity input that may be left out.
const fn optional<D: Dimension>(name: &'static str, doc: &'static str) -> Input {
    Input { default: Some(""), ..quantity::<D>(name, doc) }
}

/// A word input that must be given.
const fn required_word(name: &'static str, words: &'static [&'static str], doc: &'static str) -> Input {
    Input { name, kind: InputKind::Word(words), default: None, doc }
}
