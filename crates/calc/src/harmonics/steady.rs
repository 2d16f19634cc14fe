//! The periodic steady state: the state that a section of the cycle maps onto itself.
//!
//! A section is a sixth of a cycle with three phases and half a cycle with two: then everything repeats with names and
//! signs changed. The map over a section is marched until its pattern settles and then solved with Newton's method
//! (Jacobian by differences); where that does not close in, marching goes on until nothing moves any more.

use std::f64::consts::{FRAC_PI_3, PI};

use super::mode::{BridgeMode, State};
use super::network::{Network, W};
use super::reduced::Y;
use super::walk::{Step, Walker};
use crate::registry::Refusal;

/// Sections marched before the first try at Newton's method: two cycles of three phases.
const SETTLE: usize = 12;
/// Sections marched between two tries, and at most.
const BETWEEN: usize = 6;
const MARCH: usize = 4_000;
/// Newton's steps in one try.
const NEWTON: usize = 8;
/// The state repeats within this share of its size.
const SAME: f64 = 1e-11;
/// What marching must come down to where Newton's method does not close in.
const SETTLED: f64 = 1e-9;
/// Change of a state for a column of the Jacobian, as a share of its size.
const NUDGE: f64 = 1e-6;
/// Where sections start, away from the instants that a six-pulse bridge switches at in most circuits.
const START: f64 = 0.21;

/// How the steady state was found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Found {
    /// By Newton's method on the state at a section's start.
    Newton,
    /// By marching until nothing moved.
    Marching,
}

/// The state at the start of a section, and the section.
#[derive(Clone, Copy, Debug)]
pub(super) struct Steady {
    pub(super) state: State,
    pub(super) start: f64,
    pub(super) section: f64,
    pub(super) found: Found,
}

/// The angle after which a network's currents repeat with names and signs changed.
pub(super) fn section(net: &Network) -> f64 {
    if net.phases == 3 { FRAC_PI_3 } else { PI }
}

/// Finds the steady state, from `guess` if there is one.
pub(super) fn steady(walker: &mut Walker<'_>, guess: Option<State>) -> Result<Steady, Refusal> {
    let net = walker.net;
    let section = section(net);
    let mut state = guess.unwrap_or(State {
        modes: [BridgeMode::OFF; 2],
        w: [0.0; W],
        v: if net.b > 0.0 { 0.95 * net.voltage_size * if net.series { 2.0 } else { 1.0 } } else { 0.0 },
    });
    let mut next_try = if guess.is_some() { 0 } else { SETTLE };
    for marched in 0..MARCH {
        if marched == next_try {
            if let Some(state) = newton(walker, state, section)? {
                return Ok(Steady { state, start: START, section, found: Found::Newton });
            }
            next_try = marched + BETWEEN;
        }
        let next = advance(walker, state, section)?;
        if next.modes == state.modes && distance(net, &next, &state) < SETTLED {
            return Ok(Steady { state: next, start: START, section, found: Found::Marching });
        }
        state = next;
    }
    Err(Refusal::new("the circuit does not settle into a steady state within 600 cycles; its damping is too small"))
}

fn advance(walker: &mut Walker<'_>, state: State, section: f64) -> Result<State, Refusal> {
    let net = walker.net;
    Ok(walker.walk(state, START, section, |_: &Step<'_>| ())?.turned(net))
}

fn distance(net: &Network, a: &State, b: &State) -> f64 {
    let currents = a.w.iter().zip(b.w).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max) / net.current_size;
    currents.max((a.v - b.v).abs() / net.voltage_size)
}

/// Newton's method on the states of the pattern at the section's start; `None` when the pattern changes on the way or
/// the residual does not close.
fn newton(walker: &mut Walker<'_>, state: State, section: f64) -> Result<Option<State>, Refusal> {
    let net = walker.net;
    let pattern = walker.pattern(&state)?;
    let n = pattern.n;
    let currents = pattern.currents;
    let dc = pattern.v;
    let mut sizes = [net.current_size; Y];
    if net.b > 0.0 && n > 0 {
        sizes[n - 1] = net.voltage_size;
    }
    let expand = |y: &[f64; Y]| {
        let sum = |shares: &[f64; Y]| shares.iter().zip(y).map(|(a, b)| a * b).sum::<f64>();
        let mut w = [0.0; W];
        for (w, current) in w.iter_mut().zip(&currents) {
            *w = sum(&current.state);
        }
        State { modes: state.modes, w, v: sum(&dc.state) }
    };
    let mut y = pattern.states(&state.w, state.v);
    let mut map = |y: &[f64; Y]| -> Option<[f64; Y]> {
        // A trial that leads nowhere ends the try, not the search.
        let next = advance(walker, expand(y), section).ok()?;
        (next.modes == state.modes).then(|| walker.pattern(&next).ok().map(|p| p.states(&next.w, next.v)))?
    };
    for _ in 0..NEWTON {
        let Some(there) = map(&y) else { return Ok(None) };
        let residual: [f64; Y] = std::array::from_fn(|i| there[i] - y[i]);
        if (0..n).all(|i| residual[i].abs() <= SAME * sizes[i]) {
            return Ok(Some(expand(&y)));
        }
        let mut system = [[0.0; Y + 1]; Y];
        for j in 0..n {
            let mut nudged = y;
            nudged[j] += NUDGE * sizes[j];
            let Some(there) = map(&nudged) else { return Ok(None) };
            for i in 0..n {
                system[i][j] = f64::from(u8::from(i == j)) - (there[i] - y[i] - residual[i]) / (NUDGE * sizes[j]);
            }
        }
        for i in 0..n {
            system[i][Y] = residual[i];
        }
        let Some(change) = solve(system, n) else { return Ok(None) };
        for i in 0..n {
            y[i] += change[i];
        }
    }
    Ok(None)
}

/// Solves a system of `n` rows whose last column is the right side.
pub(super) fn solve(mut system: [[f64; Y + 1]; Y], n: usize) -> Option<[f64; Y]> {
    for i in 0..n {
        let pivot = (i..n).max_by(|a, b| system[*a][i].abs().total_cmp(&system[*b][i].abs()))?;
        system.swap(i, pivot);
        let row = system[i];
        if row[i].is_nan() || row[i].abs() <= f64::MIN_POSITIVE {
            return None;
        }
        for (k, other) in system.iter_mut().enumerate().take(n) {
            if k != i {
                let factor = other[i] / row[i];
                for (o, r) in other.iter_mut().zip(row) {
                    *o -= factor * r;
                }
            }
        }
    }
    let mut x = [0.0; Y];
    for i in 0..n {
        x[i] = system[i][Y] / system[i][i];
    }
    Some(x)
}
