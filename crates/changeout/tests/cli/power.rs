//! `power`: the demo's elevator and hoist before and after, and what it refuses.

use std::fs;

use crate::site::{DATE, Site, list, run, text};

#[test]
fn the_hoist_is_audited_before_and_after_with_sources_and_what_is_open() {
    let site = Site::demo_with(&["BH-301"]);
    let answer = run(["power", site.path(), "BH-301", "--json", "--date", DATE]).ends(0).json();
    let power = &answer["power"];
    assert_eq!(text(power, "verdict"), "holds");
    assert!(text(power, "old").contains("Grindlow") || !text(power, "old").is_empty());
    let names: Vec<&str> = list(power, "sections").iter().map(|s| text(s, "name")).collect();
    assert_eq!(names, ["fault-current", "protection", "supply", "harmonics", "motor-cable", "output", "braking", "link"]);
    let mut figures = 0;
    for line in list(power, "sections").iter().flat_map(|s| list(s, "lines")) {
        let number = |which: &str| line[which]["low"].as_f64();
        if let Some(low) = number("after") {
            figures += 1;
            assert!(low <= line["after"]["high"].as_f64().unwrap_or(f64::INFINITY), "{line}");
            assert!(!text(line, "source").is_empty(), "{line}");
        }
        assert!(["", "holds", "depends", "fails"].contains(&text(line, "verdict")), "{line}");
    }
    assert!(figures > 20, "{figures}");
    let braking = list(power, "sections").iter().find(|s| text(s, "name") == "braking").unwrap();
    let returned = list(braking, "lines").iter().find(|l| text(l, "what").starts_with("largest power")).unwrap();
    assert!(returned["after"]["low"].as_f64().unwrap() > 10e3 && text(&returned["after"], "unit") == "W", "{returned}");
    assert!(list(power, "cautions").len() > 3);
}

/// Our own output, kept to see what a change does to it; no published figures. `UPDATE_GOLDEN=1` writes it anew.
#[test]
fn the_audit_reads_as_it_was_approved() {
    let golden = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/golden/power.txt");
    let site = Site::demo_with(&["BE-101"]);
    let answer = run(["power", site.path(), "BE-101", "--date", DATE]).out;
    if std::env::var_os("UPDATE_GOLDEN").is_some() {
        fs::write(golden, &answer).unwrap();
    }
    let approved = fs::read_to_string(golden).expect("tests/golden/power.txt; UPDATE_GOLDEN=1 writes it");
    for (number, (old, new)) in approved.lines().zip(answer.lines()).enumerate() {
        assert_eq!(old, new, "line {}; look at the difference; UPDATE_GOLDEN=1 takes it over", number + 1);
    }
    assert_eq!(approved.lines().count(), answer.lines().count());
    for line in answer.lines() {
        assert!(line.chars().count() <= 114, "{} characters: {line}", line.chars().count());
    }
}

#[test]
fn a_wrong_tag_and_a_wrong_candidate_are_told() {
    let site = Site::demo_with(&["BE-101"]);
    run(["power", site.path(), "BE-999"]).ends(2).says(&["BE-999", "BE-101"]);
    run(["power", site.path(), "BE-101", "--candidate", "no/such/unit"]).ends(2).says(&["no/such/unit"]);
}
