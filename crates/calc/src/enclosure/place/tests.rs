//! Layouts against a naive check of overlaps, and small boxes against trying every whole position.

use proptest::prelude::*;

use super::*;
use crate::enclosure::fit::{Mount, Rect, Sides, Turn};

fn t(n: i64) -> Tenths {
    Tenths::of(n)
}

fn rect(x: i64, y: i64, w: i64, h: i64) -> Rect {
    Rect::at(Point::new(t(x), t(y)), t(w), t(h))
}

/// Whether two placed units keep the air that their documents ask for.
fn apart(a: &Unit, at: Spot, b: &Unit, bt: Spot) -> bool {
    if a.shares_air && b.shares_air {
        !a.body(at).overlaps(&b.zone(bt)) && !a.zone(at).overlaps(&b.body(bt))
    } else {
        !a.zone(at).overlaps(&b.zone(bt))
    }
}

fn stands(plate: &Plate, unit: &Unit, obstacles: &[Obstacle], spot: Spot) -> bool {
    let (body, zone) = (unit.body(spot), unit.zone(spot));
    let whole = rect(0, 0, plate.width.get(), plate.height.get());
    (unit.may_turn || spot.turn == Turn::Upright)
        && whole.contains(&body)
        && whole.grown(plate.beyond).contains(&zone)
        && !obstacles.iter().any(|o| o.at.overlaps(&zone))
}

fn good(plate: &Plate, obstacles: &[Obstacle], wishes: &[Wish], spots: &[Spot]) -> bool {
    spots.len() == wishes.len()
        && wishes.iter().zip(spots).all(|(w, s)| stands(plate, &w.unit, obstacles, *s))
        && (0..spots.len()).all(|i| (0..i).all(|j| apart(&wishes[i].unit, spots[i], &wishes[j].unit, spots[j])))
}

fn cost(wishes: &[Wish], spots: &[Spot], old: &[Hole], tolerance: HoleTolerance) -> Cost {
    let mut sum = Cost::default();
    for (wish, spot) in wishes.iter().zip(spots) {
        let turned = |p: Point| spot.turn.point(p, wish.unit.width, wish.unit.height) + spot.at;
        sum.cable += wish.runs.iter().map(|r| turned(r.terminal).manhattan(r.from)).sum();
        for hole in &wish.holes {
            let here = Hole { at: turned(hole.at), ..*hole };
            let off = |o: &Hole| (o.at.x - here.at.x).abs().max((o.at.y - here.at.y).abs());
            let kept = old.iter().any(|o| off(o) <= tolerance.place && (o.diameter - here.diameter).abs() <= tolerance.diameter);
            let opened = old.iter().any(|o| off(o) <= tolerance.place && o.diameter < here.diameter);
            let breaks = old.iter().any(|o| 4 * o.at.distance_squared(here.at) < (o.diameter + here.diameter).get().pow(2));
            sum.reused += u32::from(kept);
            sum.new += u32::from(!kept);
            sum.broken += u32::from(!kept && !opened && breaks);
        }
    }
    sum
}

/// Places one unit after another at every whole position: whether any layout exists.
fn any_layout(plate: &Plate, obstacles: &[Obstacle], wishes: &[Wish], spots: &mut Vec<Spot>) -> bool {
    let Some(wish) = wishes.get(spots.len()) else { return true };
    for turn in Turn::ALL {
        for (x, y) in (0..=plate.width.get()).flat_map(|x| (0..=plate.height.get()).map(move |y| (x, y))) {
            let spot = Spot { turn, at: Point::new(t(x), t(y)) };
            if stands(plate, &wish.unit, obstacles, spot) && spots.iter().zip(wishes).all(|(s, w)| apart(&w.unit, *s, &wish.unit, spot)) {
                spots.push(spot);
                if any_layout(plate, obstacles, wishes, spots) {
                    return true;
                }
                spots.pop();
            }
        }
    }
    false
}

fn sides(most: i64) -> impl Strategy<Value = Sides> {
    (0..=most, 0..=most, 0..=most, 0..=most).prop_map(|(a, b, l, r)| Sides { above: t(a), below: t(b), left: t(l), right: t(r) })
}

