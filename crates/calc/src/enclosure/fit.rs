//! Where a unit fits on a mounting plate: every allowed place, exactly; the fewest obstacles whose removal makes it fit; and
//! the depth with the door closed. What lacks when nothing fits is in `fit/shortfall.rs`.
//!
//! A unit's place is the lower left corner of its body. The allowed places are the plate's, less one open rectangle for each
//! obstacle: the Minkowski sum of the obstacle with the mirrored unit and its clearances. What remains is a union of closed
//! rectangles (a slot exactly as wide as the unit remains as a line), kept as its list of maximal ones.

mod geometry;
mod play;
mod shortfall;
#[cfg(test)]
mod tests;

pub(crate) use geometry::cut;
pub use geometry::{Point, Rect, Side, Sides, Tenths, Turn};
pub use play::{grown, play};
pub use shortfall::{Growth, Lack, Less, Shift, Shortfall, shortfall};

use crate::registry::Refusal;

/// A mounting plate in its box. Its lower left corner is the origin.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Plate {
    /// Width.
    pub width: Tenths,
    /// Height.
    pub height: Tenths,
    /// From the plate's face to the inside of the closed door.
    pub depth: Tenths,
    /// From the plate's edges to the walls of the box: clearances may reach over the edge as far as the wall, bodies may not.
    pub beyond: Sides,
}

/// What an obstacle is fixed to.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Mount {
    /// The plate: it takes the room of the unit's body and of its clearances.
    #[default]
    Plate,
    /// The door: it comes in from the front, in the way of a body that reaches so far, never of clearances.
    Door,
}

/// Something in the way: a duct, a rail with its devices, a device on the door, a stiffener.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Obstacle {
    /// What people call it.
    pub name: String,
    /// Its outline in the plate's coordinates, with the room that it needs around itself.
    pub at: Rect,
    /// How far it stands off what it is fixed to.
    pub height: Tenths,
    /// What it is fixed to.
    pub mount: Mount,
    /// Whether it can be moved or taken out.
    pub movable: bool,
}

/// A unit to be mounted, with the parts added to it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unit {
    /// What people call it.
    pub name: String,
    /// Width of the body.
    pub width: Tenths,
    /// Height of the body.
    pub height: Tenths,
    /// Depth from the mounting face to the front, without what `front` counts.
    pub depth: Tenths,
    /// What stands out in front: keypad, handle, plugs.
    pub front: Tenths,
    /// Clearances that the unit's documents ask for, upright, in its way of mounting.
    pub clear: Sides,
    /// Whether its documents allow it to be mounted lying on its side.
    pub may_turn: bool,
    /// Whether its clearances may be the same air as a neighbour's. Both must allow it.
    pub shares_air: bool,
    /// How far the body stands off the plate, where its documents let it pass over what is not higher than that.
    pub stand_off: Option<Tenths>,
}

/// A place of a unit.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Spot {
    /// How it is turned.
    pub turn: Turn,
    /// Lower left corner of the body as it is turned.
    pub at: Point,
}

/// A unit as it is turned: its size and clearances seen from the front.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Stance {
    pub(crate) turn: Turn,
    pub(crate) width: Tenths,
    pub(crate) height: Tenths,
    pub(crate) clear: Sides,
}

impl Stance {
    /// Places at which a rectangle with `room` around the body would overlap `taken`: an open rectangle.
    pub(crate) fn forbidden(&self, taken: &Rect, room: Sides) -> Rect {
        Rect {
            left: taken.left - self.width - room.right,
            bottom: taken.bottom - self.height - room.above,
            right: taken.right + room.left,
            top: taken.top + room.below,
        }
    }

    /// Places on the empty plate; the edges have crossed when there are none.
    fn span(&self, plate: &Plate) -> Rect {
        let over = |side| (self.clear.at(side) - plate.beyond.at(side)).max(Tenths::ZERO);
        Rect {
            left: over(Side::Left),
            bottom: over(Side::Below),
            right: plate.width - self.width - over(Side::Right),
            top: plate.height - self.height - over(Side::Above),
        }
    }

