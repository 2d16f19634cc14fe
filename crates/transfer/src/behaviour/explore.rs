//! Every state that can be reached, breadth first, so that the first way to a state is a shortest one. Old and new unit go through the
//! same events side by side.

use rustc_hash::FxHashSet;

use super::event::{Event, Inputs};
use super::machine::{Machine, STATE_BITS, State};

/// Most states that are looked at before the exploration is given up with a clear error.
pub const MOST_STATES: usize = 2_000_000;

/// Why an exploration was given up.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TooMany {
    /// After so many states.
    pub states: usize,
}

impl std::fmt::Display for TooMany {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "more than {} states: leave out inputs that this position does not have", self.states)
    }
}

impl std::error::Error for TooMany {}

/// Both machines and their inputs at one moment.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Moment {
    /// What stands at the inputs.
    pub inputs: Inputs,
    /// State of each machine.
    pub states: [State; 2],
}

/// One step of an exploration.
#[derive(Clone, Copy, Debug)]
pub struct Edge<'m> {
    /// Before.
    pub from: &'m Moment,
    /// What happens.
    pub event: Event,
    /// After.
    pub to: &'m Moment,
    /// Number of the state before; [`Reached::trace`] leads to it.
    pub at: u32,
}

/// What was reached.
#[derive(Debug, Default)]
pub struct Reached {
    parents: Vec<(u32, Event)>,
}

impl Reached {
    /// How many states.
    #[must_use]
    pub fn len(&self) -> usize {
        self.parents.len()
    }

    /// True before the first one.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.parents.is_empty()
    }

    /// A shortest way to a state from before power-up.
    #[must_use]
    pub fn trace(&self, mut at: u32) -> Vec<Event> {
        let mut events = Vec::new();
        while let Some((parent, event)) = self.parents.get(at as usize)
            && *parent != at
        {
            events.push(*event);
            at = *parent;
        }
        events.reverse();
        events
    }
}

/// The events that both schemes know.
#[must_use]
pub fn all_events(machines: &[Machine; 2], dips: u8) -> Vec<Event> {
    let mut events = machines[0].scheme.events(dips);
    let more: Vec<Event> = machines[1].scheme.events(dips).into_iter().filter(|e| !events.contains(e)).collect();
    // Time comes last in each list.
    let time = events.pop();
    events.extend(more.into_iter().filter(|e| Some(*e) != time));
    events.extend(time);
    events
}

/// Explores both machines side by side and shows every step, in the order in which states are found: breadth first.
///
/// # Errors
/// When more than `most` states can be reached.
pub fn explore(machines: &[Machine; 2], dips: u8, most: usize, mut see: impl FnMut(Edge<'_>)) -> Result<Reached, TooMany> {
    let events = all_events(machines, dips);
    let same = machines[0] == machines[1];
    let start = Moment { inputs: Inputs::at_rest(), states: [State::default(); 2] };
    let next = |from: &Moment, event: Event| {
        if !machines[0].scheme.can_happen(event, from.inputs) {
            return None;
        }
        let first = machines[0].step(from.states[0], from.inputs, event);
        let second = if same { first } else { machines[1].step(from.states[1], from.inputs, event) };
        Some(Moment { inputs: event.then(from.inputs), states: [first, second] })
    };
    search(start, &events, most, key, next, |from, event, to, at| see(Edge { from, event, to, at }))
}

/// Breadth first through whatever has a key of its own; `see` is shown each step with the number of the node that it leaves.
///
/// # Errors
/// When more than `most` nodes can be reached.
pub(super) fn search<N: Copy>(
    start: N,
    events: &[Event],
    most: usize,
    key: impl Fn(&N) -> u64,
    next: impl Fn(&N, Event) -> Option<N>,
    mut see: impl FnMut(&N, Event, &N, u32),
) -> Result<Reached, TooMany> {
    let mut nodes = vec![start];
    let mut reached = Reached { parents: vec![(0, Event::Time)] };
    let mut known: FxHashSet<u64> = FxHashSet::default();
    known.insert(key(&start));
    let mut at: u32 = 0;
    while let Some(from) = nodes.get(at as usize).copied() {
        for event in events {
            let Some(to) = next(&from, *event) else { continue };
            see(&from, *event, &to, at);
            if known.insert(key(&to)) {
                if nodes.len() >= most {
                    return Err(TooMany { states: most });
                }
                nodes.push(to);
                reached.parents.push((at, *event));
            }
        }
        at += 1;
    }
    Ok(reached)
}

/// Inputs need 21 bits, each state [`STATE_BITS`].
fn key(moment: &Moment) -> u64 {
    let [first, second] = moment.states.map(|s| u64::from(s.packed()));
    u64::from(moment.inputs.0) << (2 * STATE_BITS) | first << STATE_BITS | second
}
