//! The tables of a binder as sheets: each with a name, heads, typed cells. Tables of one paper that have the same heads share a sheet,
//! with a column that says where each row comes from; workings and steps get sheets of their own.

use dossier::paper::{Binder, Cell, Column, Paper, Part, printed};

/// One sheet.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sheet {
    /// Its name: at most 31 letters, digits and "-", unlike any other whatever its capitals.
    pub name: String,
    /// Title of the paper that it belongs to.
    pub paper: String,
    /// Heads.
    pub heads: Vec<Head>,
    /// Rows, each as long as the heads.
    pub rows: Vec<Vec<Value>>,
}

/// Head of a column.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Head {
    /// Its words.
    pub text: String,
    /// Unit of its numbers; empty where there is none.
    pub unit: String,
}

impl Head {
    /// Words and unit as they are printed.
    #[must_use]
    pub fn printed(&self) -> String {
        if self.unit.is_empty() { self.text.clone() } else { format!("{}, {}", self.text, self.unit) }
    }
}

/// A cell of a sheet.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Value {
    /// Nothing, or room to write in.
    #[default]
    Empty,
    /// Words.
    Text(String),
    /// A number, with how many decimals are shown.
    Number(f64, usize),
}

/// The most characters that a sheet's name may have in a workbook.
const LONGEST: usize = 31;

/// All sheets of a binder, in its order.
#[must_use]
pub fn sheets(binder: &Binder) -> Vec<Sheet> {
    let mut all = Vec::new();
    for paper in &binder.papers {
        of_paper(paper, &mut all);
    }
    let mut taken: Vec<String> = Vec::new();
    for sheet in &mut all {
        sheet.name = unlike(&sheet.name, &taken);
        taken.push(sheet.name.to_lowercase());
    }
    all
}

/// A name that fits and that no other sheet has.
fn unlike(wanted: &str, taken: &[String]) -> String {
    let plain: String = wanted.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).collect();
    let cut = |room: usize| plain.chars().take(room).collect::<String>();
    let first = cut(LONGEST);
    if !taken.contains(&first.to_lowercase()) {
        return first;
    }
    let mut number = 2_usize;
    loop {
        let end = format!("-{number}");
        let name = format!("{}{end}", cut(LONGEST - end.len()));
        if !taken.contains(&name.to_lowercase()) {
            return name;
        }
        number += 1;
    }
}

/// Columns, rows with the text of their links, and heading of the tables found so far.
type Found = Vec<(Vec<Column>, Vec<(String, Vec<Value>)>, String)>;

fn of_paper(paper: &Paper, all: &mut Vec<Sheet>) {
    let mut heading = paper.title.clone();
    let mut found: Found = Vec::new();
    let (mut workings, mut steps, mut labels) = (Vec::new(), Vec::new(), Vec::new());
    for part in &paper.parts {
        match part {
            Part::Heading(own) => heading.clone_from(&own.text),
            Part::Table(table) => {
                let rows = table.rows.iter().map(|row| (heading.clone(), row.cells.iter().map(value).collect::<Vec<_>>()));
                match found.iter_mut().find(|(columns, ..)| *columns == table.columns) {
                    Some((_, own, _)) => own.extend(rows),
                    None => found.push((table.columns.clone(), rows.collect(), table.name.clone())),
                }
            }
            Part::Working(lines) => workings.extend(lines.iter().map(|line| {
                let s = &line.step;
                [&heading, &s.symbol, &s.name, &s.formula, &s.numbers, &s.value, &s.source, &s.note].map(|t| text(t)).to_vec()
            })),
            Part::Ticks(ticks) => steps.extend(ticks.iter().map(|tick| {
                let kind = if tick.hold {
                    "hold"
                } else if tick.energises {
                    "power"
                } else {
                    ""
                };
                let barred = tick.barred.clone().unwrap_or_default();
                [&heading, &printed(&tick.what), &tick.expected, &kind.to_owned(), &barred].map(|t| text(t)).to_vec()
            })),
            Part::Labels(own) => labels.extend(own.iter().map(|l| [&l.wire, &l.end, &l.at, &l.note].map(|t| text(t)).to_vec())),
            _ => {}
        }
    }
    for (columns, rows, name) in found {
        let several = rows.iter().any(|(from, _)| rows.first().is_some_and(|(first, _)| first != from));
        let own = columns.iter().map(|c| Head { text: c.head.clone(), unit: c.unit.clone() });
        let heads = several.then(|| plain("part")).into_iter().chain(own).collect();
        let rows = rows.into_iter().map(|(from, cells)| several.then(|| text(&from)).into_iter().chain(cells).collect()).collect();
        all.push(Sheet { name, paper: paper.title.clone(), heads, rows });
    }
    let mut further = |name: &str, heads: &[&str], rows: Vec<Vec<Value>>| {
        if !rows.is_empty() {
            let heads = heads.iter().map(|h| plain(h)).collect();
            all.push(Sheet { name: format!("{}-{name}", paper.name), paper: paper.title.clone(), heads, rows });
        }
    };
    further("working", &["part", "symbol", "what it is", "formula", "with numbers", "value", "source", "note"], workings);
    further("labels", &["wire", "end", "landed at", "note"], labels);
    further("steps", &["part", "step", "expected", "kind", "barred because"], steps);
}

