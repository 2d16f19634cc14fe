//! The record of a calculation: each step with its symbol, formula, the numbers put in and its source,
//! so that a licensed engineer can follow it by hand. Calculations are generic over [`Recorder`]; with
//! [`Silent`] the steps are never even made, so that a thousand candidates cost no text.

use plant::quantity::{Dimension, DimensionInfo, Quantity, System, show};

use crate::sources::Source;

/// Takes the steps of a calculation, or leaves them unmade.
pub trait Recorder {
    /// Takes one step. `make` runs only when somebody will read it.
    fn step(&mut self, make: impl FnOnce() -> Step);

    /// Whether steps are kept: lets a caller skip work that serves the record alone.
    fn keeps(&self) -> bool;
}

/// Keeps nothing.
#[derive(Clone, Copy, Debug, Default)]
pub struct Silent;

impl Recorder for Silent {
    #[inline(always)]
    fn step(&mut self, _make: impl FnOnce() -> Step) {}

    #[inline(always)]
    fn keeps(&self) -> bool {
        false
    }
}

/// Keeps every step, in order.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Working {
    /// The steps, first to last.
    pub steps: Vec<Step>,
}

impl Recorder for Working {
    fn step(&mut self, make: impl FnOnce() -> Step) {
        self.steps.push(make());
    }

    fn keeps(&self) -> bool {
        true
    }
}

/// A number with its dimension, or a word, as a step shows it.
#[derive(Clone, Debug, PartialEq)]
pub enum Datum {
    /// SI value and dimension.
    Number(f64, &'static DimensionInfo),
    /// Anything that is no number.
    Word(String),
}

impl Datum {
    /// As printed.
    #[must_use]
    pub fn text(&self, system: System) -> String {
        match self {
            Self::Number(value, info) => show(*value, info, system),
            Self::Word(word) => word.clone(),
        }
    }
}

impl<D: Dimension> From<Quantity<D>> for Datum {
    fn from(quantity: Quantity<D>) -> Self {
        Self::Number(quantity.in_si(), D::INFO)
    }
}

impl From<f64> for Datum {
    fn from(value: f64) -> Self {
        Self::Word(plant::quantity::digits(value, 4))
    }
}

impl From<&str> for Datum {
    fn from(word: &str) -> Self {
        Self::Word(word.to_owned())
    }
}

impl From<String> for Datum {
    fn from(word: String) -> Self {
        Self::Word(word)
    }
}

/// One step: `symbol = formula = formula with numbers = value`.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// Symbol of the result, as the formula language of the trade writes it: "I_N".
    pub symbol: &'static str,
    /// What the result is, in words.
    pub name: String,
    /// The formula in the symbols of `inputs`: "P / (√3·U·η·cos φ)". Empty for a value that is given or read from a table.
    pub formula: &'static str,
    /// Symbols of the formula with what was put in for them.
    pub inputs: Vec<(&'static str, Datum)>,
    /// The result.
    pub value: Datum,
    /// Where the formula or the figure comes from.
    pub source: &'static Source,
    /// What to know about it, if anything.
    pub note: String,
}

impl Step {
    /// A step whose value follows with [`Step::gives`].
    #[must_use]
    pub fn new(symbol: &'static str, name: impl Into<String>, formula: &'static str, source: &'static Source) -> Self {
        Self { symbol, name: name.into(), formula, inputs: Vec::new(), value: Datum::Word(String::new()), source, note: String::new() }
    }

    /// Adds an input of the formula.
    #[must_use]
    pub fn with(mut self, symbol: &'static str, value: impl Into<Datum>) -> Self {
        self.inputs.push((symbol, value.into()));
        self
    }

    /// Sets the result.
    #[must_use]
    pub fn gives(mut self, value: impl Into<Datum>) -> Self {
        self.value = value.into();
        self
    }

    /// Adds a remark.
    #[must_use]
    pub fn note(mut self, text: impl Into<String>) -> Self {
        self.note = text.into();
        self
    }

    /// The formula with its numbers put in: "22 kW / (√3·460 V·91 %·0.85)".
    ///
    /// ```
    /// use calc::working::Step;
    /// use calc::sources::DEFINITION;
    /// use plant::quantity::{Frequency, Count, System};
    /// let step = Step::new("n_s", "synchronous speed", "120·f/p", &DEFINITION).with("f", Frequency::hz(60.0)).with("p", Count::of(4.0));
    /// assert_eq!(step.with_numbers(System::Metric), "120·60 Hz/4");
    /// let step = Step::new("P", "loss", "3·I²·R", &DEFINITION).with("I", plant::quantity::Current::a(12.7)).with("R", 0.25);
    /// assert_eq!(step.with_numbers(System::Metric), "3·(12.7 A)²·0.25");
    /// ```
    #[must_use]
    pub fn with_numbers(&self, system: System) -> String {
        let mut out = String::new();
        let mut rest = self.formula;
        // A symbol is replaced where it stands alone: not inside a longer name such as I in I_N.
        let name_like = |c: char| (c.is_alphanumeric() && !"²³⁴".contains(c)) || c == '_' || c == '\'';
        while let Some(first) = rest.chars().next() {
            let inside_name = out.chars().next_back().is_some_and(name_like) && name_like(first);
            let found = (!inside_name)
                .then(|| {
                    self.inputs
                        .iter()
                        .filter(|(symbol, _)| rest.starts_with(symbol) && !rest[symbol.len()..].chars().next().is_some_and(name_like))
                        .max_by_key(|(symbol, _)| symbol.len())
                })
                .flatten();
            if let Some((symbol, value)) = found {
                let text = value.text(system);
                rest = &rest[symbol.len()..];
                // A power takes the number with its unit: (12.7 A)².
                if rest.starts_with(['²', '³', '⁴']) { out.push_str(&format!("({text})")) } else { out.push_str(&text) }
            } else {
                out.push(first);
                rest = &rest[first.len_utf8()..];
            }
        }
        out
    }

    /// The whole step on one line.
    #[must_use]
    pub fn line(&self, system: System) -> String {
        let value = self.value.text(system);
        if self.formula.is_empty() {
            return format!("{} = {value}", self.symbol);
        }
        let numbers = self.with_numbers(system);
        if numbers == self.formula {
            format!("{} = {} = {value}", self.symbol, self.formula)
        } else {
            format!("{} = {} = {numbers} = {value}", self.symbol, self.formula)
        }
    }
}
