//! The interlock table: how the machine is started and stopped, and what must be so before it may run, mode by mode, before and after.

use dossier::paper::{Cell, Column, Field, Paper, Row, Run};
use dossier::wires::{Permissive, Wires};
use plant::choice::Choice;
use plant::survey::{
    FactId, SCHEME_EMERGENCY, SCHEME_ENABLE, SCHEME_PERMISSIVE, SCHEME_PERMISSIVE_IN, SCHEME_RESET, SCHEME_RESTART, SCHEME_REVERSING,
    SCHEME_START, def, path,
};
use plant::wires::Mode;

use super::crosswalk::{conductors, words};
use super::sheet::{Desk, Sheet, energise, fact_run, hold};
use crate::report::range_text;

/// What the survey says of starting, stopping and permissives.
const ASKED: &[FactId] = &[
    SCHEME_START.id,
    SCHEME_REVERSING.id,
    SCHEME_ENABLE.id,
    SCHEME_PERMISSIVE.id,
    SCHEME_PERMISSIVE_IN.id,
    SCHEME_EMERGENCY.id,
    SCHEME_RESET.id,
    SCHEME_RESTART.id,
];

pub(super) fn paper(desk: &Desk<'_>) -> Paper {
    let mut sheet = Sheet::new(desk, "interlock-table", "Interlock table by mode", "controls, operations, safety");
    ASKED.iter().for_each(|id| sheet.reads(*id));
    let wires = match conductors(&mut sheet, desk) {
        Ok(wires) => wires,
        Err(why) => return sheet.not_examined(&why),
    };
    sheet.say(
        "What lets the machine run and what stops it, read from the list of conductors. It must do the same afterwards, in every mode.",
    );
    sheet.cautions("SXL");
    schemes(&mut sheet, wires);
    said(&mut sheet);
    if wires.permissives.is_empty() {
        sheet.heading("What must be so before it runs");
        sheet
            .say("The list of conductors shows no permissive, stop or enable. A machine without any is rare: look again before the night.");
        return signed(sheet);
    }
    sheet.heading("What must be so before it runs, today and after");
    by_mode(&mut sheet, wires);
    sheet.heading("What to look at");
    let lines = wires.permissives.iter().map(|p| vec![Run::strong(format!("{}: ", called(p))), Run::plain(format!("{}.", p.remark))]);
    sheet.list(lines);
    ready(&mut sheet, wires);
    sheet.heading("To be proved, each in each mode");
    sheet.say("Open one at a time, at its own device. A box stands where it acts today; where the list does not say in which modes it acts, it is tried in all.");
    to_prove(&mut sheet, wires);
    sheet.ticks(vec![
        hold("Everybody clear of the machine; the person with the stop in sight of it."),
        energise("Machine standing, one after the other open: a start is given in each mode.", "nothing starts"),
        energise("Slow run, then each one opened in each mode.", "the machine stops as it did, and does not start again when it closes"),
        energise("Selector turned while a start command stands.", "nothing starts that was not asked for"),
    ]);
    signed(sheet)
}

fn signed(mut sheet: Sheet<'_>) -> Paper {
    sheet.fields(vec![Field::line("Proved by, date"), Field::line("For operations"), Field::line("Differs from this table, agreed by")]);
    sheet.finish()
}

fn called(p: &Permissive) -> String {
    let function = words(&p.function);
    if p.circuit.chars().all(|c| c.is_ascii_digit()) || p.circuit.is_empty() {
        format!("{} {function}", p.circuit)
    } else {
        format!("{} ({function})", p.circuit)
    }
}

fn schemes(sheet: &mut Sheet<'_>, wires: &Wires) {
    sheet.heading("Start and stop");
    if wires.schemes.is_empty() {
        sheet.say("The list of conductors shows no start command: it comes over a network or from the keypad, or the list lacks it.");
        return;
    }
    let set = start_setting(sheet.desk);
    let rows = wires.schemes.iter().map(|s| {
        // The start is a setting of the new unit as well, where the settings were carried over.
        let after = set.clone().filter(|_| s.contains("-wire")).map_or_else(|| "the same".to_owned(), |set| format!("the same; set {set}"));
        Row::of(vec![Cell::text(s.clone()), Cell::text(after), Cell::Blank])
    });
    let columns = vec![Column::words("today, by the wires", 1.0), Column::words("after", 1.0), Column::room("tried by, on", 45.0)];
    sheet.table("schemes", "", columns, rows.collect());
}

