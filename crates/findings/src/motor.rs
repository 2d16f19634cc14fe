//! What the motor is and how it likes to be fed.

pub mod bearing_currents;
pub mod hot_at_low_speed;
pub mod kind_not_run;
pub mod overloads_missing;
pub mod sensor_not_read;
pub mod several_on_vector;
pub mod volts_per_hertz_differs;
pub mod winding_overstressed;
