//! The keys of the shutdown: window, crews, isolation points, times, counts and ticks.

use plant::choice::Choice;
use plant::cutover::{COUNTS, Trade};
use plant::quantity::dim::{RatioDim, TimeDim};

use super::files::{LIST_ROWS, schema, table};
use super::{Field, Kind, Shape};

/// Longest window: a week.
const LONGEST: f64 = 604_800.0;

fn rows(key: &'static str, name: &'static str, doc: &'static str, unique: &'static [&'static str], fields: Vec<Field>) -> Field {
    Field::may(key, Kind::Rows(Shape { name, doc, fields, unique }, LIST_ROWS), doc, "")
}

pub(super) fn window() -> Field {
    let doc = "The time in which production stands, and in which the change-over has to be done or undone.";
    let fields = vec![
        Field::need("date", Kind::Date, "Day of its start.", ""),
        Field::need("start", Kind::Name, "Time of day of its start, 00:00 to 23:59.", "22:00"),
        Field::need("length", Kind::quantity::<TimeDim>(60.0, LONGEST), "Its length.", "8 h"),
        Field::may("cost", Kind::Number, "What an hour of standing costs, in the site's currency.", "4200"),
        Field::may(
            "confidence",
            Kind::quantity::<RatioDim>(0.5, 0.999),
            "In which share of cases the way back has to fit; without it 90 %.",
            "90 %",
        ),
        Field::may("owner", Kind::Name, "Who decides to go on or back: one person.", "R. K."),
        Field::may(
            "positions",
            Kind::Texts,
            "Tags of the positions that are changed in it, in this order; without it each position is planned alone.",
            "BE-101",
        ),
    ];
    Field::may("window", Kind::Table(table("[window]", doc, fields)), doc, "")
}

pub(super) fn crews() -> Field {
    let fields = vec![
        Field::need("name", Kind::Name, "What it is called.", "nights A"),
        Field::need("trade", Kind::Word(Trade::INFO), "What it does.", ""),
        Field::may("people", Kind::Whole, "How many people, working together on one task at a time; without it one.", "2"),
    ];
    rows("crews", "[[crews]]", "Who is there during the window.", &["name"], fields)
}

pub(super) fn isolations() -> Field {
    let fields = vec![
        Field::need("name", Kind::Name, "What is locked and where.", "MCC-4, unit 7C"),
        Field::need("positions", Kind::Texts, "Tags of the positions that it takes power from.", "BE-101"),
    ];
    rows("isolations", "[[isolations]]", "Points at which sources are locked out.", &["name"], fields)
}

pub(super) fn times() -> Field {
    let time = || Kind::quantity::<TimeDim>(0.0, LONGEST);
    let fields = vec![
        Field::need("task", Kind::Name, "Name of the task in the plan.", "isolate"),
        Field::need("least", time(), "Shortest.", "5 min"),
        Field::need("likely", time(), "Likeliest.", "10 min"),
        Field::need("most", time(), "Longest.", "25 min"),
    ];
    rows("times", "[[times]]", "The plant's own times for tasks, in place of those of common practice.", &["task"], fields)
}

pub(super) fn counts() -> Field {
    let doc = "What is counted and asked for the plan of its cutover.";
    let fields = COUNTS.iter().map(|def| Field::fact(def, def.key())).collect();
    Field::may("cutover", Kind::Table(table("[cutover]", doc, fields)), doc, "")
}

/// The keys of `cutover/TAG.toml`.
pub(super) fn ticks() -> Shape {
    let doc = "What is done, in the order in which it was done.";
    let fields = vec![
        Field::need("task", Kind::Name, "Name of the task in the plan.", "isolate"),
        Field::need("at", Kind::Name, "Time of day at which it was done; after midnight the clock simply goes on.", "23:05"),
        Field::need("by", Kind::Name, "Who says so.", "M. T."),
        Field::may("note", Kind::Text, "Remark.", "lock 14 hung"),
    ];
    table("the ticks file", "What is done of a cutover.", vec![schema(), rows("ticks", "[[ticks]]", doc, &["task"], fields)])
}
