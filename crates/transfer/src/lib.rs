//! From old to new, by meaning: what becomes of every network word and bit of the old drive (`words`), and the small
//! program language in which an answer to a programmer is written and tried (`program`).

pub mod program;
pub mod words;