fn a_plate(least: i64, most: i64) -> impl Strategy<Value = Plate> {
    (least..=most, least..=most, sides(2)).prop_map(|(w, h, beyond)| Plate { width: t(w), height: t(h), depth: t(50), beyond })
}

prop_compose! {
    fn an_obstacle(reach: i64)(x in 0..reach, y in 0..reach, w in 0i64..5, h in 0i64..5) -> Obstacle {
        Obstacle { name: "obstacle".into(), at: rect(x, y, w, h), height: t(5), mount: Mount::Plate, movable: false }
    }
}

prop_compose! {
    fn a_unit(most: i64, clear: i64)(width in 1..=most, height in 1..=most, clear in sides(clear), may_turn: bool, shares_air: bool) -> Unit {
        Unit { name: "unit".into(), width: t(width), height: t(height), depth: t(40), front: t(0), clear, may_turn, shares_air, stand_off: None }
    }
}

prop_compose! {
    fn a_hole(reach: i64)(x in 0..reach, y in 0..reach, d in 1i64..3) -> Hole {
        Hole { at: Point::new(t(x), t(y)), diameter: t(d) }
    }
}

prop_compose! {
    fn a_wish(most: i64)(unit in a_unit(most, 2), holes in prop::collection::vec(a_hole(1), 0..2), more in prop::collection::vec(a_hole(most), 0..3),
        runs in prop::collection::vec((a_hole(most), a_hole(20)), 0..3)) -> Wish {
        let body = unit.body(Spot::default());
        let holes = holes.into_iter().chain(more).filter(|h| body.holds(h.at)).collect();
        Wish { unit, holes, runs: runs.iter().map(|(a, b)| Run { terminal: a.at, from: b.at }).collect() }
    }
}

const EXACT: HoleTolerance = HoleTolerance { place: Tenths::ZERO, diameter: Tenths::ZERO };
/// Enough to end the search of these small boxes.
const AMPLE: usize = 200_000;

