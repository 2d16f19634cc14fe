//! Every calculation by name, with its inputs, results and sources, so that the command line, the
//! JSON list and the documents show the same thing. `cargo xtask new-calc SUBJECT/NAME` adds a line
//! to the list of its subject.

use std::collections::BTreeMap;
use std::fmt;

use plant::quantity::{Dimension, DimensionInfo, Quantity, parse, unit_named};

use crate::sources::Source;
use crate::working::Working;

/// One calculation that can be called by name.
#[derive(Debug)]
pub struct Calculation {
    /// Name on the command line: "synchronous-speed".
    pub name: &'static str,
    /// What it computes, one sentence.
    pub summary: &'static str,
    /// What it needs.
    pub inputs: &'static [Input],
    /// What it gives.
    pub results: &'static [Output],
    /// What it rests on.
    pub sources: &'static [&'static Source],
    /// The calculation itself; returns one value per entry of `results`, in that order, in SI.
    pub run: fn(&Arguments, &mut Working) -> Result<Vec<f64>, Refusal>,
}

impl Calculation {
    /// Runs it; a result that is no finite number is refused, so that extreme inputs never pass for an answer.
    ///
    /// # Errors
    /// As the calculation itself, or when a result overflows.
    pub fn call(&self, arguments: &Arguments, working: &mut Working) -> Result<Vec<f64>, Refusal> {
        let values = (self.run)(arguments, working)?;
        let overflows = |output: &Output, value: f64| {
            let unit = unit_named(output.dimension, output.unit);
            !unit.map_or(value, |unit| (value - unit.offset) / unit.factor).is_finite()
        };
        match self.results.iter().zip(&values).find(|(output, value)| overflows(output, **value)) {
            Some((output, _)) => {
                Err(Refusal::new(format!("{} is no finite number with these inputs; they lie outside of what is sensible", output.name)))
            }
            None => Ok(values),
        }
    }
}

/// One input of a calculation.
#[derive(Clone, Copy, Debug)]
pub struct Input {
    /// Key on the command line.
    pub name: &'static str,
    /// What kind of text it takes.
    pub kind: InputKind,
    /// Text taken when the input is left out; `None` makes the input required.
    pub default: Option<&'static str>,
    /// What it is.
    pub doc: &'static str,
}

/// What an input's text is read as.
#[derive(Clone, Copy, Debug)]
pub enum InputKind {
    /// A quantity of this dimension.
    Quantity(&'static DimensionInfo),
    /// One of these words.
    Word(&'static [&'static str]),
    /// Rows of quantities: rows apart by ";", cells by ", ": "150 %, 60 s; 100 %, 540 s".
    Rows(&'static [&'static DimensionInfo]),
}

/// One result of a calculation.
#[derive(Debug)]
pub struct Output {
    /// Key in the JSON.
    pub name: &'static str,
    /// Its dimension.
    pub dimension: &'static DimensionInfo,
    /// The unit that the JSON gives it in: a symbol out of the dimension's table.
    pub unit: &'static str,
    /// What it is.
    pub doc: &'static str,
}

/// A quantity input without default.
#[must_use]
pub const fn quantity<D: Dimension>(name: &'static str, doc: &'static str) -> Input {
    Input { name, kind: InputKind::Quantity(D::INFO), default: None, doc }
}

/// A quantity input with a default text.
#[must_use]
pub const fn quantity_or<D: Dimension>(name: &'static str, default: &'static str, doc: &'static str) -> Input {
    Input { name, kind: InputKind::Quantity(D::INFO), default: Some(default), doc }
}

