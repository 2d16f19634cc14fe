//! Walks a circuit through its conduction patterns, exactly between the switching instants.
//!
//! Within a pattern the circuit is linear: dy/dθ = A·y + b₀ + b₁·cos θ + b₂·sin θ. Its solution is the exponential series of
//! the system, summed to the last digit; a step is as long as the series of fixed length allows, so that its length trades
//! nothing of the accuracy. The series is a polynomial in θ: switching instants are its roots, bracketed and closed in on.

use super::mode::State;
use super::network::{Network, W};
use super::reduced::{Affine, Reduced, Y};
use crate::registry::Refusal;

/// Terms of the series beyond the first.
pub(super) const ORDER: usize = 24;
/// The last terms are below this share of the sizes.
const ROUNDING: f64 = 1e-15;
/// Places of a step at which events are looked for; between them a turn of the curve is looked for.
const LOOKS: usize = 6;
/// Patterns within one section: a bridge has at most a dozen, two bridges twice that; more means rattling.
const PATTERNS: usize = 200;
/// Steps of series in one calculation: a fraction of a second; a sensible circuit takes some hundred.
const STEPS: usize = 200_000;

/// A polynomial in the angle since the step's start.
pub(super) type Series = [f64; ORDER + 1];

/// Value of a series.
pub(super) fn at(series: &Series, x: f64) -> f64 {
    series.iter().rev().fold(0.0, |sum, c| sum * x + c)
}

/// Value and slope of a series.
fn slope_at(series: &Series, x: f64) -> (f64, f64) {
    series.iter().rev().fold((0.0, 0.0), |(value, slope), c| (value * x + c, slope * x + value))
}

/// The solution over one step.
#[derive(Debug)]
pub(super) struct Step<'r> {
    pub(super) pattern: &'r Reduced,
    /// Angle at its start.
    pub(super) start: f64,
    /// Its length.
    pub(super) length: f64,
    states: [Series; Y],
    cos: Series,
    sin: Series,
}

impl<'r> Step<'r> {
    fn new(pattern: &'r Reduced, y: &[f64; Y], start: f64, longest: f64, sizes: &[f64; Y]) -> Self {
        let mut step =
            Self { pattern, start, length: longest, states: [[0.0; ORDER + 1]; Y], cos: [0.0; ORDER + 1], sin: [0.0; ORDER + 1] };
        let (mut c, mut s, mut next) = (start.cos(), start.sin(), 1.0);
        for (cos, sin) in step.cos.iter_mut().zip(&mut step.sin) {
            (*cos, *sin) = (c, s);
            (c, s) = (-s / next, c / next);
            next += 1.0;
        }
        let n = pattern.n;
        for (series, y) in step.states.iter_mut().zip(y).take(n) {
            series[0] = *y;
        }
        let mut next = 1.0;
        for k in 0..ORDER {
            for i in 0..n {
                let row = &pattern.rows[i];
                let mut rate = row.cos * step.cos[k] + row.sin * step.sin[k];
                if k == 0 {
                    rate += row.one;
                }
                for j in 0..n {
                    rate += row.state[j] * step.states[j][k];
                }
                step.states[i][k + 1] = rate / next;
            }
            next += 1.0;
        }
        // The series of cos and sin themselves bound the step too.
        let tail = |k: usize| (0..n).map(|i| step.states[i][k].abs() / sizes[i]).fold(step.cos[k].abs().max(step.sin[k].abs()), f64::max);
        for (k, power) in [(ORDER - 1, 1.0 / 23.0), (ORDER, 1.0 / 24.0)] {
            let tail = tail(k);
            if tail > 0.0 {
                step.length = step.length.min((ROUNDING / tail).powf(power));
            }
        }
        step
    }

    /// The series of any value of this pattern.
    pub(super) fn series(&self, value: &Affine) -> Series {
        let mut out = [0.0; ORDER + 1];
        for (j, share) in value.state.iter().enumerate().take(self.pattern.n) {
            if *share != 0.0 {
                for (o, c) in out.iter_mut().zip(&self.states[j]) {
                    *o += share * c;
                }
            }
        }
        for ((o, c), s) in out.iter_mut().zip(&self.cos).zip(&self.sin) {
            *o += value.cos * c + value.sin * s;
        }
        out[0] += value.one;
        out
    }

    fn states_at(&self, x: f64) -> [f64; Y] {
        let mut y = [0.0; Y];
        for (y, series) in y.iter_mut().zip(&self.states).take(self.pattern.n) {
            *y = at(series, x);
        }
        y
    }

    fn coordinates_at(&self, x: f64, modes: super::mode::Modes) -> State {
        let mut w = [0.0; W];
        let y = self.states_at(x);
        let sum = |value: &Affine| value.state.iter().zip(y).map(|(a, b)| a * b).sum::<f64>();
        for (w, current) in w.iter_mut().zip(&self.pattern.currents) {
            *w = sum(current);
        }
        State { modes, w, v: sum(&self.pattern.v) }
    }

    /// The first place in the step at which `value` gets above zero.
    fn rises(&self, value: &Series, noise: f64) -> Option<f64> {
        let (mut low, (first, mut slope)) = (0.0, (value[0], value[1]));
        if first > noise {
            return Some(0.0);
        }
        for look in 1..=LOOKS {
            #[expect(clippy::cast_precision_loss, reason = "a handful")]
            let high = self.length * look as f64 / LOOKS as f64;
            let (there, slope_there) = slope_at(value, high);
            if there > noise {
                return Some(root(value, low, high));
            }
            if slope > 0.0 && slope_there < 0.0 {
                let top = summit(value, low, high);
                if at(value, top) > noise {
                    return Some(root(value, low, top));
                }
            }
            (low, slope) = (high, slope_there);
        }
        None
    }

