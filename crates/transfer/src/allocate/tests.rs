//! Worked cases, small enough for a look; all names and prices are invented.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test may stop at the first broken expectation")]

use super::*;

fn point(name: &str, home: Home) -> Point {
    Point { name: name.into(), home, group: None, pair: None, capacity: 1 }
}

fn demand(name: &str, landings: &[(usize, f64)]) -> Demand {
    let landings = landings.iter().map(|(point, cost)| Landing { point: *point, cost: *cost, common: None }).collect();
    Demand { name: name.into(), landings, pair: None }
}

fn module(name: &str, cost: f64, fits: &[usize]) -> Module {
    Module { name: name.into(), cost, fits: fits.to_vec(), limit: 1, ..Module::default() }
}

/// Two inputs on the plain base, a third on a module or on the richer base.
fn three_inputs(richer: f64) -> Problem {
    let points = vec![
        point("in 1", Home::Base(0)),
        point("in 2", Home::Base(0)),
        point("in 1", Home::Base(1)),
        point("in 2", Home::Base(1)),
        point("in 3", Home::Base(1)),
        point("in 1", Home::Module(0)),
    ];
    let everywhere: Vec<(usize, f64)> = (0..points.len()).map(|p| (p, 0.0)).collect();
    Problem {
        demands: ["run", "reverse", "reset"].map(|name| demand(name, &everywhere)).to_vec(),
        points,
        modules: vec![Module { minutes: 10.0, ..module("inputs", 50.0, &[0]) }],
        slots: vec![Slot { name: "A".into() }],
        bases: vec![
            Base { name: "plain".into(), cost: 0.0, slots: vec![0] },
            Base { name: "with more inputs".into(), cost: richer, slots: vec![0] },
        ],
        per_minute: 1.5,
    }
}

#[test]
fn something_built_in_competes_with_a_module() {
    // The module costs 50 and ten minutes at 1.5: 65.
    let found = allocate(&three_inputs(64.0)).unwrap();
    assert_eq!((found.base, found.modules.len(), thousandths(found.cost)), (1, 0, 64_000));
    let found = allocate(&three_inputs(66.0)).unwrap();
    assert_eq!((found.base, thousandths(found.cost), thousandths(found.minutes)), (0, 65_000, 10_000));
    assert_eq!(found.modules, [Placed { slot: 0, module: 0 }]);
    assert_eq!(found.landings.iter().filter(|l| l.placed == Some(0)).count(), 1);
}

#[test]
fn a_carrier_lets_an_old_module_stay_when_that_is_cheaper() {
    let mut problem = three_inputs(1000.0);
    problem.points.push(point("old in 1", Home::Module(1)));
    problem.modules.push(Module { limits: "no fast inputs".into(), ..module("old inputs on a carrier", 20.0, &[0]) });
    problem.demands[2].landings.push(Landing { point: 6, cost: 5.0, common: None });
    let found = allocate(&problem).unwrap();
    assert_eq!((found.modules[0].module, thousandths(found.cost)), (1, 25_000));
}

#[test]
fn a_common_carries_one_thing() {
    let mut problem = three_inputs(1000.0);
    for at in [0, 1] {
        problem.points[at].group = Some(1);
    }
    for (demand, common) in problem.demands.iter_mut().zip([24, 120, 24]) {
        demand.landings.iter_mut().for_each(|l| l.common = Some(common));
    }
    let found = allocate(&problem).unwrap();
    assert_eq!(found.landings[1].point, 5, "the odd one goes to the module");
}

#[test]
fn two_channels_stay_together() {
    let mut problem = three_inputs(1000.0);
    problem.demands[0].pair = Some(1);
    problem.demands[1].pair = Some(1);
    assert_eq!(allocate(&problem), Err(Impossible::Together { demands: vec![0, 1], smallest: true }));
    problem.points[0].pair = Some(9);
    problem.points[1].pair = Some(9);
    let found = allocate(&problem).unwrap();
    assert!(found.landings[0].point < 2 && found.landings[1].point < 2 && found.landings[2].point == 5);
}

#[test]
fn the_smallest_conflict_is_named() {
    let mut problem = three_inputs(10.0);
    problem.demands.push(demand("encoder", &[]));
    assert_eq!(allocate(&problem), Err(Impossible::Together { demands: vec![3], smallest: true }));
    problem.demands.truncate(3);
    problem.demands[1].landings = problem.demands[0].landings[..1].to_vec();
    problem.demands[2].landings = problem.demands[0].landings[..1].to_vec();
    assert_eq!(allocate(&problem), Err(Impossible::Together { demands: vec![1, 2], smallest: true }));
}

#[test]
fn contradictions_are_told_all_at_once() {
    let mut problem = three_inputs(f64::NAN);
    problem.modules[0].fits.push(7);
    problem.demands[0].pair = Some(3);
    problem.demands[1].landings[0].cost = -1.0;
    problem.demands[2].landings[0].point = 99;
    let Err(Impossible::Malformed(list)) = allocate(&problem) else { panic!("taken") };
    assert_eq!(list.len(), 5, "{list:#?}");
}

#[test]
fn hostile_sizes_are_refused() {
    let mut problem = three_inputs(1.0);
    problem.points[0].capacity = u32::MAX;
    assert!(matches!(allocate(&problem), Err(Impossible::TooMuch(_))));
    let mut problem = three_inputs(1.0);
    problem.demands = vec![problem.demands[0].clone(); 300];
    assert!(matches!(allocate(&problem), Err(Impossible::TooMuch(_))));
    assert!(matches!(allocate(&Problem::default()), Err(Impossible::Malformed(_))));
}
