//! Reads a list of conductors as people write it at the terminal strip: a row for each, columns in any order under the heads that they
//! would write. Every row stays in the list; a cell that cannot be read counts as not known, and is told.

use std::sync::Arc;

use plant::choice::{Choice, ChoiceInfo, WindingSensor};
use plant::fact::{Known, Place};
use plant::quantity::dim::{ApparentPowerDim, CountDim, CurrentDim, ResistanceDim, SpeedDim, VoltageDim};
use plant::quantity::{Dimension, DimensionInfo, unit_named};
use plant::survey::Kind;
use plant::wires::{
    Conductor, Driver, FUNCTIONS, FedBy, Flow, Handling, Level, Mode, Polarity, Pole, Range, Sense, WireList, function_called,
};

use crate::csv::{GridCell, Rows};
use crate::problem::{At, Read, Sink, did_you_mean};
use crate::source::{ROWS, SHEET_BYTES, Source, TEXT_BYTES};
use crate::text::{parse_fact, sensible};
use crate::xlsx::each_row;

/// Longest text of a cell.
const LONGEST: usize = 200;
/// What people write for what they did not find out.
const BLANKS: &[&str] = &["", "?", "-", "--", "—", "n/a"];

/// A column: its name here, and the other heads that people write, in small letters.
struct Column {
    name: &'static str,
    heads: &'static [&'static str],
    takes: Takes,
}

