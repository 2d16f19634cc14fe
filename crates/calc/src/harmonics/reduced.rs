//! One conduction pattern as a linear system: which currents may flow, how they and the DC voltage move, and what ends the
//! pattern.

use super::mode::{BridgeMode, Change, Leg, Modes};
use super::network::{DC, Network, OF_BRIDGE, W};

/// Independent currents (at most three of each bridge) and the DC voltage.
pub(super) const Y: usize = 7;

/// A value along a pattern: a sum of states, a constant, and cos θ and sin θ.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Affine {
    pub(super) state: [f64; Y],
    pub(super) one: f64,
    pub(super) cos: f64,
    pub(super) sin: f64,
}

impl Affine {
    pub(super) fn add(mut self, other: &Self, factor: f64) -> Self {
        for (a, b) in self.state.iter_mut().zip(other.state) {
            *a += factor * b;
        }
        self.one += factor * other.one;
        self.cos += factor * other.cos;
        self.sin += factor * other.sin;
        self
    }

    fn plus(mut self, constant: f64) -> Self {
        self.one += constant;
        self
    }
}

/// What ends a pattern: `value` above zero.
#[derive(Clone, Debug)]
pub(super) struct Event {
    pub(super) value: Affine,
    pub(super) change: Change,
    /// Below this it is a rounding error.
    pub(super) noise: f64,
}

/// The linear system of one pattern: dy/dθ = rows(y, θ).
#[derive(Clone, Debug)]
pub(super) struct Reduced {
    pub(super) modes: Modes,
    /// States in use: independent currents, then the DC voltage if there is a capacitor.
    pub(super) n: usize,
    pub(super) rows: [Affine; Y],
    /// Every coordinate out of the states.
    pub(super) currents: [Affine; W],
    /// DC voltage at the load.
    pub(super) v: Affine,
    pub(super) events: Vec<Event>,
    reads: [(usize, f64); Y],
    has_capacitor: bool,
}

/// The currents that a pattern lets flow, and the coordinate that each is read from.
struct Basis {
    columns: Vec<[f64; W]>,
    reads: Vec<(usize, f64)>,
}

impl Basis {
    fn new(net: &Network, modes: &Modes) -> Self {
        let mut basis = Self { columns: Vec::with_capacity(Y), reads: Vec::with_capacity(Y) };
        let mut last_of_second = None;
        for (k, mode) in modes.iter().enumerate().take(net.bridges) {
            let o = OF_BRIDGE * k;
            let mut add = |parts: &[(usize, f64)], read: (usize, f64)| {
                let mut column = [0.0; W];
                for (at, share) in parts {
                    column[o + at] = *share;
                }
                basis.columns.push(column);
                basis.reads.push((o + read.0, read.1));
            };
            if mode.shorted {
                for p in 0..net.phases - 1 {
                    add(&[(p, 1.0), (net.phases - 1, -1.0)], (p, 1.0));
                }
                add(&[(DC, 1.0)], (DC, 1.0));
            } else {
                let on = |leg| (0..net.phases).filter(move |p| mode.legs[*p] == leg);
                match (on(Leg::Top).count(), on(Leg::Bottom).count()) {
                    (1, 1) => {
                        for (t, b) in on(Leg::Top).zip(on(Leg::Bottom)) {
                            add(&[(t, 1.0), (b, -1.0), (DC, 1.0)], (DC, 1.0));
                        }
                    }
                    (2, 1) => {
                        for t in on(Leg::Top) {
                            for b in on(Leg::Bottom) {
                                add(&[(t, 1.0), (b, -1.0), (DC, 1.0)], (t, 1.0));
                            }
                        }
                    }
                    (1, 2) => {
                        for b in on(Leg::Bottom) {
                            for t in on(Leg::Top) {
                                add(&[(t, 1.0), (b, -1.0), (DC, 1.0)], (b, -1.0));
                            }
                        }
                    }
                    _ => {}
                }
            }
            if k == 1 && !mode.is_off() {
                last_of_second = Some(basis.columns.len() - 1);
            }
        }
        if let (true, Some(m)) = (net.series, last_of_second) {
            basis.join_in_series(m);
        }
        basis
    }

