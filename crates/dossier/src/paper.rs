//! A paper as plain data: what stands on it part by part, what it was made from, and where its words lead. How it looks is the business
//! of outputs; a table keeps numbers beside their texts, so that a sheet of cells and a sheet of paper say the same.

use serde::Serialize;

use crate::Step;
use crate::drawing::Drawing;
use crate::program::Project;

/// All papers of one position, in the order of the binder.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Binder {
    /// Name of the plant.
    pub site: String,
    /// Tag of the position.
    pub tag: String,
    /// What it drives.
    pub machine: String,
    /// The date it was made for, ISO 8601.
    pub date: String,
    /// Verdict of the candidate that they are for: `holds`, `depends` or `fails`.
    pub verdict: String,
    /// The papers.
    pub papers: Vec<Paper>,
    /// Control programs that belong to them.
    #[serde(skip)]
    pub programs: Vec<Project>,
    /// The settings, for the files that are loaded from them.
    #[serde(skip)]
    pub settings: Option<crate::settings::Settings>,
    /// Long tables for machines that stand on no paper.
    #[serde(skip)]
    pub data: Vec<crate::words::Table>,
}

impl Binder {
    /// The paper of that name.
    #[must_use]
    pub fn paper(&self, name: &str) -> Option<&Paper> {
        self.papers.iter().find(|p| p.name == name)
    }

    /// Every figure, in the order of the binder.
    pub fn figures(&self) -> impl Iterator<Item = &Figure> {
        self.papers.iter().flat_map(|p| &p.parts).filter_map(|part| if let Part::Figure(figure) = part { Some(figure) } else { None })
    }
}

/// One paper.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Paper {
    /// Name of its file without extension: letters, digits and "-".
    pub name: String,
    /// Title.
    pub title: String,
    /// Whom it is for, in a few words.
    pub for_whom: String,
    /// First characters of the fingerprint of its contents: another revision means that something on it is different.
    pub revision: String,
    /// Why there is nothing to tell yet; `None` where the subject was examined.
    pub not_examined: Option<String>,
    /// What stands on it, from top to bottom.
    pub parts: Vec<Part>,
    /// Paths of all facts that it was made from, sorted: when none of them changes, neither does the paper.
    pub reads: Vec<String>,
    /// SHA-256 over title and parts, in hexadecimal digits; the date is not in it.
    pub fingerprint: String,
}

impl Paper {
    /// Its tables, in order.
    pub fn tables(&self) -> impl Iterator<Item = &Table> {
        self.parts.iter().filter_map(|part| if let Part::Table(table) = part { Some(table) } else { None })
    }
}

/// What can stand on a paper.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Part {
    /// A heading.
    Heading(Heading),
    /// A paragraph.
    Paragraph(Vec<Run>),
    /// A line that must not be overlooked: the answer itself.
    Statement(Vec<Run>),
    /// Items with dots.
    List(Vec<Vec<Run>>),
    /// A table.
    Table(Table),
    /// A drawing.
    Figure(Figure),
    /// The lines of a calculation.
    Working(Vec<WorkingLine>),
    /// A caution in a box.
    Caution(Caution),
    /// Things to tick off one by one, in this order.
    Ticks(Vec<Tick>),
    /// Fields to fill in by hand.
    Fields(Vec<Field>),
    /// Text for a machine to read, line by line, as it is.
    Listing(String),
    /// Labels to cut out and wrap around conductors.
    Labels(Vec<Label>),
    /// The next part begins a new page.
    NewPage,
}

/// A heading.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Heading {
    /// 1 for a chapter of the paper, 2 for a part of one.
    pub level: u8,
    /// Its words.
    pub text: String,
    /// Where links to it lead; `None` where none does.
    pub anchor: Option<String>,
}

/// Words of one look that lead to one place.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Run {
    /// The words.
    pub text: String,
    /// Their look.
    pub look: Look,
    /// Where they lead.
    pub link: Option<Link>,
}

impl Run {
    /// Plain words.
    #[must_use]
    pub fn plain(text: impl Into<String>) -> Self {
        Self { text: text.into(), ..Self::default() }
    }

    /// Words that stand out.
    #[must_use]
    pub fn strong(text: impl Into<String>) -> Self {
        Self { text: text.into(), look: Look::Strong, link: None }
    }

    /// Words that stand back.
    #[must_use]
    pub fn faint(text: impl Into<String>) -> Self {
        Self { text: text.into(), look: Look::Faint, link: None }
    }

    /// Words to be read at arm's length.
    #[must_use]
    pub fn large(text: impl Into<String>) -> Self {
        Self { text: text.into(), look: Look::Large, link: None }
    }

    /// The same words leading to an anchor of any paper of the binder.
    #[must_use]
    pub fn to(mut self, anchor: impl Into<String>) -> Self {
        self.link = Some(Link::Anchor(anchor.into()));
        self
    }
}

/// Look of words.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Look {
    /// As the rest.
    #[default]
    Plain,
    /// Standing out.
    Strong,
    /// Standing back.
    Faint,
    /// A name that people type: a fact, a setting, a file.
    Name,
    /// To be read at arm's length: a wire number, a terminal.
    Large,
}

/// Where words lead.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Link {
    /// To an anchor in this binder.
    Anchor(String),
    /// To a line of an input file; the name starts at the site's folder.
    File {
        /// Name of the file.
        file: String,
        /// Line, from 1; 0 for the whole file.
        line: u32,
    },
}

