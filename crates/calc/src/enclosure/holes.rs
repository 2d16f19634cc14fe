//! Holes of a plate: which old ones a new unit can use, how far holes must be from each other and from the edge, and what
//! covers a screw. The adapter plate's thickness is in `holes/thickness.rs`, the drill plan in `holes/drilling.rs`.

mod by_name;
mod drilling;
#[cfg(test)]
mod tests;
mod thickness;

pub use by_name::{ADAPTER_THICKNESS, HOLE_SPACING};
pub use drilling::{Datum, Distance, DrillPlan, DrillRow, Work, drill_plan};
pub use thickness::{Adapter, MATERIALS, Material, SHEETS, Thickness, adapter_thickness};

use crate::enclosure::fit::{Point, Rect, Tenths};
use crate::registry::Refusal;

/// A round hole, in the coordinates of the plate or from the lower left corner of a unit's body.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Hole {
    /// Centre.
    pub at: Point,
    /// Diameter in the plate: of the drill, or of the thread.
    pub diameter: Tenths,
}

/// How far a hole may be off and still serve.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct HoleTolerance {
    /// Along each axis.
    pub place: Tenths,
    /// In diameter.
    pub diameter: Tenths,
}

impl HoleTolerance {
    /// Half a millimetre each way: what the play of a screw in its hole takes up. Common practice, no source.
    pub const USUAL: Self = Self { place: Tenths::of(5), diameter: Tenths::of(5) };
}

/// What an old hole is to a needed one. Indices point into the list of old holes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Use {
    /// The old hole serves.
    Kept(usize),
    /// An old, smaller hole at the place is drilled larger.
    Opened(usize),
    /// The needed hole would break into an old one that does not serve: it can't be drilled there.
    Broken(usize),
    /// Nothing is there: a new hole.
    New,
}

/// Old holes, sorted so that the ones near a point are found fast.
#[derive(Clone, Debug)]
pub(crate) struct OldHoles {
    by_x: Vec<(Hole, usize)>,
    widest: Tenths,
}

impl OldHoles {
    pub(crate) fn new(holes: &[Hole]) -> Self {
        let mut by_x: Vec<(Hole, usize)> = holes.iter().enumerate().map(|(i, h)| (*h, i)).collect();
        by_x.sort_unstable();
        Self { by_x, widest: holes.iter().map(|h| h.diameter).max().unwrap_or_default() }
    }

    pub(crate) fn usage(&self, needed: &Hole, tolerance: HoleTolerance) -> Use {
        // Two circles that overlap are not farther apart than the larger diameter.
        let reach = self.widest.max(needed.diameter).max(tolerance.place);
        let from = self.by_x.partition_point(|(h, _)| h.at.x < needed.at.x - reach);
        let near = self.by_x[from..].iter().take_while(|(h, _)| h.at.x <= needed.at.x + reach);
        // Each the nearest of its kind: square of the distance, then index.
        let [mut kept, mut opened, mut broken] = [None::<(i64, usize)>; 3];
        for (old, i) in near {
            let found = (old.at.distance_squared(needed.at), *i);
            let nearer = |best: Option<(i64, usize)>| Some(best.map_or(found, |b| b.min(found)));
            if tolerance.coincide(needed, old) {
                kept = nearer(kept);
            } else if tolerance.same_place(needed, old) && old.diameter < needed.diameter {
                opened = nearer(opened);
            } else if overlap(needed, old) {
                broken = nearer(broken);
            }
        }
        match (kept, opened, broken) {
            (Some((_, i)), _, _) => Use::Kept(i),
            (_, Some((_, i)), _) => Use::Opened(i),
            (_, _, Some((_, i))) => Use::Broken(i),
            _ => Use::New,
        }
    }
}

impl HoleTolerance {
    fn same_place(self, a: &Hole, b: &Hole) -> bool {
        (a.at.x - b.at.x).abs() <= self.place && (a.at.y - b.at.y).abs() <= self.place
    }

    fn coincide(self, a: &Hole, b: &Hole) -> bool {
        self.same_place(a, b) && self.same_size(a, b)
    }

    pub(crate) fn same_size(self, a: &Hole, b: &Hole) -> bool {
        (a.diameter - b.diameter).abs() <= self.diameter
    }
}

/// Whether two holes break into each other: centres nearer than half the sum of the diameters.
fn overlap(a: &Hole, b: &Hole) -> bool {
    let sum = (a.diameter + b.diameter).get();
    4 * a.at.distance_squared(b.at) < sum * sum
}

