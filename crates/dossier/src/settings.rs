//! What becomes of the settings of a position, as plain tables.

use serde::Serialize;

/// The answer for one old list and one new series.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Settings {
    /// Tag of the position.
    pub tag: String,
    /// The old series.
    pub old: String,
    /// The new series, or candidate.
    pub new: String,
    /// Maker of the new unit.
    #[serde(skip)]
    pub maker: String,
    /// What the list holds: "full" or "changed-only".
    pub extent: String,
    /// Every row of the list, every old setting that it leaves out, every new setting that nothing set.
    pub settings: Vec<Line>,
    /// What to enter, in order.
    pub load_sequence: Vec<Step>,
    /// What does not go together in the new unit.
    pub conflicts: Vec<Conflict>,
    /// How many lines have each outcome.
    pub counts: Vec<Count>,
    /// What is assumed or left out.
    pub remarks: Vec<String>,
    /// Names of the files that were written.
    pub files: Vec<String>,
}

/// One line.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Line {
    /// In the old unit; `None` for a new setting that nothing old stands behind.
    pub old: Option<Setting>,
    /// What it means; `None` where nothing neutral stands for it.
    pub meaning: Option<Meaning>,
    /// In the new unit; `None` where there is nothing to set.
    pub new: Option<Setting>,
    /// `carried`, `converted`, `rounded`, `out-of-range`, `no-counterpart`, `needs-decision`, `left-at-default`.
    pub outcome: String,
    /// What rounding changes, with its unit; `None` otherwise.
    pub loss: Option<String>,
    /// Why.
    pub reason: String,
    /// Whether the old value is the old unit's default, which the list leaves out.
    pub from_default: bool,
}

/// A setting as people see it.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Setting {
    /// Its id.
    pub id: String,
    /// Its value, as the unit shows it.
    pub text: String,
    /// Its name, as the documents print it.
    pub name: String,
}

/// What a value means.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Meaning {
    /// The concept, with its number where it stands several times.
    pub concept: String,
    /// The physical value in its SI unit, or the word.
    pub value: Value,
    /// The SI unit; empty for words and bare numbers.
    pub unit: String,
    /// The same for people: "6 Hz/s".
    pub text: String,
}

/// A number or a word.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[serde(untagged)]
pub enum Value {
    /// Not known.
    #[default]
    Unknown,
    /// In SI.
    Number(f64),
    /// A word of the concept.
    Word(String),
}

/// One entry of the load sequence.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Step {
    /// Its place, from 1.
    pub step: usize,
    /// Id of the setting.
    pub id: String,
    /// Its name.
    pub name: String,
    /// The value, as shown.
    pub text: String,
    /// "stopped" or "running": whether the motor must stand.
    pub access: String,
    /// Why it stands at this place; empty where the order does not matter.
    pub why: String,
    /// Index in the object dictionary (CiA 301); `None` where the unit has none.
    pub index: Option<u16>,
    /// Subindex.
    pub subindex: Option<u8>,
    /// Its data type by CiA 301; `None` where the pack does not say.
    pub data_type: Option<u16>,
    /// The count or number to write there; `None` for a value that is no whole number of that type.
    pub count: Option<i64>,
}

/// Settings that do not go together.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Conflict {
    /// Their ids.
    pub settings: Vec<String>,
    /// What is wrong.
    pub what: String,
}

/// How often an outcome occurs.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Count {
    /// The outcome.
    pub outcome: String,
    /// How many lines.
    pub lines: usize,
}
