//! Papers into the source of the typesetter. All words go in as strings, never as markup; links lead only to anchors that are there.

use std::collections::BTreeSet;
use std::fmt::Write;

use dossier::paper::{Binder, Cell, Column, Field, Figure, Label, Link, Look, Paper, Part, Row, Run, Table, Tick, Width, WorkingLine};
use output::Refused;

use crate::Size;
use crate::formula::{formula, quoted};
use crate::world::figure_name;

/// The look, as typed by us.
const LOOK: &str = include_str!("look.typ");
/// Part of the page that a figure may fill in height.
const FIGURE_MM: f64 = 195.0;
/// Items of a list that is not broken over pages.
const SHORT: usize = 8;
/// Rows and letters of a table that is not broken over pages; together they stay far below a page, however narrow its columns are.
const FEW_ROWS: usize = 8;
const FEW_LETTERS: usize = 800;
/// Letters of a cell that fill half a page in a narrow column.
const LONG_CELL: usize = 600;
/// Width between the margins of the narrower sheet.
const WIDTH_MM: f64 = 174.0;

/// Colour of words.
pub(crate) const INK: [u8; 3] = [0x1c, 0x24, 0x30];
/// Colour of headings and links.
pub(crate) const ACCENT: [u8; 3] = [0x1d, 0x4e, 0x6b];
/// With what a link to an anchor begins until the pages are bound; a link to a file never does.
pub(crate) const TO_ANCHOR: char = '#';

/// A source with its figures as SVG, and the anchors that it sets.
pub(crate) struct Made {
    pub(crate) text: String,
    pub(crate) figures: Vec<String>,
    pub(crate) anchors: BTreeSet<String>,
}

/// Everything that is known before the first line is written.
struct Writer<'b> {
    text: String,
    figures: Vec<String>,
    /// Anchors that are on these papers.
    anchors: BTreeSet<&'b str>,
    /// Those that were set: an anchor is set once.
    set: BTreeSet<String>,
}

/// The source of all papers of a binder, one behind the other, without contents and without anything that counts pages: so it is set in
/// one pass.
pub(crate) fn papers(binder: &Binder, size: Size) -> Result<Made, Refused> {
    let mut writer = Writer::new(&binder.papers, size);
    for paper in &binder.papers {
        writer.paper(binder, paper)?;
    }
    let Writer { text, figures, set, .. } = writer;
    Ok(Made { text, figures, anchors: set })
}

/// The source of the contents; `pages` are those on which the papers begin.
pub(crate) fn contents(binder: &Binder, size: Size, pages: &[usize]) -> String {
    let mut text = head(size);
    let own = [&binder.site, &binder.tag, &binder.date, &binder.machine].map(|words| quoted(words));
    let [site, tag, date, machine] = &own;
    let _ = write!(text, "#framed({site}, {tag}, \"Contents\")[#contents({site}, {tag}, {machine}, {date}, (");
    for (paper, page) in binder.papers.iter().zip(pages) {
        let _ = write!(
            text,
            "({}, {}, {}, {}, {}, {page}),",
            quoted(&link_to(&paper_anchor(paper))),
            quoted(&paper.title),
            quoted(&paper.for_whom),
            quoted(&paper.revision),
            paper.not_examined.is_none()
        );
    }
    text.push_str("))]\n");
    text
}

/// A line at the foot of a page.
#[derive(Clone, Debug)]
pub(crate) struct Foot<'b> {
    pub(crate) revision: &'b str,
    pub(crate) page: usize,
    pub(crate) of: usize,
}

/// The source of the lines at the feet of pages, each on an empty page of its own.
pub(crate) fn feet<'b>(binder: &Binder, size: Size, feet: impl Iterator<Item = Foot<'b>>) -> String {
    let mut text = head(size);
    let date = quoted(&binder.date);
    for Foot { revision, page, of } in feet {
        let _ = writeln!(text, "#foot({date}, {}, {page}, {of})", quoted(revision));
    }
    text
}

/// What stands before everything.
fn head(size: Size) -> String {
    let size = match size {
        Size::A4 => "a4",
        Size::Letter => "us-letter",
    };
    let rgb = |[red, green, blue]: [u8; 3]| format!("rgb({red}, {green}, {blue})");
    let (ink, accent) = (rgb(INK), rgb(ACCENT));
    format!(
        "#set page(paper: \"{size}\", margin: (top: 22mm, bottom: 19mm, left: 20mm, right: 16mm), header-ascent: 5mm, footer-descent: \
         5mm)\n#let ink = {ink}\n#let accent = {accent}\n{LOOK}"
    )
}

