//! Everything tried: each base, each number of each module, each order of slots, each landing of each demand.

use std::collections::BTreeMap;

use transfer::allocate::{Home, Problem};

use crate::held::thousandths;

/// The least cost of these demands, thousandths; `None` when they cannot be met.
pub(crate) fn least(problem: &Problem, wanted: &[usize]) -> Option<i64> {
    search(problem, wanted, false)
}

/// Whether these demands can be met together.
pub(crate) fn meets(problem: &Problem, wanted: &[usize]) -> bool {
    search(problem, wanted, true).is_some()
}

/// How many demands the smallest conflict has.
pub(crate) fn smallest_conflict(problem: &Problem) -> usize {
    let count = problem.demands.len();
    let mut sets: Vec<Vec<usize>> = (1u32..1 << count).map(|mask| (0..count).filter(|i| mask & (1 << i) != 0).collect()).collect();
    sets.sort_by_key(Vec::len);
    sets.iter().find(|set| !meets(problem, set)).map_or(0, Vec::len)
}

fn search(problem: &Problem, wanted: &[usize], any: bool) -> Option<i64> {
    let mut best = None;
    for base in 0..problem.bases.len() {
        let mut counts = vec![0u32; problem.modules.len()];
        loop {
            if fits(problem, base, &counts) {
                let modules: i64 = counts
                    .iter()
                    .zip(&problem.modules)
                    .map(|(n, m)| i64::from(*n) * (thousandths(m.cost) + thousandths(m.minutes * problem.per_minute)))
                    .sum();
                let mut tried = Tried { problem, wanted, base, counts: &counts, landed: Vec::new(), best: None, any };
                tried.next(0);
                if let Some(landings) = tried.best {
                    let cost = thousandths(problem.bases[base].cost) + modules + landings;
                    best = Some(best.map_or(cost, |b: i64| b.min(cost)));
                    if any {
                        return best;
                    }
                }
            }
            let Some(at) = (0..counts.len()).find(|i| counts[*i] < problem.modules[*i].limit) else { break };
            counts[at] += 1;
            counts[..at].fill(0);
        }
    }
    best
}

/// Every module in some slot, tried in every order; and no exclusion broken.
fn fits(problem: &Problem, base: usize, counts: &[u32]) -> bool {
    let there = |m: usize| counts[m] > 0;
    for (at, module) in problem.modules.iter().enumerate() {
        if there(at) && module.excludes.iter().any(|o| *o != at && there(*o)) {
            return false;
        }
    }
    let copies: Vec<usize> = (0..counts.len()).flat_map(|m| vec![m; counts[m] as usize]).collect();
    let mut free = problem.bases[base].slots.clone();
    seat(problem, &copies, &mut free)
}

fn seat(problem: &Problem, copies: &[usize], free: &mut Vec<usize>) -> bool {
    let Some((first, rest)) = copies.split_first() else { return true };
    for at in 0..free.len() {
        if problem.modules[*first].fits.contains(&free[at]) {
            let slot = free.remove(at);
            let done = seat(problem, rest, free);
            free.insert(at, slot);
            if done {
                return true;
            }
        }
    }
    false
}

struct Tried<'t> {
    problem: &'t Problem,
    wanted: &'t [usize],
    base: usize,
    counts: &'t [u32],
    /// Point, copy and landing of each demand so far.
    landed: Vec<(usize, u32, usize)>,
    best: Option<i64>,
    any: bool,
}

impl Tried<'_> {
    fn next(&mut self, at: usize) {
        if self.any && self.best.is_some() {
            return;
        }
        let problem = self.problem;
        if at == self.wanted.len() {
            if self.pairs_stand() && self.commons_stand() {
                let cost = self.landed.iter().zip(self.wanted).map(|((.., l), d)| thousandths(problem.demands[*d].landings[*l].cost)).sum();
                self.best = Some(self.best.map_or(cost, |b| b.min(cost)));
            }
            return;
        }
        for (l, landing) in problem.demands[self.wanted[at]].landings.iter().enumerate() {
            let point = &problem.points[landing.point];
            let copies = match point.home {
                Home::Base(base) => u32::from(base == self.base),
                Home::Module(module) => self.counts[module],
            };
            for copy in 0..copies {
                let used = self.landed.iter().filter(|(p, c, _)| *p == landing.point && *c == copy).count();
                if used < point.capacity as usize {
                    self.landed.push((landing.point, copy, l));
                    self.next(at + 1);
                    self.landed.pop();
                }
            }
        }
    }

    fn pairs_stand(&self) -> bool {
        let problem = self.problem;
        let mut pairs: BTreeMap<u32, Vec<(usize, u32)>> = BTreeMap::new();
        for ((point, copy, _), demand) in self.landed.iter().zip(self.wanted) {
            if let Some(pair) = problem.demands[*demand].pair {
                pairs.entry(pair).or_default().push((*point, *copy));
            }
        }
        pairs.values().filter(|list| list.len() == 2).all(|list| {
            let (a, b) = (&problem.points[list[0].0], &problem.points[list[1].0]);
            list[0].0 != list[1].0 && list[0].1 == list[1].1 && a.home == b.home && a.pair.is_some() && a.pair == b.pair
        })
    }

    fn commons_stand(&self) -> bool {
        let mut carried: BTreeMap<(Home, u32, u32), u32> = BTreeMap::new();
        self.landed.iter().zip(self.wanted).all(|((point, copy, landing), demand)| {
            let of = &self.problem.points[*point];
            match (of.group, self.problem.demands[*demand].landings[*landing].common) {
                (Some(group), Some(common)) => *carried.entry((of.home, *copy, group)).or_insert(common) == common,
                _ => true,
            }
        })
    }
}