    /// Places that `obstacle` takes from the unit, as an open rectangle; none where the unit passes it.
    fn blocked(&self, plate: &Plate, unit: &Unit, obstacle: &Obstacle) -> Option<Rect> {
        match obstacle.mount {
            Mount::Plate if unit.stand_off.is_some_and(|stand_off| obstacle.height <= stand_off) => None,
            Mount::Plate => Some(self.forbidden(&obstacle.at, self.clear)),
            Mount::Door if unit.depth + unit.front + obstacle.height <= plate.depth => None,
            Mount::Door => Some(self.forbidden(&obstacle.at, Sides::default())),
        }
    }

    /// The maximal rectangles of allowed places in `span`.
    fn free_in(&self, span: Rect, plate: &Plate, unit: &Unit, obstacles: &[Obstacle], leave_out: Option<usize>) -> Vec<Rect> {
        let mut free: Vec<Rect> = span.some().into_iter().collect();
        for (i, obstacle) in obstacles.iter().enumerate() {
            if Some(i) != leave_out
                && let Some(hole) = self.blocked(plate, unit, obstacle)
            {
                cut(&mut free, &hole);
            }
        }
        free.sort_unstable();
        free
    }

    /// The maximal rectangles of allowed places.
    pub(crate) fn free(&self, plate: &Plate, unit: &Unit, obstacles: &[Obstacle]) -> Vec<Rect> {
        self.free_in(self.span(plate), plate, unit, obstacles, None)
    }
}

impl Unit {
    /// The ways in which the unit may be turned.
    pub(crate) fn stances(&self) -> impl Iterator<Item = Stance> + '_ {
        Turn::ALL.into_iter().filter(|turn| self.may_turn || *turn == Turn::Upright).map(|turn| {
            let lying = turn != Turn::Upright;
            let (width, height) = if lying { (self.height, self.width) } else { (self.width, self.height) };
            Stance { turn, width, height, clear: turn.sides(self.clear) }
        })
    }

    /// The unit's body as it stands at `spot`.
    #[must_use]
    pub fn body(&self, spot: Spot) -> Rect {
        let lying = spot.turn != Turn::Upright;
        let (width, height) = if lying { (self.height, self.width) } else { (self.width, self.height) };
        Rect::at(spot.at, width, height)
    }

    /// The body with its clearances as it stands at `spot`.
    #[must_use]
    pub fn zone(&self, spot: Spot) -> Rect {
        self.body(spot).grown(spot.turn.sides(self.clear))
    }
}

/// The allowed places of a unit in one turn.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Free {
    /// The turn.
    pub turn: Turn,
    /// Maximal closed rectangles of places, which overlap each other; sorted from the left, then from below.
    pub places: Vec<Rect>,
}

/// Where a unit fits.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fit {
    /// Room left in front of the unit with the door closed; negative when it lacks.
    pub depth_margin: Tenths,
    /// Allowed places for every turn that the unit allows. They count whether or not the depth is enough.
    pub free: Vec<Free>,
}

impl Fit {
    /// Whether the plate has a place for the unit, whatever the depth.
    #[must_use]
    pub fn on_plate(&self) -> bool {
        self.free.iter().any(|free| !free.places.is_empty())
    }

    /// Whether the unit goes in and the door closes.
    #[must_use]
    pub fn fits(&self) -> bool {
        self.depth_margin >= Tenths::ZERO && self.on_plate()
    }

    /// The first place: upright before turned, then the leftmost, then the lowest.
    #[must_use]
    pub fn first(&self) -> Option<Spot> {
        self.free.iter().find_map(|free| free.places.first().map(|r| Spot { turn: free.turn, at: r.corner() }))
    }
}