/// Where a link to an anchor leads until the pages are bound.
fn link_to(anchor: &str) -> String {
    format!("{TO_ANCHOR}{anchor}")
}

/// Where a paper begins.
pub(crate) fn paper_anchor(paper: &Paper) -> String {
    format!("paper-{}", paper.name)
}

/// Anchors that a paper has.
fn anchors(paper: &Paper) -> impl Iterator<Item = &str> {
    paper.parts.iter().flat_map(|part| -> Vec<&str> {
        match part {
            Part::Heading(heading) => heading.anchor.iter().map(String::as_str).collect(),
            Part::Table(table) => table.rows.iter().filter_map(|row| row.anchor.as_deref()).collect(),
            _ => Vec::new(),
        }
    })
}

impl<'b> Writer<'b> {
    fn new(papers: &'b [Paper], size: Size) -> Self {
        let anchors = papers.iter().flat_map(anchors).collect();
        Self { text: head(size), figures: Vec::new(), anchors, set: BTreeSet::new() }
    }

    fn put(&mut self, text: &str) {
        self.text.push_str(text);
    }

    fn paper(&mut self, binder: &Binder, paper: &Paper) -> Result<(), Refused> {
        let begin = self.anchor(Some(&paper_anchor(paper)));
        let _ = writeln!(
            self.text,
            "#framed({}, {}, {})[{begin}#head({}, {}, {})",
            quoted(&binder.site),
            quoted(&binder.tag),
            quoted(&paper.title),
            quoted(&paper.title),
            quoted(&paper.for_whom),
            quoted(&binder.machine)
        );
        if let Some(why) = &paper.not_examined {
            let _ = writeln!(self.text, "#not-examined({})", quoted(why));
        }
        let mut at = 0;
        while let Some(part) = paper.parts.get(at) {
            // Cautions in a row stand side by side.
            if matches!(part, Part::Caution(_)) {
                self.put("#cautions(");
                while let Some(Part::Caution(caution)) = paper.parts.get(at) {
                    let _ = write!(self.text, "caution({}, {}),", quoted(&caution.hazard), quoted(&caution.text));
                    at += 1;
                }
                self.put(")\n");
                continue;
            }
            // Who checks a calculation signs beside its last line, not on the page behind it.
            if let (Part::Working(lines), Some(Part::Fields(fields))) = (part, paper.parts.get(at + 1)) {
                self.working(lines, fields);
                at += 2;
                continue;
            }
            let below = at.checked_sub(1).and_then(|before| paper.parts.get(before));
            if let (Part::Paragraph(runs), Some(Part::Heading(_))) = (part, below) {
                let runs = self.runs(runs);
                let _ = writeln!(self.text, "#under[{runs}]");
            } else {
                self.part(part)?;
            }
            at += 1;
        }
        self.put("]\n");
        Ok(())
    }

    fn part(&mut self, part: &Part) -> Result<(), Refused> {
        match part {
            Part::Heading(heading) => {
                let anchor = self.anchor(heading.anchor.as_deref());
                let level = u16::from(heading.level.clamp(1, 2)) + 1;
                let _ = writeln!(self.text, "#heading(level: {level})[#{}{anchor}]", quoted(&heading.text));
            }
            Part::Paragraph(runs) => {
                let runs = self.runs(runs);
                let _ = writeln!(self.text, "\n{runs}\n");
            }
            Part::Statement(runs) => {
                let runs = self.runs(runs);
                let _ = writeln!(self.text, "#statement[{runs}]");
            }
            Part::List(items) => {
                self.put(if items.len() > SHORT { "#list(" } else { "#short-list(" });
                for item in items {
                    let runs = self.runs(item);
                    let _ = write!(self.text, "[{runs}],");
                }
                self.put(")\n");
            }
            Part::Table(table) => self.table(table),
            Part::Figure(figure) => self.figure(figure)?,
            Part::Working(lines) => self.working(lines, &[]),
            Part::Caution(_) => {}
            Part::Ticks(ticks) => self.ticks(ticks),
            Part::Fields(fields) => self.fields(fields),
            Part::Listing(text) => {
                // A string of the typesetter keeps its line ends only when they are written out.
                let lines: Vec<String> = text.lines().map(|line| quoted(line).trim_matches('"').to_owned()).collect();
                let _ = writeln!(self.text, "#listing(\"{}\")", lines.join("\\n"));
            }
            Part::Labels(labels) => self.labels(labels),
            Part::NewPage => self.put("#pagebreak(weak: true)\n"),
        }
        Ok(())
    }

