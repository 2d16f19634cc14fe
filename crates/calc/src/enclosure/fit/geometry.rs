//! Plane geometry of a mounting plate in whole tenths of a millimetre: lengths, points, rectangles, quarter turns, and the
//! maximal free rectangles that remain when others are cut out. Integers, so that "touches" and "overlaps" are exact.

use std::iter::Sum;
use std::ops::{Add, AddAssign, Neg, Sub};

use plant::quantity::Length;

use crate::registry::Refusal;

/// A length in whole tenths of a millimetre.
///
/// ```
/// use calc::enclosure::fit::Tenths;
/// use plant::quantity::Length;
/// assert_eq!(Tenths::up(Length::inch(0.5)).unwrap(), Tenths::mm(12) + Tenths::of(7));
/// assert_eq!((Tenths::down(Length::inch(0.0625)).unwrap().get(), Tenths::up(Length::inch(0.0625)).unwrap().get()), (15, 16));
/// assert_eq!(Tenths::up(Length::mm(0.3)).unwrap(), Tenths::of(3));
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Tenths(i64);

/// Binary fractions of decimal lengths are off by far less than this part of a tenth; such a remainder does not round up.
const ROUNDING_SLACK: f64 = 1e-6;

impl Tenths {
    /// Nothing.
    pub const ZERO: Self = Self(0);
    /// The largest length that a layout may have, 100 m: sums and squares of such lengths stay far from overflow.
    pub const LIMIT: Self = Self(1_000_000);
    /// Farther than any plate grows.
    pub(crate) const FAR: Self = Self(100_000_000);

    /// From a number of tenths of a millimetre.
    #[must_use]
    pub const fn of(tenths: i64) -> Self {
        Self(tenths)
    }

    /// From a number of whole millimetres.
    #[must_use]
    pub const fn mm(millimetres: i64) -> Self {
        Self(millimetres.saturating_mul(10))
    }

    /// As a number of tenths of a millimetre.
    #[must_use]
    pub const fn get(self) -> i64 {
        self.0
    }

    /// The length as a quantity.
    #[must_use]
    pub fn length(self) -> Length {
        #[expect(clippy::cast_precision_loss, reason = "lengths within the limit are exact")]
        Length::mm(self.0 as f64 / 10.0)
    }

    /// The next whole tenth upwards: for what takes room.
    ///
    /// # Errors
    /// When the length is no number or beyond [`Tenths::LIMIT`].
    pub fn up(length: Length) -> Result<Self, Refusal> {
        Self::rounded(length, |tenths| (tenths - ROUNDING_SLACK).ceil())
    }

    /// The next whole tenth downwards: for what gives room.
    ///
    /// # Errors
    /// As for [`Tenths::up`].
    pub fn down(length: Length) -> Result<Self, Refusal> {
        Self::rounded(length, |tenths| (tenths + ROUNDING_SLACK).floor())
    }

    /// The nearest whole tenth: for places of holes.
    ///
    /// # Errors
    /// As for [`Tenths::up`].
    pub fn nearest(length: Length) -> Result<Self, Refusal> {
        Self::rounded(length, f64::round)
    }

    fn rounded(length: Length, round: fn(f64) -> f64) -> Result<Self, Refusal> {
        if length.is_finite() && length.abs() <= Self::LIMIT.length() {
            #[expect(clippy::cast_possible_truncation, reason = "within ±1,000,000")]
            Ok(Self(round(length.in_mm() * 10.0) as i64))
        } else {
            Err(Refusal::new(format!("{length} is no length in a box: at most {}", Self::LIMIT.length())))
        }
    }

    /// Without its sign.
    #[must_use]
    pub const fn abs(self) -> Self {
        Self(self.0.abs())
    }
}

impl Add for Tenths {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl AddAssign for Tenths {
    fn add_assign(&mut self, other: Self) {
        self.0 += other.0;
    }
}

impl Sub for Tenths {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl Neg for Tenths {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

impl Sum for Tenths {
    fn sum<I: Iterator<Item = Self>>(all: I) -> Self {
        all.fold(Self::ZERO, Add::add)
    }
}

/// A point of a plate, x to the right and y upwards from the plate's lower left corner, seen from the front; or of a unit,
/// from the lower left corner of its body.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Point {
    /// To the right.
    pub x: Tenths,
    /// Upwards.
    pub y: Tenths,
}

impl Point {
    /// A point.
    #[must_use]
    pub const fn new(x: Tenths, y: Tenths) -> Self {
        Self { x, y }
    }

