//! A surveyed value with its origin: known, a range, some possibilities, or missing.

use std::sync::Arc;

use crate::choice::OriginKind;

/// What is known of one value. Numbers are SI values; words are indices into their choice.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Known {
    /// Nothing was found out ("?", or not in the file).
    #[default]
    Missing,
    /// One value.
    Value(f64),
    /// Somewhere between both, ends included ("20..60 m").
    Range(f64, f64),
    /// One of these ("24 V | 120 V").
    OneOf(Vec<f64>),
}

impl Known {
    /// Lowest and highest value that it may have.
    #[must_use]
    pub fn bounds(&self) -> Option<(f64, f64)> {
        match self {
            Self::Missing => None,
            Self::Value(v) => Some((*v, *v)),
            Self::Range(low, high) => Some((*low, *high)),
            Self::OneOf(values) => Some(values.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| (l.min(*v), h.max(*v)))),
        }
    }
}

/// Where in which file something stands.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Place {
    /// The file, as shown to people.
    pub file: Arc<str>,
    /// Line from 1; 0 when it stands in no file.
    pub line: u32,
}

impl std::fmt::Display for Place {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        if self.line == 0 { f.write_str("not surveyed") } else { write!(f, "{}:{}", self.file, self.line) }
    }
}

/// Who found it out, how, when, and what proves it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Origin {
    /// How; `None` when the file does not say.
    pub kind: Option<OriginKind>,
    /// Who.
    pub by: Option<String>,
    /// When, as an ISO 8601 date.
    pub on: Option<String>,
    /// A file or drawing that shows it.
    pub proof: Option<String>,
    /// Where it is written.
    pub place: Place,
}

/// One surveyed value.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Fact {
    /// What is known.
    pub known: Known,
    /// How it is known.
    pub origin: Origin,
}

impl Fact {
    /// A known value without origin, for tests and generated positions.
    #[must_use]
    pub fn value(value: f64) -> Self {
        Self { known: Known::Value(value), origin: Origin::default() }
    }

    /// True when the value is not given at all.
    #[must_use]
    pub fn is_missing(&self) -> bool {
        self.known == Known::Missing
    }
}
