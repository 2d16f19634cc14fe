//! One unit in its scheme, explored once: its states numbered, what each event makes of each of them, and what is seen in it. Pairs of
//! units and rules then go over these tables; none of them steps a machine again. A unit that differs in a few habits takes from one that
//! was explored every step that asked for none of them.

use std::sync::Arc;

use rustc_hash::FxHashMap;

use super::event::{Event, Input, Inputs};
use super::explore::{MOST_STATES, TooMany};
use super::machine::{Machine, STATE_BITS, State};
use super::output::MOTOR;
use super::scheme::Scheme;
use super::unit::{Habits, Unit};

/// Where an event leads that cannot happen.
pub(super) const NEVER: u32 = u32::MAX;

/// A state of one unit with what stands at its inputs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Node {
    /// What stands at the inputs.
    pub(super) inputs: Inputs,
    /// State of the unit.
    pub(super) state: State,
    /// Bit n: the n-th event has turned its input over an odd number of times. Units that go through the same events share it.
    pub(super) slot: u32,
    /// Number among the nodes of its slot.
    pub(super) place: u32,
}

/// The states of one unit in its scheme, and where events lead from each.
#[derive(Debug, Default)]
pub(super) struct Ways {
    /// What can happen.
    pub(super) events: Vec<Event>,
    /// States in the order in which they are found; the first is before power-up.
    pub(super) nodes: Vec<Node>,
    /// For each node, a node for each event, or [`NEVER`].
    pub(super) next: Vec<u32>,
    /// How many nodes each slot has.
    pub(super) crowds: Vec<u32>,
    /// For each slot that has nodes, the events that can happen there.
    possible: Vec<Possible>,
    /// For each step, the habits that it asked for.
    asked: Vec<Habits>,
    /// All of them.
    asked_ever: Habits,
    /// Numbers of nodes by slot and state; of ways that were taken from others only those that the others have not.
    known: FxHashMap<u64, u32>,
}

/// The ways of a unit, and what is seen on them.
#[derive(Clone, Debug)]
pub(super) struct Graph {
    /// The unit.
    unit: Unit,
    /// Units that differ only in what is seen of them share it.
    pub(super) ways: Arc<Ways>,
    /// What is seen in each node ([`super::output::Output::packed`]).
    pub(super) seen: Vec<u16>,
}

impl Graph {
    /// Explores a machine. `around`: the scheme that says when an event can happen.
    ///
    /// # Errors
    /// When there are more states than can be looked at.
    pub(super) fn of(machine: &Machine, around: &Scheme, events: &[Event]) -> Result<Self, TooMany> {
        let ways = Making::new(machine, around, events).all(&Ways::default(), 0)?;
        Ok(Self::seen_on(machine, Arc::new(ways)))
    }

    /// Explores a machine that stands in the same scheme as this one, around the same scheme and under the same events.
    ///
    /// # Errors
    /// As [`Graph::of`].
    pub(super) fn with(&self, machine: &Machine, around: &Scheme) -> Result<Self, TooMany> {
        let apart = machine.unit.apart(&self.unit);
        if self.ways.asked_ever & apart == 0 {
            return Ok(Self::seen_on(machine, Arc::clone(&self.ways)));
        }
        let ways = Making::new(machine, around, &self.ways.events).all(&self.ways, apart)?;
        // What was asked for need not have mattered.
        let same = ways.next == self.ways.next && ways.nodes == self.ways.nodes;
        Ok(Self::seen_on(machine, if same { Arc::clone(&self.ways) } else { Arc::new(ways) }))
    }

    fn seen_on(machine: &Machine, ways: Arc<Ways>) -> Self {
        let watched = machine.watched();
        let seen = ways.nodes.iter().map(|n| watched.output(&n.state, n.inputs).packed()).collect();
        Self { unit: machine.unit, ways, seen }
    }

    /// Whether its motor does the same as that of another one, step by step.
    pub(super) fn moves_as(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.ways, &other.ways) && self.seen.iter().zip(&other.seen).all(|(a, b)| (a ^ b) & MOTOR == 0)
    }

    /// What is seen in a node.
    pub(super) fn seen(&self, node: u32) -> u16 {
        self.seen[node as usize]
    }
}

impl Ways {
    /// Where the events lead from a node.
    pub(super) fn row(&self, node: u32) -> &[u32] {
        let width = self.events.len();
        self.next.get(node as usize * width..(node as usize + 1) * width).unwrap_or_default()
    }

    /// The events that can happen at a node.
    pub(super) fn possible(&self, node: u32) -> Possible {
        self.possible[self.node(node).slot as usize]
    }

    /// A node.
    pub(super) fn node(&self, node: u32) -> &Node {
        &self.nodes[node as usize]
    }
}

/// Some of the events, by their numbers, which it goes through.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Possible(u32);

impl Iterator for Possible {
    type Item = u32;

    #[inline]
    fn next(&mut self) -> Option<u32> {
        let number = self.0.trailing_zeros();
        let one = 1_u32.checked_shl(number)?;
        self.0 ^= one;
        Some(number)
    }

    #[inline]
    fn count(self) -> usize {
        self.0.count_ones() as usize
    }
}

/// Ways in the making.
struct Making<'m> {
    machine: &'m Machine,
    around: &'m Scheme,
    ways: Ways,
    /// For each node, the same one among the ways that steps are taken from; [`NEVER`] where it has none there.
    twins: Vec<u32>,
    /// The other way round.
    of_twin: Vec<u32>,
}