fn bare(units: Vec<Unit>) -> Vec<Wish> {
    units.into_iter().map(|unit| Wish { unit, holes: vec![], runs: vec![] }).collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn every_layout_keeps_its_air_and_its_cost_is_its_own(
        plate in a_plate(15, 40), obstacles in prop::collection::vec(an_obstacle(40), 0..8),
        wishes in prop::collection::vec(a_wish(9), 1..6), old in prop::collection::vec(a_hole(40), 0..10), place_off in 0i64..2
    ) {
        let tolerance = HoleTolerance { place: t(place_off), diameter: t(0) };
        let task = Task { plate: &plate, obstacles: &obstacles, wishes: &wishes, old_holes: &old, tolerance, nodes: 200 };
        match place(&task) {
            Ok(Outcome::Placed(layout)) => {
                prop_assert!(good(&plate, &obstacles, &wishes, &layout.spots), "{:?}", layout);
                prop_assert_eq!(layout.cost, cost(&wishes, &layout.spots, &old, tolerance));
                prop_assert_eq!(place(&task), Ok(Outcome::Placed(layout)));
            }
            Ok(_) => {}
            Err(_) => prop_assert!(wishes.iter().any(|w| check_pattern(&w.holes, tolerance).is_err())),
        }
    }

    #[test]
    fn found_or_impossible_is_what_trying_every_position_says(
        plate in a_plate(3, 9), obstacles in prop::collection::vec(an_obstacle(9), 0..3), units in prop::collection::vec(a_unit(5, 1), 1..4)
    ) {
        let wishes = bare(units);
        let task = Task { plate: &plate, obstacles: &obstacles, wishes: &wishes, old_holes: &[], tolerance: EXACT, nodes: AMPLE };
        let exists = any_layout(&plate, &obstacles, &wishes, &mut Vec::new());
        match place(&task).unwrap() {
            Outcome::Placed(layout) => prop_assert!(exists && good(&plate, &obstacles, &wishes, &layout.spots)),
            Outcome::Impossible(_) => prop_assert!(!exists),
            Outcome::NotFound { .. } => prop_assert!(wishes.iter().filter(|w| w.unit.shares_air).count() > 1),
        }
    }

    #[test]
    fn alike_units_that_share_air_are_always_settled(
        plate in a_plate(3, 9), obstacles in prop::collection::vec(an_obstacle(9), 0..3), sizes in prop::collection::vec((1i64..5, 1i64..5), 2..4),
        across in 0i64..3, above in 0i64..3, below in 0i64..3
    ) {
        let clear = Sides { left: t(across), right: t(across), above: t(above), below: t(below) };
        let unit = |(w, h): &(i64, i64)| Unit { name: "unit".into(), width: t(*w), height: t(*h), depth: t(1), front: t(0), clear, may_turn: false, shares_air: true, stand_off: None };
        let wishes = bare(sizes.iter().map(unit).collect());
        let task = Task { plate: &plate, obstacles: &obstacles, wishes: &wishes, old_holes: &[], tolerance: EXACT, nodes: AMPLE };
        let exists = any_layout(&plate, &obstacles, &wishes, &mut Vec::new());
        let found = place(&task).unwrap();
        prop_assert_eq!(matches!(found, Outcome::Placed(_)), exists);
        prop_assert_eq!(matches!(found, Outcome::Impossible(_)), !exists);
    }

    #[test]
    fn one_unit_reuses_as_many_holes_as_any_position_and_then_shortens_cables(
        plate in a_plate(6, 20), obstacles in prop::collection::vec(an_obstacle(20), 0..5), mut wish in a_wish(8),
        old in prop::collection::vec(a_hole(20), 0..8), off in 0i64..3
    ) {
        // Thin holes, so that none breaks into another.
        wish.holes.iter_mut().for_each(|h| h.diameter = t(1));
        let mut apart: Vec<Hole> = Vec::new();
        for hole in old {
            let off = |o: &Hole| (o.at.x - hole.at.x).abs().max((o.at.y - hole.at.y).abs()) > t(2 * off);
            // Two old holes for one of the unit would leave a choice of middles.
            if apart.iter().all(off) {
                apart.push(Hole { diameter: t(1), ..hole });
            }
        }
        let old = apart;
        let tolerance = HoleTolerance { place: t(off), diameter: t(0) };
        let wishes = [wish];
        let task = Task { plate: &plate, obstacles: &obstacles, wishes: &wishes, old_holes: &old, tolerance, nodes: AMPLE };
        let Ok(outcome) = place(&task) else {
            prop_assert!(check_pattern(&wishes[0].holes, tolerance).is_err());
            return Ok(());
        };
        let spots = Turn::ALL.into_iter().flat_map(|turn| {
            let (w, h) = (plate.width.get(), plate.height.get());
            (0..=w).flat_map(move |x| (0..=h).map(move |y| Spot { turn, at: Point::new(t(x), t(y)) }))
        });
        let costs: Vec<Cost> = spots
            .filter(|s| stands(&plate, &wishes[0].unit, &obstacles, *s))
            .map(|s| cost(&wishes, &[s], &old, tolerance))
            .filter(|c| c.broken == 0)
            .collect();
        let Outcome::Placed(layout) = outcome else {
            prop_assert!(costs.is_empty());
            return Ok(());
        };
        if layout.cost.broken > 0 {
            return Ok(());
        }
        let most = costs.iter().map(|c| c.reused).max().unwrap();
        prop_assert_eq!(layout.cost.reused, most);
        // Where holes are met the middle of the tolerance is taken, whatever the cables.
        let cable = costs.iter().filter(|c| c.reused == most).map(|c| c.cable).min().unwrap();
        let slack = if most > 0 { 2 * off * wishes[0].runs.len() as i64 } else { 0 };
        prop_assert!(layout.cost.cable >= cable && layout.cost.cable <= cable + t(slack), "{:?} against {:?}", layout.cost, cable);
        prop_assert!(layout.best);
    }
}

fn unit(width: i64, height: i64) -> Unit {
    Unit {
        name: "unit".into(),
        width: t(width),
        height: t(height),
        depth: t(10),
        front: t(0),
        clear: Sides::default(),
        may_turn: false,
        shares_air: false,
        stand_off: None,
    }
}

