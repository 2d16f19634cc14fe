//! Reads a list of positions as people keep them in a spreadsheet: a row each, columns named by facts. Every row comes back, with its
//! values or with what is wrong in it, so that none is passed over unseen.

use std::sync::Arc;

use plant::survey::{FACTS, def};

use crate::csv::{GridCell, Rows};
use crate::edit::TEXTS;
use crate::problem::{At, Problem, Sink, did_you_mean};
use crate::source::{Source, TEXT_BYTES};
use crate::text::{fact_id, parse_fact_of};
use crate::xlsx::each_row;

/// Most rows of a list: a site has a few thousand drives at the most.
pub const LIST_ROWS: usize = 5_000;
/// Longest text of a cell.
const LONGEST: usize = 400;
/// Heads of the column that holds the tag.
const TAGS: &[&str] = &["tag", "position", "drive", "equipment", "item"];
/// What people write where they know nothing.
const BLANKS: &[&str] = &["", "?", "-", "--", "—", "n/a", "unknown"];
/// Name of the tag's column among the columns.
const TAG: &str = "tag";

/// A list of positions as it was read.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PositionList {
    /// Its columns, in their order.
    pub columns: Vec<ListColumn>,
    /// Its rows, in their order, those that cannot be used too.
    pub rows: Vec<ListRow>,
    /// What is wrong with the list as a whole: no header, no column for the tag, too many rows.
    pub wrong: Vec<String>,
}

/// A column.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ListColumn {
    /// Its head as it stands there.
    pub head: String,
    /// What it was taken for: "tag", a text of a position or the path of a fact; `None` where it was not understood.
    pub path: Option<String>,
    /// Unit of its bare numbers, from the head.
    pub unit: Option<String>,
    /// Why it was not understood.
    pub wrong: String,
}

/// A row.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ListRow {
    /// Line of the file, or row of the sheet, from 1.
    pub line: u32,
    /// The tag; empty where there is none.
    pub tag: String,
    /// Paths with their values, as a position's file takes them.
    pub values: Vec<(String, String)>,
    /// What is wrong; nothing where the row can be used.
    pub wrong: Vec<String>,
}

/// Reads a list from the bytes of a CSV file or, by the end of its name, of a workbook.
#[must_use]
pub fn read_position_list(name: &str, bytes: &[u8]) -> PositionList {
    let name: Arc<str> = name.into();
    let mut reader = Reader::default();
    let problems = if name.to_lowercase().ends_with(".xlsx") {
        let mut sink = Sink::named(name.clone());
        each_row(&name, bytes, &mut sink, &mut |cells, sink| {
            let line = cells.first().map_or(0, |c| sink.place(c.at).line);
            reader.row(cells, line, false)
        });
        sink.finish()
    } else {
        match Source::from_bytes(name, bytes, TEXT_BYTES) {
            Ok(source) => reader.text(&source),
            Err(problem) => vec![problem],
        }
    };
    let whole = problems
        .into_iter()
        .filter(Problem::is_error)
        .map(|p| if p.help.is_empty() { p.message } else { format!("{}; {}", p.message, p.help) });
    reader.list.wrong.extend(whole);
    reader.finish()
}

#[derive(Default)]
struct Reader {
    list: PositionList,
    headed: bool,
}

impl Reader {
    fn text(&mut self, source: &Source) -> Vec<Problem> {
        let sink = Sink::of(source);
        let (mut rows, mut cells) = (Rows::new(source.text()), Vec::new());
        let risky = rows.has_semicolons();
        while let Some(row) = rows.next_row(&mut cells) {
            match row {
                Ok(()) => {
                    let at = cells.iter().find(|c| c.at != At::File).map_or(At::File, |c| c.at);
                    if !self.row(&cells, sink.place(at).line, risky) {
                        break;
                    }
                }
                Err(bad) => {
                    let line = sink.place(bad.at).line;
                    self.list.rows.push(ListRow { line, wrong: vec![bad.wrong.message], ..ListRow::default() });
                }
            }
        }
        Vec::new()
    }