impl<'m> Making<'m> {
    fn new(machine: &'m Machine, around: &'m Scheme, events: &[Event]) -> Self {
        let turns = events.iter().rposition(|e| matches!(e, Event::Turn(_))).map_or(0, |last| last + 1);
        let slots = 1 << turns;
        let ways = Ways { events: events.to_vec(), crowds: vec![0; slots], possible: vec![Possible::default(); slots], ..Ways::default() };
        Self { machine, around, ways, twins: Vec::new(), of_twin: Vec::new() }
    }

    /// All of them. Steps of `other` that asked for no habit of `apart` are taken from there.
    fn all(mut self, other: &Ways, apart: Habits) -> Result<Ways, TooMany> {
        self.of_twin = vec![NEVER; other.nodes.len()];
        self.ways.nodes.reserve(other.nodes.len());
        self.ways.next.reserve(other.next.len());
        self.ways.asked.reserve(other.asked.len());
        self.node(other, Inputs::at_rest(), State::default(), 0)?;
        let watched = self.machine.watched();
        // What a turned input makes of a state goes by what stands at the inputs afterwards, whichever of them it was.
        let mut turned: FxHashMap<u64, (u32, Habits)> = FxHashMap::default();
        let events = self.ways.events.clone();
        let mut at = 0;
        while let Some(from) = self.ways.nodes.get(at).copied() {
            let twin = self.twins.get(at).copied().filter(|twin| *twin != NEVER);
            let possible = self.possible(&from, &events);
            for (number, event) in events.iter().enumerate() {
                if let Some(twin) = twin
                    && let place = twin as usize * events.len() + number
                    && other.asked[place] & apart == 0
                {
                    let to = other.next[place];
                    let to = if to == NEVER { NEVER } else { self.like_twin(other, to)? };
                    self.way(to, other.asked[place]);
                    continue;
                }
                if possible >> number & 1 == 0 {
                    self.way(NEVER, 0);
                    continue;
                }
                let by_inputs = matches!(event, Event::Turn(input) if *input != Input::Hand);
                let slot = if matches!(event, Event::Turn(_)) { from.slot ^ 1 << number } else { from.slot };
                let before = key(slot, from.state);
                if by_inputs && let Some((to, asked)) = turned.get(&before) {
                    self.way(*to, *asked);
                    continue;
                }
                let state = watched.step(from.state, from.inputs, *event);
                let asked = watched.unit.take();
                let to = self.node(other, event.then(from.inputs), state, slot)?;
                if by_inputs {
                    turned.insert(before, (to, asked));
                }
                self.way(to, asked);
            }
            at += 1;
        }
        Ok(self.ways)
    }

    /// The events that can happen at a node, as bits: what stands at the inputs decides, and with it the slot.
    fn possible(&mut self, node: &Node, events: &[Event]) -> u32 {
        let Some(possible) = self.ways.possible.get_mut(node.slot as usize) else { return 0 };
        if possible.0 == 0 {
            possible.0 = (0..).zip(events).filter(|(_, e)| self.around.can_happen(**e, node.inputs)).fold(0, |bits, (n, _)| bits | 1 << n);
        }
        possible.0
    }

    /// Notes where the next event leads.
    fn way(&mut self, to: u32, asked: Habits) {
        self.ways.next.push(to);
        self.ways.asked.push(asked);
        self.ways.asked_ever |= asked;
    }

    /// The number of the node that is `twin` among the others.
    fn like_twin(&mut self, other: &Ways, twin: u32) -> Result<u32, TooMany> {
        match self.of_twin[twin as usize] {
            NEVER => {
                let node = *other.node(twin);
                self.add(node.inputs, node.state, node.slot, twin)
            }
            number => Ok(number),
        }
    }

    /// The number of a node; a new one where it is not known.
    fn node(&mut self, other: &Ways, inputs: Inputs, state: State, slot: u32) -> Result<u32, TooMany> {
        let key = key(slot, state);
        if let Some(twin) = other.known.get(&key) {
            return self.like_twin(other, *twin);
        }
        if let Some(number) = self.ways.known.get(&key) {
            return Ok(*number);
        }
        let number = self.add(inputs, state, slot, NEVER)?;
        self.ways.known.insert(key, number);
        Ok(number)
    }

    fn add(&mut self, inputs: Inputs, state: State, slot: u32, twin: u32) -> Result<u32, TooMany> {
        if self.ways.nodes.len() >= MOST_STATES {
            return Err(TooMany { states: MOST_STATES });
        }
        #[expect(clippy::cast_possible_truncation, reason = "fewer than MOST_STATES")]
        let number = self.ways.nodes.len() as u32;
        let place = self.ways.crowds.get_mut(slot as usize).map_or(0, |crowd| {
            *crowd += 1;
            *crowd - 1
        });
        self.ways.nodes.push(Node { inputs, state, slot, place });
        self.twins.push(twin);
        if let Some(of_twin) = self.of_twin.get_mut(twin as usize) {
            *of_twin = number;
        }
        Ok(number)
    }
}

fn key(slot: u32, state: State) -> u64 {
    u64::from(slot) << STATE_BITS | u64::from(state.packed())
}

/// Numbers that were met, by their bits.
#[derive(Debug)]
pub(super) struct Met(Vec<u64>);

impl Met {
    /// Room for numbers below `end`.
    pub(super) fn below(end: usize) -> Self {
        Self(vec![0; end.div_ceil(64)])
    }

    /// Meets a number; whether it is new.
    pub(super) fn meet(&mut self, number: usize) -> bool {
        let Some(word) = self.0.get_mut(number / 64) else { return false };
        let bit = 1 << (number % 64);
        let new = *word & bit == 0;
        *word |= bit;
        new
    }
}
