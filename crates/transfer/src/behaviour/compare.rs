//! Old against new: every way in which what can be seen of both comes apart, with a shortest sequence of events that leads there.

use rustc_hash::FxHashMap;

use super::event::{Event, Inputs};
use super::explore::{Edge, TooMany, all_events, explore};
use super::graph::Graph;
use super::looks::Looks;
use super::machine::{Drive, Machine, State};
use super::output::{Output, SpeedBy};

/// How bad a difference is, the worst first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Danger {
    /// The motor is driven where it stood still before.
    MovesFromStill,
    /// The motor is still driven where it had been stopped before.
    KeepsMoving,
    /// The motor moves in another way, or not at all.
    MovesOtherwise,
    /// Contacts, lamps and what they tell.
    SignalsOtherwise,
}

impl Danger {
    /// As printed and in JSON.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::MovesFromStill => "moves when the old stood still",
            Self::KeepsMoving => "keeps moving when the old stopped",
            Self::MovesOtherwise => "moves otherwise",
            Self::SignalsOtherwise => "signals otherwise",
        }
    }
}

/// What differs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Aspect {
    /// The motor.
    Motion([Drive; 2]),
    /// Its direction; whether the old one goes the second way.
    Direction(bool),
    /// Which speed it is led to.
    Speed([SpeedBy; 2]),
    /// The load is jolted; by which.
    Jolt(bool),
    /// Which has the brake released.
    Brake(bool),
    /// Whose run contact is closed.
    Run(bool),
    /// Whose fault contact is closed.
    Fault(bool),
    /// Whose ready contact is closed.
    Ready(bool),
    /// Which waits for a new start.
    Waits(bool),
    /// Which stores a fault.
    Tripped(bool),
}

/// One difference.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Difference {
    /// How bad.
    pub danger: Danger,
    /// What.
    pub aspect: Aspect,
    /// A shortest sequence from before power-up.
    pub events: Vec<Event>,
    /// What is seen of the old and the new one at its end.
    pub outputs: [Output; 2],
}

/// What came of a comparison.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Comparison {
    /// Reachable states of both side by side.
    pub states: usize,
    /// Steps that were looked at.
    pub steps: usize,
    /// Differences, the worst first, then the shortest.
    pub differences: Vec<Difference>,
}

/// How bad the difference of two motions is; `None` where there is none. `driven_before`: whether the new unit drove the motor before.
#[must_use]
pub fn danger(old: Drive, new: Drive, driven_before: bool) -> Option<Danger> {
    match (old, new) {
        _ if old == new => None,
        (_, Drive::Driven) if driven_before => Some(Danger::KeepsMoving),
        (_, Drive::Driven) => Some(Danger::MovesFromStill),
        _ => Some(Danger::MovesOtherwise),
    }
}

/// The aspects in which two outputs differ, apart from motion.
fn aspects(old: &Output, new: &Output) -> Vec<(Danger, Aspect)> {
    let mut found = Vec::new();
    // Where the motions differ, contacts follow them.
    if old.motion != new.motion {
        return found;
    }
    let mut when = |differs: bool, danger, aspect| {
        if differs {
            found.push((danger, aspect));
        }
    };
    when(old.reverse != new.reverse, Danger::MovesOtherwise, Aspect::Direction(old.reverse));
    when(old.speed != new.speed, Danger::MovesOtherwise, Aspect::Speed([old.speed, new.speed]));
    when(old.jolt != new.jolt, Danger::MovesOtherwise, Aspect::Jolt(old.jolt));
    when(old.released != new.released, Danger::MovesOtherwise, Aspect::Brake(old.released));
    when(old.run != new.run, Danger::SignalsOtherwise, Aspect::Run(old.run));
    when(old.fault != new.fault, Danger::SignalsOtherwise, Aspect::Fault(old.fault));
    when(old.ready != new.ready, Danger::SignalsOtherwise, Aspect::Ready(old.ready));
    when(old.waits != new.waits, Danger::SignalsOtherwise, Aspect::Waits(old.waits));
    when(old.tripped != new.tripped, Danger::SignalsOtherwise, Aspect::Tripped(old.tripped));
    found
}

/// Compares an old unit in its scheme with a new one.
///
/// # Errors
/// When there are more states than can be looked at.
pub fn compare(machines: &[Machine; 2], dips: u8) -> Result<Comparison, TooMany> {
    let events = all_events(machines, dips);
    let [old, new] = [Graph::of(&machines[0], &machines[0].scheme, &events)?, Graph::of(&machines[1], &machines[0].scheme, &events)?];
    Ok(compare_all([&[&old], &[&new]], &[[0, 0]])?.pop().unwrap_or_default())
}

