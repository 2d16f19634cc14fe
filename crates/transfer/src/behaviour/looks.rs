//! How units look in their nodes, as small numbers, and which steps between looks of a pair were judged already.

use rustc_hash::FxHashMap;

use super::graph::{Graph, NEVER};

/// How several units look in each node, as one small number.
pub(super) struct Looks {
    pub(super) of_nodes: Vec<u32>,
    /// For each number, what is seen of each unit.
    seen: Vec<Vec<u16>>,
}

impl Looks {
    /// Of units that go the same ways.
    pub(super) fn of(graphs: &[&Graph]) -> Self {
        let mut looks = Self { of_nodes: vec![0; graphs.first().map_or(0, |g| g.seen.len())], seen: vec![Vec::new()] };
        for graph in graphs {
            let mut numbers: FxHashMap<(u32, u16), u32> = FxHashMap::default();
            let mut seen: Vec<Vec<u16>> = Vec::new();
            for (look, now) in looks.of_nodes.iter_mut().zip(&graph.seen) {
                *look = *numbers.entry((*look, *now)).or_insert_with(|| {
                    let before = looks.seen.get(*look as usize).into_iter().flatten().copied();
                    seen.push(before.chain([*now]).collect());
                    #[expect(clippy::cast_possible_truncation, reason = "not more than nodes")]
                    let number = (seen.len() - 1) as u32;
                    number
                });
            }
            looks.seen = seen;
        }
        looks
    }

    /// How many different ones there are.
    pub(super) fn len(&self) -> usize {
        self.seen.len()
    }

    /// What is seen of one of the units.
    pub(super) fn seen(&self, look: u32, unit: usize) -> u16 {
        self.seen.get(look as usize).and_then(|s| s.get(unit)).copied().unwrap_or_default()
    }
}

/// Which steps were judged already: those that look alike find alike, and only the first of them counts. It is asked in every step of an
/// exploration, so that what is asked for lies close together and has one answer nearly always.
pub(super) struct Judged<F> {
    /// Whether a pair of units is apart with these looks.
    apart: F,
    /// Looks of the new side.
    width: usize,
    /// For each pair of looks, the row of steps that begin with it; [`NEVER`] before there is one. Few of all that could be are met.
    rows: Vec<u32>,
    /// For each pair of looks, the column of steps that end with it: the first for all with which nothing is apart; [`NEVER`] before.
    columns: Vec<u32>,
    /// How many rows and columns there are.
    met: [u32; 2],
    /// Row by row, for each column the events that were judged, as bits: all of them in the first column, where there is nothing to judge.
    events: Vec<u32>,
    stride: usize,
}

impl<F: Fn([u32; 2]) -> bool> Judged<F> {
    /// None yet. `apart`: whether any pair of units is, with these looks.
    pub(super) fn new(sides: &[Looks; 2], apart: F) -> Self {
        let width = sides[1].len();
        let none = vec![NEVER; sides[0].len() * width];
        Self { apart, width, rows: none.clone(), columns: none, met: [0, 1], events: Vec::new(), stride: 0 }
    }

    fn place(&self, looks: [u32; 2]) -> usize {
        looks[0] as usize * self.width + looks[1] as usize
    }

    /// The row of steps that begin with a pair of looks.
    pub(super) fn row(&mut self, looks: [u32; 2]) -> usize {
        let place = self.place(looks);
        if self.rows[place] == NEVER {
            self.rows[place] = self.met[0];
            self.met[0] += 1;
            self.make_room();
        }
        self.rows[place] as usize
    }

    /// The column of steps that end with a pair of looks.
    #[inline]
    pub(super) fn column(&mut self, looks: [u32; 2]) -> usize {
        let place = self.place(looks);
        match self.columns[place] {
            NEVER => self.meet(looks, place),
            column => column as usize,
        }
    }

    #[cold]
    fn meet(&mut self, looks: [u32; 2], place: usize) -> usize {
        let apart = (self.apart)(looks);
        self.columns[place] = if apart { self.met[1] } else { 0 };
        self.met[1] += u32::from(apart);
        self.make_room();
        self.columns[place] as usize
    }

    /// Whether a step has to be judged: something is apart after it, and none before looked like it.
    #[inline]
    pub(super) fn is_new(&mut self, row: usize, column: usize, event: u32) -> bool {
        let judged = &mut self.events[row * self.stride + column];
        let new = *judged >> event & 1 == 0;
        if new {
            *judged |= 1 << event;
        }
        new
    }

    /// A row for each that was met, and a column.
    fn make_room(&mut self) {
        let [rows, columns] = self.met.map(|met| met as usize);
        if columns > self.stride {
            let stride = (2 * self.stride).max(64);
            let mut events = vec![0; self.events.len() / self.stride.max(1) * stride];
            for (row, old) in events.chunks_exact_mut(stride).zip(self.events.chunks_exact(self.stride.max(1))) {
                row[..old.len()].copy_from_slice(old);
            }
            (self.events, self.stride) = (events, stride);
        }
        while self.events.len() < rows * self.stride {
            self.events.push(u32::MAX);
            self.events.resize(self.events.len() + self.stride - 1, 0);
        }
    }
}
