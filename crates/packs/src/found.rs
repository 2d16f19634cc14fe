//! Reads a settings list as found: uploaded by a tool, or typed from a keypad. People and tools write these in many ways; each row
//! ends in the list with its value or with the reason why it counts for nothing, and none is passed over.

use std::sync::Arc;

use plant::fact::Place;
use plant::settings::{Extent, Found, FoundList};

use crate::csv::{GridCell, Rows};
use crate::problem::{At, Read, Sink};
use crate::source::{ROWS, SHEET_BYTES, Source, TEXT_BYTES};
use crate::xlsx::each_row;

/// Heads of the column that names the setting.
const IDS: &[&str] = &["id", "no", "no.", "nr", "nr.", "number", "setting", "parameter", "par", "par.", "param", "item", "address"];
/// Heads of the column that holds its value.
const VALUES: &[&str] = &["value", "actual", "actual value", "as found", "as-found", "present", "present value", "current value", "set to"];
/// Heads of the column that holds its unit.
const UNITS: &[&str] = &["unit", "units", "dim", "dim."];
/// Heads of columns that are for people only.
const TEXTS: &[&str] = &["text", "name", "description", "meaning", "remark", "remarks", "note", "notes", "comment"];
/// What people write for a value that they did not read.
const BLANKS: &[&str] = &["", "?", "-", "--", "—", "n/a"];
/// Longest text of a cell.
const LONGEST: usize = 200;

