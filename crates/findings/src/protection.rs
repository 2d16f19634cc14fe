//! What protects the branch, and what the path stands in a fault.

pub mod device_not_listed;
pub mod fault_current_above_rating;
pub mod label_out_of_date;