#[test]
fn a_search_that_stops_early_never_says_impossible() {
    let plate = Plate { width: t(100), height: t(100), depth: t(10), beyond: Sides::default() };
    // A pinwheel of four around a square hole: large ones first, left and down, does not find it at once.
    let wishes = bare(vec![unit(60, 40), unit(40, 60), unit(60, 40), unit(40, 60), unit(20, 20)]);
    let task = |nodes| Task { plate: &plate, obstacles: &[], wishes: &wishes, old_holes: &[], tolerance: EXACT, nodes };
    assert!(matches!(place(&task(2)).unwrap(), Outcome::NotFound { .. }));
    let Outcome::Placed(layout) = place(&task(AMPLE)).unwrap() else { panic!("the pinwheel exists") };
    assert!(good(&plate, &[], &wishes, &layout.spots));
}

#[test]
fn the_reasons_are_told_apart() {
    let plate = Plate { width: t(100), height: t(100), depth: t(10), beyond: Sides::default() };
    let outcome = |units| {
        let wishes = bare(units);
        place(&Task { plate: &plate, obstacles: &[], wishes: &wishes, old_holes: &[], tolerance: EXACT, nodes: AMPLE }).unwrap()
    };
    assert_eq!(outcome(vec![unit(10, 10), Unit { depth: t(11), ..unit(10, 10) }]), Outcome::Impossible(Why::TooDeep(1)));
    assert_eq!(outcome(vec![unit(10, 10), unit(10, 101)]), Outcome::Impossible(Why::Alone(1)));
    assert_eq!(outcome(vec![unit(60, 60), unit(60, 60)]), Outcome::Impossible(Why::Together));
    assert!(matches!(outcome(vec![]), Outcome::Placed(Layout { best: true, .. })));
}

#[test]
fn units_that_fit_in_one_order_only_are_found() {
    // Found by chance: neither the large one first nor corner to corner gives a layout, only the right order does.
    let unit = |width, height, [above, below, left, right]: [i64; 4]| Unit {
        clear: Sides { above: t(above), below: t(below), left: t(left), right: t(right) },
        ..unit(width, height)
    };
    let beyond = Sides { above: t(1), below: t(1), left: t(0), right: t(1) };
    let plate = Plate { width: t(5), height: t(6), depth: t(50), beyond };
    let wishes = bare(vec![unit(2, 1, [1, 1, 0, 1]), unit(3, 3, [0, 0, 0, 1]), unit(3, 1, [0, 1, 1, 0])]);
    let task = Task { plate: &plate, obstacles: &[], wishes: &wishes, old_holes: &[], tolerance: EXACT, nodes: AMPLE };
    let Outcome::Placed(layout) = place(&task).unwrap() else { panic!("one exists") };
    assert!(good(&plate, &[], &wishes, &layout.spots));
}

#[test]
fn a_unit_makes_way_for_one_that_reuses_holes() {
    let plate = Plate { width: t(100), height: t(40), depth: t(10), beyond: Sides::default() };
    let hole = |x, y| Hole { at: Point::new(t(x), t(y)), diameter: t(2) };
    // The larger one, placed first, is wanted by its cable where the smaller one has its old holes.
    let large = Wish { unit: unit(40, 40), holes: vec![], runs: vec![Run { terminal: Point::default(), from: Point::new(t(30), t(0)) }] };
    let small = Wish { unit: unit(20, 20), holes: vec![hole(2, 2), hole(18, 2)], runs: vec![] };
    let old = [hole(42, 7), hole(58, 7)];
    let wishes = [large, small];
    let task = Task { plate: &plate, obstacles: &[], wishes: &wishes, old_holes: &old, tolerance: EXACT, nodes: AMPLE };
    let Outcome::Placed(layout) = place(&task).unwrap() else { panic!("there is room") };
    assert_eq!((layout.cost.reused, layout.cost.cable), (2, t(30)));
    assert_eq!(layout.spots[1].at, Point::new(t(40), t(5)));
}

