//! Places worth trying for one unit in one turn, and what each costs.

use super::{Cost, Run, Task, Wish};
use crate::enclosure::fit::{Point, Rect, Spot, Stance, Tenths};
use crate::enclosure::holes::{Hole, HoleTolerance, OldHoles, Use};

/// A unit in one of its turns, with all that does not change while others are placed.
#[derive(Debug)]
pub(super) struct Seat {
    pub(super) stance: Stance,
    /// Its holes and cables as it is turned.
    holes: Vec<Hole>,
    runs: Vec<Run>,
    tolerance: HoleTolerance,
    /// For every pair of a hole and an old hole that serves it: the places at which they coincide.
    squares: Vec<Rect>,
    /// The sets of places at which the most of those coincide together.
    regions: Vec<Rect>,
    /// The place of least cable change on an endless plate.
    pub(super) median: Option<Point>,
}

/// A candidate with its cost.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Candidate {
    pub(super) cost: Cost,
    pub(super) spot: Spot,
}

/// The least that a unit costs among the places of a seat: no later candidate is below it.
pub(super) fn bound(seats: &[Seat], free: &[Vec<Rect>]) -> Cost {
    let total = seats.first().map_or(0, |s| count(s.holes.len()));
    let mut best = Cost { broken: 0, reused: 0, new: total, cable: Tenths::LIMIT };
    for (seat, free) in seats.iter().zip(free) {
        let most = |(reused, cable): (u32, Tenths)| {
            let cost = Cost { broken: 0, reused, new: total - reused.min(total), cable };
            if cost.rank() < best.rank() {
                best = cost;
            }
        };
        seat.bounds(free).into_iter().for_each(most);
    }
    best
}

fn count(n: usize) -> u32 {
    u32::try_from(n).unwrap_or(u32::MAX)
}

impl Seat {
    pub(super) fn new(task: &Task<'_>, wish: &Wish, stance: Stance) -> Self {
        let turned = |p: Point| stance.turn.point(p, wish.unit.width, wish.unit.height);
        let holes: Vec<Hole> = wish.holes.iter().map(|h| Hole { at: turned(h.at), ..*h }).collect();
        let runs: Vec<Run> = wish.runs.iter().map(|r| Run { terminal: turned(r.terminal), ..*r }).collect();
        let off = task.tolerance.place;
        let square = |centre: Point| Rect::at(centre - Point::new(off, off), off + off, off + off);
        let squares: Vec<Rect> = holes
            .iter()
            .flat_map(|h| task.old_holes.iter().filter(|o| task.tolerance.same_size(h, o)).map(|o| square(o.at - h.at)))
            .collect();
        let median = middle(runs.iter().map(|r| r.from.x - r.terminal.x))
            .zip(middle(runs.iter().map(|r| r.from.y - r.terminal.y)))
            .map(|(x, y)| Point::new(x, y));
        let regions = together(&squares);
        Self { stance, holes, runs, tolerance: task.tolerance, squares, regions, median }
    }

    /// What the unit costs at `at`.
    pub(super) fn cost(&self, at: Point, old: &OldHoles) -> Cost {
        let mut cost = Cost { cable: self.cable(at), ..Cost::default() };
        for hole in &self.holes {
            match old.usage(&Hole { at: hole.at + at, ..*hole }, self.tolerance) {
                Use::Kept(_) => cost.reused += 1,
                Use::Opened(_) | Use::New => cost.new += 1,
                Use::Broken(_) => {
                    cost.new += 1;
                    cost.broken += 1;
                }
            }
        }
        cost
    }

    fn cable(&self, at: Point) -> Tenths {
        self.runs.iter().map(|r| (r.terminal + at).manhattan(r.from)).sum()
    }

    /// How far a cable sum can differ within the tolerance of the holes.
    pub(super) fn slack(&self) -> Tenths {
        let off = self.tolerance.place;
        self.runs.iter().map(|_| off + off).sum()
    }

    /// Places in the free rectangles, unsorted and with repetitions.
    pub(super) fn points(&self, free: &[Rect]) -> Vec<Point> {
        let mut points = Vec::new();
        for r in free {
            points.extend(r.corners());
            points.extend(self.median.map(|m| r.nearest(m)));
            points.extend(self.met(r).iter().map(|region| central(region, r)));
        }
        points
    }

    /// The sets of places within `r` at which old holes serve. Where the edge of `r` cuts a set of places of a single pair, the sets of
    /// the cut pairs are formed anew: what they have in common may lie outside.
    fn met(&self, r: &Rect) -> Vec<Rect> {
        let mut found: Vec<Rect> = self.regions.iter().filter(|region| r.common(region).is_some()).copied().collect();
        for square in self.squares.iter().filter(|s| !r.contains(s)) {
            let Some(part) = r.common(square) else { continue };
            let cut: Vec<Rect> = self.squares.iter().filter(|s| s.common(&part).is_some()).filter_map(|s| s.common(r)).collect();
            found.extend(together(&cut));
        }
        found
    }

    /// Bounds (old holes reused, cable change) that no place of the rectangles can beat.
    fn bounds(&self, free: &[Rect]) -> Vec<(u32, Tenths)> {
        let cable = |r: &Rect| self.median.map_or(Tenths::ZERO, |m| self.cable(r.nearest(m)));
        let mut bounds = Vec::new();
        for r in free {
            bounds.push((0, cable(r)));
            for region in self.met(r).iter().filter_map(|region| region.common(r)) {
                let reused = self.squares.iter().filter(|s| s.contains(&region)).count();
                bounds.push((count(reused), cable(&region)));
            }
        }
        bounds
    }
}

/// The place within `r` that is nearest to the middle of `region`, among those of both.
fn central(region: &Rect, r: &Rect) -> Point {
    let half = |a: Tenths, b: Tenths| Tenths::of((a + b).get().div_euclid(2));
    let middle = Point::new(half(region.left, region.right), half(region.bottom, region.top));
    region.common(r).map_or(middle, |both| both.nearest(middle))
}

/// The places that rectangles have in common, for every largest set of them that has any.
///
/// Axis-parallel rectangles that overlap pairwise have a place in common (Helly), and the lower left corner of what they share
/// has the left edge of one and the lower edge of another; so those pairs of edges name every set.
fn together(rects: &[Rect]) -> Vec<Rect> {
    let mut found = Vec::new();
    for a in rects {
        let beside: Vec<&Rect> = rects.iter().filter(|r| r.left <= a.left && a.left <= r.right).collect();
        for b in &beside {
            let shared =
                beside.iter().filter(|r| r.holds(Point::new(a.left, b.bottom))).map(|r| **r).reduce(|x, y| x.common(&y).unwrap_or(x));
            found.extend(shared);
        }
    }
    found.sort_unstable();
    found.dedup();
    found
}

/// A value from which the sum of distances to all is least; the lower one of two.
fn middle(values: impl Iterator<Item = Tenths>) -> Option<Tenths> {
    let mut sorted: Vec<Tenths> = values.collect();
    sorted.sort_unstable();
    sorted.get(sorted.len().saturating_sub(1) / 2).copied()
}