    /// A point from whole millimetres.
    #[must_use]
    pub const fn mm(x: i64, y: i64) -> Self {
        Self::new(Tenths::mm(x), Tenths::mm(y))
    }

    /// Square of the straight distance, in tenths squared. Exact.
    #[must_use]
    pub const fn distance_squared(self, other: Self) -> i64 {
        let (dx, dy) = (self.x.0 - other.x.0, self.y.0 - other.y.0);
        dx * dx + dy * dy
    }

    /// Distance along the axes, as cables are laid in ducts.
    #[must_use]
    pub fn manhattan(self, other: Self) -> Tenths {
        (self.x - other.x).abs() + (self.y - other.y).abs()
    }
}

impl Add for Point {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::new(self.x + other.x, self.y + other.y)
    }
}

impl Sub for Point {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self::new(self.x - other.x, self.y - other.y)
    }
}

/// An axis-parallel rectangle; it may be as thin as a line or a point.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Rect {
    /// Left edge.
    pub left: Tenths,
    /// Lower edge.
    pub bottom: Tenths,
    /// Right edge, not left of `left`.
    pub right: Tenths,
    /// Upper edge, not below `bottom`.
    pub top: Tenths,
}

impl Rect {
    /// From its lower left corner and its size.
    #[must_use]
    pub fn at(corner: Point, width: Tenths, height: Tenths) -> Self {
        Self { left: corner.x, bottom: corner.y, right: corner.x + width, top: corner.y + height }
    }

    /// From whole millimetres: lower left corner and size.
    #[must_use]
    pub fn mm(left: i64, bottom: i64, width: i64, height: i64) -> Self {
        Self::at(Point::mm(left, bottom), Tenths::mm(width), Tenths::mm(height))
    }

    /// Lower left corner.
    #[must_use]
    pub const fn corner(&self) -> Point {
        Point::new(self.left, self.bottom)
    }

    /// Moved by `by`.
    #[must_use]
    pub fn moved(&self, by: Point) -> Self {
        Self { left: self.left + by.x, bottom: self.bottom + by.y, right: self.right + by.x, top: self.top + by.y }
    }

    /// Grown by `sides` outwards.
    #[must_use]
    pub fn grown(&self, sides: Sides) -> Self {
        Self {
            left: self.left - sides.left,
            bottom: self.bottom - sides.below,
            right: self.right + sides.right,
            top: self.top + sides.above,
        }
    }

    /// Whether the insides overlap; rectangles that only touch do not. A line or a point overlaps what it passes through.
    #[must_use]
    pub fn overlaps(&self, other: &Self) -> bool {
        self.left < other.right && other.left < self.right && self.bottom < other.top && other.bottom < self.top
    }

    /// Whether `point` lies in the rectangle or on its edge.
    #[must_use]
    pub fn holds(&self, point: Point) -> bool {
        self.left <= point.x && point.x <= self.right && self.bottom <= point.y && point.y <= self.top
    }

    /// Whether `point` lies inside, not on the edge.
    #[must_use]
    pub fn holds_inside(&self, point: Point) -> bool {
        self.left < point.x && point.x < self.right && self.bottom < point.y && point.y < self.top
    }

    /// Whether `other` lies wholly in the rectangle, edges included.
    #[must_use]
    pub fn contains(&self, other: &Self) -> bool {
        self.left <= other.left && other.right <= self.right && self.bottom <= other.bottom && other.top <= self.top
    }

    /// What both share, edges included.
    #[must_use]
    pub fn common(&self, other: &Self) -> Option<Self> {
        Self {
            left: self.left.max(other.left),
            bottom: self.bottom.max(other.bottom),
            right: self.right.min(other.right),
            top: self.top.min(other.top),
        }
        .some()
    }

