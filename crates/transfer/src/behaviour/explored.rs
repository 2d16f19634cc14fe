//! What was explored already: machines alone, pairs of them, and the rules held against them. Completions and remedies share most of
//! their machines; each is explored once.

use std::collections::hash_map::Entry;
use std::hash::Hash;
use std::sync::Arc;

use rayon::prelude::*;
use rustc_hash::{FxHashMap, FxHashSet};

use super::case::{Case, Completion};
use super::compare::{Comparison, compare_all};
use super::event::Event;
use super::explore::{TooMany, all_events};
use super::graph::Graph;
use super::machine::Machine;
use super::rules::{Rule, Verdict, judge_graph};
use super::scheme::{Needs, Scheme};

/// A machine, the scheme that says what can happen to it, and all that may.
type Alone = (Machine, Scheme, Vec<Event>);
/// A machine, the same scheme, and what its machine needs.
type Judged = (Machine, Scheme, Needs);
/// What the rules say.
pub(super) type Verdicts = Vec<(Rule, Verdict)>;

/// Everything that was explored for one position.
#[derive(Debug, Default)]
pub struct Explored {
    dips: u8,
    graphs: FxHashMap<Alone, Graph>,
    /// Of the machines in one scheme, the one that was explored by itself: the others take their steps from it.
    leaders: FxHashMap<Among, Alone>,
    pairs: FxHashMap<[Machine; 2], Comparison>,
    judged: FxHashMap<Judged, Verdicts>,
}

impl Explored {
    /// Nothing explored. `dips`: how many classes of dips differ.
    #[must_use]
    pub fn new(dips: u8) -> Self {
        Self { dips, ..Self::default() }
    }

    /// Explores what cases ask for and nobody has explored.
    ///
    /// # Errors
    /// When a completion has more states than can be looked at.
    pub(super) fn learn(&mut self, cases: &[Case]) -> Result<(), TooMany> {
        let completions = || cases.iter().flat_map(|c| &c.completions);
        let pairs = missing(completions().map(|c| c.machines), &self.pairs);
        let judged = missing(completions().flat_map(judged), &self.judged);
        let of_pairs = pairs.iter().flat_map(|pair| self.alone(pair));
        let of_rules = judged.iter().map(|(machine, around, _)| (*machine, *around, around.events(self.dips)));
        self.explore(missing(of_pairs.chain(of_rules), &self.graphs))?;
        let compared = each(self.alike(pairs), |alike| alike.compare())?;
        let judged = each(self.same_motor(judged), |(graph, keys)| {
            let Some((_, around, needs)) = keys.first() else { return Ok(Vec::new()) };
            let verdicts = judge_graph(graph, around, needs)?;
            Ok(keys.iter().map(|key| (*key, verdicts.clone())).collect())
        })?;
        self.pairs.extend(compared.into_iter().flatten());
        self.judged.extend(judged.into_iter().flatten());
        Ok(())
    }

    /// Explores machines: of those in one scheme the first by itself, the others along one that is known.
    fn explore(&mut self, wanted: Vec<Alone>) -> Result<(), TooMany> {
        let (mut first, mut others) = (Vec::new(), Vec::new());
        for key in wanted {
            match self.leaders.entry(among(&key)) {
                Entry::Vacant(place) => {
                    place.insert(key.clone());
                    first.push(key);
                }
                Entry::Occupied(_) => others.push(key),
            }
        }
        let first = each(first, |key| Ok((key.clone(), Graph::of(&key.0, &key.1, &key.2)?)))?;
        self.graphs.extend(first);
        let others = each(others, |key| {
            let graph = match self.leaders.get(&among(key)).and_then(|leader| self.graphs.get(leader)) {
                Some(leader) => leader.with(&key.0, &key.1)?,
                None => Graph::of(&key.0, &key.1, &key.2)?,
            };
            Ok((key.clone(), graph))
        })?;
        self.graphs.extend(others);
        Ok(())
    }

