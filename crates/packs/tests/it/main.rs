//! Tests of the crate from outside, in one program: what reads, what is refused, what is written back.

mod common;
mod editing;
mod mistakes;
mod reading;
mod robust;
mod templates;
