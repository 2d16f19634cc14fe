//! The factors of IEC 60909-0: voltage factor, correction of transformers, peak.

use plant::quantity::{Ratio, Voltage};

use crate::checks::worded;
use crate::sources::{Knowledge, Source};

/// Voltage factor.
pub const VOLTAGE_FACTOR: Source = Source::new("IEC 60909-0:2016 Table 1, voltage factor c", Knowledge::FromMemory);
/// The network.
pub const NETWORK: Source = Source::new("IEC 60909-0:2016 6.2: Z_Q = c·U_n²/S_k\"", Knowledge::FromMemory);
/// Transformers.
pub const CORRECTION: Source =
    Source::new("IEC 60909-0:2016 6.3.3: K_T = 0.95·c_max/(1 + 0.6·x_T), for the largest current", Knowledge::FromMemory);
/// The equivalent source.
pub const INITIAL: Source = Source::new("IEC 60909-0:2016 8.2.1: I_k\" = c·U_n/(√3·Z_k)", Knowledge::FromMemory);
/// Peak.
pub const PEAK: Source = Source::new("IEC 60909-0:2016 8.1: κ = 1.02 + 0.98·e^(−3·R/X), i_p = κ·√2·I_k\"", Knowledge::FromMemory);
/// Warm conductors.
pub const WARM: Source =
    Source::new("IEC 60909-0:2016 7.1.2: R = R_20·(1 + 0.004·(θ − 20 °C)) for the smallest current", Knowledge::FromMemory);

worded! {
    /// Which current.
    Case "case" {
        Largest "max" "Largest current: cold conductors, high voltage. For what must withstand it.";
        Smallest "min" "Smallest current: conductors at the end of the fault, low voltage. For what must trip on it.";
    }
}

worded! {
    /// How far the voltage of a low-voltage supply rises.
    Tolerance "voltage tolerance" {
        Ten "10" "+10 %: c_max = 1.10, as most supplies are.";
        Six "6" "+6 %: c_max = 1.05.";
    }
}

/// Up to this a supply is of low voltage.
const LOW_VOLTAGE: Voltage = Voltage::v(1000.0);

/// Voltage factor: 1.05 or 1.10 for the largest current at low voltage, 0.95 or 0.90 for the smallest; 1.10 and 1.00 above 1 kV.
///
/// ```
/// use calc::feeder::iec::{Case, Tolerance, voltage_factor};
/// use plant::quantity::Voltage;
/// let c = |u, case| voltage_factor(Voltage::v(u), case, Tolerance::Ten);
/// assert_eq!([c(400.0, Case::Largest), c(400.0, Case::Smallest), c(1e4, Case::Largest), c(1e4, Case::Smallest)], [1.1, 0.9, 1.1, 1.0]);
/// ```
#[must_use]
pub fn voltage_factor(nominal: Voltage, case: Case, tolerance: Tolerance) -> f64 {
    match (nominal <= LOW_VOLTAGE, case, tolerance) {
        (true, Case::Largest, Tolerance::Ten) => 1.10,
        (true, Case::Largest, Tolerance::Six) => 1.05,
        (true, Case::Smallest, Tolerance::Ten) => 0.90,
        (true, Case::Smallest, Tolerance::Six) => 0.95,
        (false, Case::Largest, _) => 1.10,
        (false, Case::Smallest, _) => 1.00,
    }
}

/// Correction of a transformer: K_T = 0.95·c_max/(1 + 0.6·x_T), c_max of its low-voltage side.
///
/// Worked example: 1.0213 for 4 % with 1.03 % of resistance at c_max = 1.10.
/// ```
/// use calc::feeder::iec::transformer_correction;
/// use plant::quantity::Ratio;
/// assert!((transformer_correction(Ratio::percent(4.0), Ratio::percent(1.03), 1.1) - 1.0213).abs() < 1e-4);
/// ```
#[must_use]
pub fn transformer_correction(impedance: Ratio, resistance: Ratio, c_max: f64) -> f64 {
    let x = (impedance.in_of_one().powi(2) - resistance.in_of_one().powi(2)).max(0.0).sqrt();
    0.95 * c_max / (1.0 + 0.6 * x)
}

/// Peak factor: κ = 1.02 + 0.98·e^(−3·R/X), from 1.02 for pure resistance to 2.
#[must_use]
pub fn peak_factor(r: f64, x: f64) -> f64 {
    if x > 0.0 { 1.02 + 0.98 * (-3.0 * r / x).exp() } else { 1.02 }
}
