//! From old to new by meaning: `words` (network words and bits), `settings`, `behaviour` (how both act on the same events), and the program language that the block is written in.

pub mod behaviour;
pub mod program;
pub mod settings;
pub mod words;
