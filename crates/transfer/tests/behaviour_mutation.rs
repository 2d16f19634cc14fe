//! 500 seeded flips of one habit, one wire or one dip: a flip that changes behaviour is found, with a shortest trace; one that does not is not
//! invented. What changes behaviour is told by another way than the exploration: long random walks, and every short sequence tried.

#![allow(
    clippy::expect_used,
    clippy::panic,
    clippy::cast_possible_truncation,
    reason = "a test stops at the first broken expectation and draws small random numbers"
)]

mod behaviour_random;

use std::collections::HashSet;

use behaviour_random::{Random, scheme, unit};
use plant::choice::Choice;
use plant::control::{Emergency, Habit, PermissiveActs, PilotSupply, Seal, StartBy};
use transfer::behaviour::case::matters;
use transfer::behaviour::compare::{Comparison, compare};
use transfer::behaviour::event::{Event, Inputs};
use transfer::behaviour::explore::all_events;
use transfer::behaviour::machine::{Machine, State};
use transfer::behaviour::output::Output;

const CASES: usize = 500;
/// Walks a case, and events a walk.
const WALKS: usize = 20;
const EVENTS: usize = 60;
/// Sequences up to this length are all tried.
const SHORT: usize = 3;

/// One flip, and what it is called.
fn flipped(random: &mut Random, old: Machine) -> (Machine, String) {
    let mut new = old;
    match random.below(10) {
        0 if old.scheme.start == StartBy::ThreeWire => {
            new.scheme.seal = Seal::from_index(random.below(3)).expect("three");
        }
        1 => new.scheme.pilot = PilotSupply::from_index(1 - old.scheme.pilot.index()).expect("two"),
        2 if old.scheme.permissive != PermissiveActs::None => new.scheme.permissive = PermissiveActs::None,
        3 if old.scheme.emergency != Emergency::None => {
            new.scheme.emergency = Emergency::from_index(1 + random.below(6)).expect("seven");
        }
        4 => new.unit.dies_in ^= 0b10,
        _ => {
            let habits: Vec<Habit> = Habit::all().filter(|h| matters(*h, &old.scheme)).collect();
            let habit = habits[random.below(habits.len())];
            let words = habit.info().words.len();
            new.unit = new.unit.with(habit, (old.unit.word(habit) + 1 + random.below(words - 1)) % words);
        }
    }
    (new, format!("{:?} → {:?}", old, new))
}

/// Both after each event of a sequence; `None` where one cannot happen.
fn walk(machines: &[Machine; 2], events: &[Event]) -> Option<[Output; 2]> {
    let (mut states, mut inputs) = ([State::default(); 2], Inputs::at_rest());
    for event in events {
        if !machines[0].scheme.can_happen(*event, inputs) {
            return None;
        }
        states = [0, 1].map(|at| machines[at].step(states[at], inputs, *event));
        inputs = event.then(inputs);
    }
    Some([0, 1].map(|at| machines[at].output(&states[at], inputs)))
}

/// The shortest prefix of a random walk at whose end both are seen to differ.
fn stumbled(random: &mut Random, machines: &[Machine; 2], events: &[Event]) -> Option<usize> {
    let (mut states, mut inputs) = ([State::default(); 2], Inputs::at_rest());
    for step in 1..=EVENTS {
        let event = events[random.below(events.len())];
        if !machines[0].scheme.can_happen(event, inputs) {
            continue;
        }
        states = [0, 1].map(|at| machines[at].step(states[at], inputs, event));
        inputs = event.then(inputs);
        let [a, b] = [0, 1].map(|at: usize| machines[at].output(&states[at], inputs));
        if a != b {
            return Some(step);
        }
    }
    None
}

/// The length of the shortest sequence of at most [`SHORT`] events after which both differ, every one tried.
fn shortest(machines: &[Machine; 2], events: &[Event]) -> Option<usize> {
    fn differs(machines: &[Machine; 2], events: &[Event], states: [State; 2], inputs: Inputs, left: usize) -> bool {
        events.iter().filter(|e| machines[0].scheme.can_happen(**e, inputs)).any(|event| {
            let states = [0, 1].map(|at: usize| machines[at].step(states[at], inputs, *event));
            let inputs = event.then(inputs);
            if left == 1 {
                let [a, b] = [0, 1].map(|at: usize| machines[at].output(&states[at], inputs));
                a != b
            } else {
                differs(machines, events, states, inputs, left - 1)
            }
        })
    }
    (1..=SHORT).find(|length| differs(machines, events, [State::default(); 2], Inputs::at_rest(), *length))
}

fn first(found: &Comparison) -> Option<usize> {
    found.differences.iter().map(|d| d.events.len()).min()
}

#[test]
fn every_flip_that_changes_behaviour_is_found_with_a_shortest_trace() {
    let mut random = Random(0xD1B5_4A32_D192_ED03);
    let (mut changed, mut same, mut tried) = (0, 0, 0);
    for case in 0..CASES {
        let old = Machine { unit: unit(&mut random), scheme: scheme(&mut random) };
        let (new, what) = flipped(&mut random, old);
        let machines = [old, new];
        let found = compare(&machines, 2).expect("small");
        let events = all_events(&machines, 2);
        let length = first(&found);
        for difference in &found.differences {
            assert_eq!(walk(&machines, &difference.events), Some(difference.outputs), "case {case} replays: {what}");
        }
        let walked = (0..WALKS).filter_map(|_| stumbled(&mut random, &machines, &events)).min();
        if let Some(walked) = walked {
            assert!(length.is_some_and(|l| l <= walked), "case {case}: a walk of {walked} events found what was not: {what}");
        }
        let least = shortest(&machines, &events);
        match (length, least) {
            (Some(l), Some(least)) => {
                assert_eq!(l, least, "case {case}: {what}");
                tried += 1;
            }
            (Some(l), None) => assert!(l > SHORT, "case {case}: {what}"),
            (None, least) => assert_eq!(least, None, "case {case}: {what}"),
        }
        if length.is_some() { changed += 1 } else { same += 1 }
    }
    println!("{CASES} flips: {changed} change behaviour, {same} do not; {tried} traces are shortest among all sequences of {SHORT} events");
    assert!(changed > CASES / 2 && same > 0 && tried > CASES / 3, "{changed} changed, {same} same, {tried} tried");
}

/// How many states both reach when every step is taken by the machines themselves, pair by pair.
fn stepped(machines: &[Machine; 2]) -> usize {
    let events = all_events(machines, 2);
    let start = ([State::default(); 2], Inputs::at_rest());
    let mut met = HashSet::from([start]);
    let mut open = vec![start];
    while let Some((states, inputs)) = open.pop() {
        for event in events.iter().filter(|e| machines[0].scheme.can_happen(**e, inputs)) {
            let next = ([0, 1].map(|at: usize| machines[at].step(states[at], inputs, *event)), event.then(inputs));
            if met.insert(next) {
                open.push(next);
            }
        }
    }
    met.len()
}

#[test]
fn tables_of_each_unit_alone_lead_to_as_many_states_as_steps_of_both() {
    let mut random = Random(0xA076_1D64_78BD_642F);
    for case in 0..24 {
        let old = Machine { unit: unit(&mut random), scheme: scheme(&mut random) };
        let (new, what) = flipped(&mut random, old);
        assert_eq!(compare(&[old, new], 2).expect("small").states, stepped(&[old, new]), "case {case}: {what}");
    }
}
