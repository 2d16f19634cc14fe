//! The settings book: every old setting with what became of it and why, what does not go together, and the order of loading.

use dossier::paper::{Cell, Column, Field, Paper, Row, Run};
use dossier::settings::{Line, Setting, Settings};
use plant::survey::{OLD_CURRENT, OLD_DUTY, SUPPLY_VOLTAGE};

use super::answer::count;
use super::sheet::{Desk, Sheet};

/// Outcomes in the order in which somebody has to deal with them.
const OUTCOMES: &[(&str, &str)] = &[
    ("needs-decision", "Somebody has to decide"),
    ("out-of-range", "Out of the new unit's range"),
    ("no-counterpart", "Without counterpart in the new unit"),
    ("rounded", "Rounded"),
    ("converted", "Converted"),
    ("carried", "Carried over as it stands"),
];

pub(super) fn book(desk: &Desk<'_>) -> Paper {
    let mut sheet = Sheet::new(desk, "settings-book", "Settings book", "commissioning, maintenance");
    sheet.reads_choice();
    sheet.reads_table("motor");
    for id in [OLD_CURRENT.id, OLD_DUTY.id, SUPPLY_VOLTAGE.id] {
        sheet.reads(id);
    }
    let settings = match &desk.settings {
        None => {
            return sheet.not_examined(
                "The survey has no list of the old drive's settings, or there is no unit: upload the list, or read it from the keypad, name \
                 the file under [settings] of the position, and assess again.",
            );
        }
        Some(Err(why)) => return sheet.not_examined(&format!("The settings could not be carried over: {why}.")),
        Some(Ok(settings)) => settings,
    };
    let counts: Vec<String> = settings.counts.iter().map(|c| format!("{} {}", c.lines, c.outcome.replace('-', " "))).collect();
    sheet.say(format!("From {} to {}; the list that was read is {}.", settings.old, settings.new, settings.extent.replace('-', " ")));
    sheet.runs(vec![Run::strong(format!("{}.", counts.join(", ")))]);
    sheet.cautions("ORS");
    outcomes(&mut sheet, settings);
    if !settings.conflicts.is_empty() {
        sheet.heading("What does not go together in the new unit");
        sheet.lines(settings.conflicts.iter().map(|c| format!("{}: {}", c.settings.join(", "), c.what)));
    }
    load_order(&mut sheet, settings);
    sheet.heading("To know");
    sheet.lines(settings.remarks.iter().cloned());
    sheet.fields(vec![
        Field::line("Entered by, date"),
        Field::line("Compared line by line by"),
        Field::line("Saved as, and where the copy is"),
    ]);
    sheet.finish()
}

/// Neither side ever touched it: pages of them would say nothing.
fn is_quiet(line: &Line) -> bool {
    line.outcome == "left-at-default" || (line.outcome == "no-counterpart" && line.from_default)
}

fn setting(one: Option<&Setting>) -> Cell {
    let Some(one) = one else { return Cell::text("—") };
    let mut text = format!("{} {}", one.id, one.name);
    if !one.text.is_empty() {
        text = format!("{}: {}", text.trim_end(), one.text);
    }
    Cell::text(text)
}

fn outcomes(sheet: &mut Sheet<'_>, settings: &Settings) {
    for (outcome, title) in OUTCOMES {
        let lines: Vec<&Line> = settings.settings.iter().filter(|l| l.outcome == *outcome && !is_quiet(l)).collect();
        if lines.is_empty() {
            continue;
        }
        sheet.heading(*title);
        let rows = lines.into_iter().map(|line| {
            let meaning = line.meaning.as_ref().map_or_else(String::new, |m| format!("{} {}", m.concept, m.text).trim_end().to_owned());
            let loss = line.loss.as_ref().map(|l| format!("{l}. ")).unwrap_or_default();
            Row::of(vec![
                setting(line.old.as_ref()),
                Cell::text(meaning),
                setting(line.new.as_ref()),
                Cell::text(format!("{loss}{}", line.reason)),
            ])
        });
        let columns = vec![
            Column::words("old drive", 1.3),
            Column::words("meaning", 1.1),
            Column::words("new drive", 1.3),
            Column::words("why", 1.8),
        ];
        sheet.table(outcome, "", columns, rows.collect());
    }
    let quiet = settings.settings.iter().filter(|l| is_quiet(l)).count();
    if quiet > 0 {
        sheet.say(format!("{quiet} more stand at their defaults on one side or both; the table of all lines is with the data files."));
    }
}

fn load_order(sheet: &mut Sheet<'_>, settings: &Settings) {
    if settings.load_sequence.is_empty() {
        return;
    }
    sheet.heading("To enter, in this order");
    let rows = settings.load_sequence.iter().map(|step| {
        Row::of(vec![
            count(step.step),
            Cell::name(step.id.clone()),
            Cell::text(step.name.clone()),
            Cell::text(step.text.clone()),
            Cell::text(step.access.clone()),
            Cell::text(step.why.clone()),
            Cell::Tick,
            Cell::Tick,
        ])
    });
    let columns = vec![
        Column::numbers("no.", ""),
        Column::fit("setting"),
        Column::words("name", 1.3),
        Column::words("enter", 0.9),
        Column::fit("motor"),
        Column::words("why here", 1.2),
        Column::fit("set"),
        Column::fit("read back"),
    ];
    sheet.table("load-order", "", columns, rows.collect());
}
