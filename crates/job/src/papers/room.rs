//! Layout, drill plan, adapter plates and heat balance of the box that the drive goes into.

use dossier::boxes::{Adapter, BoxReport, Heat, HoleRow, Layout};
use dossier::paper::{Cell, Column, Paper, Part, Row, Run, WorkingLine};
use plant::quantity::digits;

use super::sheet::{Desk, Sheet, expect, finding_cell, tick};
use crate::phrase::margin_text;

pub(super) fn sheet(desk: &Desk<'_>) -> Paper {
    let mut sheet = Sheet::new(desk, "layout-and-heat", "Layout, drill plan and heat", "panel shop, electrician");
    sheet.reads_candidate();
    for table in ["box", "conductors", "conditions", "old"] {
        sheet.reads_table(table);
    }
    let Some(room) = &desk.room else {
        return sheet.not_examined("Nothing is known of a box for this drive.");
    };
    sheet.runs(vec![Run::strong(format!("{}: {}", room.name, room.verdict))]);
    sheet.cautions("ALDW");
    sheet.lines(room.cautions.iter().cloned());
    for (head, lines) in
        [("To measure first", &room.to_measure), ("Taken for what is not exactly known", &room.taken), ("Remarks", &room.remarks)]
    {
        if !lines.is_empty() {
            sheet.heading(head);
            sheet.lines(lines.iter().cloned());
        }
    }
    drives(&mut sheet, room);
    // The drawing takes a page of its own: what is short stands before it.
    match &room.heat {
        Some(found) => heat(&mut sheet, found),
        None => sheet.say("There is no heat balance: the drive stands open in a room, or something that decides it is not known."),
    }
    if let Some(drawing) = &room.drawing {
        sheet.heading("Layout");
        sheet.figure("plate", &format!("Mounting plate of {}, seen from the front", room.name), drawing);
    }
    match &room.layout {
        Some(found) => layout(&mut sheet, found),
        None => sheet.say("There is no layout: the plate, or what stands on it, is not measured."),
    }
    sheet.finish()
}

fn drives(sheet: &mut Sheet<'_>, room: &BoxReport) {
    sheet.heading("What goes in, and what its checks say");
    for drive in &room.drives {
        sheet.runs(vec![Run::strong(format!("{}  {}", drive.tag, drive.candidate)), Run::plain(format!(", {}", drive.outline))]);
        let own = drive.tag == sheet.desk.report.tag;
        let rows = drive.findings.iter().map(|f| {
            let title = if own { finding_cell(f) } else { Cell::text(f.title.clone()) };
            let why = f.reason.clone().filter(|_| f.verdict != "holds").unwrap_or_default();
            Row::of(vec![Cell::Verdict(f.verdict.clone()), title, Cell::text(margin_text(&f.margin)), Cell::text(why)])
        });
        let columns = vec![Column::fit("verdict"), Column::words("fault", 1.6), Column::fit("margin"), Column::words("why", 1.4)];
        sheet.table(&format!("checks-{}", drive.tag), "", columns, rows.collect());
    }
}

fn mm(length: f64) -> Cell {
    Cell::Number { value: length, text: format!("{length:.1}") }
}

