//! The motor: what its plate says, what follows from it, what it draws and what it may carry.

pub mod shaft;

/// The calculations of this subject that can be called by name.
pub const CALCULATIONS: &[&crate::registry::Calculation] = &[&shaft::SYNCHRONOUS_SPEED];
