//! From old to new by meaning: `words` (network words and bits), `settings`, and the program language that the block is written in.

pub mod program;
pub mod settings;
pub mod words;
