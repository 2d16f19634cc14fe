//! The currents of a steady state: Fourier coefficients in closed form over each step, means and powers.

use std::f64::consts::SQRT_2;

use plant::quantity::{Current, Ratio};

use super::network::{DC, Network, OF_BRIDGE, W};
use super::reduced::{Affine, Y};
use super::steady::{Steady, solve};
use super::walk::{Step, Walker, at};
use crate::registry::Refusal;

/// Highest order looked at, as IEEE 519 does.
pub const ORDERS: usize = 50;

/// Gauss–Legendre, 16 points: the positive half of the places and their weights. With the series of a step it is exact to
/// rounding.
const GAUSS: [(f64, f64); 8] = [
    (0.095_012_509_837_637_4, 0.189_450_610_455_068_5),
    (0.281_603_550_779_258_9, 0.182_603_415_044_923_6),
    (0.458_016_777_657_227_4, 0.169_156_519_395_002_5),
    (0.617_876_244_402_643_8, 0.149_595_988_816_576_7),
    (0.755_404_408_355_003, 0.124_628_971_255_533_9),
    (0.865_631_202_387_831_8, 0.095_158_511_682_492_8),
    (0.944_575_023_073_232_6, 0.062_253_523_938_647_9),
    (0.989_400_934_991_649_9, 0.027_152_459_411_754_1),
];

/// Rms currents of the orders 1 to 50.
#[derive(Clone, Debug, PartialEq)]
pub struct Spectrum {
    rms: [f64; ORDERS + 1],
}

impl Spectrum {
    /// From rms currents, the first of order 1; what is beyond the 50th is refused.
    ///
    /// # Errors
    /// More than 50 of them, none at all, or one that is no current.
    pub fn new(currents: &[Current]) -> Result<Self, Refusal> {
        let mut rms = [0.0; ORDERS + 1];
        if currents.is_empty() || currents.len() > ORDERS {
            return Err(Refusal::new(format!("a spectrum has 1 to {ORDERS} orders, not {}", currents.len())));
        }
        for (rms, current) in rms[1..].iter_mut().zip(currents) {
            *rms = current.in_a();
        }
        if rms.iter().any(|i| !(*i >= 0.0 && i.is_finite())) {
            return Err(Refusal::new("each current of a spectrum is zero or more"));
        }
        Ok(Self { rms })
    }

    /// The current of an order, rms; nothing beyond the 50th.
    #[must_use]
    pub fn order(&self, h: usize) -> Current {
        Current::a(self.rms.get(h).copied().unwrap_or(0.0))
    }

    /// The current of an order as a share of the first.
    #[must_use]
    pub fn share(&self, h: usize) -> Ratio {
        Ratio::of_one(self.order(h).in_a() / self.rms[1])
    }

    /// √(Σ I_h²) over the orders 2 to 50.
    #[must_use]
    pub fn harmonics(&self) -> Current {
        Current::a(self.rms[2..].iter().map(|i| i * i).sum::<f64>().sqrt())
    }

    /// Total harmonic distortion: the harmonics over the fundamental.
    #[must_use]
    pub fn thd(&self) -> Ratio {
        Ratio::of_one(self.harmonics().in_a() / self.rms[1])
    }
}

/// What the currents of one section come to. SI values.
#[derive(Clone, Debug)]
pub(super) struct Totals {
    /// Amplitudes of the first line's current, real and imaginary parts, source voltage at angle zero.
    pub(super) line: [(f64, f64); ORDERS + 1],
    pub(super) line_rms: f64,
    pub(super) line_peak: f64,
    pub(super) capacitor_rms: f64,
    pub(super) v_mean: f64,
    pub(super) v_high: f64,
    pub(super) v_low: f64,
    pub(super) dc_mean: f64,
    pub(super) load_power: f64,
    /// In resistances and diodes.
    pub(super) losses: f64,
    /// Least share of the section in which no bridge blocks.
    pub(super) conducting: f64,
}

impl Totals {
    pub(super) fn spectrum(&self) -> Spectrum {
        let mut rms = [0.0; ORDERS + 1];
        for (rms, (re, im)) in rms.iter_mut().zip(self.line).skip(1) {
            *rms = re.hypot(im) / SQRT_2;
        }
        Spectrum { rms }
    }
}

