//! Which base with how many of which modules: branch and bound. A module that is not decided on counts as if as many as can be were there,
//! each landing paying its part of the price; no choice of modules is cheaper than that.

use super::landing::{Answer, Place, Question, exact, pairs_find_room, relaxed};
use super::{Allocation, Home, Landed, Placed, Problem, Spent, Work, thousandths};

/// The cheapest allocation of the wanted demands; `None` when they cannot be met together.
pub(super) fn cheapest(problem: &Problem, wanted: &[usize], work: &mut Work) -> Result<Option<Allocation>, Spent> {
    let found = look(problem, wanted, true, work)?;
    Ok(found.map(|found| found.allocation(problem, wanted)))
}

/// Whether the wanted demands can be met together.
pub(super) fn feasible(problem: &Problem, wanted: &[usize], work: &mut Work) -> Result<bool, Spent> {
    Ok(look(problem, wanted, false, work)?.is_some())
}

struct Found {
    cost: i64,
    base: usize,
    counts: Vec<u32>,
    slots: Vec<Placed>,
    answer: Answer,
}

fn look(problem: &Problem, wanted: &[usize], priced: bool, work: &mut Work) -> Result<Option<Found>, Spent> {
    let mut best: Option<Found> = None;
    for base in 0..problem.bases.len() {
        let mut search = Search { problem, wanted, priced, base, most: most(problem, wanted, base), best: best.take() };
        let mut counts = vec![None; problem.modules.len()];
        for (count, most) in counts.iter_mut().zip(&search.most) {
            if *most == 0 {
                *count = Some(0);
            }
        }
        if let Some(bound) = search.bound(&counts, work)? {
            search.descend(&mut counts, &bound, work)?;
        }
        best = search.best;
    }
    Ok(best)
}

/// How many of each module can serve on this base.
fn most(problem: &Problem, wanted: &[usize], base: usize) -> Vec<u32> {
    let serves = |module: usize| {
        let landings = wanted.iter().flat_map(|d| &problem.demands[*d].landings);
        landings.into_iter().any(|l| problem.points[l.point].home == Home::Module(module))
    };
    let slots = &problem.bases[base].slots;
    problem
        .modules
        .iter()
        .enumerate()
        .map(|(at, module)| {
            let mut fits: Vec<usize> = module.fits.iter().copied().filter(|s| slots.contains(s)).collect();
            fits.sort_unstable();
            fits.dedup();
            let room = u32::try_from(fits.len()).unwrap_or(u32::MAX).min(u32::try_from(wanted.len()).unwrap_or(u32::MAX));
            if serves(at) { room.min(module.limit) } else { 0 }
        })
        .collect()
}

struct Search<'p> {
    problem: &'p Problem,
    wanted: &'p [usize],
    priced: bool,
    base: usize,
    most: Vec<u32>,
    best: Option<Found>,
}

/// The least that a choice can cost, and how the demands would lie.
struct Bound {
    cost: i64,
    answer: Answer,
}

