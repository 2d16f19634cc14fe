//! Where units go in one box: together, without overlap, on the old holes as far as they serve, with the least new holes and
//! then the shortest change of cables.

mod candidates;
mod search;
#[cfg(test)]
mod tests;

use std::cmp::Reverse;
use std::ops::Add;

use super::fit::{self, Obstacle, Plate, Point, Spot, Tenths, Unit};
use super::holes::{Hole, HoleTolerance, check_holes, check_pattern};
use crate::registry::Refusal;

/// Nodes of the search that are plenty for a dozen units and take some tens of milliseconds.
pub const NODES: usize = 4000;

/// A unit to be placed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wish {
    /// The unit.
    pub unit: Unit,
    /// Its fixing holes, from the lower left corner of the upright body, inside the body's outline (which includes its feet).
    pub holes: Vec<Hole>,
    /// The cables that go from where they end today to the unit.
    pub runs: Vec<Run>,
}

/// A cable that will have to reach another place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Run {
    /// The new terminal, from the lower left corner of the upright body.
    pub terminal: Point,
    /// The old terminal on the plate.
    pub from: Point,
}

/// A box to be filled.
#[derive(Clone, Copy, Debug)]
pub struct Task<'t> {
    /// The plate.
    pub plate: &'t Plate,
    /// What stays on it.
    pub obstacles: &'t [Obstacle],
    /// What goes in.
    pub wishes: &'t [Wish],
    /// Holes that the old units leave.
    pub old_holes: &'t [Hole],
    /// How far an old hole may be off.
    pub tolerance: HoleTolerance,
    /// How many steps the search may take: [`NODES`], or more where time does not matter.
    pub nodes: usize,
}

/// What a placement asks for; the sum over all units.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Cost {
    /// Holes that would break into an old one and can't be drilled there.
    pub broken: u32,
    /// Old holes that serve.
    pub reused: u32,
    /// Holes to be drilled: new, opened or broken.
    pub new: u32,
    /// Manhattan distances from old terminals to new ones.
    pub cable: Tenths,
}

impl Cost {
    /// What makes a placement better: lower is better, the first difference decides.
    pub(crate) fn rank(self) -> (u32, Reverse<u32>, u32, Tenths) {
        (self.broken, Reverse(self.reused), self.new, self.cable)
    }
}

impl Add for Cost {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self {
            broken: self.broken + other.broken,
            reused: self.reused + other.reused,
            new: self.new + other.new,
            cable: self.cable + other.cable,
        }
    }
}

/// Places for all units.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Layout {
    /// One for each wish, in their order.
    pub spots: Vec<Spot>,
    /// The sum of their costs.
    pub cost: Cost,
    /// Whether the search has shown that none of its candidates is better (cables to within the tolerance of the holes).
    pub best: bool,
}

/// Why no layout can be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Why {
    /// The door does not close before this wish.
    TooDeep(usize),
    /// This wish has no place even alone; `fit::shortfall` says what lacks.
    Alone(usize),
    /// Each has a place alone, but not all together: every order of placing them was tried.
    Together,
}

/// What the search found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// A layout.
    Placed(Layout),
    /// No layout exists.
    Impossible(Why),
    /// None within the search; one may exist.
    NotFound {
        /// Steps taken.
        nodes: usize,
    },
}

/// Places all units of a task on the plate.
///
/// **Order of merit.** No hole that breaks into an old one; then most old holes reused; then least new holes; then shortest
/// cable change. Equal places: upright before turned, then leftmost, then lowest.
///
/// **Candidates.** A unit alone gets: for every set of old holes that its pattern meets together, the place where they are met
/// most centrally within its free places; on every maximal free rectangle, the place of least cable change (the sum of
/// |x − x_i| and |y − y_i| is convex in each axis, so that the median clamped to the rectangle is exact) and the corners.
/// The most holes reused and, among places that reuse none, the least cable change are therefore exact for one unit
/// (old holes lie farther apart than twice the tolerance).
/// With several, units are placed one after another, large ones first, by branch and bound over these candidates; a layout that is
/// not shown to be the best is then bettered by placing up to three of its units anew.
///
/// **Impossible or not found.** If a layout exists, push its units left and down until none can move: each then rests at the left
/// and below against the plate, an obstacle or another unit. Pairs of units keep apart as two rectangles do, so no
/// circle of units rests one on the other (convex figures pushed in one direction can be ordered so that each rests on earlier
/// ones; Guibas and Yao 1980, from memory). Placed in that order, each unit stands in the lower left corner of a
/// maximal rectangle of the places that the earlier ones leave. So trying all orders over those corners finds a layout if there is
/// one. Where neighbours share air, two units keep apart as rectangles only if all clearances are alike, with equal
/// ones left and right or above and below; otherwise, and when `nodes` run out, the answer is [`Outcome::NotFound`].
///
/// # Errors
/// When a size is none (see [`fit::fit`]), a hole lies outside its unit, or a pattern is finer than the tolerance.
///
/// Source: definition. Worked example: two units of 100 mm with 10 mm of air to share stand 110 mm apart on 210 mm.
/// ```
/// use calc::enclosure::fit::{Plate, Point, Sides, Tenths, Unit};
/// use calc::enclosure::holes::HoleTolerance;
/// use calc::enclosure::place::{NODES, Outcome, Task, Wish, place};
/// let plate = Plate { width: Tenths::mm(210), height: Tenths::mm(200), depth: Tenths::mm(250), beyond: Sides::all(Tenths::mm(50)) };
/// let unit = Unit {
///     name: "drive".into(), width: Tenths::mm(100), height: Tenths::mm(200), depth: Tenths::mm(180), front: Tenths::ZERO,
///     clear: Sides::all(Tenths::mm(10)), may_turn: false, shares_air: true, stand_off: None,
/// };
/// let wishes = vec![Wish { unit, holes: vec![], runs: vec![] }; 2];
/// let task = Task { plate: &plate, obstacles: &[], wishes: &wishes, old_holes: &[], tolerance: HoleTolerance::USUAL, nodes: NODES };
/// let Outcome::Placed(layout) = place(&task).unwrap() else { panic!() };
/// assert_eq!(layout.spots.iter().map(|s| s.at).collect::<Vec<_>>(), [Point::mm(0, 0), Point::mm(110, 0)]);
/// ```
pub fn place(task: &Task<'_>) -> Result<Outcome, Refusal> {
    fit::check(task.plate, task.wishes.iter().map(|w| &w.unit), task.obstacles)?;
    check_holes(task.old_holes)?;
    for wish in task.wishes {
        check_pattern(&wish.holes, task.tolerance)?;
        let body = wish.unit.body(Spot::default());
        if let Some(hole) = wish.holes.iter().find(|h| !body.holds(h.at)) {
            return Err(Refusal::new(format!(
                "a hole at {}, {} lies outside the outline of {}, which includes its feet",
                hole.at.x.length(),
                hole.at.y.length(),
                wish.unit.name
            )));
        }
        let far = |p: Point| p.x.abs() > Tenths::LIMIT || p.y.abs() > Tenths::LIMIT;
        if wish.runs.iter().any(|r| far(r.terminal) || far(r.from)) {
            return Err(Refusal::new(format!("a terminal of {} lies farther away than {}", wish.unit.name, Tenths::LIMIT.length())));
        }
    }
    if let Some(deep) = task.wishes.iter().position(|w| fit::depth_margin(task.plate, &w.unit) < Tenths::ZERO) {
        return Ok(Outcome::Impossible(Why::TooDeep(deep)));
    }
    Ok(search::search(task))
}
