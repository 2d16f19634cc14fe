//! Habits of a pack: what their rows build, and what must agree among their columns.

use plant::choice::Choice;
use plant::control::{Habit, HabitRow, WordSet};

use super::Table;
use crate::problem::{Sink, did_you_mean};
use crate::record::Record;

/// Builds a row; `None` for one with a mistake, which [`check`] tells.
pub(super) fn habit(row: &Record, sink: &Sink<'_>) -> Option<HabitRow> {
    let habit: Habit = row.word("habit")?;
    let can: Vec<usize> = row.texts("can")?.iter().map(|w| habit.info().index(w)).collect::<Option<_>>()?;
    let delivered = match row.text("delivered") {
        Some(word) => Some(habit.info().index(word).filter(|w| can.contains(w))?),
        None => (can.len() == 1).then(|| can[0]),
    };
    Some(HabitRow {
        habit,
        can: WordSet::of(can),
        delivered,
        setting: row.string("setting"),
        time: row.quantity("time"),
        place: sink.place(row.at),
    })
}

/// `control.csv` alone: words are those of their habit, and what is delivered can be set.
pub(super) fn check(table: &mut Table<'_>) {
    let Table { sink, rows, .. } = table;
    for row in rows.iter() {
        let Some(habit) = row.word::<Habit>("habit") else { continue };
        let words = habit.info().words.iter().map(|w| w.word);
        let can = row.texts("can").unwrap_or_default();
        for (key, word) in can.iter().map(|w| ("can", w.as_str())).chain(row.text("delivered").map(|w| ("delivered", w))) {
            if habit.info().index(word).is_none() {
                let message = format!("{key}: “{word}” is no word of {}", habit.word());
                sink.error(row.at(key), message, did_you_mean(word, words.clone()));
            } else if key == "delivered" && !can.is_empty() && !can.iter().any(|w| w == word) {
                sink.error(row.at(key), format!("delivered: “{word}” is not among what it can be set to"), "name it in can as well");
            }
        }
        if row.cell("time").is_some() && !matches!(habit, Habit::Dip | Habit::NetworkLost | Habit::ReferenceLost) {
            sink.warning(row.at("time"), format!("time: {} has none", habit.word()), "times belong to dips and losses");
        }
    }
}
