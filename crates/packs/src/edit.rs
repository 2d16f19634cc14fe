//! Writes single facts and decisions into a person's file and leaves every other byte as it stands: comments, order,
//! spaces and line ends.

use std::collections::BTreeMap;

use plant::choice::Choice;
use plant::decision::{Accepted, Chosen};
use plant::fact::Origin;
use plant::survey::def;
use toml_edit::{ArrayOfTables, DocumentMut, InlineTable, Item, Table, TableLike, Value};

use crate::SCHEMA;
use crate::problem::{Problem, Severity, Wrong, one_of};
use crate::record::scalar;
use crate::shape::Kind;
use crate::source::Source;
use crate::text::{fact_id, parse_fact_of};

/// Writes one fact (`motor.current`, `duty[2].torque`) into the text of a position, or of a site where it is a fact of
/// the whole plant. The value is checked first. A fact in short form stays short unless an origin is given. An origin
/// speaks of one reading, so a new value without one takes the old origin away; the same value again changes nothing.
///
/// # Errors
/// When the path or the value is wrong, the text does not parse, or the row of the duty table does not exist.
pub fn record(source: &Source, path: &str, value: &str, origin: Option<&Origin>) -> Result<String, Problem> {
    let at_path = |wrong: Wrong| refuse(source, format!("{path}: {}", wrong.message), wrong.help);
    let id = fact_id(path).map_err(at_path)?;
    let value = value.trim();
    parse_fact_of(value, def(id)).map_err(at_path)?;
    origin.map_or(Ok(()), check_origin).map_err(at_path)?;
    edit(source, |document| {
        let (table, key) = (def(id).table(), def(id).key());
        let row = path.strip_prefix("duty[").and_then(|p| p.split(']').next()).and_then(|n| n.parse::<usize>().ok());
        let holder = match row {
            Some(row) => {
                duty_row(document, row).ok_or_else(|| Wrong::new(format!("the duty table has no row {row}"), "add the row by hand"))?
            }
            None => table_named(document, table).ok_or_else(|| Wrong::new(format!("“{table}” is no table in this file"), ""))?,
        };
        put(holder, key, value, origin);
        Ok(())
    })
    .map_err(at_path)
}

/// Texts of a position that are no facts and that [`set_text`] writes.
pub const TEXTS: &[&str] = &["machine", "old.series", "old.code", "place.supply", "place.box"];

/// Writes one of [`TEXTS`] into the text of a position; an empty value takes the key out.
///
/// # Errors
/// When the path is none of them, or the text does not parse.
pub fn set_text(source: &Source, path: &str, value: &str) -> Result<String, Problem> {
    let at_path = |wrong: Wrong| refuse(source, format!("{path}: {}", wrong.message), wrong.help);
    if !TEXTS.contains(&path) {
        return Err(at_path(Wrong::new("this is no text of a position", one_of(TEXTS.iter().copied()))));
    }
    let value = value.trim();
    edit(source, |document| {
        let (holder, key): (&mut dyn TableLike, &str) = match path.split_once('.') {
            Some((table, _)) if value.is_empty() && document.get(table).is_none() => return Ok(()),
            Some((table, key)) => {
                (table_named(document, table).ok_or_else(|| Wrong::new(format!("“{table}” is no table in this file"), ""))?, key)
            }
            None => (document.as_table_mut(), path),
        };
        if value.is_empty() {
            drop(holder.remove(key))
        } else {
            put_text(holder, key, value)
        }
        Ok(())
    })
    .map_err(at_path)
}

/// The values of facts and texts as they are written in the text of a position or site, by path ("motor.power": "40 hp"); what
/// cannot be read as a whole has none.
#[must_use]
pub fn written(source: &Source) -> BTreeMap<String, String> {
    let Ok(document) = source.text().trim_start_matches('\u{feff}').parse::<DocumentMut>() else { return BTreeMap::new() };
    let text = |item: &Item| item.as_str().or_else(|| item.as_table_like()?.get("value")?.as_str()).map(str::to_owned);
    let mut found = BTreeMap::new();
    for (key, item) in document.iter() {
        if let Some(text) = item.as_str() {
            found.insert(key.to_owned(), text.to_owned());
        }
        for (inner, item) in item.as_table_like().into_iter().flat_map(|t| t.iter()) {
            found.extend(text(item).map(|text| (format!("{key}.{inner}"), text)));
        }
    }
    found
}

