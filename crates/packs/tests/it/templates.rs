//! New files read as far as they are filled, and the schemas describe the files that the readers take.

use packs::{FileKind, NewFile, Problem, json_schema, new_pack, new_position, new_site, read_decisions, read_position, read_site};
use serde_json::{Map, Value};
use toml_edit::{Document, Item};

use crate::common::{DECISIONS, FULL, SITE, SPARSE, pack, quellmoor, shown, source, tarnfeld};

fn text<'f>(files: &'f [NewFile], path: &str) -> &'f str {
    files.iter().find(|f| f.path == path).map_or_else(|| panic!("{path} is not laid out"), |f| f.text.as_str())
}

#[test]
fn a_new_site_reads_without_a_problem() {
    let files = new_site("Mill \"3\"", "2026-04-01");
    let read = read_site(&source("site.toml", text(&files, "site.toml")));
    assert_eq!(shown(&read.problems), "");
    assert_eq!(read.value.expect("read").name, "Mill \"3\"");
    assert_eq!(shown(&read_decisions(&source("decisions.toml", text(&files, "decisions.toml"))).problems), "");
    for kind in FileKind::ALL {
        let schema: Value = serde_json::from_str(text(&files, &format!("schemas/{}.schema.json", kind.word()))).expect("JSON");
        assert_eq!(schema, json_schema(kind));
    }
}

#[test]
fn a_new_position_reads_with_every_fact_asked_for() {
    let file = new_position("BE-101");
    assert_eq!(file.path, "positions/BE-101.toml");
    let read = read_position(&source(&file.path, &file.text));
    assert_eq!(shown(&read.problems), "");
    let position = read.value.expect("read").position;
    assert!(position.facts.iter().all(|f| f.is_missing() && f.origin.place.line > 0), "each fact has a line of its own");
}

#[test]
fn what_a_template_shows_as_comment_reads_when_it_is_taken_in() {
    // A line "#key = example" or "#[table]" is a comment only until the surveyor needs it.
    let taken_in = |text: &str| -> String {
        text.lines()
            .map(|l| {
                if l.starts_with('#') && !l.starts_with("# ") && !l.starts_with("#:") { format!("{}\n", &l[1..]) } else { format!("{l}\n") }
            })
            .collect()
    };
    let site = new_site("Mill 3", "2026-04-01");
    assert_eq!(shown(&read_site(&source("site.toml", &taken_in(text(&site, "site.toml")))).problems), "");
    assert_eq!(shown(&read_decisions(&source("decisions.toml", &taken_in(text(&site, "decisions.toml")))).problems), "");
    let position = taken_in(&new_position("BE-101").text);
    assert_eq!(shown(&read_position(&source("positions/BE-101.toml", &position)).problems), "");
}

fn pack_texts(files: &[NewFile], folder: &str) -> Vec<(String, String)> {
    files.iter().map(|f| (f.path.strip_prefix(folder).expect("in the folder").to_owned(), f.text.clone())).collect()
}

#[test]
fn a_new_pack_tells_what_is_still_to_fill_in_and_nothing_else() {
    let files = new_pack("heron");
    assert!(files.iter().all(|f| f.path.starts_with("packs/heron/")) && files.len() == 26);
    let problems = pack(&pack_texts(&files, "packs/heron/"), "heron").problems;
    let to_fill = |p: &Problem| {
        [
            "blank",
            "none is named",
            "list is empty",
            "has no rows",
            "does not start with a number",
            "no way to combine",
            "no supply grounding is named",
        ]
        .iter()
        .any(|w| p.message.contains(w))
    };
    assert!(problems.iter().all(to_fill), "{}", shown(&problems));
    assert_eq!(problems.len(), 14, "{}", shown(&problems));
    let columns = text(&files, "packs/heron/COLUMNS.md");
    assert!(columns.contains("| short_circuit_rating | electric current | 100 kA |"), "{columns}");
}

/// A TOML item as JSON, dates as text.
fn json(item: &Item) -> Value {
    let table = |t: &dyn toml_edit::TableLike| Value::Object(t.iter().map(|(k, v)| (k.to_owned(), json(v))).collect());
    let value = |v: &toml_edit::Value| json(&Item::Value(v.clone()));
    match item {
        Item::Value(toml_edit::Value::String(s)) => s.value().as_str().into(),
        Item::Value(toml_edit::Value::Integer(n)) => (*n.value()).into(),
        Item::Value(toml_edit::Value::Float(n)) => (*n.value()).into(),
        Item::Value(toml_edit::Value::Boolean(b)) => (*b.value()).into(),
        Item::Value(toml_edit::Value::Datetime(d)) => d.value().to_string().into(),
        Item::Value(toml_edit::Value::Array(a)) => a.iter().map(value).collect(),
        Item::Value(toml_edit::Value::InlineTable(t)) => table(t),
        Item::Table(t) => table(t),
        Item::ArrayOfTables(a) => a.iter().map(|t| table(t)).collect(),
        Item::None => Value::Null,
    }
}

