//! Fits against a check that knows nothing of forbidden rectangles, and the ways in which more room must not hurt.

use proptest::prelude::*;

use super::*;

/// Side of the small plates: every whole position of them is tried.
const SMALL: i64 = 16;

fn t(n: i64) -> Tenths {
    Tenths::of(n)
}

fn rect(x: i64, y: i64, w: i64, h: i64) -> Rect {
    Rect::at(Point::new(t(x), t(y)), t(w), t(h))
}

/// Whether a unit may stand at a spot, from the rules themselves.
fn allowed(plate: &Plate, unit: &Unit, obstacles: &[Obstacle], spot: Spot) -> bool {
    let (body, zone) = (unit.body(spot), unit.zone(spot));
    let whole = rect(0, 0, plate.width.get(), plate.height.get());
    whole.contains(&body)
        && whole.grown(plate.beyond).contains(&zone)
        && obstacles.iter().all(|o| match o.mount {
            Mount::Plate => !o.at.overlaps(&zone) || unit.stand_off.is_some_and(|s| o.height <= s),
            Mount::Door => !o.at.overlaps(&body) || unit.depth + unit.front + o.height <= plate.depth,
        })
}

fn sides() -> impl Strategy<Value = Sides> {
    (0i64..4, 0i64..4, 0i64..3, 0i64..3).prop_map(|(a, b, l, r)| Sides { above: t(a), below: t(b), left: t(l), right: t(r) })
}

prop_compose! {
    fn a_plate()(width in 4..=SMALL, height in 4..=SMALL, depth in 10i64..20, beyond in sides()) -> Plate {
        Plate { width: t(width), height: t(height), depth: t(depth), beyond }
    }
}

prop_compose! {
    fn a_unit()(width in 1i64..9, height in 1i64..9, depth in 5i64..15, front in 0i64..3, clear in sides(), may_turn: bool, stand_off in prop::option::of(1i64..5)) -> Unit {
        Unit { name: "unit".into(), width: t(width), height: t(height), depth: t(depth), front: t(front), clear, may_turn, shares_air: false, stand_off: stand_off.map(t) }
    }
}

prop_compose! {
    fn an_obstacle()(x in -1..SMALL, y in -1..SMALL, w in 0i64..8, h in 0i64..8, height in 0i64..8, door in 0..4, movable: bool) -> Obstacle {
        Obstacle {
            name: "obstacle".into(),
            at: rect(x, y, w, h),
            height: t(height),
            mount: if door == 0 { Mount::Door } else { Mount::Plate },
            movable,
        }
    }
}

fn spots(plate: &Plate, unit: &Unit) -> Vec<Spot> {
    let all = |turn| {
        let (w, h) = (plate.width.get(), plate.height.get());
        (0..=w).flat_map(move |x| (0..=h).map(move |y| Spot { turn, at: Point::new(t(x), t(y)) }))
    };
    unit.stances().flat_map(|s| all(s.turn)).collect()
}

fn has(plate: &Plate, unit: &Unit, obstacles: &[Obstacle]) -> bool {
    fit(plate, unit, obstacles).unwrap().on_plate()
}

