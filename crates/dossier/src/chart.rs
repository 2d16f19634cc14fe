//! Curves for people who would rather look than read, as plain data: what is drawn, in which units, and the same in words. How it looks
//! is the business of who draws it.

use serde::Serialize;

/// A chart.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Chart {
    /// Its name in paths: letters and "-".
    pub name: String,
    /// What it shows.
    pub title: String,
    /// The same in sentences, for who cannot see it.
    pub says: String,
    /// The finding that reckons with the same numbers.
    pub finding: String,
    /// What runs to the right.
    pub across: Axis,
    /// What runs upwards.
    pub up: Axis,
    /// The curves.
    pub curves: Vec<Curve>,
    /// Upright lines at places of the axis to the right.
    pub places: Vec<Place>,
    /// Remarks on what was taken.
    pub remarks: Vec<String>,
}

/// An axis.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Axis {
    /// What is measured.
    pub label: String,
    /// Its unit.
    pub unit: String,
    /// Equal steps are equal factors.
    pub logarithmic: bool,
}

/// A curve.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Curve {
    /// What it is.
    pub name: String,
    /// What it stands for.
    pub role: Role,
    /// Across, up; in rising order across.
    pub points: Vec<(f64, f64)>,
    /// Each point is a bar from zero up instead of a point of a line.
    pub bars: bool,
}

/// What a curve stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Role {
    /// What is asked for, at the completion with the lowest margin.
    Asked,
    /// What is asked for, at the completion with the highest margin.
    AskedAtBest,
    /// What is given or allowed, at the completion with the lowest margin.
    Given,
    /// What is given or allowed, at the completion with the highest margin.
    GivenAtBest,
    /// A further limit.
    Limit,
}

/// An upright line.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Place {
    /// Where it stands.
    pub at: f64,
    /// What is there.
    pub name: String,
}
