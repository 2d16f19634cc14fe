//! The sheet that NumPy works out too: known positions, candidates, and our margins, written as JSON.
#![allow(clippy::disallowed_methods, clippy::expect_used, reason = "benchmarks and tests ask the clock and write their own data file")]

use std::fmt::Write;
use std::hint::black_box;
use std::time::Instant;

use calc::working::Silent;
use findings::candidate::Candidate;
use findings::check::Outcome;
use findings::facts::Survey;
use findings::registry::CHECKS;
use plant::choice::{Choice, LoadKind, StopNeed};
use plant::fact::Known;
use plant::position::Position;
use plant::product::Series;
use plant::survey::FACTS;

use super::{Random, fact, position, put, series};

/// Positions of the site.
pub const POSITIONS: usize = 100;
/// Series, ten ratings each: 500 candidates.
const SERIES: usize = 50;

/// The checks that `sheet.py` works out too. Only they are timed: both sides then do the same work.
const IN_NUMPY: [&str; 12] = [
    "motor/hot-at-low-speed",
    "motor/volts-per-hertz-differs",
    "rating/breakaway-short",
    "rating/less-than-old",
    "rating/measured-current-uncovered",
    "rating/motor-current-uncovered",
    "rating/motor-too-small",
    "rating/overload-short",
    "rating/site-current-short",
    "speed/top-speed-short",
    "supply/phase-missing-or-unbalanced",
    "supply/voltage-outside-class",
];

/// What was written, and how long our own checks of those in NumPy took, on one core as there.
pub struct Sheet {
    pub checks: usize,
    pub seconds: f64,
}

pub fn packs() -> Vec<Series> {
    let mut random = Random(0x5EED);
    (0..SERIES).map(|i| Series { id: format!("invented-{i}"), ..series(&mut random) }).collect()
}

/// Positions of which some facts are missing, as surveys are.
pub fn hurried(count: usize) -> Vec<Position> {
    let mut random = Random(0xB0B);
    (0..count).map(|i| Position { tag: format!("P-{i}"), duty: Vec::new(), ..position(&mut random) }).collect()
}

/// Positions of which everything is known and that stand on a peak and a load: what a spreadsheet can hold.
pub fn known(count: usize) -> Vec<Position> {
    let mut positions = hurried(count);
    let mut random = Random(0xCAFE);
    for position in &mut positions {
        for (i, def) in FACTS.iter().enumerate() {
            if position.facts[i].known.bounds().is_none_or(|(low, high)| low < high) {
                let mut known = fact(&mut random, def, 0);
                while known.known.bounds().is_none_or(|(low, high)| low < high) {
                    known = fact(&mut random, def, 0);
                }
                position.facts[i] = known;
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

/// Writes target/bench/sheet.json.
pub fn write() -> Sheet {
    let (packs, positions) = (packs(), known(POSITIONS));
    let units: Vec<Candidate<'_>> = packs.iter().flat_map(Candidate::all).collect();
    let mut text = String::from("{\"positions\":[");
    for (i, position) in positions.iter().enumerate() {
        let facts: Vec<String> = FACTS
            .iter()
            .zip(position.facts.iter())
            .filter_map(|(d, f)| f.known.bounds().map(|(v, _)| format!("\"{}\":{v}", d.path)))
            .collect();
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
    text.push_str("],\"timed\":[");
    text.push_str(&IN_NUMPY.map(|name| format!("\"{name}\"")).join(","));
    text.push_str("],\"margins\":[");
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
    let timed: Vec<_> = CHECKS.iter().filter(|check| IN_NUMPY.contains(&check.name)).collect();
    let start = Instant::now();
    for position in &positions {
        let survey = Survey::new(position);
        let point = survey.middle();
        for unit in &units {
            for check in &timed {
                let _ = black_box((check.quick)(&mut survey.at(&point), unit, &mut Silent));
            }
        }
    }
    let seconds = start.elapsed().as_secs_f64();
    let rows_text: Vec<String> = rows
        .iter()
        .map(|row| format!("[{}]", row.iter().map(|m| m.map_or("null".into(), |v| v.to_string())).collect::<Vec<_>>().join(",")))
        .collect();
    text.push_str(&rows_text.join(","));
    text.push_str("]}");
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../target/bench");
    std::fs::create_dir_all(&folder).and_then(|()| std::fs::write(folder.join("sheet.json"), text)).expect("target/bench can be written");
    Sheet { checks: rows.len() * timed.len(), seconds }
}
