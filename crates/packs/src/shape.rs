//! What each file may hold: keys and columns with their kinds and meanings. Readers, JSON Schemas, templates and
//! `COLUMNS.md` all follow from here; a new key is one line in `files` or `tables`.

use plant::choice::ChoiceInfo;
use plant::quantity::{Dimension, DimensionInfo};
use plant::survey::{self, FactDef};

mod control;
mod cutover;
mod files;
mod network;
mod points;
mod settings;
mod tables;

pub use files::{BOX_TABLES, CODE, UNITS, origin, shape};
pub use tables::{TableShape, current_log, pack_table, pack_tables};

/// A kind of file that a person writes in TOML.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FileKind {
    /// `site.toml`.
    Site,
    /// `positions/TAG.toml`.
    Position,
    /// `decisions.toml`.
    Decisions,
    /// `packs/SERIES/pack.toml`.
    Pack,
    /// `cutover/TAG.toml`.
    Ticks,
}

impl FileKind {
    /// All of them.
    pub const ALL: [Self; 5] = [Self::Site, Self::Position, Self::Decisions, Self::Pack, Self::Ticks];

    /// Its word: "site".
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Site => "site",
            Self::Position => "position",
            Self::Decisions => "decisions",
            Self::Pack => "pack",
            Self::Ticks => "ticks",
        }
    }

    /// From its word.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|k| k.word() == word)
    }
}

/// A table of keys, or of columns.
#[derive(Debug)]
pub struct Shape {
    /// What messages call it: `[motor]`, `ratings.csv`.
    pub name: &'static str,
    /// What it holds.
    pub doc: &'static str,
    /// Its keys or columns, in the order of the template.
    pub fields: Vec<Field>,
    /// Keys that together must differ between rows of this shape; empty when rows may repeat.
    pub unique: &'static [&'static str],
}

/// One key or column.
#[derive(Debug)]
pub struct Field {
    /// Its name.
    pub key: &'static str,
    /// What it takes.
    pub kind: Kind,
    /// Whether it must be there.
    pub required: bool,
    /// What it means.
    pub doc: &'static str,
    /// An example as text, without quotes; empty when the kind itself gives one.
    pub example: &'static str,
}