/// Writes a choice into the text of `decisions.toml` (which may be empty); one for the same position replaces the former.
///
/// # Errors
/// When the text does not parse.
pub fn choose(source: &Source, chosen: &Chosen) -> Result<String, Problem> {
    let keys = [("tag", &chosen.tag), ("candidate", &chosen.candidate), ("by", &chosen.by), ("on", &chosen.on)];
    upsert(source, "chosen", &["tag"], &keys.map(|(k, v)| (k, v.as_str())))
}

/// Writes an accepted deviation into the text of `decisions.toml` (which may be empty); one of the same finding of the
/// same position replaces the former.
///
/// # Errors
/// When the text does not parse.
pub fn accept(source: &Source, accepted: &Accepted) -> Result<String, Problem> {
    let keys =
        [("tag", &accepted.tag), ("finding", &accepted.finding), ("by", &accepted.by), ("reason", &accepted.reason), ("on", &accepted.on)];
    upsert(source, "accepted", &["tag", "finding"], &keys.map(|(k, v)| (k, v.as_str())))
}

/// Appends a reading to the text of `decisions.toml` (which may be empty).
///
/// # Errors
/// When the path or the value is wrong, or the text does not parse.
pub fn add_reading(source: &Source, tag: &str, path: &str, value: &str, origin: &Origin) -> Result<String, Problem> {
    let at_path = |wrong: Wrong| refuse(source, format!("{path}: {}", wrong.message), wrong.help);
    let id = fact_id(path).map_err(at_path)?;
    if parse_fact_of(value, def(id)).map_err(at_path)? == plant::fact::Known::Missing {
        return Err(at_path(Wrong::new("a reading says what was read", "")));
    }
    check_origin(origin).map_err(at_path)?;
    let mut keys = vec![("tag", tag), ("fact", path), ("value", value.trim())];
    keys.extend(origin_keys(origin).into_iter().filter_map(|(key, text)| text.map(|t| (key, t))));
    upsert(source, "readings", &[], &keys)
}

/// Writes a tick into the text of `cutover/TAG.toml` (which may be empty); one for the same task replaces the former in its place.
///
/// # Errors
/// When the text does not parse.
pub fn add_tick(source: &Source, task: &str, at: &str, by: &str, note: Option<&str>) -> Result<String, Problem> {
    let mut keys = vec![("task", task), ("at", at), ("by", by)];
    keys.extend(note.map(|note| ("note", note)));
    upsert(source, "ticks", &["task"], &keys)
}

fn refuse(source: &Source, message: String, help: String) -> Problem {
    Problem { help, ..Problem::new(Severity::Error, source.name().clone(), message) }
}

fn check_origin(origin: &Origin) -> Result<(), Wrong> {
    origin.on.as_deref().map_or(Ok(()), |on| scalar(&Kind::Date, on).map(|_| ()))
}

fn origin_keys(origin: &Origin) -> [(&'static str, Option<&str>); 4] {
    [
        ("from", origin.kind.map(Choice::word)),
        ("by", origin.by.as_deref()),
        ("on", origin.on.as_deref()),
        ("proof", origin.proof.as_deref()),
    ]
}

/// Applies a change to the parsed text. The TOML library writes plain line ends, so those of the text are put back.
fn edit(source: &Source, change: impl FnOnce(&mut DocumentMut) -> Result<(), Wrong>) -> Result<String, Wrong> {
    const BOM: char = '\u{feff}';
    let bom = source.text().starts_with(BOM);
    let text = source.text().trim_start_matches(BOM);
    let windows = text.contains("\r\n");
    let plain = if windows { text.replace("\r\n", "\n") } else { text.to_owned() };
    let unended = !plain.is_empty() && !plain.ends_with('\n');
    let mut document: DocumentMut = plain.parse().map_err(|e: toml_edit::TomlError| {
        Wrong::new(format!("the file cannot be read ({})", e.message()), "correct it first; nothing was written")
    })?;
    change(&mut document)?;
    let mut text = document.to_string();
    if unended && text.ends_with('\n') {
        text.pop();
    }
    let text = if windows { text.replace('\n', "\r\n") } else { text };
    Ok(if bom { format!("{BOM}{text}") } else { text })
}

fn table_named<'d>(document: &'d mut DocumentMut, name: &str) -> Option<&'d mut dyn TableLike> {
    document.entry(name).or_insert_with(|| Item::Table(Table::new())).as_table_like_mut()
}

fn duty_row(document: &mut DocumentMut, row: usize) -> Option<&mut dyn TableLike> {
    let index = row.checked_sub(1)?;
    match document.get_mut("duty")? {
        Item::ArrayOfTables(rows) => rows.get_mut(index).map(|t| t as &mut dyn TableLike),
        Item::Value(Value::Array(rows)) => rows.get_mut(index)?.as_inline_table_mut().map(|t| t as &mut dyn TableLike),
        _ => None,
    }
}

