//! Drawings, control programs, settings and tables of the dossier as files. What cannot be drawn or printed truly is refused with every
//! reason at once; the same input always gives the same bytes.

pub mod bundle;
pub mod dcf;
pub mod dxf;
pub mod plcopen;
pub mod settings;
pub mod sheets;
pub mod structured_text;
pub mod svg;
pub mod wires;
pub mod xlsx;

mod check;
mod dimension;
mod figure;
mod hatch;
mod number;
mod words;

use std::error::Error;
use std::fmt;

/// Why a drawing was refused.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refused {
    /// One line for each thing that cannot be drawn, with the number of its item (from 0) and its layer.
    pub problems: Vec<String>,
}

impl fmt::Display for Refused {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "the drawing cannot be drawn: {}", self.problems.join("; "))
    }
}

impl Error for Refused {}
