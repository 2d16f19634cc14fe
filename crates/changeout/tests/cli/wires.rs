//! `wires` from outside: its table, the shape of its JSON, lists as CSV and as workbook, and lists with rows that cannot be read.

use std::collections::BTreeSet;

use crate::site::{DATE, Site, list, run, text};

/// Positions of the demo with a list of conductors.
const WIRED: [&str; 5] = ["AF-204", "BE-101", "BH-301", "MX-603", "PP-410"];
/// The list of one of them.
const LIST: &str = "evidence/be-101-wires.csv";

fn keys(value: &serde_json::Value) -> BTreeSet<&str> {
    value.as_object().map(|o| o.keys().map(String::as_str).collect()).unwrap_or_default()
}

/// The rows of a list: header and conductors, without comments.
fn rows(text: &str) -> Vec<Vec<String>> {
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).has_headers(false).from_reader(text.as_bytes());
    reader.records().map(|r| r.unwrap().iter().map(str::to_owned).collect()).collect()
}

#[test]
fn each_conductor_says_just_what_scripts_are_promised() {
    let site = Site::demo();
    for tag in WIRED {
        let answer = run(["wires", site.path(), tag, "--json", "--date", DATE]).json();
        let conductors = list(&answer, "conductors");
        let listed = rows(&site.read(&format!("evidence/{}-wires.csv", tag.to_lowercase())));
        // Conservation: a line for each row of the list, in its order.
        let ours: Vec<&str> = conductors.iter().map(|c| text(c, "wire")).collect();
        assert_eq!(ours, listed[1..].iter().map(|row| row[0].as_str()).collect::<Vec<_>>(), "{tag}");
        for c in conductors {
            assert_eq!(keys(c), BTreeSet::from(["action", "new", "old", "parts", "proof", "reason", "wire"]), "{c}");
            let action = text(c, "action");
            assert!(["landed", "interposed", "spared", "removed"].contains(&action), "{c}");
            assert_eq!(c["new"].is_null(), matches!(action, "spared" | "removed"), "{c}");
            assert!(
                !text(c, "reason").is_empty()
                    && (action != "interposed" || !list(c, "parts").is_empty() || c["new"] == "A2 of the interposing relays"),
                "{c}"
            );
            for line in list(c, "proof") {
                assert_eq!(keys(line), BTreeSet::from(["have", "margin", "need", "verdict", "what"]), "{line}");
            }
        }
        for module in list(&answer, "modules") {
            assert!(keys(module).is_superset(&BTreeSet::from(["module", "slot"])), "{module}");
        }
        assert!(answer["cost"].as_f64().is_some_and(|cost| cost > 0.0), "{tag}: {}", answer["cost"]);
    }
}

#[test]
fn the_table_names_every_conductor_and_what_is_bought() {
    let site = Site::demo();
    let shown = run(["wires", site.path(), "BE-101", "--date", DATE]);
    let words = shown.words();
    for row in &rows(&site.read(LIST))[1..] {
        assert!(words.contains(&format!("{} at {}", row[0], row[1])), "{row:?}: {words}");
    }
    for wanted in
        ["14 conductors:", "three-wire, momentary", "To order for the wires", "What must be so before it runs", "Altered safety function:"]
    {
        assert!(words.contains(wanted), "{wanted}: {words}");
    }
    let csv = run(["wires", site.path(), "BE-101", "--csv", "--date", DATE]).out;
    assert_eq!(rows(&csv).len(), rows(&site.read(LIST)).len());
}

#[test]
fn a_price_of_the_site_goes_into_the_cost_and_without_one_the_part_is_counted() {
    let site = Site::demo();
    let cost = |site: &Site| {
        let answer = run(["wires", site.path(), "BE-101", "--json", "--date", DATE]).json();
        (answer["cost"].as_f64().unwrap(), answer["unpriced"].as_u64().unwrap())
    };
    let (with, none_open) = cost(&site);
    site.edit("site.toml", "relay = 34.0\nresistor", "relay = 44.0\nresistor");
    let (dearer, still_none) = cost(&site);
    site.edit("site.toml", "relay = 44.0\nresistor", "resistor");
    let (without, open) = cost(&site);
    let relays = (dearer - with) / 10.0;
    assert!(relays >= 1.0 && (relays - relays.round()).abs() < 1e-6, "{with} {dearer}");
    assert_eq!((none_open, still_none), (0, 0));
    assert!((with - without - 34.0 * relays).abs() < 1e-6 && (open as f64 - relays.round()).abs() < 0.5, "{with} {without} {open}");
}

#[test]
fn a_workbook_gives_the_same_answer_as_csv() {
    let site = Site::demo();
    let by_csv = run(["wires", site.path(), "BE-101", "--json", "--date", DATE]);
    let mut book = rust_xlsxwriter::Workbook::new();
    let sheet = book.add_worksheet();
    for (at, row) in (0_u32..).zip(rows(&site.read(LIST))) {
        for (column, cell) in (0_u16..).zip(&row) {
            // Wire numbers are numbers to whoever types them.
            match cell.parse::<f64>() {
                Ok(number) => sheet.write_number(at, column, number).unwrap(),
                Err(_) => sheet.write_string(at, column, cell).unwrap(),
            };
        }
    }
    site.write("evidence/be-101-wires.xlsx", book.save_to_buffer().unwrap());
    site.edit("positions/BE-101.toml", LIST, "evidence/be-101-wires.xlsx");
    let by_book = run(["wires", site.path(), "BE-101", "--json", "--date", DATE]);
    assert_eq!((by_csv.code, &by_csv.json()), (by_book.code, &by_book.json()));
}

#[test]
fn rows_that_cannot_be_read_are_each_reported() {
    let site = Site::demo();
    let long = "x".repeat(201);
    site.append(LIST, &format!("90,TB9-1,{long},,,start,120 V ac,,,,,,,,\n91,TB9-2,\"a\u{1}b\",,,stop,120 V ac,,,,,,,,\n"));
    let run_it = || run(["wires", site.path(), "BE-101", "--date", DATE]);
    run_it().ends(2).says(&["be-101-wires.csv:17:", "be-101-wires.csv:18:", "more than 200 characters", "2 errors"]);
    // A cell that cannot be read leaves the row in the list, and is told.
    let site = Site::demo();
    site.append(LIST, "92,TB9-3,somewhere,,,frobnicate,120 V ac,,,,,,,,\n93,TB9-4,somewhere,,,stop,a few volts,,,,,,,,\n");
    let shown = run(["wires", site.path(), "BE-101", "--date", DATE]).says(&["92 at TB9-3", "93 at TB9-4", "spared"]);
    let text = shown.text();
    assert!(text.contains("frobnicate") && text.contains("a few volts"), "{text}");
    let answer = run(["wires", site.path(), "BE-101", "--json", "--date", DATE]).json();
    assert_eq!(list(&answer, "conductors").len(), 16);
}

#[test]
fn a_position_without_a_list_says_how_to_give_one() {
    let site = Site::demo();
    run(["wires", site.path(), "SF-512", "--date", DATE]).ends(2).says(&["SF-512 has no list of conductors", "[wires]"]);
}
