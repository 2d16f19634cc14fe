//! Papers into the source of the typesetter. All words go in as strings, never as markup; links lead only to anchors that are there.

use std::collections::BTreeSet;
use std::fmt::Write;

use dossier::paper::{Binder, Cell, Column, Field, Figure, Label, Link, Look, Paper, Part, Row, Run, Table, Tick, Width, WorkingLine};
use output::Refused;

use crate::formula::{formula, quoted};
use crate::world::figure_name;
use crate::{Options, Size};

/// The look, as typed by us.
const LOOK: &str = include_str!("look.typ");
/// Part of the page that a figure may fill in height.
const FIGURE_MM: f64 = 195.0;
/// Width between the margins of the narrower sheet.
const WIDTH_MM: f64 = 174.0;

/// A source with its figures as SVG.
pub(crate) struct Made {
    pub(crate) text: String,
    pub(crate) figures: Vec<String>,
}

/// Everything that is known before the first line is written.
struct Writer<'b> {
    text: String,
    figures: Vec<String>,
    options: &'b Options,
    /// Anchors that are on these papers.
    anchors: BTreeSet<&'b str>,
    /// Those that were set: an anchor is set once.
    set: BTreeSet<String>,
}

/// The source of a whole binder with its contents.
pub(crate) fn whole(binder: &Binder, options: &Options) -> Result<Made, Refused> {
    let papers: Vec<&Paper> = binder.papers.iter().collect();
    let mut writer = Writer::new(&papers, options);
    writer.head(&format!("{} {}: all papers", binder.site, binder.tag));
    let _ = write!(
        writer.text,
        "#framed({}, {}, \"Contents\", {}, {})[#contents({}, {}, {}, {}, (",
        quoted(&binder.site),
        quoted(&binder.tag),
        quoted(&binder.date),
        quoted("of each paper: see its pages"),
        quoted(&binder.site),
        quoted(&binder.tag),
        quoted(&binder.machine),
        quoted(&binder.date)
    );
    for paper in &papers {
        let _ = write!(
            writer.text,
            "({}, {}, {}, {}, {}),",
            quoted(&paper_anchor(paper)),
            quoted(&paper.title),
            quoted(&paper.for_whom),
            quoted(&paper.revision),
            paper.not_examined.is_none()
        );
    }
    writer.text.push_str("))]\n");
    for paper in papers {
        writer.paper(binder, paper)?;
    }
    Ok(Made { text: writer.text, figures: writer.figures })
}

/// The source of one paper by itself.
pub(crate) fn single(binder: &Binder, paper: &Paper, options: &Options) -> Result<Made, Refused> {
    let mut writer = Writer::new(&[paper], options);
    writer.head(&format!("{} {}: {}", binder.site, binder.tag, paper.title));
    writer.paper(binder, paper)?;
    Ok(Made { text: writer.text, figures: writer.figures })
}

fn paper_anchor(paper: &Paper) -> String {
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
    fn new(papers: &[&'b Paper], options: &'b Options) -> Self {
        let anchors = papers.iter().flat_map(|paper| anchors(paper)).collect();
        Self { text: String::new(), figures: Vec::new(), options, anchors, set: BTreeSet::new() }
    }

    fn put(&mut self, text: &str) {
        self.text.push_str(text);
    }

    fn head(&mut self, title: &str) {
        let size = match self.options.size {
            Size::A4 => "a4",
            Size::Letter => "us-letter",
        };
        let _ = writeln!(self.text, "#set document(title: {})", quoted(title));
        let _ = writeln!(
            self.text,
            "#set page(paper: \"{size}\", margin: (top: 22mm, bottom: 19mm, left: 20mm, right: 16mm), header-ascent: 5mm, footer-descent: 5mm)"
        );
        self.put(LOOK);
    }

    fn paper(&mut self, binder: &Binder, paper: &Paper) -> Result<(), Refused> {
        let _ = writeln!(
            self.text,
            "#framed({}, {}, {}, {}, {})[#here({})#head({}, {}, {})",
            quoted(&binder.site),
            quoted(&binder.tag),
            quoted(&paper.title),
            quoted(&binder.date),
            quoted(&paper.revision),
            quoted(&paper_anchor(paper)),
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
            self.part(part)?;
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
                self.put("#list(");
                for item in items {
                    let runs = self.runs(item);
                    let _ = write!(self.text, "[{runs}],");
                }
                self.put(")\n");
            }
            Part::Table(table) => self.table(table),
            Part::Figure(figure) => self.figure(figure)?,
            Part::Working(lines) => self.working(lines),
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
            Some(Link::Anchor(name)) if self.anchors.contains(name.as_str()) => format!("#to({}, [{body}])", quoted(name)),
            Some(Link::File { file, line }) if self.options.inputs.is_some() => {
                let base = self.options.inputs.as_deref().unwrap_or_default();
                let path = file.replace('%', "%25").replace(' ', "%20").replace('#', "%23").replace('?', "%3F");
                let url = if *line == 0 { format!("{base}{path}") } else { format!("{base}{path}#L{line}") };
                format!("#out({}, [{body}])", quoted(&url))
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
        let _ = writeln!(
            self.text,
            "#{}({}, {}, {rooms}, {caption}, {},",
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

    fn working(&mut self, lines: &[WorkingLine]) {
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
                    format!("#to({}, [\\[{number}\\]])", quoted(name))
                }
                // Without a list of sources to point to, the source stands in words.
                _ => {
                    let _ = write!(note, " — {}", step.source);
                    String::new()
                }
            };
            let _ = writeln!(self.text, "([{sum}], [#{}], [{source}]),", quoted(&note));
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
            let _ = write!(self.text, "({}, {hint}, {}),", quoted(&field.label), field.lines.max(1));
        }
        self.put(")\n");
    }
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
