//! The survey sheet: what to read on site, the reading that settles most first, with what is expected and room for what is found.

use dossier::paper::{Cell, Column, Field, Paper, Row};
use plant::quantity::digits;
use plant::survey::{self as facts, Effort, FactId};

use super::sheet::{Desk, Sheet, all_facts, fact_run};
use crate::report::range_text;

pub(super) fn sheet(desk: &Desk<'_>) -> Paper {
    let mut sheet = Sheet::new(desk, "survey-sheet", "Survey sheet", "surveyor");
    sheet.reads_everything();
    sheet.reads_all_candidates();
    sheet.say(format!(
        "What is still to be read for {}. Take the readings in this order as far as time allows; write down what you see, not what you expect, and \
         photograph every plate. Meters: of a category that suits the place (CAT III or IV at the line side), proved before and after.",
        desk.report.tag
    ));
    sheet.cautions("ALDX");
    sheet.heading("Readings that settle something, best first");
    let rows = desk.report.measure_next.iter().enumerate().map(|(i, r)| {
        Row::of(vec![
            super::answer::count(i + 1),
            Cell::text(r.label.clone()),
            Cell::Words(vec![fact_run(&r.fact)]),
            Cell::text(r.effort_words.clone()),
            Cell::text(r.expected.clone()),
            Cell::Number { value: r.settles, text: digits(r.settles, 2) },
            Cell::Blank,
        ])
    });
    let columns = vec![
        Column::numbers("no.", ""),
        Column::words("reading", 1.7),
        Column::fit("fact"),
        Column::words("takes", 0.9),
        Column::words("expected", 1.7),
        Column::numbers("settles", ""),
        Column::room("found", 30.0),
    ];
    sheet.table("next", "Settles: how many verdicts the reading settles on average, over what it may show.", columns, rows.collect());
    if desk.report.measure_next.is_empty() {
        sheet.say("No reading would change a verdict of the leading units.");
    }
    if !desk.report.open.is_empty() {
        sheet.heading("Nothing may be assumed for these");
        let rows = desk.report.open.iter().map(|o| {
            Row::of(vec![Cell::text(o.label.clone()), Cell::Words(vec![fact_run(&o.fact)]), Cell::text(o.why.clone()), Cell::Blank])
        });
        let columns = vec![Column::words("reading", 1.5), Column::fit("fact"), Column::words("why", 2.0), Column::room("found", 30.0)];
        sheet.table("open", "", columns, rows.collect());
    }
    for effort in [Effort::Look, Effort::Open, Effort::Measure, Effort::Shutdown, Effort::Study] {
        rest(&mut sheet, desk, effort);
    }
    if !desk.report.notes.is_empty() {
        sheet.heading("Remarks of the surveyor so far");
        sheet.lines(desk.report.notes.iter().cloned());
    }
    sheet.heading("Photographs");
    sheet.lines(PHOTOS.iter().map(|s| (*s).to_owned()));
    sheet.fields(vec![
        Field::line("Surveyed by"),
        Field::line("Date, time"),
        Field { label: "Remarks".into(), hint: String::new(), lines: 3 },
    ]);
    sheet.finish()
}

/// What a photograph shows better than words. Common practice, no source.
const PHOTOS: &[&str] = &[
    "the drive's plate and the motor's plate, square on and readable",
    "the whole panel with its door shut, then open, then each quarter of it",
    "power and control terminals with their wire numbers, before anything is touched",
    "links, switches and jumpers inside the drive's cover, once it is dead",
    "both ends of the motor cable: glands, screens, lugs",
    "the feeder's fuse or breaker with its plate",
    "what stands beside, above and in front of the box",
];

/// Facts that nobody has read and that settle nothing by themselves today, by what they take.
fn rest(sheet: &mut Sheet<'_>, desk: &Desk<'_>, effort: Effort) {
    let missing = |id: &FactId| desk.survey.position().fact(*id).is_none_or(plant::fact::Fact::is_missing);
    let told = |id: &FactId| {
        let path = facts::path(*id);
        desk.report.measure_next.iter().any(|r| r.fact == path) || desk.report.open.iter().any(|o| o.fact == path)
    };
    // A table of which nothing is said is no part of this job: a drive without a network has no network facts to read.
    let begun = |id: &FactId| {
        let table = facts::def(*id).table();
        table != "network" || desk.survey.position().network.is_some()
    };
    let ids: Vec<FactId> = all_facts().filter(|id| facts::def(*id).effort == effort && missing(id) && !told(id) && begun(id)).collect();
    if ids.is_empty() {
        return;
    }
    sheet.under(format!("Also not read yet: {}", effort.words()), None);
    let system = desk.input.site.units;
    let rows = ids.into_iter().map(|id| {
        let def = facts::def(id);
        Row::of(vec![
            Cell::text(def.label),
            Cell::Words(vec![fact_run(&facts::path(id))]),
            Cell::text(range_text(desk.survey, id, system)),
            Cell::Blank,
        ])
    });
    let columns = vec![Column::words("reading", 2.0), Column::fit("fact"), Column::words("until then", 1.3), Column::room("found", 30.0)];
    sheet.table(&format!("rest-{}", effort as u8), "", columns, rows.collect());
}
