//! The small program language in which an answer to a programmer is written: checked (`check`), run (`Machine`) and given names that a
//! controller takes (`names`). The tree itself is `dossier::program`, so that what is run here is what is printed.
//!
//! Meaning, after IEC 61131-3 (clauses from memory):
//!
//! - Names mean the same in capitals and small letters. Nothing changes its type unless a conversion is written.
//! - INT, UINT, DINT and UDINT keep their low 16 or 32 bits when a result does not fit. The standard leaves that to the maker; keeping the
//!   low bits is common practice, no source. [`Machine::wraps`] counts each time, so that a block can be shown never to rely on it.
//! - A division by zero, whole or REAL, and a MOD by zero stop the machine with a fault, as does a REAL that is no longer a finite number
//!   and a shift by fewer than zero places. Edition 2 lets a MOD by zero give 0 (table 24); controllers differ, so it is a fault here.
//! - Whole division goes towards zero; MOD takes the sign of the left operand (table 24).
//! - REAL to whole: to the nearest, halves to the even neighbour (edition 2, 2.5.1.5.1); a value outside the type is a fault. TRUNC goes
//!   towards zero.
//! - WORD to INT and its like carry the bits over unchanged, and so do DWORD to REAL and back (edition 3, table 24); some controllers
//!   convert that last pair by value, so a block that uses it must say so. Whole to whole keeps the value where it fits, else the low bits.
//! - TIME is whole milliseconds in signed 32 bits, and TIME to DINT gives milliseconds: common practice, no source.
//! - `R_TRIG`, `F_TRIG`, `TON`, `TOF` after tables 36 and 38 of edition 2: a CLK that is TRUE in the first cycle is a rising edge, one that is
//!   FALSE is a falling edge. A timer's PT counts as it is in each call; time passes between cycles, not inside them.

mod blocks;
mod code;
mod compile;
mod expression;
mod machine;
pub mod names;
mod number;
mod scope;
mod straight;
#[cfg(test)]
mod tests;

use std::error::Error;
use std::fmt;

use dossier::program::Project;

pub use machine::{Fault, Machine, Place, Slot, Stopped};

/// One thing that is wrong with a program.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// Unit, and statement where there is one (from 1, in the order of the text).
    pub place: String,
    /// What is wrong, and what was expected.
    pub what: String,
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.place, self.what)
    }
}

/// All that is wrong with a program.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wrong {
    /// Each problem in the order of the text.
    pub problems: Vec<Problem>,
}

impl fmt::Display for Wrong {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let lines: Vec<String> = self.problems.iter().map(Problem::to_string).collect();
        f.write_str(&lines.join("\n"))
    }
}

impl Error for Wrong {}

/// Checks names and types of all units.
///
/// # Errors
/// Everything that is wrong, all at once.
pub fn check(project: &Project) -> Result<(), Wrong> {
    compile::project(project).map(drop)
}