/// The setting of the new unit that says how it takes a start, with its value by the settings sheet.
fn start_setting(desk: &Desk<'_>) -> Option<String> {
    let settings = desk.settings.as_ref()?.as_ref().ok()?;
    let line = settings.settings.iter().find(|l| l.meaning.as_ref().is_some_and(|m| m.concept == "start-wiring"))?;
    let new = line.new.as_ref().filter(|n| !n.text.is_empty())?;
    Some(format!("{} {} to {}", new.id, new.name, new.text))
}

fn said(sheet: &mut Sheet<'_>) {
    let (survey, system) = (sheet.desk.survey, sheet.desk.input.site.units);
    let rows = ASKED.iter().map(|id| {
        Row::of(vec![
            Cell::text(def(*id).label.trim_start_matches("Control: ")),
            Cell::Words(vec![fact_run(&path(*id))]),
            Cell::text(range_text(survey, *id, system)),
        ])
    });
    let columns = vec![Column::words("what the survey says", 1.5), Column::fit("fact"), Column::words("answer", 1.0)];
    sheet.table("survey", "", columns, rows.collect());
}

fn modes() -> impl Iterator<Item = Mode> {
    (0..).map_while(Mode::from_index)
}

fn by_mode(sheet: &mut Sheet<'_>, wires: &Wires) {
    let rows = wires.permissives.iter().flat_map(|p| {
        let told = |list: Option<&Vec<String>>, none: &str, word: &str| -> Vec<Cell> {
            modes()
                .map(|mode| match list {
                    None => Cell::text("not listed"),
                    Some(list) if list.iter().any(|m| m == mode.word()) => Cell::text(word),
                    Some(_) => Cell::text(none),
                })
                .collect()
        };
        let lost = |mode: Mode| {
            let acts = |list: &Option<Vec<String>>| list.as_ref().is_some_and(|l| l.iter().any(|m| m == mode.word()));
            acts(&p.modes) && !acts(&p.after)
        };
        let mut after = told(p.after.as_ref(), "—", "acts");
        for (cell, _) in after.iter_mut().zip(modes()).filter(|(_, mode)| lost(*mode)) {
            *cell = Cell::Words(vec![Run::strong("LOST")]);
        }
        let today = [Cell::Words(vec![Run::strong(called(p))]), Cell::text("today"), Cell::text(p.old.clone())];
        let then = [
            Cell::Words(vec![Run::faint(called(p))]),
            Cell::text("after"),
            Cell::text(p.new.clone().unwrap_or_else(|| "nowhere".to_owned())),
        ];
        [Row::of(today.into_iter().chain(told(p.modes.as_ref(), "—", "acts")).collect()), Row::of(then.into_iter().chain(after).collect())]
    });
    let mut columns = vec![Column::words("permissive", 1.3), Column::fit("when"), Column::words("where", 1.0)];
    columns.extend(modes().map(|m| Column::fit(m.word())));
    sheet.table("permissives", "", columns, rows.collect());
}

fn ready(sheet: &mut Sheet<'_>, wires: &Wires) {
    if wires.start_conditions.is_empty() {
        return;
    }
    sheet.heading("The new unit waits for these as well");
    let rows = wires.start_conditions.iter().map(|c| {
        let closed = c.closed_by.clone().map_or_else(|| Cell::Words(vec![Run::strong("nothing: it never becomes ready")]), Cell::text);
        Row::of(vec![Cell::text(c.point.clone()), closed, Cell::Tick])
    });
    let columns = vec![Column::words("point", 0.6), Column::words("closed by", 1.0), Column::fit("seen")];
    sheet.table("ready", "", columns, rows.collect());
}

fn to_prove(sheet: &mut Sheet<'_>, wires: &Wires) {
    let rows = wires.permissives.iter().map(|p| {
        let boxes = modes().map(|mode| match &p.modes {
            Some(list) if !list.iter().any(|m| m == mode.word()) => Cell::text("—"),
            _ => Cell::Tick,
        });
        Row::of(std::iter::once(Cell::text(called(p))).chain(boxes).chain([Cell::Blank]).collect())
    });
    let mut columns = vec![Column::words("permissive", 1.0)];
    columns.extend(modes().map(|m| Column::fit(m.word())));
    columns.push(Column::room("stopped it by, seen by", 45.0));
    sheet.large_table("proofs", "", columns, rows.collect());
}
