//! `control.csv` of a pack and `[habits]` of a position: what they build, and what they refuse.

use packs::read_position;
use plant::control::{Habit, HeldStart, WordSet};
use plant::quantity::Time;

use crate::common::{FULL, pack, quellmoor, shown, source};

fn with(rows: &str) -> Vec<(String, String)> {
    let mut files = quellmoor();
    files.push(("control.csv".to_owned(), format!("habit,can,delivered,setting,time\n{rows}")));
    files
}

#[test]
fn habits_of_a_pack_are_built() {
    let read = pack(&with("power-up,runs | waits,waits,,\ndip,trips,,,0.3 s\n"), "quellmoor-q3");
    assert_eq!(shown(&read.problems), "");
    let series = read.checked().expect("no errors");
    let [power, dip] = series.habits.as_slice() else { panic!("{:?}", series.habits) };
    assert_eq!((power.habit, power.can, power.delivered), (Habit::PowerUp, WordSet::of([0, 1]), Some(HeldStart::Waits as usize)));
    // A single word is what it does as delivered, too.
    assert_eq!((dip.delivered, dip.time), (Some(3), Some(Time::s(0.3))));
}

#[test]
fn every_mistake_of_a_habit_is_told() {
    let told = shown(&pack(&with("power-up,runs | wait,,,\nstop,ramp,coast,,\nreset,edge,,,1 s\n"), "quellmoor-q3").problems);
    for words in ["“wait” is no word of power-up", "“coast” is not among what it can be set to", "time: reset has none"] {
        assert!(told.contains(words), "{words} in\n{told}");
    }
}

#[test]
fn habits_of_a_position_may_be_several() {
    let file = read_position(&source("KX-7.toml", FULL)).checked().expect("no errors");
    let habits = &file.position.habits;
    assert_eq!((habits.get(Habit::PowerUp), habits.get(Habit::Dip)), (Some(WordSet::of([1])), Some(WordSet::of([2, 3]))));
    assert_eq!(habits.get(Habit::Jog), None);
}