proptest! {
    #[test]
    fn the_places_are_those_that_the_rules_allow(plate in a_plate(), unit in a_unit(), obstacles in prop::collection::vec(an_obstacle(), 0..6)) {
        let found = fit(&plate, &unit, &obstacles).unwrap();
        for spot in spots(&plate, &unit) {
            let inside = found.free.iter().any(|f| f.turn == spot.turn && f.places.iter().any(|r| r.holds(spot.at)));
            prop_assert_eq!(inside, allowed(&plate, &unit, &obstacles, spot), "{:?}", spot);
        }
    }

    #[test]
    fn another_obstacle_never_makes_it_fit(plate in a_plate(), unit in a_unit(), mut obstacles in prop::collection::vec(an_obstacle(), 1..6)) {
        let more = has(&plate, &unit, &obstacles);
        obstacles.pop();
        prop_assert!(!more || has(&plate, &unit, &obstacles));
    }

    #[test]
    fn a_larger_plate_never_stops_it_fitting(plate in a_plate(), unit in a_unit(), obstacles in prop::collection::vec(an_obstacle(), 0..6), w in 0i64..4, h in 0i64..4, d in 0i64..4) {
        let larger = Plate { width: plate.width + t(w), height: plate.height + t(h), depth: plate.depth + t(d), ..plate };
        prop_assert!(!fit(&plate, &unit, &obstacles).unwrap().fits() || fit(&larger, &unit, &obstacles).unwrap().fits());
    }

    #[test]
    fn the_least_growth_is_enough_and_one_tenth_less_is_not(plate in a_plate(), unit in a_unit(), obstacles in prop::collection::vec(an_obstacle(), 0..6)) {
        let lack = shortfall(&plate, &unit, &obstacles).unwrap();
        let grown = |side: Side, by: Tenths| {
            let step = Point::default() - Side::step(side, by);
            let plate = match side {
                Side::Left | Side::Right => Plate { width: plate.width + by, ..plate },
                Side::Above | Side::Below => Plate { height: plate.height + by, ..plate },
            };
            // Growth at the left or below moves the origin.
            let moved = |o: &Obstacle| if matches!(side, Side::Left | Side::Below) { o.at.moved(step) } else { o.at };
            let obstacles: Vec<Obstacle> = obstacles.iter().map(|o| Obstacle { at: moved(o), ..o.clone() }).collect();
            has(&plate, &unit, &obstacles)
        };
        let placed = has(&plate, &unit, &obstacles);
        for (growth, sides) in [(lack.wider, [Side::Right, Side::Left]), (lack.taller, [Side::Above, Side::Below])] {
            match growth {
                Some(g) => {
                    prop_assert!(grown(g.side, g.by));
                    prop_assert_eq!(g.by == Tenths::ZERO, placed);
                    prop_assert!(placed || sides.iter().all(|side| !grown(*side, g.by - t(1))));
                }
                None => prop_assert!(sides.iter().all(|side| !grown(*side, t(100)))),
            }
        }
    }

    #[test]
    fn shifts_and_reductions_make_it_fit_and_less_does_not(plate in a_plate(), unit in a_unit(), obstacles in prop::collection::vec(an_obstacle(), 0..5)) {
        let lack = shortfall(&plate, &unit, &obstacles).unwrap();
        if has(&plate, &unit, &obstacles) {
            prop_assert!(lack.shifts.is_empty() && lack.clearances.is_empty());
            return Ok(());
        }
        let shifted = |i: usize, towards: Side, by: i64| {
            let mut moved = obstacles.clone();
            moved[i].at = moved[i].at.moved(towards.step(t(by)));
            let legal = obstacles.iter().enumerate().all(|(j, o)| {
                j == i || o.mount != moved[i].mount || o.at.overlaps(&obstacles[i].at) || !o.at.overlaps(&moved[i].at)
            });
            let whole = rect(0, 0, plate.width.get(), plate.height.get());
            let reach = Rect {
                left: whole.left.min(obstacles[i].at.left), bottom: whole.bottom.min(obstacles[i].at.bottom),
                right: whole.right.max(obstacles[i].at.right), top: whole.top.max(obstacles[i].at.top),
            };
            legal && (moved[i].mount == Mount::Door || reach.contains(&moved[i].at)) && has(&plate, &unit, &moved)
        };
        for i in 0..obstacles.len() {
            // 40 is farther than anything moves on these plates.
            let least = (1..40).find(|by| Side::ALL.iter().any(|side| shifted(i, *side, *by)));
            let found = lack.shifts.iter().find(|s| s.obstacle == i);
            prop_assert_eq!(found.map(|s| s.by.get()), least);
            prop_assert!(found.is_none_or(|s| shifted(i, s.towards, s.by.get())));
        }
        for side in Side::ALL {
            let fits = |by: i64| has(&plate, &Unit { clear: unit.clear.with(side, unit.clear.at(side) - t(by)), ..unit.clone() }, &obstacles);
            let least = (1..=unit.clear.at(side).get()).find(|by| fits(*by));
            prop_assert_eq!(lack.clearances.iter().find(|l| l.side == side).map(|l| l.by.get()), least);
        }
    }

    #[test]
    fn the_fewest_removed_are_the_fewest(plate in a_plate(), unit in a_unit(), obstacles in prop::collection::vec(an_obstacle(), 0..7)) {
        let movable: Vec<usize> = (0..obstacles.len()).filter(|i| obstacles[*i].movable).collect();
        let mut least: Option<(usize, Vec<usize>)> = None;
        for set in 0u32..1 << movable.len() {
            let gone: Vec<usize> = movable.iter().enumerate().filter(|(bit, _)| set >> bit & 1 == 1).map(|(_, i)| *i).collect();
            let left: Vec<Obstacle> = obstacles.iter().enumerate().filter(|(i, _)| !gone.contains(i)).map(|(_, o)| o.clone()).collect();
            if has(&plate, &unit, &left) && least.as_ref().is_none_or(|l| (gone.len(), gone.clone()) < *l) {
                least = Some((gone.len(), gone));
            }
        }
        let found = fewest_removed(&plate, &unit, &obstacles).unwrap();
        prop_assert_eq!(found.map(|f| f.obstacles), least.map(|l| l.1));
    }
}

#[test]
fn nonsense_is_refused() {
    let plate = Plate { width: t(10), height: t(10), depth: t(10), beyond: Sides::default() };
    let unit = Unit {
        name: "unit".into(),
        width: t(1),
        height: t(1),
        depth: t(1),
        front: t(0),
        clear: Sides::default(),
        may_turn: false,
        shares_air: false,
        stand_off: None,
    };
    assert!(fit(&plate, &unit, &[]).is_ok());
    for wrong in [
        Unit { width: t(0), ..unit.clone() },
        Unit { height: t(i64::MAX), ..unit.clone() },
        Unit { clear: Sides::all(t(-1)), ..unit.clone() },
        Unit { stand_off: Some(t(-1)), ..unit.clone() },
    ] {
        assert!(
            fit(&plate, &wrong, &[]).is_err() && shortfall(&plate, &wrong, &[]).is_err() && fewest_removed(&plate, &wrong, &[]).is_err()
        );
    }
    assert!(fit(&Plate { width: t(-5), ..plate }, &unit, &[]).is_err());
    let crossed = Rect { left: t(5), bottom: t(0), right: t(4), top: t(1) };
    let obstacle = Obstacle { name: "crossed".into(), at: crossed, height: t(1), mount: Mount::Plate, movable: true };
    assert!(fit(&plate, &unit, &[obstacle]).is_err());
}