/// Checks a value against a schema, patterns aside (they are checked from outside, by another program).
fn fits(value: &Value, schema: &Value, root: &Value) -> Result<(), String> {
    let Some(schema) = schema.as_object() else { return Err("no schema".into()) };
    let fail = |what: &str| Err(format!("{what}: {value}"));
    for (word, rule) in schema {
        match (word.as_str(), rule) {
            ("$ref", Value::String(path)) => {
                let target = root.pointer(path.trim_start_matches('#')).ok_or_else(|| format!("{path} leads nowhere"))?;
                fits(value, target, root)?;
            }
            ("allOf", Value::Array(all)) => all.iter().try_for_each(|s| fits(value, s, root))?,
            ("anyOf", Value::Array(any)) if !any.iter().any(|s| fits(value, s, root).is_ok()) => return fail("fits none"),
            ("const", wanted) if value != wanted => return fail("is another value"),
            ("enum", Value::Array(words)) if !words.contains(value) => return fail("is none of the words"),
            ("type", rule) => {
                let is = |name: &str| match name {
                    "object" => value.is_object(),
                    "array" => value.is_array(),
                    "string" => value.is_string(),
                    "boolean" => value.is_boolean(),
                    "integer" => value.is_i64() || value.is_u64(),
                    _ => value.is_number(),
                };
                let names: Vec<&str> =
                    rule.as_array().map_or_else(|| rule.as_str().into_iter().collect(), |a| a.iter().filter_map(Value::as_str).collect());
                if !names.iter().any(|n| is(n)) {
                    return fail("is of another type");
                }
            }
            ("required", Value::Array(keys)) => {
                let missing = keys.iter().filter_map(Value::as_str).find(|k| value.as_object().is_some_and(|o| !o.contains_key(*k)));
                if let Some(key) = missing {
                    return Err(format!("{key} is missing"));
                }
            }
            ("properties", Value::Object(known)) => {
                let own = value.as_object().cloned().unwrap_or_else(Map::new);
                for (key, value) in own {
                    match known.get(&key) {
                        Some(rule) => fits(&value, rule, root).map_err(|e| format!("{key}: {e}"))?,
                        None if schema.get("additionalProperties") == Some(&Value::Bool(false)) => {
                            return Err(format!("{key} is not described"));
                        }
                        None => {}
                    }
                }
            }
            ("items", rule) => value.as_array().into_iter().flatten().try_for_each(|v| fits(v, rule, root))?,
            ("minimum", Value::Number(least)) if value.as_f64().zip(least.as_f64()).is_some_and(|(v, l)| v < l) => {
                return fail("is too small");
            }
            _ => {}
        }
    }
    Ok(())
}

fn validate(kind: FileKind, text: &str) -> Result<(), String> {
    let document = Document::parse(text.to_owned()).expect("TOML");
    let schema = json_schema(kind);
    fits(&json(document.as_item()), &schema, &schema)
}

#[test]
fn fixtures_and_new_files_fit_the_schemas() {
    let site = new_site("Mill 3", "2026-04-01");
    let main = |texts: Vec<(String, String)>| texts.into_iter().find(|(n, _)| n == "pack.toml").expect("there").1;
    for (kind, text) in [
        (FileKind::Site, SITE),
        (FileKind::Site, text(&site, "site.toml")),
        (FileKind::Position, FULL),
        (FileKind::Position, SPARSE),
        (FileKind::Position, &new_position("BE-101").text),
        (FileKind::Decisions, DECISIONS),
        (FileKind::Decisions, text(&site, "decisions.toml")),
        (FileKind::Pack, &main(quellmoor())),
        (FileKind::Pack, &main(tarnfeld())),
    ] {
        assert_eq!(validate(kind, text), Ok(()), "{kind:?}\n{text}");
    }
    assert!(validate(FileKind::Position, &FULL.replace("count = 1", "cuont = 1")).is_err_and(|e| e.contains("cuont")));
    assert!(validate(FileKind::Position, &FULL.replace("tag = ", "# tag = ")).is_err_and(|e| e.contains("tag is missing")));
    assert!(validate(FileKind::Site, &SITE.replace("\"nec\"", "\"nek\"")).is_err());
}

#[test]
fn schemas_explain_every_key_and_every_column() {
    fn walk(value: &Value, path: &str) {
        if let Some(properties) = value.get("properties").and_then(Value::as_object) {
            for (key, rule) in properties {
                let path = format!("{path}.{key}");
                assert!(rule.get("description").and_then(Value::as_str).is_some_and(|d| !d.is_empty()), "{path}");
                walk(rule, &path);
                rule.get("items").into_iter().for_each(|items| walk(items, &path));
            }
        }
        value.get("definitions").and_then(Value::as_object).into_iter().flatten().for_each(|(name, rule)| walk(rule, name));
    }
    FileKind::ALL.into_iter().for_each(|kind| walk(&json_schema(kind), kind.word()));
    assert!(json_schema(FileKind::Pack)["definitions"]["ratings.csv"]["properties"]["current"]["description"].is_string());
}
