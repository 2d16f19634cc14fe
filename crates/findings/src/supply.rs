//! What the supply is against what the unit stands.

pub mod links_to_earth;
pub mod phase_missing_or_unbalanced;
pub mod voltage_outside_class;
