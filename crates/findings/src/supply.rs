//! What the supply is against what the unit stands.

pub mod voltage_outside_class;
pub mod phase_missing_or_unbalanced;
pub mod links_to_earth;
