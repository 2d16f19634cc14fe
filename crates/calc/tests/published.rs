//! Published checks: every row of `tests/published/*.csv` calls a calculation by its name, as the command
//! line does, and compares one result with a figure printed in a standard, a handbook or a table. Rows state
//! the source, its edition and how the figure is known; none of them may come from our own output.
#![allow(
    clippy::disallowed_methods,
    clippy::expect_used,
    clippy::panic,
    reason = "a test reads its own data files and stops at the first broken one"
)]

use std::path::Path;

use calc::registry::{find, read_arguments};
use calc::working::Working;
use plant::quantity::unit_named;

/// "exact" in a table means the printed digits; binary floating point is off in the last bits.
const PRINTED_DIGITS: f64 = 1e-9;

struct Row {
    id: String,
    calculation: String,
    inputs: Vec<(String, String)>,
    result: String,
    expected: f64,
    unit: String,
    tolerance: String,
}

fn rows() -> Vec<Row> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/published");
    let mut files: Vec<_> = std::fs::read_dir(folder).expect("folder").map(|e| e.expect("entry").path()).collect();
    files.sort();
    let mut rows = Vec::new();
    for file in files.iter().filter(|f| f.extension().is_some_and(|e| e == "csv")) {
        let mut reader = csv::ReaderBuilder::new().from_path(file).expect("readable");
        assert_eq!(
            reader.headers().expect("header").iter().collect::<Vec<_>>(),
            ["id", "calculation", "inputs", "result", "expected", "unit", "tolerance", "source", "how", "notes"],
            "{}",
            file.display()
        );
        for record in reader.records() {
            let record = record.unwrap_or_else(|e| panic!("{}: {e}", file.display()));
            let cell = |i: usize| record.get(i).unwrap_or_default().trim().to_owned();
            assert!(!cell(7).is_empty() && !cell(8).is_empty(), "{}: {} lacks its source or how it is known", file.display(), cell(0));
            let inputs = cell(2)
                .split(" | ")
                .filter(|pair| !pair.trim().is_empty())
                .map(|pair| {
                    let (key, value) = pair.split_once('=').unwrap_or_else(|| panic!("{}: “{pair}” is no key=value", cell(0)));
                    (key.trim().to_owned(), value.trim().to_owned())
                })
                .collect();
            rows.push(Row {
                id: cell(0),
                calculation: cell(1),
                inputs,
                result: cell(3),
                expected: cell(4).parse().unwrap_or_else(|_| panic!("{}: expected “{}” is no number", cell(0), cell(4))),
                unit: cell(5),
                tolerance: cell(6),
            });
        }
    }
    rows
}

fn allowed(tolerance: &str, expected: f64) -> f64 {
    let text = tolerance.trim_start_matches('±').trim();
    if text == "exact" {
        return PRINTED_DIGITS * expected.abs().max(1.0);
    }
    match text.strip_suffix('%') {
        Some(percent) => percent.trim().parse::<f64>().expect("tolerance") / 100.0 * expected.abs(),
        None => text.parse::<f64>().expect("tolerance"),
    }
}

fn miss(row: &Row) -> Option<String> {
    let Some(calculation) = find(&row.calculation) else { return Some(format!("{}: no calculation “{}”", row.id, row.calculation)) };
    let arguments = match read_arguments(calculation, &row.inputs) {
        Ok(arguments) => arguments,
        Err(problems) => return Some(format!("{}: {}", row.id, problems.join("; "))),
    };
    let Some(at) = calculation.results.iter().position(|r| r.name == row.result) else {
        return Some(format!("{}: {} has no result “{}”", row.id, row.calculation, row.result));
    };
    let mut working = Working::default();
    let values = match calculation.call(&arguments, &mut working) {
        Ok(values) => values,
        Err(refusal) => return Some(format!("{}: refused: {refusal}", row.id)),
    };
    if working.steps.is_empty() {
        return Some(format!("{}: {} shows no working", row.id, row.calculation));
    }
    let Some(unit) = unit_named(calculation.results[at].dimension, &row.unit) else {
        return Some(format!("{}: no unit “{}” of {}", row.id, row.unit, calculation.results[at].dimension.name));
    };
    let got = (values[at] - unit.offset) / unit.factor;
    let room = allowed(&row.tolerance, row.expected);
    ((got - row.expected).abs() > room || got.is_nan())
        .then(|| format!("{}: got {got}, published {} {} {}", row.id, row.expected, row.unit, row.tolerance))
}

#[test]
fn published_figures_are_met() {
    let rows = rows();
    let misses: Vec<String> = rows.iter().filter_map(miss).collect();
    println!("{} published figures, {} missed", rows.len(), misses.len());
    assert!(misses.is_empty(), "\n{}", misses.join("\n"));
}

#[test]
fn no_row_stands_twice() {
    let rows = rows();
    let mut ids: Vec<&str> = rows.iter().map(|r| r.id.as_str()).collect();
    ids.sort_unstable();
    let twice: Vec<&&str> = ids.windows(2).filter(|w| w[0] == w[1]).map(|w| &w[0]).collect();
    assert!(twice.is_empty(), "{twice:?}");
}

#[test]
fn every_calculation_has_a_name_of_its_own() {
    let mut seen = std::collections::BTreeSet::new();
    for calculation in calc::registry::all() {
        assert!(seen.insert(calculation.name), "two calculations are called {}", calculation.name);
    }
}

/// Files of published rows that belong to the power path: supply, protection, conductors, harmonics, motor cable, braking.
const POWER_PATH: &[&str] = &["supply.csv", "feeder.csv", "conductor.csv", "harmonics.csv", "cable.csv", "braking.csv"];
/// Fewer than these would not cover it.
const AT_LEAST: usize = 250;

#[test]
fn the_power_path_has_its_published_rows() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/published");
    let count = |name: &&str| {
        let mut reader = csv::ReaderBuilder::new().from_path(folder.join(name)).expect("readable");
        reader.records().count()
    };
    let all: usize = POWER_PATH.iter().map(count).sum();
    assert!(all >= AT_LEAST, "{all} rows");
}
