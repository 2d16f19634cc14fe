//! The drill plan: what becomes of every hole, coordinates from a datum, and the distances to measure afterwards.

use plant::quantity::Length;

use super::{Hole, HoleTolerance, Use, check_holes, uses};
use crate::enclosure::fit::{Point, Tenths};
use crate::registry::Refusal;

/// Where coordinates are measured from: x to the right, y upwards.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Datum {
    /// What people find there: "lower left corner of the plate", "centre of old stud 1".
    pub name: String,
    /// Its place on the plate.
    pub at: Point,
}

/// What is done at a hole.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Work {
    /// Drilled new.
    New,
    /// An old hole drilled larger.
    Opened,
    /// Nothing: the old hole serves.
    Kept,
    /// An old hole that serves no more is closed.
    Closed,
}

/// One hole of the plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DrillRow {
    /// Number in the plan, from 1, in drilling order.
    pub number: usize,
    /// What is done.
    pub work: Work,
    /// Coordinates from the datum: of the needed hole where one is drilled, of the old one where it is kept or closed.
    pub at: Point,
    /// Diameter: the needed one where one is drilled, the old one otherwise.
    pub diameter: Tenths,
    /// Index of the old hole, if there is one.
    pub old: Option<usize>,
    /// Index of the needed hole, if it is one.
    pub needed: Option<usize>,
    /// Index of an old hole into which a new one would break: to be solved before anything is drilled.
    pub breaks_into: Option<usize>,
}

/// Distance of two needed holes, to be measured after drilling.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Distance {
    /// Number of the first row.
    pub from: usize,
    /// Number of the second row.
    pub to: usize,
    /// Along x, towards the second.
    pub dx: Tenths,
    /// Along y, towards the second.
    pub dy: Tenths,
    /// Straight.
    pub straight: Length,
}

/// A drill plan.
#[derive(Clone, Debug, PartialEq)]
pub struct DrillPlan {
    /// The datum.
    pub datum: Datum,
    /// Tolerance within which old holes serve.
    pub tolerance: HoleTolerance,
    /// New holes first, then opened, kept and closed ones; each by diameter (one drill after the other), then from below, then from the left.
    pub rows: Vec<DrillRow>,
    /// Every pair of rows that the unit uses.
    pub distances: Vec<Distance>,
}

/// The plan for `needed` holes on a plate with `old` ones. Every hole of both lists is in exactly one row.
///
/// # Errors
/// As for [`uses`].
///
/// ```
/// use calc::enclosure::fit::{Point, Tenths};
/// use calc::enclosure::holes::{Datum, Hole, HoleTolerance, Work, drill_plan};
/// let hole = |x, y| Hole { at: Point::mm(x, y), diameter: Tenths::mm(6) };
/// let datum = Datum { name: "old stud 1".into(), at: Point::mm(20, 20) };
/// let plan = drill_plan(&[hole(20, 20), hole(20, 220)], &[hole(20, 20), hole(20, 320)], HoleTolerance::USUAL, datum).unwrap();
/// let rows: Vec<_> = plan.rows.iter().map(|r| (r.work, r.at)).collect();
/// assert_eq!(rows, [(Work::New, Point::mm(0, 200)), (Work::Kept, Point::mm(0, 0)), (Work::Closed, Point::mm(0, 300))]);
/// assert!((plan.distances[0].straight.in_mm() - 200.0).abs() < 1e-9);
/// ```
pub fn drill_plan(needed: &[Hole], old: &[Hole], tolerance: HoleTolerance, datum: Datum) -> Result<DrillPlan, Refusal> {
    let serve = uses(needed, old, tolerance)?;
    check_holes(&[Hole { at: datum.at, diameter: Tenths::of(1) }])?;
    let mut spare = vec![true; old.len()];
    let mut rows = Vec::with_capacity(needed.len() + old.len());
    for (i, (hole, serves)) in needed.iter().zip(&serve).enumerate() {
        let mut row = DrillRow {
            number: 0,
            work: Work::New,
            at: hole.at - datum.at,
            diameter: hole.diameter,
            old: None,
            needed: Some(i),
            breaks_into: None,
        };
        match serves {
            Use::Kept(o) => {
                spare[*o] = false;
                row = DrillRow { work: Work::Kept, at: old[*o].at - datum.at, diameter: old[*o].diameter, old: Some(*o), ..row };
            }
            Use::Opened(o) => {
                spare[*o] = false;
                row = DrillRow { work: Work::Opened, old: Some(*o), ..row };
            }
            Use::Broken(o) => row.breaks_into = Some(*o),
            Use::New => {}
        }
        rows.push(row);
    }
    rows.extend(old.iter().enumerate().filter(|(o, _)| spare[*o]).map(|(o, hole)| DrillRow {
        number: 0,
        work: Work::Closed,
        at: hole.at - datum.at,
        diameter: hole.diameter,
        old: Some(o),
        needed: None,
        breaks_into: None,
    }));
    rows.sort_by_key(|r| (r.work, r.diameter, r.at.y, r.at.x));
    rows.iter_mut().enumerate().for_each(|(i, row)| row.number = i + 1);
    let used: Vec<&DrillRow> = rows.iter().filter(|r| r.needed.is_some()).collect();
    let distances = used.iter().enumerate().flat_map(|(i, from)| used[i + 1..].iter().map(move |to| distance(from, to))).collect();
    Ok(DrillPlan { datum, tolerance, rows, distances })
}

fn distance(from: &DrillRow, to: &DrillRow) -> Distance {
    let by = to.at - from.at;
    Distance { from: from.number, to: to.number, dx: by.x, dy: by.y, straight: Length::m(by.x.length().in_m().hypot(by.y.length().in_m())) }
}
