//! What people decided: which candidate, which finding somebody takes on, with name, reason and date.

use crate::fact::Place;

/// The decisions of a site.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Decisions {
    /// Chosen candidates.
    pub chosen: Vec<Chosen>,
    /// Accepted deviations.
    pub accepted: Vec<Accepted>,
}

/// A candidate that was chosen for a position.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Chosen {
    /// Position.
    pub tag: String,
    /// Candidate, as the tool names it: "series/code/duty".
    pub candidate: String,
    /// Who chose it.
    pub by: String,
    /// When, ISO 8601.
    pub on: String,
    /// Where it is written.
    pub place: Place,
}

/// A finding that a named person takes on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Accepted {
    /// Position.
    pub tag: String,
    /// Name of the finding: "rating/breakaway-short".
    pub finding: String,
    /// Who takes it on.
    pub by: String,
    /// Why.
    pub reason: String,
    /// When, ISO 8601.
    pub on: String,
    /// Where it is written.
    pub place: Place,
}
