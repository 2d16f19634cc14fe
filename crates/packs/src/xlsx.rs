//! Workbooks into records: the first sheet, cell by cell, so that a sheet's claimed size costs nothing.

use std::collections::BTreeMap;
use std::io::Cursor;

use calamine::{DataRef, Reader, Xlsx};

use crate::csv::GridCell;
use crate::grid::{Builder, COLUMNS, Grid};
use crate::problem::{At, Sink};
use crate::shape::Shape;
use crate::source::{SHEET_BYTES, too_large};

/// How many times its packed limit a workbook may unpack to.
const UNPACKED_TIMES: u64 = 8;

type Sheet = BTreeMap<u32, BTreeMap<u32, Found>>;

enum Found {
    Text(String),
    /// A cell that cannot be a value, and why.
    Bad(&'static str),
}

/// Reads the table on the first sheet of a workbook.
pub(crate) fn read_xlsx(name: &std::sync::Arc<str>, bytes: &[u8], shape: &'static Shape, most: usize, sink: &mut Sink<'_>) -> Grid {
    let mut builder = Builder::new(shape, most, false);
    if !each_row(name, bytes, sink, &mut |cells, sink| builder.push(cells, sink)) {
        return unread();
    }
    builder.finish(sink)
}

/// Goes through the rows of the first sheet until `row` wants no more; false with a problem when there is none to go through.
pub(crate) fn each_row(
    name: &std::sync::Arc<str>,
    bytes: &[u8],
    sink: &mut Sink<'_>,
    row: &mut dyn FnMut(&[GridCell<'_>], &mut Sink<'_>) -> bool,
) -> bool {
    let limit = SHEET_BYTES as u64 * UNPACKED_TIMES;
    if bytes.len() > SHEET_BYTES {
        sink.take(too_large(name, bytes.len(), SHEET_BYTES));
        return false;
    }
    match unpacked_bytes(bytes) {
        Some(unpacked) if unpacked <= limit => {}
        Some(unpacked) => {
            sink.error(
                At::File,
                format!("the workbook unpacks to {} MiB; {} MiB are the most that is read", unpacked >> 20, limit >> 20),
                "",
            );
            return false;
        }
        None => {
            sink.error(At::File, "this is no workbook", "save the table as .xlsx, or as CSV (UTF-8)");
            return false;
        }
    }
    // The workbook reader holds `expect`s of its own; a broken workbook is the user's problem to see, not a crash.
    let read = std::panic::catch_unwind(|| first_sheet(bytes));
    let (sheet, rows) = match read {
        Ok(Ok(found)) => (found.name, found.rows),
        Ok(Err(message)) => {
            sink.error(At::File, format!("the workbook cannot be read ({message})"), "save it again, or as CSV (UTF-8)");
            return false;
        }
        Err(_) => {
            sink.error(At::File, "the workbook is damaged", "save it again, or as CSV (UTF-8)");
            return false;
        }
    };
    sink.set_sheet(sheet);
    let width = rows.values().filter_map(|cells| cells.last_key_value()).map(|(column, _)| column + 1).max().unwrap_or(0);
    for (line, mut found) in rows {
        let is_comment = found.first_key_value().is_some_and(|(_, f)| matches!(f, Found::Text(t) if t.starts_with('#')));
        if is_comment {
            continue;
        }
        let mut cells: Vec<GridCell<'_>> = Vec::with_capacity(width as usize);
        for column in 0..width {
            let at = At::Cell { row: line, column };
            let text = match found.remove(&column) {
                Some(Found::Text(text)) => text,
                Some(Found::Bad(why)) => {
                    sink.error(at, why, "type the value as text or number");
                    String::new()
                }
                None => String::new(),
            };
            cells.push(GridCell { text: text.into(), at });
        }
        if !row(&cells, sink) {
            break;
        }
    }
    true
}

fn unread() -> Grid {
    Grid { rows: Vec::new(), gaps: true }
}

struct FirstSheet {
    name: String,
    rows: Sheet,
}

fn first_sheet(bytes: &[u8]) -> Result<FirstSheet, String> {
    let mut book: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).map_err(|e| e.to_string())?;
    let name = book.sheet_names().first().cloned().ok_or("it has no sheet")?;
    let mut reader = book.worksheet_cells_reader(&name).map_err(|e| e.to_string())?;
    let mut rows = Sheet::new();
    while let Some(cell) = reader.next_cell().map_err(|e| e.to_string())? {
        let (row, column) = cell.get_position();
        let found = match cell.get_value() {
            DataRef::Empty => continue,
            DataRef::Int(number) => Found::Text(number.to_string()),
            DataRef::Float(number) => Found::Text(number.to_string()),
            DataRef::String(text) => Found::Text(text.trim().to_owned()),
            DataRef::SharedString(text) => Found::Text(text.trim().to_owned()),
            DataRef::Bool(flag) => Found::Text(flag.to_string()),
            DataRef::DateTime(_) | DataRef::DateTimeIso(_) | DataRef::DurationIso(_) => {
                Found::Bad("this cell holds a date or time of the spreadsheet")
            }
            DataRef::Error(_) => Found::Bad("this cell holds an error of the spreadsheet"),
        };
        if matches!(&found, Found::Text(text) if text.is_empty()) {
            continue;
        }
        if usize::try_from(column).is_ok_and(|c| c >= COLUMNS) {
            return Err(format!("something stands beyond column {COLUMNS}, in row {}", row + 1));
        }
        rows.entry(row).or_default().insert(column, found);
    }
    Ok(FirstSheet { name, rows })
}

/// What a workbook unpacks to, as its own directory states; `None` when it is no zip archive.
/// (ZIP, APPNOTE.TXT 6.3: end record 4.3.16, directory entries 4.3.12; from memory.)
fn unpacked_bytes(bytes: &[u8]) -> Option<u64> {
    const END: &[u8] = b"PK\x05\x06";
    const ENTRY: &[u8] = b"PK\x01\x02";
    const LONGEST_TAIL: usize = 22 + 65_535;
    let at = |offset: usize, width: usize| -> Option<usize> {
        bytes.get(offset..offset.checked_add(width)?).map(|b| b.iter().rev().fold(0, |n, b| n << 8 | usize::from(*b)))
    };
    let tail = bytes.len().saturating_sub(LONGEST_TAIL);
    let end = tail + bytes.get(tail..)?.windows(END.len()).rposition(|w| w == END)?;
    let (entries, mut entry) = (at(end + 10, 2)?, at(end + 16, 4)?);
    let mut total = 0;
    for _ in 0..entries {
        if bytes.get(entry..entry.checked_add(ENTRY.len())?)? != ENTRY {
            return None;
        }
        total += at(entry + 24, 4)? as u64;
        entry += 46 + at(entry + 28, 2)? + at(entry + 30, 2)? + at(entry + 32, 2)?;
    }
    Some(total)
}