    /// The point of the rectangle nearest to `point`.
    #[must_use]
    pub fn nearest(&self, point: Point) -> Point {
        Point::new(point.x.max(self.left).min(self.right), point.y.max(self.bottom).min(self.top))
    }

    /// The four corners, the lower left one first.
    #[must_use]
    pub const fn corners(&self) -> [Point; 4] {
        let Self { left, bottom, right, top } = *self;
        [Point::new(left, bottom), Point::new(right, bottom), Point::new(left, top), Point::new(right, top)]
    }

    /// The rectangle, unless its edges have crossed.
    pub(crate) fn some(self) -> Option<Self> {
        (self.left <= self.right && self.bottom <= self.top).then_some(self)
    }
}

/// A length at each side.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Sides {
    /// At the upper side.
    pub above: Tenths,
    /// At the lower side.
    pub below: Tenths,
    /// At the left side, seen from the front.
    pub left: Tenths,
    /// At the right side, seen from the front.
    pub right: Tenths,
}

impl Sides {
    /// The same at all sides.
    #[must_use]
    pub const fn all(length: Tenths) -> Self {
        Self { above: length, below: length, left: length, right: length }
    }

    /// The length at one side.
    #[must_use]
    pub const fn at(&self, side: Side) -> Tenths {
        match side {
            Side::Above => self.above,
            Side::Below => self.below,
            Side::Left => self.left,
            Side::Right => self.right,
        }
    }

    /// Sets the length at one side.
    #[must_use]
    pub const fn with(mut self, side: Side, length: Tenths) -> Self {
        match side {
            Side::Above => self.above = length,
            Side::Below => self.below = length,
            Side::Left => self.left = length,
            Side::Right => self.right = length,
        }
        self
    }
}

/// One of the four sides, or the direction towards it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Side {
    /// The upper.
    Above,
    /// The lower.
    Below,
    /// The left, seen from the front.
    Left,
    /// The right, seen from the front.
    Right,
}

impl Side {
    /// Its word: "above".
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Above => "above",
            Self::Below => "below",
            Self::Left => "left",
            Self::Right => "right",
        }
    }

    /// All four.
    pub const ALL: [Self; 4] = [Self::Right, Self::Left, Self::Above, Self::Below];

    /// The step of `length` towards this side.
    #[must_use]
    pub fn step(self, length: Tenths) -> Point {
        match self {
            Self::Above => Point::new(Tenths::ZERO, length),
            Self::Below => Point::new(Tenths::ZERO, -length),
            Self::Left => Point::new(-length, Tenths::ZERO),
            Self::Right => Point::new(length, Tenths::ZERO),
        }
    }
}

/// How a unit is turned on the plate, seen from the front.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Turn {
    /// As its documents draw it.
    #[default]
    Upright,
    /// A quarter turn against the clock: its top points left.
    Left,
    /// A quarter turn with the clock: its top points right.
    Right,
}

impl Turn {
    /// All turns; no unit hangs upside down.
    pub const ALL: [Self; 3] = [Self::Upright, Self::Left, Self::Right];

    /// Where a point of an upright body of `width` × `height` comes to lie, from the turned body's lower left corner.
    #[must_use]
    pub fn point(self, point: Point, width: Tenths, height: Tenths) -> Point {
        match self {
            Self::Upright => point,
            Self::Left => Point::new(height - point.y, point.x),
            Self::Right => Point::new(point.y, width - point.x),
        }
    }

    /// Which side an upright side becomes.
    #[must_use]
    pub const fn sides(self, s: Sides) -> Sides {
        match self {
            Self::Upright => s,
            Self::Left => Sides { left: s.above, below: s.left, right: s.below, above: s.right },
            Self::Right => Sides { right: s.above, below: s.right, left: s.below, above: s.left },
        }
    }
}

