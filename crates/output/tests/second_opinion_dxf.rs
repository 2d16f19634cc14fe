//! A second opinion on the files: ezdxf opens and audits every DXF and measures what it shows (`second_opinion/dxf.py`); an XML
//! reader opens every SVG.
#![allow(clippy::disallowed_methods, reason = "a test asks the environment for its interpreter")]
#![allow(clippy::expect_used, reason = "a test stops at the first broken expectation")]

mod common;

use std::collections::BTreeSet;
use std::io::Write;
use std::path::Path;
use std::process::{Command, Stdio};

use dossier::drawing::{Along, Dimension, Drawing, Hatch, Point, Shape, layer};
use output::dxf::dxf;
use output::svg::{Options, svg};
use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::TestRunner;
use serde_json::{Value, json};

/// Nine decimals are written; what is read back is off by less than half of the last, and a distance by a few of these.
const AGREEMENT_MM: f64 = 1e-6;
const CASES: usize = 50;

fn ask(drawings: &[Drawing]) -> Vec<Value> {
    let python = std::env::var("CHANGEOUT_PYTHON").expect("CHANGEOUT_PYTHON names an interpreter with ezdxf; cargo xtask test sets it");
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/second_opinion/dxf.py");
    let files = |d| json!({ "dxf": dxf(d).expect("drawn"), "svg": svg(d, &Options::default()).expect("drawn") });
    let question = json!({ "cases": drawings.iter().map(files).collect::<Vec<_>>() }).to_string();
    let mut child = Command::new(python).arg(script).stdin(Stdio::piped()).stdout(Stdio::piped()).spawn().expect("python starts");
    // Dropped at the end of the statement, which closes the pipe; the script reads all of it before it answers.
    child.stdin.take().expect("piped").write_all(question.as_bytes()).expect("written");
    let answer = child.wait_with_output().expect("python ends");
    assert!(answer.status.success(), "the script failed");
    let answer: Value = serde_json::from_slice(&answer.stdout).expect("JSON");
    answer["results"].as_array().expect("results").clone()
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or(f64::NAN)
}

fn list(value: &Value) -> &[Value] {
    value.as_array().map_or(&[], Vec::as_slice)
}

/// A circle as we meant it.
struct Round {
    centre: Point,
    diameter: f64,
}

fn circles(drawing: &Drawing) -> Vec<Round> {
    let round = |shape: &Shape| match shape {
        Shape::Circle { centre, diameter, .. } => Some(Round { centre: *centre, diameter: *diameter }),
        _ => None,
    };
    drawing.items.iter().filter_map(|item| round(&item.shape)).collect()
}

fn dimensions(drawing: &Drawing) -> Vec<&Dimension> {
    let each = drawing.items.iter().map(|item| &item.shape);
    each.filter_map(|shape| if let Shape::Dimension(dimension) = shape { Some(dimension) } else { None }).collect()
}

fn measured(dimension: &Dimension) -> f64 {
    let (dx, dy) = (dimension.to.x - dimension.from.x, dimension.to.y - dimension.from.y);
    match dimension.along {
        Along::Horizontal => dx.abs(),
        Along::Vertical => dy.abs(),
        Along::Aligned => (dx * dx + dy * dy).sqrt(),
    }
}

fn hatched(drawing: &Drawing, name: &str) -> bool {
    let hatched = |shape: &Shape| match shape {
        Shape::Polyline { hatch, .. } | Shape::Rectangle { hatch, .. } | Shape::Circle { hatch, .. } => *hatch != Hatch::None,
        _ => false,
    };
    drawing.items.iter().any(|item| item.layer == name && hatched(&item.shape))
}

/// Compares a drawing with what was read; returns how many figures agreed.
fn compare(name: &str, drawing: &Drawing, read: &Value) -> usize {
    assert_eq!(read["errors"], json!([]), "{name}: the audit finds errors");
    assert_eq!(read["fixes"], json!([]), "{name}: the audit mends something");
    assert_eq!(read["version"], "AC1009");
    assert_eq!(read["svg_root"], "{http://www.w3.org/2000/svg}svg");
    let mut agreed = 0;
    let mut same = |what: &str, got: &Value, want: f64| {
        let off = (number(got) - want).abs();
        assert!(off <= AGREEMENT_MM, "{name}, {what}: read {got}, drawn {want}");
        agreed += 1;
    };

    let read_layers: BTreeSet<&str> = list(&read["layers"]).iter().filter_map(Value::as_str).collect();
    let holds = |name: &str| read_layers.contains(name);
    assert!(drawing.layers.iter().all(|layer| holds(&layer.name)), "{name}: {read_layers:?}");
    let beside = drawing.layers.iter().filter(|layer| hatched(drawing, &layer.name)).map(|layer| format!("{}_HATCH", layer.name));
    assert!(beside.into_iter().all(|layer| holds(&layer)), "{name}: {read_layers:?}");

    let rounds = circles(drawing);
    let read_rounds = list(&read["circles"]);
    assert_eq!(rounds.len(), read_rounds.len(), "{name}");
    for (round, read) in rounds.iter().zip(read_rounds) {
        same("x", &read["x"], round.centre.x);
        same("y", &read["y"], round.centre.y);
        same("diameter", &read["diameter"], round.diameter);
    }
    let mut distances = list(&read["distances"]).iter();
    for (place, one) in rounds.iter().enumerate() {
        for other in &rounds[place + 1..] {
            let distance = (one.centre.x - other.centre.x).hypot(one.centre.y - other.centre.y);
            same("hole to hole", distances.next().unwrap_or(&Value::Null), distance);
        }
    }
    let dimensions = dimensions(drawing);
    let read_dimensions = list(&read["dimensions"]);
    assert_eq!(dimensions.len(), read_dimensions.len(), "{name}");
    for (dimension, read) in dimensions.iter().zip(read_dimensions) {
        same("measure", &read["measure"], measured(dimension));
        same("dimension line", &read["line"], measured(dimension));
        assert!(number(&read["pieces"]) >= 4.0, "{name}: a bare block");
    }
    agreed
}

#[test]
#[ignore = "needs the Python environment: cargo xtask test"]
fn ezdxf_opens_audits_and_measures_every_drawing() {
    let mut runner = TestRunner::deterministic();
    let strategy = common::drawing();
    let random = (0..CASES).map(|_| strategy.new_tree(&mut runner).expect("a drawing").current());
    let drawings: Vec<Drawing> = [common::plate()].into_iter().chain(random).collect();
    let read = ask(&drawings);
    assert_eq!(read.len(), drawings.len());
    let agreed: usize = drawings.iter().zip(&read).enumerate().map(|(n, (d, read))| compare(&format!("drawing {n}"), d, read)).sum();
    println!("{agreed} figures of {} drawings agree within {AGREEMENT_MM} mm", drawings.len());

    // The example once more by figures that stand in its dimensions and its table, not in our code.
    let plate = &read[0];
    let shown: Vec<&str> = list(&plate["dimensions"]).iter().filter_map(|d| d["shown"].as_str()).collect();
    // 307.5 = √(137.5² + 275²) = 307.459…
    assert_eq!(shown, ["500", "172.5", "137.5", "600", "275", "75", "B2-A2 307.5 ±0.3", "17.5"]);
    assert!(list(&plate["texts"]).iter().any(|text| text == "Ø 4.3"), "{}", plate["texts"]);
    let on = |name: &str| list(&plate["circles"]).iter().filter(|circle| circle["layer"] == name).count();
    assert_eq!([layer::HOLE_KEPT, layer::HOLE_CLOSED, layer::HOLE_NEW].map(on), [2, 2, 4]);
}
