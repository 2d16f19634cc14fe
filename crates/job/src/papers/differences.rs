//! The list of what will be different: each line is accepted by a named person, or open.

use dossier::paper::{Cell, Column, Field, Paper, Row, Run};

use super::sheet::{Desk, Sheet, finding_cell};
use crate::phrase::margin_text;

pub(super) fn list(desk: &Desk<'_>) -> Paper {
    let mut sheet = Sheet::new(desk, "what-will-be-different", "What will be different", "customer's engineer, operations");
    sheet.reads_candidate();
    let Some(first) = desk.first() else {
        return sheet.not_examined("There is no unit whose differences could be listed.");
    };
    sheet.say(
        "Each line is something that the new unit does otherwise than the old one, or that was not settled. A line is accepted only by a person's \
         name here or in the site's decisions; what nobody accepted stays open.",
    );
    let lines: Vec<&dossier::Finding> = first.findings.iter().filter(|f| f.verdict != "holds" || f.accepted.is_some()).collect();
    sheet.heading("Findings");
    if lines.is_empty() {
        sheet.say("No finding that was examined fails or is left open.");
    }
    let columns = || {
        vec![
            Column::fit("verdict"),
            Column::words("what is different or open", 2.4),
            Column::fit("margin"),
            Column::fit("may do"),
            Column::words("why it is open, or why it was accepted", 2.0),
            Column::words("accepted by, on", 1.4),
        ]
    };
    let rows = lines.iter().map(|f| {
        let (why, who) = match (&f.accepted, f.stays_open) {
            (Some(a), false) => (Cell::text(a.reason.clone()), Cell::text(format!("{}, {}", a.by, a.on))),
            (Some(a), true) => (Cell::text(f.reason.clone().unwrap_or_default()), Cell::text(format!("{} — but stays open", a.by))),
            (None, _) => (Cell::text(f.reason.clone().unwrap_or_default()), Cell::Blank),
        };
        Row::of(vec![
            Cell::Verdict(f.verdict.clone()),
            finding_cell(f),
            Cell::text(margin_text(&f.margin)),
            Cell::text(f.severity.clone()),
            why,
            who,
        ])
    });
    sheet.table("findings", "", columns(), rows.collect());
    let remedies: Vec<(&dossier::Finding, &dossier::Remedy)> =
        first.findings.iter().flat_map(|f| f.remedies.iter().filter(|r| r.taken).map(move |r| (f, r))).collect();
    if !remedies.is_empty() {
        sheet.heading("What is done so that it holds");
        let rows = remedies.iter().map(|(f, r)| Row::of(vec![Cell::text(r.what.clone()), finding_cell(f), Cell::Blank]));
        let columns = vec![Column::words("work or part", 2.0), Column::words("against", 2.0), Column::room("seen and agreed", 35.0)];
        sheet.table("remedies", "", columns, rows.collect());
    }
    super::behaviour::differences(&mut sheet, desk);
    words(&mut sheet, desk);
    sheet.heading("Always different, whatever the unit");
    let rows = ALWAYS.iter().map(|line| Row::of(vec![Cell::text(*line), Cell::Blank]));
    sheet.table("always", "", vec![Column::words("what", 1.0), Column::room("told to, on", 45.0)], rows.collect());
    sheet.runs(vec![Run::strong("Not examined: "), Run::plain(format!("{}.", desk.report.not_examined.join("; ")))]);
    sheet.fields(vec![Field::line("For the customer"), Field::line("For operations"), Field::line("Date")]);
    sheet.finish()
}

/// Common practice, no source.
const ALWAYS: &[&str] = &[
    "display, keys and the way to a fault text",
    "numbers and texts of faults; old notes at the panel no longer fit",
    "sound of the motor at another carrier frequency",
    "spare parts: the old spare fits no more, a new one has to be on the shelf",
    "settings live elsewhere: a copy of them belongs to the spare",
];

fn words(sheet: &mut Sheet<'_>, desk: &Desk<'_>) {
    let Some(Ok(words)) = &desk.words else { return };
    super::network::read(sheet);
    let changed: Vec<&dossier::words::Mapped> = words.map.iter().filter(|m| m.outcome != "carried" && m.outcome != "converted").collect();
    if changed.is_empty() {
        return;
    }
    sheet.heading("Network words that do not come across one to one");
    let rows = changed
        .into_iter()
        .map(|m| Row::of(vec![Cell::text(m.meaning.clone()), Cell::text(m.outcome.clone()), Cell::text(m.note.clone()), Cell::Blank]));
    let columns = vec![
        Column::words("word or bit", 1.2),
        Column::fit("becomes"),
        Column::words("what to know", 2.0),
        Column::room("accepted by", 30.0),
    ];
    sheet.table("words", "", columns, rows.collect());
}
