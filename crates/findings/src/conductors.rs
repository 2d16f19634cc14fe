//! The conductors that feed the unit.

pub mod drop_too_large;
pub mod earth_too_small;
pub(crate) mod run;
pub mod supply_too_small;
