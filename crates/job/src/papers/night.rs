//! The cutover plan: the night's tasks with who, when, how long and the step back of each, the latest moment to turn back, and what may
//! cost the night.

use dossier::cutover::{Cutover, Minutes, Task};
use dossier::paper::{Cell, Column, Field, Paper, Part, Row, Run, Tick, WorkingLine};
use plant::quantity::digits;
use plant::survey::{CONDUCTORS_EACH, SUPPLY_GROUNDING};

use super::answer::count;
use super::sheet::{Desk, Sheet};
use crate::phrase::money;

/// Notes what the plan was made from.
fn read(sheet: &mut Sheet<'_>) {
    sheet.reads_candidate();
    sheet.reads(SUPPLY_GROUNDING.id);
    sheet.reads(CONDUCTORS_EACH.id);
    // Holes to drill come from the layout, settings to load from the settings sheet.
    for table in ["box", "conductors", "conditions", "old", "motor"] {
        sheet.reads_table(table);
    }
    sheet.reads(plant::survey::SUPPLY_VOLTAGE.id);
}

/// Installed cost of the candidate with all hours of the night, as the plan has it: least, likely, most. `None` without rates, or where
/// the plan is that of several positions.
pub(super) fn installed(sheet: &mut Sheet<'_>) -> Option<(f64, f64, f64)> {
    read(sheet);
    let plan = sheet.desk.night.as_ref().ok().filter(|plan| plan.tags.len() == 1)?;
    plan.money.installed
}

pub(super) fn plan(desk: &Desk<'_>) -> Paper {
    let mut sheet = Sheet::new(desk, "cutover-plan", "Cutover plan", "planner, everybody on site");
    read(&mut sheet);
    let plan = match &desk.night {
        Ok(plan) => plan,
        Err(why) => return sheet.not_examined(&format!("There is no plan: {why}.")),
    };
    answer(&mut sheet, plan);
    cautions(&mut sheet, plan);
    if let Some(drawing) = &plan.figure {
        sheet.heading("The night at a glance");
        sheet.figure("night", "Each task from its likely start to its likely finish; dashes show how much later it may begin", drawing);
    }
    sheet.heading("Tasks, and the step back of each");
    tasks(&mut sheet, plan);
    sheet.heading("To tick off, with the time");
    sheet.ticks(plan.tasks.iter().map(|task| to_tick(task, plan.tags.len() > 1)).collect());
    if !plan.watch.is_empty() {
        sheet.heading("What may cost the night");
        let rows = plan.watch.iter().map(|w| Row::of(vec![Cell::text(w.tag.clone()), Cell::text(w.says.clone()), Cell::Blank]));
        let columns = vec![Column::fit("position"), Column::words("what, and what to do", 1.0), Column::room("settled by, on", 40.0)];
        sheet.table("watch", "", columns, rows.collect());
    }
    sheet.failures();
    costs(&mut sheet, plan);
    sheet.heading("What these figures stand on");
    sheet.lines(plan.assumed.iter().chain(&plan.remarks).cloned());
    if !plan.working.is_empty() {
        sheet.heading("The reckoning");
        sheet.part(Part::Working(plan.working.iter().map(|step| WorkingLine { step: step.clone(), source: None }).collect()));
    }
    sheet.fields(vec![
        Field::line("Plan agreed by, date"),
        Field::line("Decides to go on or back"),
        Field::line("Reached by telephone at"),
    ]);
    sheet.finish()
}

fn percent(share: f64) -> String {
    format!("{} %", digits(share * 100.0, 3))
}

fn answer(sheet: &mut Sheet<'_>, plan: &Cutover) {
    // Before the night there is nothing to go on with.
    let begun = plan.tasks.iter().any(|t| t.done.is_some());
    let word = if plan.advice.word == "go on" && !begun { "it fits" } else { plan.advice.word.as_str() };
    let capital = word.chars().next().map_or_else(String::new, |c| c.to_uppercase().chain(word.chars().skip(1)).collect());
    sheet.part(Part::Statement(vec![Run::strong(format!("{capital}. ")), Run::plain(plan.advice.says.clone())]));
    let window = &plan.window;
    let granted = if window.granted { window.date.clone() } else { "assumed, nobody has granted one".to_owned() };
    let f = &plan.forecast;
    let turn = if f.turn_back.is_some() { f.turn_back_clock.clone() } else { "there is no way back".to_owned() };
    let minutes = |m: f64| format!("{} min", digits(m.round(), 4));
    // A plan that ends before power tells nothing of the whole night.
    let (chance, end) = if plan.ready {
        ("chance of ending inside it", "likely end of the work, early … late")
    } else {
        ("chance that the work without power ends inside it", "likely end of the work without power, early … late")
    };
    let rows = [
        ("positions in this window", plan.tags.join(", ")),
        ("window", format!("{} to {}, {granted}", window.start, window.end)),
        (chance, percent(f.chance)),
        (end, format!("{} after its start, {} … {}", minutes(f.middle), minutes(f.early), minutes(f.late))),
        ("latest moment to turn back", turn),
        ("share of cases in which the way back has to fit", percent(window.confidence)),
        ("decides", if window.owner.is_empty() { "nobody is named: name one".to_owned() } else { window.owner.clone() }),
    ];
    let rows = rows.into_iter().map(|(what, text)| Row::of(vec![Cell::text(what), Cell::text(text)]));
    sheet.table("window", "", vec![Column::words("what", 1.0), Column::words("value", 1.4)], rows.collect());
    if plan.to_settle.is_empty() {
        return;
    }
    sheet.heading("To be settled first");
    sheet.say("Until each of these is settled, the plan ends before anything is energised.");
    let rows = plan
        .to_settle
        .iter()
        .map(|s| Row::of(vec![Cell::text(s.tag.clone()), Cell::text(s.what.clone()), Cell::text(s.why.clone()), Cell::Tick]));
    let columns =
        vec![Column::fit("position"), Column::words("what", 1.2), Column::words("why it cannot wait", 1.4), Column::fit("settled")];
    sheet.table("settle", "", columns, rows.collect());
    sheet.lines(plan.left_out.iter().map(|t| format!("Not planned yet: {t}")));
}

