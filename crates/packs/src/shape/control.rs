//! The columns of a pack's table of habits, and the `[habits]` keys of a position.

use plant::choice::Choice;
use plant::control::Habit;
use plant::quantity::dim::TimeDim;

use super::tables::{TableShape, table_shape};
use super::{Field, Kind, Shape};

pub(super) fn control() -> TableShape {
    table_shape! { "control" false "How the unit obeys commands: its habits, a row for each that the documents tell." &["habit"];
        Field::need("habit", Kind::Word(Habit::INFO), "Which habit.", ""),
        Field::need("can", Kind::Texts, "What it can be set to do, by the words of the habit (docs/files.md); a single word where it is fixed.", "runs | waits"),
        Field::may("delivered", Kind::Name, "What it does as delivered; blank where the documents do not say.", "waits"),
        Field::may("setting", Kind::Name, "Setting that decides, as settings.csv names it; blank where none does.", "R12"),
        Field::may("time", Kind::quantity::<TimeDim>(0.0, 3600.0), "For dip: how long the unit's control outlives the supply. For losses: how long it waits as delivered.", "0.3 s"),
    }
}

/// The old drive's habits as they were found.
pub(super) fn habits() -> Field {
    let fields =
        Habit::all().zip(Habit::INFO.words).map(|(habit, word)| Field::may(word.word, Kind::Words(habit.info()), word.doc, "")).collect();
    let doc = "How the old drive was seen to obey its commands, or what its settings say; several words where it may be one of them.";
    Field::may("habits", Kind::Table(Shape { name: "[habits]", doc, fields, unique: &[] }), doc, "")
}
