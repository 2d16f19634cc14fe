//! Settings as data: what a setting of a unit is a setting of, in which words and numbers, and what was found in the old unit.
//! The concepts are those of the vocabulary; [`SETTABLE`] says which of them can be set and under which definitions or words.

mod definition;
mod table;

pub use definition::{Access, Base, DataType, Definition, Extent, Law, Outcome};
pub use table::SETTABLE;

use crate::choice::Word;
use crate::fact::Place;
use crate::quantity::{DimensionInfo, Unit};
use crate::vocabulary::{self, Concept};

/// A concept that units let people set.
#[derive(Debug)]
pub struct Settable {
    /// Its id in the vocabulary.
    pub id: &'static str,
    /// How it is set.
    pub form: Form,
}

/// How a concept is set.
#[derive(Debug)]
pub enum Form {
    /// As a number under one of these definitions.
    Number(&'static [Definition]),
    /// As one of these meanings.
    Words(&'static [Word]),
}

impl Settable {
    /// Its entry in the vocabulary.
    #[must_use]
    pub fn concept(&self) -> Option<&'static Concept> {
        vocabulary::find(self.id)
    }

    /// The dimension of its physical value; `None` for words.
    #[must_use]
    pub fn dimension(&self) -> Option<&'static DimensionInfo> {
        match self.form {
            Form::Number(_) => self.concept()?.unit,
            Form::Words(_) => None,
        }
    }

    /// Its definitions; none for words.
    #[must_use]
    pub const fn definitions(&self) -> &'static [Definition] {
        match self.form {
            Form::Number(list) => list,
            Form::Words(_) => &[],
        }
    }

    /// Its words; none for numbers.
    #[must_use]
    pub const fn words(&self) -> &'static [Word] {
        match self.form {
            Form::Words(list) => list,
            Form::Number(_) => &[],
        }
    }
}

/// The settable concept of that id.
#[must_use]
pub fn settable(id: &str) -> Option<&'static Settable> {
    SETTABLE.iter().find(|s| s.id == id)
}

/// One setting of a product series.
#[derive(Clone, Debug, PartialEq)]
pub struct Setting {
    /// Its id, as the unit's documents print it.
    pub id: String,
    /// Its name, as they print it.
    pub text: String,
    /// What it means; `None` where nothing neutral stands for it.
    pub meaning: Option<Meaning>,
    /// Its default, in the unit in which it is shown, or as the value of a choice; `None` where the documents do not say, or it depends on the rating.
    pub default: Option<Raw>,
    /// When it may be written.
    pub access: Access,
    /// Index and subindex in the object dictionary (CiA 301), where the unit has one.
    pub object: Option<(u16, u8)>,
    /// Its data type there.
    pub data_type: Option<DataType>,
    /// Remarks of the pack.
    pub note: String,
    /// Where it stands.
    pub place: Place,
}

/// What a setting means.
#[derive(Clone, Debug, PartialEq)]
pub struct Meaning {
    /// The concept.
    pub concept: &'static Settable,
    /// Which of several: 3 for the third fixed speed; 1 where there is one.
    pub number: u32,
    /// In which form.
    pub values: Values,
}

/// What a setting takes.
#[derive(Clone, Debug, PartialEq)]
pub enum Values {
    /// A number.
    Number(Scale),
    /// One of a list.
    Choice(Vec<Listed>),
}

/// How a number is written.
#[derive(Clone, Debug, PartialEq)]
pub struct Scale {
    /// What it is a number of.
    pub definition: Definition,
    /// The unit in which it is shown and typed.
    pub unit: &'static Unit,
    /// Its smallest change, in that unit.
    pub step: f64,
    /// Lowest and highest, in that unit; `None` where the documents do not say.
    pub range: Option<(f64, f64)>,
    /// How many counts stand for one in that unit where it is read and written over a network.
    pub counts: f64,
}

/// One value of a list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Listed {
    /// The value, as shown: "2".
    pub value: String,
    /// Its text, as the documents print it.
    pub text: String,
    /// The word of the concept that it means; `None` where nothing neutral stands for it.
    pub word: Option<&'static str>,
}

/// A value as it stands in a unit.
#[derive(Clone, Debug, PartialEq)]
pub enum Raw {
    /// A number in the unit in which it is shown.
    Number(f64),
    /// The value of a choice, or a text.
    Text(String),
}

/// A settings list as found.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FoundList {
    /// What it holds.
    pub extent: Option<Extent>,
    /// Its rows, none left out.
    pub rows: Vec<Found>,
    /// Where it is named.
    pub place: Place,
}

/// One row of a list as found.
#[derive(Clone, Debug, PartialEq)]
pub struct Found {
    /// The setting's id.
    pub id: String,
    /// The value as written, with its unit; empty while it was not read.
    pub text: String,
    /// The number in it; `None` for words and for what cannot be read.
    pub number: Option<f64>,
    /// The unit behind the number, or in the unit column; empty when there is none.
    pub unit: String,
    /// Why its value counts for nothing; empty when it was read.
    pub unread: String,
    /// Where it stands.
    pub place: Place,
}

impl PartialEq for Settable {
    fn eq(&self, other: &Self) -> bool {
        self.id == other.id
    }
}

impl Setting {
    /// Whether it means this concept and number.
    #[must_use]
    pub fn is(&self, concept: &str, number: u32) -> bool {
        self.meaning.as_ref().is_some_and(|m| m.concept.id == concept && m.number == number)
    }

    /// How its number is written, where it is one.
    #[must_use]
    pub fn scale(&self) -> Option<&Scale> {
        match &self.meaning.as_ref()?.values {
            Values::Number(scale) => Some(scale),
            Values::Choice(_) => None,
        }
    }

    /// The choices, where it is one of a list.
    #[must_use]
    pub fn choices(&self) -> &[Listed] {
        match self.meaning.as_ref().map(|m| &m.values) {
            Some(Values::Choice(list)) => list,
            _ => &[],
        }
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;
    use crate::choice::Choice;

    /// What a job needs at least.
    const FEWEST: usize = 130;

    #[test]
    fn every_settable_concept_stands_once_in_the_vocabulary() {
        let ids: BTreeSet<&str> = SETTABLE.iter().map(|s| s.id).collect();
        assert_eq!(ids.len(), SETTABLE.len());
        assert!(SETTABLE.len() >= FEWEST, "{}", SETTABLE.len());
        for entry in SETTABLE {
            let concept = entry.concept().unwrap_or_else(|| panic!("{} is no concept", entry.id));
            match entry.form {
                Form::Number(list) => {
                    assert!(concept.unit.is_some() && !list.is_empty(), "{}: numbers have a dimension", entry.id);
                    assert_eq!(list.iter().map(|d| d.word()).collect::<BTreeSet<_>>().len(), list.len(), "{}", entry.id);
                }
                Form::Words(list) => {
                    assert!(concept.unit.is_none() && list.len() > 1, "{}: words have none", entry.id);
                    assert!(list.iter().all(|w| !w.doc.is_empty()), "{}", entry.id);
                    assert_eq!(list.iter().map(|w| w.word).collect::<BTreeSet<_>>().len(), list.len(), "{}", entry.id);
                }
            }
        }
    }

    #[test]
    fn every_definition_is_used() {
        for (index, word) in Definition::INFO.words.iter().enumerate() {
            let definition = Definition::from_index(index);
            assert!(SETTABLE.iter().any(|s| s.definitions().iter().any(|d| Some(*d) == definition)), "{}", word.word);
        }
    }
}
