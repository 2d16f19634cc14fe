//! Whether the speeds in use can be reached.

pub mod top_speed_short;
