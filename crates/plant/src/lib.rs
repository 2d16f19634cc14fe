//! The nouns of a drive replacement, free of files, clock and calculation.
pub mod quantity;
