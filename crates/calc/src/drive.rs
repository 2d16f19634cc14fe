//! The drive: what it can give, for how long, and how site conditions reduce it.

/// The calculations of this subject that can be called by name.
pub const CALCULATIONS: &[&crate::registry::Calculation] = &[];
