//! Promise 1 from outside: readings inside what was expected never turn what was said to hold into what fails.

use std::collections::BTreeMap;

use serde_json::Value;

use crate::site::{DATE, Site, list, run, text};

/// Candidates that are watched: those shown first, and many beside them.
const WATCHED: &str = "40";
/// Share of a range that readings stay away from its ends: expected ranges are printed with four digits.
const INSIDE: f64 = 0.002;

fn position(site: &Site, tag: &str) -> Value {
    let arguments = ["assess", site.path(), "--position", tag, "--candidates", WATCHED, "--json", "--date", DATE];
    run(arguments).json()["positions"][0].take()
}

/// A number and its unit: "471.5 V".
fn number(text: &str) -> (f64, &str) {
    let (number, unit) = text.trim().split_once(' ').unwrap_or((text.trim(), ""));
    (number.replace('−', "-").parse().unwrap_or_else(|_| panic!("{text}")), unit)
}

/// A reading inside what is expected: `share` of the way from the least to the most, or that one of the words.
fn reading(expected: &str, share: f64) -> String {
    // "10 % … 100 % of motor.frequency (6 Hz … 60 Hz)": the brackets say it in plain units.
    let plain = expected.split_once('(').map_or(expected, |(_, inner)| inner.trim_end_matches(')'));
    if let Some((low, high)) = plain.split_once('…') {
        let ((low, unit), (high, same)) = (number(low), number(high));
        assert_eq!(unit, same, "{expected}");
        let value = low + (high - low) * (INSIDE + share * (1.0 - 2.0 * INSIDE));
        return format!("{value:.6} {unit}").trim_end().to_owned();
    }
    let words: Vec<&str> = plain.split(" | ").collect();
    let index = (0..words.len()).rev().find(|i| share * words.len() as f64 >= *i as f64).unwrap_or(0);
    words[index].to_owned()
}

/// A reading of a fact of which nothing is expected: any value is one of its completions.
fn free_reading(fact: &str, share: f64) -> String {
    let between = |low: f64, high: f64, unit: &str| format!("{:.4} {unit}", low + (high - low) * share);
    match fact {
        "load.inertia" => between(0.5, 20.5, "kg·m²"),
        "conductors.area" => between(25.0, 120.0, "mm²"),
        "box.plate_depth" => between(220.0, 480.0, "mm"),
        "box.depth" => between(260.0, 520.0, "mm"),
        "box.plate_height" | "box.height" => between(900.0, 1900.0, "mm"),
        "box.plate_width" | "box.width" => between(500.0, 1200.0, "mm"),
        "box.fan_flow" => between(60.0, 2000.0, "m³/h"),
        "box.exchange" => between(5.0, 150.0, "W/K"),
        "resistor.power" => between(0.5, 20.0, "kW"),
        "cable.area" => between(4.0, 120.0, "mm²"),
        "link.level" => between(650.0, 850.0, "V"),
        "link.capacitance" => between(1000.0, 9000.0, "µF"),
        "output.filter_carrier" => between(1.0, 6.0, "kHz"),
        "output.filter_current" => between(20.0, 200.0, "A"),
        "supply.transformer" => between(300.0, 2500.0, "kVA"),
        "supply.neutral_current" => between(1.0, 60.0, "A"),
        "supply.other_rectifiers" | "supply.linear_load" => between(0.0, 600.0, "A"),
        "protection.rating" => between(30.0, 400.0, "A"),
        "protection.panel_rating" => between(5.0, 65.0, "kA"),
        "protection.residual_rating" => between(30.0, 500.0, "mA"),
        "conductors.earth_area" => between(4.0, 70.0, "mm²"),
        "box.cooling_capacity" => between(200.0, 4000.0, "W"),
        _ => panic!("{fact} is open; say here what it may be"),
    }
}