    /// Pairs put together where both sides go the same ways.
    fn alike(&self, pairs: Vec<[Machine; 2]>) -> Vec<Alike<'_>> {
        let mut all: Vec<Alike<'_>> = Vec::new();
        for pair in pairs {
            let [Some(old), Some(new)] = self.alone(&pair).map(|key| self.graphs.get(&key)) else { continue };
            let ways = |g: &Graph| Arc::as_ptr(&g.ways);
            match all.iter_mut().find(|a| ways(a.sides[0][0]) == ways(old) && ways(a.sides[1][0]) == ways(new)) {
                Some(alike) => alike.add(pair, [old, new]),
                None => all.push(Alike { sides: [vec![old], vec![new]], machines: vec![pair], pairs: vec![[0, 0]] }),
            }
        }
        all
    }

    /// Machines put together of which a rule sees the same.
    fn same_motor(&self, judged: Vec<Judged>) -> Vec<(&Graph, Vec<Judged>)> {
        let mut all: Vec<(&Graph, Vec<Judged>)> = Vec::new();
        for key in judged {
            let (machine, around, needs) = key;
            let Some(graph) = self.graphs.get(&(machine, around, around.events(self.dips))) else { continue };
            let same = |(other, keys): &&mut (&Graph, Vec<Judged>)| {
                keys.first().is_some_and(|(_, a, n)| (*a, *n) == (around, needs)) && graph.moves_as(other)
            };
            match all.iter_mut().find(same) {
                Some((_, keys)) => keys.push(key),
                None => all.push((graph, vec![key])),
            }
        }
        all
    }

    /// What the exploration of each side of a pair is known by.
    fn alone(&self, pair: &[Machine; 2]) -> [Alone; 2] {
        let events = all_events(pair, self.dips);
        pair.map(|machine| (machine, pair[0].scheme, events.clone()))
    }

    /// The comparison of a completion that was learned.
    pub(super) fn comparison(&self, completion: &Completion) -> Option<&Comparison> {
        self.pairs.get(&completion.machines)
    }

    /// What the rules say of both sides of a completion that was learned.
    pub(super) fn verdicts(&self, completion: &Completion) -> [&[(Rule, Verdict)]; 2] {
        judged(completion).map(|key| self.judged.get(&key).map_or(&[][..], Vec::as_slice))
    }
}

/// Pairs of units that all go the same ways, each side its own.
struct Alike<'g> {
    sides: [Vec<&'g Graph>; 2],
    machines: Vec<[Machine; 2]>,
    /// For each pair, its places in both sides.
    pairs: Vec<[usize; 2]>,
}

impl<'g> Alike<'g> {
    fn add(&mut self, machines: [Machine; 2], graphs: [&'g Graph; 2]) {
        let places = [0, 1].map(|side: usize| {
            let known = self.sides[side].iter().position(|g| g.seen == graphs[side].seen);
            known.unwrap_or_else(|| {
                self.sides[side].push(graphs[side]);
                self.sides[side].len() - 1
            })
        });
        self.machines.push(machines);
        self.pairs.push(places);
    }

    fn compare(&self) -> Result<Vec<([Machine; 2], Comparison)>, TooMany> {
        let found = compare_all([&self.sides[0], &self.sides[1]], &self.pairs)?;
        Ok(self.machines.iter().copied().zip(found).collect())
    }
}

/// What machines have in common that are explored along one of them.
type Among = (Scheme, Scheme, Vec<Event>);

fn among((machine, around, events): &Alone) -> Among {
    (machine.scheme, *around, events.clone())
}

fn judged(completion: &Completion) -> [Judged; 2] {
    completion.machines.map(|machine| (machine, completion.machines[0].scheme, completion.needs))
}

/// What is asked for and not known, each once.
fn missing<K: Hash + Eq + Clone, V>(asked: impl Iterator<Item = K>, known: &FxHashMap<K, V>) -> Vec<K> {
    let mut met = FxHashSet::default();
    asked.filter(|key| !known.contains_key(key) && met.insert(key.clone())).collect()
}

fn each<K: Send + Sync, V: Send>(keys: Vec<K>, make: impl Fn(&K) -> Result<V, TooMany> + Send + Sync) -> Result<Vec<V>, TooMany> {
    keys.par_iter().map(make).collect()
}
