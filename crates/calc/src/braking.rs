//! Braking and the stop: what comes back, the resistor that takes it, the shortest stop that holds, the DC link as a store, the
//! holding brake.

pub mod cycle_heat;
pub mod discharge;
pub mod failure;
pub mod hoist;
pub mod link;
pub mod regen;
pub mod resistor;
pub mod stop;
#[cfg(test)]
mod tests;
pub mod window;

/// The calculations of this subject that can be called by name.
pub const CALCULATIONS: &[&crate::registry::Calculation] = &[
    &regen::REGENERATED_POWER,
    &window::RESISTOR_WINDOW,
    &window::RESISTOR_ARRANGEMENT,
    &resistor::RESISTOR_HEAT,
    &resistor::RESISTOR_OVERLOAD,
    &cycle_heat::RESISTOR_CYCLE,
    &failure::SHORTED_CHOPPER,
    &stop::SHORTEST_STOP,
    &stop::BUS_REGULATOR_STOP,
    &link::BUS_ABSORBS,
    &link::BUS_MEMBERS,
    &link::RIDE_THROUGH,
    &discharge::CAPACITOR_DISCHARGE,
    &discharge::DISCHARGE_EXEMPT,
    &hoist::BRAKE_RELEASE,
    &hoist::BRAKE_SET,
];
