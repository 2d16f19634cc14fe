//! The path that feeds the drive: fault currents along it, its short-circuit rating, reactors, and what goes to earth.
//!
//! Fault currents decide about equipment that must not burst. What is worked out here is as good as the data of the path; the
//! study of a competent engineer and the marking of the equipment come first.

pub mod earth;
pub mod iec;
pub mod label;
pub mod motors;
pub mod path;
pub mod rating;
pub mod reactor;
pub mod upstream;

/// The calculations of this subject that can be called by name.
pub const CALCULATIONS: &[&crate::registry::Calculation] = &[
    &path::FAULT_CURRENT,
    &path::FAULT_CURRENT_IEC,
    &motors::MOTOR_CONTRIBUTION,
    &rating::SHORT_CIRCUIT_RATING,
    &label::LABEL_CHANGED,
    &reactor::SOURCE_IMPEDANCE,
    &reactor::REACTOR_INDUCTANCE,
    &reactor::SERIES_REACTORS,
    &earth::EARTH_LEAKAGE,
    &earth::EARTH_FAULT_SEEN,
    &upstream::LINE_SWITCHING,
    &upstream::GENERATOR_SHARE,
    &upstream::CONTROL_TRANSFORMER,
];
