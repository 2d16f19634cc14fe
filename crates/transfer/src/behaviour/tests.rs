//! Truth tables made by hand for the classic schemes, and what the comparison finds between units that differ in one habit.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test stops at the first broken expectation")]

mod differences;
mod truth;

use super::event::{Event, Inputs};
use super::machine::{Machine, State};
use super::output::Output;
use super::scheme::Scheme;
use super::unit::Unit;

/// What is seen after a sequence of events from before power-up, each by its short name.
#[track_caller]
pub(super) fn after(machine: &Machine, events: &str) -> Output {
    let (mut state, mut inputs) = (State::default(), Inputs::at_rest());
    for code in events.split_whitespace() {
        let event = Event::from_code(code).unwrap_or_else(|| panic!("{code} is no event"));
        assert!(machine.scheme.events(2).contains(&event), "{code} does not exist in {:?}", machine.scheme);
        assert!(machine.scheme.can_happen(event, inputs), "{code} cannot happen in “{events}”");
        state = machine.step(state, inputs, event);
        inputs = event.then(inputs);
    }
    machine.output(&state, inputs)
}

pub(super) fn machine(unit: Unit, scheme: Scheme) -> Machine {
    Machine { unit, scheme }
}
