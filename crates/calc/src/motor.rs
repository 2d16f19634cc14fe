//! The motor: what its plate says, what follows from it, what it draws and what it may carry.

pub mod shaft;
