//! Settings and choices of a pack: what their rows build, and what must agree between them and the vocabulary.

use std::collections::HashMap;

use plant::choice::Choice;
use plant::quantity::unit_named;
use plant::settings::{Access, Definition, Form, Listed, Meaning, Raw, SETTABLE, Scale, Settable, Setting, Values, settable};

use super::Table;
use super::checks::named;
use crate::problem::{Sink, Wrong, did_you_mean, one_of};
use crate::record::Record;

type Rows<'r, 's> = Option<(&'r [Record], &'r Sink<'s>)>;

/// Builds the settings from their two tables; rows with a mistake are left out, and told by [`check`].
pub(super) fn settings(rows: Rows<'_, '_>, choices: Rows<'_, '_>) -> Vec<Setting> {
    let Some((rows, sink)) = rows else { return Vec::new() };
    let lists = lists(choices.map_or(&[], |(rows, _)| rows));
    rows.iter()
        .filter_map(|row| {
            let meaning = meaning(row, &lists).ok()?;
            let number = matches!(&meaning, Some(Meaning { values: Values::Number(_), .. }));
            Some(Setting {
                id: row.string("setting")?,
                text: row.string("text")?,
                default: default(row, number).ok()?,
                meaning,
                access: row.word::<Access>("access")?,
                object: row.text("object").and_then(object),
                data_type: row.word("data_type"),
                note: row.string("note").unwrap_or_default(),
                place: sink.place(row.at),
            })
        })
        .collect()
}

type Lists<'r> = HashMap<&'r str, Vec<&'r Record>>;

fn lists(rows: &[Record]) -> Lists<'_> {
    let mut lists: Lists<'_> = HashMap::new();
    for row in rows {
        if let Some(setting) = row.text("setting") {
            lists.entry(setting).or_default().push(row);
        }
    }
    lists
}

/// What a row means; `None` for one without concept. An error names the column before a colon.
fn meaning(row: &Record, lists: &Lists<'_>) -> Result<Option<Meaning>, Wrong> {
    let Some(id) = row.text("concept") else { return Ok(None) };
    let concept = settable(id).ok_or_else(|| {
        let known = if plant::vocabulary::find(id).is_some() { "can be set" } else { "concept" };
        let message = if known == "concept" {
            format!("concept: “{id}” is no concept")
        } else {
            format!("concept: “{id}” is nothing that can be set")
        };
        Wrong::new(message, did_you_mean(id, SETTABLE.iter().map(|s| s.id)))
    })?;
    let values = match concept.form {
        Form::Number(definitions) => Values::Number(scale(row, concept, definitions)?),
        Form::Words(_) => {
            let own = row.text("setting").and_then(|s| lists.get(s)).map_or(&[][..], Vec::as_slice);
            if own.is_empty() {
                return Err(Wrong::new("concept: this is a list, but choices.csv has none of its values", "give each value a row there"));
            }
            Values::Choice(own.iter().filter_map(|r| listed(r, concept)).collect())
        }
    };
    let number = row.whole("number").and_then(|n| u32::try_from(n).ok()).unwrap_or(1);
    Ok(Some(Meaning { concept, number, values }))
}

fn listed(row: &Record, concept: &Settable) -> Option<Listed> {
    let word = row.text("meaning").and_then(|word| concept.words().iter().find(|w| w.word == word)).map(|w| w.word);
    Some(Listed { value: row.string("value")?, text: row.string("text")?, word })
}

fn scale(row: &Record, concept: &Settable, definitions: &'static [Definition]) -> Result<Scale, Wrong> {
    let words = || one_of(definitions.iter().map(|d| d.word()));
    let definition = match (row.word::<Definition>("definition"), definitions) {
        (Some(one), _) if definitions.contains(&one) => one,
        (Some(one), _) => {
            return Err(Wrong::new(format!("definition: {} is not defined “{}”", concept.id, one.word()), words()));
        }
        (None, [only]) => *only,
        (None, _) => return Err(Wrong::new("definition: this cell is blank, but the number may mean several things", words())),
    };
    let Some(of) = concept.dimension() else { return Err(Wrong::new("concept: it has no dimension", "")) };
    let own = definition.dimension(of);
    let written = row.text("unit").unwrap_or_default();
    let unit = unit_named(own, written).ok_or_else(|| {
        let units = own.units.iter().map(|u| if u.symbol.is_empty() { "(blank)" } else { u.symbol });
        Wrong::new(format!("unit: “{written}” is no unit of {}, which “{}” asks for", own.name, definition.word()), one_of(units))
    })?;
    let step = row
        .number("step")
        .filter(|s| *s > 0.0)
        .ok_or_else(|| Wrong::new("step: a number has a smallest change above zero", "write it in the column step"))?;
    let bound = |key: &str| row.text(key).map(|text| plain(key, text)).transpose();
    let range = match (bound("lowest")?, bound("highest")?) {
        (Some(low), Some(high)) if low > high => return Err(Wrong::new("highest: it lies below the lowest", "")),
        (Some(low), Some(high)) => Some((low, high)),
        (None, None) => None,
        _ => return Err(Wrong::new("lowest: one end of the range is blank", "write both ends, or neither")),
    };
    let counts = row.number("counts").filter(|c| *c > 0.0).unwrap_or(1.0 / step);
    let scale = Scale { definition, unit, step, range, counts };
    if let (Some(Raw::Number(value)), Some((low, high))) = (default(row, true)?, range)
        && (value < low - step * 1e-6 || value > high + step * 1e-6)
    {
        return Err(Wrong::new("default: it lies outside the range", ""));
    }
    Ok(scale)
}

