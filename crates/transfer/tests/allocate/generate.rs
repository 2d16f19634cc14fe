//! Random problems of every kind: variants, modules with limits and exclusions, slots that few modules fit, commons, and safety pairs.

use transfer::allocate::{Base, Demand, Home, Landing, Module, Point, Problem, Slot};

/// Numbers without order (xorshift), the same on every machine.
pub(crate) struct Dice(pub(crate) u64);

impl Dice {
    pub(crate) fn below(&mut self, count: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) % count.max(1)
    }

    fn at(&mut self, count: usize) -> usize {
        usize::try_from(self.below(count as u64)).unwrap()
    }

    fn chance(&mut self, percent: u64) -> bool {
        self.below(100) < percent
    }

    /// Money in quarters, so that sums have no rest.
    fn money(&mut self, most: u64) -> f64 {
        f64::from(u32::try_from(self.below(most * 4)).unwrap()) / 4.0
    }
}

/// How large a problem is at most.
#[derive(Clone, Copy)]
pub(crate) struct Size {
    demands: u64,
    modules: u64,
    slots: u64,
    bases: u64,
    points: u64,
    landings: u64,
    limit: u64,
}

impl Size {
    pub(crate) const SMALL: Self = Self { demands: 6, modules: 3, slots: 3, bases: 2, points: 4, landings: 5, limit: 2 };
    pub(crate) const LARGE: Self = Self { demands: 26, modules: 6, slots: 5, bases: 3, points: 10, landings: 16, limit: 3 };
}

pub(crate) fn problem(dice: &mut Dice, size: Size) -> Problem {
    let count = |dice: &mut Dice, most: u64| usize::try_from(1 + dice.below(most)).unwrap();
    let (bases, modules, slots) = (count(dice, size.bases), count(dice, size.modules), count(dice, size.slots));
    let name = |what: &str, i: usize| format!("{what} {i}");
    let mut points = Vec::new();
    for home in (0..bases).map(Home::Base).chain((0..modules).map(Home::Module)) {
        let own = count(dice, size.points);
        let safe = own > 1 && dice.chance(50);
        for i in 0..own {
            points.push(Point {
                name: name("point", points.len()),
                home,
                group: dice.chance(50).then(|| u32::try_from(dice.below(2)).unwrap()),
                pair: (safe && i < 2).then_some(1),
                capacity: if dice.chance(15) { 2 } else { 1 },
            });
        }
    }
    Problem {
        demands: demands(dice, size, &points),
        modules: (0..modules)
            .map(|i| Module {
                name: name("module", i),
                cost: dice.money(60),
                minutes: dice.money(20),
                fits: (0..slots).filter(|_| dice.chance(70)).collect(),
                limit: u32::try_from(1 + dice.below(size.limit)).unwrap(),
                excludes: if dice.chance(20) { vec![dice.at(modules)] } else { Vec::new() },
                limits: String::new(),
            })
            .collect(),
        slots: (0..slots).map(|i| Slot { name: name("slot", i) }).collect(),
        bases: (0..bases)
            .map(|i| Base { name: name("base", i), cost: dice.money(80), slots: (0..slots).filter(|_| dice.chance(80)).collect() })
            .collect(),
        points,
        per_minute: 0.5,
    }
}

fn demands(dice: &mut Dice, size: Size, points: &[Point]) -> Vec<Demand> {
    let count = usize::try_from(1 + dice.below(size.demands)).unwrap();
    let pairs = if count > 1 && dice.chance(60) { (count / 6).clamp(1, 2) } else { 0 };
    (0..count)
        .map(|i| {
            let own = 1 + dice.below(size.landings);
            let mut landings: Vec<Landing> = (0..own)
                .map(|_| Landing {
                    point: dice.at(points.len()),
                    cost: dice.money(30),
                    common: dice.chance(50).then(|| u32::try_from(dice.below(2)).unwrap()),
                })
                .collect();
            let pair = (i / 2 < pairs && (i | 1) < count).then(|| u32::try_from(i / 2).unwrap());
            if pair.is_some() {
                // Somewhere for them to go, mostly.
                for (point, _) in points.iter().enumerate().filter(|(_, p)| p.pair.is_some()) {
                    if dice.chance(80) {
                        landings.push(Landing { point, cost: 1.0, common: None });
                    }
                }
            }
            Demand { name: format!("demand {i}"), landings, pair }
        })
        .collect()
}