/// Cuts the open rectangle `hole` out of a set given by its maximal closed rectangles, and leaves the maximal ones of the rest.
///
/// A closed rectangle that misses an open one lies wholly at one of its four sides. So every maximal rectangle of the rest is
/// a maximal one of before, cut at a side of the hole; of those cuts, the ones inside another are dropped.
pub(crate) fn cut(free: &mut Vec<Rect>, hole: &Rect) {
    let mut pieces: Vec<Rect> = Vec::new();
    free.retain(|r| {
        let met = r.left < hole.right && hole.left < r.right && r.bottom < hole.top && hole.bottom < r.top;
        if met {
            let sides = [
                Rect { right: hole.left, ..*r },
                Rect { left: hole.right, ..*r },
                Rect { top: hole.bottom, ..*r },
                Rect { bottom: hole.top, ..*r },
            ];
            pieces.extend(sides.into_iter().filter_map(Rect::some));
        }
        !met
    });
    // What was maximal before and is still whole lies in no piece, so that only the pieces are asked.
    let whole = free.len();
    for (i, piece) in pieces.iter().enumerate() {
        let inside = free[..whole].iter().any(|r| r.contains(piece))
            || pieces.iter().enumerate().any(|(j, other)| j != i && other.contains(piece) && (j < i || other != piece));
        if !inside {
            free.push(*piece);
        }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn a_quarter_turn_and_back_is_nothing() {
        let (w, h, p) = (Tenths::mm(30), Tenths::mm(50), Point::mm(7, 11));
        assert_eq!(Turn::Right.point(Turn::Left.point(p, w, h), h, w), p);
        let sides = Sides { above: Tenths::mm(1), below: Tenths::mm(2), left: Tenths::mm(3), right: Tenths::mm(4) };
        assert_eq!(Turn::Right.sides(Turn::Left.sides(sides)), sides);
        // The top left corner of the upright body is the lower left one after a turn to the left.
        assert_eq!(Turn::Left.point(Point::new(Tenths::ZERO, h), w, h), Point::mm(0, 0));
        assert_eq!(Turn::Right.point(Point::new(w, Tenths::ZERO), w, h), Point::mm(0, 0));
    }

    #[test]
    fn a_slot_as_wide_as_the_unit_remains_as_a_line() {
        let mut free = vec![Rect::mm(0, 0, 10, 10)];
        cut(&mut free, &Rect::mm(-5, -5, 9, 30));
        cut(&mut free, &Rect::mm(4, -5, 30, 30));
        assert_eq!(free, [Rect::mm(4, 0, 0, 10)]);
    }

    #[test]
    fn lengths_beyond_the_limit_are_refused() {
        for length in [Length::mm(f64::NAN), Length::m(101.0), Length::m(f64::INFINITY)] {
            assert!(Tenths::up(length).is_err() && Tenths::down(length).is_err() && Tenths::nearest(length).is_err());
        }
    }

    proptest! {
        #[test]
        fn the_rest_is_the_set_without_the_holes_and_its_rectangles_are_maximal(
            holes in prop::collection::vec((0i64..12, 0i64..12, 1i64..8, 1i64..8), 0..7)
        ) {
            let whole = Rect::at(Point::default(), Tenths::of(14), Tenths::of(14));
            let holes: Vec<Rect> = holes.iter().map(|(x, y, w, h)| Rect::at(Point::new(Tenths::of(*x), Tenths::of(*y)), Tenths::of(*w), Tenths::of(*h))).collect();
            let mut free = vec![whole];
            holes.iter().for_each(|hole| cut(&mut free, hole));
            for (x, y) in (0..=14).flat_map(|x| (0..=14).map(move |y| (x, y))) {
                let point = Point::new(Tenths::of(x), Tenths::of(y));
                prop_assert_eq!(free.iter().any(|r| r.holds(point)), !holes.iter().any(|hole| hole.holds_inside(point)), "{:?}", point);
            }
            for (i, r) in free.iter().enumerate() {
                prop_assert!(!free.iter().enumerate().any(|(j, other)| i != j && other.contains(r)));
                for side in Side::ALL {
                    let more = r.grown(Sides::default().with(side, Tenths::of(1)));
                    let blocked = |hole: &Rect| more.left < hole.right && hole.left < more.right && more.bottom < hole.top && hole.bottom < more.top;
                    prop_assert!(!whole.contains(&more) || holes.iter().any(blocked), "{:?} grows {:?}", r, side);
                }
            }
        }
    }
}
