//! The one-page answer: what is there, what replaces it, what may go wrong, what to read next, what it costs.

use dossier::paper::{Cell, Column, Paper, Part, Row, Run};
use plant::survey::{OLD_CURRENT, OLD_VOLTAGE};

use super::sheet::{Desk, Sheet, fact_run, finding_cell};
use crate::phrase::{margin_text, money};

/// Findings and readings that a single page has room for.
const FEW: usize = 5;

pub(super) fn answer(desk: &Desk<'_>) -> Paper {
    let mut sheet = Sheet::new(desk, "answer", "One-page answer", "customer, sales, whoever decides");
    sheet.reads_all_candidates();
    sheet.reads_candidate();
    sheet.reads(OLD_CURRENT.id);
    sheet.reads(OLD_VOLTAGE.id);
    let report = desk.report;
    let old = if report.old.is_empty() { "not identified".to_owned() } else { report.old.clone() };
    let decoded: Vec<String> = report.old_decoded.iter().map(|s| format!("{} {}", s.segment, s.meaning)).collect();
    let decoded = if decoded.is_empty() { String::new() } else { format!(" ({})", decoded.join("; ")) };
    sheet.runs(vec![Run::strong("There today: "), Run::plain(format!("{old}{decoded}."))]);
    let Some(first) = desk.first() else {
        return sheet
            .not_examined("No pack of this site offers a unit that may replace the old drive: put packs into packs/ and assess again.");
    };
    sheet.part(Part::Statement(vec![
        Run::strong(format!("{} {}, {} duty", first.series, first.code, first.duty)),
        Run::plain(format!(" — {}", says(first))),
    ]));
    if let Some(by) = &report.chosen_by {
        sheet.say(format!("Chosen by {by}."));
    } else {
        sheet.say("Nobody has chosen yet; this unit stands first by what is known.");
    }
    let cost = cost_text(&mut sheet, first);
    sheet.say(format!("Installed, as far as it has a price: {cost}."));

    sheet.heading("What may go wrong");
    let doubtful: Vec<&dossier::Finding> = first.findings.iter().filter(|f| f.verdict != "holds").collect();
    if doubtful.is_empty() {
        sheet.say("Nothing that was examined fails or is left open.");
    }
    let rows = doubtful.iter().take(FEW).map(|f| {
        let reason = f.reason.clone().filter(|_| f.margin.low.is_none() || f.verdict == "depends").unwrap_or_default();
        Row::of(vec![Cell::Verdict(f.verdict.clone()), finding_cell(f), Cell::text(margin_text(&f.margin)), Cell::text(reason)])
    });
    let columns =
        vec![Column::fit("verdict"), Column::words("trouble", 2.0), Column::fit("margin"), Column::words("why it is not settled", 2.0)];
    sheet.table("trouble", "", columns, rows.collect());
    if doubtful.len() > FEW {
        sheet.say(format!("{} more stand in the calculation book.", doubtful.len() - FEW));
    }

    sheet.heading("Other units");
    let rows = report.candidates.iter().map(|c| {
        let name = format!("{} {}, {}", c.series, c.code, c.duty);
        Row::of(vec![Cell::text(name), Cell::text(says(c)), Cell::Number { value: c.cost, text: money(c.cost) }, count(c.unpriced)])
    });
    let columns = vec![
        Column::words("unit", 2.0),
        Column::words("how it comes out", 2.0),
        Column::numbers("installed", &desk.input.site.currency),
        Column::numbers("lines without price", ""),
    ];
    sheet.table("units", "", columns, rows.collect());

    sheet.heading("What to read next");
    let rows = report.measure_next.iter().take(FEW).map(|r| {
        Row::of(vec![
            Cell::text(r.label.clone()),
            Cell::Words(vec![fact_run(&r.fact)]),
            Cell::text(r.effort_words.clone()),
            Cell::text(r.expected.clone()),
        ])
    });
    let columns = vec![Column::words("reading", 2.0), Column::fit("fact"), Column::words("takes", 1.0), Column::words("expected", 1.5)];
    sheet.table("readings", "", columns, rows.collect());
    if report.measure_next.is_empty() {
        sheet.say("No reading would change a verdict of the units shown.");
    }
    sheet.heading("Not examined");
    sheet.lines(report.not_examined.iter().cloned());
    sheet.runs(vec![Run::faint("Nothing on these papers says that an installation complies with a code. The units' own instructions, the local code and licensed people decide what may be built and energised.")]);
    sheet.finish()
}

pub(super) fn count(n: usize) -> Cell {
    #[expect(clippy::cast_precision_loss, reason = "a handful of lines")]
    let value = n as f64;
    Cell::Number { value, text: n.to_string() }
}

/// How a candidate comes out, in words.
pub(super) fn says(candidate: &dossier::Candidate) -> &'static str {
    match (candidate.verdict.as_str(), candidate.only_open, candidate.by_choice.as_str()) {
        ("holds", ..) => "holds in all that was examined",
        (_, true, _) => "holds but for what stays open",
        ("fails", _, "holds") => "fails only where every unit fails: the position's own trouble",
        ("fails", ..) => "fails",
        (_, _, "holds") => "sound in what a choice can decide; the rest is the position's own",
        _ => "depends on what is not known yet",
    }
}

/// What the first candidate costs, in words: its bill, and with all hours of the cutover plan.
pub(super) fn cost_text(sheet: &mut Sheet<'_>, candidate: &dossier::Candidate) -> String {
    let currency = &sheet.desk.input.site.currency;
    let sum = format!("{} {currency}", money(candidate.cost));
    let sum = match candidate.unpriced {
        0 => sum,
        1 => format!("{sum} and one line without a price"),
        n => format!("{sum} and {n} lines without a price"),
    };
    match super::night::installed(sheet) {
        Some((least, likely, most)) => format!(
            "{sum}; with all hours of the cutover plan {} … {} … {} {currency} (least … likely … most)",
            money(least),
            money(likely),
            money(most)
        ),
        None => sum,
    }
}
