//! How fast signals are allocated: thirty signals of four kinds, two bases, six kinds of module in five slots, commons of two voltages, and a
//! safety function of two channels. Invented.

#![allow(clippy::expect_used, reason = "a benchmark may stop at the first broken expectation")]

use transfer::allocate::{Base, Demand, Home, Landing, Module, Point, Problem, Slot, allocate};

fn main() {
    divan::main();
}

/// Kinds of point, and how many signals of each there are.
const SIGNALS: [u32; 4] = [16, 6, 5, 3];
/// Points of each kind on the base, and on each module.
const BASE: [u32; 4] = [6, 2, 2, 2];
const MODULES: [[u32; 4]; 6] = [[6, 0, 0, 0], [4, 2, 0, 0], [0, 4, 0, 0], [0, 0, 2, 2], [0, 0, 4, 0], [8, 0, 0, 0]];
const PRICES: [f64; 6] = [110.0, 100.0, 80.0, 150.0, 140.0, 60.0];

/// The points, each with its kind.
fn points() -> Vec<(usize, Point)> {
    let mut points = Vec::new();
    let homes = (0..2).map(|b| (Home::Base(b), BASE)).chain(MODULES.iter().enumerate().map(|(m, own)| (Home::Module(m), *own)));
    for (home, own) in homes {
        for (kind, count) in own.iter().enumerate() {
            for at in 0..*count {
                let pair = (kind == 0 && at < 2 && matches!(home, Home::Base(_))).then_some(1);
                let group = (kind == 0).then_some(at / 4);
                points.push((kind, Point { name: format!("{home:?} {kind} {at}"), home, group, pair, capacity: 1 }));
            }
        }
    }
    points
}

fn problem() -> Problem {
    let points = points();
    let mut demands = Vec::new();
    for (kind, count) in SIGNALS.iter().enumerate() {
        for signal in 0..*count {
            let suits = points.iter().enumerate().filter(|(_, (of, _))| *of == kind);
            // Every third input brings another voltage: it is landed where its common is, or through a relay.
            let odd = u32::from(kind == 0 && signal > 1 && signal % 3 == 0);
            let landings = suits.flat_map(|(point, _)| {
                let straight = Landing { point, cost: 2.0 + f64::from((signal + u32::from(point % 5 == 0)) % 4), common: Some(odd) };
                [straight, Landing { point, cost: 38.0, common: None }]
            });
            let pair = (kind == 0 && signal < 2).then_some(1);
            demands.push(Demand { name: format!("signal {kind} {signal}"), landings: landings.collect(), pair });
        }
    }
    Problem {
        demands,
        modules: PRICES
            .iter()
            .enumerate()
            .map(|(m, price)| Module {
                name: format!("module {m}"),
                cost: *price,
                minutes: 8.0,
                fits: (0..5).filter(|s| (s + m) % 3 != 0).collect(),
                limit: 2,
                excludes: if m == 4 { vec![5] } else { Vec::new() },
                limits: String::new(),
            })
            .collect(),
        slots: (0..5).map(|s| Slot { name: format!("slot {s}") }).collect(),
        bases: (0..2).map(|b| Base { name: format!("base {b}"), cost: [0.0, 45.0][b], slots: vec![0, 1, 2, 3, 4] }).collect(),
        points: points.into_iter().map(|(_, point)| point).collect(),
        per_minute: 1.2,
    }
}

#[divan::bench]
fn thirty_signals(bencher: divan::Bencher<'_, '_>) {
    let problem = problem();
    allocate(&problem).expect("it can be done");
    bencher.bench(|| allocate(divan::black_box(&problem)));
}