    /// What sets an anchor; nothing the second time.
    fn anchor(&mut self, anchor: Option<&str>) -> String {
        match anchor {
            Some(name) if self.set.insert(name.to_owned()) => format!("#here({})", quoted(name)),
            _ => String::new(),
        }
    }

    fn runs(&self, runs: &[Run]) -> String {
        runs.iter().map(|run| self.run(run)).collect()
    }

    fn run(&self, run: &Run) -> String {
        let look = match run.look {
            Look::Plain => "r",
            Look::Strong => "s",
            Look::Faint => "f",
            Look::Name => "n",
            Look::Large => "l",
        };
        let words = if run.look == Look::Name { breakable(&run.text) } else { run.text.clone() };
        let body = format!("#{look}({})", quoted(&words));
        match &run.link {
            Some(Link::Anchor(name)) if self.anchors.contains(name.as_str()) => format!("#link({}, [{body}])", quoted(&link_to(name))),
            Some(Link::File { file, line }) => {
                let path = file.replace('%', "%25").replace(' ', "%20").replace('#', "%23").replace('?', "%3F");
                let url = if *line == 0 { path } else { format!("{path}#L{line}") };
                format!("#link({}, [{body}])", quoted(&url))
            }
            _ => body,
        }
    }

    fn table(&mut self, table: &Table) {
        let list = |items: Vec<String>| format!("({},)", items.join(", "));
        let widths = table.columns.iter().map(|c| match c.width {
            Width::Fit => "auto".to_owned(),
            Width::Share(share) => format!("{share}fr"),
            Width::Mm(mm) => format!("{mm}mm"),
        });
        let sides = table.columns.iter().map(|c| if c.right { "right" } else { "left" }.to_owned());
        let is_room = |place: usize| table.rows.iter().any(|row| row.cells.get(place) == Some(&Cell::Blank));
        let rooms: Vec<String> = (0..table.columns.len()).filter(|place| is_room(*place)).map(|place| place.to_string()).collect();
        let rooms = if rooms.is_empty() { "()".to_owned() } else { list(rooms) };
        let head = |c: &Column| if c.unit.is_empty() { c.head.clone() } else { format!("{}, {}", c.head, c.unit) };
        let heads = table.columns.iter().map(|c| quoted(&head(c)));
        let caption = if table.caption.is_empty() { "none".to_owned() } else { quoted(&table.caption) };
        let (whole, cut) = (is_short(table), has_long_cells(table));
        let _ = writeln!(
            self.text,
            "#{}({}, {}, {rooms}, {caption}, {}, whole: {whole}, cut: {cut},",
            if table.large { "large-tab" } else { "tab" },
            list(widths.collect()),
            list(sides.collect()),
            list(heads.collect())
        );
        for row in &table.rows {
            self.row(row, table.columns.len(), table.large);
        }
        self.put(")\n");
    }

    fn row(&mut self, row: &Row, columns: usize, large: bool) {
        let anchor = self.anchor(row.anchor.as_deref());
        self.put("(");
        for place in 0..columns {
            let body = match row.cells.get(place) {
                None | Some(Cell::Empty) => String::new(),
                Some(Cell::Words(runs)) => self.runs(runs),
                Some(Cell::Number { text, .. }) => format!("#{}", quoted(text)),
                Some(Cell::Verdict(word)) => format!("#verdict({})", quoted(word)),
                Some(Cell::Tick) => if large { "#large-tickbox" } else { "#tickbox" }.to_owned(),
                Some(Cell::Blank) => "#blank".to_owned(),
            };
            let anchor = if place == 0 { anchor.as_str() } else { "" };
            let body = if row.strong { format!("#sum[{body}]") } else { body };
            let _ = write!(self.text, "[{body}{anchor}],");
        }
        self.put("),\n");
    }

