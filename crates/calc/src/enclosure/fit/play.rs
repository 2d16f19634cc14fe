//! By how much a unit fits or does not: one length that says how far the answer is from turning.

use super::{Obstacle, Plate, Tenths, Unit, check, shortfall::has_place};
use crate::registry::Refusal;

/// The unit with its body wider and taller by `by`, its clearances unchanged. `by` may be negative.
#[must_use]
pub fn grown(unit: &Unit, by: Tenths) -> Unit {
    Unit { width: unit.width + by, height: unit.height + by, ..unit.clone() }
}

/// How much wider and taller the unit's body could be and still find a place (positive: it fits with so much play), or how much
/// narrower and shorter it would have to be (negative). Depth is not looked at.
///
/// A larger body in a place needs all that a smaller one in the same corner needs, so halving finds the bound; to a tenth of a
/// millimetre. It never falls when the plate grows or an obstacle goes.
///
/// # Errors
/// As for [`super::fit`].
///
/// ```
/// use calc::enclosure::fit::{Obstacle, Mount, Plate, Rect, Sides, Tenths, Unit, play};
/// let plate = Plate { width: Tenths::mm(400), height: Tenths::mm(600), depth: Tenths::mm(250), beyond: Sides::default() };
/// let unit = Unit {
///     name: "drive".into(), width: Tenths::mm(300), height: Tenths::mm(400), depth: Tenths::mm(180), front: Tenths::ZERO,
///     clear: Sides::default(), may_turn: false, shares_air: true, stand_off: None,
/// };
/// assert_eq!(play(&plate, &unit, &[]).unwrap(), Tenths::mm(100)); // 400 mm − 300 mm; there are 200 mm in height
/// let duct = Obstacle { name: "duct".into(), at: Rect::mm(0, 350, 400, 50), height: Tenths::mm(80), mount: Mount::Plate, movable: false };
/// assert_eq!(play(&plate, &unit, &[duct]).unwrap(), Tenths::mm(-50)); // 350 mm below the duct
/// ```
pub fn play(plate: &Plate, unit: &Unit, obstacles: &[Obstacle]) -> Result<Tenths, Refusal> {
    check(plate, [unit], obstacles)?;
    let fits = |by: i64| has_place(plate, &grown(unit, Tenths::of(by)), obstacles);
    // The body keeps at least a tenth; on a plate no body is larger than the plate.
    let least = 1 - unit.width.min(unit.height).get();
    let most = (plate.width.max(plate.height) - unit.width.min(unit.height)).get();
    let (mut enough, mut too_much) = (least - 1, most.max(least) + 1);
    while too_much - enough > 1 {
        let middle = enough.midpoint(too_much);
        if fits(middle) { enough = middle } else { too_much = middle }
    }
    Ok(Tenths::of(enough.max(least)))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::enclosure::fit::{Mount, Rect, Sides, fit};

    fn unit(width: i64, height: i64, clear: i64, may_turn: bool) -> Unit {
        Unit {
            name: "unit".into(),
            width: Tenths::mm(width),
            height: Tenths::mm(height),
            depth: Tenths::mm(100),
            front: Tenths::ZERO,
            clear: Sides::all(Tenths::mm(clear)),
            may_turn,
            shares_air: true,
            stand_off: None,
        }
    }

    proptest! {
        #[test]
        fn play_agrees_with_the_places_and_never_falls_with_more_room(
            width in 20i64..120, height in 20i64..120, w in 5i64..100, h in 5i64..100, clear in 0i64..20, turn: bool,
            ducts in proptest::collection::vec((0i64..100, 0i64..100, 1i64..40, 1i64..40), 0..5), more in 1i64..30,
        ) {
            let plate = |grown: i64| Plate {
                width: Tenths::mm(width + grown), height: Tenths::mm(height), depth: Tenths::mm(200), beyond: Sides::default(),
            };
            let obstacles: Vec<Obstacle> = ducts.iter().map(|(x, y, w, h)| Obstacle {
                name: "duct".into(), at: Rect::mm(*x, *y, *w, *h), height: Tenths::mm(50), mount: Mount::Plate, movable: true,
            }).collect();
            let unit = unit(w, h, clear, turn);
            let found = play(&plate(0), &unit, &obstacles).unwrap();
            prop_assert_eq!(found >= Tenths::ZERO, fit(&plate(0), &unit, &obstacles).unwrap().on_plate());
            prop_assert!(play(&plate(more), &unit, &obstacles).unwrap() >= found);
            prop_assert!(play(&plate(0), &unit, &obstacles[obstacles.len().min(1)..]).unwrap() >= found);
            // At the bound itself it fits, a tenth beyond it does not.
            let least = 1 - unit.width.min(unit.height).get();
            if found.get() > least {
                prop_assert!(fit(&plate(0), &grown(&unit, found), &obstacles).unwrap().on_plate());
            }
            prop_assert!(!fit(&plate(0), &grown(&unit, found + Tenths::of(1)), &obstacles).unwrap().on_plate());
        }
    }
}
