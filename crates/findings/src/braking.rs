//! Where the energy of a driving load goes.

pub mod energy_without_way_out;
