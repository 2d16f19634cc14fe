//! TOML texts into [`Record`]s: every mistake of a file at once, each at its bytes.

use std::borrow::Cow;

use plant::choice::OriginKind;
use plant::fact::{Fact, Known, Origin};
use plant::survey::{self, FACTS, FactDef};
use toml_edit::{Document, Item, TableLike, Value as Toml};

use crate::SCHEMA;
use crate::problem::{At, Sink, Wrong, did_you_mean};
use crate::record::{Record, Value, check_unique, scalar};
use crate::shape::{Field, FileKind, Kind, Shape, origin, shape};
use crate::source::{Source, TEXT_BYTES, too_large};
use crate::text::parse_fact_of;

/// Most lines with a mistake of syntax that are left out to read on.
const MOST_LEFT_OUT: usize = 25;
/// Largest text that is read again behind a mistake of syntax; each reading costs its length.
const LARGEST_REREAD: usize = 1 << 20;

/// A TOML file as far as it could be read.
pub(crate) struct Opened {
    pub(crate) record: Record,
    /// Something was left out, so what is missing may only be unread.
    pub(crate) partial: bool,
    /// The end of the file was not read at all.
    pub(crate) cut: bool,
}

/// Reads a file of that kind; `None` when nothing of it is usable. Problems go to the sink.
pub(crate) fn open(source: &Source, kind: FileKind, sink: &mut Sink<'_>) -> Option<Opened> {
    let Parsed { document, partial, cut } = parse(source, sink)?;
    let root = document.as_table();
    match root.get("schema").map(|item| (item.as_integer(), item.span())) {
        Some((Some(number), span)) if number > i64::from(SCHEMA) => {
            let at = span.map_or(At::File, |s| At::span(&s));
            sink.clear();
            sink.error(
                at,
                format!("this file was written by a newer changeout (schema {number}; this one reads {SCHEMA}) and is refused"),
                "use the newer program; nothing else of the file was read",
            );
            return None;
        }
        _ => {}
    }
    let record = Reader { sink, partial }.table(shape(kind), root, At::Text { start: 0, end: 0 });
    Some(Opened { record, partial, cut })
}

struct Parsed {
    document: Document<String>,
    partial: bool,
    cut: bool,
}

/// Parses the text. A line with a mistake of syntax is left out and the rest read on, where the line is one plain
/// `key = value`; behind any other mistake (a header, a list or text over several lines) what follows might be
/// taken for something else, so the rest is not read.
fn parse(source: &Source, sink: &mut Sink<'_>) -> Option<Parsed> {
    let whole = source.text();
    if whole.len() > TEXT_BYTES {
        sink.take(too_large(source.name(), whole.len(), TEXT_BYTES));
        return None;
    }
    let mut text = whole.to_owned();
    for left_out in 0..=MOST_LEFT_OUT {
        let error = match Document::parse(text.clone()) {
            Ok(document) => return Some(Parsed { document, partial: left_out > 0, cut: false }),
            Err(error) => error,
        };
        let span = error.span().unwrap_or(0..0);
        let line = source.line_span(source.spot(span.start).line);
        let start = span.start.clamp(line.start, line.end);
        let at = At::Text { start, end: span.end.clamp(start, line.end) };
        let wrong = plain_words(error.message(), whole.get(span.clone()).unwrap_or_default());
        let written = text.get(line.clone()).unwrap_or_default();
        if left_out < MOST_LEFT_OUT && whole.len() <= LARGEST_REREAD && is_one_pair(written) {
            sink.error(at, wrong.message, join(&wrong.help, "this line was left out, the rest was read"));
            text.replace_range(line.clone(), &" ".repeat(line.len()));
        } else {
            sink.error(at, wrong.message, join(&wrong.help, "the rest of the file, from this line on, was not read"));
            text.truncate(line.start);
            return Document::parse(text).ok().map(|document| Parsed { document, partial: true, cut: true });
        }
    }
    None
}