    /// Takes out the column `m` so that both bridges carry the same DC current.
    fn join_in_series(&mut self, m: usize) {
        let taken = self.columns.remove(m);
        self.reads.remove(m);
        for column in &mut self.columns {
            let gap = column[DC] - column[OF_BRIDGE + DC];
            for (c, t) in column.iter_mut().zip(taken) {
                *c += gap * t;
            }
        }
    }
}

impl Reduced {
    /// The system of a pattern; `None` when its currents have no inductance in their way.
    pub(super) fn new(net: &Network, modes: &Modes) -> Option<Self> {
        let Basis { columns, reads } = Basis::new(net, modes);
        let nq = columns.len();
        let n = nq + usize::from(net.b > 0.0);
        let times = |m: &[[f64; W]; W], column: &[f64; W]| -> [f64; W] {
            std::array::from_fn(|i| m[i].iter().zip(column).map(|(a, b)| a * b).sum())
        };
        let xb: Vec<[f64; W]> = columns.iter().map(|c| times(&net.x, c)).collect();
        let rb: Vec<[f64; W]> = columns.iter().map(|c| times(&net.r, c)).collect();
        let dot = |a: &[f64; W], b: &[f64; W]| -> f64 { a.iter().zip(b).map(|(a, b)| a * b).sum() };

        let mut reduced = Self {
            modes: *modes,
            n,
            rows: [Affine::default(); Y],
            currents: [Affine::default(); W],
            v: Affine::default(),
            events: Vec::new(),
            reads: [(0, 0.0); Y],
            has_capacitor: net.b > 0.0,
        };
        reduced.reads[..nq].copy_from_slice(&reads);
        for (i, w) in reduced.currents.iter_mut().enumerate() {
            for (state, column) in w.state.iter_mut().zip(&columns) {
                *state = column[i];
            }
        }
        let dc = reduced.sum(&net.dc);
        // Forces on the independent currents, then their rates by the inductances.
        let mut drops = [0.0; W];
        for k in 0..net.bridges {
            drops[OF_BRIDGE * k + DC] = net.drop;
        }
        let mut mass = [[0.0; Y]; Y];
        let mut force = [Affine::default(); Y];
        for (i, column) in columns.iter().enumerate() {
            for j in 0..nq {
                mass[i][j] = dot(column, &xb[j]);
                force[i].state[j] = -dot(column, &rb[j]);
            }
            if net.b > 0.0 {
                force[i].state[nq] = -dot(column, &net.dc);
            }
            force[i].one = -dot(column, &drops);
            force[i].cos = dot(column, &net.cos);
            force[i].sin = dot(column, &net.sin);
        }
        solve(&mut mass, &mut force, nq)?;
        reduced.rows[..nq].copy_from_slice(&force[..nq]);
        if net.b > 0.0 {
            reduced.v.state[nq] = 1.0;
            let mut rate = Affine::default().add(&dc, net.b.recip()).plus(-net.drain.constant / net.b);
            rate.state[nq] -= net.drain.conductance / net.b;
            reduced.rows[nq] = rate;
        } else {
            reduced.v = Affine::default().add(&dc, net.bare_load);
        }
        // Voltages at the terminals of the bridges: source less what the impedances take.
        let terminals: [Affine; W] = std::array::from_fn(|i| {
            let mut u = Affine { cos: net.cos[i], sin: net.sin[i], ..Affine::default() };
            for q in 0..nq {
                u.state[q] -= rb[q][i];
                u = u.add(&reduced.rows[q], -xb[q][i]);
            }
            u
        });
        reduced.list_events(net, &terminals);
        Some(reduced)
    }

    /// A sum of coordinates.
    pub(super) fn sum(&self, shares: &[f64; W]) -> Affine {
        self.currents.iter().zip(shares).fold(Affine::default(), |sum, (w, share)| sum.add(w, *share))
    }

    /// The states of this pattern out of all coordinates and the DC voltage.
    pub(super) fn states(&self, w: &[f64; W], v: f64) -> [f64; Y] {
        let mut y = [0.0; Y];
        for (y, (at, sign)) in y.iter_mut().zip(self.reads) {
            *y = w[at] * sign;
        }
        if self.has_capacitor {
            y[self.n - 1] = v;
        }
        y
    }

