//! Between the unit and the motor: waves on the cable and what the winding stands, charging current, filters and reactors, bearing
//! currents, the bypass.

pub mod bearing;
pub mod bypass;
pub mod charging;
pub mod critical;
pub mod drop;
pub mod filter;
pub mod flux_decay;
pub mod lattice;
pub mod limits;
pub mod reflected;
#[cfg(test)]
mod tests;

/// A short time as people in the trade say it; plainer than parts of a second.
fn micros(time: plant::quantity::Time) -> String {
    format!("{} µs", plant::quantity::digits(time.in_us(), 4))
}

/// The calculations of this subject that can be called by name.
pub const CALCULATIONS: &[&crate::registry::Calculation] = &[
    &critical::CRITICAL_LENGTH,
    &critical::REFLECTION,
    &reflected::REFLECTED_WAVE,
    &limits::MOTOR_VOLTAGE_LIMIT,
    &limits::LIMIT_FROM_WORDING,
    &charging::CABLE_CHARGING,
    &filter::FILTER_REUSE,
    &filter::FILTER_RESONANCE,
    &drop::MOTOR_CABLE_DROP,
    &drop::VOLTAGE_AT_MOTOR,
    &bearing::BEARING_CURRENT_RISK,
    &flux_decay::FLUX_DECAY,
    &bypass::ROTATION_TABLE,
];