/// What a key or column takes.
#[derive(Debug)]
pub enum Kind {
    /// The number of the file format.
    Schema,
    /// Any text.
    Text,
    /// A text of one line, as names are.
    Name,
    /// A name that is also the name of a file or folder.
    FileName,
    /// Characters of a type code; unlike elsewhere, a dash is a dash and not a blank.
    Characters,
    /// true or false.
    Flag,
    /// Money or another number that is not below zero.
    Number,
    /// A whole number from one.
    Whole,
    /// An ISO 8601 date.
    Date,
    /// One of some words.
    Word(&'static ChoiceInfo),
    /// A quantity between two sensible SI values.
    Quantity {
        /// Its dimension.
        info: &'static DimensionInfo,
        /// Lowest that is sensible.
        low: f64,
        /// Highest that is sensible.
        high: f64,
    },
    /// A surveyed value: one, a range, possibilities, or "?".
    Fact(&'static FactDef),
    /// The value of a fact whose kind another key decides.
    AnyFact,
    /// A quantity whose dimension another column decides.
    AnyQuantity,
    /// A list of texts; in a cell, apart by " | ".
    Texts,
    /// A list of words; in a cell, apart by " | ".
    Words(&'static ChoiceInfo),
    /// A table.
    Table(Shape),
    /// Rows of a table, at most so many.
    Rows(Shape, usize),
}

impl Kind {
    /// A quantity of dimension `D` between two sensible SI values.
    #[must_use]
    pub const fn quantity<D: Dimension>(low: f64, high: f64) -> Self {
        Self::Quantity { info: D::INFO, low, high }
    }

    /// What it takes, for people: "electric current", "text".
    #[must_use]
    pub fn name(&self) -> String {
        match self {
            Self::Schema | Self::Whole => "whole number".into(),
            Self::Text => "text".into(),
            Self::Name | Self::FileName => "name".into(),
            Self::Characters => "characters".into(),
            Self::Flag => "true or false".into(),
            Self::Number => "number".into(),
            Self::Date => "date".into(),
            Self::Word(info) => info.words.iter().map(|w| w.word).collect::<Vec<_>>().join(" / "),
            Self::Quantity { info, .. } => info.name.into(),
            Self::Fact(def) => def.kind.name().into(),
            Self::AnyFact => "value of the fact".into(),
            Self::AnyQuantity => "quantity".into(),
            Self::Texts => "texts".into(),
            Self::Words(info) => format!("some of {}", info.words.iter().map(|w| w.word).collect::<Vec<_>>().join(" / ")),
            Self::Table(_) => "table".into(),
            Self::Rows(..) => "rows".into(),
        }
    }
}

impl Field {
    const fn need(key: &'static str, kind: Kind, doc: &'static str, example: &'static str) -> Self {
        Self { key, kind, required: true, doc, example }
    }

    const fn may(key: &'static str, kind: Kind, doc: &'static str, example: &'static str) -> Self {
        Self { key, kind, required: false, doc, example }
    }

    const fn fact(def: &'static FactDef, key: &'static str) -> Self {
        Self::may(key, Kind::Fact(def), def.label, "")
    }

    /// An example as text, without quotes.
    #[must_use]
    pub fn example(&self) -> &'static str {
        // The first that is sensible for the key: a service factor is not 86 %.
        let of_quantity = |info: &DimensionInfo| {
            let examples: &[&str] = match info.name {
                "electric current" => &["52 A", "20 kA", "300 mA"],
                "apparent power" => &["500 kVA"],
                "voltage" => &["480 V"],
                "power" => &["40 hp"],
                "electric power" => &["480 W"],
                "frequency" => &["60 Hz", "4 kHz"],
                "rotational speed" => &["1775 rpm"],
                "ratio" => &["86 %", "3 %", "115 %", "200 %"],
                "count" => &["1", "1998"],
                "time" => &["5 s"],
                "moment of inertia" => &["1.2 kg·m²"],
                "temperature" => &["45 °C"],
                "length" => &["300 m", "300 mm"],
                "mass" => &["12 kg"],
                "volume flow" => &["160 m³/h"],
                "heat per kelvin" => &["25 W/K"],
                "area" => &["16 mm²"],
                "resistance" => &["20 ohm"],
                "capacitance" => &["940 µF"],
                "rate of events" => &["4 /h"],
                _ => &[],
            };
            examples.iter().find(|e| crate::record::scalar(&self.kind, e).is_ok()).copied().unwrap_or_default()
        };
        match &self.kind {
            _ if !self.example.is_empty() => self.example,
            Kind::Word(info) | Kind::Words(info) => info.words.first().map_or("", |w| w.word),
            Kind::Fact(FactDef { kind: survey::Kind::Choice(info), .. }) => info.words.first().map_or("", |w| w.word),
            Kind::Fact(FactDef { kind: survey::Kind::Quantity(info), .. }) | Kind::Quantity { info, .. } => of_quantity(info),
            Kind::Schema => "1",
            Kind::Date => "2026-03-02",
            _ => "",
        }
    }
}

impl Shape {
    /// The field of that name, with its index.
    #[must_use]
    pub fn field(&self, key: &str) -> Option<(usize, &Field)> {
        self.fields.iter().enumerate().find(|(_, f)| f.key == key)
    }

    /// All its keys.
    pub fn keys(&self) -> impl Iterator<Item = &'static str> + Clone + '_ {
        self.fields.iter().map(|f| f.key)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::record::scalar;

    fn walk(shape: &'static Shape, see: &mut dyn FnMut(&'static Shape, &'static Field)) {
        for field in &shape.fields {
            see(shape, field);
            if let Kind::Table(inner) | Kind::Rows(inner, _) = &field.kind {
                walk(inner, see);
            }
        }
    }

    fn everything(see: &mut dyn FnMut(&'static Shape, &'static Field)) {
        FileKind::ALL
            .into_iter()
            .map(shape)
            .chain(pack_tables().iter().map(|t| &t.shape))
            .chain([current_log()])
            .for_each(|s| walk(s, see));
    }

    #[test]
    fn every_key_is_explained_once_and_its_example_reads() {
        everything(&mut |shape, field| {
            assert!(!field.doc.is_empty(), "{} {}", shape.name, field.key);
            assert_eq!(shape.keys().filter(|k| *k == field.key).count(), 1, "{} {}", shape.name, field.key);
            if !matches!(field.kind, Kind::Table(_) | Kind::Rows(..) | Kind::Schema) {
                assert!(!field.example().is_empty(), "{} {} has no example", shape.name, field.key);
                scalar(&field.kind, field.example()).unwrap_or_else(|e| panic!("{} {}: {e:?}", shape.name, field.key));
            }
        });
    }

    #[test]
    fn unique_keys_are_keys() {
        everything(&mut |shape, _| assert!(shape.unique.iter().all(|u| shape.field(u).is_some()), "{}", shape.name));
    }

    #[test]
    fn every_fact_has_its_key_in_the_position_file() {
        for def in survey::FACTS {
            let table = shape(FileKind::Position).field(def.table()).unwrap_or_else(|| panic!("{}", def.path)).1;
            let Kind::Table(inner) = &table.kind else { panic!("{}", def.path) };
            assert!(inner.field(def.key()).is_some(), "{}", def.path);
        }
    }
}
