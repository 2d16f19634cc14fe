//! The power sheet: the path from the transformer to the motor, before and after, as the audit has it.

use dossier::paper::{Cell, Column, Paper, Row, Run};
use dossier::power::{Audit, Line, Section};

use super::sheet::{Desk, Sheet, fact_run, finding_anchor};
use crate::phrase::margin_text;
use crate::power::audit_of;

/// Tables of the survey that the audit reads.
const TABLES: &[&str] = &[
    "old",
    "motor",
    "load",
    "speed",
    "stop",
    "cable",
    "output",
    "resistor",
    "link",
    "supply",
    "protection",
    "conductors",
    "conditions",
    "box",
];

pub(super) fn sheet(desk: &Desk<'_>) -> Paper {
    let mut sheet = Sheet::new(desk, "power-sheet", "Power sheet, before and after", "electrician, inspector");
    sheet.reads_candidate();
    TABLES.iter().for_each(|table| sheet.reads_table(table));
    sheet.reads_duty();
    let audit = match audit_of(desk.input, desk.survey, desk.candidates, desk.report, None) {
        Ok(audit) => audit,
        Err(why) => return sheet.not_examined(&format!("There is nothing to audit: {why}.")),
    };
    head(&mut sheet, &audit);
    sheet.cautions("ALDH");
    let mut sources: Vec<&str> = Vec::new();
    audit.sections.iter().for_each(|section| self::section(&mut sheet, section, &mut sources));
    if !audit.open.is_empty() {
        sheet.heading("Open, and nothing may be assumed");
        sheet.list(audit.open.iter().map(|path| vec![fact_run(path)]));
    }
    sheet.failures();
    sheet.heading("What the figures rest on");
    let rows = sources.iter().enumerate().map(|(i, s)| Row::of(vec![Cell::text(number(i)), Cell::text(*s)]));
    sheet.table("sources", "", vec![Column::fit("no."), Column::words("source", 1.0)], rows.collect());
    sheet.lines(audit.remarks.iter().cloned());
    sheet.finish()
}

fn head(sheet: &mut Sheet<'_>, audit: &Audit) {
    sheet.runs(vec![Run::strong(format!("The power path: {}", audit.verdict))]);
    let before = audit.old.as_deref().unwrap_or("not known");
    sheet.runs(vec![Run::plain(format!("Before: {before}. After: {}.", audit.new))]);
    if !audit.remedies.is_empty() {
        sheet.under("What is done so that it holds", None);
        sheet.lines(audit.remedies.iter().cloned());
    }
}

fn number(index: usize) -> String {
    format!("[{}]", index + 1)
}

fn section<'a>(sheet: &mut Sheet<'_>, section: &'a Section, sources: &mut Vec<&'a str>) {
    sheet.heading(section.title.clone());
    let (said, idle): (Vec<&Line>, Vec<&Line>) = section.lines.iter().partition(|l| l.speaks());
    let rows = said.iter().map(|line| row(line, sources)).collect();
    let columns = vec![
        Column::words("what", 2.0),
        Column::words("before", 1.0),
        Column::words("after", 1.0),
        Column::words("limit", 0.9),
        Column::fit("room"),
        Column::fit("verdict"),
        Column::fit("from"),
    ];
    sheet.table(&section.name, "", columns, rows);
    sheet.lines(said.iter().filter_map(|line| note(line)));
    if !idle.is_empty() {
        let names: Vec<&str> = idle.iter().map(|l| l.what.as_str()).collect();
        sheet.runs(vec![Run::faint(format!("Not here: {}.", names.join("; ")))]);
    }
}

fn row<'a>(line: &'a Line, sources: &mut Vec<&'a str>) -> Row {
    let what = match &line.finding {
        Some(name) => Cell::linked(line.what.clone(), finding_anchor(name)),
        None => Cell::text(line.what.clone()),
    };
    let room = line.margin.as_ref().filter(|m| !m.unit.is_empty() && m.low.is_some()).map(margin_text).unwrap_or_default();
    // A range that is broken behind its sign is misread.
    let room = room.replace(" … ", "\u{a0}…\u{a0}").replace(" %", "\u{a0}%");
    let verdict = if line.verdict.is_empty() { Cell::Empty } else { Cell::Verdict(line.verdict.clone()) };
    let source = if line.source.is_empty() {
        Cell::Empty
    } else {
        let at = sources.iter().position(|s| *s == line.source).unwrap_or_else(|| {
            sources.push(&line.source);
            sources.len() - 1
        });
        Cell::text(number(at))
    };
    let text = |reading: &dossier::power::Reading| Cell::text(reading.text.clone());
    Row::of(vec![what, text(&line.before), text(&line.after), text(&line.limit), Cell::text(room), verdict, source])
}

/// What else is to be known of a line: its note, what was found before, what is open.
fn note(line: &Line) -> Option<String> {
    let said = line.said();
    (!said.is_empty()).then(|| format!("{}: {said}", line.what))
}