    /// Takes a row; false when no more are wanted.
    fn row(&mut self, cells: &[GridCell<'_>], line: u32, risky_comma: bool) -> bool {
        if cells.iter().all(|c| c.text.trim().is_empty()) {
            return true;
        }
        if !self.headed {
            self.headed = true;
            self.head(cells);
            return true;
        }
        if self.list.rows.len() >= LIST_ROWS {
            self.list.wrong.push(format!("the list has more than {LIST_ROWS} rows; what follows line {line} was not read"));
            return false;
        }
        let mut row = ListRow { line, ..ListRow::default() };
        for (at, cell) in cells.iter().enumerate() {
            let text = cell.text.trim();
            match self.list.columns.get(at) {
                None if text.is_empty() => {}
                None => row.wrong.push(format!("“{}” stands under no column", short(text))),
                Some(_) if text.chars().count() > LONGEST => row.wrong.push(format!("a cell has more than {LONGEST} characters")),
                Some(ListColumn { path: Some(path), .. }) if path == TAG => row.tag = text.to_owned(),
                Some(ListColumn { path: Some(path), unit, .. }) if !BLANKS.contains(&text.to_lowercase().as_str()) => {
                    match value(path, unit.as_deref(), text, risky_comma) {
                        Ok(value) => row.values.push((path.clone(), value)),
                        Err(wrong) => row.wrong.push(format!("{path}: {wrong}")),
                    }
                }
                Some(_) => {}
            }
        }
        if row.tag.is_empty() {
            row.wrong.insert(0, "the row has no tag".to_owned());
        }
        self.list.rows.push(row);
        true
    }

    fn head(&mut self, cells: &[GridCell<'_>]) {
        for cell in cells {
            let mut column = column(cell.text.trim());
            if column.path.is_some() && self.list.columns.iter().any(|c| c.path == column.path) {
                column.wrong = "it stands twice; the first counts".to_owned();
                column.path = None;
            }
            self.list.columns.push(column);
        }
    }

    /// Tells what only the whole list shows: a missing column, tags that stand twice.
    fn finish(mut self) -> PositionList {
        if !self.headed && self.list.wrong.is_empty() {
            self.list.wrong.push("the list is empty; its first row names the columns: tag, machine, motor.power and so on".to_owned());
        } else if self.headed && self.list.columns.iter().all(|c| c.path.as_deref() != Some(TAG)) {
            self.list.wrong.push(format!("no column holds the tag; its head is one of {}", TAGS.join(", ")));
        }
        let mut seen = std::collections::HashMap::new();
        for row in &mut self.list.rows {
            if row.tag.is_empty() {
                continue;
            }
            match seen.get(&row.tag.to_lowercase()) {
                Some(first) => row.wrong.push(format!("the tag stands in line {first} already")),
                None => drop(seen.insert(row.tag.to_lowercase(), row.line)),
            }
        }
        self.list
    }
}

fn short(text: &str) -> String {
    text.chars().take(40).collect()
}

/// The value of a cell as a position's file takes it.
fn value(path: &str, unit: Option<&str>, text: &str, risky_comma: bool) -> Result<String, String> {
    if TEXTS.contains(&path) {
        return if text.chars().any(char::is_control) { Err("one line, without control characters".into()) } else { Ok(text.to_owned()) };
    }
    if risky_comma && text.contains(',') {
        return Err(format!("“{text}” holds a comma in a file with semicolons between its cells: write 1.5 with a point"));
    }
    let bare = text.bytes().all(|b| b.is_ascii_digit() || matches!(b, b'.' | b'+' | b'-'));
    let written = unit.filter(|_| bare).map_or_else(|| text.to_owned(), |unit| format!("{text} {unit}"));
    let id = fact_id(path).map_err(|w| w.message)?;
    match parse_fact_of(&written, def(id)) {
        Ok(_) => Ok(written),
        Err(wrong) if wrong.help.is_empty() => Err(wrong.message),
        Err(wrong) => Err(format!("{}; {}", wrong.message, wrong.help)),
    }
}

/// Names without what people write differently.
fn plain(name: &str) -> String {
    name.to_lowercase().chars().filter(|c| c.is_alphanumeric()).collect()
}

/// What a column is by its head.
fn column(head: &str) -> ListColumn {
    let (name, unit) = match head.split_once(['[', '(']).map(|(n, u)| (n.trim(), u.trim_end().trim_end_matches([']', ')']).trim())) {
        Some((name, unit)) if !name.is_empty() && !unit.is_empty() => (name, Some(unit.to_owned())),
        _ => (head, None),
    };
    let wanted = plain(name);
    let is = |other: &str| plain(other) == wanted;
    let last = |path: &str| path.rsplit('.').next().unwrap_or(path).to_owned();
    let known = TEXTS.iter().find(|t| is(t) || is(&last(t))).map(|t| (*t).to_owned());
    let fact = || FACTS.iter().find(|f| is(f.path) || is(f.label)).map(|f| f.path.to_owned());
    let path = if TAGS.iter().any(|t| is(t)) { Some(TAG.to_owned()) } else { known.or_else(fact) };
    let wrong = match (&path, name) {
        (Some(_), _) => String::new(),
        (None, "") => "it has no head".to_owned(),
        (None, name) => {
            let paths = FACTS.iter().map(|f| f.path).chain(TEXTS.iter().copied());
            let help = did_you_mean(name, paths.collect::<Vec<_>>());
            format!("no fact has this name; {help}")
        }
    };
    ListColumn { head: head.to_owned(), path, unit, wrong }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> PositionList {
        read_position_list("list.csv", text.as_bytes())
    }

    #[test]
    fn rows_come_with_their_values_whatever_people_call_the_columns() {
        let list = read("Tag,Machine,Motor power [hp],motor.voltage,Colour\nP-1,Pump,40,460 V,blue\n# note\nP-2,,?,,\n");
        assert!(list.wrong.is_empty(), "{list:#?}");
        assert_eq!(list.columns[2].path.as_deref(), Some("motor.power"));
        assert!(list.columns[4].path.is_none() && list.columns[4].wrong.contains("no fact"));
        let value = |p: &str, v: &str| (p.to_owned(), v.to_owned());
        assert_eq!(list.rows[0].values, [value("machine", "Pump"), value("motor.power", "40 hp"), value("motor.voltage", "460 V")]);
        assert_eq!((list.rows[1].line, list.rows[1].tag.as_str(), list.rows[1].values.len()), (4, "P-2", 0));
    }

    #[test]
    fn every_row_that_cannot_be_read_says_why() {
        let list = read("tag,motor.power\n,40 hp\nP-1,40 hq\nP-2,30 hp,stray\np-1,20 hp\nP-3,50\nP-4,\"20 hp\n");
        let wrong: Vec<String> = list.rows.iter().map(|r| r.wrong.join(" / ")).collect();
        for (row, part) in ["no tag", "hq", "stray", "line 3 already", "unit"].into_iter().enumerate() {
            assert!(wrong[row].contains(part), "{part}: {wrong:#?}");
        }
        assert_eq!(list.rows.len(), 6, "the row with the open quote too: {list:#?}");
        assert!(!wrong[5].is_empty());
    }

    #[test]
    fn a_list_without_header_tag_or_text_says_so() {
        assert!(read("").wrong[0].contains("empty"));
        assert!(read("motor.power\n40 hp\n").wrong[0].contains("tag"));
        assert!(!read_position_list("a.xlsx", b"PK\x03\x04").wrong.is_empty());
        assert!(!read_position_list("a.csv", b"tag\n\xff\n").wrong.is_empty());
        let long = format!("tag\n{}", "x\n".repeat(LIST_ROWS + 2));
        assert!(read(&long).wrong.iter().any(|w| w.contains("more than")), "what is too much is told");
    }

    #[test]
    fn a_decimal_comma_is_not_guessed() {
        let list = read("tag;motor.power\nP-1;1,5 kW\nP-2;1.5 kW\n");
        assert!(list.rows[0].wrong[0].contains("comma") && list.rows[1].wrong.is_empty(), "{list:#?}");
    }
}
