//! Engineering calculations of a drive replacement: pure functions from published sources, one file a
//! subject, generic over a recorder of working. No packs, no files, no clock, no text meant for screens.

pub mod braking;
pub mod cable;
mod checks;
pub mod conductor;
pub mod control;
pub mod drive;
pub mod enclosure;
pub mod feeder;
pub mod harmonics;
pub mod load;
pub mod motor;
pub mod network;
pub mod plan;
pub mod registry;
pub mod sources;
pub mod supply;
pub mod working;

pub use registry::Refusal;
