//! Checked values of one table or one row, by key: what TOML and CSV readers make of a [`Shape`], and what the
//! builders of plant types read from. Values that were wrong are absent; their problems are already told.

use std::collections::HashMap;

use plant::choice::Choice;
use plant::fact::Fact;
use plant::quantity::{Dimension, Quantity};

use crate::problem::{At, Sink, Wrong};
use crate::shape::{Kind, Shape};
use crate::text::{number, parse_fact_of, sensible, word};

/// Longest name.
const LONGEST_NAME: usize = 120;

/// One checked value.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Value {
    Text(String),
    Flag(bool),
    Number(f64),
    Word(usize),
    Fact(Box<Fact>),
    Texts(Vec<String>),
    Words(Vec<usize>),
    Table(Box<Record>),
    Rows(Vec<Record>),
}

/// A value and where it stands.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Cell {
    pub(crate) value: Value,
    pub(crate) at: At,
}

/// The checked values of one table or row.
#[derive(Clone, Debug)]
pub(crate) struct Record {
    shape: &'static Shape,
    cells: Vec<Option<Cell>>,
    /// Where the table or row begins.
    pub(crate) at: At,
}

impl PartialEq for Record {
    fn eq(&self, other: &Self) -> bool {
        std::ptr::eq(self.shape, other.shape) && self.cells == other.cells && self.at == other.at
    }
}

impl Record {
    pub(crate) fn new(shape: &'static Shape, at: At) -> Self {
        Self { shape, cells: vec![None; shape.fields.len()], at }
    }

    pub(crate) fn set(&mut self, field: usize, value: Value, at: At) {
        if let Some(cell) = self.cells.get_mut(field) {
            *cell = Some(Cell { value, at });
        }
    }

    pub(crate) fn cell(&self, key: &str) -> Option<&Cell> {
        let field = self.shape.field(key);
        debug_assert!(field.is_some(), "{} has no key {key}", self.shape.name);
        self.cells.get(field?.0)?.as_ref()
    }

    /// Keys and cells that are there.
    pub(crate) fn iter(&self) -> impl Iterator<Item = (&'static str, &Cell)> {
        self.shape.keys().zip(&self.cells).filter_map(|(key, cell)| cell.as_ref().map(|c| (key, c)))
    }

    /// Where a value stands, or the table when it is absent.
    pub(crate) fn at(&self, key: &str) -> At {
        self.cell(key).map_or(self.at, |c| c.at)
    }

    pub(crate) fn text(&self, key: &str) -> Option<&str> {
        match &self.cell(key)?.value {
            Value::Text(text) => Some(text),
            _ => None,
        }
    }

    /// A text as its own string; an absent one is `None`.
    pub(crate) fn string(&self, key: &str) -> Option<String> {
        self.text(key).map(str::to_owned)
    }

    pub(crate) fn flag(&self, key: &str) -> Option<bool> {
        match self.cell(key)?.value {
            Value::Flag(flag) => Some(flag),
            _ => None,
        }
    }

    pub(crate) fn number(&self, key: &str) -> Option<f64> {
        match self.cell(key)?.value {
            Value::Number(number) => Some(number),
            _ => None,
        }
    }

    pub(crate) fn whole(&self, key: &str) -> Option<usize> {
        match self.cell(key)?.value {
            Value::Word(whole) => Some(whole),
            _ => None,
        }
    }

    pub(crate) fn quantity<D: Dimension>(&self, key: &str) -> Option<Quantity<D>> {
        debug_assert!(
            matches!(self.shape.field(key), Some((_, f)) if matches!(f.kind, Kind::Quantity { info, .. } if info == D::INFO)),
            "{key}"
        );
        self.number(key).map(Quantity::si)
    }

    pub(crate) fn word<C: Choice>(&self, key: &str) -> Option<C> {
        self.whole(key).and_then(C::from_index)
    }

    pub(crate) fn words<C: Choice>(&self, key: &str) -> Option<Vec<C>> {
        match &self.cell(key)?.value {
            Value::Words(words) => Some(words.iter().filter_map(|w| C::from_index(*w)).collect()),
            _ => None,
        }
    }

    /// The places of words of a list, whatever their choice.
    pub(crate) fn indices(&self, key: &str) -> Option<&[usize]> {
        match &self.cell(key)?.value {
            Value::Words(words) => Some(words),
            _ => None,
        }
    }

