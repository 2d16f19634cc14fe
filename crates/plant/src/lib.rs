//! The nouns of a drive replacement, free of files, clock and calculation.

pub mod choice;
pub mod control;
pub mod cutover;
pub mod decision;
pub mod fact;
pub mod network;
pub mod position;
pub mod price;
pub mod product;
pub mod quantity;
pub mod settings;
pub mod shared;
pub mod survey;
pub mod vocabulary;
pub mod wires;