fn layout(sheet: &mut Sheet<'_>, layout: &Layout) {
    sheet.runs(vec![Run::strong(format!("{}. ", layout.outcome)), Run::plain(layout.says.clone())]);
    if layout.outcome == "placed" && !layout.best {
        sheet.say("The search ended before it could show that no other layout is better.");
    }
    let rows = layout.places.iter().map(|p| {
        Row::of(vec![
            Cell::text(p.name.clone()),
            mm(p.left),
            mm(p.bottom),
            mm(p.width),
            mm(p.height),
            Cell::text(p.turned.clone()),
            mm(p.depth_left),
        ])
    });
    let columns = vec![
        Column::words("what", 1.0),
        Column::numbers("left", "mm"),
        Column::numbers("bottom", "mm"),
        Column::numbers("width", "mm"),
        Column::numbers("height", "mm"),
        Column::fit("stands"),
        Column::numbers("to the door", "mm"),
    ];
    sheet.table("places", "", columns, rows.collect());
    if !layout.moved.is_empty() {
        sheet.under("Moved for it", None);
        sheet.lines(layout.moved.iter().cloned());
    }
    if !layout.holes.is_empty() {
        sheet.heading("Drill plan");
        sheet.say(layout.datum.clone());
        holes(sheet, "holes", &layout.holes);
        let rows = layout.distances.iter().map(|d| {
            let number = super::answer::count;
            Row::of(vec![number(d.from), number(d.to), Cell::Number { value: d.straight, text: format!("{:.2}", d.straight) }, Cell::Blank])
        });
        let columns = vec![
            Column::numbers("hole", ""),
            Column::numbers("to hole", ""),
            Column::numbers("straight", "mm"),
            Column::room("measured", 35.0),
        ];
        sheet.table("distances", "To measure after drilling", columns, rows.collect());
        sheet.ticks(vec![
            tick("Everything that stays is covered against swarf before the first hole."),
            expect("Holes drilled, deburred, distances measured.", "within the tolerance above"),
            tick("Swarf taken out with a vacuum cleaner, none blown; covers off, terminals looked over."),
            tick("Holes that are closed are closed with the rating of the box kept."),
        ]);
    }
    if !layout.ways_out.is_empty() {
        sheet.heading("What would make room");
        sheet.lines(layout.ways_out.iter().cloned());
    }
    layout.adapters.iter().for_each(|a| adapter(sheet, a));
}

fn holes(sheet: &mut Sheet<'_>, name: &str, holes: &[HoleRow]) {
    let rows = holes.iter().map(|h| {
        Row::of(vec![
            super::answer::count(h.number),
            Cell::text(h.work.clone()),
            mm(h.x),
            mm(h.y),
            mm(h.diameter),
            Cell::text(h.of.clone()),
            Cell::text(h.remark.clone()),
            Cell::Tick,
        ])
    });
    let columns = vec![
        Column::numbers("hole", ""),
        Column::fit("work"),
        Column::numbers("x", "mm"),
        Column::numbers("y", "mm"),
        Column::numbers("diameter", "mm"),
        Column::words("of", 1.0),
        Column::words("remark", 1.2),
        Column::fit("done"),
    ];
    sheet.table(name, "", columns, rows.collect());
}

fn adapter(sheet: &mut Sheet<'_>, adapter: &Adapter) {
    sheet.heading(format!("Adapter plate for {}: {}", adapter.tag, if adapter.possible { "can be made" } else { "cannot be made so" }));
    // Several pairs of holes may be in each other's way alike.
    let mut says = adapter.says.clone();
    says.dedup();
    sheet.lines(says);
    if adapter.possible {
        holes(sheet, &format!("adapter-{}", adapter.tag), &adapter.holes);
    }
    if let Some(drawing) = &adapter.drawing {
        sheet.figure(&format!("adapter-{}", adapter.tag), &format!("Adapter plate for {}", adapter.tag), drawing);
    }
    working(sheet, &adapter.working);
}

fn working(sheet: &mut Sheet<'_>, steps: &[dossier::Step]) {
    if !steps.is_empty() {
        sheet.part(Part::Working(steps.iter().map(|step| WorkingLine { step: step.clone(), source: None }).collect()));
    }
}

fn heat(sheet: &mut Sheet<'_>, heat: &Heat) {
    sheet.heading("Heat balance");
    let watts = |w: Option<f64>| w.map_or_else(|| Cell::text("—"), |w| Cell::Number { value: w, text: digits(w, 4) });
    let mut rows: Vec<Row> = heat
        .rows
        .iter()
        .map(|r| Row::of(vec![Cell::text(r.what.clone()), watts(r.before), watts(r.after), Cell::text(r.remark.clone())]))
        .collect();
    let sum = vec![Cell::text("in the box"), watts(heat.before), watts(Some(heat.after)), Cell::Empty];
    rows.push(Row { anchor: None, cells: sum, strong: true });
    let columns =
        vec![Column::words("what", 1.2), Column::numbers("today", "W"), Column::numbers("afterwards", "W"), Column::words("remark", 1.4)];
    sheet.table("heat", "", columns, rows);
    sheet.lines(heat.air.iter().chain(&heat.cooling).cloned());
    working(sheet, &heat.working);
}
