//! How fast a full comparison of behaviour is at each position of the demonstration: every completion, every rule, every remedy by itself and
//! as many together as it takes.
#![allow(
    clippy::expect_used,
    clippy::disallowed_methods,
    clippy::unwrap_used,
    reason = "a benchmark reads the demo and stops at the first broken expectation"
)]

#[path = "../tests/demo/mod.rs"]
mod demo;

use demo::Demo;
use job::assess::{Input, join, old_series};
use job::behaviour::behaviour;
use plant::decision::Decisions;

#[divan::bench(args = ["AF-204", "BE-101", "BH-301", "ML-701", "MX-603", "PP-410", "SF-512"])]
fn full_comparison(bencher: divan::Bencher<'_, '_>, tag: &str) {
    let (demo, decisions) = (Demo::read(), Decisions::default());
    let input = Input {
        site: &demo.site,
        positions: &demo.positions,
        only: None,
        packs: &demo.packs,
        decisions: &decisions,
        date: "2026-03-10",
        shown: 4,
    };
    let surveyed = demo.positions.iter().find(|p| p.tag == tag).expect("in the demo");
    let position = join(input, surveyed, &mut Vec::new());
    let new = demo.packs.iter().find(|s| s.id == "wendle").expect("in the demo");
    bencher.bench_local(|| behaviour(&position, old_series(input, &position), new).expect("small"));
}

fn main() {
    divan::main();
}