#[test]
fn a_hole_at_the_edge_of_its_tolerance_is_met_where_the_middle_is_blocked() {
    let plate = Plate { width: t(60), height: t(60), depth: t(10), beyond: Sides::default() };
    let hole = |x, y, d| Hole { at: Point::new(t(x), t(y)), diameter: t(d) };
    // The first hole is met for x from 9 to 11, both for 9 to 10; a wall leaves x from 11 on.
    let wish = Wish {
        unit: unit(20, 20),
        holes: vec![hole(1, 1, 1), hole(15, 1, 2)],
        runs: vec![Run { terminal: Point::default(), from: Point::new(t(40), t(40)) }],
    };
    let wall = Obstacle { name: "wall".into(), at: rect(0, 0, 11, 60), height: t(1), mount: Mount::Plate, movable: false };
    let old = [hole(11, 21, 1), hole(24, 21, 2)];
    let tolerance = HoleTolerance { place: t(1), diameter: t(0) };
    let task = Task { plate: &plate, obstacles: &[wall], wishes: &[wish], old_holes: &old, tolerance, nodes: AMPLE };
    let Outcome::Placed(layout) = place(&task).unwrap() else { panic!("there is room") };
    assert_eq!(layout.spots, [Spot { turn: Turn::Upright, at: Point::new(t(11), t(20)) }]);
    // The second new hole touches the second old one and just does not break into it.
    assert_eq!((layout.cost.reused, layout.cost.new, layout.cost.broken), (1, 1, 0));
}

#[test]
fn impossible_is_said_only_where_units_keep_apart_as_rectangles() {
    let unit = |shares_air, clear: [i64; 4], may_turn| {
        let [above, below, left, right] = clear.map(t);
        Unit { clear: Sides { above, below, left, right }, shares_air, may_turn, ..unit(10, 20) }
    };
    let apart = |units: &[Unit]| search::keep_apart_as_rectangles(&bare(units.to_vec()));
    let usual = unit(true, [5, 4, 1, 1], false);
    assert!(apart(&[usual.clone(), usual.clone()]));
    assert!(
        apart(&[unit(false, [5, 4, 1, 2], true), unit(false, [1, 2, 3, 4], true), unit(true, [0, 0, 7, 1], true)]),
        "one alone shares nothing"
    );
    assert!(!apart(&[usual.clone(), usual.clone(), unit(false, [5, 4, 1, 1], false)]));
    assert!(!apart(&[usual.clone(), unit(true, [5, 5, 1, 1], false)]));
    // Turned, the air above lies at a side.
    assert!(!apart(&[unit(true, [5, 4, 1, 1], true), usual]));
    // Two such units rest on each other at once: one blocks the other's way left, which blocks the first one's way down.
    assert!(!apart(&[unit(true, [5, 4, 1, 2], false), unit(true, [5, 4, 1, 2], false)]));
}

#[test]
fn old_holes_come_before_short_cables() {
    let plate = Plate { width: Tenths::mm(400), height: Tenths::mm(400), depth: Tenths::mm(200), beyond: Sides::default() };
    let hole = |x, y| Hole { at: Point::mm(x, y), diameter: Tenths::mm(6) };
    let unit = Unit { width: Tenths::mm(100), height: Tenths::mm(200), ..unit(1, 1) };
    let wish = Wish {
        unit,
        holes: vec![hole(10, 10), hole(90, 10), hole(10, 190), hole(90, 190)],
        runs: vec![Run { terminal: Point::mm(50, 0), from: Point::mm(300, 0) }],
    };
    let old = [hole(30, 60), hole(110, 60), hole(30, 230), hole(110, 230), hole(300, 10)];
    let task = Task { plate: &plate, obstacles: &[], wishes: &[wish], old_holes: &old, tolerance: HoleTolerance::USUAL, nodes: NODES };
    let Outcome::Placed(layout) = place(&task).unwrap() else { panic!("there is room") };
    // Two of the four lower holes serve; the upper pair is at another height.
    assert_eq!((layout.cost.reused, layout.cost.new, layout.cost.broken), (2, 2, 0));
    assert!(layout.best);
    let outside = Wish { holes: vec![hole(101, 10)], ..task.wishes[0].clone() };
    assert!(place(&Task { wishes: &[outside], ..task }).is_err());
}
