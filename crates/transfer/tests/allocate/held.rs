//! An answer held against its problem, from what the problem says alone.

use std::collections::{BTreeMap, BTreeSet};

use transfer::allocate::{Allocation, Home, Problem};

/// Thousandths, so that costs compare without a tolerance.
pub(crate) fn thousandths(money: f64) -> i64 {
    #[expect(clippy::cast_possible_truncation, reason = "small amounts")]
    let whole = (money * 1000.0).round() as i64;
    whole
}

/// Asserts that an answer breaks no rule, and adds its cost up, thousandths.
pub(crate) fn held(problem: &Problem, found: &Allocation) -> i64 {
    let base = &problem.bases[found.base];
    let slots: BTreeSet<usize> = found.modules.iter().map(|p| p.slot).collect();
    assert_eq!(slots.len(), found.modules.len(), "a slot taken twice");
    let mut cost = thousandths(base.cost);
    for placed in &found.modules {
        let module = &problem.modules[placed.module];
        assert!(base.slots.contains(&placed.slot) && module.fits.contains(&placed.slot), "a module in a slot that is not for it");
        let count = found.modules.iter().filter(|p| p.module == placed.module).count();
        assert!(count <= module.limit as usize, "more than the unit takes");
        let alone = |other: &usize| *other == placed.module || found.modules.iter().all(|p| p.module != *other);
        assert!(module.excludes.iter().all(alone), "modules that exclude each other");
        cost += thousandths(module.cost) + thousandths(module.minutes * problem.per_minute);
    }
    assert_eq!(found.landings.iter().map(|l| l.demand).collect::<Vec<_>>(), (0..problem.demands.len()).collect::<Vec<_>>());
    let mut taken: BTreeMap<(usize, Option<usize>), u32> = BTreeMap::new();
    let mut commons: BTreeMap<(Home, Option<usize>, u32), u32> = BTreeMap::new();
    for landed in &found.landings {
        let landing = problem.demands[landed.demand].landings[landed.landing];
        let point = &problem.points[landed.point];
        assert_eq!(landing.point, landed.point);
        match (point.home, landed.placed) {
            (Home::Base(of), None) => assert_eq!(of, found.base, "a point of another base"),
            (Home::Module(of), Some(placed)) => assert_eq!(found.modules[placed].module, of, "a point of another module"),
            _ => panic!("a point on nothing"),
        }
        *taken.entry((landed.point, landed.placed)).or_default() += 1;
        if let (Some(group), Some(common)) = (point.group, landing.common) {
            assert_eq!(*commons.entry((point.home, landed.placed, group)).or_insert(common), common, "one common carries two things");
        }
        cost += thousandths(landing.cost);
    }
    assert!(taken.iter().all(|((point, _), count)| *count <= problem.points[*point].capacity), "a point taken too often");
    for (a, first) in found.landings.iter().enumerate() {
        for second in &found.landings[a + 1..] {
            let pair = problem.demands[first.demand].pair;
            if pair.is_some() && pair == problem.demands[second.demand].pair {
                let (p, q) = (&problem.points[first.point], &problem.points[second.point]);
                let one = first.point != second.point && first.placed == second.placed && p.home == q.home;
                assert!(one && p.pair.is_some() && p.pair == q.pair, "channels of a safety function apart");
            }
        }
    }
    assert_eq!(thousandths(found.cost), cost, "the cost is not that of the parts");
    cost
}
