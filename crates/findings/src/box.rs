//! The box that the drive is built into: does it go in, do the conductors land, does it stay cool and closed.

pub mod air_too_hot;
pub mod cables_enter_elsewhere;
pub mod conductor_outside_terminal;
pub mod door_stays_open;
pub mod listed_unit_altered;
pub mod no_place_on_plate;
pub mod rating_lost;
