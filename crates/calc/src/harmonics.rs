//! Harmonics of diode front ends: what a drive's rectifier draws, what that does at the point of common coupling, and when a
//! reactor is called for.
//!
//! The bridge is piecewise linear: between two switching instants of its diodes it is a linear circuit whose exponential
//! series is summed to rounding ([`front_end`]). The state at the start of a sixth of a cycle that comes back after it is
//! found by Newton's method. Conduction is continuous or not, commutation overlaps, and the DC current may circulate
//! through the bridge; nothing of it is approximated by small steps.

mod circuit;
mod front_end;
mod mode;
mod network;
mod reduced;
mod spectrum;
mod steady;
#[cfg(test)]
mod tests;
mod walk;

pub use circuit::{Circuit, Feed, Impedance, Load};
pub use front_end::{FrontEnd, front_end};
pub use spectrum::{ORDERS, Spectrum};
pub use steady::Found;

use crate::sources::{Knowledge, Source};

/// The bridge's mean voltage.
pub const BRIDGE_CIRCUIT: Source = Source::new("mean of the rectified line voltage", Knowledge::Derived);
/// The method.
pub const PIECEWISE: Source =
    Source::new("piecewise-linear circuit, solved exactly between switching instants; checked against ngspice", Knowledge::Derived);
