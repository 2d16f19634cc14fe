//! What the unit draws from the line beside its fundamental.

pub mod limit_exceeded;