/// A drawing with its words.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Figure {
    /// Name of its own files without extension.
    pub name: String,
    /// What it shows.
    pub caption: String,
    /// The drawing.
    pub drawing: Drawing,
}

/// A line of a calculation, with the place that it can be linked to.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct WorkingLine {
    /// The step.
    pub step: Step,
    /// Where its source stands among the sources.
    pub source: Option<Link>,
}

/// A caution in a box.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Caution {
    /// The hazard.
    pub hazard: String,
    /// What to do about it.
    pub text: String,
}

/// A thing to tick off.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Tick {
    /// What to do.
    pub what: Vec<Run>,
    /// What is expected to be seen, where something is.
    pub expected: String,
    /// Whether somebody has to sign before the next one may begin.
    pub hold: bool,
    /// Whether it puts volts on something: never on a paper while a fact that may not be assumed is open.
    pub energises: bool,
    /// Why it may not be done yet; it stands there struck, without a box to tick.
    pub barred: Option<String>,
}

/// A field to fill in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Field {
    /// What goes in.
    pub label: String,
    /// What is known already, or the unit; may be empty.
    pub hint: String,
    /// Lines of room, 1 or more.
    pub lines: u8,
}

impl Field {
    /// A field of one line.
    #[must_use]
    pub fn line(label: impl Into<String>) -> Self {
        Self { label: label.into(), hint: String::new(), lines: 1 }
    }
}

/// A label for one end of a conductor.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Label {
    /// Number of the conductor, printed large.
    pub wire: String,
    /// Which end: "drive", "far".
    pub end: String,
    /// Where that end is landed.
    pub at: String,
    /// Where it was landed, or where the other end is.
    pub note: String,
}

/// A table.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Table {
    /// Name of its own sheet and file: letters, digits and "-", unlike any other of the binder.
    pub name: String,
    /// What it holds; may be empty where a heading says it.
    pub caption: String,
    /// Columns.
    pub columns: Vec<Column>,
    /// Rows; each has as many cells as there are columns.
    pub rows: Vec<Row>,
    /// Rows that are read and ticked at arm's length: higher, with larger boxes.
    pub large: bool,
}

/// A column.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Column {
    /// Its head.
    pub head: String,
    /// Unit of its numbers; empty where there is none or each cell has its own.
    pub unit: String,
    /// How wide it is.
    pub width: Width,
    /// Numbers stand to the right.
    pub right: bool,
}

impl Column {
    /// A column of words that takes its share of the width.
    #[must_use]
    pub fn words(head: impl Into<String>, share: f64) -> Self {
        Self { head: head.into(), unit: String::new(), width: Width::Share(share), right: false }
    }

    /// A column as wide as its widest cell.
    #[must_use]
    pub fn fit(head: impl Into<String>) -> Self {
        Self { head: head.into(), unit: String::new(), width: Width::Fit, right: false }
    }

    /// A column of numbers, to the right.
    #[must_use]
    pub fn numbers(head: impl Into<String>, unit: impl Into<String>) -> Self {
        Self { head: head.into(), unit: unit.into(), width: Width::Fit, right: true }
    }

    /// A column of a stated width, mm: room to write in.
    #[must_use]
    pub fn room(head: impl Into<String>, mm: f64) -> Self {
        Self { head: head.into(), unit: String::new(), width: Width::Mm(mm), right: false }
    }
}

/// Width of a column.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Width {
    /// As its widest cell.
    #[default]
    Fit,
    /// A share of what the others leave.
    Share(f64),
    /// Millimetres.
    Mm(f64),
}

/// A row.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Row {
    /// Where links to it lead.
    pub anchor: Option<String>,
    /// Its cells.
    pub cells: Vec<Cell>,
    /// A sum, or another row that stands out.
    pub strong: bool,
}

impl Row {
    /// A row without anchor.
    #[must_use]
    pub fn of(cells: Vec<Cell>) -> Self {
        Self { anchor: None, cells, strong: false }
    }
}

/// A cell.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Cell {
    /// Nothing to say.
    #[default]
    Empty,
    /// Words.
    Words(Vec<Run>),
    /// A number, in the unit of its column, beside the text that is printed.
    Number {
        /// For sheets and scripts.
        value: f64,
        /// For paper.
        text: String,
    },
    /// `holds`, `depends`, `fails`; printed so that it can be told apart without colour.
    Verdict(String),
    /// A box to tick.
    Tick,
    /// Room to write in.
    Blank,
}

impl Cell {
    /// Plain words.
    #[must_use]
    pub fn text(text: impl Into<String>) -> Self {
        let text = text.into();
        if text.is_empty() { Self::Empty } else { Self::Words(vec![Run::plain(text)]) }
    }

    /// A name that people type.
    #[must_use]
    pub fn name(text: impl Into<String>) -> Self {
        Self::Words(vec![Run { text: text.into(), look: Look::Name, link: None }])
    }

    /// Words that lead to an anchor.
    #[must_use]
    pub fn linked(text: impl Into<String>, anchor: impl Into<String>) -> Self {
        Self::Words(vec![Run::plain(text).to(anchor)])
    }

    /// What is printed, without look and links.
    #[must_use]
    pub fn printed(&self) -> String {
        match self {
            Self::Empty | Self::Tick | Self::Blank => String::new(),
            Self::Words(runs) => printed(runs),
            Self::Number { text, .. } | Self::Verdict(text) => text.clone(),
        }
    }
}

/// Words without look and links.
#[must_use]
pub fn printed(runs: &[Run]) -> String {
    runs.iter().map(|run| run.text.as_str()).collect()
}
