//! Texts of files into checked `plant` types and back: readers that list every mistake of a file at once and
//! point at its place, JSON Schemas, templates, and edits that keep a person's comments.
//!
//! One description per file ([`shape`]) drives all of it. Nothing here touches the disk, calculates or prints:
//! texts and bytes come in, values, problems and texts go out.

mod check;
mod csv;
mod cutover;
mod decisions;
mod edit;
mod eds;
mod found;
mod grid;
mod history;
mod list;
mod log;
mod pack;
mod position;
mod problem;
mod record;
mod schema;
pub mod shape;
mod site;
mod source;
mod template;
pub mod text;
mod toml;
mod wires;
mod xlsx;

pub use check::{apply_readings, check_site};
pub use cutover::read_ticks;
pub use decisions::{DecisionsFile, Reading, read_decisions};
pub use edit::{TEXTS, accept, add_reading, add_tick, choose, record, set_text, written};
pub use eds::{Eds, EdsSetting, new_pack_from, read_eds};
pub use found::read_settings_list;
pub use history::{Change, HISTORY, History, Hunk, entry, history_head, read_history, undone};
pub use list::{LIST_ROWS, ListColumn, ListRow, PositionList, read_position_list};
pub use log::read_current_log;
pub use pack::{PackFile, read_pack};
pub use position::{ListFile, LogFile, PositionFile, WiresFile, read_position};
pub use problem::{Problem, Read, Severity};
pub use schema::json_schema;
pub use shape::FileKind;
pub use site::read_site;
pub use source::{LOG_BYTES, LOG_ROWS, ROWS, SHEET_BYTES, Source, Spot, TEXT_BYTES};
pub use template::{NewFile, new_pack, new_position, new_site};
pub use wires::read_wire_list;

/// Version of all files that this program reads and writes: the number behind `schema =`.
pub const SCHEMA: u32 = 1;
