//! The table of all checks. A name once published is never used for another fault; a name that was replaced
//! stays in [`REPLACED`], so that old dossiers and decisions stay readable.

use crate::check::Check;
use crate::{braking, motor, rating, speed, supply};

/// Every check, in the order of the job. `cargo xtask new-finding GROUP/NAME` adds a line.
pub const CHECKS: &[&Check] = &[
    &rating::motor_current_uncovered::CHECK,
    &rating::measured_current_uncovered::CHECK,
    &rating::site_current_short::CHECK,
    &rating::overload_short::CHECK,
    &rating::breakaway_short::CHECK,
    &rating::less_than_old::CHECK,
    &rating::motor_too_small::CHECK,
    &speed::top_speed_short::CHECK,
    &motor::volts_per_hertz_differs::CHECK,
    &motor::kind_not_run::CHECK,
    &motor::several_on_vector::CHECK,
    &motor::overloads_missing::CHECK,
    &motor::hot_at_low_speed::CHECK,
    &supply::voltage_outside_class::CHECK,
    &supply::phase_missing_or_unbalanced::CHECK,
    &supply::links_to_earth::CHECK,
    &braking::energy_without_way_out::CHECK,
];

/// Old name and the name that took its place.
pub const REPLACED: &[(&str, &str)] = &[];

/// The check of that name, also by a name it had before.
#[must_use]
pub fn find(name: &str) -> Option<&'static Check> {
    let name = REPLACED.iter().find(|(old, _)| *old == name).map_or(name, |(_, new)| new);
    CHECKS.iter().find(|c| c.name == name).copied()
}