/// Every allowed place of `unit` on `plate` among `obstacles`, exactly.
///
/// Body on the plate; clearances within the walls; neither over an obstacle on the plate, unless the unit passes over it on its
/// stand-off; the body under no device of the door that leaves too little depth. Touching is allowed. Depth margin = plate
/// depth − unit depth − what stands out in front. Units: tenths of a millimetre.
///
/// # Errors
/// When a size is negative, beyond [`Tenths::LIMIT`], or a body has no width or height.
///
/// Source: definition. Worked example: 100 mm × 200 mm with 50 mm above and below, a duct over the lowest 60 mm of a plate of
/// 400 mm × 600 mm: x from 0 to 300 mm, y from 110 to 350 mm.
/// ```
/// use calc::enclosure::fit::{Obstacle, Mount, Plate, Rect, Sides, Tenths, Unit, fit};
/// let plate = Plate { width: Tenths::mm(400), height: Tenths::mm(600), depth: Tenths::mm(250), beyond: Sides::default() };
/// let unit = Unit {
///     name: "drive".into(), width: Tenths::mm(100), height: Tenths::mm(200), depth: Tenths::mm(180), front: Tenths::mm(20),
///     clear: Sides { above: Tenths::mm(50), below: Tenths::mm(50), ..Sides::default() },
///     may_turn: false, shares_air: true, stand_off: None,
/// };
/// let duct = Obstacle { name: "duct".into(), at: Rect::mm(0, 0, 400, 60), height: Tenths::mm(80), mount: Mount::Plate, movable: false };
/// let found = fit(&plate, &unit, &[duct]).unwrap();
/// assert_eq!(found.free[0].places, [Rect::mm(0, 110, 300, 240)]);
/// assert!(found.fits() && found.depth_margin == Tenths::mm(50));
/// ```
pub fn fit(plate: &Plate, unit: &Unit, obstacles: &[Obstacle]) -> Result<Fit, Refusal> {
    check(plate, [unit], obstacles)?;
    let free = unit.stances().map(|s| Free { turn: s.turn, places: s.free(plate, unit, obstacles) }).collect();
    Ok(Fit { depth_margin: depth_margin(plate, unit), free })
}

pub(crate) fn depth_margin(plate: &Plate, unit: &Unit) -> Tenths {
    plate.depth - unit.depth - unit.front
}

/// Obstacles to be taken away so that a unit fits.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Removal {
    /// Their indices in the list given, ascending; empty when the unit fits as it is.
    pub obstacles: Vec<usize>,
    /// A place that is free then.
    pub spot: Spot,
}

/// The fewest movable obstacles whose removal gives `unit` a place; `None` when even without all of them there is none.
///
/// Exact for any number. From any place, moving left and down until the next step would enter the room of another obstacle
/// (or leave the plate) never adds an obstacle in the way; so a best place lies at a left and a lower bound, of which there
/// are at most (n + 1)². Depth is not looked at. Ties: the obstacles named first, then upright, leftmost, lowest.
///
/// # Errors
/// As for [`fit`].
///
/// ```
/// # use calc::enclosure::fit::{Obstacle, Mount, Plate, Rect, Sides, Tenths, Unit, fewest_removed};
/// # let plate = Plate { width: Tenths::mm(100), height: Tenths::mm(100), depth: Tenths::mm(250), beyond: Sides::default() };
/// # let unit = Unit {
/// #     name: "drive".into(), width: Tenths::mm(80), height: Tenths::mm(60), depth: Tenths::mm(180), front: Tenths::ZERO,
/// #     clear: Sides::default(), may_turn: false, shares_air: true, stand_off: None,
/// # };
/// let rail = |name: &str, y| Obstacle { name: name.into(), at: Rect::mm(0, y, 100, 10), height: Tenths::mm(40), mount: Mount::Plate, movable: true };
/// let removal = fewest_removed(&plate, &unit, &[rail("upper", 80), rail("middle", 50), rail("lower", 10)]).unwrap().unwrap();
/// assert_eq!(removal.obstacles, [1]); // 20 mm to 80 mm are free without the one in the middle
/// ```
pub fn fewest_removed(plate: &Plate, unit: &Unit, obstacles: &[Obstacle]) -> Result<Option<Removal>, Refusal> {
    check(plate, [unit], obstacles)?;
    let mut best: Option<Removal> = None;
    for stance in unit.stances() {
        let Some(span) = stance.span(plate).some() else { continue };
        let holes: Vec<(usize, Rect)> =
            obstacles.iter().enumerate().filter_map(|(i, o)| stance.blocked(plate, unit, o).map(|hole| (i, hole))).collect();
        let mut xs: Vec<Tenths> = holes.iter().map(|(_, h)| h.right).filter(|x| span.left < *x && *x <= span.right).collect();
        let mut ys: Vec<Tenths> = holes.iter().map(|(_, h)| h.top).filter(|y| span.bottom < *y && *y <= span.top).collect();
        xs.push(span.left);
        ys.push(span.bottom);
        for list in [&mut xs, &mut ys] {
            list.sort_unstable();
            list.dedup();
        }
        for at in xs.iter().flat_map(|x| ys.iter().map(|y| Point::new(*x, *y))) {
            let limit = best.as_ref().map_or(usize::MAX, |b| b.obstacles.len());
            let Some(removed) = in_the_way(at, &holes, obstacles, limit) else { continue };
            if best.as_ref().is_none_or(|b| (removed.len(), &removed) < (b.obstacles.len(), &b.obstacles)) {
                best = Some(Removal { obstacles: removed, spot: Spot { turn: stance.turn, at } });
            }
        }
    }
    Ok(best)
}