/// What stands there, for messages.
fn what(item: &Item) -> &'static str {
    match item {
        Item::Value(Toml::String(_)) => "a text",
        Item::Value(Toml::Integer(_) | Toml::Float(_)) => "a number",
        Item::Value(Toml::Boolean(_)) => "true or false",
        Item::Value(Toml::Datetime(_)) => "a date",
        Item::Value(Toml::Array(_)) => "a list",
        Item::None | Item::Value(Toml::InlineTable(_)) | Item::Table(_) | Item::ArrayOfTables(_) => "a table",
    }
}

fn join(help: &str, rest: &str) -> String {
    if help.is_empty() { rest.to_owned() } else { format!("{help}; {rest}") }
}

/// True for a line that is a `key = value` of its own, so that leaving it out changes nothing around it.
fn is_one_pair(line: &str) -> bool {
    let Some((key, value)) = line.split_once('=') else { return false };
    let key = key.trim();
    let plain_key = !key.is_empty() && key.chars().all(|c| c.is_alphanumeric() || matches!(c, '_' | '-' | '.' | ' ' | '"'));
    let open = |left: char, right: char| value.matches(left).count() != value.matches(right).count();
    plain_key && !key.starts_with('[') && !open('[', ']') && !open('{', '}') && !value.contains("\"\"\"") && !value.contains("'''")
}

/// The parser's message in words for people who do not know TOML.
fn plain_words(message: &str, found: &str) -> Wrong {
    let found = found.trim();
    match message {
        m if m.starts_with("duplicate key") => Wrong::new(format!("“{found}” stands twice"), "keep one of them"),
        m if m.starts_with("string values must be quoted") && found.is_empty() => {
            Wrong::new("the value is missing", "write \"?\" while it is not known")
        }
        m if m.starts_with("string values must be quoted") => {
            Wrong::new(format!("{found} stands without quotes"), format!("write \"{found}\""))
        }
        m if m.starts_with("invalid basic string") || m.starts_with("invalid literal string") => {
            Wrong::new("this text has no closing quote", "")
        }
        m if m.starts_with("unclosed table") || m.starts_with("unclosed array table") => {
            Wrong::new("this header has no closing bracket", "")
        }
        m => Wrong::new(format!("this line cannot be read: {m}"), ""),
    }
}

struct Reader<'r, 's> {
    sink: &'r mut Sink<'s>,
    partial: bool,
}

impl Reader<'_, '_> {
    fn table(&mut self, shape: &'static Shape, table: &dyn TableLike, at: At) -> Record {
        let mut record = Record::new(shape, at);
        // Required keys that are there under a misspelt name: that name is told, the key is not missing as well.
        let mut misspelt: Vec<&str> = Vec::new();
        for (key, item) in table.iter() {
            let key_at = table.key(key).and_then(toml_edit::Key::span).map_or(at, |s| At::span(&s));
            let Some((index, field)) = shape.field(key) else {
                if self.sink.is_full() {
                    self.sink.error(key_at, "", "");
                    continue;
                }
                misspelt.extend(crate::problem::nearest(key, shape.keys()));
                self.sink.error(key_at, format!("unknown key “{key}” in {}", shape.name), unknown_key_help(key, shape));
                continue;
            };
            let own_at = item.span().filter(|s| !s.is_empty()).map_or(key_at, |s| At::span(&s));
            if let Some(value) = self.value(field, item, own_at) {
                record.set(index, value, own_at);
            }
        }
        if !self.partial {
            for field in shape.fields.iter().filter(|f| f.required && !table.contains_key(f.key) && !misspelt.contains(&f.key)) {
                let example =
                    if field.example().is_empty() { String::new() } else { format!("; for example {} = {}", field.key, literal(field)) };
                self.sink.error(
                    at,
                    format!("“{}” is missing in {}", field.key, shape.name),
                    format!("{}{example}", field.doc.trim_end_matches('.')),
                );
            }
        }
        record
    }

