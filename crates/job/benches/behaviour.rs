//! How fast a full comparison of behaviour is at each position of the demonstration, without and with remedies.
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
use job::behaviour::{Posed, pose};
use plant::decision::Decisions;
use transfer::behaviour::explored::Explored;
use transfer::behaviour::plan::plan;
use transfer::behaviour::remedy::{Remedy, candidates};

const TAGS: [&str; 7] = ["AF-204", "BE-101", "BH-301", "ML-701", "MX-603", "PP-410", "SF-512"];

/// Hands the case of a position to what is measured. What `job` keeps of earlier answers is gone round.
fn with_case(tag: &str, measured: impl FnOnce(Posed, u8, Vec<Remedy>)) {
    let (demo, decisions) = (Demo::read(), Decisions::default());
    let input = Input {
        site: &demo.site,
        positions: &demo.positions,
        only: None,
        packs: &demo.packs,
        decisions: &decisions,
        date: "2026-03-10",
        shown: 4,
        searches: None,
    };
    let surveyed = demo.positions.iter().find(|p| p.tag == tag).expect("in the demo");
    let position = join(input, surveyed, &mut Vec::new());
    let new = demo.packs.iter().find(|s| s.id == "wendle").expect("in the demo");
    let posed = pose(&position, old_series(input, &position), new);
    let dips = u8::try_from(posed.dips.0.len()).expect("a few");
    let remedies = candidates(&posed.case, &new.habits);
    measured(posed, dips, remedies);
}

/// Every completion and every rule.
#[divan::bench(args = TAGS)]
fn full_comparison(bencher: divan::Bencher<'_, '_>, tag: &str) {
    with_case(tag, |posed, dips, _| bencher.bench_local(|| Explored::new(dips).answer(&posed.case).expect("small")));
}

/// The same, and every remedy by itself and as many together as it takes.
#[divan::bench(args = TAGS)]
fn with_remedies(bencher: divan::Bencher<'_, '_>, tag: &str) {
    with_case(tag, |posed, dips, remedies| {
        bencher.bench_local(|| {
            let mut explored = Explored::new(dips);
            let first = explored.answer(&posed.case).expect("small");
            plan(&mut explored, &posed.case, &first, &remedies).expect("small")
        });
    });
}

fn main() {
    divan::main();
}
