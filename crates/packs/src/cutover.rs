//! Reads the shutdown of `site.toml` and the ticks of `cutover/TAG.toml`.

use plant::cutover::{Crew, Isolation, Shutdown, TaskTimes, Tick, Window, minute_of_day};
use plant::quantity::Time;

use crate::problem::{Read, Sink};
use crate::record::Record;
use crate::shape::FileKind;
use crate::source::Source;
use crate::toml::open;

/// How long past the window's end a tick may lie: work may overrun, a clock time that goes back may not pass for the next day's.
const OVERRUN: Time = Time::hours(4.0);
/// Longest window in which a bare clock time says which day is meant, overrun included.
const LONGEST_BARE: Time = Time::hours(20.0);

/// The shutdown in a site's record.
pub(crate) fn shutdown(record: &Record, sink: &mut Sink<'_>) -> Shutdown {
    let positions = |row: &Record| row.texts("positions").unwrap_or_default().to_vec();
    let mut times = Vec::new();
    for row in record.rows("times") {
        let Some((task, least, likely, most)) =
            row.string("task").and_then(|task| Some((task, row.quantity("least")?, row.quantity("likely")?, row.quantity("most")?)))
        else {
            continue;
        };
        if least > likely || likely > most {
            sink.error(row.at("likely"), format!("times of {task}: {least}, {likely}, {most}"), "expected least ≤ likely ≤ most");
            continue;
        }
        times.push(TaskTimes { task, least, likely, most });
    }
    Shutdown {
        window: record.table("window").and_then(|table| window(table, sink)),
        crews: record
            .rows("crews")
            .iter()
            .filter_map(|row| {
                let people = row.whole("people").and_then(|n| u32::try_from(n).ok()).unwrap_or(1);
                Some(Crew { name: row.string("name")?, trade: row.word("trade")?, people })
            })
            .collect(),
        isolations: record
            .rows("isolations")
            .iter()
            .filter_map(|row| Some(Isolation { name: row.string("name")?, positions: positions(row) }))
            .collect(),
        times,
    }
}

fn window(table: &Record, sink: &mut Sink<'_>) -> Option<Window> {
    let start = clock(table, "start", sink);
    let length: Time = table.quantity("length")?;
    if length > LONGEST_BARE {
        sink.error(
            table.at("length"),
            format!("length: {length} are more than {LONGEST_BARE}"),
            "ticks say the time of day only; split the work into windows of a shift each",
        );
        return None;
    }
    Some(Window {
        date: table.string("date")?,
        start: start?,
        length,
        cost: table.number("cost"),
        confidence: table.quantity("confidence"),
        owner: table.string("owner"),
        positions: table.texts("positions").unwrap_or_default().to_vec(),
    })
}

fn clock(row: &Record, key: &str, sink: &mut Sink<'_>) -> Option<u32> {
    let text = row.text(key)?;
    let minute = minute_of_day(text);
    if minute.is_none() {
        sink.error(row.at(key), format!("{key}: “{text}” is no time of day"), "expected hours and minutes: 23:05");
    }
    minute
}

/// Reads the ticks of a position, in the order of the file. Times rise from tick to tick, begin with the window and may go past
/// midnight; one that lies far behind the window's end, or that goes back, is a mistake.
#[must_use]
pub fn read_ticks(source: &Source, window: Option<&Window>) -> Read<Vec<Tick>> {
    let mut sink = Sink::of(source);
    let value = open(source, FileKind::Ticks, &mut sink).filter(|o| !o.cut).map(|o| {
        let mut last = Time::ZERO;
        let mut ticks = Vec::new();
        for row in o.record.rows("ticks") {
            let (Some(task), Some(minute), Some(by)) = (row.string("task"), clock(row, "at", &mut sink), row.string("by")) else {
                continue;
            };
            // Without a window there is nothing to hold a time against; the first tick then begins the night.
            let night = window.cloned().unwrap_or(Window { start: minute, length: LONGEST_BARE, ..Window::default() });
            let at = night.next(minute, last);
            if at > night.length + OVERRUN {
                let (ends, before) = (night.clock(night.length), night.clock(last));
                let text = row.text("at").unwrap_or_default();
                sink.error(
                    row.at("at"),
                    format!("at: {text} lies before the tick above ({before}) or long after the window (until {ends})"),
                    "write ticks in the order in which tasks were done",
                );
                continue;
            }
            last = at;
            ticks.push(Tick { task, at, by, note: row.string("note"), place: sink.place(row.at) });
        }
        ticks
    });
    Read { value, problems: sink.finish() }
}