    fn figure(&mut self, figure: &Figure) -> Result<(), Refused> {
        let svg = output::svg::svg(&figure.drawing, &output::svg::Options::default())?;
        // Generic names of faces mean nothing to the typesetter.
        self.figures.push(svg.replace("font-family=\"sans-serif\"", "font-family=\"Open Sans\""));
        let name = figure_name(self.figures.len() - 1);
        // As wide as the page, but no higher than fits on one; the other side follows.
        let drawing = &figure.drawing;
        let high = if drawing.width > 0.0 { (WIDTH_MM * drawing.height / drawing.width).min(FIGURE_MM) } else { FIGURE_MM };
        let _ = writeln!(self.text, "#fig({}, {}, {high:.1}mm)", quoted(&name), quoted(&figure.caption));
        Ok(())
    }

    /// The lines of a calculation, with fields that stay with the last of them.
    fn working(&mut self, lines: &[WorkingLine], fields: &[Field]) {
        self.put("#work(\n");
        for line in lines {
            let step = &line.step;
            let mut sum = formula(&step.symbol);
            if !step.formula.is_empty() {
                let _ = write!(sum, " $=$ {}", formula(&step.formula));
                if step.numbers != step.formula && !step.numbers.is_empty() {
                    let _ = write!(sum, " $=$ #r({})", quoted(&step.numbers));
                }
            }
            let _ = write!(sum, " $=$ #s({})", quoted(&step.value));
            let mut note = if step.note.is_empty() { step.name.clone() } else { format!("{}; {}", step.name, step.note) };
            let source = match &line.source {
                Some(Link::Anchor(name)) if self.anchors.contains(name.as_str()) => {
                    let number = name.rsplit('-').next().unwrap_or_default();
                    format!("#link({}, [\\[{number}\\]])", quoted(&link_to(name)))
                }
                // Without a list of sources to point to, the source stands in words.
                _ => {
                    let _ = write!(note, " — {}", step.source);
                    String::new()
                }
            };
            let _ = writeln!(self.text, "([{sum}], [#{}], [{source}]),", quoted(&note));
        }
        if !fields.is_empty() {
            self.put("tail: [");
            self.fields(fields);
            self.put("]");
        }
        self.put(")\n");
    }

    fn ticks(&mut self, ticks: &[Tick]) {
        self.put("#ticks(\n");
        for tick in ticks {
            let kind = if tick.hold {
                "hold"
            } else if tick.energises {
                "energise"
            } else {
                "step"
            };
            let words = |text: &str| if text.is_empty() { "none".to_owned() } else { quoted(text) };
            let barred = tick.barred.as_deref().map_or_else(|| "none".to_owned(), quoted);
            let body = self.runs(&tick.what);
            let _ = writeln!(self.text, "([{body}], {}, \"{kind}\", {barred}),", words(&tick.expected));
        }
        self.put(")\n");
    }

    fn labels(&mut self, labels: &[Label]) {
        self.put("#labels(");
        for label in labels {
            let Label { wire, end, at, note } = label;
            let _ = write!(self.text, "({}, {}, {}, {}),", quoted(wire), quoted(end), quoted(at), quoted(note));
        }
        self.put(")\n");
    }

    fn fields(&mut self, fields: &[Field]) {
        self.put("#fields(");
        for field in fields {
            let hint = if field.hint.is_empty() { "none".to_owned() } else { quoted(&field.hint) };
            // Half the width holds about sixty letters; half of that is left to write on.
            let wide = field.label.chars().count() + field.hint.chars().count() > 30 || fields.len() == 1;
            let _ = write!(self.text, "({}, {hint}, {}, {wide}),", quoted(&field.label), field.lines.max(1));
        }
        self.put(")\n");
    }
}

/// Whether a table is broken over pages only when a page cannot hold it: a few rows with few words.
fn is_short(table: &Table) -> bool {
    let words = |row: &Row| row.cells.iter().map(|cell| cell.printed().chars().count()).sum::<usize>();
    table.rows.len() <= FEW_ROWS && table.rows.iter().map(words).sum::<usize>() <= FEW_LETTERS
}

/// Whether a row may be cut by the end of a page: only where it might not fit on one, so that nothing is lost below its end.
fn has_long_cells(table: &Table) -> bool {
    table.rows.iter().flat_map(|row| &row.cells).any(|cell| cell.printed().chars().count() > LONG_CELL)
}

/// A long name may be broken behind a point, a slash or a low line.
fn breakable(name: &str) -> String {
    let mut out = String::with_capacity(name.len());
    for c in name.chars() {
        out.push(c);
        if matches!(c, '.' | '/' | '_') {
            out.push('\u{200b}');
        }
    }
    out
}
