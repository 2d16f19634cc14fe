//! What a check is: a name, a page, and a function from facts and a candidate to a margin.

use calc::sources::{DEFINITION, Source};
use calc::working::{Recorder, Silent, Step, Working};
use plant::quantity::{Dimension, Quantity, Ratio};
use plant::survey::FactId;

use crate::candidate::{Candidate, Measure, Measures, Remedy};
use crate::facts::{Reader, Stop};

/// The worst that a fault may do.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Annoys; or simply differs from what was.
    Nuisance,
    /// Keeps production standing.
    Downtime,
    /// Breaks equipment.
    Equipment,
    /// May hurt people.
    Injury,
}

impl Severity {
    /// As printed.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Nuisance => "nuisance",
            Self::Downtime => "downtime",
            Self::Equipment => "equipment",
            Self::Injury => "injury",
        }
    }

    /// Weight in rankings: common practice, no source.
    #[must_use]
    pub const fn weight(self) -> f64 {
        match self {
            Self::Nuisance => 1.0,
            Self::Downtime => 3.0,
            Self::Equipment => 6.0,
            Self::Injury => 12.0,
        }
    }
}

/// What a check found at one completion.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Outcome {
    /// By how much it holds (positive) or fails (negative), in the check's unit.
    Margin(f64),
    /// The fault cannot arise here.
    NotHere,
}

/// Which way the margin goes when a fact rises, the others held.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// The margin never falls.
    Up,
    /// The margin never rises.
    Down,
}

/// A check's function for one recorder.
pub type Run<R> = for<'f, 'c> fn(&mut Reader<'f>, &Candidate<'c>, &mut R) -> Result<Outcome, Stop>;

/// One check. A finding is what a check says about one candidate at one position.
#[derive(Debug)]
pub struct Check {
    /// Name of the fault as a path: "rating/overload-short".
    pub name: &'static str,
    /// The worst it may do.
    pub severity: Severity,
    /// Rows of the failure-mode list (docs/failure-modes.md) that it catches.
    pub rows: &'static [u8],
    /// Unit of its margin: "%", "V", or "" where it only holds or fails.
    pub unit: &'static str,
    /// Facts in which the margin is monotone; proved by a property test.
    pub ways: &'static [(FactId, Way)],
    /// Facts that have no direction once a measure is taken: what is bought is chosen by them. A longer run loses more voltage, until new
    /// conductors are sized for its length.
    pub undone: &'static [(Measure, &'static [FactId])],
    /// Measures whose presence it looks at.
    pub measures: &'static [Measure],
    /// Its page.
    pub page: &'static str,
    /// The check, without a record.
    pub quick: Run<Silent>,
    /// The check, with its working kept.
    pub worked: Run<Working>,
    /// What would make it hold, for a candidate.
    pub remedies: for<'c> fn(&Candidate<'c>) -> Vec<Remedy>,
}

impl Check {
    /// Which way the margin goes with a fact when these measures are taken, where that is known.
    #[must_use]
    pub fn way(&self, id: FactId, measures: Measures) -> Option<Way> {
        let undone = self.undone.iter().any(|(measure, facts)| measures.has(*measure) && facts.contains(&id));
        self.ways.iter().find(|(fact, _)| *fact == id && !undone).map(|(_, way)| *way)
    }

    /// Title: the first line of its page, without the mark.
    #[must_use]
    pub fn title(&self) -> &'static str {
        self.page.lines().next().unwrap_or_default().trim_start_matches("# ")
    }

    /// The text under a heading of its page.
    #[must_use]
    pub fn section(&self, heading: &str) -> Option<&'static str> {
        let start = self.page.find(&format!("\n## {heading}\n"))? + heading.len() + 5;
        let rest = &self.page[start..];
        Some(rest.find("\n## ").map_or(rest, |end| &rest[..end]).trim())
    }
}

/// The headings that every page has, in this order.
pub const HEADINGS: &[&str] =
    &["What it means", "Why it hurts", "How it is computed", "What settles it", "Remedies", "Cautions", "Sources"];

/// No remedy but another candidate.
#[must_use]
pub fn no_remedy(_: &Candidate<'_>) -> Vec<Remedy> {
    Vec::new()
}

/// `check!(CHECK, "name", severity, rows, unit, ways, undone where there is any, measures, page file, function, remedies)`: fills in
/// both functions.
macro_rules! check {
    ($(#[$doc:meta])* name: $name:literal, severity: $severity:ident, rows: $rows:expr, unit: $unit:literal, ways: $ways:expr,
     $(undone: $undone:expr,)? measures: $measures:expr, page: $page:literal, run: $run:ident, remedies: $remedies:expr $(,)?) => {
        $(#[$doc])*
        #[doc = concat!("The check behind `", $name, "`.")]
        pub const CHECK: $crate::check::Check = $crate::check::Check {
            name: $name,
            severity: $crate::check::Severity::$severity,
            rows: $rows,
            unit: $unit,
            ways: $ways,
            undone: &[$($undone)?],
            measures: $measures,
            page: include_str!($page),
            quick: $run::<calc::working::Silent>,
            worked: $run::<calc::working::Working>,
            remedies: $remedies,
        };
    };
}
pub(crate) use check;

/// By how many % `have` covers `need`, recorded as the last step. `formula` is written in both symbols: "I_site/I_load − 1".
pub fn covered<D: Dimension, R: Recorder>(
    rec: &mut R,
    formula: &'static str,
    have: (&'static str, Quantity<D>),
    need: (&'static str, Quantity<D>),
) -> Outcome {
    let margin = have.1 / need.1 - 1.0;
    rec.step(|| {
        Step::new("margin", "how far it is covered", formula, &DEFINITION)
            .with(have.0, have.1)
            .with(need.0, need.1)
            .gives(Ratio::of_one(margin))
    });
    Outcome::Margin(margin * 100.0)
}

/// A yes-or-no outcome with its reason as a step.
pub fn holds_if<R: Recorder>(rec: &mut R, holds: bool, what: impl FnOnce() -> String, source: &'static Source) -> Outcome {
    rec.step(|| Step::new("verdict", what(), "", source).gives(if holds { "holds" } else { "fails" }));
    Outcome::Margin(if holds { 1.0 } else { -1.0 })
}
