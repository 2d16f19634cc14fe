//! The calculation book: every check of the candidate with its inputs, its working line by line, its margin and room for a reviewer.

use std::collections::BTreeMap;

use dossier::paper::{Cell, Column, Field, Link, Look, Paper, Part, Row, Run, WorkingLine};

use super::sheet::{Desk, Sheet, fact_run, finding_anchor, place_run};
use crate::phrase::margin_text;

pub(super) fn book(desk: &Desk<'_>) -> Paper {
    let mut sheet = Sheet::new(desk, "calculation-book", "Calculation book", "engineer, reviewer, inspector");
    sheet.reads_candidate();
    let Some(first) = desk.first() else {
        return sheet.not_examined("There is no unit to calculate for.");
    };
    sheet.say(format!(
        "Every check of {} {} in {} duty for {}, worst first. Each working stands at the worst completion of what the survey leaves open; \
         the margin beside it runs from there to the best one. Positive margins hold.",
        first.series, first.code, first.duty, desk.report.tag
    ));
    let sources = numbered(first);
    let (applies, absent): (Vec<&dossier::Finding>, Vec<&dossier::Finding>) =
        first.findings.iter().partition(|f| f.margin.low.is_some() || f.verdict != "holds" || !f.working.is_empty());
    summary(&mut sheet, &applies);
    for finding in applies {
        one(&mut sheet, finding, &sources);
    }
    if !absent.is_empty() {
        sheet.heading("Checks whose fault cannot arise here");
        let rows = absent.iter().map(|f| {
            let mut row = Row::of(vec![Cell::text(f.title.clone()), Cell::name(f.name.clone())]);
            row.anchor = Some(finding_anchor(&f.name));
            row
        });
        sheet.table("absent", "", vec![Column::words("fault", 1.0), Column::fit("name")], rows.collect());
    }
    sheet.heading("Sources");
    let mut by_number: Vec<(&String, &usize)> = sources.iter().collect();
    by_number.sort_by_key(|(_, number)| **number);
    let rows = by_number.into_iter().map(|(text, number)| {
        let mut row = Row::of(vec![super::answer::count(*number), Cell::text(text.clone())]);
        row.anchor = Some(source_anchor(*number));
        row
    });
    sheet.table("sources", "", vec![Column::numbers("no.", ""), Column::words("source, and how it is known", 1.0)], rows.collect());
    sheet.finish()
}

fn source_anchor(number: usize) -> String {
    format!("source-{number}")
}

/// Sources in the order in which the book comes upon them, from 1.
fn numbered(candidate: &dossier::Candidate) -> BTreeMap<String, usize> {
    let mut sources = BTreeMap::new();
    for finding in &candidate.findings {
        for source in finding.working.iter().map(|s| &s.source).chain(&finding.sources) {
            let next = sources.len() + 1;
            sources.entry(source.clone()).or_insert(next);
        }
    }
    sources
}

/// The margin where it is a number; where it says no more than the verdict, it is not said twice.
fn number(finding: &dossier::Finding) -> Option<String> {
    (!finding.margin.unit.is_empty() && finding.margin.low.is_some()).then(|| margin_text(&finding.margin))
}

fn summary(sheet: &mut Sheet<'_>, findings: &[&dossier::Finding]) {
    sheet.heading("All checks at a glance");
    let rows = findings.iter().map(|f| {
        let accepted = match (&f.accepted, f.stays_open) {
            (Some(a), false) => format!("accepted by {}", a.by),
            (Some(a), true) => format!("accepted by {}, but stays open", a.by),
            (None, _) => String::new(),
        };
        Row::of(vec![
            Cell::Verdict(f.verdict.clone()),
            super::sheet::finding_cell(f),
            Cell::text(number(f).unwrap_or_default()),
            Cell::text(f.severity.clone()),
            Cell::text(accepted),
        ])
    });
    let columns = vec![
        Column::fit("verdict"),
        Column::words("fault", 3.0),
        Column::fit("margin"),
        Column::fit("may do"),
        Column::words("taken on", 1.0),
    ];
    sheet.table("checks", "", columns, rows.collect());
}

fn one(sheet: &mut Sheet<'_>, finding: &dossier::Finding, sources: &BTreeMap<String, usize>) {
    sheet.under(finding.title.clone(), Some(finding_anchor(&finding.name)));
    let mut line = vec![Run::strong(finding.verdict.clone())];
    line.extend(number(finding).map(|margin| Run::plain(format!(", margin {margin}"))));
    line.push(Run::faint(format!("  {}, may cost {}", finding.name, finding.severity)));
    sheet.runs(line);
    if let Some(reason) = finding.reason.as_ref().filter(|_| finding.verdict != "holds") {
        sheet.say(format!("Why: {reason}."));
    }
    if !finding.depends_on.is_empty() {
        let mut runs = vec![Run::plain("Depends on ")];
        for (i, fact) in finding.depends_on.iter().enumerate() {
            if i > 0 {
                runs.push(Run::plain(", "));
            }
            runs.push(fact_run(fact));
        }
        runs.push(Run::plain("."));
        sheet.runs(runs);
    }
    for remedy in finding.remedies.iter().filter(|r| r.taken) {
        sheet.runs(vec![Run::strong("Remedy taken: "), Run::plain(format!("{}.", remedy.what))]);
    }
    let rows = finding.inputs.iter().map(|i| {
        let range = if i.range == i.value { String::new() } else { i.range.clone() };
        Row::of(vec![
            Cell::Words(vec![fact_run(&i.fact)]),
            Cell::text(i.value.clone()),
            Cell::text(range),
            Cell::text(i.origin.clone()),
            Cell::Words(vec![place_run(&i.place)]),
        ])
    });
    let columns = vec![
        Column::fit("input"),
        Column::fit("value here"),
        Column::words("may be", 1.0),
        Column::words("how it is known", 1.6),
        Column::fit("file and line"),
    ];
    let name = format!("inputs-{}", finding.name.replace('/', "-"));
    sheet.table(&name, "", columns, rows.collect());
    let lines = finding
        .working
        .iter()
        .map(|step| WorkingLine { step: step.clone(), source: sources.get(&step.source).map(|n| Link::Anchor(source_anchor(*n))) });
    let lines: Vec<WorkingLine> = lines.collect();
    if !lines.is_empty() {
        sheet.part(Part::Working(lines));
    }
    let cited: Vec<Run> = finding
        .sources
        .iter()
        .filter_map(|s| sources.get(s))
        .map(|n| Run { text: format!("[{n}] "), look: Look::Faint, link: Some(Link::Anchor(source_anchor(*n))) })
        .collect();
    if !cited.is_empty() && finding.working.is_empty() {
        sheet.runs([vec![Run::faint("Rests on ")], cited].concat());
    }
    if let Some(accepted) = &finding.accepted {
        sheet.say(format!("Accepted by {} on {}: {}.", accepted.by, accepted.on, accepted.reason));
    }
    sheet.fields(vec![Field { label: "Reviewed by, date, remark".into(), hint: String::new(), lines: 1 }]);
}
