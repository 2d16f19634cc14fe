//! Every state that can be reached, breadth first, so that the first way to a state is a shortest one. Old and new unit go through the
//! same events side by side.

use super::event::Event;
use super::graph::{Met, Node, Ways};
use super::looks::{Judged, Looks};
use super::machine::Machine;

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

/// One step of both side by side.
#[derive(Clone, Copy, Debug)]
pub(super) struct Edge {
    /// How each looks before.
    pub(super) was: [u32; 2],
    /// Number of the event.
    pub(super) event: usize,
    /// How each looks after.
    pub(super) is: [u32; 2],
    /// Number of the pair before; [`Reached::trace`] leads to it.
    pub(super) at: u32,
}

/// What was reached, each with the one before it and the number of the event between them.
#[derive(Debug)]
pub(super) struct Reached {
    parents: Vec<(u32, u32)>,
    /// Steps that were looked at.
    pub(super) steps: usize,
}

impl Reached {
    /// Before the first step.
    pub(super) fn start() -> Self {
        Self { parents: vec![(0, 0)], steps: 0 }
    }

    /// How many states.
    pub(super) fn len(&self) -> usize {
        self.parents.len()
    }

    /// Adds what an event leads to.
    pub(super) fn push(&mut self, at: u32, event: u32) {
        self.parents.push((at, event));
    }

    /// A shortest way from before power-up to a state and the event after it.
    pub(super) fn trace(&self, events: &[Event], mut at: u32, last: usize) -> Vec<Event> {
        let mut trace: Vec<Event> = events.get(last).copied().into_iter().collect();
        while let Some((parent, event)) = self.parents.get(at as usize)
            && *parent != at
        {
            trace.extend(events.get(*event as usize));
            at = *parent;
        }
        trace.reverse();
        trace
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

/// Goes through both side by side and shows every step after which anything is apart, the first of those that look alike, in the order in
/// which pairs are found: breadth first. Both ways are over the same events; `looks` is how each looks in its nodes, `apart` whether two
/// looks are.
///
/// Some hundred million steps are gone through for one position: only events that can happen are asked for, and what is asked of a step
/// has one answer nearly always, which processors guess.
///
/// # Errors
/// When more than [`MOST_STATES`] pairs can be reached.
pub(super) fn explore(
    ways: [&Ways; 2],
    looks: &[Looks; 2],
    apart: impl Fn([u32; 2]) -> bool,
    mut see: impl FnMut(Edge),
) -> Result<Reached, TooMany> {
    let [old, new] = ways;
    // A pair has a number of its own: slot by slot, in each the places of the one by the places of the other.
    let mut end = 0_usize;
    let first_of: Vec<u32> = old
        .crowds
        .iter()
        .zip(&new.crowds)
        .map(|(a, b)| {
            #[expect(clippy::cast_possible_truncation, reason = "looked at below")]
            let first = end as u32;
            end += *a as usize * *b as usize;
            first
        })
        .collect();
    let Ok(_) = u32::try_from(end) else { return Err(TooMany { states: MOST_STATES }) };
    let line = |n: &Node| first_of[n.slot as usize] + n.place * new.crowds[n.slot as usize];
    // What is asked for in every step lies together, and takes little room.
    let of_old: Vec<(u32, u32)> = old.nodes.iter().zip(&looks[0].of_nodes).map(|(n, look)| (line(n), *look)).collect();
    let of_new: Vec<(u32, u32)> = new.nodes.iter().zip(&looks[1].of_nodes).map(|(n, look)| (n.place, *look)).collect();
    let mut judged = Judged::new(looks, apart);
    let mut met = Met::below(end);
    let mut pairs = vec![[0_u32; 2]];
    let mut reached = Reached::start();
    met.meet(of_old.first().map_or(0, |(line, _)| *line as usize));
    let mut at: u32 = 0;
    while let Some(from) = pairs.get(at as usize).copied() {
        let was = [of_old[from[0] as usize].1, of_new[from[1] as usize].1];
        let row = judged.row(was);
        let rows = [old.row(from[0]), new.row(from[1])];
        let possible = old.possible(from[0]);
        reached.steps += possible.count();
        for event in possible {
            let to = [rows[0][event as usize], rows[1][event as usize]];
            let ((line, old_look), (place, new_look)) = (of_old[to[0] as usize], of_new[to[1] as usize]);
            let is = [old_look, new_look];
            let column = judged.column(is);
            if judged.is_new(row, column, event) {
                see(Edge { was, event: event as usize, is, at });
            }
            if met.meet((line + place) as usize) {
                if pairs.len() >= MOST_STATES {
                    return Err(TooMany { states: MOST_STATES });
                }
                pairs.push(to);
                reached.push(at, event);
            }
        }
        at += 1;
    }
    Ok(reached)
}
