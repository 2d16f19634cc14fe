//! Tests of the crate from outside, in one program: what reads, what is refused, what is written back.

#![allow(clippy::expect_used, clippy::panic, reason = "helpers of tests stop at the first broken expectation, as tests do")]
mod common;
mod control;
mod editing;
mod guide;
mod mistakes;
mod network;
mod reading;
mod robust;
mod templates;
mod ticks;
