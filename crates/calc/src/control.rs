//! Control wires: whether an input sees on and off, whether a contact switches its load, whether a current loop has volts enough,
//! whether an encoder is counted.

pub mod contact;
pub mod current_loop;
pub mod encoder;
pub mod input;

/// The calculations of this subject that can be called by name.
pub const CALCULATIONS: &[&crate::registry::Calculation] = &[
    &input::INPUT_OFF,
    &input::INPUT_TYPE,
    &input::BLEEDER,
    &contact::CONTACT_LOAD,
    &contact::PILOT_DUTY,
    &current_loop::LOOP_VOLTAGE,
    &encoder::ENCODER_FREQUENCY,
];