fn cautions(sheet: &mut Sheet<'_>, plan: &Cutover) {
    for one in &plan.cautions {
        sheet.part(Part::Caution(dossier::paper::Caution { hazard: one.hazard.clone(), text: one.text.clone() }));
    }
    sheet.part(Part::Paragraph(vec![Run::faint(plan.deference.clone())]));
}

fn three(minutes: &Minutes) -> String {
    if minutes.most <= 0.0 {
        return String::new();
    }
    let text = |m: f64| digits(m.round(), 4);
    format!("{} / {} / {}", text(minutes.least), text(minutes.likely), text(minutes.most))
}

fn tasks(sheet: &mut Sheet<'_>, plan: &Cutover) {
    let rows = plan.tasks.iter().map(|task| Row {
        anchor: None,
        cells: vec![
            count(task.number),
            Cell::text(task.clock.clone()),
            Cell::text(labelled(task, plan.tags.len() > 1)),
            Cell::text(task.who.join(", ")),
            Cell::text(three(&task.minutes)),
            Cell::text(series(&task.after)),
            Cell::text(task.back.clone()),
            Cell::text(three(&task.back_minutes)),
        ],
        strong: task.hold,
    });
    let columns = vec![
        Column::numbers("no.", ""),
        Column::fit("likely"),
        Column::words("task", 3.2),
        Column::words("who", 0.7),
        Column::fit("minutes"),
        Column::words("after", 0.55),
        Column::words("step back", 1.5),
        Column::fit("minutes back"),
    ];
    sheet.table("tasks", "Minutes: least / likely / most. A line in bold is a go-or-not point.", columns, rows.collect());
}

/// Numbers as people list them: "1, 8–16".
fn series(numbers: &[usize]) -> String {
    let mut parts: Vec<(usize, usize)> = Vec::new();
    for number in numbers {
        match parts.last_mut() {
            Some((_, last)) if *last + 1 == *number => *last = *number,
            _ => parts.push((*number, *number)),
        }
    }
    let text = |(first, last): (usize, usize)| match last - first {
        0 => first.to_string(),
        1 => format!("{first}, {last}"),
        _ => format!("{first}–{last}"),
    };
    parts.into_iter().map(text).collect::<Vec<_>>().join(", ")
}

fn labelled(task: &Task, many: bool) -> String {
    if many { format!("{} {}: {}", task.tag, task.name, task.what) } else { format!("{}: {}", task.name, task.what) }
}

fn to_tick(task: &Task, many: bool) -> Tick {
    Tick {
        what: vec![Run::plain(labelled(task, many))],
        expected: task.clock.clone(),
        hold: task.hold,
        energises: task.energises,
        barred: None,
    }
}

fn costs(sheet: &mut Sheet<'_>, plan: &Cutover) {
    let costs = &plan.money;
    sheet.heading("What it costs");
    let three = |(least, likely, most): (f64, f64, f64)| format!("{} … {} … {}", money(least), money(likely), money(most));
    let mut rows: Vec<Row> = costs
        .labour
        .iter()
        .map(|l| {
            let hours = format!("{} … {} … {} h", digits(l.hours.0, 3), digits(l.hours.1, 3), digits(l.hours.2, 3));
            Row::of(vec![Cell::text(l.trade.clone()), Cell::text(hours), Cell::text(l.money.map_or_else(|| "no rate".to_owned(), money))])
        })
        .collect();
    let mut line = |what: &str, text: Option<String>| {
        rows.extend(text.map(|text| Row::of(vec![Cell::text(what), Cell::Empty, Cell::text(text)])));
    };
    line("labour in all", costs.labour_range.map(three));
    line("of it for what nobody has counted or timed", costs.contingency.map(money));
    line("parts", Some(money(costs.parts)));
    line("installed", costs.installed.map(three));
    line("standing, early … middle … late", costs.standing.map(three));
    line("mean cost of standing beyond the window", costs.overrun.map(money));
    let columns = vec![Column::words("what", 1.2), Column::fit("hours of people"), Column::fit(costs.currency.clone())];
    sheet.table("money", "Least … likely … most.", columns, rows);
    if costs.unpriced > 0 {
        sheet.say(format!("{} lines of the bills have no price.", costs.unpriced));
    }
    sheet.lines(costs.left_out.iter().map(|t| format!("Left out: {t}")));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_in_a_row_are_told_by_their_ends() {
        assert_eq!(series(&[]), "");
        assert_eq!(series(&[3]), "3");
        assert_eq!(series(&[1, 2, 4, 8, 9, 10]), "1, 2, 4, 8–10");
    }
}
