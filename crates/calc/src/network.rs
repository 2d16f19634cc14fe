//! The network between controller and drive: how long a request takes on a serial line, and what a delay costs a control loop.

pub mod phase_lag;
pub mod request_time;

/// The calculations of this subject that can be called by name.
pub const CALCULATIONS: &[&crate::registry::Calculation] = &[&request_time::REQUEST_TIME, &phase_lag::PHASE_LAG];