/// What a column takes.
enum Takes {
    Text,
    Word(&'static ChoiceInfo, &'static [(&'static str, &'static str)]),
    Quantity(&'static DimensionInfo, f64, f64),
}

const COLUMNS: &[Column] = &[
    Column { name: "wire", heads: &["wire no", "wire no.", "wire number", "no", "no.", "ferrule", "conductor"], takes: Takes::Text },
    Column { name: "terminal", heads: &["old terminal", "term", "term.", "drive terminal", "from"], takes: Takes::Text },
    Column { name: "to", heads: &["from/to", "other end", "goes to", "destination", "leads to"], takes: Takes::Text },
    Column { name: "circuit", heads: &["loop", "device"], takes: Takes::Text },
    Column {
        name: "pole",
        heads: &["side"],
        takes: Takes::Word(Pole::INFO, &[("common", "com"), ("signal", "sig"), ("return", "ret"), ("return", "minus")]),
    },
    Column { name: "function", heads: &["use", "purpose", "meaning", "description"], takes: Takes::Text },
    Column { name: "volts", heads: &["voltage", "v", "volts on"], takes: Takes::Quantity(VoltageDim::INFO, 0.0, 1000.0) },
    Column { name: "flow", heads: &["ac/dc", "ac or dc", "kind"], takes: Takes::Word(Flow::INFO, &[]) },
    Column {
        name: "polarity",
        heads: &["pol", "pol."],
        takes: Takes::Word(Polarity::INFO, &[("positive", "+"), ("negative", "0 v"), ("negative", "0v")]),
    },
    Column {
        name: "driver",
        heads: &["driven by", "driven", "drives"],
        takes: Takes::Word(
            Driver::INFO,
            &[
                ("contact", "button"),
                ("contact", "switch"),
                ("contact", "relay"),
                ("contact", "dry contact"),
                ("pnp", "sourcing"),
                ("npn", "sinking"),
                ("triac", "solid-state ac"),
                ("loop", "two-wire"),
                ("loop", "2-wire"),
                ("source", "four-wire"),
                ("source", "4-wire"),
                ("potentiometer", "pot"),
                ("drive", "old drive"),
            ],
        ),
    },
    Column {
        name: "fed by",
        heads: &["feed", "fed from", "supplied from"],
        takes: Takes::Word(FedBy::INFO, &[("drive", "old drive"), ("outside", "plant")]),
    },
    Column { name: "handling", heads: &["momentary/maintained"], takes: Takes::Word(Handling::INFO, &[("momentary", "spring return")]) },
    Column { name: "leakage", heads: &["off current", "current off"], takes: Takes::Quantity(CurrentDim::INFO, 0.0, 0.1) },
    Column {
        name: "least",
        heads: &["least current", "minimum current", "wetting current"],
        takes: Takes::Quantity(CurrentDim::INFO, 0.0, 1.0),
    },
    Column { name: "loop supply", heads: &["loop volts"], takes: Takes::Quantity(VoltageDim::INFO, 1.0, 100.0) },
    Column { name: "burden", heads: &["ohms", "loop burden", "resistance"], takes: Takes::Quantity(ResistanceDim::INFO, 0.0, 1e6) },
    Column {
        name: "needs",
        heads: &["transmitter needs", "least volts", "transmitter minimum"],
        takes: Takes::Quantity(VoltageDim::INFO, 0.0, 100.0),
    },
    Column {
        name: "range",
        heads: &["signal", "signal range"],
        takes: Takes::Word(Range::INFO, &[("+-10 V", "±10 v"), ("4-20 mA", "4..20 ma"), ("0-10 V", "0..10 v")]),
    },
    Column { name: "load", heads: &["va", "load va", "sealed"], takes: Takes::Quantity(ApparentPowerDim::INFO, 0.0, 1e5) },
    Column { name: "inrush", heads: &["inrush va"], takes: Takes::Quantity(ApparentPowerDim::INFO, 0.0, 1e6) },
    Column { name: "sense", heads: &["contact", "state"], takes: Takes::Word(Sense::INFO, &[]) },
    Column { name: "ground", heads: &["ground difference", "earth difference"], takes: Takes::Quantity(VoltageDim::INFO, 0.0, 500.0) },
    Column {
        name: "level",
        heads: &["encoder signal", "encoder level"],
        takes: Takes::Word(Level::INFO, &[("8-30 V push-pull", "htl"), ("5 V differential", "ttl")]),
    },
    Column { name: "pulses", heads: &["ppr", "pulses per turn"], takes: Takes::Quantity(CountDim::INFO, 1.0, 1e6) },
    Column { name: "speed", heads: &["highest speed", "top speed"], takes: Takes::Quantity(SpeedDim::INFO, 0.1, 1e4) },
    Column { name: "sensor", heads: &["winding sensor"], takes: Takes::Word(WindingSensor::INFO, &[]) },
    Column { name: "modes", heads: &["mode", "acts in"], takes: Takes::Text },
    Column { name: "note", heads: &["notes", "remark", "remarks", "comment"], takes: Takes::Text },
];

/// Reads a list of conductors from the bytes of a CSV file or of a workbook (by the end of its name).
#[must_use]
pub fn read_wire_list(name: &str, bytes: &[u8], place: Place) -> Read<WireList> {
    let name: Arc<str> = name.into();
    let mut reader = Reader { columns: None, conductors: Vec::new() };
    let problems = if name.ends_with(".xlsx") {
        let mut sink = Sink::named(name.clone());
        if each_row(&name, bytes, &mut sink, &mut |cells, sink| reader.row(cells, sink)) {
            reader.finish(&mut sink);
        }
        sink.finish()
    } else {
        match Source::from_bytes(name, bytes, TEXT_BYTES.min(SHEET_BYTES)) {
            Ok(source) => {
                let mut sink = Sink::of(&source);
                let (mut rows, mut cells) = (Rows::new(source.text()), Vec::new());
                while let Some(row) = rows.next_row(&mut cells) {
                    match row {
                        Ok(()) if !reader.row(&cells, &mut sink) => break,
                        Ok(()) => {}
                        Err(bad) => sink.error(bad.at, bad.wrong.message, bad.wrong.help),
                    }
                }
                reader.finish(&mut sink);
                sink.finish()
            }
            Err(problem) => return Read { value: None, problems: vec![problem] },
        }
    };
    let broken = problems.iter().any(crate::Problem::is_error);
    Read { value: (!broken).then_some(WireList { conductors: reader.conductors, place }), problems }
}

/// Where a column stands, and the unit of its bare numbers.
struct Found {
    at: usize,
    unit: Option<String>,
}

struct Reader {
    /// One entry per entry of [`COLUMNS`], once the header was read.
    columns: Option<Vec<Option<Found>>>,
    conductors: Vec<Conductor>,
}

impl Reader {
    /// Takes a row; false when no more are wanted.
    fn row(&mut self, cells: &[GridCell<'_>], sink: &mut Sink<'_>) -> bool {
        if cells.iter().all(|c| c.text.is_empty()) {
            return true;
        }
        let at = cells.iter().find(|c| !c.text.is_empty()).map_or(At::File, |c| c.at);
        let Some(columns) = &self.columns else {
            self.columns = header(cells, sink);
            if self.columns.is_none() {
                let shown: Vec<&str> = cells.iter().map(|c| &*c.text).filter(|t| !t.is_empty()).collect();
                sink.warning(at, format!("this row before the header was not read: {}", cut(&shown.join(", "))), "");
            }
            return true;
        };
        if self.conductors.len() >= ROWS {
            sink.error(at, format!("the list has more than {ROWS} rows"), "what follows was not read");
            return false;
        }
        if let Some(cell) = cells.iter().find(|c| c.text.chars().count() > LONGEST || c.text.chars().any(char::is_control)) {
            sink.error(
                cell.at,
                format!("this cell has more than {LONGEST} characters, or a control character"),
                "put it into a note of its own",
            );
            return true;
        }
        let line = Line { columns, cells, at };
        let conductor = line.conductor(sink);
        self.conductors.push(conductor);
        true
    }

    fn finish(&mut self, sink: &mut Sink<'_>) {
        if self.columns.is_none() {
            sink.error(At::File, "no row names the columns", "a row above the list says at least: wire, terminal, function");
        } else if self.conductors.is_empty() && !sink.has_errors() {
            sink.error(At::File, "the list has no rows", "");
        }
        let mut seen = std::collections::HashMap::new();
        for (index, conductor) in self.conductors.iter().enumerate() {
            if let Some(first) = seen.insert((conductor.wire.clone(), conductor.terminal.clone()), index) {
                let line = self.conductors.get(first).map_or(0, |c| c.place.line);
                sink.warning(
                    At::File,
                    format!("line {}: wire {} at terminal {} stands twice", conductor.place.line, conductor.wire, conductor.terminal),
                    format!("it is also on line {line}; both were taken"),
                );
            }
        }
    }
}

/// The columns, where this row names them.
fn header(cells: &[GridCell<'_>], sink: &mut Sink<'_>) -> Option<Vec<Option<Found>>> {
    let heads: Vec<(String, Option<String>)> = cells
        .iter()
        .map(|c| match c.text.split_once('[') {
            Some((name, unit)) => (plain(name), Some(unit.trim_end().trim_end_matches(']').trim().to_owned())),
            None => (plain(&c.text), None),
        })
        .collect();
    let is = |column: &Column, head: &str| head == column.name || column.heads.contains(&head);
    let find = |column: &Column| heads.iter().position(|(head, _)| is(column, head));
    let named = |name: &str| COLUMNS.iter().find(|c| c.name == name).and_then(find);
    if named("function").is_none() || (named("wire").is_none() && named("terminal").is_none()) {
        return None;
    }
    for (cell, (head, unit)) in cells.iter().zip(&heads) {
        let column = COLUMNS.iter().find(|c| is(c, head));
        match (column, unit) {
            (None, _) if head.is_empty() => {}
            (None, _) => {
                sink.warning(cell.at, format!("the column “{head}” was not read"), did_you_mean(head, COLUMNS.iter().map(|c| c.name)));
            }
            (Some(Column { takes: Takes::Quantity(info, ..), .. }), Some(unit)) if unit_named(info, unit).is_none() => {
                sink.error(cell.at, format!("{head}: “{unit}” is no unit of {}", info.name), "its numbers cannot be read");
            }
            _ => {}
        }
    }
    let place = |column: &Column| find(column).map(|at| Found { at, unit: heads.get(at).and_then(|(_, unit)| unit.clone()) });
    Some(COLUMNS.iter().map(place).collect())
}

fn plain(head: &str) -> String {
    head.trim().to_lowercase().replace('_', " ")
}

fn cut(text: &str) -> String {
    if text.chars().count() > 60 { text.chars().take(60).chain(['…']).collect() } else { text.to_owned() }
}

/// One row with its columns.
struct Line<'r> {
    columns: &'r [Option<Found>],
    cells: &'r [GridCell<'r>],
    at: At,
}

impl Line<'_> {
    fn conductor(&self, sink: &mut Sink<'_>) -> Conductor {
        let (wire, terminal) = (self.text("wire"), self.text("terminal"));
        if wire.is_empty() && terminal.is_empty() {
            sink.warning(self.at, "this row names neither wire nor terminal", "it is kept; nobody will find the conductor by it");
        }
        let written = self.text("function");
        let function = function_called(&written);
        if function.is_none() {
            let help = did_you_mean(&written.to_lowercase(), FUNCTIONS.iter().map(|f| f.id));
            sink.warning(
                self.place("function"),
                format!("function: “{}” is not known here: wire {wire} has no landing", cut(&written)),
                help,
            );
        }
        let circuit = self.text("circuit");
        let (volts, flow) = self.volts(sink);
        Conductor {
            circuit: if circuit.is_empty() { if wire.is_empty() { terminal.clone() } else { wire.clone() } } else { circuit },
            wire,
            terminal,
            other_end: self.text("to"),
            pole: self.word("pole", sink),
            function,
            function_text: written,
            volts,
            flow,
            polarity: self.word::<Polarity>("polarity", sink),
            driver: self.word::<Driver>("driver", sink),
            fed_by: self.word::<FedBy>("fed by", sink),
            handling: self.word::<Handling>("handling", sink),
            leakage: self.quantity("leakage", sink),
            least: self.quantity("least", sink),
            loop_supply: self.quantity("loop supply", sink),
            burden: self.quantity("burden", sink),
            needs: self.quantity("needs", sink),
            range: self.word::<Range>("range", sink),
            load: self.quantity("load", sink),
            inrush: self.quantity("inrush", sink),
            sense: self.word::<Sense>("sense", sink),
            ground: self.quantity("ground", sink),
            level: self.word::<Level>("level", sink),
            pulses: self.quantity("pulses", sink),
            speed: self.quantity("speed", sink),
            sensor: self.word::<WindingSensor>("sensor", sink),
            modes: self.modes(sink),
            note: self.text("note"),
            place: sink.place(self.at),
        }
    }

