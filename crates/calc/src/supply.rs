//! The supply: its voltage, balance, phases and grounding, and the air the drive stands in.

pub mod air;
pub mod balance;
pub mod grounding;
pub mod window;

/// The calculations of this subject that can be called by name.
pub const CALCULATIONS: &[&crate::registry::Calculation] = &[
    &window::SUPPLY_WINDOW,
    &balance::VOLTAGE_UNBALANCE,
    &balance::UNBALANCE_DERATING,
    &balance::SINGLE_PHASE_DERATE,
    &window::DC_LINK,
    &window::FLUX,
    &grounding::GROUNDING_VOLTAGES,
    &grounding::GROUNDING_READINGS,
    &air::ALTITUDE_AIR,
    &air::AIR_HEAT_CAPACITY,
    &air::CLEARANCE_ALTITUDE,
];
