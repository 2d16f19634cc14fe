//! The search: branch and bound for a good layout, all orders of corner places where that finds none, and then a few units
//! at a time placed anew.

use super::candidates::{Candidate, Seat, bound};
use super::{Cost, Layout, Outcome, Task, Why, Wish};
use crate::enclosure::fit::{Point, Rect, Sides, Spot, Tenths, cut};
use crate::enclosure::holes::OldHoles;

/// The maximal rectangles of free places: of each unit, in each of its turns.
type FreePlaces = Vec<Vec<Vec<Rect>>>;

/// Nodes spent on placing up to three units anew before others are tried.
const NODES_ANEW: usize = 30;

struct Search<'t> {
    task: &'t Task<'t>,
    old: OldHoles,
    /// By unit, then by turn.
    seats: Vec<Vec<Seat>>,
    /// Units, large ones first.
    order: Vec<usize>,
    /// The least that the units from this step of `order` on cost.
    rest: Vec<Cost>,
    /// How far cables may differ without mattering.
    slack: Tenths,
    nodes: usize,
    limit: usize,
    corners_only: bool,
    spots: Vec<Option<Spot>>,
    best: Option<(Cost, Vec<Spot>)>,
}

pub(super) fn search(task: &Task<'_>) -> Outcome {
    let seats: Vec<Vec<Seat>> = task.wishes.iter().map(|w| w.unit.stances().map(|s| Seat::new(task, w, s)).collect()).collect();
    let free: FreePlaces = task
        .wishes
        .iter()
        .zip(&seats)
        .map(|(w, seats)| seats.iter().map(|s| s.stance.free(task.plate, &w.unit, task.obstacles)).collect())
        .collect();
    if let Some(alone) = free.iter().position(|turns| turns.iter().all(Vec::is_empty)) {
        return Outcome::Impossible(Why::Alone(alone));
    }
    let size = |i: &usize| {
        let zone = task.wishes[*i].unit.zone(Spot::default());
        -(zone.right - zone.left).get() * (zone.top - zone.bottom).get()
    };
    let mut order: Vec<usize> = (0..task.wishes.len()).collect();
    order.sort_by_key(size);
    let mut search = Search {
        task,
        old: OldHoles::new(task.old_holes),
        slack: seats.iter().filter_map(|s| s.first()).map(Seat::slack).sum(),
        seats,
        rest: Vec::new(),
        order,
        nodes: 0,
        limit: task.nodes.div_ceil(8),
        corners_only: false,
        spots: vec![None; task.wishes.len()],
        best: None,
    };
    search.rest = search.bounds(&search.order, &free);
    let shown = search.descend(0, &free, Cost::default()) && search.best.is_some();
    if !shown {
        search.pack(&free);
    }
    if search.best.is_none() {
        search.limit = task.nodes.saturating_sub(task.nodes / 4);
        let finished = search.all_orders(&free, Cost::default());
        if search.best.is_none() && finished && keep_apart_as_rectangles(task.wishes) {
            return Outcome::Impossible(Why::Together);
        }
    }
    if !shown {
        search.improve(&free);
    }
    match search.best {
        Some((cost, spots)) => Outcome::Placed(Layout { spots, cost, best: shown }),
        None => Outcome::NotFound { nodes: search.nodes },
    }
}