fn put(table: &mut dyn TableLike, key: &str, value: &str, origin: Option<&Origin>) {
    let origin = origin.filter(|o| origin_keys(o).iter().any(|(_, text)| text.is_some()));
    match table.get_mut(key) {
        Some(Item::Value(Value::InlineTable(long))) => {
            // The space before the closing brace belongs to the last value, which may become another one.
            let end = swap_end(long, "".into());
            put_long(long, value, origin);
            swap_end(long, end);
            return;
        }
        Some(item) => {
            if let Some(long) = item.as_table_like_mut() {
                return put_long(long, value, origin);
            }
        }
        None => {}
    }
    let Some(origin) = origin else { return put_text(table, key, value) };
    let mut long = InlineTable::new();
    long.insert("value", value.into());
    for (key, text) in origin_keys(origin) {
        if let Some(text) = text {
            long.insert(key, literal(key, text));
        }
    }
    put_value(table, key, Value::InlineTable(long));
}

/// Sets the value and the origin of a long form.
fn put_long(long: &mut dyn TableLike, value: &str, origin: Option<&Origin>) {
    let same = long.get("value").and_then(Item::as_str) == Some(value);
    put_text(long, "value", value);
    if same && origin.is_none() {
        return;
    }
    for (key, text) in origin_keys(origin.unwrap_or(&Origin::default())) {
        match text {
            Some(text) => put_text(long, key, text),
            None => drop(long.remove(key)),
        }
    }
}

/// Puts other space behind the last value of an inline table; returns what was there.
fn swap_end(table: &mut InlineTable, end: toml_edit::RawString) -> toml_edit::RawString {
    let Some((_, last)) = table.iter_mut().last() else { return end };
    let old = last.decor().suffix().cloned().unwrap_or_else(|| " ".into());
    last.decor_mut().set_suffix(end);
    old
}

fn put_text(table: &mut dyn TableLike, key: &str, text: &str) {
    put_value(table, key, literal(key, text));
}

/// Dates as TOML dates, everything else as text.
fn literal(key: &str, text: &str) -> Value {
    match (key, text.parse()) {
        ("on", Ok(date)) => Value::Datetime(toml_edit::Formatted::new(date)),
        _ => text.into(),
    }
}

/// Sets a value; spaces and comments around the old one stay.
fn put_value(table: &mut dyn TableLike, key: &str, mut value: Value) {
    match table.get_mut(key) {
        Some(Item::Value(old)) => {
            if old.as_str().is_some() && old.as_str() == value.as_str() {
                return;
            }
            *value.decor_mut() = old.decor().clone();
            *old = value;
        }
        Some(other) => *other = Item::Value(value),
        None => {
            table.insert(key, Item::Value(value));
        }
    }
}

/// Sets the keys of the row of `[[list]]` that has the same identity, or appends a row.
fn upsert(source: &Source, list: &str, identity: &[&str], keys: &[(&str, &str)]) -> Result<String, Problem> {
    let blank = source.text().trim().is_empty();
    let start = if blank { Source::new(source.name().clone(), format!("schema = {SCHEMA}\n")) } else { source.clone() };
    edit(&start, |document| {
        let item = document.entry(list).or_insert_with(|| Item::ArrayOfTables(ArrayOfTables::new()));
        let same = |table: &dyn TableLike| {
            !identity.is_empty()
                && identity.iter().all(|id| {
                    let own = table.get(id).and_then(Item::as_str);
                    own.is_some() && own == keys.iter().find(|(k, _)| k == id).map(|(_, v)| *v)
                })
        };
        match item {
            Item::ArrayOfTables(rows) => {
                if let Some(row) = rows.iter_mut().find(|t| same(*t)) {
                    keys.iter().for_each(|(key, text)| put_text(row, key, text));
                    return Ok(());
                }
                let mut row = Table::new();
                keys.iter().for_each(|(key, text)| put_text(&mut row, key, text));
                rows.push(row);
            }
            Item::Value(Value::Array(rows)) => {
                if let Some(row) = rows.iter_mut().filter_map(Value::as_inline_table_mut).find(|t| same(*t)) {
                    keys.iter().for_each(|(key, text)| put_text(row, key, text));
                    return Ok(());
                }
                let mut row = InlineTable::new();
                keys.iter().for_each(|(key, text)| put_text(&mut row, key, text));
                rows.push(row);
            }
            _ => return Err(Wrong::new(format!("“{list}” is no list of tables in this file"), "correct it first; nothing was written")),
        }
        Ok(())
    })
    .map_err(|wrong| refuse(source, wrong.message, wrong.help))
}
