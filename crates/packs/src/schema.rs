//! JSON Schemas (draft-07, as TOML language servers take them) of the files, made from their shapes. They know the
//! exact spellings of units only; the reader also takes other cases where one unit alone fits.

use std::collections::BTreeSet;

use plant::choice::ChoiceInfo;
use plant::quantity::DimensionInfo;
use plant::survey::{self, FactDef};
use serde_json::{Map, Value, json};

use crate::shape::{Field, FileKind, Kind, Shape, origin, pack_tables, shape};

/// The schema of a kind of file. That of a pack also describes the columns of its tables, below `definitions`.
#[must_use]
pub fn json_schema(kind: FileKind) -> Value {
    let mut definitions = Map::new();
    let mut schema = table(shape(kind), &mut definitions);
    if kind == FileKind::Pack {
        for table in pack_tables() {
            let columns: Map<String, Value> = table.shape.fields.iter().map(|f| (f.key.to_owned(), column(f))).collect();
            let required: Vec<&str> = table.shape.fields.iter().filter(|f| f.required).map(|f| f.key).collect();
            let text = format!("{} Columns of {}.", table.shape.doc, table.shape.name);
            definitions.insert(
                table.shape.name.to_owned(),
                json!({ "description": text, "type": "object", "properties": columns, "required": required }),
            );
        }
    }
    let head = [
        ("$schema", json!("http://json-schema.org/draft-07/schema#")),
        ("title", json!(shape(kind).name)),
        ("definitions", Value::Object(definitions)),
    ];
    if let Value::Object(map) = &mut schema {
        map.extend(head.map(|(key, value)| (key.to_owned(), value)));
    }
    schema
}

fn table(shape: &Shape, definitions: &mut Map<String, Value>) -> Value {
    let properties: Map<String, Value> = shape.fields.iter().map(|f| (f.key.to_owned(), field(f, definitions))).collect();
    let required: Vec<&str> = shape.fields.iter().filter(|f| f.required).map(|f| f.key).collect();
    json!({ "type": "object", "description": shape.doc, "properties": properties, "required": required, "additionalProperties": false })
}

fn field(field: &Field, definitions: &mut Map<String, Value>) -> Value {
    let mut schema = match &field.kind {
        Kind::Schema => json!({ "const": crate::SCHEMA }),
        Kind::Text | Kind::Characters | Kind::AnyQuantity => json!({ "type": "string" }),
        Kind::Name => json!({ "type": "string", "maxLength": 120 }),
        Kind::FileName => json!({ "type": "string", "pattern": "^[^./\\\\:*?\"<>|][^/\\\\:*?\"<>|]*$", "maxLength": 120 }),
        Kind::Flag => json!({ "type": "boolean" }),
        Kind::Number => json!({ "type": "number", "minimum": 0 }),
        Kind::Whole => json!({ "type": "integer", "minimum": 1 }),
        Kind::Date => json!({ "type": "string", "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$" }),
        Kind::Word(info) => json!({ "enum": words(info) }),
        Kind::Quantity { info, .. } => shared(&format!("quantity: {}", info.name), definitions, |_| quantity(info)),
        Kind::Fact(def) => shared(&format!("fact: {}", def.kind.name()), definitions, |definitions| fact(def, definitions)),
        Kind::AnyFact => json!({ "type": ["string", "number"] }),
        Kind::Texts => json!({ "type": "array", "items": { "type": "string" } }),
        Kind::Words(info) => json!({ "type": "array", "items": { "enum": words(info) } }),
        Kind::Table(shape) => table(shape, definitions),
        Kind::Rows(shape, most) => json!({ "type": "array", "items": table(shape, definitions), "maxItems": most }),
    };
    if let Value::Object(map) = &mut schema {
        map.insert("description".into(), describe(field).into());
    }
    schema
}

/// What an editor shows beside a key: its meaning, what finding it out takes, what its words mean.
fn describe(field: &Field) -> String {
    let mut text = field.doc.to_owned();
    let mut add = |more: &str| {
        text.push_str(if text.ends_with('.') { " " } else { ". " });
        text.push_str(more);
    };
    let meanings = |info: &ChoiceInfo| info.words.iter().map(|w| format!("\n{}: {}", w.word, w.doc)).collect::<String>();
    match &field.kind {
        Kind::Fact(def) => {
            let sentence = |t: &str| {
                format!(
                    "{}{}.",
                    t.chars().next().map(|c| c.to_uppercase().to_string()).unwrap_or_default(),
                    t.chars().skip(1).collect::<String>()
                )
            };
            add(&sentence(def.effort.words()));
            match def.kind {
                survey::Kind::Choice(info) => add(&meanings(info)),
                survey::Kind::Quantity(info) => {
                    add(&format!("{}, for example \"{}\".", sentence(info.name).trim_end_matches('.'), field.example()))
                }
            }
        }
        Kind::Word(info) | Kind::Words(info) => add(&meanings(info)),
        Kind::Quantity { .. } => add(&format!("For example \"{}\".", field.example())),
        _ => {}
    }
    text
}