/// Walks the steady section once more and adds everything up.
pub(super) fn totals(walker: &mut Walker<'_>, steady: &Steady) -> Result<Totals, Refusal> {
    let net = walker.net;
    let mut t = Totals {
        line: [(0.0, 0.0); ORDERS + 1],
        line_rms: 0.0,
        line_peak: 0.0,
        capacitor_rms: 0.0,
        v_mean: 0.0,
        v_high: f64::MIN,
        v_low: f64::MAX,
        dc_mean: 0.0,
        load_power: 0.0,
        losses: 0.0,
        conducting: 0.0,
    };
    let mut parts = [[(0.0, 0.0); 3]; ORDERS + 1];
    let mut resonance = None;
    walker.walk(steady.state, steady.start, steady.section, |step| {
        add_means(net, step, &mut t);
        for h in orders(net) {
            match coefficients(net, step, h) {
                Some(more) => {
                    for (sum, more) in parts[h].iter_mut().zip(more) {
                        *sum = (sum.0 + more.0, sum.1 + more.1);
                    }
                }
                None => resonance = Some(h),
            }
        }
    })?;
    if let Some(h) = resonance {
        return Err(Refusal::new(format!("the circuit resonates without any damping at order {h}; give the source its resistance")));
    }
    for h in orders(net) {
        t.line[h] = whole_cycle(net, h, steady.section, &parts[h]);
    }
    for sum in [&mut t.v_mean, &mut t.dc_mean, &mut t.load_power, &mut t.losses, &mut t.conducting] {
        *sum /= steady.section;
    }
    t.line_rms = (t.line_rms / steady.section).sqrt();
    t.capacitor_rms = (t.capacitor_rms / steady.section).sqrt();
    Ok(t)
}

/// Orders that the symmetry of a section leaves: the others vanish exactly.
fn orders(net: &Network) -> impl Iterator<Item = usize> + use<> {
    let three = net.phases == 3;
    (1..=ORDERS).step_by(2).filter(move |h| !three || h % 3 != 0)
}

/// The amplitude of the first line over the cycle, out of the integrals over one section.
fn whole_cycle(net: &Network, h: usize, section: f64, parts: &[(f64, f64); 3]) -> (f64, f64) {
    // A section later the first line does what the next line does now, upside down.
    let mut sum = (0.0, 0.0);
    let sections = if net.phases == 3 { 6 } else { 2 };
    let mut sign = 1.0;
    let mut turn = 0.0f64;
    for k in 0..sections {
        let (re, im) = parts[if net.phases == 3 { k % 3 } else { 0 }];
        let (s, c) = (-turn).sin_cos();
        sum = (sum.0 + sign * (re * c - im * s), sum.1 + sign * (re * s + im * c));
        sign = -sign;
        #[expect(clippy::cast_precision_loss, reason = "an order up to 50")]
        let order = h as f64;
        turn += order * section;
    }
    (sum.0 / std::f64::consts::PI, sum.1 / std::f64::consts::PI)
}

