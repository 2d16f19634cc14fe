//! How fast checks are: one candidate at one position, and a site of 100 positions with 500 candidates each. Beside
//! it, `sheet.py` works the same sheet out with NumPy from the file that this writes, and compares the margins.
//! Positions and series are random and invented; run both with `cargo xtask bench`.
#![allow(clippy::cast_precision_loss, clippy::cast_possible_truncation, reason = "random numbers of benchmarks are small")]

#[path = "../tests/common/mod.rs"]
mod common;

use common::sheet::{self, POSITIONS};
use findings::candidate::Candidate;
use findings::facts::Survey;
use job::assess::{Input, assess_site};
use job::bounds::Depth;
use job::options::{Context, Hints, assess};
use job::searches::Margins;
use plant::decision::Decisions;
use plant::position::Site;

#[divan::bench(args = ["known", "hurried"])]
fn one_candidate_all_checks(bencher: divan::Bencher<'_, '_>, kind: &str) {
    let packs = sheet::packs();
    let positions = if kind == "known" { sheet::known(1) } else { sheet::hurried(1) };
    let survey = Survey::new(&positions[0]);
    let site = Site::default();
    let units: Vec<Candidate<'_>> = packs.iter().flat_map(Candidate::all).collect();
    let context = Context { margins: &Margins::of(&survey, None), site: &site, accepted: &[] };
    let mut hints = Hints::new();
    let mut next = 0;
    bencher.bench_local(|| {
        next = (next + 1) % units.len();
        assess(context, units[next].clone(), &mut hints, Depth::Screen)
    });
}

#[divan::bench(sample_count = 5)]
fn site_of_100_positions_and_500_candidates(bencher: divan::Bencher<'_, '_>) {
    let (packs, positions, site, decisions) = (sheet::packs(), sheet::hurried(POSITIONS), Site::default(), Decisions::default());
    let input = Input {
        site: &site,
        positions: &positions,
        only: None,
        packs: &packs,
        decisions: &decisions,
        date: "2026-01-01",
        shown: 4,
        searches: None,
    };
    bencher.bench_local(|| assess_site(input, &|_| {}));
}

fn main() {
    let sheet = sheet::write();
    println!("CHECKS_PER_SECOND {:.0}", sheet.checks as f64 / sheet.seconds);
    divan::main();
}