/// What an old hole is to each needed one: the nearest that serves, else the nearest that can be drilled larger, else the
/// nearest that is in the way. Coinciding is meant along each axis, and in diameter.
///
/// # Errors
/// When a diameter is not above zero, a place or a tolerance is beyond [`Tenths::LIMIT`], or two needed holes are so close that
/// one old hole could serve both.
///
/// ```
/// use calc::enclosure::fit::{Point, Tenths};
/// use calc::enclosure::holes::{Hole, HoleTolerance, Use, uses};
/// let hole = |x, y, d| Hole { at: Point::mm(x, y), diameter: Tenths::mm(d) };
/// let old = [hole(20, 20, 6), hole(120, 20, 5), hole(20, 223, 6)];
/// let needed = [hole(20, 20, 6), hole(120, 20, 7), hole(20, 220, 6), hole(120, 220, 6)];
/// assert_eq!(uses(&needed, &old, HoleTolerance::USUAL).unwrap(), [Use::Kept(0), Use::Opened(1), Use::Broken(2), Use::New]);
/// ```
pub fn uses(needed: &[Hole], old: &[Hole], tolerance: HoleTolerance) -> Result<Vec<Use>, Refusal> {
    check_holes(old)?;
    check_pattern(needed, tolerance)?;
    let old = OldHoles::new(old);
    Ok(needed.iter().map(|hole| old.usage(hole, tolerance)).collect())
}

pub(crate) fn check_holes(holes: &[Hole]) -> Result<(), Refusal> {
    let wrong =
        |h: &&Hole| !(Tenths::of(1)..=Tenths::LIMIT).contains(&h.diameter) || h.at.x.abs() > Tenths::LIMIT || h.at.y.abs() > Tenths::LIMIT;
    match holes.iter().find(wrong) {
        Some(h) => Err(Refusal::new(format!(
            "a hole of {} at {}, {} is none: diameters are above zero, places within {}",
            h.diameter.length(),
            h.at.x.length(),
            h.at.y.length(),
            Tenths::LIMIT.length()
        ))),
        None => Ok(()),
    }
}

pub(crate) fn check_pattern(needed: &[Hole], tolerance: HoleTolerance) -> Result<(), Refusal> {
    check_holes(needed)?;
    let range = Tenths::ZERO..=Tenths::LIMIT;
    if !range.contains(&tolerance.place) || !range.contains(&tolerance.diameter) {
        return Err(Refusal::new("a tolerance of holes is not negative"));
    }
    let twice = HoleTolerance { place: tolerance.place + tolerance.place, ..tolerance };
    for (i, a) in needed.iter().enumerate() {
        if let Some(b) = needed[..i].iter().find(|b| twice.same_place(a, b)) {
            return Err(Refusal::new(format!(
                "two needed holes are {} and {} apart along the axes: one old hole within ±{} could serve both",
                (a.at.x - b.at.x).abs().length(),
                (a.at.y - b.at.y).abs().length(),
                tolerance.place.length()
            )));
        }
    }
    Ok(())
}

/// Least distances of hole centres as multiples of the diameter, in tenths of it, so that they stay exact.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SpacingRule {
    /// Centre to edge of the plate: tenths of the hole's diameter.
    pub edge_tenths: i64,
    /// Centre to centre: tenths of the larger diameter.
    pub between_tenths: i64,
}

impl SpacingRule {
    /// 1.5 diameters to the edge, 2.5 diameters between holes. Common practice, no source; thin sheet takes more.
    pub const USUAL: Self = Self { edge_tenths: 15, between_tenths: 25 };
    /// Most that a rule may ask: 100 diameters.
    const MOST: i64 = 1000;

    /// The least distance, rounded up to a whole tenth of a millimetre.
    fn of(tenths: i64, diameter: Tenths) -> Tenths {
        Tenths::of((tenths * diameter.get() + 9).div_euclid(10))
    }
}

/// A hole too near to the edge.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NearEdge {
    /// Index of the hole.
    pub hole: usize,
    /// Distance of its centre from the nearest edge; negative outside the plate.
    pub distance: Tenths,
    /// Least distance.
    pub needed: Tenths,
}

/// Two holes too near to each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NearHole {
    /// Index of the first hole.
    pub first: usize,
    /// Index of the second hole.
    pub second: usize,
    /// Distance of the centres, rounded down to a tenth of a millimetre.
    pub distance: Tenths,
    /// Least distance.
    pub needed: Tenths,
}

/// Distances of the holes of a plate against a rule.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Spacing {
    /// Holes too near to the edge.
    pub edges: Vec<NearEdge>,
    /// Pairs too near to each other.
    pub pairs: Vec<NearHole>,
    /// Least of distance less needed distance to the edge over all holes; `None` without holes.
    pub edge_margin: Option<Tenths>,
    /// Least of distance less needed distance over all pairs; `None` with fewer than two holes.
    pub pair_margin: Option<Tenths>,
}