    /// The value of a field, or `None` with the problem told.
    fn value(&mut self, field: &'static Field, item: &Item, at: At) -> Option<Value> {
        let told = |sink: &mut Sink<'_>, wrong: Wrong| sink.error(at, format!("{}: {}", field.key, wrong.message), wrong.help);
        let read =
            match &field.kind {
                Kind::Table(shape) => match item.as_table_like() {
                    Some(table) => return Some(Value::Table(Box::new(self.table(shape, table, at)))),
                    None => Err(Wrong::new("a table is expected", format!("write {} and its keys below", shape.name))),
                },
                Kind::Rows(shape, most) => return self.rows(field, shape, *most, item, at),
                Kind::Fact(def) => return self.fact(field, def, item, at),
                Kind::Texts => list(item, |text| {
                    if text.trim().is_empty() { Err(Wrong::new("a text in the list is blank", "")) } else { Ok(text.to_owned()) }
                })
                .map(Value::Texts),
                Kind::Words(info) => list(item, |text| crate::text::word(text, info)).map(Value::Words),
                Kind::Flag => match item.as_bool() {
                    Some(flag) => Ok(Value::Flag(flag)),
                    None => Err(Wrong::new(
                        format!("{} stands where true or false is expected", what(item)),
                        "write true or false, without quotes",
                    )),
                },
                Kind::Number => match (item.as_float(), item.as_integer()) {
                    (None, None) => {
                        Err(Wrong::new(format!("{} stands where a number is expected", what(item)), "write the number without quotes"))
                    }
                    _ => scalar_text(item).and_then(|text| scalar(&field.kind, &text)),
                },
                Kind::Schema | Kind::Whole => match item.as_integer() {
                    Some(number) if number < 1 => Err(Wrong::new(format!("{number} is no whole number from 1"), "")),
                    Some(_) => scalar_text(item).and_then(|text| scalar(&field.kind, &text)),
                    None => Err(Wrong::new(
                        format!("{} stands where a whole number is expected", what(item)),
                        "write it without quotes: schema = 1",
                    )),
                },
                Kind::Date => match item.as_datetime() {
                    Some(date) if date.time.is_none() => scalar(&field.kind, &date.to_string()),
                    Some(_) => Err(Wrong::new("a date alone is expected, without time", "expected year-month-day: 2026-03-02")),
                    None => item
                        .as_str()
                        .ok_or_else(|| Wrong::new("a date is expected", "expected year-month-day: 2026-03-02"))
                        .and_then(|t| scalar(&field.kind, t)),
                },
                Kind::Quantity { .. } | Kind::AnyFact | Kind::AnyQuantity => scalar_text(item).and_then(|text| scalar(&field.kind, &text)),
                Kind::Text | Kind::Name | Kind::FileName | Kind::Characters | Kind::Word(_) => match item.as_str() {
                    // A blank optional name is an unfilled line of a template, and absent.
                    Some(text) if text.is_empty() && !field.required => return None,
                    Some(text) if text.trim().is_empty() => Err(Wrong::new("this is blank", field.doc.trim_end_matches('.').to_owned())),
                    Some(text) => scalar(&field.kind, text),
                    None => Err(Wrong::new(
                        format!("{} stands where a text is expected", what(item)),
                        format!("write it in quotes: {} = \"…\"", field.key),
                    )),
                },
            };
        read.map_err(|wrong| told(self.sink, wrong)).ok()
    }

    fn rows(&mut self, field: &'static Field, shape: &'static Shape, most: usize, item: &Item, at: At) -> Option<Value> {
        let mut tables: Vec<(&dyn TableLike, At)> = Vec::new();
        let mut wrong =
            |at| self.sink.error(at, format!("{}: rows are expected", field.key), format!("begin each row with {}", shape.name));
        if let Some(array) = item.as_array_of_tables() {
            tables.extend(array.iter().map(|t| (t as &dyn TableLike, t.span().map_or(at, |s| At::span(&s)))));
        } else if let Some(array) = item.as_array() {
            for value in array {
                let at = value.span().map_or(at, |s| At::span(&s));
                match value.as_inline_table() {
                    Some(table) => tables.push((table, at)),
                    None => wrong(at),
                }
            }
        } else {
            wrong(at);
            return None;
        }
        if tables.len() > most {
            let (_, at) = tables.swap_remove(most);
            let hint =
                if field.key == "duty" { "record the current instead and name the log in [log]" } else { "nothing of the table was read" };
            self.sink.error(at, format!("{} has {} rows; {most} are the most", shape.name, tables.len() + 1), hint);
            return None;
        }
        let rows: Vec<Record> = tables.into_iter().map(|(table, at)| self.table(shape, table, at)).collect();
        check_unique(shape, &rows, self.sink);
        Some(Value::Rows(rows))
    }