impl Search<'_> {
    fn ceiling(&self) -> i64 {
        self.best.as_ref().map_or(i64::MAX, |b| b.cost)
    }

    /// Cost of base and decided modules.
    fn fixed(&self, counts: &[Option<u32>]) -> i64 {
        if !self.priced {
            return 0;
        }
        let modules = counts.iter().enumerate().map(|(at, count)| self.problem.module_cost(at) * i64::from(count.unwrap_or(0)));
        thousandths(self.problem.bases[self.base].cost) + modules.sum::<i64>()
    }

    fn places(&self, counts: &[Option<u32>]) -> Vec<Place> {
        let mut places = Vec::new();
        for (at, point) in self.problem.points.iter().enumerate() {
            let (copies, share) = match point.home {
                Home::Base(base) => (u32::from(base == self.base), 0),
                Home::Module(module) => match counts[module] {
                    Some(count) => (count, 0),
                    None => (self.most[module], self.share(module)),
                },
            };
            for copy in 0..copies {
                for _ in 0..point.capacity.min(u32::try_from(self.wanted.len()).unwrap_or(u32::MAX)) {
                    places.push(Place { point: at, copy, share });
                }
            }
        }
        places
    }

    /// What each landing pays of the price of a module at the least: all that it takes share it.
    fn share(&self, module: usize) -> i64 {
        let of_it = self.problem.points.iter().filter(|p| p.home == Home::Module(module));
        let takes: i64 = of_it.map(|p| i64::from(p.capacity)).sum();
        self.problem.module_cost(module) / takes.max(1)
    }

    /// `None` when this choice, however it goes on, leads to nothing or to nothing cheaper.
    fn bound(&self, counts: &[Option<u32>], work: &mut Work) -> Result<Option<Bound>, Spent> {
        let fixed = self.fixed(counts);
        if fixed >= self.ceiling() || excluded(self.problem, counts) || slots(self.problem, self.base, counts).is_none() {
            return Ok(None);
        }
        let places = self.places(counts);
        let question = Question { problem: self.problem, wanted: self.wanted, places: &places, priced: self.priced };
        if !pairs_find_room(&question, work)? {
            return Ok(None);
        }
        let Some(answer) = relaxed(&question, work)? else { return Ok(None) };
        let cost = fixed + answer.cost;
        Ok((cost < self.ceiling()).then_some(Bound { cost, answer }))
    }

    fn descend(&mut self, counts: &mut Vec<Option<u32>>, bound: &Bound, work: &mut Work) -> Result<(), Spent> {
        if bound.cost >= self.ceiling() {
            return Ok(());
        }
        // The module that the bound would like to use; when it needs none, the choice may end here.
        let liked = bound.answer.landed.iter().find_map(|(place, _)| match self.problem.points[place.point].home {
            Home::Module(module) if counts[module].is_none() => Some(module),
            _ => None,
        });
        if liked.is_none() && self.settle(counts, bound, work)? {
            return Ok(());
        }
        let Some(module) = liked.or_else(|| counts.iter().position(Option::is_none)) else { return Ok(()) };
        let mut children = Vec::new();
        for count in 0..=self.most[module] {
            counts[module] = Some(count);
            if let Some(bound) = self.bound(counts, work)? {
                children.push((count, bound));
            }
        }
        // Without money, more is more likely to do.
        children.sort_by_key(|(count, bound)| (bound.cost, if self.priced { *count } else { u32::MAX - *count }));
        for (count, bound) in children {
            counts[module] = Some(count);
            self.descend(counts, &bound, work)?;
        }
        counts[module] = None;
        Ok(())
    }

    /// Takes what is decided as the whole choice; true when nothing below it can be cheaper.
    fn settle(&mut self, counts: &[Option<u32>], bound: &Bound, work: &mut Work) -> Result<bool, Spent> {
        let whole: Vec<Option<u32>> = counts.iter().map(|c| Some(c.unwrap_or(0))).collect();
        let Some(slots) = slots(self.problem, self.base, &whole) else { return Ok(false) };
        let (fixed, places) = (self.fixed(&whole), self.places(&whole));
        let question = Question { problem: self.problem, wanted: self.wanted, places: &places, priced: self.priced };
        let Some(answer) = exact(&question, self.ceiling().saturating_sub(fixed), work)? else { return Ok(false) };
        let cost = fixed + answer.cost;
        let counts = whole.iter().map(|c| c.unwrap_or(0)).collect();
        self.best = Some(Found { cost, base: self.base, counts, slots, answer });
        Ok(cost <= bound.cost)
    }
}

fn excluded(problem: &Problem, counts: &[Option<u32>]) -> bool {
    let there = |at: usize| counts[at].is_some_and(|c| c > 0);
    let mut pairs = problem.modules.iter().enumerate().flat_map(|(at, m)| m.excludes.iter().map(move |other| (at, *other)));
    pairs.any(|(a, b)| a != b && there(a) && there(b))
}

/// A slot for each copy of each decided module, by augmenting ways; `None` when they do not all fit.
fn slots(problem: &Problem, base: usize, counts: &[Option<u32>]) -> Option<Vec<Placed>> {
    let copies: Vec<usize> =
        counts.iter().enumerate().flat_map(|(at, count)| std::iter::repeat_n(at, count.unwrap_or(0) as usize)).collect();
    let mut taken: Vec<Option<usize>> = vec![None; problem.slots.len()];
    for copy in 0..copies.len() {
        let mut tried = vec![false; problem.slots.len()];
        if !place(problem, base, &copies, copy, &mut taken, &mut tried) {
            return None;
        }
    }
    let mut placed = vec![Placed::default(); copies.len()];
    for (slot, copy) in taken.iter().enumerate().filter_map(|(slot, copy)| copy.map(|c| (slot, c))) {
        placed[copy] = Placed { slot, module: copies[copy] };
    }
    Some(placed)
}

fn place(problem: &Problem, base: usize, copies: &[usize], copy: usize, taken: &mut [Option<usize>], tried: &mut [bool]) -> bool {
    let own = &problem.bases[base].slots;
    for &slot in problem.modules[copies[copy]].fits.iter().filter(|s| own.contains(s)) {
        if tried[slot] {
            continue;
        }
        tried[slot] = true;
        let free = match taken[slot] {
            None => true,
            Some(other) => place(problem, base, copies, other, taken, tried),
        };
        if free {
            taken[slot] = Some(copy);
            return true;
        }
    }
    false
}

impl Found {
    /// Copies of modules on which nothing is landed are there only where the search was without money; with money there is none unless it is free.
    fn allocation(self, problem: &Problem, wanted: &[usize]) -> Allocation {
        let at = |module: usize, copy: u32| -> usize {
            let before: u32 = self.counts[..module].iter().sum();
            (before + copy) as usize
        };
        let landings = wanted.iter().zip(&self.answer.landed).map(|(demand, (place, landing))| Landed {
            demand: *demand,
            landing: *landing,
            point: place.point,
            placed: match problem.points[place.point].home {
                Home::Base(_) => None,
                Home::Module(module) => Some(at(module, place.copy)),
            },
        });
        #[expect(clippy::cast_precision_loss, reason = "thousandths below 2⁵³")]
        let cost = self.cost as f64 / 1000.0;
        let minutes = self.slots.iter().map(|p| problem.modules[p.module].minutes).sum();
        Allocation { base: self.base, landings: landings.collect(), modules: self.slots, cost, minutes }
    }
}
