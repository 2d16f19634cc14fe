//! How fast checks are: one candidate at one position, and a site of 100 positions with 500 candidates each. Beside
//! it, `sheet.py` works the same sheet out with NumPy from the file that this writes, and compares the margins.
//! Positions and series are random and invented; run both with `cargo xtask bench`.
#![allow(clippy::cast_precision_loss, clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "random numbers of benchmarks are small")]
#![allow(clippy::disallowed_methods, reason = "a benchmark asks the clock and writes its own data file")]

#[path = "../tests/common/mod.rs"]
mod common;

use std::fmt::Write;
use std::time::Instant;

use calc::working::Silent;
use common::{Random, position, put, series};
use findings::candidate::Candidate;
use findings::check::Outcome;
use findings::facts::Survey;
use findings::registry::CHECKS;
use job::assess::{Input, assess_site};
use job::bounds::Depth;
use job::options::{Context, Hints, assess};
use plant::choice::{Choice, LoadKind, StopNeed};
use plant::decision::Decisions;
use plant::fact::Known;
use plant::position::{Position, Site};
use plant::product::Series;
use plant::survey::FACTS;

/// Positions of the site.
const POSITIONS: usize = 100;
/// Candidates of each: fifty series of ten ratings.
const SERIES: usize = 50;

fn packs() -> Vec<Series> {
    let mut random = Random(0x5EED);
    (0..SERIES).map(|i| Series { id: format!("invented-{i}"), ..series(&mut random) }).collect()
}

/// Positions of which some facts are missing, as surveys are.
fn hurried(count: usize) -> Vec<Position> {
    let mut random = Random(0xB0B);
    (0..count).map(|i| Position { tag: format!("P-{i}"), duty: Vec::new(), ..position(&mut random) }).collect()
}

/// Positions of which everything is known and that stand on a peak and a load: what a spreadsheet can hold.
fn known(count: usize) -> Vec<Position> {
    let mut positions = hurried(count);
    let mut random = Random(0xCAFE);
    for position in &mut positions {
        for (i, def) in FACTS.iter().enumerate() {
            if position.facts[i].known.bounds().is_none_or(|(low, high)| low < high) {
                let mut fact = common::fact(&mut random, def, 0);
                while fact.known.bounds().is_none_or(|(low, high)| low < high) {
                    fact = common::fact(&mut random, def, 0);
                }
                position.facts[i] = fact;
            }
        }
        put(position, "motor.kind", Known::Value(0.0));
        put(position, "motor.count", Known::Value(1.0));
        put(position, "stop.need", Known::Value(StopNeed::Free.index() as f64));
        put(position, "load.kind", Known::Value(LoadKind::ConstantTorque.index() as f64));
        put(position, "load.overhauling", Known::Value(0.0));
        put(position, "load.breakaway_torque", Known::Missing);
        put(position, "motor.winding", Known::Value(0.0));
        put(position, "supply.phases", Known::Value(0.0));
    }
    positions
}

#[divan::bench(args = ["known", "hurried"])]
fn one_candidate_all_checks(bencher: divan::Bencher<'_, '_>, kind: &str) {
    let packs = packs();
    let positions = if kind == "known" { known(1) } else { hurried(1) };
    let survey = Survey::new(&positions[0]);
    let site = Site::default();
    let units: Vec<Candidate<'_>> = packs.iter().flat_map(Candidate::all).collect();
    let context = Context { survey: &survey, site: &site, accepted: &[] };
    let mut hints = Hints::new();
    let mut next = 0;
    bencher.bench_local(|| {
        next = (next + 1) % units.len();
        assess(context, units[next].clone(), &mut hints, Depth::Screen)
    });
}

#[divan::bench(sample_count = 5)]
fn site_of_100_positions_and_500_candidates(bencher: divan::Bencher<'_, '_>) {
    let (packs, positions, site, decisions) = (packs(), hurried(POSITIONS), Site::default(), Decisions::default());
    let input = Input { site: &site, positions: &positions, packs: &packs, decisions: &decisions, date: "2026-01-01", shown: 4 };
    bencher.bench_local(|| assess_site(input, &|_| {}));
}

/// Writes known positions, candidates and our margins for the spreadsheet's twin, and measures the same work here.
fn sheet() {
    let (packs, positions) = (packs(), known(POSITIONS));
    let units: Vec<Candidate<'_>> = packs.iter().flat_map(Candidate::all).collect();
    let mut text = String::from("{\"positions\":[");
    for (i, position) in positions.iter().enumerate() {
        let facts: Vec<String> = FACTS.iter().zip(&position.facts).filter_map(|(d, f)| f.known.bounds().map(|(v, _)| format!("\"{}\":{v}", d.path))).collect();
        let _ = write!(text, "{}{{{}}}", if i > 0 { "," } else { "" }, facts.join(","));
    }
    text.push_str("],\"candidates\":[");
    for (i, unit) in units.iter().enumerate() {
        let _ = write!(
            text,
            "{}{{\"current\":{},\"heavy\":{},\"combine\":\"{}\",\"low\":{},\"high\":{}}}",
            if i > 0 { "," } else { "" },
            unit.rating.current.in_a(),
            unit.rating.duty.index(),
            unit.series.combine.word(),
            unit.class.lowest.in_v(),
            unit.class.highest.in_v()
        );
    }
    text.push_str("],\"checks\":[");
    text.push_str(&CHECKS.iter().map(|c| format!("\"{}\"", c.name)).collect::<Vec<_>>().join(","));
    text.push_str("],\"margins\":[");
    let start = Instant::now();
    let mut rows: Vec<Vec<Option<f64>>> = Vec::with_capacity(positions.len() * units.len());
    for position in &positions {
        let survey = Survey::new(position);
        let point = survey.middle();
        for unit in &units {
            rows.push(
                CHECKS
                    .iter()
                    .map(|check| match (check.quick)(&mut survey.at(&point), unit, &mut Silent) {
                        Ok(Outcome::Margin(margin)) => Some(margin),
                        _ => None,
                    })
                    .collect(),
            );
        }
    }
    let seconds = start.elapsed().as_secs_f64();
    let rows_text: Vec<String> =
        rows.iter().map(|row| format!("[{}]", row.iter().map(|m| m.map_or("null".into(), |v| v.to_string())).collect::<Vec<_>>().join(","))).collect();
    text.push_str(&rows_text.join(","));
    text.push_str("]}");
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../target/bench");
    if std::fs::create_dir_all(&folder).and_then(|()| std::fs::write(folder.join("sheet.json"), text)).is_err() {
        eprintln!("could not write target/bench/sheet.json");
    }
    println!("CHECKS_PER_SECOND {:.0}", (rows.len() * CHECKS.len()) as f64 / seconds);
}

fn main() {
    sheet();
    divan::main();
}