    pub(crate) fn texts(&self, key: &str) -> Option<&[String]> {
        match &self.cell(key)?.value {
            Value::Texts(texts) => Some(texts),
            _ => None,
        }
    }

    pub(crate) fn fact(&self, key: &str) -> Option<&Fact> {
        match &self.cell(key)?.value {
            Value::Fact(fact) => Some(fact),
            _ => None,
        }
    }

    pub(crate) fn table(&self, key: &str) -> Option<&Self> {
        match &self.cell(key)?.value {
            Value::Table(record) => Some(record),
            _ => None,
        }
    }

    pub(crate) fn rows(&self, key: &str) -> &[Self] {
        match self.cell(key).map(|c| &c.value) {
            Some(Value::Rows(rows)) => rows,
            _ => &[],
        }
    }
}

/// Reports rows that repeat what must differ.
pub(crate) fn check_unique(shape: &'static Shape, rows: &[Record], sink: &mut Sink<'_>) {
    if shape.unique.is_empty() {
        return;
    }
    let own = |row: &Record| -> Option<Vec<String>> {
        let part = |key: &&str| match row.cell(key).map(|c| &c.value) {
            Some(Value::Text(text)) => Some(text.clone()),
            Some(Value::Word(index)) => Some(shape.field(key).map_or_else(String::new, |(_, f)| match &f.kind {
                Kind::Word(info) => info.words.get(*index).map_or_else(String::new, |w| w.word.to_owned()),
                _ => index.to_string(),
            })),
            Some(Value::Number(number)) => Some(number.to_string()),
            // A blank optional key counts as a value of its own; a required one was told already.
            _ => shape.field(key).filter(|(_, f)| !f.required).map(|_| String::new()),
        };
        shape.unique.iter().map(part).collect()
    };
    let mut seen: HashMap<Vec<String>, At> = HashMap::with_capacity(rows.len());
    for row in rows {
        let Some(key) = own(row) else { continue };
        let shown = key.iter().map(|k| if k.is_empty() { "(blank)" } else { k.as_str() }).collect::<Vec<_>>().join(", ");
        if let Some(first) = seen.get(&key) {
            let at = shape.unique.iter().rev().find_map(|k| row.cell(k)).map_or(row.at, |c| c.at);
            let line = sink.place(*first).line;
            sink.error(
                at,
                format!("{} {shown} stands twice in {}", shape.unique.join(", "), shape.name),
                format!("it is also on line {line}"),
            );
        } else {
            seen.insert(key, row.at);
        }
    }
}

/// Reads a text as a value of that kind; tables are no texts.
pub(crate) fn scalar(kind: &Kind, text: &str) -> Result<Value, Wrong> {
    match kind {
        Kind::Text | Kind::Characters | Kind::AnyFact | Kind::AnyQuantity => Ok(Value::Text(text.to_owned())),
        Kind::Name => name(text),
        Kind::FileName => file_name(text),
        Kind::Flag => match text {
            "true" => Ok(Value::Flag(true)),
            "false" => Ok(Value::Flag(false)),
            _ => Err(Wrong::new(format!("“{text}” is neither true nor false"), "expected true or false")),
        },
        Kind::Number => plain_number(text).map(Value::Number),
        Kind::Schema | Kind::Whole => {
            let whole = text.parse::<u32>().ok().filter(|n| (1..=1_000_000).contains(n)).and_then(|n| usize::try_from(n).ok());
            whole.map(Value::Word).ok_or_else(|| Wrong::new(format!("“{text}” is no whole number from 1"), "expected 1, 2, 3 …"))
        }
        Kind::Date => date(text),
        Kind::Word(info) => word(text, info).map(Value::Word),
        Kind::Quantity { info, low, high } => {
            let value = number(text, info)?;
            sensible(text, (value, value), info, (*low, *high)).map(|()| Value::Number(value))
        }
        Kind::Fact(def) => parse_fact_of(text, def).map(|known| Value::Fact(Box::new(Fact { known, ..Fact::default() }))),
        Kind::Texts => {
            let texts: Vec<String> = text.split('|').map(|t| t.trim().to_owned()).collect();
            if texts.iter().any(String::is_empty) {
                Err(Wrong::new("a name is missing in the list", "write them apart by “ | ”"))
            } else {
                Ok(Value::Texts(texts))
            }
        }
        Kind::Words(info) => text.split('|').map(|t| word(t.trim(), info)).collect::<Result<_, _>>().map(Value::Words),
        Kind::Table(_) | Kind::Rows(..) => Err(Wrong::new("this is a text where a table is expected", "")),
    }
}

