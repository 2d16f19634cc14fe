//! The drive: what it can give, for how long, and how site conditions reduce it.

pub mod capability;
pub mod derate;
pub mod losses;
pub mod overload;
pub mod windows;

/// The calculations of this subject that can be called by name.
pub const CALCULATIONS: &[&crate::registry::Calculation] = &[
    &overload::SMALLEST_RATING,
    &capability::OVERLOAD_CURRENT,
    &capability::OVERLOAD_TIME,
    &capability::OVERLOAD_COMPARE,
    &capability::OVERLOAD_BASE_LOAD,
    &capability::DUTY_CLASS,
    &derate::DERATE,
    &derate::ALTITUDE_HABIT_CALCULATION,
    &losses::DRIVE_LOSSES,
];
