//! What becomes of the network words of a position, as plain tables.

use serde::Serialize;

/// The answer for one old and one new layout.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Words {
    /// Tag of the position.
    pub tag: String,
    /// Series and name of the old layout.
    pub old: String,
    /// Series and name of the new layout.
    pub new: String,
    /// Every word and bit.
    pub map: Vec<Mapped>,
    /// Who may start and stop the motor, on both sides.
    pub arbitration: Vec<Source>,
    /// Names that were changed to what the controller takes.
    pub renamed: Vec<Renamed>,
    /// What the proof found; `None` when none could be made.
    pub proof: Option<Proof>,
    /// Facts without which no block is written, with what to read.
    pub open: Vec<String>,
    /// What is set, assumed or left out.
    pub remarks: Vec<String>,
    /// Tables to be written as files: crosswalk, symbols, vectors.
    #[serde(skip)]
    pub tables: Vec<Table>,
    /// Plain scaling lines for a program without the block.
    pub lines: Vec<String>,
    /// Names of the files that were written.
    pub files: Vec<String>,
}

/// A word or a bit of one.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct At {
    /// The word, as its documents name it, with its number.
    pub word: String,
    /// The bit, from 0; `None` for a whole word.
    pub bit: Option<u8>,
}

/// One line of the mapping.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Mapped {
    /// `to-drive` or `from-drive`.
    pub direction: String,
    /// In the old layout; `None` for what the block sets by itself.
    pub old: Option<At>,
    /// Neutral meaning.
    pub meaning: String,
    /// In the new layout; `None` without counterpart.
    pub new: Option<At>,
    /// How numbers are converted; empty for bits.
    pub scale: String,
    /// Greatest error over all values; `None` for bits and codes.
    pub max_error: Option<MaxError>,
    /// `carried`, `converted`, `rounded`, `clipped`, `derived`, `set by the block`, `no counterpart`.
    pub outcome: String,
    /// What there is to know about it.
    pub note: String,
}

/// One question of who commands the motor.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Source {
    /// The question: start, stop, control, setpoint, reset.
    pub what: String,
    /// The old drive's answer.
    pub old: String,
    /// The new drive's answer.
    pub new: String,
    /// What the block does about it, or what to set.
    pub then: String,
}

/// A name that was changed.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Renamed {
    /// The block or program that it belongs to, by its old name; empty for the name of one.
    pub unit: String,
    /// Before.
    pub old: String,
    /// After.
    pub new: String,
    /// Why.
    pub why: String,
}

/// Greatest error of a number.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct MaxError {
    /// In counts of the old word.
    pub counts: f64,
    /// In its unit.
    pub value: f64,
    /// The unit: "Hz", "A", "%".
    pub unit: String,
    /// For speeds, the same in rpm without slip.
    pub rpm: Option<f64>,
}

/// What the proof found.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Proof {
    /// Words that were gone through.
    pub words_tested: u64,
    /// Values and patterns that were tried.
    pub values_tested: u64,
    /// How many came out differently.
    pub mismatches: u64,
    /// The first of them.
    pub examples: Vec<String>,
}

/// A table for a file.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Table {
    /// Name of its file without folder.
    pub file: String,
    /// Heads of its columns.
    pub head: Vec<String>,
    /// Its rows, each as long as the head.
    pub rows: Vec<Vec<String>>,
}