/// Reads a settings list from the bytes of a CSV file or of a workbook (by the end of its name). Rows whose value cannot be read stay
/// in the list with the reason, and a warning.
#[must_use]
pub fn read_settings_list(name: &str, bytes: &[u8], extent: Extent, place: Place) -> Read<FoundList> {
    let name: Arc<str> = name.into();
    let mut reader = Reader { columns: None, before: 0, rows: Vec::new() };
    let problems = if name.ends_with(".xlsx") {
        let mut sink = Sink::named(name.clone());
        each_row(&name, bytes, &mut sink, &mut |cells, sink| reader.row(cells, sink));
        reader.finish(&mut sink);
        sink.finish()
    } else {
        match Source::from_bytes(name, bytes, TEXT_BYTES.min(SHEET_BYTES)) {
            Ok(source) => {
                let mut sink = Sink::of(&source);
                let (mut rows, mut cells) = (rows(source.text()), Vec::new());
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
    let rows = reader.rows.into_iter().map(|(found, _)| found).collect();
    Read { value: (!broken).then_some(FoundList { extent: Some(extent), rows, place }), problems }
}

/// The rows of a text; what stands between the cells shows in the row that names the columns, not in what tools write above it.
fn rows(text: &str) -> Rows<'_> {
    let named = |line: &str, delimiter: u8| {
        let names: Vec<String> = line.split(char::from(delimiter)).map(|n| n.trim().trim_matches('"').to_lowercase()).collect();
        let has = |list: &[&str]| names.iter().any(|n| list.contains(&n.as_str()));
        has(IDS) && has(VALUES)
    };
    let found = text.lines().find_map(|line| [b',', b';', b'\t'].into_iter().find(|d| named(line, *d)));
    found.map_or_else(|| Rows::new(text), |delimiter| Rows::with_delimiter(text, delimiter))
}

struct Columns {
    id: usize,
    value: usize,
    unit: Option<usize>,
}

struct Reader {
    columns: Option<Columns>,
    /// Rows before the header.
    before: usize,
    rows: Vec<(Found, At)>,
}

impl Reader {
    /// Takes a row; false when no more are wanted.
    fn row(&mut self, cells: &[GridCell<'_>], sink: &mut Sink<'_>) -> bool {
        if cells.iter().all(|c| c.text.is_empty()) {
            return true;
        }
        let Some(columns) = &self.columns else {
            self.columns = header(cells, sink);
            if self.columns.is_none() {
                self.before += 1;
            }
            return true;
        };
        if self.rows.len() >= ROWS {
            sink.error(
                cells.first().map_or(At::File, |c| c.at),
                format!("the list has more than {ROWS} rows"),
                "what follows was not read",
            );
            return false;
        }
        let cell = |at: usize| cells.get(at).map_or("", |c| c.text.trim());
        let at = cells.iter().find(|c| !c.text.is_empty()).map_or(At::File, |c| c.at);
        let id = cell(columns.id);
        if id.is_empty() {
            let shown: Vec<&str> = cells.iter().map(|c| &*c.text).filter(|t| !t.is_empty()).collect();
            sink.warning(
                at,
                format!("this row names no setting: {}", cut(&shown.join(", "))),
                "it was not taken; write its id, or take the row out",
            );
            return true;
        }
        let (text, unit) = (cell(columns.value), columns.unit.map_or("", cell));
        if id.chars().count() > LONGEST || text.chars().count() > LONGEST || unit.chars().count() > LONGEST {
            sink.error(at, format!("a cell of this row has more than {LONGEST} characters"), "a setting and its value are short");
            return true;
        }
        let shown = if unit.is_empty() || text.is_empty() { text.to_owned() } else { format!("{text} {unit}") };
        let found = Found {
            id: id.to_owned(),
            text: shown,
            number: None,
            unit: unit.to_owned(),
            unread: if BLANKS.contains(&text) { "its value was not read".to_owned() } else { String::new() },
            place: sink.place(at),
        };
        self.rows.push((found, at));
        true
    }

    /// Reads the numbers, which needs the whole list: what a comma is shows in other rows.
    fn finish(&mut self, sink: &mut Sink<'_>) {
        let Some(columns) = &self.columns else {
            sink.error(At::File, "no row names the columns", "a row above the list says: id, value, unit");
            return;
        };
        if self.before > 0 {
            sink.warning(
                At::File,
                format!("{} row{} before the header were not read", self.before, if self.before == 1 { "" } else { "s" }),
                "",
            );
        }
        if self.rows.is_empty() && !sink.has_errors() {
            sink.error(At::File, "the list has no rows", "");
        }
        let has_unit = columns.unit.is_some();
        let head = |found: &Found| -> String { split(number_text(found, has_unit)).0.to_owned() };
        let forms: Vec<Form> = self.rows.iter().map(|(f, _)| form(&head(f))).collect();
        let first = |wanted: Form| forms.iter().position(|f| *f == wanted).map(|i| self.rows.get(i).map_or(0, |(f, _)| f.place.line));
        let (decimal, thousands) = (first(Form::DecimalComma), first(Form::Thousands));
        let mut told = false;
        for ((found, at), form) in self.rows.iter_mut().zip(&forms) {
            if !found.unread.is_empty() {
                continue;
            }
            let written = number_text(found, has_unit).to_owned();
            let (number, rest) = split(&written);
            if number.is_empty() {
                continue;
            }
            let plain = match form {
                Form::Plain => Some(number.to_owned()),
                Form::DecimalComma => Some(number.replace('.', "").replace(',', ".")),
                Form::Thousands => Some(number.replace(',', "")),
                Form::CommaAndThree if decimal.is_some() && thousands.is_none() => Some(number.replace(',', ".")),
                Form::CommaAndThree if thousands.is_some() && decimal.is_none() => Some(number.replace(',', "")),
                Form::PointAndThree if decimal.is_none() => Some(number.to_owned()),
                _ => None,
            };
            if *form == Form::DecimalComma && !std::mem::replace(&mut told, true) {
                sink.warning(
                    *at,
                    "commas in this list are read as decimal signs where they must be",
                    "compare one such value with the keypad",
                );
            }
            let value = plain.as_deref().and_then(|p| p.replace('−', "-").parse::<f64>().ok()).filter(|v| v.is_finite() && v.abs() < 1e15);
            match value {
                Some(value) => {
                    found.number = Some(value);
                    if found.unit.is_empty() {
                        found.unit = rest.trim().to_owned();
                    }
                }
                None => {
                    found.unread =
                        format!("“{number}” can be read in two ways, or in none: what its comma or point means is not to be seen")
                }
            }
        }
        self.twice();
        for (found, at) in &self.rows {
            if !found.unread.is_empty() {
                sink.warning(*at, format!("{}: {}", found.id, found.unread), "it needs a decision: read it again at the old drive");
            }
        }
    }

    /// A setting that stands twice with two values has none.
    fn twice(&mut self) {
        let mut seen: std::collections::HashMap<String, usize> = std::collections::HashMap::new();
        let mut both = Vec::new();
        for (index, (found, _)) in self.rows.iter().enumerate() {
            if let Some(first) = seen.insert(found.id.clone(), index) {
                both.push((first, index));
            }
        }
        for (first, second) in both {
            let text = |i: usize| self.rows.get(i).map(|(f, _)| (f.text.clone(), f.place.line)).unwrap_or_default();
            let ((one, line), (two, other)) = (text(first), text(second));
            let why =
                if one == two { String::new() } else { format!("it stands twice, on lines {line} and {other}, with {one} and {two}") };
            for index in [first, second] {
                if let Some((found, _)) = self.rows.get_mut(index).filter(|_| !why.is_empty()) {
                    found.unread.clone_from(&why);
                    found.number = None;
                }
            }
        }
    }
}

/// The text that holds the number: the value's cell, which is all of it or all but the unit.
fn number_text(found: &Found, has_unit: bool) -> &str {
    if has_unit && !found.unit.is_empty() {
        found.text.strip_suffix(found.unit.as_str()).unwrap_or(&found.text).trim()
    } else {
        &found.text
    }
}

fn cut(text: &str) -> String {
    if text.chars().count() > 60 { text.chars().take(60).chain(['…']).collect() } else { text.to_owned() }
}

/// The columns, where this row names them.
fn header(cells: &[GridCell<'_>], sink: &mut Sink<'_>) -> Option<Columns> {
    let names: Vec<String> = cells.iter().map(|c| c.text.trim().to_lowercase()).collect();
    let find = |list: &[&str]| names.iter().position(|n| list.contains(&n.as_str()));
    let (id, value) = (find(IDS)?, find(VALUES)?);
    let unit = find(UNITS);
    let others: Vec<&str> = names
        .iter()
        .enumerate()
        .filter(|(i, n)| *i != id && *i != value && Some(*i) != unit && !n.is_empty() && !TEXTS.contains(&n.as_str()))
        .map(|(_, n)| n.as_str())
        .collect();
    if !others.is_empty() {
        let at = cells.first().map_or(At::File, |c| c.at);
        sink.warning(at, format!("columns that are not read: {}", others.join(", ")), "id, value and unit are");
    }
    Some(Columns { id, value, unit })
}

/// How a number is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Form {
    /// With a point, or bare.
    Plain,
    /// Its comma can only be a decimal sign.
    DecimalComma,
    /// Its commas can only group thousands.
    Thousands,
    /// One comma before three digits: either.
    CommaAndThree,
    /// One point before three digits: groups thousands in a list with decimal commas.
    PointAndThree,
    /// None of these.
    Odd,
}

fn form(number: &str) -> Form {
    let body = number.trim_start_matches(['+', '-', '−']);
    let body = body.split(['e', 'E']).next().unwrap_or_default();
    let (commas, points) = (body.matches(',').count(), body.matches('.').count());
    let behind = |sign: char| body.rsplit_once(sign).map_or(0, |(_, rest)| rest.len());
    let grouped = |whole: &str, sign: char| {
        let mut parts = whole.split(sign);
        parts.next().is_some_and(|h| (1..=3).contains(&h.len()) && !h.starts_with('0')) && parts.all(|p| p.len() == 3)
    };
    match (commas, points) {
        (0, 0) => Form::Plain,
        (0, 1) if behind('.') == 3 && grouped(body, '.') => Form::PointAndThree,
        (0, 1) => Form::Plain,
        (1, 0) if behind(',') == 3 && grouped(body, ',') => Form::CommaAndThree,
        (1, 0) => Form::DecimalComma,
        (_, 0) if grouped(body, ',') => Form::Thousands,
        (1, _) if body.find('.') < body.find(',') => match body.split_once(',') {
            Some((whole, _)) if grouped(whole, '.') => Form::DecimalComma,
            _ => Form::Odd,
        },
        (_, 1) if body.rfind(',') < body.find('.') => match body.split_once('.') {
            Some((whole, _)) if grouped(whole, ',') => Form::Thousands,
            _ => Form::Odd,
        },
        _ => Form::Odd,
    }
}

/// The number at the head of a text, and the rest; no number when it begins otherwise.
fn split(text: &str) -> (&str, &str) {
    let text = text.trim();
    let mut end = 0;
    let mut digits = false;
    let letters: Vec<(usize, char)> = text.char_indices().collect();
    for (place, (at, letter)) in letters.iter().enumerate() {
        let next_digit = letters.get(place + 1).is_some_and(|(_, n)| n.is_ascii_digit());
        let sign = matches!(letter, '+' | '-' | '−');
        let exponent = matches!(letter, 'e' | 'E')
            && digits
            && letters.get(place + 1).is_some_and(|(_, n)| n.is_ascii_digit() || matches!(n, '+' | '-'));
        let ok = letter.is_ascii_digit()
            || (matches!(letter, '.' | ',') && (digits || next_digit))
            || (sign && (place == 0 || matches!(letters.get(place - 1), Some((_, 'e' | 'E')))))
            || exponent;
        if !ok {
            break;
        }
        digits |= letter.is_ascii_digit();
        end = at + letter.len_utf8();
    }
    if digits { text.split_at(end) } else { ("", text) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> (Vec<Found>, Vec<String>) {
        let read = read_settings_list("list.csv", text.as_bytes(), Extent::Full, Place::default());
        let problems = read.problems.iter().map(|p| format!("{}: {}", p.line, p.message)).collect();
        (read.value.map(|l| l.rows).unwrap_or_default(), problems)
    }

    #[test]
    fn values_are_read_as_people_type_them() {
        let (rows, problems) = read(
            "Uploaded 4 March\nNo.;Name;Actual value;Unit\n\nA1;up;15,0;s\nA2;down;20,5s;\nA3;stop;ramp;\nA4;max;1.250,5;rpm\nA5;x;1,250;Hz\nA6;y;?;s\n;z;3;\nA7;t;-5;\n",
        );
        let numbers: Vec<Option<f64>> = rows.iter().map(|r| r.number).collect();
        assert_eq!(numbers, [Some(15.0), Some(20.5), None, Some(1250.5), Some(1.25), None, Some(-5.0)]);
        assert_eq!((rows[1].unit.as_str(), rows[2].text.as_str(), rows[5].unread.as_str()), ("s", "ramp", "its value was not read"));
        assert!(
            problems.iter().any(|p| p.contains("1 row before")) && problems.iter().any(|p| p.starts_with("10: this row names no setting")),
            "{problems:?}"
        );
    }

    #[test]
    fn a_comma_that_may_be_two_things_is_not_guessed() {
        let (rows, problems) = read("id,value\nA,\"1,250\"\nB,15.5\n");
        assert_eq!(rows[0].number, None);
        assert!(rows[0].unread.contains("two ways") && problems.len() == 1, "{problems:?}");
        let (rows, _) = read("id,value\nA,\"1,250\"\nB,\"12,500.5\"\n");
        assert_eq!(rows[0].number, Some(1250.0));
        let (rows, _) = read("id;value\nA;1.250\nB;0,5\n");
        assert_eq!((rows[0].number, rows[1].number), (None, Some(0.5)));
    }

    #[test]
    fn a_setting_with_two_values_has_none() {
        let (rows, problems) = read("id,value\nA,1\nA,2\nB,1\nB,1\n");
        assert!(rows[..2].iter().all(|r| r.number.is_none() && r.unread.contains("lines 2 and 3")));
        assert_eq!((rows[2].number, problems.len()), (Some(1.0), 2));
    }

    #[test]
    fn a_list_without_header_is_refused() {
        assert!(read("A,1\nB,2\n").1[0].contains("names the columns"));
        assert!(!read("").1.is_empty());
    }

    proptest::proptest! {
        #[test]
        fn any_text_is_read_or_refused_and_no_row_is_lost(rows in proptest::collection::vec("[A-Z][0-9]{1,3}", 1..12), values in "[0-9.,;eE+ a-z−\n-]{0,60}") {
            let _ = read(&values);
            let text = format!("id;value\n{}", rows.iter().map(|r| format!("{r};5\n")).collect::<String>());
            proptest::prop_assert_eq!(read(&text).0.len(), rows.len());
        }
    }
}
