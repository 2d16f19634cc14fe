//! Harmonics of diode front ends: what a drive's rectifier draws, what that does at the point of common coupling, and when a
//! reactor is called for.
//!
//! The bridge is piecewise linear: between two switching instants of its diodes it is a linear circuit whose exponential
//! series is summed to rounding ([`front_end`]). The state at the start of a sixth of a cycle that comes back after it is
//! found by Newton's method. Conduction is continuous or not, commutation overlaps, and the DC current may circulate
//! through the bridge; nothing of it is approximated by small steps.

mod calls;
mod capacitor;
mod circuit;
mod coupling;
mod front_end;
mod ideal;
mod limits;
mod mode;
mod network;
mod reduced;
mod source;
mod spectrum;
mod steady;
#[cfg(test)]
mod tests;
mod walk;

pub use calls::{
    CAPACITOR_LIFE, CURRENT_DISTORTION_LIMIT, DIODE_FRONT_END, FRONT_END_CHANGE, HARMONICS_AT_COUPLING, IDEAL_BRIDGE, REACTOR_NEED,
    SOURCE_IMPEDANCE, VOLTAGE_DISTORTION_LIMIT,
};
pub use capacitor::{MINER, Service, TEN_KELVIN, capacitor_life};
pub use circuit::{Circuit, Feed, Impedance, Load};
pub use coupling::{AtCoupling, Change, Coupling, SUMMATION, TDD, at_coupling, compare, tdd_with_diversity};
pub use front_end::{FrontEnd, front_end};
pub use ideal::{BLOCKS, IdealBridge, ideal_bridge};
pub use limits::{
    CurrentLimits, Edition, IEEE_519_EVEN, IEEE_519_TABLE_1, IEEE_519_TABLE_2, VoltageLimits, current_limits, voltage_limits,
};
pub use source::{Ahead, DriveBase, Feeder, ReactorNeed, SourceImpedance, reactor_need, source_impedance};
pub use spectrum::{ORDERS, Spectrum};
pub use steady::Found;

use crate::sources::{Knowledge, Source};

/// The bridge's mean voltage.
pub const BRIDGE_CIRCUIT: Source = Source::new("mean of the rectified line voltage", Knowledge::Derived);
/// The method.
pub const PIECEWISE: Source =
    Source::new("piecewise-linear circuit, solved exactly between switching instants; checked against ngspice", Knowledge::Derived);

/// The calculations of this subject that can be called by name.
pub const CALCULATIONS: &[&crate::registry::Calculation] = &[
    &DIODE_FRONT_END,
    &FRONT_END_CHANGE,
    &HARMONICS_AT_COUPLING,
    &CURRENT_DISTORTION_LIMIT,
    &VOLTAGE_DISTORTION_LIMIT,
    &IDEAL_BRIDGE,
    &SOURCE_IMPEDANCE,
    &REACTOR_NEED,
    &CAPACITOR_LIFE,
];