    fn cell(&self, name: &str) -> Option<(&'static Column, &Found, &GridCell<'_>)> {
        let index = COLUMNS.iter().position(|c| c.name == name)?;
        let found = self.columns.get(index)?.as_ref()?;
        Some((COLUMNS.get(index)?, found, self.cells.get(found.at)?))
    }

    fn text(&self, name: &str) -> String {
        self.cell(name).map_or_else(String::new, |(_, _, cell)| cell.text.trim().to_owned())
    }

    fn place(&self, name: &str) -> At {
        self.cell(name).map_or(self.at, |(_, _, cell)| if cell.at == At::File { self.at } else { cell.at })
    }

    fn word<C: Choice>(&self, name: &'static str, sink: &mut Sink<'_>) -> Option<C> {
        let (column, _, cell) = self.cell(name)?;
        let text = cell.text.trim().to_lowercase();
        let Takes::Word(info, also) = &column.takes else { return None };
        if BLANKS.contains(&text.as_str()) {
            return None;
        }
        let index = info.words.iter().position(|w| w.word.to_lowercase() == text);
        let index = index.or_else(|| also.iter().find(|(_, other)| *other == text).and_then(|(word, _)| info.index(word)));
        if index.is_none() {
            let help = format!("it counts as not known; {}", did_you_mean(&text, info.words.iter().map(|w| w.word)));
            sink.warning(self.place(name), format!("{name}: “{}” is no {}", cut(&cell.text), info.name), help);
        }
        index.and_then(C::from_index)
    }

