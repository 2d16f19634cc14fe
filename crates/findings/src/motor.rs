//! What the motor is and how it likes to be fed.

pub mod volts_per_hertz_differs;
pub mod kind_not_run;
pub mod several_on_vector;
pub mod overloads_missing;
pub mod hot_at_low_speed;
