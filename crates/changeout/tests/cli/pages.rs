//! What the program explains: `schema`, `explain` and the `survey` list.

use serde_json::Value;

use crate::site::{DATE, Site, TAGS, assessed, list, run, text};

/// Headings of every finding's page.
const HEADINGS: [&str; 7] = ["What it means", "Why it hurts", "How it is computed", "What settles it", "Remedies", "Cautions", "Sources"];

#[test]
fn each_kind_of_file_has_a_schema() {
    let kinds = run(["schema"]).ends(0).out;
    let kinds: Vec<&str> = kinds.trim().split(", ").collect();
    assert_eq!(kinds, ["site", "position", "decisions", "pack", "ticks"]);
    for kind in kinds {
        let schema = run(["schema", kind]).ends(0).json();
        assert!(text(&schema, "$schema").contains("json-schema.org"), "{kind}");
        let properties = schema["properties"].as_object().expect("properties");
        assert!(properties.contains_key("schema"), "{kind}");
        assert!(list(&schema, "required").iter().any(|r| r == "schema"), "{kind}");
        assert_eq!(schema["additionalProperties"], Value::Bool(false), "{kind}: misspelt keys are mistakes");
        for (key, property) in properties {
            assert!(property["description"].is_string() || property["$ref"].is_string() || property["title"].is_string(), "{kind} {key}");
        }
    }
    // Every key of the demo's files is one that the schema lets an editor offer.
    let schema = run(["schema", "position"]).ends(0).json();
    for key in ["tag", "machine", "notes", "place", "old", "motor", "load", "speed", "stop", "log", "duty"] {
        assert!(schema["properties"][key].is_object(), "{key}");
    }
    run(["schema", "sites"]).ends(2).says(&["“sites”", "site, position, decisions, pack"]);
    run(["schema", ""]).ends(2);
}

#[test]
fn each_finding_has_a_page_with_all_headings() {
    let all = run(["explain", "--json"]).ends(0).json();
    let findings = list(&all, "findings");
    assert!(findings.len() >= 13);
    let listed = run(["explain"]).ends(0).out;
    for finding in findings {
        let name = text(finding, "name");
        assert!(listed.contains(&format!("  {name} ")), "{name} is not in the list");
        let page = run(["explain", name]).ends(0).out;
        let mut rest = page.as_str();
        for heading in HEADINGS {
            let begin = rest.find(&format!("\n## {heading}\n")).unwrap_or_else(|| panic!("{name} lacks {heading}, or not in this order"));
            rest = &rest[begin + heading.len() + 5..];
            let section = rest.split("\n## ").next().unwrap();
            assert!(section.split_whitespace().count() >= 4, "{name}, {heading}: “{section}”");
        }
        assert!(page.contains(name) && page.contains(text(finding, "title")) && page.contains(text(finding, "severity")), "{page}");
        let json = run(["explain", name, "--json"]).ends(0).json();
        assert_eq!(&json, finding);
        assert!(HEADINGS.iter().all(|h| json["sections"][h].is_string()), "{json}");
    }
}

#[test]
fn concepts_and_facts_are_explained() {
    let all = run(["explain", "--json"]).ends(0).json();
    assert!(list(&all, "concepts").len() >= 120);
    for concept in list(&all, "concepts") {
        assert!(["name", "term", "definition", "trap"].iter().all(|key| !text(concept, key).is_empty()), "{concept}");
    }
    run(["explain", "acceleration-ramp"]).ends(0).says(&["Trap: ", "acceleration-ramp"]);
    for fact in list(&all, "facts") {
        let path = text(fact, "name");
        let page = run(["explain", path]).ends(0).out;
        assert!(page.contains(text(fact, "label")) && page.contains("Effort: ") && page.contains("While unknown: "), "{page}");
    }
    run(["explain", "supply.grounding"]).ends(0).says(&["nothing may be assumed", "high-resistance", "ungrounded"]);
    for caution in list(&all, "cautions") {
        run(["explain", text(caution, "hazard")]).ends(0).says(&[text(caution, "text")]);
    }
}

#[test]
fn an_unknown_name_gets_the_nearest() {
    for (written, meant) in [
        ("motor.curent", "motor.current"),
        ("rating/overload-shrot", "rating/overload-short"),
        ("acceleration-rampe", "acceleration-ramp"),
        ("Supply.Grounding", "supply.grounding"),
    ] {
        let told = run(["explain", written]);
        assert!(told.code == 0 || told.text().contains(&format!("did you mean “{meant}”")), "{}", told.text());
    }
    run(["explain", "motor.curent"]).ends(2);
    let json = run(["explain", "motor.curent", "--json"]).ends(2).json();
    assert!(text(&json, "error").contains("motor.current"));
    run(["explain", ""]).ends(2);
}

#[test]
fn the_survey_list_begins_with_the_first_reading() {
    let site = Site::demo();
    for tag in TAGS {
        let printed = run(["survey", site.path(), tag, "--date", DATE]).ends(0).out;
        let json = run(["survey", site.path(), tag, "--json", "--date", DATE]).ends(0).json();
        assert_eq!(json["tag"], tag);
        let assessed = assessed(&site, &["--position", tag]);
        assert_eq!(json["measure_next"], assessed["positions"][0]["measure_next"], "{tag}: the same readings as `assess`");
        let mut rest = printed.as_str();
        for (i, reading) in list(&json, "measure_next").iter().enumerate() {
            let line = format!("{:>2}. [ ] {}", i + 1, text(reading, "label"));
            let begin = rest.find(&line).unwrap_or_else(|| panic!("{line} is not next in\n{rest}"));
            rest = &rest[begin..];
            assert!(rest.lines().next().unwrap().contains(text(reading, "fact")), "{rest}");
        }
        for path in list(&json, "missing") {
            assert!(printed.contains(&format!(" {} ", path.as_str().unwrap())), "{tag}: {path} is not on the list");
        }
        assert!(printed.contains(DATE) && printed.contains("permit no."), "{printed}");
        let words = run(["survey", site.path(), tag]).ends(0).words();
        for caution in list(&json, "cautions") {
            assert!(words.contains(text(caution, "hazard")) && words.contains(text(caution, "text")), "{caution}");
        }
    }
}

#[test]
fn the_survey_list_shows_the_whole_of_what_is_expected() {
    let site = Site::demo();
    let flat = run(["survey", site.path(), "BD-808", "--date", DATE]).ends(0).words();
    let json = run(["survey", site.path(), "BD-808", "--json", "--date", DATE]).ends(0).json();
    for reading in list(&json, "measure_next") {
        assert!(flat.contains(text(reading, "expected")), "cut off: {}", reading["expected"]);
    }
}

#[test]
fn a_reading_once_taken_leaves_the_list() {
    let site = Site::demo();
    run(["record", site.path(), "BD-808", "stop.need", "free", "--from", "said"]).ends(0);
    let json = run(["survey", site.path(), "BD-808", "--json"]).ends(0).json();
    assert!(list(&json, "measure_next").iter().all(|r| r["fact"] != "stop.need"));
    assert!(list(&json, "missing").iter().all(|path| path != "stop.need"));
    run(["survey", site.path(), "BD-80"]).ends(2).says(&["BD-80", "BD-808"]);
}
