//! Reads a current log: CSV with the columns time and current.

use plant::fact::Origin;
use plant::position::CurrentLog;
use plant::quantity::{Current, Time};

use crate::csv::{GridCell, Rows};
use crate::grid::Header;
use crate::problem::{At, Read, Sink};
use crate::record::Value;
use crate::shape::current_log;
use crate::source::{LOG_BYTES, LOG_ROWS, Source, too_large};

/// Reads a current log. Cells are quantities, or bare numbers under a header such as `time [s]`; times must rise.
/// `repeats` is what the position says of it. The value is `None` when a sample is wrong: a log with a hole is none.
#[must_use]
pub fn read_current_log(source: &Source, repeats: bool) -> Read<CurrentLog> {
    let mut sink = Sink::of(source);
    let samples = samples(source, &mut sink);
    let problems = sink.finish();
    let broken = problems.iter().any(crate::Problem::is_error);
    let origin = Origin {
        proof: Some(source.name().to_string()),
        place: plant::fact::Place { file: source.name().clone(), line: 1 },
        ..Origin::default()
    };
    Read { value: samples.filter(|_| !broken).map(|samples| CurrentLog { samples, repeats, origin }), problems }
}

fn samples(source: &Source, sink: &mut Sink<'_>) -> Option<Vec<(Time, Current)>> {
    if source.text().len() > LOG_BYTES {
        sink.take(too_large(source.name(), source.text().len(), LOG_BYTES));
        return None;
    }
    let mut rows = Rows::new(source.text());
    let mut cells: Vec<GridCell<'_>> = Vec::new();
    let mut header = match rows.next_row(&mut cells) {
        Some(Ok(())) => Header::read(current_log(), &cells, rows.has_semicolons(), sink),
        Some(Err(bad)) => {
            sink.error(bad.at, bad.wrong.message, bad.wrong.help);
            return None;
        }
        None => {
            sink.error(At::File, "the log is empty", "its first row names the columns: time [s],current [A]");
            return None;
        }
    };
    let (time, current) = (header.position("time")?, header.position("current")?);
    let mut samples: Vec<(Time, Current)> = Vec::new();
    let mut last = None;
    while let Some(row) = rows.next_row(&mut cells) {
        if let Err(bad) = row {
            sink.error(bad.at, bad.wrong.message, bad.wrong.help);
            continue;
        }
        if cells.iter().all(|c| c.text.is_empty()) || !header.fits(&cells, sink) {
            continue;
        }
        let mut number = |position: usize, key: &str| {
            let cell = cells.get(position)?;
            match header.value(position, cell) {
                Ok(Some(Value::Number(number))) => return Some((number, cell.at)),
                Ok(_) => sink.error(cell.at, format!("{key}: this cell is blank"), "each row needs a time and a current"),
                Err(wrong) => header.tell(position, cell, wrong, sink),
            }
            None
        };
        let (at_time, at_current) = (number(time, "time"), number(current, "current"));
        let Some((t, at)) = at_time else { continue };
        if last.is_some_and(|last| last >= t) {
            let shown = cells.get(time).map_or("", |c| &*c.text);
            sink.error(at, format!("time: {shown} does not come after the row before"), "times must rise from row to row");
            continue;
        }
        last = Some(t);
        let Some((i, _)) = at_current else { continue };
        if samples.len() >= LOG_ROWS {
            sink.error(at, format!("the log has more than {LOG_ROWS} samples"), "thin it out, or cut it to the worst hours");
            return None;
        }
        samples.push((Time::s(t), Current::a(i)));
    }
    if samples.len() < 2 && !sink.has_errors() {
        sink.error(At::File, "a log needs two samples at least", "");
        return None;
    }
    Some(samples)
}