impl Search<'_> {
    /// Packs the units corner to corner in the order in which their cables would have them, from the left: what tight rows need.
    fn pack(&mut self, free: &FreePlaces) {
        let mut order = self.order.clone();
        order.sort_by_key(|unit| self.seats[*unit].first().and_then(|seat| seat.median));
        let rest = self.bounds(&order, free);
        let (order, rest) = (std::mem::replace(&mut self.order, order), std::mem::replace(&mut self.rest, rest));
        self.limit = self.nodes + self.task.nodes.div_ceil(8);
        self.corners_only = true;
        self.descend(0, free, Cost::default());
        self.corners_only = false;
        (self.order, self.rest) = (order, rest);
    }

    /// Places the units from `step` on; false when the nodes ran out.
    fn descend(&mut self, step: usize, free: &FreePlaces, cost: Cost) -> bool {
        let Some(&unit) = self.order.get(step) else {
            self.take(cost);
            return true;
        };
        if self.nodes >= self.limit {
            return false;
        }
        self.nodes += 1;
        for candidate in self.candidates(unit, &free[unit]) {
            let with = cost + candidate.cost;
            if self.best.as_ref().is_some_and(|(best, _)| !self.better(with + self.rest[step + 1], *best)) {
                break; // Candidates come in order of cost.
            }
            let Some(left) = self.after(unit, candidate.spot, free) else { continue };
            self.spots[unit] = Some(candidate.spot);
            let finished = self.descend(step + 1, &left, with);
            self.spots[unit] = None;
            if !finished {
                return false;
            }
        }
        true
    }

    /// Every order over the lower left corners of free rectangles, until one layout is found; false when the nodes ran out.
    fn all_orders(&mut self, free: &FreePlaces, cost: Cost) -> bool {
        if self.spots.iter().all(Option::is_some) {
            self.take(cost);
            return true;
        }
        if self.nodes >= self.limit {
            return false;
        }
        self.nodes += 1;
        for step in 0..self.order.len() {
            let unit = self.order[step];
            // Of units alike, the first one left stands for all.
            let twin = |other: &usize| self.spots[*other].is_none() && same_room(&self.task.wishes[*other], &self.task.wishes[unit]);
            if self.spots[unit].is_some() || self.order[..step].iter().any(twin) {
                continue;
            }
            let mut spots: Vec<(Point, usize)> =
                free[unit].iter().enumerate().flat_map(|(turn, rects)| rects.iter().map(move |r| (r.corner(), turn))).collect();
            spots.sort_unstable();
            spots.dedup();
            for (at, turn) in spots {
                let seat = &self.seats[unit][turn];
                let (spot, more) = (Spot { turn: seat.stance.turn, at }, seat.cost(at, &self.old));
                let Some(left) = self.after(unit, spot, free) else { continue };
                self.spots[unit] = Some(spot);
                let finished = self.all_orders(&left, cost + more);
                self.spots[unit] = None;
                if !finished || self.best.is_some() {
                    return finished;
                }
            }
        }
        true
    }

    /// Betters the layout found: takes one, two or three units out and places them anew among the others, as long as that helps
    /// and nodes are left.
    fn improve(&mut self, free: &FreePlaces) {
        let units = self.order.len();
        let sets = move |size: usize| {
            let triples = (0..units).flat_map(move |a| (a..units).flat_map(move |b| (b..units).map(move |c| [a, b, c])));
            // A single is a unit named three times, a pair one whose first is named twice.
            triples.filter(move |[a, b, c]| (a == b, b == c) == (size < 3, size < 2))
        };
        let mut last = None;
        while let Some((cost, _)) = self.best
            && last.is_none_or(|l: Cost| cost.rank() < l.rank())
        {
            last = Some(cost);
            for set in (1..=3).flat_map(sets) {
                if self.nodes >= self.task.nodes {
                    return;
                }
                self.place_anew(&set, free);
            }
        }
    }

    /// Places the units of `set` anew where the layout found leaves room for them.
    fn place_anew(&mut self, set: &[usize], free: &FreePlaces) {
        let Some((_, spots)) = self.best.clone() else { return };
        let mut cost = Cost::default();
        let mut left = free.clone();
        self.spots = (0..spots.len()).map(|unit| (!set.contains(&unit)).then_some(spots[unit])).collect();
        for (unit, spot) in spots.iter().enumerate().filter(|(unit, _)| !set.contains(unit)) {
            let seat = self.seats[unit].iter().find(|seat| seat.stance.turn == spot.turn);
            cost = cost + seat.map_or(Cost::default(), |seat| seat.cost(spot.at, &self.old));
            // There is a place for each: the one that the layout has.
            left = self.after(unit, *spot, &left).unwrap_or(left);
        }
        let order: Vec<usize> = self.order.iter().copied().filter(|unit| set.contains(unit)).collect();
        let rest = self.bounds(&order, &left);
        let (order, rest) = (std::mem::replace(&mut self.order, order), std::mem::replace(&mut self.rest, rest));
        self.limit = (self.nodes + NODES_ANEW).min(self.task.nodes);
        self.descend(0, &left, cost);
        (self.order, self.rest) = (order, rest);
        self.spots.fill(None);
    }

    /// The least that the units of `order` from each step on cost.
    fn bounds(&self, order: &[usize], free: &FreePlaces) -> Vec<Cost> {
        let mut rest = vec![Cost::default(); order.len() + 1];
        for (step, unit) in order.iter().enumerate().rev() {
            rest[step] = rest[step + 1] + bound(&self.seats[*unit], &free[*unit]);
        }
        rest
    }

    fn take(&mut self, cost: Cost) {
        let spots: Vec<Spot> = self.spots.iter().map(|spot| spot.unwrap_or_default()).collect();
        if self.best.as_ref().is_none_or(|(best, _)| cost.rank() < best.rank()) {
            self.best = Some((cost, spots));
        }
    }

    /// Whether `bound` leaves room for a layout that is better than `best` by more than the slack of cables.
    fn better(&self, bound: Cost, best: Cost) -> bool {
        Cost { cable: bound.cable + self.slack, ..bound }.rank() < best.rank()
    }

    fn candidates(&self, unit: usize, free: &[Vec<Rect>]) -> Vec<Candidate> {
        let mut list = Vec::new();
        for (seat, free) in self.seats[unit].iter().zip(free) {
            let mut points = if self.corners_only { free.iter().map(Rect::corner).collect() } else { seat.points(free) };
            points.sort_unstable();
            points.dedup();
            list.extend(
                points.iter().map(|at| Candidate { cost: seat.cost(*at, &self.old), spot: Spot { turn: seat.stance.turn, at: *at } }),
            );
        }
        list.sort_unstable_by_key(|c| (c.cost.rank(), c.spot));
        list
    }

    /// What is left to the others when `unit` stands at `spot`; `None` when one of them is left without a place.
    fn after(&self, unit: usize, spot: Spot, free: &FreePlaces) -> Option<FreePlaces> {
        let placed = &self.task.wishes[unit].unit;
        let (body, zone) = (placed.body(spot), placed.zone(spot));
        let mut left = Vec::with_capacity(free.len());
        for (other, turns) in free.iter().enumerate() {
            if other == unit || self.spots[other].is_some() {
                left.push(Vec::new());
                continue;
            }
            let share = placed.shares_air && self.task.wishes[other].unit.shares_air;
            let mut turns = turns.clone();
            for (seat, free) in self.seats[other].iter().zip(&mut turns) {
                let stance = &seat.stance;
                if share {
                    cut(free, &stance.forbidden(&zone, Sides::default()));
                    cut(free, &stance.forbidden(&body, stance.clear));
                } else {
                    cut(free, &stance.forbidden(&zone, stance.clear));
                }
            }
            if turns.iter().all(Vec::is_empty) {
                return None;
            }
            left.push(turns);
        }
        Some(left)
    }
}

/// Whether two wishes take the same room, so that swapping them changes nothing.
fn same_room(a: &Wish, b: &Wish) -> bool {
    let plain = |w: &Wish| {
        let u = &w.unit;
        (u.width, u.height, u.depth, u.front, u.clear, u.may_turn, u.shares_air, u.stand_off)
    };
    plain(a) == plain(b)
}

/// Whether every pair of units keeps apart as two rectangles do: see [`super::place`].
pub(super) fn keep_apart_as_rectangles(wishes: &[Wish]) -> bool {
    let sharing = wishes.iter().filter(|w| w.unit.shares_air).count();
    if sharing <= 1 {
        return true;
    }
    let mut clears = wishes.iter().flat_map(|w| w.unit.stances().map(|s| s.clear));
    let Some(first) = clears.next() else { return true };
    sharing == wishes.len() && clears.all(|c| c == first) && (first.left == first.right || first.above == first.below)
}
