//! What the drive can carry against what the motor and the load ask for.

pub mod breakaway_short;
pub mod less_than_old;
pub mod measured_current_uncovered;
pub mod motor_current_uncovered;
pub mod motor_too_small;
pub mod overload_short;
pub mod site_current_short;
