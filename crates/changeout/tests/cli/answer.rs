//! What scripts may rely on in `assess --json`: paths, types, words, and that nothing stands there without its reason.

use std::collections::BTreeSet;

use serde_json::Value;

use crate::site::{Site, TAGS, assessed, list, run, text};

/// Rounding of percentages that are exactly at a limit.
const ROUNDING: f64 = 1e-6;

/// All facts that the program knows by a path.
fn facts() -> BTreeSet<String> {
    let names = run(["explain", "--json"]).ends(0).json();
    list(&names, "facts").iter().map(|f| text(f, "name").to_owned()).collect()
}

/// True for the path of a fact or of a cell of the duty table: "duty[3].torque".
fn is_fact(path: &str, facts: &BTreeSet<String>) -> bool {
    let cell = path.strip_prefix("duty[").and_then(|rest| rest.split_once("]."));
    facts.contains(path) || cell.is_some_and(|(row, column)| row.parse::<u32>().is_ok_and(|r| r > 0) && !column.is_empty())
}

/// Calls with each position, candidate and finding of the demo, twelve candidates each.
fn each_finding(mut see: impl FnMut(&Value, &Value, &Value)) {
    let json = assessed(&Site::demo(), &["--candidates", "12"]);
    let mut seen = 0;
    for position in list(&json, "positions") {
        for candidate in list(position, "candidates") {
            for finding in list(candidate, "findings") {
                see(position, candidate, finding);
                seen += 1;
            }
        }
    }
    assert!(seen > 500, "{seen} findings seen");
}

#[test]
fn positions_and_readings_have_their_promised_paths() {
    let facts = facts();
    let json = assessed(&Site::demo(), &[]);
    for position in list(&json, "positions") {
        assert!(TAGS.contains(&text(position, "tag")));
        for reading in list(position, "measure_next") {
            assert!(is_fact(text(reading, "fact"), &facts), "{reading}");
            assert!(reading["settles"].as_f64().is_some_and(|s| s.is_finite() && s >= 0.0), "{reading}");
            assert!(reading["effort"].as_u64().is_some_and(|e| (1..=5).contains(&e)), "{reading}");
        }
        for candidate in list(position, "candidates") {
            assert_eq!(text(candidate, "id").split('/').count(), 3, "series/code/duty");
            assert!(["holds", "fails", "depends"].contains(&text(candidate, "verdict")));
            assert!(candidate["cost"].as_f64().is_some_and(|c| c > 0.0), "{}", candidate["cost"]);
            let bill: f64 = list(candidate, "bill").iter().filter_map(|line| line["price"].as_f64()).sum();
            assert!((bill - candidate["cost"].as_f64().unwrap()).abs() < 0.01, "the bill adds up to {bill}: {candidate}");
        }
        let ids: BTreeSet<&str> = list(position, "candidates").iter().map(|c| text(c, "id")).collect();
        assert_eq!(ids.len(), list(position, "candidates").len(), "no candidate twice");
        assert_eq!(list(position, "candidates")[0]["id"], position["chosen"]);
        assert_eq!(list(position, "candidates")[0]["verdict"], position["verdict"]);
    }
}

#[test]
fn findings_have_their_promised_paths_and_words() {
    let (facts, names) = (facts(), run(["explain", "--json"]).ends(0).json());
    let names: BTreeSet<&str> = list(&names, "findings").iter().map(|f| text(f, "name")).collect();
    each_finding(|_, _, finding| {
        assert!(names.contains(text(finding, "name")), "explain knows {}", finding["name"]);
        assert!(["holds", "fails", "depends"].contains(&text(finding, "verdict")), "{finding}");
        assert!(["injury", "equipment", "downtime", "nuisance"].contains(&text(finding, "severity")), "{finding}");
        let margin = &finding["margin"];
        assert!(margin["unit"].is_string());
        let (low, high) = (&margin["low"], &margin["high"]);
        assert!(low.is_number() == high.is_number() && (low.is_number() || low.is_null() && high.is_null()), "{margin}");
        for fact in list(finding, "depends_on") {
            assert!(is_fact(fact.as_str().unwrap(), &facts), "{fact}");
        }
        for remedy in list(finding, "remedies") {
            assert!(!text(remedy, "what").is_empty() && remedy["taken"].is_boolean(), "{remedy}");
            assert!(remedy["cost"].is_null() || remedy["cost"].as_f64().is_some_and(|c| c >= 0.0), "{remedy}");
        }
        list(finding, "working");
        list(finding, "sources");
    });
}

