//! What lacks where a unit finds no place: how much more plate, which obstacle moved how far, which clearance less.

use super::{Mount, Obstacle, Plate, Point, Rect, Side, Sides, Spot, Stance, Tenths, Turn, Unit, check, depth_margin};
use crate::registry::Refusal;

/// What even the empty plate lacks, clearances and walls counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Lack {
    /// The turn that lacks least (sum of both).
    pub turn: Turn,
    /// Width that lacks; zero when the empty plate is wide enough.
    pub width: Tenths,
    /// Height that lacks.
    pub height: Tenths,
}

/// A larger plate on which the unit fits; the walls move with the edge, obstacles stay where they are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Growth {
    /// The side at which the plate grows.
    pub side: Side,
    /// By how much at least.
    pub by: Tenths,
    /// Where the unit goes then, in coordinates of the present plate.
    pub spot: Spot,
}

/// An obstacle that makes room by moving along one axis.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Shift {
    /// Index of the obstacle in the list given. Whether it can be moved at all is for the caller to look up.
    pub obstacle: usize,
    /// Where it moves.
    pub towards: Side,
    /// By how much at least.
    pub by: Tenths,
}

/// A clearance that would have to be less, for instance by another way of mounting.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Less {
    /// Side of the upright unit.
    pub side: Side,
    /// By how much less at least.
    pub by: Tenths,
}

/// What lacks, each taken alone.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shortfall {
    /// Depth that lacks with the door closed; zero when it is enough.
    pub depth: Tenths,
    /// What the empty plate lacks.
    pub empty: Lack,
    /// The least growth in width that makes the unit fit, at the better side (right before left); `None` when no width does.
    pub wider: Option<Growth>,
    /// The least growth in height, at the better side (above before below); `None` when no height does.
    pub taller: Option<Growth>,
    /// For each obstacle that makes room by moving alone: its shortest way. Empty when the plate has a place anyway.
    pub shifts: Vec<Shift>,
    /// For each clearance that makes room by being less: the least reduction. Empty when the plate has a place anyway.
    pub clearances: Vec<Less>,
}

/// The least that would have to change for `unit` to fit, one change at a time, exactly.
///
/// Growth: the places on a plate that is endless at one side are computed as for a fit; the one nearest to the present plate
/// says how much lacks. Zero when the plate has a place. Shift: an obstacle comes to rest on the plate and over no obstacle
/// that it did not overlap before; what it passes on its way does not matter. Units: tenths of a millimetre.
///
/// # Errors
/// As for [`super::fit`].
///
/// Source: definition. Worked example: a unit of 100 mm between two ducts 90 mm apart lacks 10 mm of clear width; the right duct
/// has to move 10 mm to the right, or the plate to grow by 70 mm at the right, beyond the duct.
/// ```
/// use calc::enclosure::fit::{Obstacle, Mount, Plate, Rect, Side, Sides, Tenths, Unit, shortfall};
/// let plate = Plate { width: Tenths::mm(200), height: Tenths::mm(300), depth: Tenths::mm(250), beyond: Sides::default() };
/// let unit = Unit {
///     name: "drive".into(), width: Tenths::mm(100), height: Tenths::mm(200), depth: Tenths::mm(180), front: Tenths::ZERO,
///     clear: Sides::default(), may_turn: false, shares_air: true, stand_off: None,
/// };
/// let duct = |x| Obstacle { name: "duct".into(), at: Rect::mm(x, 0, 40, 300), height: Tenths::mm(80), mount: Mount::Plate, movable: true };
/// let lack = shortfall(&plate, &unit, &[duct(0), duct(130)]).unwrap();
/// assert_eq!(lack.wider.unwrap().by, Tenths::mm(70));
/// assert_eq!(lack.taller.unwrap().by, Tenths::mm(200)); // over the ducts
/// let shift = lack.shifts[0]; // the left duct has nowhere to go
/// assert_eq!((shift.obstacle, shift.towards, shift.by), (1, Side::Right, Tenths::mm(10)));
/// ```
pub fn shortfall(plate: &Plate, unit: &Unit, obstacles: &[Obstacle]) -> Result<Shortfall, Refusal> {
    check(plate, [unit], obstacles)?;
    let placed = has_place(plate, unit, obstacles);
    let least = |sides: [Side; 2]| {
        let ways = sides.into_iter().flat_map(|side| unit.stances().filter_map(move |s| growth(plate, unit, obstacles, &s, side)));
        // The first of equals stays: min_by_key keeps it.
        ways.min_by_key(|g| g.by)
    };
    Ok(Shortfall {
        depth: (-depth_margin(plate, unit)).max(Tenths::ZERO),
        empty: empty(plate, unit),
        wider: least([Side::Right, Side::Left]),
        taller: least([Side::Above, Side::Below]),
        shifts: if placed { Vec::new() } else { (0..obstacles.len()).filter_map(|i| shift(plate, unit, obstacles, i)).collect() },
        clearances: if placed { Vec::new() } else { Side::ALL.into_iter().filter_map(|s| less(plate, unit, obstacles, s)).collect() },
    })
}

pub(super) fn has_place(plate: &Plate, unit: &Unit, obstacles: &[Obstacle]) -> bool {
    unit.stances().any(|s| !s.free(plate, unit, obstacles).is_empty())
}

