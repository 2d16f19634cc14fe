//! The supply: its voltage, balance, phases and grounding, and the air the drive stands in.

/// The calculations of this subject that can be called by name.
pub const CALCULATIONS: &[&crate::registry::Calculation] = &[];
