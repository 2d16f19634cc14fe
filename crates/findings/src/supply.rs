//! What the supply is against what the unit stands.

pub mod bank_switching;
pub mod drops_out_on_dips;
pub mod earth_fault_unseen;
pub mod generator_too_small;
pub mod links_to_earth;
pub mod notched_line;
pub mod phase_missing_or_unbalanced;
pub mod reactors_in_series;
pub mod residual_device_trips;
pub mod source_too_stiff;
pub mod switched_too_often;
pub mod voltage_outside_class;
