//! One file per fault that a replacement may have: its check, its page, its tests. One table registers them all.

pub mod r#box;
pub mod braking;
pub mod candidate;
pub mod caution;
pub mod check;
pub mod conductors;
pub mod curves;
pub mod demand;
pub mod facts;
pub mod failure_modes;
pub mod figures;
#[cfg(test)]
mod fixture;
mod front_end;
pub mod harmonics;
mod line;
pub mod motor;
pub mod output;
pub mod protection;
pub mod rating;
pub mod registry;
pub mod speed;
pub mod supply;
pub mod surroundings;
pub mod words;