/// Takes all recommended readings of a position one after the other, the first of the list each time.
fn take_all(tag: &str, name: &str, share: &mut dyn FnMut() -> f64) {
    let site = Site::demo();
    let mut held: BTreeMap<(String, String), usize> = BTreeMap::new();
    let mut failed: BTreeMap<String, usize> = BTreeMap::new();
    let mut taken: Vec<String> = Vec::new();
    let mut now = position(&site, tag);
    let chosen = text(&now, "chosen").to_owned();
    loop {
        for candidate in list(&now, "candidates") {
            let id = text(candidate, "id").to_owned();
            if text(candidate, "verdict") == "fails" {
                failed.entry(id.clone()).or_insert(taken.len());
            } else if let Some(step) = failed.get(&id) {
                panic!("{name}: {id} failed after {step} readings and no longer does after {}: {taken:#?}", taken.len());
            }
            // A unit with other things done to it is another proposal: its parts belong to its name.
            let bill: Vec<&str> = list(candidate, "bill").iter().map(|line| text(line, "what")).collect();
            for finding in list(candidate, "findings") {
                let key = (format!("{id}: {}", bill.join("; ")), text(finding, "name").to_owned());
                match text(finding, "verdict") {
                    "holds" => drop(held.entry(key).or_insert(taken.len())),
                    "fails" => {
                        let step = held.get(&key);
                        assert!(step.is_none(), "{name}: {key:?} held after {step:?} readings and fails after {}: {taken:#?}", taken.len());
                    }
                    _ => {}
                }
            }
        }
        let Some(next) =
            list(&now, "measure_next").iter().find(|r| !taken.iter().any(|t| t.starts_with(&format!("{} ", r["fact"].as_str().unwrap()))))
        else {
            break;
        };
        let (fact, expected) = (text(next, "fact"), text(next, "expected"));
        let value = if expected == "open" { free_reading(fact, share()) } else { reading(expected, share()) };
        taken.push(format!("{fact} = {value} (expected {expected})"));
        run(["record", site.path(), tag, fact, &value, "--from", "measured", "--by", "test"]).ends(0);
        now = position(&site, tag);
    }
    assert!(taken.len() >= 8, "{name}: only {} readings were asked for: {taken:#?}", taken.len());
    assert!(held.keys().any(|(id, _)| id.starts_with(&format!("{chosen}:"))), "the chosen candidate was watched");
    // What a pack leaves out is for its documents to say, not for a reading.
    let silent = |f: &Value| f["reason"].as_str().is_some_and(|r| r.starts_with("the pack of"));
    // Of a candidate that is ruled out nobody needs to know more.
    let first = &list(&now, "candidates")[0];
    let asked = |f: &&Value| f["verdict"] == "depends" && !silent(f) && text(first, "by_choice") != "fails";
    let open: Vec<&Value> = list(first, "findings").iter().filter(asked).collect();
    assert!(open.is_empty(), "{name}: all readings are taken and this still depends: {open:#?}\n{taken:#?}");
}

#[test]
fn two_nameplates_lowest_readings() {
    take_all("BD-808", "lowest", &mut || 0.0);
}

#[test]
fn two_nameplates_middle_readings() {
    take_all("BD-808", "middle", &mut || 0.5);
}

#[test]
fn two_nameplates_highest_readings() {
    take_all("BD-808", "highest", &mut || 1.0);
}

#[test]
fn two_nameplates_readings_by_chance() {
    for seed in 1..=3_u64 {
        let mut state = seed.wrapping_mul(0x9e37_79b9_7f4a_7c15);
        take_all("BD-808", &format!("seed {seed}"), &mut || {
            state ^= state << 13;
            state ^= state >> 7;
            state ^= state << 17;
            f64::from(u32::try_from(state >> 32).unwrap()) / f64::from(u32::MAX)
        });
    }
}

#[test]
fn readings_at_the_other_unsettled_positions() {
    for (tag, share) in [("AF-204", 0.0), ("AF-204", 1.0), ("SF-512", 0.5), ("MX-603", 1.0)] {
        let site = Site::demo();
        let before = position(&site, tag);
        for next in list(&before, "measure_next") {
            let expected = text(next, "expected");
            let fact = text(next, "fact");
            let value = if expected == "open" { free_reading(fact, share) } else { reading(expected, share) };
            run(["record", site.path(), tag, fact, &value]).ends(0);
        }
        let after = position(&site, tag);
        for candidate in list(&before, "candidates") {
            let Some(again) = list(&after, "candidates").iter().find(|c| c["id"] == candidate["id"]) else { continue };
            assert!(candidate["verdict"] != "holds" || again["verdict"] == "holds", "{tag} {}", candidate["id"]);
            for finding in list(candidate, "findings").iter().filter(|f| f["verdict"] == "holds") {
                let now = list(again, "findings").iter().find(|f| f["name"] == finding["name"]).unwrap();
                assert_eq!(now["verdict"], "holds", "{tag} {} {} at {share}", candidate["id"], finding["name"]);
            }
        }
    }
}