    /// A fact in its short or its long form; a wrong value leaves it missing, with its origin.
    fn fact(&mut self, field: &'static Field, def: &'static FactDef, item: &Item, at: At) -> Option<Value> {
        let mut fact = Fact { known: Known::Missing, origin: Origin { place: self.sink.place(at), ..Origin::default() } };
        let (text, at) = match item.as_table_like() {
            None => (scalar_text(item), at),
            Some(table) => {
                let record = self.table(origin(), table, at);
                fact.origin = read_origin(&record, fact.origin.place);
                (record.string("value").map_or_else(|| Err(Wrong::new("", "")), |t| Ok(t.into())), record.at("value"))
            }
        };
        match text.and_then(|text| parse_fact_of(&text, def)) {
            Ok(known) => fact.known = known,
            // A missing or unreadable `value` was told by the table.
            Err(wrong) if wrong.message.is_empty() => {}
            Err(wrong) => self.sink.error(at, format!("{}: {}", field.key, wrong.message), wrong.help),
        }
        Some(Value::Fact(Box::new(fact)))
    }
}

/// The origin that a record of origin keys tells.
pub(crate) fn read_origin(record: &Record, place: plant::fact::Place) -> Origin {
    Origin {
        kind: record.word::<OriginKind>("from"),
        by: record.string("by"),
        on: record.string("on"),
        proof: record.string("proof"),
        place,
    }
}

/// An example as TOML writes it.
pub(crate) fn literal(field: &Field) -> String {
    let example = field.example();
    match &field.kind {
        Kind::Schema | Kind::Whole | Kind::Number | Kind::Flag | Kind::Date => example.to_owned(),
        Kind::Texts | Kind::Words(_) => format!("[\"{example}\"]"),
        _ => format!("\"{example}\""),
    }
}

fn unknown_key_help(key: &str, shape: &Shape) -> String {
    match FACTS.iter().find(|f| f.key() == key && shape.name != format!("[{}]", f.table())) {
        Some(def) if crate::problem::nearest(key, shape.keys()).is_none() => format!("“{key}” belongs in [{}]: {}", def.table(), def.label),
        _ => did_you_mean(key, shape.keys()),
    }
}

/// A value as its text; numbers as they are, so that a bare ratio or count reads like a quoted one.
fn scalar_text(item: &Item) -> Result<Cow<'_, str>, Wrong> {
    match item.as_value() {
        Some(Toml::String(text)) => Ok(text.value().as_str().into()),
        Some(Toml::Integer(number)) => Ok(number.value().to_string().into()),
        Some(Toml::Float(number)) => Ok(number.value().to_string().into()),
        Some(Toml::Boolean(flag)) => {
            let word = if *flag.value() { "yes" } else { "no" };
            Err(Wrong::new(format!("{} is no text", flag.value()), format!("write \"{word}\" where a word is meant")))
        }
        Some(Toml::Array(_)) => {
            Err(Wrong::new("a list stands where one value is expected", "possibilities are one text: \"24 V | 120 V\""))
        }
        Some(Toml::Datetime(_)) => Err(Wrong::new("a date stands where a value is expected", "")),
        _ => Err(Wrong::new("a table stands where a value is expected", "")),
    }
}

fn list<T>(item: &Item, read: impl Fn(&str) -> Result<T, Wrong>) -> Result<Vec<T>, Wrong> {
    let wrong = || Wrong::new("a list of texts is expected", "write [\"one\", \"two\"]");
    let array = item.as_array().ok_or_else(wrong)?;
    array.iter().map(|v| v.as_str().ok_or_else(wrong).and_then(&read)).collect()
}

/// The facts of a record of a survey table, in the order of the table of facts.
pub(crate) fn facts(table: &str, record: &Record) -> Vec<(survey::FactId, Fact)> {
    let id = |key: &str| survey::find(&format!("{table}.{key}"));
    record.iter().filter_map(|(key, _)| Some((id(key)?, record.fact(key)?.clone()))).collect()
}
