//! What a comparison finds.

use plant::choice::Choice;
use plant::control::{AfterReset, Habit, HeldStart, ResetBy, Seal, StartBy, StopMode, WordSet};

use super::{after, machine};
use crate::behaviour::answer::answer;
use crate::behaviour::case::{Case, Variant};
use crate::behaviour::compare::{Danger, comes_again, compare};
use crate::behaviour::explored::Explored;
use crate::behaviour::graph::Graph;
use crate::behaviour::machine::Drive;
use crate::behaviour::output::Output;
use crate::behaviour::remedy::{Act, with};
use crate::behaviour::scheme::{Needs, Scheme};
use crate::behaviour::unit::{Unit, UnitSet};

fn codes(events: &[crate::behaviour::event::Event]) -> String {
    events.iter().map(|e| e.code()).collect::<Vec<_>>().join(" ")
}

#[test]
fn a_unit_does_not_differ_from_itself() {
    let scheme = Scheme { start: StartBy::HandAuto, reset: ResetBy::Button, enable: true, ..Scheme::default() };
    let same = machine(Unit::default(), scheme);
    let answer = compare(&[same, same], 1).expect("small");
    assert!(answer.differences.is_empty() && answer.states > 100, "{answer:?}");
}

#[test]
fn a_start_that_runs_at_power_up_is_found_by_its_shortest_way() {
    let old = machine(Unit::default().set(Habit::PowerUp, HeldStart::Waits), Scheme::default());
    let new = machine(Unit::default(), Scheme::default());
    let answer = compare(&[old, new], 0).expect("small");
    let first = answer.differences.first().expect("one");
    assert_eq!((first.danger, codes(&first.events).as_str()), (Danger::MovesFromStill, "start supply"));
    assert_eq!(first.outputs.map(|o| o.motion), [Drive::Still, Drive::Driven]);
    // Each trace replays.
    for difference in &answer.differences {
        let events = codes(&difference.events);
        assert_eq!([after(&old, &events), after(&new, &events)], difference.outputs, "{events}");
    }
    let turned = compare(&[new, old], 0).expect("small");
    assert!(turned.differences.iter().all(|d| d.danger != Danger::MovesFromStill));
}

#[test]
fn a_remedy_ends_one_way_well_while_another_stays() {
    // Power and a reset both start what is held; the remedy is for power alone.
    let scheme = Scheme { reset: ResetBy::Button, ..Scheme::default() };
    let waits = Unit::default().set(Habit::PowerUp, HeldStart::Waits).set(Habit::AfterReset, AfterReset::Waits);
    let (old, new) = (machine(waits, scheme), machine(Unit::default().set(Habit::AfterReset, AfterReset::Runs), scheme));
    let mut mended = new;
    Act::Set(Habit::PowerUp, HeldStart::Waits.index()).apply(&mut mended);
    let differences = compare(&[old, new], 0).expect("small").differences;
    let of = |last: &str| differences.iter().find(|d| d.danger == Danger::MovesFromStill && codes(&d.events).ends_with(last)).expect("one");
    for difference in &differences {
        assert!(comes_again(&[old, new], difference), "{}", codes(&difference.events));
    }
    assert!(!comes_again(&[old, mended], of("supply")));
    assert!(comes_again(&[old, mended], of("reset")));
}

#[test]
fn a_stop_that_coasts_moves_otherwise() {
    let old = machine(Unit::default(), Scheme::default());
    let new = machine(Unit::default().set(Habit::Stop, StopMode::Coast), Scheme::default());
    let first = compare(&[old, new], 0).expect("small").differences.remove(0);
    assert_eq!((first.danger, codes(&first.events).as_str()), (Danger::MovesOtherwise, "supply start start"));
    assert_eq!(first.outputs.map(|o| o.motion), [Drive::Ramping, Drive::Coasting]);
}

#[test]
fn a_reset_that_starts_is_found() {
    let scheme = Scheme { reset: ResetBy::Button, ..Scheme::default() };
    let old = machine(Unit::default().set(Habit::AfterReset, AfterReset::Refused), scheme);
    let new = machine(Unit::default().set(Habit::AfterReset, AfterReset::Runs), scheme);
    let answer = compare(&[old, new], 0).expect("small");
    let worst: Vec<String> = answer.differences.iter().filter(|d| d.danger == Danger::MovesFromStill).map(|d| codes(&d.events)).collect();
    assert!(worst.iter().any(|w| w.ends_with("reset")), "{worst:?}");
}

#[test]
fn an_output_comes_back_from_its_number() {
    let scheme = Scheme { start: StartBy::Network, reset: ResetBy::Network, reversing: true, jog: true, ..Scheme::default() };
    let machine = machine(Unit::default(), scheme);
    let graph = Graph::of(&machine, &scheme, &scheme.events(2)).expect("small");
    for (node, seen) in graph.ways.nodes.iter().zip(&graph.seen) {
        assert_eq!(Output::unpacked(*seen), machine.output(&node.state, node.inputs));
    }
    let different: std::collections::BTreeSet<u16> = graph.seen.iter().copied().collect();
    assert!(different.len() > 10, "{different:?}");
}

#[test]
fn what_was_explored_before_changes_no_answer() {
    let scheme = Scheme { start: StartBy::ThreeWire, seal: Seal::UnitRelay, reset: ResetBy::Button, ..Scheme::default() };
    let mut units = [UnitSet::exactly(Unit::default().set(Habit::PowerUp, HeldStart::Waits)), UnitSet::exactly(Unit::default())];
    for habit in [Habit::AfterReset, Habit::Stop] {
        units[0].put(habit, WordSet::all(habit));
    }
    let case = Case::of(&units, &[Variant { scheme, needs: Needs::default(), picks: Vec::new() }], Vec::new());
    let acts =
        [Act::Set(Habit::PowerUp, HeldStart::Waits.index()), Act::Hold(Seal::OwnRelay), Act::Set(Habit::Stop, StopMode::Coast.index())];
    let mut explored = Explored::new(1);
    let first = explored.answer(&case).expect("small");
    assert!(first.differences.iter().any(|f| f.certain) && first.differences.iter().any(|f| !f.on.is_empty()), "{first:#?}");
    let tried: Vec<Case> = acts.iter().map(|act| with(&case, &[*act])).collect();
    let together = explored.answers(&tried).expect("small");
    for (case, told) in tried.iter().zip(&together) {
        assert_eq!(*told, answer(case, 1).expect("small"));
        assert_ne!(*told, first);
    }
    assert_eq!(explored.answer(&case).expect("small"), first);
}