/// The obstacles over a place; `None` when one of them can't be moved or there are more than `limit`.
fn in_the_way(at: Point, holes: &[(usize, Rect)], obstacles: &[Obstacle], limit: usize) -> Option<Vec<usize>> {
    let mut found = Vec::new();
    for (i, _) in holes.iter().filter(|(_, hole)| hole.holds_inside(at)) {
        if !obstacles[*i].movable || found.len() == limit {
            return None;
        }
        found.push(*i);
    }
    Some(found)
}

/// Refuses what can't be a plate, a unit or an obstacle.
pub(crate) fn check<'u>(plate: &Plate, units: impl IntoIterator<Item = &'u Unit>, obstacles: &[Obstacle]) -> Result<(), Refusal> {
    let size = |what: &str, length: Tenths, least: Tenths| {
        if (least..=Tenths::LIMIT).contains(&length) {
            return Ok(());
        }
        let bound = if least > Tenths::ZERO { "above zero" } else { "not negative" };
        Err(Refusal::new(format!("{what} is {}; it must be {bound} and at most {}", length.length(), Tenths::LIMIT.length())))
    };
    let some = Tenths::of(1);
    for (what, length, least) in [("width", plate.width, some), ("height", plate.height, some), ("depth", plate.depth, Tenths::ZERO)] {
        size(&format!("the plate's {what}"), length, least)?;
    }
    for side in Side::ALL {
        size("the distance from the plate's edge to the wall", plate.beyond.at(side), Tenths::ZERO)?;
    }
    for unit in units {
        for (what, length, least) in [
            ("width", unit.width, some),
            ("height", unit.height, some),
            ("depth", unit.depth, Tenths::ZERO),
            ("front", unit.front, Tenths::ZERO),
            ("stand-off", unit.stand_off.unwrap_or_default(), Tenths::ZERO),
        ] {
            size(&format!("{} of {}", what, unit.name), length, least)?;
        }
        for side in Side::ALL {
            size(&format!("a clearance of {}", unit.name), unit.clear.at(side), Tenths::ZERO)?;
        }
    }
    for obstacle in obstacles {
        let at = &obstacle.at;
        if [at.left, at.bottom, at.right, at.top].iter().any(|edge| edge.abs() > Tenths::LIMIT) || at.some().is_none() {
            return Err(Refusal::new(format!("the outline of {} is none: its edges cross or lie too far away", obstacle.name)));
        }
        size(&format!("height of {}", obstacle.name), obstacle.height, Tenths::ZERO)?;
    }
    Ok(())
}
