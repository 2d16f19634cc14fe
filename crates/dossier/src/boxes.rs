//! A box with its drives: what stands where, what is drilled, how warm it gets. Lengths in millimetres beside their texts.

use serde::Serialize;

use crate::drawing::Drawing;
use crate::{Finding, Step};

/// The report of one box.
#[derive(Clone, Debug, Default, Serialize)]
pub struct BoxReport {
    /// Its name; of a drive without a named box, the drive's tag.
    pub name: String,
    /// The drives that go in, with their candidates.
    pub drives: Vec<Drive>,
    /// The worst of what its checks say: `holds`, `depends` or `fails`.
    pub verdict: String,
    /// What the answer takes for what is not exactly known.
    pub taken: Vec<String>,
    /// What has to be measured first.
    pub to_measure: Vec<String>,
    /// Where everything goes; `None` while the plate is not measured.
    pub layout: Option<Layout>,
    /// How warm it gets; `None` while something that decides it is not known.
    pub heat: Option<Heat>,
    /// Cautions of the work.
    pub cautions: Vec<String>,
    /// Remarks on the inputs.
    pub remarks: Vec<String>,
    /// The plate with everything on it.
    pub drawing: Option<Drawing>,
}

/// A drive that goes in.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Drive {
    /// Tag of its position.
    pub tag: String,
    /// Its candidate: "series/code/duty".
    pub candidate: String,
    /// Outline, with depth and mass.
    pub outline: String,
    /// What the checks of the box say about it.
    pub findings: Vec<Finding>,
}

/// Where everything goes.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Layout {
    /// `placed`, `impossible` or `not found`.
    pub outcome: String,
    /// The same in a sentence.
    pub says: String,
    /// Things that have to be moved for it.
    pub moved: Vec<String>,
    /// What would make room, where there is none.
    pub ways_out: Vec<String>,
    /// The places.
    pub places: Vec<Place>,
    /// Holes to drill, to keep and to close.
    pub holes: Vec<HoleRow>,
    /// Distances to measure after drilling.
    pub distances: Vec<DistanceRow>,
    /// Where coordinates are measured from, and the tolerance.
    pub datum: String,
    /// Whether all of it was shown to be the best of its kind.
    pub best: bool,
    /// Adapter plates that would carry new units on old studs.
    pub adapters: Vec<Adapter>,
}

/// A place of a unit or part.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Place {
    /// What stands there.
    pub name: String,
    /// From the left edge of the plate, mm.
    pub left: f64,
    /// From the lower edge of the plate, mm.
    pub bottom: f64,
    /// Width as it stands, mm.
    pub width: f64,
    /// Height as it stands, mm.
    pub height: f64,
    /// `upright`, `turned left` or `turned right`.
    pub turned: String,
    /// Room left before the closed door, mm.
    pub depth_left: f64,
}

/// A hole.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct HoleRow {
    /// Its number, in the order of drilling.
    pub number: usize,
    /// `drill`, `drill larger`, `use again` or `close`.
    pub work: String,
    /// From the left edge of the plate, mm.
    pub x: f64,
    /// From the lower edge of the plate, mm.
    pub y: f64,
    /// Diameter, mm.
    pub diameter: f64,
    /// Whose hole it is.
    pub of: String,
    /// What else is to be known; an old hole that it would break into.
    pub remark: String,
}

/// A distance to measure after drilling.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct DistanceRow {
    /// Number of the first hole.
    pub from: usize,
    /// Number of the second hole.
    pub to: usize,
    /// Straight distance, mm.
    pub straight: f64,
}

/// A plate on the old studs that carries the new unit.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Adapter {
    /// For which drive.
    pub tag: String,
    /// Whether it can be made so.
    pub possible: bool,
    /// What it is, or what is against it.
    pub says: Vec<String>,
    /// Width, mm.
    pub width: f64,
    /// Height, mm.
    pub height: f64,
    /// Thickness of the sheet, mm; 0 where none is thick enough.
    pub thickness: f64,
    /// Its lower left corner on the mounting plate, mm.
    pub left: f64,
    /// The same upwards, mm.
    pub bottom: f64,
    /// Its holes, from its own lower left corner.
    pub holes: Vec<HoleRow>,
    /// The sheet at true size.
    pub drawing: Option<Drawing>,
    /// How its thickness was worked out.
    pub working: Vec<Step>,
}

/// How warm it gets.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Heat {
    /// What makes heat, today and afterwards.
    pub rows: Vec<HeatRow>,
    /// Sum today, W; `None` where something is not known.
    pub before: Option<f64>,
    /// Sum afterwards, W.
    pub after: f64,
    /// Air today and afterwards, in sentences.
    pub air: Vec<String>,
    /// What cooling would have to do.
    pub cooling: Vec<String>,
    /// The calculation of the state afterwards, step by step.
    pub working: Vec<Step>,
}

/// Something that makes heat.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct HeatRow {
    /// What.
    pub what: String,
    /// Today, W; `None` where it is not known or not there.
    pub before: Option<f64>,
    /// Afterwards, W.
    pub after: Option<f64>,
    /// Remark.
    pub remark: String,
}