/// Whether holes are far enough from each other and from the edges of a plate of `width` × `height`.
///
/// To the edge: e ≥ k_e·d; between: a ≥ k_a·max(d₁, d₂). Units: tenths of a millimetre; a diagonal distance is compared by its
/// square, so that no rounding decides.
///
/// # Errors
/// When a hole, the plate or the rule has no size.
///
/// Source: common practice, no source. Worked example: 6 mm holes need 9 mm to the edge and 15 mm between.
/// ```
/// use calc::enclosure::fit::{Point, Tenths};
/// use calc::enclosure::holes::{Hole, SpacingRule, spacing};
/// let hole = |x, y| Hole { at: Point::mm(x, y), diameter: Tenths::mm(6) };
/// let found = spacing(&[hole(8, 50), hole(50, 50), hole(59, 62)], Tenths::mm(100), Tenths::mm(100), SpacingRule::USUAL).unwrap();
/// assert_eq!((found.edges[0].distance, found.edges[0].needed), (Tenths::mm(8), Tenths::mm(9)));
/// assert!(found.pairs.is_empty()); // 9 mm across and 12 mm up are 15 mm
/// assert_eq!(found.pair_margin, Some(Tenths::ZERO));
/// ```
pub fn spacing(holes: &[Hole], width: Tenths, height: Tenths, rule: SpacingRule) -> Result<Spacing, Refusal> {
    check_holes(holes)?;
    if [width, height].iter().any(|side| !(Tenths::of(1)..=Tenths::LIMIT).contains(side)) {
        return Err(Refusal::new(format!("a plate of {} × {} is none", width.length(), height.length())));
    }
    if [rule.edge_tenths, rule.between_tenths].iter().any(|k| !(0..=SpacingRule::MOST).contains(k)) {
        return Err(Refusal::new("a hole distance is 0 to 100 diameters"));
    }
    let mut found = Spacing { edges: Vec::new(), pairs: Vec::new(), edge_margin: None, pair_margin: None };
    let least = |margin: &mut Option<Tenths>, new: Tenths| *margin = Some(margin.map_or(new, |m| m.min(new)));
    for (i, hole) in holes.iter().enumerate() {
        let Point { x, y } = hole.at;
        let distance = x.min(y).min(width - x).min(height - y);
        let needed = SpacingRule::of(rule.edge_tenths, hole.diameter);
        least(&mut found.edge_margin, distance - needed);
        if distance < needed {
            found.edges.push(NearEdge { hole: i, distance, needed });
        }
        for (j, other) in holes[..i].iter().enumerate() {
            // The root rounded down is below a whole bound exactly when the root itself is.
            let distance = Tenths::of(hole.at.distance_squared(other.at).isqrt());
            let needed = SpacingRule::of(rule.between_tenths, hole.diameter.max(other.diameter));
            least(&mut found.pair_margin, distance - needed);
            if distance < needed {
                found.pairs.push(NearHole { first: j, second: i, distance, needed });
            }
        }
    }
    Ok(found)
}

/// A screw or stud whose head something covers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Covered {
    /// Index of the screw.
    pub screw: usize,
    /// Index of the outline that covers it.
    pub by: usize,
}

/// Screws of the old studs that an outline covers: a foot or the body of the new unit that can't lie flat on them, or that
/// keeps a tool away. `diameter` of a screw is that of its head, nut or washer, whichever is largest.
///
/// Circle and rectangle overlap when the rectangle's nearest point is inside the circle; touching does not count. A unit that
/// stands off by more than the heads are high is not obstructed, but its plate must then be fixed first.
///
/// ```
/// use calc::enclosure::fit::{Point, Rect, Tenths};
/// use calc::enclosure::holes::{Hole, covered};
/// let nut = |x, y| Hole { at: Point::mm(x, y), diameter: Tenths::mm(12) };
/// let feet = [Rect::mm(0, 0, 20, 30), Rect::mm(100, 0, 20, 30)];
/// let found = covered(&[nut(10, 10), nut(26, 10), nut(60, 10), nut(97, 33)], &feet);
/// assert_eq!(found.iter().map(|c| (c.screw, c.by)).collect::<Vec<_>>(), [(0, 0), (3, 1)]);
/// ```
#[must_use]
pub fn covered(screws: &[Hole], outlines: &[Rect]) -> Vec<Covered> {
    let over = |screw: &Hole, outline: &Rect| {
        let gap = outline.nearest(screw.at).distance_squared(screw.at);
        let diameter = screw.diameter.get();
        4 * gap < diameter * diameter
    };
    let pairs = screws.iter().enumerate().flat_map(|(i, s)| outlines.iter().enumerate().map(move |(j, o)| (i, s, j, o)));
    pairs.filter(|(_, s, _, o)| over(s, o)).map(|(screw, _, by, _)| Covered { screw, by }).collect()
}
