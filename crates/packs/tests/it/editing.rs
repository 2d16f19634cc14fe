//! What is written into a person's file, and what must stay as it stands.

use packs::{accept, add_reading, choose, read_decisions, read_position, record};
use plant::choice::OriginKind;
use plant::decision::{Accepted, Chosen};
use plant::fact::{Known, Origin, Place};
use plant::survey::{DUTY_COLUMNS, FACTS, FactDef, Kind, find, path};
use proptest::prelude::*;

use crate::common::{DECISIONS, FULL, SITE, SPARSE, shown, source};

fn measured() -> Origin {
    Origin { kind: Some(OriginKind::Measured), by: Some("A. \"N.\" Other".into()), on: Some("2026-04-01".into()), ..Origin::default() }
}

/// Lines of `text` that are not in `old`.
fn new_lines<'t>(old: &str, text: &'t str) -> Vec<&'t str> {
    text.lines().filter(|l| !old.lines().any(|o| o == *l)).collect()
}

#[test]
fn a_short_value_changes_its_own_line_only() {
    let text = record(&source("KX-7.toml", FULL), "motor.current", "38 A", None).expect("valid");
    assert_eq!(text, FULL.replace("current = \"36.5 A\"   # read twice", "current = \"38 A\"   # read twice"));
}

#[test]
fn a_value_with_origin_becomes_long_and_keeps_its_comment() {
    let text = record(&source("KX-7.toml", FULL), "motor.current", "38 A", Some(&measured())).expect("valid");
    let line = "current = { value = \"38 A\", from = \"measured\", by = 'A. \"N.\" Other', on = 2026-04-01 }   # read twice";
    assert_eq!(new_lines(FULL, &text), [line]);
    let file = read_position(&source("KX-7.toml", &text));
    assert_eq!(shown(&file.problems), "");
    let position = file.value.expect("read").position;
    let fact = position.fact(find("motor.current").expect("a fact")).expect("there");
    assert_eq!((fact.known.clone(), fact.origin.by.as_deref()), (Known::Value(38.0), Some("A. \"N.\" Other")));
}

#[test]
fn an_origin_does_not_outlive_its_reading() {
    let full = source("KX-7.toml", FULL);
    let text = record(&full, "motor.power", "40 hp", None).expect("valid");
    assert_eq!(new_lines(FULL, &text), ["power = { value = \"40 hp\" }"]);
    assert_eq!(record(&full, "motor.power", "30 hp", None).expect("valid"), FULL, "the same value changes nothing");
    let text = record(&full, "motor.power", "40 hp", Some(&measured())).expect("valid");
    assert!(text.contains("power = { value = \"40 hp\", from = \"measured\", by = 'A. \"N.\" Other', on = 2026-04-01 }"), "{text}");
}

#[test]
fn new_keys_tables_and_cells_find_their_place() {
    let text = record(&source("KX-8.toml", SPARSE), "motor.current", "9 A", None).expect("valid");
    assert_eq!(text, format!("{SPARSE}current = \"9 A\"\n"));
    let text = record(&source("KX-8.toml", SPARSE), "load.kind", "elevator | hoist", None).expect("valid");
    assert_eq!(text, format!("{SPARSE}\n[load]\nkind = \"elevator | hoist\"\n"));
    let text = record(&source("KX-7.toml", FULL), "duty[2].current", "13 A", None).expect("valid");
    assert_eq!(new_lines(FULL, &text), ["current = \"13 A\""]);
    let dotted = "schema = 1\ntag = \"A\"\nmotor.power = \"3 kW\" # plate\nload = { current = \"5 A\" }\n";
    let text = record(&source("A.toml", dotted), "motor.speed", "1450 rpm", None).expect("valid");
    assert_eq!(text, dotted.replace("# plate\n", "# plate\nmotor.speed = \"1450 rpm\"\n"));
    let text = record(&source("A.toml", dotted), "load.starts", "4 /h", None).expect("valid");
    assert!(read_position(&source("A.toml", &text)).checked().is_some(), "{text}");
    let headed = "schema = 1\ntag = \"A\"\n[motor.current] # as read\nvalue = \"5 A\" # once\nby = \"me\"\n";
    let text = record(&source("A.toml", headed), "motor.current", "6 A", None).expect("valid");
    assert_eq!(text, "schema = 1\ntag = \"A\"\n[motor.current] # as read\nvalue = \"6 A\" # once\n");
}

#[test]
fn facts_of_the_whole_plant_are_written_alike() {
    let text = record(&source("site.toml", SITE), "conditions.altitude", "400 m", None).expect("valid");
    assert_eq!(new_lines(SITE, &text), ["altitude = { value = \"400 m\" }"]);
}

#[test]
fn windows_line_ends_and_a_byte_order_mark_stay() {
    let windows = format!("\u{feff}{}", FULL.replace('\n', "\r\n"));
    let text = record(&source("KX-7.toml", &windows), "motor.current", "38 A", None).expect("valid");
    assert_eq!(text, windows.replace("36.5 A", "38 A"));
    let unended = FULL.trim_end();
    let text = record(&source("KX-7.toml", unended), "motor.current", "38 A", None).expect("valid");
    assert_eq!(text, unended.replace("36.5 A", "38 A"));
}