    fn quantity(&self, name: &'static str, sink: &mut Sink<'_>) -> Known {
        let Some((_, _, cell)) = self.cell(name) else { return Known::Missing };
        self.number(name, cell.text.trim(), sink)
    }

    fn number(&self, name: &'static str, text: &str, sink: &mut Sink<'_>) -> Known {
        let Some((Column { takes: Takes::Quantity(info, low, high), .. }, found, _)) = self.cell(name) else { return Known::Missing };
        if BLANKS.contains(&text) {
            return Known::Missing;
        }
        let bare = text.ends_with(|c: char| c.is_ascii_digit() || c == '.') && !text.contains('|');
        let unit = found.unit.as_deref().filter(|_| bare);
        let whole = unit.map_or_else(|| text.to_owned(), |unit| format!("{text} {unit}"));
        let read = parse_fact(&whole, Kind::Quantity(info))
            .and_then(|known| known.bounds().map_or(Ok(()), |b| sensible(&whole, b, info, (*low, *high))).map(|()| known));
        read.unwrap_or_else(|wrong| {
            sink.warning(self.place(name), format!("{name}: {}", wrong.message), format!("it counts as not known; {}", wrong.help));
            Known::Missing
        })
    }

    /// Volts with what people write behind them: "120 V AC", "24VDC".
    fn volts(&self, sink: &mut Sink<'_>) -> (Known, Option<Flow>) {
        let own = self.word::<Flow>("flow", sink);
        let text = self.text("volts");
        let small = text.to_lowercase();
        let (rest, said) = match (small.strip_suffix("ac"), small.strip_suffix("dc")) {
            (Some(rest), _) => (text.get(..rest.len()).unwrap_or(&text), Some(Flow::Ac)),
            (_, Some(rest)) => (text.get(..rest.len()).unwrap_or(&text), Some(Flow::Dc)),
            _ => (text.as_str(), None),
        };
        if let (Some(one), Some(other)) = (own, said)
            && one != other
        {
            sink.warning(
                self.place("volts"),
                "volts: this column says ac, another dc, or the other way round",
                "it counts as not known which",
            );
            return (self.number("volts", rest.trim(), sink), None);
        }
        (self.number("volts", rest.trim(), sink), own.or(said))
    }

