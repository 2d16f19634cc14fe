//! The conductors that feed the unit, and those that it feeds.

pub mod drop_too_large;
pub mod earth_too_small;
pub mod motor_drop_too_large;
pub(crate) mod motor_run;
pub mod output_too_small;
pub(crate) mod run;
pub mod supply_too_small;