/// What was found first: its danger, aspect and event; after which pair, and what is seen of both at its end.
type Firsts = FxHashMap<(Danger, Aspect, usize), (u32, [Output; 2])>;

/// Compares what was explored of several units that all go the same ways, old and new: they differ in what is seen of them. `pairs`: which
/// old one is compared with which new one; an answer for each.
///
/// # Errors
/// When there are more pairs of states than can be looked at.
pub(super) fn compare_all(graphs: [&[&Graph]; 2], pairs: &[[usize; 2]]) -> Result<Vec<Comparison>, TooMany> {
    let [Some(old), Some(new)] = graphs.map(|side| side.first()) else { return Ok(Vec::new()) };
    let sides = graphs.map(Looks::of);
    let apart = |looks: [u32; 2]| {
        let seen = |side: usize, pair: &[usize; 2]| sides[side].seen(looks[side], pair[side]);
        pairs.iter().any(|pair| seen(0, pair) != seen(1, pair))
    };
    let mut found: Vec<Firsts> = vec![Firsts::default(); pairs.len()];
    let see = |edge: Edge| {
        for (pair, found) in pairs.iter().zip(&mut found) {
            let outputs = |looks: [u32; 2]| [0, 1].map(|side: usize| Output::unpacked(sides[side].seen(looks[side], pair[side])));
            let (was, is) = (outputs(edge.was), outputs(edge.is));
            if is[0] != is[1] {
                step(was, is, edge, found);
            }
        }
    };
    let reached = explore([&*old.ways, &*new.ways], &sides, apart, see)?;
    let trace = |at, event| reached.trace(&old.ways.events, at, event);
    Ok(found.into_iter().map(|f| Comparison { states: reached.len(), steps: reached.steps, differences: sorted(f, trace) }).collect())
}

/// What comes apart in one step.
fn step(was: [Output; 2], is: [Output; 2], edge: Edge, found: &mut Firsts) {
    let (had, has) = (danger(was[0].motion, was[1].motion, false), danger(is[0].motion, is[1].motion, was[1].motion == Drive::Driven));
    if let Some(has) = has
        && had.is_none_or(|had| has < had && had != Danger::MovesFromStill)
    {
        let aspect = Aspect::Motion([is[0].motion, is[1].motion]);
        found.entry((has, aspect, edge.event)).or_insert((edge.at, is));
    }
    // Where the motions came apart before, the rest is their doing.
    if had.is_some() {
        return;
    }
    let before = aspects(&was[0], &was[1]);
    for aspect in aspects(&is[0], &is[1]).into_iter().filter(|a| !before.contains(a)) {
        found.entry((aspect.0, aspect.1, edge.event)).or_insert((edge.at, is));
    }
}

/// What is seen of both before power-up, and after each event of a sequence.
#[must_use]
pub fn replay(machines: &[Machine; 2], events: &[Event]) -> Vec<[Output; 2]> {
    let (mut states, mut inputs) = ([State::default(); 2], Inputs::at_rest());
    let seen = |states: &[State; 2], inputs| [0, 1].map(|side: usize| machines[side].output(&states[side], inputs));
    let mut looks = vec![seen(&states, inputs)];
    for event in events {
        states = [0, 1].map(|side: usize| machines[side].step(states[side], inputs, *event));
        inputs = event.then(inputs);
        looks.push(seen(&states, inputs));
    }
    looks
}

/// Whether the sequence of a difference leads these machines to it all the same, or to another one as bad on the way.
#[must_use]
pub fn comes_again(machines: &[Machine; 2], difference: &Difference) -> bool {
    let looks = replay(machines, &difference.events);
    let as_bad = |was: &[Output; 2], is: &[Output; 2]| {
        danger(is[0].motion, is[1].motion, was[1].motion == Drive::Driven).is_some_and(|moves| moves <= difference.danger)
    };
    looks.windows(2).any(|step| as_bad(&step[0], &step[1]))
        || looks.last().is_some_and(|[old, new]| aspects(old, new).iter().any(|(_, aspect)| *aspect == difference.aspect))
}

fn sorted(found: Firsts, sequence: impl Fn(u32, usize) -> Vec<Event>) -> Vec<Difference> {
    let mut differences: Vec<Difference> = found
        .into_iter()
        .map(|((danger, aspect, event), (at, outputs))| Difference { danger, aspect, events: sequence(at, event), outputs })
        .collect();
    differences.sort_by(|a, b| (a.danger, a.events.len(), &a.events, a.aspect).cmp(&(b.danger, b.events.len(), &b.events, b.aspect)));
    differences
}
