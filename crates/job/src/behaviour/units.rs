//! Both units from their packs and what was found: what each habit may be.

use plant::choice::Choice;
use plant::control::{Habit, HabitRow, NetworkStart, Scope, WordSet};
use plant::network::{Layout, Sequence};
use plant::position::Position;
use plant::product::Series;
use plant::quantity::{System, Time};
use plant::settings::Extent;
use transfer::behaviour::case::{Variant, matters};
use transfer::behaviour::text::Dips;
use transfer::behaviour::unit::UnitSet;

use crate::words::sides;

/// Old and new unit, and the dips that tell them apart.
pub(super) fn units(
    position: &Position,
    old_series: Option<&Series>,
    new_series: &Series,
    variants: &[Variant],
    remarks: &mut Vec<String>,
) -> ([UnitSet; 2], Dips) {
    let mut old = UnitSet::unknown();
    let mut new = UnitSet::unknown();
    if let Some(series) = old_series {
        for row in &series.habits {
            old.put(row.habit, as_found(position, row));
        }
    }
    for row in &new_series.habits {
        new.put(row.habit, row.delivered.map_or(row.can, |word| WordSet::of([word])));
    }
    by_layouts(position, old_series, new_series, [&mut old, &mut new]);
    found(position, &mut old, remarks);
    let needed = |habit| variants.iter().any(|v| matters(habit, &v.scheme));
    for (name, series) in [("old", old_series), ("new", Some(new_series))] {
        let told = |habit| series.is_some_and(|s| s.habits.iter().any(|r| r.habit == habit));
        let silent: Vec<&str> = Habit::all().filter(|h| needed(*h) && !told(*h)).map(Choice::word).collect();
        if !silent.is_empty() {
            let who = series.map_or("no pack", |s| s.name.as_str());
            remarks.push(format!("control.csv of the {name} series ({who}) says nothing of {}", silent.join(", ")));
        }
    }
    let [old_time, new_time] =
        [old_series, Some(new_series)].map(|s| s.and_then(|s| s.habits.iter().find(|r| r.habit == Habit::Dip)).and_then(|r| r.time));
    let dips = dips(old_time, new_time, &mut old, &mut new);
    ([old, new], dips)
}

/// What a habit of the old unit may be by its pack: fixed, as delivered where a list of changed settings does not name its setting, or open.
fn as_found(position: &Position, row: &HabitRow) -> WordSet {
    let (Some(list), Some(setting), Some(delivered)) = (&position.settings, &row.setting, row.delivered) else { return row.can };
    let untouched = list.extent == Some(Extent::ChangedOnly) && !list.rows.iter().any(|e| e.id.trim() == setting);
    if untouched { WordSet::of([delivered]) } else { row.can }
}

/// What was seen at the position goes before what the pack says can be.
fn found(position: &Position, old: &mut UnitSet, remarks: &mut Vec<String>) {
    for habit in Habit::all() {
        let Some(words) = position.habits.get(habit) else { continue };
        if old.narrow(habit, words).is_err() {
            remarks.push(format!(
                "{}: [habits] {} says something else than the pack of the old series; what was found is taken",
                position.habits.place,
                habit.word()
            ));
            old.put(habit, words);
        }
    }
}

/// The layouts in use say how a start from the network is taken, and when its stop bit is obeyed.
fn by_layouts(position: &Position, old_series: Option<&Series>, new_series: &Series, units: [&mut UnitSet; 2]) {
    let Ok(pair) = sides(position, old_series, new_series) else { return };
    for (unit, layout) in units.into_iter().zip([pair.old, pair.new]) {
        unit.put(Habit::NetworkStart, WordSet::of([start_of(layout).index()]));
        if let Some(always) = layout.stop_always_acts {
            let scope = if always { Scope::Always } else { Scope::OwnMode };
            unit.put(Habit::NetworkStop, WordSet::of([scope.index()]));
        }
    }
}

fn start_of(layout: &Layout) -> NetworkStart {
    match layout.sequence {
        Sequence::Level => NetworkStart::Level,
        Sequence::Pulses => NetworkStart::Pulse,
        // The states of CiA 402 and of PROFIdrive begin anew after power-up and after each fault: a word that stayed starts nothing.
        Sequence::Edge | Sequence::States | Sequence::OnOff => NetworkStart::Edge,
    }
}

/// Classes of dips: one that both controls outlive and, where they differ, one that only one of them does.
fn dips(old_time: Option<Time>, new_time: Option<Time>, old: &mut UnitSet, new: &mut UnitSet) -> Dips {
    let text = |t: Time| t.text(System::Metric);
    match (old_time, new_time) {
        (Some(a), Some(b)) if a < b => {
            old.dies_in = 0b10;
            Dips(vec![format!("for less than {}", text(a)), format!("for {} to {}", text(a), text(b))])
        }
        (Some(a), Some(b)) if b < a => {
            new.dies_in = 0b10;
            Dips(vec![format!("for less than {}", text(b)), format!("for {} to {}", text(b), text(a))])
        }
        (Some(t), Some(_)) => Dips(vec![format!("for less than {}", text(t))]),
        _ => Dips::default(),
    }
}
