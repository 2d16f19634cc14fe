//! Network words: what becomes of every word and bit of the old drive when the new one answers instead.
//!
//! From two layouts follow the mapping ([`map`]), the function block that shows the old layout to the old program ([`block`]),
//! simulated drives of both ([`drive`]), and the proof over every value of every word ([`proof`]).

pub mod block;
pub mod bytes;
pub mod drive;
mod logic;
pub mod map;
pub mod pair;
pub mod profiles;
pub mod proof;
pub mod rig;
pub mod scale;
pub mod script;
