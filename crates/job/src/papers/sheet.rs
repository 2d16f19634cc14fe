//! A paper in the making: its parts in order, and every fact that anything on it was made from. Nothing gets onto a paper past this
//! builder, and at its end it bars every step that puts volts on something while a fact that may not be assumed is open.

use std::collections::BTreeSet;

use dossier::paper::{Caution, Cell, Column, Field, Figure, Heading, Paper, Part, Row, Run, Table, Tick};
use findings::caution::{self, DEFERENCE};
use findings::facts::{FactSet, Survey};
use findings::failure_modes::{self, FailureMode, ON_PAPER, OnPaper};
use plant::survey::{self, FACTS, FactId};

use crate::assess::Input;
use crate::options::Assessed;

/// Everything that papers of one position are made from.
pub(crate) struct Desk<'d> {
    pub(crate) input: Input<'d>,
    pub(crate) survey: &'d Survey<'d>,
    pub(crate) candidates: &'d [Assessed<'d>],
    pub(crate) report: &'d dossier::Position,
    pub(crate) room: Option<dossier::boxes::BoxReport>,
    pub(crate) words: Option<Result<dossier::words::Words, String>>,
    pub(crate) settings: Option<Result<dossier::settings::Settings, String>>,
    pub(crate) wires: Option<Result<dossier::wires::Wires, String>>,
    pub(crate) night: Result<dossier::cutover::Cutover, String>,
    pub(crate) behaviour: Option<dossier::behaviour::Behaviour>,
}

impl Desk<'_> {
    /// The candidate that the papers are written for.
    pub(crate) fn first(&self) -> Option<&dossier::Candidate> {
        self.report.candidates.first()
    }

    /// The same as it was assessed.
    pub(crate) fn unit(&self) -> Option<&Assessed<'_>> {
        self.candidates.first()
    }

    /// Facts that the candidate's findings ask for, that may not be assumed and stay open, by path.
    pub(crate) fn open(&self) -> BTreeSet<String> {
        self.unit().into_iter().flat_map(|c| c.findings.iter().flat_map(|f| f.bounds.open.iter())).map(survey::path).collect()
    }
}

/// A paper in the making.
pub(crate) struct Sheet<'d> {
    pub(crate) desk: &'d Desk<'d>,
    paper: Paper,
    reads: BTreeSet<String>,
}

impl<'d> Sheet<'d> {
    pub(crate) fn new(desk: &'d Desk<'d>, name: &str, title: &str, for_whom: &str) -> Self {
        let paper = Paper { name: name.to_owned(), title: title.to_owned(), for_whom: for_whom.to_owned(), ..Paper::default() };
        Self { desk, paper, reads: BTreeSet::new() }
    }

    /// Notes that one fact was read.
    pub(crate) fn reads(&mut self, id: FactId) {
        self.reads.insert(survey::path(id));
        // What the old type code adds to an open rated current goes by the duty class.
        if id == survey::OLD_CURRENT.id {
            self.reads.insert(survey::path(survey::OLD_DUTY.id));
        }
    }

    /// Notes that a whole table of the survey was read: "box".
    pub(crate) fn reads_table(&mut self, table: &str) {
        let ids: Vec<FactId> = all_facts().filter(|id| survey::def(*id).table() == table).collect();
        ids.into_iter().for_each(|id| self.reads(id));
    }

    /// Notes that every fact was read.
    pub(crate) fn reads_everything(&mut self) {
        let ids: Vec<FactId> = all_facts().collect();
        ids.into_iter().for_each(|id| self.reads(id));
        self.reads_duty();
    }

    /// Notes that the whole duty table was read.
    pub(crate) fn reads_duty(&mut self) {
        let rows = self.desk.survey.position().duty.len();
        for row in 0..rows {
            for column in 0..survey::DUTY_COLUMNS.len() {
                self.reads.insert(survey::path(survey::duty_cell(row, column)));
            }
        }
    }

    /// Notes what decides which candidate the papers are for: nothing of the survey where a person chose it.
    pub(crate) fn reads_choice(&mut self) {
        if self.desk.report.chosen_by.is_none() {
            self.reads_all_candidates();
        }
    }

    /// Notes what the order of all candidates rests on.
    pub(crate) fn reads_all_candidates(&mut self) {
        let desk = self.desk;
        for candidate in desk.candidates {
            self.reads_findings(candidate);
        }
    }

    /// Notes what the findings and remedies of the candidate rest on.
    pub(crate) fn reads_candidate(&mut self) {
        self.reads_choice();
        let desk = self.desk;
        if let Some(first) = desk.unit() {
            self.reads_findings(first);
        }
        // A working may show more than its margin rests on.
        let shown = desk.first().into_iter().flat_map(|c| &c.findings).flat_map(|f| f.inputs.iter().map(|i| &i.fact).chain(&f.depends_on));
        self.reads.extend(shown.cloned());
    }