fn plain(text: &str) -> Head {
    Head { text: text.to_owned(), unit: String::new() }
}

fn text(text: &str) -> Value {
    if text.is_empty() { Value::Empty } else { Value::Text(text.to_owned()) }
}

fn value(cell: &Cell) -> Value {
    match cell {
        Cell::Number { value, text } => Value::Number(*value, text.split_once('.').map_or(0, |(_, decimals)| decimals.len())),
        other => text(&other.printed()),
    }
}

/// A sheet as CSV after RFC 4180, numbers with a point and all their digits.
#[must_use]
pub fn csv(sheet: &Sheet) -> String {
    let quoted = |text: &str| {
        // A cell that begins like a formula would be worked out by whatever opens it.
        let text = if text.starts_with(['=', '+', '@']) { format!("'{text}") } else { text.to_owned() };
        if text.contains(['"', ',', '\n', '\r']) { format!("\"{}\"", text.replace('"', "\"\"")) } else { text }
    };
    let mut lines = vec![sheet.heads.iter().map(|h| quoted(&h.printed())).collect::<Vec<_>>().join(",")];
    lines.extend(sheet.rows.iter().map(|row| {
        let cells = row.iter().map(|cell| match cell {
            Value::Empty => String::new(),
            Value::Text(text) => quoted(text),
            Value::Number(number, _) => number.to_string(),
        });
        cells.collect::<Vec<_>>().join(",")
    }));
    lines.join("\r\n") + "\r\n"
}

#[cfg(test)]
mod tests {
    use dossier::paper::{Heading, Row, Run, Table, Tick};

    use super::*;

    fn heading(text: &str) -> Part {
        Part::Heading(Heading { level: 1, text: text.into(), anchor: None })
    }

    fn table(name: &str, value: f64) -> Part {
        let columns = vec![Column::words("what", 1.0), Column::numbers("length", "mm")];
        let rows = vec![Row::of(vec![Cell::text("a"), Cell::Number { value, text: format!("{value:.1}") }])];
        Part::Table(Table { name: name.into(), caption: String::new(), columns, rows, large: false })
    }

    fn binder(parts: Vec<Part>) -> Binder {
        Binder { papers: vec![Paper { name: "p".into(), title: "P".into(), parts, ..Paper::default() }], ..Binder::default() }
    }

    #[test]
    fn tables_with_the_same_heads_share_a_sheet_that_says_where_rows_come_from() {
        let all = sheets(&binder(vec![heading("one"), table("p-one", 1.5), heading("two"), table("p-two", 2.0)]));
        assert_eq!(all.len(), 1);
        assert_eq!(csv(&all[0]), "part,what,\"length, mm\"\r\none,a,1.5\r\ntwo,a,2\r\n");
        let alone = sheets(&binder(vec![heading("one"), table("p-one", 1.5)]));
        assert_eq!(csv(&alone[0]), "what,\"length, mm\"\r\na,1.5\r\n");
    }

    #[test]
    fn names_fit_and_differ_whatever_their_capitals() {
        let long = "a".repeat(40);
        assert_eq!(unlike(&long, &[]), "a".repeat(31));
        assert_eq!(unlike(&long, &["a".repeat(31)]), format!("{}-2", "a".repeat(29)));
        assert_eq!(unlike("Holes", &["holes".into()]), "Holes-2");
        assert_eq!(unlike("x/y:z", &[]), "x-y-z");
    }

    #[test]
    fn cells_that_begin_like_formulas_stay_words() {
        let what = vec![Run::plain("=1+1, \"quoted\"")];
        let all = sheets(&binder(vec![Part::Ticks(vec![Tick { what, ..Tick::default() }])]));
        assert!(csv(&all[0]).contains("\"'=1+1, \"\"quoted\"\"\""), "{}", csv(&all[0]));
    }
}