    fn list_events(&mut self, net: &Network, terminals: &[Affine; W]) {
        let amps = 1e-10 * net.current_size;
        let volts = 1e-10 * net.voltage_size;
        let none = Affine::default();
        let current = |at: usize, sign: f64| none.add(&self.currents[at], sign);
        let gap = |from: usize, to: usize| terminals[to].add(&terminals[from], -1.0);
        let mut events = Vec::new();
        let mut end = |value, noise, change| events.push(Event { value, change, noise });
        for k in 0..net.bridges {
            let mode: &BridgeMode = &self.modes[k];
            let o = OF_BRIDGE * k;
            if mode.shorted {
                // With three phases, the positive currents sum up to the largest magnitude.
                for p in 0..net.phases {
                    for sign in [1.0, -1.0] {
                        end(current(o + p, sign).add(&self.currents[o + DC], -1.0), amps, Change::Release { bridge: k });
                    }
                }
                continue;
            }
            if mode.is_off() {
                continue;
            }
            for p in 0..net.phases {
                match mode.legs[p] {
                    Leg::Top => end(current(o + p, -1.0), amps, Change::Stop { bridge: k, phase: p }),
                    Leg::Bottom => end(current(o + p, 1.0), amps, Change::Stop { bridge: k, phase: p }),
                    Leg::Off => {
                        if let Some(t) = mode.first(Leg::Top) {
                            end(gap(o + t, o + p), volts, Change::Join { bridge: k, phase: p, leg: Leg::Top });
                        }
                        if let Some(b) = mode.first(Leg::Bottom) {
                            end(gap(o + p, o + b), volts, Change::Join { bridge: k, phase: p, leg: Leg::Bottom });
                        }
                    }
                }
            }
            if let (Some(t), Some(b)) = (mode.first(Leg::Top), mode.first(Leg::Bottom)) {
                end(gap(o + t, o + b), volts, Change::Short { bridge: k });
            }
        }
        // A bridge that blocks starts when a line voltage exceeds the DC side; two in series only together.
        let pairs: Vec<(usize, usize)> =
            (0..net.phases).flat_map(|t| (0..net.phases).map(move |b| (t, b))).filter(|(t, b)| t != b).collect();
        let ready = |k: usize, (t, b): (usize, usize)| {
            let o = OF_BRIDGE * k;
            gap(o + b, o + t).plus(-net.drop).add(&self.v, -net.dc[o + DC])
        };
        if net.series {
            if self.modes[0].is_off() {
                for first in &pairs {
                    for second in &pairs {
                        end(ready(0, *first).add(&ready(1, *second), 1.0), volts, Change::StartBoth { pairs: [*first, *second] });
                    }
                }
            }
        } else {
            for k in (0..net.bridges).filter(|k| self.modes[*k].is_off()) {
                for pair in &pairs {
                    end(ready(k, *pair), volts, Change::Start { bridge: k, pair: *pair });
                }
            }
        }
        self.events = events;
    }
}

/// Solves `mass · x = force` in place, rows of `force` being whole affine expressions; `None` when a pivot vanishes.
fn solve(mass: &mut [[f64; Y]; Y], force: &mut [Affine; Y], n: usize) -> Option<()> {
    for i in 0..n {
        let pivot = (i..n).max_by(|a, b| mass[*a][i].abs().total_cmp(&mass[*b][i].abs()))?;
        mass.swap(i, pivot);
        force.swap(i, pivot);
        let p = mass[i][i];
        if p.is_nan() || p.abs() <= f64::MIN_POSITIVE {
            return None;
        }
        for k in 0..n {
            if k != i {
                let factor = mass[k][i] / p;
                let row = mass[i];
                for (m, r) in mass[k].iter_mut().zip(row) {
                    *m -= factor * r;
                }
                force[k] = force[k].add(&force[i], -factor);
            }
        }
    }
    for i in 0..n {
        force[i] = Affine::default().add(&force[i], mass[i][i].recip());
    }
    Some(())
}