/// ∫ i·e^(−j·h·θ) dθ of the three lines over a step: from (j·h − A)·F = ∫ b·e^(−j·h·θ) dθ − [y·e^(−j·h·θ)].
fn coefficients(net: &Network, step: &Step<'_>, order: usize) -> Option<[(f64, f64); 3]> {
    #[expect(clippy::cast_precision_loss, reason = "an order up to 50")]
    let h = order as f64;
    let (n, rows) = (step.pattern.n, &step.pattern.rows);
    if n == 0 {
        return Some([(0.0, 0.0); 3]);
    }
    let (from, to) = (step.start, step.start + step.length);
    let ((s0, c0), (s1, c1)) = ((h * from).sin_cos(), (h * to).sin_cos());
    // ∫ e^(j·m·θ) dθ
    let power = |m: f64| {
        if m.abs() < 0.5 {
            (step.length, 0.0)
        } else {
            let ((s0, c0), (s1, c1)) = ((m * from).sin_cos(), (m * to).sin_cos());
            ((s1 - s0) / m, (c0 - c1) / m)
        }
    };
    let (one, up, down) = (power(-h), power(1.0 - h), power(-1.0 - h));
    let cos = (0.5 * (up.0 + down.0), 0.5 * (up.1 + down.1));
    let sin = (0.5 * (up.1 - down.1), -0.5 * (up.0 - down.0));
    let mut right = [(0.0, 0.0); Y];
    for i in 0..n {
        let row = &rows[i];
        let (y0, y1) = (step.state(i, 0.0), step.state(i, step.length));
        right[i] = (
            row.one * one.0 + row.cos * cos.0 + row.sin * sin.0 - (y1 * c1 - y0 * c0),
            row.one * one.1 + row.cos * cos.1 + row.sin * sin.1 + (y1 * s1 - y0 * s0),
        );
    }
    // F = u + j·v: (h² + A²)·u = h·Im − A·Re and v = −(Re + A·u)/h.
    let times = |x: &[f64; Y]| -> [f64; Y] {
        let mut out = [0.0; Y];
        for (out, row) in out.iter_mut().zip(rows).take(n) {
            *out = row.state.iter().zip(x).take(n).map(|(a, b)| a * b).sum();
        }
        out
    };
    let re: [f64; Y] = right.map(|r| r.0);
    let a_re = times(&re);
    let mut system = [[0.0; Y + 1]; Y];
    for i in 0..n {
        for (j, square) in system[i].iter_mut().enumerate().take(n) {
            *square = (0..n).map(|k| rows[i].state[k] * rows[k].state[j]).sum();
        }
        system[i][i] += h * h;
        system[i][Y] = h * right[i].1 - a_re[i];
    }
    let u = solve(system, n)?;
    let a_u = times(&u);
    let mut lines = [(0.0, 0.0); 3];
    for (line, shares) in lines.iter_mut().zip(&net.line) {
        let current = step.pattern.sum(shares);
        for i in 0..n {
            line.0 += current.state[i] * u[i];
            line.1 -= current.state[i] * (re[i] + a_u[i]) / h;
        }
    }
    Some(lines)
}

fn add_means(net: &Network, step: &Step<'_>, t: &mut Totals) {
    let pattern = step.pattern;
    let lines = net.line.map(|shares| step.series(&pattern.sum(&shares)));
    let coordinates: [_; W] = std::array::from_fn(|i| step.series(&pattern.currents[i]));
    let v = step.series(&pattern.v);
    for line in &lines[..net.phases] {
        let (high, low) = step.extremes(line);
        t.line_peak = t.line_peak.max(high).max(-low);
    }
    let (high, low) = step.extremes(&v);
    (t.v_high, t.v_low) = (t.v_high.max(high), t.v_low.min(low));
    if pattern.modes.iter().take(net.bridges).all(|m| !m.is_off()) {
        t.conducting += step.length;
    }
    #[expect(clippy::cast_precision_loss, reason = "2 or 3")]
    let phases = net.phases as f64;
    for (place, weight) in GAUSS.iter().flat_map(|(x, w)| [(*x, *w), (-x, *w)]) {
        let x = 0.5 * step.length * (1.0 + place);
        let share = 0.5 * step.length * weight;
        let w: [f64; W] = std::array::from_fn(|i| at(&coordinates[i], x));
        let v = at(&v, x);
        let dc: f64 = w.iter().zip(net.dc).map(|(a, b)| a * b).sum();
        let load = if net.b > 0.0 { net.load_current(v) } else { dc };
        t.v_mean += share * v;
        t.dc_mean += share * dc;
        t.load_power += share * v * load;
        t.capacitor_rms += share * (dc - load) * (dc - load);
        t.line_rms += share * lines[..net.phases].iter().map(|l| at(l, x).powi(2)).sum::<f64>() / phases;
        let through: f64 = (0..net.bridges).map(|k| w[OF_BRIDGE * k + DC]).sum();
        let heat: f64 = w.iter().zip(&net.r).map(|(a, row)| a * row.iter().zip(w).map(|(r, b)| r * b).sum::<f64>()).sum();
        t.losses += share * (heat - net.bare_load * dc * dc + net.drop * through);
    }
}

impl Step<'_> {
    fn state(&self, i: usize, x: f64) -> f64 {
        let mut one = Affine::default();
        one.state[i] = 1.0;
        at(&self.series(&one), x)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_quadrature_is_exact_for_polynomials() {
        for power in (0..=30).step_by(2) {
            let got: f64 = GAUSS.iter().map(|(x, w)| 2.0 * w * x.powi(power)).sum();
            assert!((got - 2.0 / (f64::from(power) + 1.0)).abs() < 1e-15, "{power}: {got}");
        }
    }
}