fn empty(plate: &Plate, unit: &Unit) -> Lack {
    let lack = |s: Stance| {
        let span = s.span(plate);
        Lack { turn: s.turn, width: (span.left - span.right).max(Tenths::ZERO), height: (span.bottom - span.top).max(Tenths::ZERO) }
    };
    let none = Lack { turn: Turn::Upright, width: Tenths::ZERO, height: Tenths::ZERO };
    unit.stances().map(lack).min_by_key(|l| l.width + l.height).unwrap_or(none)
}

fn growth(plate: &Plate, unit: &Unit, obstacles: &[Obstacle], stance: &Stance, side: Side) -> Option<Growth> {
    let span = stance.span(plate);
    let endless = match side {
        Side::Right => Rect { right: Tenths::FAR, ..span },
        Side::Left => Rect { left: -Tenths::FAR, ..span },
        Side::Above => Rect { top: Tenths::FAR, ..span },
        Side::Below => Rect { bottom: -Tenths::FAR, ..span },
    };
    // How far a rectangle's nearest place lies beyond the present bound, and that place.
    let beyond = |r: &Rect| {
        let (by, at) = match side {
            Side::Right => (r.left - span.right, r.corner()),
            Side::Left => (span.left - r.right, Point::new(r.right, r.bottom)),
            Side::Above => (r.bottom - span.top, r.corner()),
            Side::Below => (span.bottom - r.top, Point::new(r.left, r.top)),
        };
        Growth { side, by: by.max(Tenths::ZERO), spot: Spot { turn: stance.turn, at } }
    };
    stance.free_in(endless, plate, unit, obstacles, None).iter().map(beyond).min_by_key(|g| (g.by, g.spot))
}

/// The shortest shift of one obstacle. A rectangle of places that would be free without it is wholly under the obstacle's
/// forbidden one, and comes free at an edge as soon as the obstacle has left that edge behind: once free, free for any
/// longer shift the same way.
fn shift(plate: &Plate, unit: &Unit, obstacles: &[Obstacle], index: usize) -> Option<Shift> {
    let mut best: Option<Shift> = None;
    for stance in unit.stances() {
        let Some(hole) = stance.blocked(plate, unit, &obstacles[index]) else { continue };
        let free = stance.free_in(stance.span(plate), plate, unit, obstacles, Some(index));
        for towards in Side::ALL {
            let needed = |r: &Rect| match towards {
                Side::Right => r.left - hole.left,
                Side::Left => hole.right - r.right,
                Side::Above => r.bottom - hole.bottom,
                Side::Below => hole.top - r.top,
            };
            let Some(by) = free.iter().map(needed).min().and_then(|by| rest(plate, obstacles, index, towards, by)) else { continue };
            if best.is_none_or(|b| by < b.by) {
                best = Some(Shift { obstacle: index, towards, by });
            }
        }
    }
    best
}

/// The least shift, `by` or more, after which the obstacle rests on the plate and over no other.
fn rest(plate: &Plate, obstacles: &[Obstacle], index: usize, towards: Side, mut by: Tenths) -> Option<Tenths> {
    let this = &obstacles[index];
    let others: Vec<&Rect> = obstacles
        .iter()
        .enumerate()
        // What it stands on, such as its rail, goes on carrying it; door and plate are apart.
        .filter(|(i, o)| *i != index && o.mount == this.mount && !o.at.overlaps(&this.at))
        .map(|(_, o)| &o.at)
        .collect();
    let at = &this.at;
    while let Some(other) = others.iter().find(|o| o.overlaps(&at.moved(towards.step(by)))) {
        by = match towards {
            Side::Right => other.right - at.left,
            Side::Left => at.right - other.left,
            Side::Above => other.top - at.bottom,
            Side::Below => at.top - other.bottom,
        };
    }
    let moved = at.moved(towards.step(by));
    let on_plate = match (this.mount, towards) {
        // The door's extent is not known.
        (Mount::Door, _) => true,
        (Mount::Plate, Side::Right) => moved.right <= plate.width.max(at.right),
        (Mount::Plate, Side::Left) => moved.left >= Tenths::ZERO.min(at.left),
        (Mount::Plate, Side::Above) => moved.top <= plate.height.max(at.top),
        (Mount::Plate, Side::Below) => moved.bottom >= Tenths::ZERO.min(at.bottom),
    };
    on_plate.then_some(by)
}

/// The least reduction of one clearance: less clearance never takes a place away, so that halving finds the bound.
fn less(plate: &Plate, unit: &Unit, obstacles: &[Obstacle], side: Side) -> Option<Less> {
    let fits = |by: i64| {
        let clear: Sides = unit.clear.with(side, unit.clear.at(side) - Tenths::of(by));
        has_place(plate, &Unit { clear, ..unit.clone() }, obstacles)
    };
    let (mut short, mut enough) = (0, unit.clear.at(side).get());
    if enough == 0 || !fits(enough) {
        return None;
    }
    while enough - short > 1 {
        let middle = short.midpoint(enough);
        if fits(middle) { enough = middle } else { short = middle }
    }
    Some(Less { side, by: Tenths::of(enough) })
}
