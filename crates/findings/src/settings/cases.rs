//! For the tests of this group: two units of a few settings, written so that a test reads like the case behind it. Invented.

use plant::choice::Duty;
use plant::fact::Place;
use plant::quantity::{Dimension, dim, unit_named};
use plant::settings::{Access, Definition, Extent, Form, Found, FoundList, Listed, Meaning, Raw, Scale, Setting, Values, settable};
use plant::wires::{Conductor, WireList};

use crate::candidate::{Candidate, Measure};
use crate::check::{Check, Outcome};
use crate::facts::{Stop, Survey};
use crate::fixture::{Entries, changed, near, position, said};

/// A setting with the value that it stands at; its default is the same unless another is said.
#[derive(Clone)]
pub(crate) struct One(Setting, String);

fn setting(id: String, meaning: Option<Meaning>, default: Option<Raw>) -> Setting {
    Setting {
        text: id.clone(),
        id,
        meaning,
        default,
        access: Access::Stopped,
        object: None,
        data_type: None,
        note: String::new(),
        place: Place::default(),
    }
}

/// A setting of numbers.
pub(crate) fn number(concept: &'static str, number: u32, definition: Definition, unit: &str, value: &str) -> One {
    let concept = settable(concept).expect("a concept that can be set");
    let own = concept.dimension().map_or(dim::RatioDim::INFO, |of| definition.dimension(of));
    let unit = unit_named(own, unit).unwrap_or_else(|| panic!("{}: {unit} is no unit", concept.id));
    let scale = Scale { definition, unit, step: 0.01, range: None, counts: 100.0 };
    let id = format!("{}-{number}", concept.id);
    One(setting(id, Some(Meaning { concept, number, values: Values::Number(scale) }), value.parse().ok().map(Raw::Number)), value.into())
}

/// A setting of words: its value is the word.
pub(crate) fn word(concept: &'static str, number: u32, value: &str) -> One {
    let concept = settable(concept).expect("a concept that can be set");
    let Form::Words(words) = &concept.form else { panic!("{} is a number", concept.id) };
    let listed = words.iter().map(|w| Listed { value: w.word.into(), text: w.word.into(), word: Some(w.word) }).collect();
    let id = format!("{}-{number}", concept.id);
    One(setting(id, Some(Meaning { concept, number, values: Values::Choice(listed) }), Some(Raw::Text(value.into()))), value.into())
}

/// A setting for which nothing neutral stands.
pub(crate) fn nameless(value: &str) -> One {
    One(setting("block".into(), None, None), value.into())
}

impl One {
    /// It can be set to these words and the delivered one alone.
    pub(crate) fn able(mut self, words: &[&str]) -> Self {
        let own = self.1.clone();
        if let Some(Meaning { values: Values::Choice(list), .. }) = &mut self.0.meaning {
            list.retain(|l| l.value == own || words.contains(&l.value.as_str()));
        }
        self
    }

    /// It takes numbers between these.
    pub(crate) fn range(mut self, range: (f64, f64)) -> Self {
        if let Some(Meaning { values: Values::Number(scale), .. }) = &mut self.0.meaning {
            scale.range = Some(range);
        }
        self
    }

    /// It is delivered so.
    pub(crate) fn default(mut self, value: &str) -> Self {
        self.0.default = Some(match (&self.0.scale(), value.parse()) {
            (Some(_), Ok(number)) => Raw::Number(number),
            _ => Raw::Text(value.into()),
        });
        self
    }
}

/// What was found in the old unit, and what the new one can be set to.
#[derive(Clone)]
pub(crate) struct List {
    old: Vec<One>,
    new: Vec<One>,
}

impl List {
    pub(crate) fn of(old: One, new: One) -> Self {
        Self { old: vec![old], new: vec![new] }
    }

    pub(crate) fn old(mut self, one: One) -> Self {
        self.old.push(one);
        self
    }

    pub(crate) fn offered(mut self, one: One) -> Self {
        self.new.push(one);
        self
    }
}

/// What a check says.
#[track_caller]
pub(crate) fn outcome(check: &Check, entries: Entries<'_>, list: &List, sheet: bool) -> Result<Outcome, Stop> {
    outcome_with(check, entries, list, sheet.then_some(Measure::SettingsSheet), Vec::new())
}

/// What a check says where the conductors are listed as well, at the unit of the cases of wires.
#[track_caller]
pub(crate) fn with_wires(check: &Check, list: &List, wires: Vec<Conductor>, sheet: bool) -> Result<Outcome, Stop> {
    outcome_with(check, &[], list, sheet.then_some(Measure::SettingsSheet), wires)
}

#[track_caller]
fn outcome_with(
    check: &Check,
    entries: Entries<'_>,
    list: &List,
    measure: Option<Measure>,
    wires: Vec<Conductor>,
) -> Result<Outcome, Stop> {
    let mut unit: Candidate<'static> = changed("R1", Duty::Heavy, |s| {
        if !wires.is_empty() {
            crate::wires::cases::wired(s);
        }
        s.settings = list.new.iter().map(|o| o.0.clone()).collect();
    });
    if let Some(measure) = measure {
        unit.measures = unit.measures.with(measure);
    }
    let mut position = position(entries);
    position.wires = (!wires.is_empty()).then(|| WireList { conductors: wires, ..WireList::default() }.into());
    // Without a list nothing is looked at.
    assert_eq!(said(check, &Survey::new(&position), &unit).outcome, Ok(Outcome::NotHere), "{}", check.name);
    let rows = list.old.iter().map(|One(setting, value)| Found {
        id: setting.id.clone(),
        text: value.clone(),
        number: value.parse().ok(),
        unit: String::new(),
        unread: String::new(),
        place: Place::default(),
    });
    position.settings = Some(FoundList { extent: Some(Extent::Full), rows: rows.collect(), place: Place::default() }.into());
    let settings: Vec<Setting> = list.old.iter().map(|o| o.0.clone()).collect();
    said(check, &Survey::new(&position).with_old_settings(settings), &unit).outcome
}

/// Holds or fails as said.
#[track_caller]
pub(crate) fn is(check: &Check, list: &List, sheet: bool, holds: bool) {
    assert_eq!(outcome(check, &[], list, sheet), Ok(Outcome::Margin(if holds { 1.0 } else { -1.0 })));
}

/// The same with another measure.
#[track_caller]
pub(crate) fn is_with(check: &Check, list: &List, measure: Measure, holds: bool) {
    assert_eq!(outcome_with(check, &[], list, Some(measure), Vec::new()), Ok(Outcome::Margin(if holds { 1.0 } else { -1.0 })));
}

/// Holds or fails by so much, to two places.
#[track_caller]
pub(crate) fn margin(check: &Check, entries: Entries<'_>, list: &List, sheet: bool, expected: f64) {
    near(outcome(check, entries, list, sheet), expected, 0.006);
}