fn default(row: &Record, number: bool) -> Result<Option<Raw>, Wrong> {
    match row.text("default") {
        None => Ok(None),
        Some(text) if number => plain("default", text).map(Raw::Number).map(Some),
        Some(text) => Ok(Some(Raw::Text(text.to_owned()))),
    }
}

/// A plain number with sign, without unit and thousands.
fn plain(key: &str, text: &str) -> Result<f64, Wrong> {
    let bare = text.bytes().all(|b| b.is_ascii_digit() || matches!(b, b'.' | b'+' | b'-'));
    let value = if bare { text.parse::<f64>().ok().filter(|v| v.is_finite()) } else { None };
    value.ok_or_else(|| Wrong::new(format!("{key}: “{text}” is no plain number"), "write 1250.5 or -10, in the unit of the column unit"))
}

/// Index and subindex: hexadecimal, apart by a colon, as CiA 306 writes them: "2000:0C".
fn object(text: &str) -> Option<(u16, u8)> {
    let (index, sub) = text.split_once(':').unwrap_or((text, "0"));
    let hex = |t: &str| t.trim().trim_start_matches("0x").trim_end_matches(['h', 'H']).to_owned();
    Some((u16::from_str_radix(&hex(index), 16).ok()?, u8::from_str_radix(&hex(sub), 16).ok()?))
}

/// Both tables against each other and the vocabulary.
pub(super) fn check(tables: &mut [Table<'_>]) {
    let choices: Vec<Record> = named(tables, "choices").map(|t| t.rows.clone()).unwrap_or_default();
    let choices_whole = named(tables, "choices").is_none_or(|t| !t.gaps);
    let lists = lists(&choices);
    let mut concepts: HashMap<String, &'static Settable> = HashMap::new();
    if let Some(Table { sink, rows, .. }) = named(tables, "settings") {
        let mut seen: HashMap<(&'static str, u32), u32> = HashMap::new();
        let mut objects: HashMap<(u16, u8), u32> = HashMap::new();
        for row in rows.iter() {
            if let Some(text) = row.text("object") {
                match object(text) {
                    None => sink.error(
                        row.at("object"),
                        format!("object: “{text}” is no index"),
                        "write index and subindex in hexadecimal: 2000:0C",
                    ),
                    Some(object) => {
                        if let Some(line) = objects.insert(object, sink.place(row.at).line) {
                            sink.error(row.at("object"), format!("object: “{text}” stands twice"), format!("it is also on line {line}"));
                        }
                    }
                }
            }
            if let (Some(id), Some(concept)) = (row.string("setting"), row.text("concept").and_then(settable)) {
                concepts.insert(id, concept);
            }
            match meaning(row, &lists) {
                // What choices.csv does not say may only be unread.
                Err(wrong) if choices_whole || !wrong.message.contains("choices.csv") => {
                    let column = wrong.message.split_once(':').map_or("setting", |(key, _)| key).to_owned();
                    sink.error(row.at(&column), wrong.message, wrong.help);
                }
                Err(_) => {}
                Ok(Some(meaning)) => {
                    let at = sink.place(row.at).line;
                    if let Some(line) = seen.insert((meaning.concept.id, meaning.number), at) {
                        sink.error(
                            row.at("concept"),
                            format!("concept: {} number {} stands twice", meaning.concept.id, meaning.number),
                            format!("it is also on line {line}; give them numbers"),
                        );
                    }
                    if let (Values::Choice(list), Some(default)) = (&meaning.values, row.text("default"))
                        && list.iter().all(|c| c.value != default)
                    {
                        sink.error(
                            row.at("default"),
                            format!("default: “{default}” is none of its values"),
                            did_you_mean(default, list.iter().map(|c| c.value.as_str())),
                        );
                    }
                }
                Ok(None) => {
                    if let Err(wrong) = default(row, false) {
                        sink.error(row.at("default"), wrong.message, wrong.help);
                    }
                }
            }
        }
    }
    let Some(Table { sink, rows, .. }) = named(tables, "choices") else { return };
    for row in rows.iter() {
        let (Some(setting), Some(word)) = (row.text("setting"), row.text("meaning")) else { continue };
        let Some(concept) = concepts.get(setting) else {
            sink.error(
                row.at("meaning"),
                format!("meaning: “{setting}” has no concept to have words of"),
                "give it one in settings.csv, or leave this cell blank",
            );
            continue;
        };
        if concept.words().iter().all(|w| w.word != word) {
            let help = if concept.words().is_empty() {
                "this setting is a number".into()
            } else {
                did_you_mean(word, concept.words().iter().map(|w| w.word))
            };
            sink.error(row.at("meaning"), format!("meaning: “{word}” is no word of {}", concept.id), help);
        }
    }
}
