//! The register of assumptions and readings: every fact with all that it may be, how it is known, and the line that says so. Links
//! from the other papers end here, and lead on to the file.

use dossier::paper::{Cell, Column, Look, Paper, Row, Run};
use plant::survey::{self, Assume, DUTY_COLUMNS, FactId, duty_cell};

use super::sheet::{Desk, Sheet, all_facts, fact_anchor, place_run};
use crate::report::{origin_text, range_text};

pub(super) fn register(desk: &Desk<'_>) -> Paper {
    let mut sheet = Sheet::new(desk, "register", "Register of assumptions and readings", "everybody; audit");
    sheet.reads_everything();
    sheet.reads_candidate();
    let position = desk.survey.position();
    sheet.say("Every fact of this position: what it is or may be, how that is known, and where it is written. What is assumed says why that is fair.");
    let read: std::collections::BTreeSet<FactId> =
        desk.unit().into_iter().flat_map(|c| c.findings.iter().flat_map(|f| f.bounds.reads.iter())).collect();
    let mut table = "";
    let mut rows: Vec<Row> = Vec::new();
    let ids: Vec<FactId> = all_facts().collect();
    for id in ids {
        if survey::def(id).table() != table {
            flush(&mut sheet, table, &mut rows);
            table = survey::def(id).table();
        }
        rows.push(row(desk, id, read.contains(&id)));
    }
    flush(&mut sheet, table, &mut rows);
    for segment in 0..position.duty.len() {
        for column in 0..DUTY_COLUMNS.len() {
            let id = duty_cell(segment, column);
            rows.push(row(desk, id, read.contains(&id)));
        }
    }
    flush(&mut sheet, "duty", &mut rows);
    sheet.finish()
}

fn flush(sheet: &mut Sheet<'_>, table: &str, rows: &mut Vec<Row>) {
    if rows.is_empty() {
        return;
    }
    sheet.under(format!("[{table}]"), None);
    let columns = vec![
        Column::fit("fact"),
        Column::words("what it is", 1.5),
        Column::words("is or may be", 1.2),
        Column::words("how it is known", 1.6),
        Column::fit("file and line"),
    ];
    sheet.table(table, "", columns, std::mem::take(rows));
}

fn row(desk: &Desk<'_>, id: FactId, read: bool) -> Row {
    let path = survey::path(id);
    let fact = desk.survey.position().fact(id);
    let missing = fact.is_none_or(plant::fact::Fact::is_missing);
    let look = if read { Look::Name } else { Look::Faint };
    let assume = survey::def(id).assume;
    let origin = match assume {
        Assume::NotNeeded if missing => "not read; checks do without it".to_owned(),
        _ => origin_text(fact, id),
    };
    let place = fact.filter(|_| !missing).map_or_else(|| Run::plain("—"), |f| place_run(&f.origin.place.to_string()));
    Row {
        anchor: Some(fact_anchor(&path)),
        cells: vec![
            Cell::Words(vec![Run { text: path, look, link: None }]),
            Cell::text(survey::def(id).label),
            Cell::text(range_text(desk.survey, id, desk.input.site.units)),
            Cell::text(origin),
            Cell::Words(vec![place]),
        ],
        strong: missing && read && assume == Assume::Nothing,
    }
}