#[test]
fn wrong_values_are_refused_before_anything_is_written() {
    let full = source("KX-7.toml", FULL);
    for (path, value, words) in [
        ("motor.current", "38 V", "motor.current: “V” is a unit of voltage"),
        ("motor.curent", "38 A", "no fact"),
        ("motor.current", "9000 A", "sensible"),
        ("motor.current", "", "blank"),
        ("load.kind", "crane", "no kind of load"),
        ("duty[9].current", "5 A", "no row 9"),
        ("duty[0].current", "5 A", "no row of the duty table"),
    ] {
        let problem = record(&full, path, value, None).expect_err(value);
        assert!(problem.message.contains(words), "{path} {value}: {problem}");
    }
    let origin = Origin { on: Some("yesterday".into()), ..Origin::default() };
    assert!(record(&full, "motor.current", "38 A", Some(&origin)).is_err_and(|p| p.message.contains("no date")));
    assert!(record(&source("KX-7.toml", "tag = "), "motor.current", "38 A", None).is_err_and(|p| p.message.contains("cannot be read")));
    assert!(record(&source("KX-7.toml", "motor = 3"), "motor.current", "38 A", None).is_err_and(|p| p.message.contains("no table")));
}

fn chosen(tag: &str, candidate: &str) -> Chosen {
    Chosen { tag: tag.into(), candidate: candidate.into(), by: "R. K.".into(), on: "2026-04-01".into(), place: Place::default() }
}

#[test]
fn decisions_are_appended_or_replaced() {
    let file = source("decisions.toml", DECISIONS);
    let text = choose(&file, &chosen("KX-8", "quellmoor-q3/022/light")).expect("valid");
    let read = read_decisions(&source("decisions.toml", &text));
    assert_eq!((shown(&read.problems).as_str(), read.value.expect("read").decisions.chosen.len()), ("", 2));
    assert!(DECISIONS.lines().all(|line| text.lines().any(|l| l == line)), "{text}");
    // A second choice for the same position replaces the first in its place.
    let text = choose(&file, &chosen("KX-7", "quellmoor-q3/080/light")).expect("valid");
    assert_eq!(text, DECISIONS.replace("052/heavy", "080/light").replace("on = 2026-03-09", "on = 2026-04-01"));

    let accepted = Accepted {
        tag: "KX-7".into(),
        finding: "rating/overload-short".into(),
        by: "R. K.".into(),
        reason: "said: \"two starts a day\"\nand no more".into(),
        on: "2026-04-02".into(),
        place: Place::default(),
    };
    let text = accept(&source("decisions.toml", ""), &accepted).expect("valid");
    let read = read_decisions(&source("decisions.toml", &text));
    assert_eq!(shown(&read.problems), "");
    assert_eq!(read.value.expect("read").decisions.accepted[0].reason, accepted.reason);

    let text = add_reading(&file, "KX-7", "supply.grounding", "solid", &measured()).expect("valid");
    let read = read_decisions(&source("decisions.toml", &text));
    assert_eq!((shown(&read.problems).as_str(), read.value.expect("read").readings.len()), ("", 3));
    assert!(text.starts_with(DECISIONS));
    assert!(add_reading(&file, "KX-7", "supply.grounding", "?", &measured()).is_err());
}

/// A text that is a value of the fact.
fn value_text(def: &FactDef) -> BoxedStrategy<String> {
    match def.kind {
        Kind::Choice(info) => (0..info.words.len()).prop_map(|i| info.words[i].word.to_owned()).boxed(),
        Kind::Quantity(info) => {
            let (low, high) = def.sensible;
            let whole = info.name == "count";
            (0.0..1.0f64)
                .prop_map(move |share| {
                    let value = (low + (high - low) * share).clamp(low, high);
                    let unit = &info.units[0];
                    if whole { format!("{}", value.floor().max(low)) } else { format!("{value:.6} {}", unit.symbol) }
                })
                .boxed()
        }
    }
}

fn fact_and_value() -> impl Strategy<Value = (String, String)> {
    let cells = (0..2u16, 0..u16::try_from(DUTY_COLUMNS.len()).expect("a few"));
    let cells = cells.prop_flat_map(|(row, column)| {
        let def = &DUTY_COLUMNS[usize::from(column)];
        (Just(path(plant::survey::duty_cell(usize::from(row), usize::from(column)))), value_text(def))
    });
    let facts = (0..FACTS.len()).prop_flat_map(|i| (Just(FACTS[i].path.to_owned()), value_text(&FACTS[i])));
    prop_oneof![facts, cells]
}

proptest! {
    #[test]
    fn what_is_recorded_reads_back_and_every_comment_stays(changes in proptest::collection::vec((fact_and_value(), any::<bool>()), 1..6)) {
        let mut text = FULL.to_owned();
        for ((path, value), with_origin) in changes {
            let origin = measured();
            let before = text.clone();
            text = record(&source("KX-7.toml", &text), &path, &value, with_origin.then_some(&origin)).unwrap_or_else(|p| panic!("{path} {value}: {p}"));
            let read = read_position(&source("KX-7.toml", &text));
            // Recorded bounds may contradict each other ("lowest" above "highest"), which is another matter.
            assert!(read.problems.iter().all(|p| p.message.contains("above the highest")), "{}", shown(&read.problems));
            let position = read.value.expect("read").position;
            let id = packs::text::fact_id(&path).expect("a fact");
            let fact = position.fact(id).expect("there");
            assert_eq!(&fact.known, &packs::text::parse_fact(&value, plant::survey::def(id).kind).expect("valid"));
            let has_origin = fact.origin.by.is_some() && fact.origin.on.as_deref() == Some("2026-04-01");
            // The same value again keeps the origin that it has.
            assert!(has_origin == with_origin || (text == before && has_origin));
        }
        for line in FULL.lines().filter(|l| l.starts_with('#') || l.starts_with('[') || l.is_empty()) {
            assert!(text.lines().any(|l| l == line), "lost: {line}");
        }
        assert!(text.contains("# read twice"));
    }
}
