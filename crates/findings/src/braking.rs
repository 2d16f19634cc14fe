//! Where the energy of a driving load goes, and how the machine comes to its stop.

pub mod energy_without_way_out;
pub mod guard_opens_early;
pub mod link_members_clash;
pub mod load_let_go;
pub mod no_stop_without_line;
pub mod regeneration_lost;
pub mod resistor_outside_window;
pub mod resistor_too_hot;
pub mod resistor_unguarded;
pub(crate) mod returned;
pub mod stop_too_long;