    fn reads_findings(&mut self, candidate: &Assessed<'_>) {
        let mut looked = FactSet::default();
        candidate.findings.iter().for_each(|f| looked.extend(&f.looked));
        looked.iter().for_each(|id| self.reads(id));
    }

    /// A heading of the paper.
    pub(crate) fn heading(&mut self, text: impl Into<String>) {
        self.part(Part::Heading(Heading { level: 1, text: text.into(), anchor: None }));
    }

    /// A heading below one.
    pub(crate) fn under(&mut self, text: impl Into<String>, anchor: Option<String>) {
        self.part(Part::Heading(Heading { level: 2, text: text.into(), anchor }));
    }

    pub(crate) fn say(&mut self, text: impl Into<String>) {
        self.part(Part::Paragraph(vec![Run::plain(text)]));
    }

    pub(crate) fn runs(&mut self, runs: Vec<Run>) {
        self.part(Part::Paragraph(runs));
    }

    pub(crate) fn list(&mut self, items: impl IntoIterator<Item = Vec<Run>>) {
        let items: Vec<Vec<Run>> = items.into_iter().collect();
        if !items.is_empty() {
            self.part(Part::List(items));
        }
    }

    pub(crate) fn lines(&mut self, items: impl IntoIterator<Item = String>) {
        self.list(items.into_iter().map(|text| vec![Run::plain(text)]));
    }

    pub(crate) fn table(&mut self, name: &str, caption: &str, columns: Vec<Column>, rows: Vec<Row>) {
        self.any_table(name, caption, columns, rows, false);
    }

    /// A table that is read and ticked at arm's length.
    pub(crate) fn large_table(&mut self, name: &str, caption: &str, columns: Vec<Column>, rows: Vec<Row>) {
        self.any_table(name, caption, columns, rows, true);
    }

    fn any_table(&mut self, name: &str, caption: &str, columns: Vec<Column>, rows: Vec<Row>, large: bool) {
        if !rows.is_empty() {
            let table = Table { name: format!("{}-{name}", self.paper.name), caption: caption.to_owned(), columns, rows, large };
            self.part(Part::Table(table));
        }
    }

    pub(crate) fn figure(&mut self, name: &str, caption: &str, drawing: &dossier::drawing::Drawing) {
        self.part(Part::Figure(Figure { name: name.to_owned(), caption: caption.to_owned(), drawing: drawing.clone() }));
    }

    pub(crate) fn ticks(&mut self, ticks: Vec<Tick>) {
        if !ticks.is_empty() {
            self.part(Part::Ticks(ticks));
        }
    }

    pub(crate) fn fields(&mut self, fields: Vec<Field>) {
        self.part(Part::Fields(fields));
    }

    pub(crate) fn part(&mut self, part: Part) {
        self.paper.parts.push(part);
    }

    /// Rows of the list of failure modes that this paper has people do something against.
    fn on_paper(&self) -> impl Iterator<Item = (&'static OnPaper, &'static FailureMode)> {
        let own = ON_PAPER.iter().filter(|o| o.paper == self.paper.name);
        own.filter_map(|o| Some((o, failure_modes::find(o.row)?)))
    }

    /// Letters of cautions, with those of the rows that stand on this paper.
    fn letters(&self, given: &str) -> Vec<char> {
        let mut letters: Vec<char> = given.chars().collect();
        for letter in self.on_paper().flat_map(|(_, mode)| mode.cautions.chars()) {
            if !letters.contains(&letter) {
                letters.push(letter);
            }
        }
        letters
    }

    /// What is known to go wrong and what this paper has people do against it.
    pub(crate) fn failures(&mut self) {
        let rows: Vec<Row> = self
            .on_paper()
            .map(|(o, mode)| {
                let what = format!("{}: {}", mode.symptom, mode.cause);
                Row::of(vec![super::answer::count(o.row.into()), Cell::text(what), Cell::text(o.against), Cell::Blank])
            })
            .collect();
        if rows.is_empty() {
            return;
        }
        self.heading("Known to go wrong");
        let columns = vec![
            Column::numbers("row", ""),
            Column::words("what happens, and from what", 1.3),
            Column::words("against it", 1.5),
            Column::room("seen to by, on", 32.0),
        ];
        self.table("known", "Rows of the list of failure modes that no survey decides; common practice, no source.", columns, rows);
    }

    /// Cautions by their letters and by the rows that stand on this paper, then who decides; each paper that sends somebody to the equipment has them.
    pub(crate) fn cautions(&mut self, letters: &str) {
        for found in self.letters(letters).into_iter().filter_map(caution::find) {
            self.part(Part::Caution(Caution { hazard: found.hazard.to_owned(), text: found.text.to_owned() }));
        }
        self.deference();
    }