/// A word input; the first word is the default.
#[must_use]
pub const fn word(name: &'static str, words: &'static [&'static str], doc: &'static str) -> Input {
    Input { name, kind: InputKind::Word(words), default: Some(words[0]), doc }
}

/// A result in a unit.
#[must_use]
pub const fn output<D: Dimension>(name: &'static str, unit: &'static str, doc: &'static str) -> Output {
    Output { name, dimension: D::INFO, unit, doc }
}

/// Why a calculation gives no result: the input lies outside what its formula holds for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refusal(pub String);

impl Refusal {
    /// A refusal with a sentence that says what was wrong and what would be right.
    #[must_use]
    pub fn new(message: impl Into<String>) -> Self {
        Self(message.into())
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for Refusal {}

/// The read inputs of one call.
#[derive(Debug, Default)]
pub struct Arguments {
    numbers: BTreeMap<&'static str, f64>,
    words: BTreeMap<&'static str, &'static str>,
    rows: BTreeMap<&'static str, Vec<Vec<f64>>>,
}

impl Arguments {
    /// The quantity `name`; the registry guarantees that a required one is there.
    #[must_use]
    pub fn get<D: Dimension>(&self, name: &str) -> Quantity<D> {
        Quantity::si(self.numbers.get(name).copied().unwrap_or(f64::NAN))
    }

    /// The quantity `name` where it may be left out (its default text is empty).
    #[must_use]
    pub fn get_opt<D: Dimension>(&self, name: &str) -> Option<Quantity<D>> {
        self.numbers.get(name).map(|v| Quantity::si(*v))
    }

    /// The word `name`.
    #[must_use]
    pub fn word(&self, name: &str) -> &'static str {
        self.words.get(name).copied().unwrap_or("")
    }

    /// The rows `name`, in SI.
    #[must_use]
    pub fn rows(&self, name: &str) -> &[Vec<f64>] {
        self.rows.get(name).map_or(&[], Vec::as_slice)
    }
}

/// Reads `key=value` texts against a calculation's inputs.
///
/// # Errors
/// All that is wrong with the texts, a sentence each.
pub fn read_arguments(calculation: &Calculation, given: &[(String, String)]) -> Result<Arguments, Vec<String>> {
    let mut arguments = Arguments::default();
    let mut problems = Vec::new();
    for (key, _) in given {
        if !calculation.inputs.iter().any(|i| i.name == key) {
            let names: Vec<&str> = calculation.inputs.iter().map(|i| i.name).collect();
            problems.push(format!("“{key}” is no input of {}; its inputs are {}", calculation.name, names.join(", ")));
        }
    }
    for (i, (key, _)) in given.iter().enumerate() {
        if given[..i].iter().any(|(k, _)| k == key) {
            problems.push(format!("“{key}” is given twice"));
        }
    }
    for input in calculation.inputs {
        let text = match given.iter().find(|(k, _)| k == input.name) {
            Some((_, text)) => text.as_str(),
            None => match input.default {
                Some("") => continue,
                Some(text) => text,
                None => {
                    problems.push(format!("{} is missing: {}", input.name, input.doc));
                    continue;
                }
            },
        };
        match input.kind {
            InputKind::Quantity(info) => match parse(text, info) {
                Ok(value) => drop(arguments.numbers.insert(input.name, value)),
                Err(error) => problems.push(format!("{}: {error}", input.name)),
            },
            InputKind::Word(words) => match words.iter().find(|w| **w == text) {
                Some(word) => drop(arguments.words.insert(input.name, word)),
                None => problems.push(format!("{}: “{text}” is none of {}", input.name, words.join(", "))),
            },
            InputKind::Rows(infos) => match read_rows(text, infos) {
                Ok(rows) => drop(arguments.rows.insert(input.name, rows)),
                Err(error) => problems.push(format!("{}: {error}", input.name)),
            },
        }
    }
    if problems.is_empty() { Ok(arguments) } else { Err(problems) }
}

fn read_rows(text: &str, infos: &[&'static DimensionInfo]) -> Result<Vec<Vec<f64>>, String> {
    let mut rows = Vec::new();
    for row in text.split(';').map(str::trim).filter(|r| !r.is_empty()) {
        let cells: Vec<&str> = row.split(", ").map(str::trim).collect();
        if cells.len() != infos.len() {
            let names: Vec<&str> = infos.iter().map(|i| i.name).collect();
            return Err(format!("“{row}” has {} cells, expected {} ({})", cells.len(), infos.len(), names.join(", ")));
        }
        rows.push(
            cells
                .iter()
                .zip(infos)
                .map(|(cell, info)| parse(cell, info).map_err(|e| e.to_string()))
                .collect::<Result<Vec<f64>, String>>()?,
        );
    }
    if rows.is_empty() { Err("no rows".into()) } else { Ok(rows) }
}

/// Every calculation, in the order of the job; each subject keeps its own list.
pub fn all() -> impl Iterator<Item = &'static Calculation> {
    [
        crate::motor::CALCULATIONS,
        crate::load::CALCULATIONS,
        crate::drive::CALCULATIONS,
        crate::supply::CALCULATIONS,
        crate::harmonics::CALCULATIONS,
        crate::enclosure::CALCULATIONS,
        crate::cable::CALCULATIONS,
        crate::braking::CALCULATIONS,
        crate::feeder::CALCULATIONS,
        crate::conductor::CALCULATIONS,
        crate::plan::CALCULATIONS,
        crate::network::CALCULATIONS,
        crate::control::CALCULATIONS,
    ]
    .into_iter()
    .flatten()
    .copied()
}

/// The calculation of that name. Names are unique: a test holds them to it.
#[must_use]
pub fn find(name: &str) -> Option<&'static Calculation> {
    all().find(|c| c.name == name)
}
