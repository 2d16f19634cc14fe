//! Conductors: what they may carry, which size is needed, how they are protected, and the voltage they lose. American
//! tables (NEC) and IEC tables stand side by side; a size of the one is no size of the other.
//!
//! Every ampacity here is a table's, for the conditions that the table states. The local code, the listing of the equipment
//! and a licensed electrician come first.

pub mod drop;
pub mod earth;
pub mod iec_ampacity;
pub mod impedance;
pub mod judge;
pub mod judge_iec;
pub mod nec_ampacity;
pub mod protection;
pub mod required;
pub mod reuse;
pub mod size;
pub mod terminal;

/// The calculations of this subject that can be called by name.
pub const CALCULATIONS: &[&crate::registry::Calculation] = &[
    &nec_ampacity::NEC_AMPACITY,
    &iec_ampacity::IEC_AMPACITY,
    &iec_ampacity::IEC_OVERLOAD,
    &impedance::DC_RESISTANCE,
    &impedance::CABLE_IMPEDANCE,
    &impedance::IEC_CABLE_IMPEDANCE,
    &required::REQUIRED_AMPACITY,
    &required::SEVERAL_MOTORS,
    &judge::CONDUCTOR_SIZE,
    &judge::CONDUCTOR_VERDICT,
    &judge_iec::IEC_CONDUCTOR_SIZE,
    &judge_iec::IEC_CONDUCTOR_VERDICT,
    &protection::BRANCH_PROTECTION,
    &protection::STANDARD_RATING,
    &earth::EARTHING_CONDUCTOR,
    &drop::VOLTAGE_DROP,
    &drop::VOLTAGE_DROP_K,
    &drop::VOLTAGE_DROP_IEC,
    &terminal::TERMINAL_FIT,
    &reuse::PROTECTION_REUSE,
];
