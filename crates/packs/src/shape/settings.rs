//! The columns of the settings tables of a pack, and the `[settings]` keys of a position.

use plant::choice::Choice;
use plant::settings::{Access, DataType, Definition, Extent};

use super::tables::{TableShape, table_shape};
use super::{Field, Kind, Shape};

pub(super) fn settings() -> TableShape {
    table_shape! { "settings" false "Settings, in the order of the documents." &["setting"];
        Field::need("setting", Kind::Name, "Its id, as printed and as lists show it.", "R12"),
        Field::need("text", Kind::Text, "Its name as printed.", "run-up time"),
        Field::may("concept", Kind::Name, "What it is a setting of, by the vocabulary; blank where nothing neutral stands for it.", "acceleration-ramp"),
        Field::may("number", Kind::Whole, "Which one, where the concept stands several times; blank for 1.", "1"),
        Field::may("definition", Kind::Word(Definition::INFO), "What its number is a number of; blank for a list of choices, and where the concept has one definition only.", "to-maximum"),
        Field::may("unit", Kind::Name, "Unit in which it is shown and typed; blank for a list of choices and for a bare number.", "s"),
        Field::may("step", Kind::Number, "Its smallest change, in that unit; needed for numbers.", "0.1"),
        Field::may("counts", Kind::Number, "Counts for one in that unit over a network; blank: one count a step.", "10"),
        Field::may("lowest", Kind::Name, "Lowest value, in that unit.", "0.1"),
        Field::may("highest", Kind::Name, "Highest value, in that unit.", "3600"),
        Field::may("default", Kind::Name, "Its default, in that unit, or the value of the choice; blank where it depends on the rating.", "10"),
        Field::need("access", Kind::Word(Access::INFO), "When it may be written.", "running"),
        Field::may("object", Kind::Name, "Index and subindex in the object dictionary of CiA 301.", "2000:0C"),
        Field::may("data_type", Kind::Word(DataType::INFO), "Its data type there.", "u16"),
        Field::may("note", Kind::Text, "Remarks.", "also the base of the stop ramp"),
    }
}

pub(super) fn choices() -> TableShape {
    table_shape! { "choices" false "What the values of settings that are lists mean." &["setting", "value"];
        Field::need("setting", Kind::Name, "Setting, as settings.csv names it.", "M04"),
        Field::need("value", Kind::Name, "The value as shown.", "2"),
        Field::need("text", Kind::Text, "Its text as printed.", "coast to rest"),
        Field::may("meaning", Kind::Name, "Which word of the concept it means; blank where none does.", "coast"),
    }
}

/// The list of settings that a position names.
pub(super) fn list() -> Field {
    let fields = vec![
        Field::need("list", Kind::Text, "The list: a CSV file or a workbook with the columns id, value and unit.", "evidence/settings.csv"),
        Field::need("extent", Kind::Word(Extent::INFO), "What it holds.", "changed-only"),
    ];
    let doc = "The old drive's settings as found, where a list was taken.";
    Field::may("settings", Kind::Table(Shape { name: "[settings]", doc, fields, unique: &[] }), doc, "")
}
