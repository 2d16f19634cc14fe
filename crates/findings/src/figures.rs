//! Figures of the power path that are no faults: what the audit shows beside the findings, for the old drive and for the new unit
//! alike. Each is a function of one completion of the survey, as a check is; the ranges are handled above.

pub mod braking;
pub mod harmonics;
pub mod link;
pub mod output;
pub mod supply;
pub mod terminal;

use plant::quantity::DimensionInfo;

use crate::check::Check;

/// One figure.
#[derive(Debug)]
pub struct Figure {
    /// What it is, as a line of the audit says it.
    pub what: &'static str,
    /// What its number stands for; the number is in SI units.
    pub dimension: &'static DimensionInfo,
    /// The function, in the shape of a check whose margin is the figure: it stands in no table of faults and gives no verdict.
    pub check: Check,
}

/// `figure!(NAME, "name", "what it is", Dimension, function)`: fills in both functions.
macro_rules! figure {
    ($name:ident, $path:literal, $what:literal, $dimension:ident, $run:ident) => {
        #[doc = concat!("The figure: ", $what, ".")]
        pub static $name: $crate::figures::Figure = $crate::figures::Figure {
            what: $what,
            dimension: <plant::quantity::dim::$dimension as plant::quantity::Dimension>::INFO,
            check: $crate::check::Check {
                name: $path,
                severity: $crate::check::Severity::Nuisance,
                rows: &[],
                unit: "",
                ways: &[],
                undone: &[],
                measures: &[],
                page: "",
                quick: $run::<calc::working::Silent>,
                worked: $run::<calc::working::Working>,
                remedies: $crate::check::no_remedy,
            },
        };
    };
}
use figure;
