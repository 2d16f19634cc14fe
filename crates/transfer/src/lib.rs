//! From old to new by meaning: `words` (network words and bits), `wires`, `settings`, `allocate` (signals to points and modules to slots at
//! least cost), `behaviour` (how both act on the same events), and the program language that the block is written in.

pub mod allocate;
pub mod behaviour;
pub mod program;
pub mod settings;
pub mod wires;
pub mod words;