    fn modes(&self, sink: &mut Sink<'_>) -> Vec<Mode> {
        let text = self.text("modes");
        let mut modes = Vec::new();
        for part in text.split(['|', ',', '/', ';']).map(str::trim).filter(|p| !BLANKS.contains(p)) {
            match Mode::from_word(&part.to_lowercase()) {
                Some(mode) => modes.push(mode),
                None => sink.warning(
                    self.place("modes"),
                    format!("modes: “{}” is no mode", cut(part)),
                    did_you_mean(part, Mode::INFO.words.iter().map(|w| w.word)),
                ),
            }
        }
        modes
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::indexing_slicing, reason = "tests stop at the first broken expectation")]

    use super::*;

    fn read(text: &str) -> (Vec<Conductor>, Vec<String>) {
        let read = read_wire_list("wires.csv", text.as_bytes(), Place::default());
        let problems = read.problems.iter().map(|p| format!("{}: {}", p.line, p.message)).collect();
        (read.value.map(|l| l.conductors).unwrap_or_default(), problems)
    }

    #[test]
    fn a_list_as_people_write_it() {
        let (list, problems) = read(
            "Wire No.;Old terminal;From/to;Function;Voltage;Driven by;Leakage [mA]\n11;4;start button S1;START;120 V AC;button;\n12;5;PLC;Run fwd;20..28 VDC;sourcing;0.5\n",
        );
        assert!(problems.is_empty(), "{problems:?}");
        assert_eq!((list[0].function.unwrap().id, list[0].volts.clone(), list[0].flow), ("start", Known::Value(120.0), Some(Flow::Ac)));
        assert_eq!(
            (list[1].function.unwrap().id, list[1].volts.clone(), list[1].driver),
            ("run-forward", Known::Range(20.0, 28.0), Some(Driver::Pnp))
        );
        let (low, high) = list[1].leakage.bounds().unwrap();
        assert!((low - 5e-4).abs() < 1e-12 && (high - 5e-4).abs() < 1e-12);
    }

    #[test]
    fn what_cannot_be_read_is_told_row_by_row_and_no_row_is_lost() {
        let (list, problems) =
            read("wire,terminal,function,volts,driver,colour\n1,4,strat,24 V,contact,red\n2,5,stop,many,ghost,\n,,run,24 V dc,,\n");
        assert_eq!(list.len(), 3);
        assert!(list[0].function.is_none() && list[1].volts == Known::Missing && list[1].driver.is_none());
        for (line, what) in [(1, "colour"), (2, "strat"), (3, "volts"), (3, "driver"), (4, "neither wire nor terminal")] {
            assert!(problems.iter().any(|p| p.starts_with(&format!("{line}: ")) && p.contains(what)), "{line} {what}: {problems:?}");
        }
        assert_eq!(problems.len(), 5, "{problems:?}");
    }

    #[test]
    fn without_a_header_nothing_is_read() {
        let (list, problems) = read("11,4,start\n12,5,stop\n");
        assert!(list.is_empty() && problems.iter().any(|p| p.contains("names the columns")), "{problems:?}");
    }

    #[test]
    fn every_head_means_one_column() {
        let mut seen = std::collections::BTreeSet::new();
        for head in COLUMNS.iter().flat_map(|c| std::iter::once(&c.name).chain(c.heads)) {
            assert!(seen.insert(*head), "{head} means two columns");
        }
    }
}
