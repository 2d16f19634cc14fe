//! How fast the conductors of the demo's largest position are landed, at each series that may replace: proofs, points, modules and parts.
#![allow(clippy::disallowed_methods, reason = "it reads the demo from the source tree")]
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a benchmark may stop at the first broken expectation")]

#[path = "../tests/demo/mod.rs"]
mod demo;

use std::time::Instant;

use demo::Demo;
use plant::position::Position;
use plant::product::Series;
use plant::wires::WireList;
use transfer::wires::{Rules, crosswalk};

/// Runs of which the mean is told.
const RUNS: u32 = 20;

/// The position with the most conductors, and the series that the site offers.
struct Largest {
    tag: String,
    list: WireList,
    packs: Vec<Series>,
    rules: Rules,
}

fn largest() -> Largest {
    let Demo { site, positions, packs } = Demo::read();
    let count = |p: &Position| p.wires.as_ref().map_or(0, |list| list.conductors.len());
    let position = positions.into_iter().max_by_key(count).unwrap();
    let rules = job::wires::rules(&site, &position);
    let (tag, list) = (position.tag, WireList::clone(&position.wires.unwrap()));
    let packs = packs.into_iter().filter(|s| site.offered.contains(&s.id)).collect();
    Largest { tag, list, packs, rules }
}

#[divan::bench(args = [0, 1, 2])]
fn the_largest_position(bencher: divan::Bencher<'_, '_>, series: usize) {
    let Largest { list, packs, rules, .. } = largest();
    bencher.bench_local(|| crosswalk(divan::black_box(&list), &packs[series], None, rules).rows.len());
}

fn main() {
    let Largest { tag, list, packs, rules } = largest();
    let begin = Instant::now();
    for _ in 0..RUNS {
        for series in &packs {
            divan::black_box(crosswalk(divan::black_box(&list), series, None, rules));
        }
    }
    let each = begin.elapsed().as_secs_f64() / f64::from(RUNS) / packs.len() as f64;
    println!("{tag}: {} conductors at {} series", list.conductors.len(), packs.len());
    println!("LANDING_MS {:.3}", each * 1e3);
    divan::main();
}
