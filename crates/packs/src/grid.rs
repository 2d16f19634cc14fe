//! Rows of cells, from CSV or a workbook, into [`Record`]s: finds the columns by the header, reads each cell.

use plant::quantity::unit_named;

use crate::csv::{GridCell, Rows};
use crate::problem::{At, Sink, Wrong, did_you_mean, one_of};
use crate::record::{Record, Value, check_unique, scalar};
use crate::shape::{Field, Kind, Shape};
use crate::source::Source;

/// Most columns of a file: more than any table has, room for stray notes.
pub(crate) const COLUMNS: usize = 256;

/// What one column of the file is.
#[derive(Debug)]
struct Column {
    /// Index of its field; `None` for an unknown, double or blank column.
    field: Option<usize>,
    /// Unit of bare numbers.
    unit: Option<String>,
    blank: bool,
    /// Its header is wrong and was told, so its cells are not read.
    wrong: bool,
    /// That its numbers have no unit was told once for all.
    unitless: bool,
}

/// The columns of a file.
#[derive(Debug)]
pub(crate) struct Header {
    shape: &'static Shape,
    columns: Vec<Column>,
    /// Whether a comma in a number may be a decimal sign.
    risky_comma: bool,
}

impl Header {
    /// Reads the header row and reports columns that are unknown, double or missing.
    pub(crate) fn read(shape: &'static Shape, cells: &[GridCell<'_>], risky_comma: bool, sink: &mut Sink<'_>) -> Self {
        let mut header = Self { shape, columns: Vec::with_capacity(cells.len()), risky_comma };
        if let Some(cell) = cells.get(COLUMNS) {
            sink.error(cell.at, format!("the header has {} cells", cells.len()), format!("at most {COLUMNS} are read"));
        }
        for cell in cells.iter().take(COLUMNS) {
            let column = header.column(cell, sink);
            header.columns.push(column);
        }
        let missing: Vec<&str> = shape.fields.iter().filter(|f| f.required && !header.has(f.key)).map(|f| f.key).collect();
        if !missing.is_empty() {
            let at = cells.first().map_or(At::File, |c| c.at);
            let s = if missing.len() == 1 { "" } else { "s" };
            sink.error(
                at,
                format!("column{s} missing in {}: {}", shape.name, missing.join(", ")),
                format!("the columns are {}", shape.keys().collect::<Vec<_>>().join(", ")),
            );
        }
        header
    }

    fn column(&self, cell: &GridCell<'_>, sink: &mut Sink<'_>) -> Column {
        let (name, unit) = match cell.text.split_once('[').map(|(n, u)| (n, u.trim_end().strip_suffix(']'))) {
            Some((name, Some(unit))) => (name.trim(), Some(unit.trim().to_owned())),
            _ => (cell.text.trim(), None),
        };
        let plain = name.to_lowercase().replace(' ', "_");
        let mut column = Column { field: None, unit, blank: cell.text.is_empty(), wrong: false, unitless: false };
        match self.shape.field(&plain) {
            _ if column.blank => {}
            None => sink.error(cell.at, format!("unknown column “{name}” in {}", self.shape.name), did_you_mean(&plain, self.shape.keys())),
            Some((index, _)) if self.columns.iter().any(|c| c.field == Some(index)) => {
                sink.error(cell.at, format!("column “{plain}” stands twice"), "keep one of them");
            }
            Some((index, field)) => {
                column.field = Some(index);
                if let Some(wrong) = column.unit.as_deref().and_then(|unit| unit_problem(field, unit)) {
                    sink.error(cell.at, format!("{plain}: {}", wrong.message), wrong.help);
                    column.wrong = true;
                }
            }
        }
        column
    }

    pub(crate) fn has(&self, key: &str) -> bool {
        self.shape.field(key).is_some_and(|(index, _)| self.columns.iter().any(|c| c.field == Some(index)))
    }

    /// Position of a column in the file.
    pub(crate) fn position(&self, key: &str) -> Option<usize> {
        let index = self.shape.field(key)?.0;
        self.columns.iter().position(|c| c.field == Some(index))
    }

    /// Checks that a row has as many cells as the header; further blank ones do not count.
    pub(crate) fn fits(&self, cells: &[GridCell<'_>], sink: &mut Sink<'_>) -> bool {
        let (own, wanted) = (cells.len(), self.columns.len());
        let stray = cells.iter().enumerate().find(|(i, c)| !c.text.is_empty() && self.columns.get(*i).is_none_or(|c| c.blank));
        if let Some((_, cell)) = stray {
            sink.error(
                cell.at,
                format!("“{}” stands under no column", cell.text),
                "a comma inside a cell needs quotes around the cell; the row was not read",
            );
        } else if own < wanted {
            let at = cells.first().map_or(At::File, |c| c.at);
            sink.error(
                at,
                format!("this row has {own} cells, the header {wanted}"),
                "leave cells blank, but keep their commas; the row was not read",
            );
        }
        stray.is_none() && own >= wanted
    }

    /// The value of a cell; `None` when it is blank.
    pub(crate) fn value(&self, position: usize, cell: &GridCell<'_>) -> Result<Option<Value>, Wrong> {
        let Some((column, field)) = self.columns.get(position).and_then(|c| Some((c, self.shape.fields.get(c.field?)?))) else {
            return Ok(None);
        };
        let text = &*cell.text;
        if text.is_empty() || (text == "-" && !matches!(field.kind, Kind::Characters)) {
            return Ok(None);
        }
        let numeric = matches!(field.kind, Kind::Quantity { .. } | Kind::AnyQuantity | Kind::Number);
        if numeric && self.risky_comma && text.contains(',') {
            return Err(Wrong::new(
                format!("“{text}” holds a comma in a file with semicolons between its cells"),
                "it might be a decimal comma: write 1.5 with a point, and thousands without a sign",
            ));
        }
        match &column.unit {
            Some(unit) if is_bare(text) => scalar(&field.kind, &format!("{text} {unit}")).map(Some),
            _ => scalar(&field.kind, text).map(Some),
        }
    }

    /// Tells what is wrong with a cell; bare numbers under a header without unit only once for the column.
    pub(crate) fn tell(&mut self, position: usize, cell: &GridCell<'_>, wrong: Wrong, sink: &mut Sink<'_>) {
        let Some(column) = self.columns.get_mut(position) else { return };
        let Some(field) = column.field.and_then(|f| self.shape.fields.get(f)) else { return };
        let unitless = column.unit.is_none() && is_bare(&cell.text) && matches!(field.kind, Kind::Quantity { .. });
        if unitless && wrong.message.ends_with("has no unit") {
            if !std::mem::replace(&mut column.unitless, true) {
                let help = format!("{}, behind each number or once in the header: {} [unit]", wrong.help, field.key);
                sink.error(cell.at, format!("{}: {}", field.key, wrong.message), help);
            }
        } else {
            sink.error(cell.at, format!("{}: {}", field.key, wrong.message), wrong.help);
        }
    }

    /// A row as a record, with its problems told; `None` when its cells do not fit the header.
    fn record(&mut self, cells: &[GridCell<'_>], sink: &mut Sink<'_>) -> Option<Record> {
        if !self.fits(cells, sink) {
            return None;
        }
        let mut record = Record::new(self.shape, cells.first().map_or(At::File, |c| c.at));
        for (position, cell) in cells.iter().enumerate() {
            let Some(index) = self.columns.get(position).filter(|c| !c.wrong).and_then(|c| c.field) else { continue };
            let Some(field) = self.shape.fields.get(index) else { continue };
            match self.value(position, cell) {
                Ok(Some(value)) => record.set(index, value, cell.at),
                Ok(None) if field.required => {
                    sink.error(
                        blank_at(cell, record.at),
                        format!("{}: this cell is blank", field.key),
                        format!("expected {}; for example {}", field.kind.name(), field.example()),
                    );
                }
                Ok(None) => {}
                Err(wrong) => self.tell(position, cell, wrong, sink),
            }
        }
        Some(record)
    }
}

fn is_bare(text: &str) -> bool {
    text.bytes().all(|b| b.is_ascii_digit() || matches!(b, b'.' | b',' | b'+' | b'-' | b'e' | b'E'))
}

/// Where a blank cell is shown; one without any text has no width, which is fine for a caret.
fn blank_at(cell: &GridCell<'_>, row: At) -> At {
    if cell.at == At::File { row } else { cell.at }
}

fn unit_problem(field: &Field, unit: &str) -> Option<Wrong> {
    match &field.kind {
        Kind::Quantity { info, .. } => {
            let known = || one_of(info.units.iter().map(|u| u.symbol).filter(|s| !s.is_empty()));
            unit_named(info, unit).is_none().then(|| Wrong::new(format!("“{unit}” is no unit of {}", info.name), known()))
        }
        Kind::AnyQuantity => None,
        _ => Some(Wrong::new(format!("this column takes no unit, but “[{unit}]” stands in its header"), "take it out")),
    }
}

/// Builds the records of a table from its rows.
#[derive(Debug)]
pub(crate) struct Builder {
    shape: &'static Shape,
    risky_comma: bool,
    most: usize,
    header: Option<Header>,
    grid: Grid,
}

/// The records of a table.
#[derive(Debug, Default)]
pub(crate) struct Grid {
    pub(crate) rows: Vec<Record>,
    /// Rows or columns were not read, so what is missing may only be unread.
    pub(crate) gaps: bool,
}

impl Builder {
    pub(crate) fn new(shape: &'static Shape, most: usize, risky_comma: bool) -> Self {
        Self { shape, risky_comma, most, header: None, grid: Grid::default() }
    }

    /// Takes a row; false when no more are wanted.
    pub(crate) fn push(&mut self, cells: &[GridCell<'_>], sink: &mut Sink<'_>) -> bool {
        if cells.iter().all(|c| c.text.is_empty()) {
            return true;
        }
        let Some(header) = &mut self.header else {
            let header = Header::read(self.shape, cells, self.risky_comma, sink);
            self.grid.gaps |= header.columns.iter().any(|c| c.wrong) || self.shape.fields.iter().any(|f| f.required && !header.has(f.key));
            self.header = Some(header);
            return true;
        };
        if self.grid.rows.len() >= self.most {
            let at = cells.first().map_or(At::File, |c| c.at);
            sink.error(at, format!("{} has more than {} rows", self.shape.name, self.most), "what follows was not read");
            self.grid.gaps = true;
            return false;
        }
        match header.record(cells, sink) {
            Some(record) => self.grid.rows.push(record),
            None => self.grid.gaps = true,
        }
        true
    }

    /// The records; reports rows that repeat what must differ, and a table without header.
    pub(crate) fn finish(mut self, sink: &mut Sink<'_>) -> Grid {
        if self.header.is_none() {
            self.grid.gaps = true;
            sink.error(
                At::File,
                format!("{} has no header", self.shape.name),
                format!("its first row names the columns: {}", self.shape.keys().collect::<Vec<_>>().join(",")),
            );
        }
        check_unique(self.shape, &self.grid.rows, sink);
        self.grid
    }
}

/// Reads a CSV table.
pub(crate) fn read_csv(source: &Source, shape: &'static Shape, most: usize, sink: &mut Sink<'_>) -> Grid {
    let mut rows = Rows::new(source.text());
    let mut builder = Builder::new(shape, most, rows.has_semicolons());
    let mut cells = Vec::new();
    while let Some(row) = rows.next_row(&mut cells) {
        match row {
            Ok(()) if !builder.push(&cells, sink) => break,
            Ok(()) => {}
            Err(bad) => {
                builder.grid.gaps = true;
                sink.error(bad.at, bad.wrong.message, bad.wrong.help);
            }
        }
    }
    builder.finish(sink)
}
