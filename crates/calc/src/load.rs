//! The driven machine: what torque and power it asks for, its inertia, its duty cycle.

/// The calculations of this subject that can be called by name.
pub const CALCULATIONS: &[&crate::registry::Calculation] = &[];
