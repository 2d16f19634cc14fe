//! From old to new by meaning: `words` (network words and bits), `settings`, `allocate` (signals to points and modules to slots at least
//! cost), and the program language that the block is written in.

pub mod allocate;
pub mod program;
pub mod settings;
pub mod wires;
pub mod words;
