//! The plan of a shutdown: how long tasks take, in which order, when all is done, and until when one can still turn back.

pub mod estimate;
pub mod network;
mod registered;
pub mod simulate;

#[cfg(test)]
mod tests;

/// The calculations of this subject that can be called by name.
pub const CALCULATIONS: &[&crate::registry::Calculation] =
    &[&registered::TASK_TIME, &registered::CRITICAL_PATH, &registered::CHANCE_AND_TURN_BACK];