#[test]
fn verdicts_agree_with_their_margins() {
    let order = ["injury", "equipment", "downtime", "nuisance"];
    each_finding(|position, candidate, finding| {
        let told = format!("{} {} {}", position["tag"], candidate["id"], finding["name"]);
        let (low, high) = (finding["margin"]["low"].as_f64(), finding["margin"]["high"].as_f64());
        assert!(low.zip(high).is_none_or(|(low, high)| low <= high), "{told}");
        match text(finding, "verdict") {
            "holds" => assert!(low.is_none_or(|low| low >= -ROUNDING), "{told} holds at {low:?}"),
            "fails" => assert!(high.is_some_and(|high| high < ROUNDING), "{told} fails at {high:?}"),
            _ => {}
        }
        if candidate["verdict"] == "holds" && finding["accepted"].is_null() && finding["verdict"] != "holds" {
            assert_eq!(finding["severity"], order[3], "{told}: more than a nuisance is left in a candidate that holds");
        }
    });
}

#[test]
fn what_does_not_hold_says_on_what_it_depends() {
    each_finding(|position, candidate, finding| {
        let told = format!("{} {} {}", position["tag"], candidate["id"], finding["name"]);
        let reason = finding["reason"].as_str().is_some_and(|r| !r.is_empty());
        if finding["verdict"] == "depends" && finding["accepted"].is_null() {
            assert!(!list(finding, "depends_on").is_empty() || reason, "{told} depends on nothing");
        }
        if finding["verdict"] == "holds" {
            assert!(list(finding, "depends_on").is_empty(), "{told} holds and depends");
        }
    });
}

#[test]
fn every_step_of_a_working_has_symbol_value_and_source() {
    let mut steps = 0;
    each_finding(|_, _, finding| {
        for step in list(finding, "working") {
            for key in ["symbol", "name", "value", "source"] {
                assert!(!text(step, key).trim().is_empty(), "{key} of {step}");
            }
            assert!(!text(step, "value").contains("NaN") && !text(step, "value").contains("inf"), "{step}");
            steps += 1;
        }
        // What went into the worst case can be found again in a file, or is named an assumption.
        for input in finding["inputs"].as_array().unwrap() {
            assert!(!text(input, "fact").is_empty() && !text(input, "value").is_empty() && !text(input, "origin").is_empty(), "{input}");
        }
    });
    assert!(steps > 1000, "{steps} steps");
}

#[test]
fn every_finding_has_a_source() {
    let mut without = BTreeSet::new();
    each_finding(|position, _, finding| {
        if list(finding, "sources").is_empty() {
            without.insert(format!("{} {} ({})", text(position, "tag"), text(finding, "name"), text(finding, "verdict")));
        }
    });
    assert!(without.is_empty(), "without a source: {without:#?}");
}

#[test]
fn facts_lead_back_to_their_line() {
    let site = Site::demo();
    let json = assessed(&site, &[]);
    let mut led = 0;
    for position in list(&json, "positions") {
        for finding in list(&list(position, "candidates")[0], "findings") {
            for input in list(finding, "inputs") {
                let place = text(input, "place");
                let Some((file, line)) = place.rsplit_once(':') else { continue };
                let line: usize = line.parse().unwrap_or_else(|_| panic!("{place}"));
                let text_of_file = site.read(file);
                let there = text_of_file.lines().nth(line - 1).unwrap_or_else(|| panic!("{place} is beyond the end"));
                let key = text(input, "fact").rsplit('.').next().unwrap();
                assert!(there.contains(key), "{input} leads to “{there}”");
                led += 1;
            }
        }
    }
    assert!(led > 50, "{led} facts led back");
}

#[test]
fn one_position_alone_reads_as_among_all() {
    let site = Site::demo();
    let all = assessed(&site, &[]);
    for (i, tag) in TAGS.iter().enumerate() {
        let one = assessed(&site, &["--position", tag]);
        assert_eq!(list(&one, "positions").len(), 1);
        assert_eq!(one["positions"][0], all["positions"][i]);
    }
    let few = assessed(&site, &["--candidates", "2"]);
    assert_eq!(list(&few["positions"][0], "candidates").len(), 2);
    assert_eq!(few["positions"][0]["counts"], all["positions"][0]["counts"], "counts speak of all candidates, shown or not");
}