fn name(text: &str) -> Result<Value, Wrong> {
    if text.trim().is_empty() {
        Err(Wrong::new("this is blank", "a name is needed"))
    } else if text.trim().len() != text.len() {
        Err(Wrong::new(format!("“{text}” has spaces at its ends"), "take them out: names are compared exactly"))
    } else if text.chars().count() > LONGEST_NAME {
        Err(Wrong::new(format!("this name has more than {LONGEST_NAME} characters"), "put the rest into a note"))
    } else if text.chars().any(char::is_control) {
        Err(Wrong::new("this name holds a line end or a control character", "names stand on one line"))
    } else {
        Ok(Value::Text(text.to_owned()))
    }
}

fn file_name(text: &str) -> Result<Value, Wrong> {
    if text.starts_with('.') || text.contains(['/', '\\', ':', '*', '?', '"', '<', '>', '|']) {
        return Err(Wrong::new(
            format!("“{text}” cannot be the name of a file"),
            "it may not begin with a dot nor hold / \\ : * ? \" < > |",
        ));
    }
    name(text)
}

fn plain_number(text: &str) -> Result<f64, Wrong> {
    let bare = text.bytes().all(|b| b.is_ascii_digit() || matches!(b, b'.' | b',' | b'+' | b'-' | b'e' | b'E'));
    let value = if bare { number(text, <plant::quantity::dim::CountDim as Dimension>::INFO).ok() } else { None };
    match value {
        Some(value) if value < 0.0 => Err(Wrong::new(format!("{text} is below zero"), "")),
        Some(value) => Ok(value),
        None => Err(Wrong::new(format!("“{text}” is no plain number"), "write 1250.5 or 1,250.5, without unit or currency")),
    }
}

fn date(text: &str) -> Result<Value, Wrong> {
    let parts: Vec<u32> = text.split('-').filter(|p| p.bytes().all(|b| b.is_ascii_digit())).filter_map(|p| p.parse().ok()).collect();
    if let ([year, month, day], 10) = (parts.as_slice(), text.len()) {
        let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
        let days = match month {
            4 | 6 | 9 | 11 => 30,
            2 if leap => 29,
            2 => 28,
            1..=12 => 31,
            _ => 0,
        };
        if (1..=days).contains(day) && text.as_bytes().get(4) == Some(&b'-') && text.as_bytes().get(7) == Some(&b'-') {
            return Ok(Value::Text(text.to_owned()));
        }
    }
    Err(Wrong::new(format!("“{text}” is no date"), "expected year-month-day: 2026-03-02"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dates_are_real_days() {
        for good in ["2026-03-02", "2024-02-29", "2000-02-29", "2026-12-31"] {
            assert_eq!(scalar(&Kind::Date, good), Ok(Value::Text(good.into())));
        }
        for bad in [
            "2026-02-29",
            "1900-02-29",
            "2026-13-01",
            "2026-00-10",
            "2026-04-31",
            "02/03/2026",
            "2026-3-2",
            "20260-3-02",
            "",
            "2026-03-02T10:00",
        ] {
            assert!(scalar(&Kind::Date, bad).is_err(), "{bad}");
        }
    }

    #[test]
    fn money_is_a_plain_number() {
        assert_eq!(scalar(&Kind::Number, "1,250.5"), Ok(Value::Number(1250.5)));
        for bad in ["-5", "4 poles", "$5", "1,25", "", "1e999", "inf"] {
            assert!(scalar(&Kind::Number, bad).is_err(), "{bad}");
        }
    }

    #[test]
    fn names_stay_names() {
        assert!(scalar(&Kind::Name, "MCC-4 / left").is_ok());
        for bad in ["a/b", "..", "a\\b", "CON:"] {
            assert!(scalar(&Kind::FileName, bad).is_err(), "{bad}");
        }
        for bad in ["", " x", "a\nb"] {
            assert!(scalar(&Kind::Name, bad).is_err(), "{bad:?}");
        }
    }
}