    /// Largest and smallest value within the step.
    pub(super) fn extremes(&self, value: &Series) -> (f64, f64) {
        let (mut largest, mut smallest) = (value[0], value[0]);
        let (mut low, mut slope) = (0.0, value[1]);
        let negative = value.map(|c| -c);
        for look in 1..=LOOKS {
            #[expect(clippy::cast_precision_loss, reason = "a handful")]
            let high = self.length * look as f64 / LOOKS as f64;
            let (there, slope_there) = slope_at(value, high);
            let mut take = |v: f64| (largest, smallest) = (largest.max(v), smallest.min(v));
            take(there);
            if slope > 0.0 && slope_there < 0.0 {
                take(at(value, summit(value, low, high)));
            } else if slope < 0.0 && slope_there > 0.0 {
                take(at(value, summit(&negative, low, high)));
            }
            (low, slope) = (high, slope_there);
        }
        (largest, smallest)
    }
}

/// Zero of a series that is not above zero at `low` and above it at `high`: Newton kept inside the bracket.
fn root(series: &Series, mut low: f64, mut high: f64) -> f64 {
    if series_above(series, low) {
        return low;
    }
    let mut x = 0.5 * (low + high);
    for _ in 0..80 {
        let (value, slope) = slope_at(series, x);
        if value > 0.0 {
            high = x
        } else {
            low = x
        }
        let newton = x - value / slope;
        let next = if newton > low && newton < high { newton } else { 0.5 * (low + high) };
        if (next - x).abs() <= 4.0 * f64::EPSILON * x.abs() || high - low <= 4.0 * f64::EPSILON * high.abs() {
            return next;
        }
        x = next;
    }
    x
}

fn series_above(series: &Series, x: f64) -> bool {
    at(series, x) > 0.0
}

/// Highest point of a series that rises at `low` and falls at `high`, by halving.
fn summit(series: &Series, mut low: f64, mut high: f64) -> f64 {
    for _ in 0..50 {
        let middle = 0.5 * (low + high);
        if slope_at(series, middle).1 > 0.0 { low = middle } else { high = middle }
    }
    0.5 * (low + high)
}

/// A circuit under way, with the patterns that it met.
pub(super) struct Walker<'n> {
    pub(super) net: &'n Network,
    patterns: Vec<Reduced>,
    /// Steps taken so far, earlier walks of the same calculation included.
    pub(super) steps: usize,
}

impl<'n> Walker<'n> {
    pub(super) fn new(net: &'n Network, steps: usize) -> Self {
        Self { net, patterns: Vec::new(), steps }
    }

    /// The linear system of the state's pattern.
    pub(super) fn pattern(&mut self, state: &State) -> Result<&Reduced, Refusal> {
        let index = self.index(state)?;
        Ok(&self.patterns[index])
    }

    fn index(&mut self, state: &State) -> Result<usize, Refusal> {
        if let Some(index) = self.patterns.iter().position(|p| p.modes == state.modes) {
            return Ok(index);
        }
        let reduced = Reduced::new(self.net, &state.modes)
            .ok_or_else(|| Refusal::new("a path of the circuit has no inductance; give the source, the reactor or the choke one"))?;
        self.patterns.push(reduced);
        Ok(self.patterns.len() - 1)
    }

    /// Tolerances are shares of these.
    fn sizes(&self, pattern: &Reduced) -> [f64; Y] {
        let mut sizes = [self.net.current_size; Y];
        if self.net.b > 0.0 {
            sizes[pattern.n - 1] = self.net.voltage_size;
        }
        sizes
    }

    /// Walks from `start` over `angle` and shows every step.
    ///
    /// # Errors
    /// When the DC voltage falls below nothing, or the diodes switch without end.
    pub(super) fn walk(&mut self, mut state: State, start: f64, angle: f64, mut see: impl FnMut(&Step<'_>)) -> Result<State, Refusal> {
        let mut passed = 0.0;
        let mut patterns = 0;
        while angle - passed > 1e-13 * angle {
            let index = self.index(&state)?;
            let sizes = self.sizes(&self.patterns[index]);
            let pattern = &self.patterns[index];
            let y = pattern.states(&state.w, state.v);
            self.steps += 1;
            if self.steps > STEPS || y.iter().any(|v| !v.is_finite()) {
                return Err(Refusal::new("no end in sight: the circuit's time constants lie too far apart for the supply's cycle"));
            }
            let mut step = Step::new(pattern, &y, start + passed, angle - passed, &sizes);
            if step.length.is_nan() || step.length <= 0.0 {
                return Err(Refusal::new("the values lie too far apart for this calculation"));
            }
            let mut change = None;
            for event in &pattern.events {
                let value = step.series(&event.value);
                if let Some(x) = step.rises(&value, event.noise) {
                    step.length = x;
                    change = Some(event.change);
                    if x <= 0.0 {
                        break;
                    }
                }
            }
            if step.length > 0.0 {
                see(&step);
            }
            passed += step.length;
            state = step.coordinates_at(step.length, state.modes);
            if state.v < -1e-6 * self.net.voltage_size {
                return Err(Refusal::new("the load takes more than this source can give: the DC voltage breaks down"));
            }
            if let Some(change) = change {
                patterns += 1;
                if patterns > PATTERNS {
                    return Err(Refusal::new(
                        "the diodes switch without end in one part of the cycle; the values are not those of a plant",
                    ));
                }
                state = state.after(change, self.net);
            }
        }
        Ok(state)
    }
}
