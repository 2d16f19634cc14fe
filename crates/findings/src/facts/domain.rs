//! What a fact may turn out to be: known, surveyed as a range, assumed, or open.

use plant::fact::{Fact, Known};
use plant::survey::{self, Assume, FactId, Kind, Rule};

/// What a fact may turn out to be.
#[derive(Clone, Debug, PartialEq)]
pub enum Domain {
    /// One value.
    Fixed(f64),
    /// Anything between.
    Between(f64, f64),
    /// One of these.
    OneOf(Vec<f64>),
    /// Between two multiples of another fact.
    Times(FactId, f64, f64),
    /// Between two multiples of the rated current of all motors.
    TimesMotors(f64, f64),
    /// By a rule from others.
    By(Rule),
    /// Not given, and not needed.
    Absent,
    /// Not given, and nothing may be assumed.
    Open,
    /// Not given and nothing may be assumed; each word is tried, and the verdict stays open all the same.
    OpenWords(Vec<f64>),
}

impl Domain {
    pub(super) fn of(fact: &Fact, id: FactId) -> Self {
        match &fact.known {
            Known::Value(v) => Self::Fixed(*v),
            Known::Range(low, high) if low < high => Self::Between(*low, *high),
            Known::Range(low, _) => Self::Fixed(*low),
            Known::OneOf(values) => match values.as_slice() {
                [only] => Self::Fixed(*only),
                several => Self::OneOf(several.to_vec()),
            },
            Known::Missing => Self::assumed(id),
        }
    }

    fn assumed(id: FactId) -> Self {
        let def = survey::def(id);
        let words = || {
            let Kind::Choice(info) = def.kind else { return Vec::new() };
            #[expect(clippy::cast_precision_loss, reason = "a handful of words")]
            (0..info.words.len()).map(|i| i as f64).collect::<Vec<f64>>()
        };
        match def.assume {
            Assume::Nothing if matches!(def.kind, Kind::Choice(_)) => Self::OpenWords(words()),
            Assume::Nothing => Self::Open,
            Assume::NotNeeded => Self::Absent,
            Assume::Is(v) => Self::Fixed(v),
            Assume::Between(low, high) => Self::Between(low, high),
            Assume::OneOf(values) => Self::OneOf(values.to_vec()),
            Assume::AnyWord => Self::OneOf(words()),
            Assume::Times(base, low, high) => Self::Times(base, low, high),
            Assume::TimesMotors(low, high) => Self::TimesMotors(low, high),
            Assume::By(rule) => Self::By(rule),
        }
    }

    /// Whether it follows from other facts while nobody has read it.
    #[must_use]
    pub const fn is_derived(&self) -> bool {
        matches!(self, Self::Times(..) | Self::TimesMotors(..) | Self::By(_))
    }

    /// How many coordinates choose a value: 0 for a known one.
    #[must_use]
    pub const fn is_uncertain(&self) -> bool {
        matches!(
            self,
            Self::Between(..)
                | Self::OneOf(_)
                | Self::Times(..)
                | Self::TimesMotors(..)
                | Self::OpenWords(_)
                | Self::By(Rule::SupplyVoltage | Rule::PeakByKind | Rule::FaultByTransformer)
        )
    }

    /// How many values it lists; `None` for anything else than a list.
    #[must_use]
    pub const fn listed(&self) -> Option<usize> {
        match self {
            Self::OneOf(values) | Self::OpenWords(values) => Some(values.len()),
            _ => None,
        }
    }
}
