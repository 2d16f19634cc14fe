//! How the new unit obeys its commands: what starts it, what stops it, and what people's safety rests on.

pub mod coasting_load_not_caught;
pub mod emergency_stop_otherwise;
pub mod fault_contact_reversed;
pub mod held_by_control_alone;
pub mod never_ready;
pub mod permissive_left_out;
pub mod safe_off_link_left;
pub mod safety_function_unproved;
pub(crate) mod side;
pub mod starts_by_reset;
pub mod starts_when_power_returns;

use crate::candidate::{Candidate, Measure, Remedy};

/// Minutes to set a unit's habits and to try each of them with the motor uncoupled. Common practice, no source.
const SETTING_MINUTES: f64 = 60.0;

/// Setting the habits of the new unit.
pub(crate) fn set_habits(_: &Candidate<'_>) -> Vec<Remedy> {
    vec![Remedy {
        measure: Measure::SafeHabits,
        what: "set the new unit so that nothing starts by itself, its fault contact is closed while it is healthy, and it stops by the category \
               that is needed (“changeout behaviour” names the settings); try each with the motor uncoupled"
            .to_owned(),
        parts: None,
        minutes: SETTING_MINUTES,
    }]
}
