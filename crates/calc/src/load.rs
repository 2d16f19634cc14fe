//! The driven machine: what torque and power it asks for, its inertia, its duty cycle.

pub mod duty;
pub mod gearing;
pub mod heating;
pub mod inertia;
pub mod kinds;
pub mod machines;
pub mod run_up;

use plant::quantity::{Dimension, Quantity, Ratio};

use crate::registry::Refusal;

/// The calculations of this subject that can be called by name.
pub const CALCULATIONS: &[&crate::registry::Calculation] = &[
    &kinds::LOAD_TORQUE,
    &machines::HOIST_POWER,
    &machines::CONVEYOR_POWER,
    &machines::INCLINE_FORCE,
    &machines::PUMP_POWER,
    &machines::PUMP_POWER_US,
    &machines::FAN_POWER,
    &machines::FAN_POWER_US,
    &machines::AFFINITY,
    &machines::AFFINITY_POINT,
    &gearing::REFLECTED_INERTIA,
    &gearing::REFLECTED_LOAD,
    &inertia::ACCELERATION_TORQUE,
    &inertia::ACCELERATION_TIME,
    &inertia::ACCELERATION_TIME_WK2,
    &inertia::INERTIA_FROM_RUN,
    &inertia::KINETIC_ENERGY,
    &inertia::BRAKING_POWER,
    &run_up::RUN_UP_TIME,
    &run_up::COAST_DOWN_TIME,
    &heating::RMS_TORQUE,
    &heating::SHORT_TIME_FACTOR,
    &heating::INTERMITTENT_FACTOR,
    &duty::DUTY_RECORD,
];

/// Refuses what is not above zero, or no number.
pub(crate) fn above_zero<D: Dimension>(value: Quantity<D>, what: &str) -> Result<(), Refusal> {
    if value.in_si() > 0.0 && value.is_finite() { Ok(()) } else { Err(Refusal::new(format!("the {what} must be above zero, not {value}"))) }
}

/// Refuses what is below zero, or no number.
pub(crate) fn not_below_zero<D: Dimension>(value: Quantity<D>, what: &str) -> Result<(), Refusal> {
    if value.in_si() >= 0.0 && value.is_finite() {
        Ok(())
    } else {
        Err(Refusal::new(format!("the {what} must not be below zero: {value}")))
    }
}

/// Refuses an efficiency outside 0 … 100 %.
pub(crate) fn efficiency_is_sound(value: Ratio, what: &str) -> Result<(), Refusal> {
    if value.in_of_one() > 0.0 && value.in_of_one() <= 1.0 {
        Ok(())
    } else {
        Err(Refusal::new(format!("the {what} lies above 0 and up to 100 %, not at {value}")))
    }
}
