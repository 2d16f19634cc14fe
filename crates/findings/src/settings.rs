//! What becomes of the machine's behaviour when the numbers of the old drive are typed over, or the new one is left as delivered. Each fault
//! is looked at for a unit that was set up so, and again with the sheet of `changeout settings`, which carries every setting by its meaning:
//! then only what the unit cannot be set to is left.

pub mod base_of_other_grid;
pub mod carrier_audible;
#[cfg(test)]
pub(crate) mod cases;
pub mod coasting_not_caught;
pub mod critical_speeds_run;
pub mod duty_class_differs;
pub mod fixed_speeds_shuffled;
pub mod flux_lowered;
pub mod identification_turns_shaft;
pub mod limit_of_other_base;
pub mod load_sharing_lost;
pub mod logic_vanished;
pub(crate) mod look;
pub mod motor_unprotected;
pub mod process_loop_swings;
pub mod protection_off;
pub mod raise_lower_remembers;
pub mod ramp_of_other_base;
pub mod reference_loss_differs;
pub mod reverse_let_in;
pub mod rounding_on_top;
pub mod slip_added;
pub mod starts_with_power;

use crate::candidate::{Candidate, Measure, Remedy};

/// Minutes of an engineer to enter a sheet and to compare the unit against it. Common practice, no source.
const SHEET_MINUTES: f64 = 60.0;
/// Minutes to switch protection on again and to find out why it was off. Common practice, no source.
const PROTECTION_MINUTES: f64 = 30.0;
/// Minutes to build some timers and interlocks anew and to try them. Common practice, no source.
const LOGIC_MINUTES: f64 = 240.0;

/// The sheet, entered and compared.
pub(crate) fn sheet(_: &Candidate<'_>) -> Vec<Remedy> {
    vec![Remedy {
        measure: Measure::SettingsSheet,
        what: "enter the settings by their meaning, in the order of the sheet of “changeout settings”, and compare the unit with the sheet before \
               the first start"
            .to_owned(),
        parts: None,
        minutes: SHEET_MINUTES,
    }]
}

/// What was off is switched on.
pub(crate) fn protection_on(_: &Candidate<'_>) -> Vec<Remedy> {
    vec![Remedy {
        measure: Measure::ProtectionOn,
        what: "leave the protection on that the old unit had off; find out with the plant why somebody switched it off, and mend that"
            .to_owned(),
        parts: None,
        minutes: PROTECTION_MINUTES,
    }]
}

/// The logic in relays or in the controller.
pub(crate) fn logic_rebuilt(_: &Candidate<'_>) -> Vec<Remedy> {
    vec![Remedy {
        measure: Measure::LogicRebuilt,
        what:
            "write down with the plant what the settings without a counterpart did, build it in relays or in the controller, and try each \
               condition before the machine runs"
                .to_owned(),
        parts: None,
        minutes: LOGIC_MINUTES,
    }]
}