/// Puts a schema that many keys use under `definitions`, and refers to it (draft-07 ignores what stands beside `$ref`).
fn shared(name: &str, definitions: &mut Map<String, Value>, make: impl FnOnce(&mut Map<String, Value>) -> Value) -> Value {
    let name = name.replace([' ', ':'], "-").replace("--", "-");
    if !definitions.contains_key(&name) {
        definitions.insert(name.clone(), Value::Null);
        let made = make(definitions);
        definitions.insert(name.clone(), made);
    }
    json!({ "allOf": [{ "$ref": format!("#/definitions/{name}") }] })
}

fn words(info: &ChoiceInfo) -> Vec<&'static str> {
    info.words.iter().map(|w| w.word).collect()
}

/// True when a bare number is a value of the dimension.
fn is_bare(info: &DimensionInfo) -> bool {
    plant::quantity::unit_named(info, "").is_some()
}

fn quantity(info: &DimensionInfo) -> Value {
    let text = json!({ "type": "string", "pattern": format!("^\\s*{}\\s*$", one(info)) });
    if is_bare(info) { json!({ "anyOf": [text, { "type": "number" }] }) } else { text }
}

fn fact(def: &FactDef, definitions: &mut Map<String, Value>) -> Value {
    let mut forms = Vec::new();
    match def.kind {
        survey::Kind::Choice(info) => {
            let any = words(info).join("|");
            let listed: BTreeSet<&str> = words(info).into_iter().chain(["?"]).collect();
            forms.push(json!({ "enum": words(info).into_iter().chain(["?"]).collect::<Vec<_>>() }));
            debug_assert_eq!(listed.len(), info.words.len() + 1);
            forms.push(json!({ "type": "string", "pattern": format!("^\\s*({any})(\\s*\\|\\s*({any}))+\\s*$") }));
        }
        survey::Kind::Quantity(info) => {
            let (one, number) = (one(info), NUMBER);
            let pattern = format!("^\\s*(\\?|{one}|({number}|{one})\\s*\\.\\.\\s*{one}|{one}(\\s*\\|\\s*{one})+)\\s*$");
            forms.push(json!({ "type": "string", "pattern": pattern }));
            if is_bare(info) {
                forms.push(json!({ "type": "number" }));
            }
        }
    }
    let mut long = table(origin(), definitions);
    if let Value::Object(map) = &mut long {
        let value = json!({ "anyOf": forms, "description": "The value, as in the short form." });
        map.entry("properties").and_modify(|p| p["value"] = value);
    }
    forms.push(long);
    json!({ "anyOf": forms })
}

const NUMBER: &str = "[-+]?([0-9][0-9,]*(\\.[0-9]*)?|\\.[0-9]+)([eE][-+]?[0-9]+)?";

/// The pattern of one number with its unit.
fn one(info: &DimensionInfo) -> String {
    let escape = |text: &str| {
        text.chars()
            .map(|c| {
                if c.is_ascii_punctuation() && c != '"' && c != '\'' && c != '%' && c != '/' && c != '-' {
                    format!("\\{c}")
                } else {
                    c.to_string()
                }
            })
            .collect::<String>()
    };
    let spellings: BTreeSet<&str> =
        info.units.iter().flat_map(|u| std::iter::once(&u.symbol).chain(u.aliases)).copied().filter(|s| !s.is_empty()).collect();
    let units: Vec<String> = spellings.into_iter().map(escape).collect();
    let optional = if is_bare(info) { "?" } else { "" };
    let quantity = format!("{NUMBER}\\s*({}){optional}", units.join("|"));
    if info.name == "area" { format!("({quantity}|#?([1-4]/0|0{{1,4}}|[1-9]|[1-3][0-9]|40)\\s*AWG)") } else { quantity }
}

fn column(field: &Field) -> Value {
    let text = format!("{} ({}{})", describe(field), field.kind.name(), if field.required { "" } else { ", may be blank" });
    json!({ "type": "string", "description": text })
}
