//! Figures as SVG, made on the server: each readable without colour, with a text beside it that says the same.

pub(crate) mod chart;
pub(crate) mod margins;
pub(crate) mod wiring;
