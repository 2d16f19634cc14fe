//! Reads `positions/TAG.toml`.

use plant::choice::Choice;
use plant::control::{FoundHabits, Habit, WordSet};
use plant::cutover::{COUNTS, Counted};
use plant::fact::{Fact, Place};
use plant::network::NetworkUse;
use plant::position::{AddedPart, Position};
use plant::settings::Extent;
use plant::survey::{DUTY_COLUMNS, FACTS, FactDef};

use crate::problem::{At, Read, Sink};
use crate::record::Record;
use crate::shape::FileKind;
use crate::site::{check_order, lead_times, prices};
use crate::source::Source;
use crate::toml::{facts, open};

/// A position with the log that its file names; the caller reads that file and puts it in.
#[derive(Clone, Debug)]
pub struct PositionFile {
    /// The position, without its log.
    pub position: Position,
    /// The log, where one is named.
    pub log: Option<LogFile>,
    /// The settings list, where one is named; the caller reads it and puts it in.
    pub list: Option<ListFile>,
    /// The list of conductors, where one is named; the caller reads it and puts it in.
    pub wires: Option<WiresFile>,
}

/// A list of conductors that a position names.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WiresFile {
    /// Path from the site's folder, with "/" between its parts.
    pub path: String,
    /// Where it is named.
    pub place: Place,
}

/// A settings list that a position names.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ListFile {
    /// Path from the site's folder, with "/" between its parts.
    pub path: String,
    /// What it holds.
    pub extent: Extent,
    /// Where it is named.
    pub place: Place,
}

/// A current log that a position names.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LogFile {
    /// Path from the site's folder, with "/" between its parts.
    pub path: String,
    /// Whether the log is one period of an endless cycle.
    pub repeats: bool,
    /// Where it is named.
    pub place: Place,
}

/// Reads a position file. Facts with an error stay missing.
#[must_use]
pub fn read_position(source: &Source) -> Read<PositionFile> {
    let mut sink = Sink::of(source);
    let value = open(source, FileKind::Position, &mut sink).filter(|o| !o.cut).and_then(|o| position(&o.record, source, &mut sink));
    Read { value, problems: sink.finish() }
}

fn position(record: &Record, source: &Source, sink: &mut Sink<'_>) -> Option<PositionFile> {
    let mut position = Position::unknown(record.text("tag")?);
    check_tag(&position.tag, record.at("tag"), source, sink);
    position.machine = record.string("machine").unwrap_or_default();
    position.notes = record.texts("notes").unwrap_or_default().to_vec();
    position.place = sink.place(At::File);
    if let Some(place) = record.table("place") {
        position.supply = place.string("supply");
        position.enclosure = place.string("box");
    }
    if let Some(old) = record.table("old") {
        position.old_series = old.string("series");
        position.old_code = old.string("code");
    }
    // A table whose values are all asked for and none known says nothing of a network.
    position.network = record.table("network").filter(|t| t.iter().any(|(key, _)| t.fact(key).is_none_or(|f| !f.is_missing()))).map(|t| {
        let node = t.whole("node").and_then(|n| u32::try_from(n).ok());
        NetworkUse { layout: t.string("layout"), wanted: t.string("wanted"), line: t.string("line"), node, same_address: Vec::new() }
    });
    let mut tables: Vec<&str> = FACTS.iter().map(FactDef::table).collect();
    tables.dedup();
    for key in tables {
        let Some(table) = record.table(key) else { continue };
        check_order(key, table, sink);
        for (id, fact) in facts(key, table) {
            if let Some(own) = position.fact_mut(id) {
                *own = fact;
            }
        }
    }
    let counted = |table: &Record| COUNTS.iter().map(|def| table.fact(def.key()).cloned().unwrap_or_default()).collect();
    position.cutover = Counted(record.table("cutover").map(counted).unwrap_or_default());
    if let Some(table) = record.table("habits") {
        position.habits = FoundHabits { words: Habit::all().map(|h| words_of(table, h)).collect(), place: sink.place(record.at("habits")) };
    }
    position.prices = prices(record);
    position.lead_times = lead_times(record);
    position.added = record.rows("added").iter().filter_map(added).collect();
    for row in record.rows("duty") {
        if row.cell("torque").is_none() && row.cell("current").is_none() {
            sink.warning(row.at, "this segment says neither torque nor current", "one of them tells how hard the motor works");
        }
        position.duty.push(DUTY_COLUMNS.iter().map(|def| row.fact(def.key()).cloned().unwrap_or_else(Fact::default)).collect());
    }
    let log = record.table("log").and_then(|table| log_file(table, sink));
    let list = record.table("settings").and_then(|table| {
        let path = inside(table, "list", "evidence/settings.csv", sink)?;
        Some(ListFile { path, extent: table.word("extent")?, place: sink.place(table.at("list")) })
    });
    let wires = record.table("wires").and_then(|table| {
        let path = inside(table, "list", "evidence/wires.csv", sink)?;
        Some(WiresFile { path, place: sink.place(table.at("list")) })
    });
    Some(PositionFile { position, log, list, wires })
}

/// The words that a habit was found to have; `None` where nobody looked.
fn words_of(table: &Record, habit: Habit) -> Option<WordSet> {
    table.indices(habit.word()).map(|words| WordSet::of(words.iter().copied())).filter(|set| !set.is_empty())
}

fn added(row: &Record) -> Option<AddedPart> {
    Some(AddedPart {
        name: row.string("name")?,
        width: row.quantity("width")?,
        height: row.quantity("height")?,
        depth: row.quantity("depth")?,
        clear_ends: row.quantity("clear_ends").unwrap_or_default(),
        clear_side: row.quantity("clear_side").unwrap_or_default(),
        may_turn: row.flag("may_turn").unwrap_or(false),
        mass: row.quantity("mass"),
        losses: row.quantity("losses")?,
    })
}

fn log_file(table: &Record, sink: &mut Sink<'_>) -> Option<LogFile> {
    let path = inside(table, "current", "evidence/current.csv", sink)?;
    Some(LogFile { path, repeats: table.flag("repeats")?, place: sink.place(table.at("current")) })
}

/// The path behind a key, where it stays in the site's folder.
fn inside(table: &Record, key: &'static str, example: &str, sink: &mut Sink<'_>) -> Option<String> {
    let path = table.string(key)?;
    // The path comes from a file that may come from anybody: it must stay in the site's folder.
    let inside = !path.starts_with(['/', '\\']) && !path.contains(':') && !path.split(['/', '\\']).any(|part| part == "..");
    if !inside {
        sink.error(table.at(key), format!("{key}: “{path}” leads out of the site's folder"), format!("name a file below it: {example}"));
        return None;
    }
    Some(path)
}

/// Warns when the file is not named after its tag.
fn check_tag(tag: &str, at: At, source: &Source, sink: &mut Sink<'_>) {
    let name = source.name();
    let Some(stem) = name.rsplit(['/', '\\']).next().and_then(|n| n.strip_suffix(".toml")) else { return };
    if stem != tag {
        sink.warning(at, format!("tag: “{tag}” stands in a file named “{stem}.toml”"), "people look a position up by the name of its file");
    }
}