    /// All cautions that the report has for this position, those of the two units included.
    pub(crate) fn cautions_of_position(&mut self, also: &str) {
        self.reads_candidate();
        self.reads(survey::LOAD_OVERHAULING.id);
        self.reads(survey::LOAD_KIND.id);
        let desk = self.desk;
        let own = &desk.report.cautions;
        let missing = self.letters(also).into_iter().filter_map(caution::find).filter(|c| own.iter().all(|o| o.hazard != c.hazard));
        let missing: Vec<Caution> = missing.map(|c| Caution { hazard: c.hazard.to_owned(), text: c.text.to_owned() }).collect();
        for one in own.iter().map(|c| Caution { hazard: c.hazard.clone(), text: c.text.clone() }).chain(missing) {
            self.part(Part::Caution(one));
        }
        self.deference();
    }

    fn deference(&mut self) {
        self.part(Part::Paragraph(vec![Run::faint(DEFERENCE)]));
    }

    /// Says that the subject was not examined, and why.
    pub(crate) fn not_examined(mut self, why: &str) -> Paper {
        self.paper.not_examined = Some(why.to_owned());
        self.finish()
    }

    /// The paper, with every step barred that may not be done yet.
    pub(crate) fn finish(mut self) -> Paper {
        let steps = self.paper.parts.iter().any(|part| matches!(part, Part::Ticks(ticks) if ticks.iter().any(|t| t.energises)));
        if steps {
            self.reads_candidate();
            bar(&mut self.paper.parts, &self.desk.open());
        }
        self.paper.reads = self.reads.into_iter().collect();
        self.paper
    }
}

/// Bars every step that puts volts on something while a fact that may not be assumed is open, and what comes behind it in its list: that
/// cannot be done without it.
pub(crate) fn bar(parts: &mut [Part], open: &BTreeSet<String>) {
    if open.is_empty() {
        return;
    }
    let names: Vec<&str> = open.iter().map(String::as_str).collect();
    let why = format!("Not before this is known and assessed again: {}.", names.join(", "));
    for part in parts {
        if let Part::Ticks(ticks) = part {
            let Some(first) = ticks.iter().position(|t| t.energises) else { continue };
            for (place, tick) in ticks.iter_mut().enumerate().skip(first) {
                tick.barred = Some(if place == first { why.clone() } else { format!("Waits for step {}.", first + 1) });
            }
        }
    }
}

/// A step to tick off.
pub(crate) fn tick(what: impl Into<String>) -> Tick {
    Tick { what: vec![Run::plain(what)], ..Tick::default() }
}

/// A step with what is expected to be seen.
pub(crate) fn expect(what: impl Into<String>, expected: impl Into<String>) -> Tick {
    Tick { what: vec![Run::plain(what)], expected: expected.into(), ..Tick::default() }
}

/// A step that somebody signs before the next one begins.
pub(crate) fn hold(what: impl Into<String>) -> Tick {
    Tick { what: vec![Run::plain(what)], hold: true, ..Tick::default() }
}

/// A step that puts volts on something.
pub(crate) fn energise(what: impl Into<String>, expected: impl Into<String>) -> Tick {
    Tick { what: vec![Run::plain(what)], expected: expected.into(), energises: true, ..Tick::default() }
}

/// A fact's name, leading to its line in the register.
pub(crate) fn fact_run(path: &str) -> Run {
    Run { text: path.to_owned(), look: dossier::paper::Look::Name, link: Some(dossier::paper::Link::Anchor(fact_anchor(path))) }
}

/// Where a fact stands in the register.
pub(crate) fn fact_anchor(path: &str) -> String {
    format!("fact-{}", plain(path))
}

/// Where a finding stands in the calculation book.
pub(crate) fn finding_anchor(name: &str) -> String {
    format!("finding-{}", plain(name))
}

fn plain(name: &str) -> String {
    name.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).collect()
}

/// A place "file:line" as a link to it.
pub(crate) fn place_run(place: &str) -> Run {
    match place.rsplit_once(':').and_then(|(file, line)| Some((file, line.parse().ok()?))) {
        Some((file, line)) => Run {
            text: place.to_owned(),
            look: dossier::paper::Look::Name,
            link: Some(dossier::paper::Link::File { file: file.to_owned(), line }),
        },
        None => Run::plain(place),
    }
}

/// A finding's name, leading to its working.
pub(crate) fn finding_cell(finding: &dossier::Finding) -> Cell {
    Cell::linked(finding.title.clone(), finding_anchor(&finding.name))
}

/// Every fact of the table of facts, in its order.
pub(crate) fn all_facts() -> impl Iterator<Item = FactId> {
    FACTS.iter().filter_map(|def| survey::find(def.path))
}
