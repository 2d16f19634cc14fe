//! How hot a braking resistor gets over a whole cycle in which power comes and goes: one body, each piece of the cycle exactly.

use plant::quantity::{Dimension, Power, Ratio, TemperatureRise, Time, dim};

use super::resistor::{Body, CONSTANT, Heat, ONE_BODY, RATED, RISE, lag};
use crate::load::{above_zero, not_below_zero};
use crate::registry::{Arguments, Calculation, Input, InputKind, Refusal, output};
use crate::sources::DEFINITION;
use crate::working::{Recorder, Step, Working};

/// A piece of a cycle: power along a straight line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Piece {
    /// Power at its beginning, zero or more.
    pub from: Power,
    /// Power at its end, zero or more.
    pub to: Power,
    /// How long it lasts.
    pub time: Time,
}

/// Rise at `t` seconds into a piece, from the rise at its beginning.
fn rise_at(piece: &Piece, per_watt: f64, tau: f64, start: f64, t: f64) -> f64 {
    let (first, fall) = (per_watt * piece.from.in_w(), per_watt * (piece.from - piece.to).in_w());
    start * (-t / tau).exp() - first * (-t / tau).exp_m1() - fall * (t / piece.time.in_s()) * t_lag(t, tau)
}

fn t_lag(t: f64, tau: f64) -> f64 {
    if t > 0.0 { lag(t / tau) } else { 0.0 }
}

/// Highest rise within a piece.
fn highest_in(piece: &Piece, per_watt: f64, tau: f64, start: f64) -> f64 {
    let (first, fall) = (per_watt * piece.from.in_w(), per_watt * (piece.from - piece.to).in_w());
    let on = piece.time.in_s();
    let mut highest = start.max(rise_at(piece, per_watt, tau, start, on));
    // dθ/dt = 0 where the falling power meets the rise; a rising power has its highest rise at the end.
    if fall > 0.0 && first > start {
        let turn = tau * ((first - start) * on / (fall * tau)).ln_1p();
        if turn < on {
            highest = highest.max(rise_at(piece, per_watt, tau, start, turn));
        }
    }
    highest
}

/// Highest rise over an endless cycle, and what comes to the mean.
///
/// τ·dθ/dt = θ_N·P/P_N − θ over straight pieces, in closed form; settled: the rise at the end of the cycle is that at its beginning.
/// W, K, s.
///
/// # Errors
/// When a figure of the body is not above zero, a power is below it, a time is not above it, or there is no piece.
///
/// Source: derived. Worked example: 10 kW for 300 s of each 600 s into 8 kW, 300 K, τ = 1 h: mean 5 kW, and
/// 375 K·(1 − e^(−300/3600))/(1 − e^(−600/3600)) = 195.3 K.
/// ```
/// use calc::{braking::{cycle_heat::{Piece, cycle_heat}, resistor::Body}, working::Silent};
/// use plant::quantity::{Power, TemperatureRise, Time};
/// let body = Body { power: Power::kw(8.0), rise: TemperatureRise::dk(300.0), constant: Time::s(3600.0) };
/// let piece = |kw, s| Piece { from: Power::kw(kw), to: Power::kw(kw), time: Time::s(s) };
/// let found = cycle_heat(&body, &[piece(10.0, 300.0), piece(0.0, 300.0)], &mut Silent).unwrap();
/// assert!((found.mean.in_kw() - 5.0).abs() < 1e-9 && (found.highest.in_dk() - 195.31).abs() < 0.01);
/// ```
pub fn cycle_heat<R: Recorder>(body: &Body, pieces: &[Piece], rec: &mut R) -> Result<Heat, Refusal> {
    above_zero(body.power, "continuous power of the resistor")?;
    above_zero(body.rise, "rise at continuous power")?;
    above_zero(body.constant, "thermal time constant")?;
    let (tau, per_watt) = (body.constant.in_s(), body.rise.in_dk() / body.power.in_w());
    let (mut end, mut seconds, mut joules) = (0.0, 0.0, 0.0);
    for piece in pieces {
        not_below_zero(piece.from, "power at the beginning of a piece")?;
        not_below_zero(piece.to, "power at the end of a piece")?;
        above_zero(piece.time, "time of a piece")?;
        end = rise_at(piece, per_watt, tau, end, piece.time.in_s());
        seconds += piece.time.in_s();
        joules += 0.5 * (piece.from + piece.to).in_w() * piece.time.in_s();
    }
    if seconds <= 0.0 {
        return Err(Refusal::new("a cycle needs at least one piece"));
    }
    // θ_0 = θ_end from cold + θ_0·e^(−T/τ), solved for θ_0.
    let start = end / -(-seconds / tau).exp_m1();
    let (mut rise, mut highest) = (start, start);
    for piece in pieces {
        highest = highest.max(highest_in(piece, per_watt, tau, rise));
        rise = rise_at(piece, per_watt, tau, rise, piece.time.in_s());
    }
    let found = Heat {
        highest: TemperatureRise::dk(highest),
        start: TemperatureRise::dk(start),
        mean: Power::w(joules / seconds),
        energy: plant::quantity::Energy::j(joules),
        share: Ratio::of_one(highest / body.rise.in_dk()),
    };
    rec.step(|| Step::new("E_c", "energy of a cycle", "Σ (P_1 + P_2)/2·t", &DEFINITION).gives(found.energy));
    rec.step(|| {
        Step::new("P_mc", "mean power over the cycle", "E_c/T", &DEFINITION)
            .with("E_c", found.energy)
            .with("T", Time::s(seconds))
            .gives(found.mean.electric())
    });
    rec.step(|| {
        Step::new("θ_c", "highest rise of the cycle, settled", "", &ONE_BODY)
            .gives(found.highest)
            .note("piece by piece in closed form; above its surroundings")
    });
    Ok(found)
}

/// `calc resistor-cycle`.
pub const RESISTOR_CYCLE: Calculation = Calculation {
    name: "resistor-cycle",
    summary: "Highest temperature of a braking resistor over a cycle of pieces with power along straight lines.",
    inputs: &[
        RATED,
        RISE,
        CONSTANT,
        Input {
            name: "cycle",
            kind: InputKind::Rows(&[dim::TimeDim::INFO, dim::PowerDim::INFO, dim::PowerDim::INFO]),
            default: None,
            doc: "time of each piece, power at its beginning, power at its end; the cycle repeats endlessly",
        },
    ],
    results: &[
        output::<dim::TemperatureRiseDim>("highest", "K", "highest rise"),
        output::<dim::TemperatureRiseDim>("start", "K", "rise at the beginning of the cycle"),
        output::<dim::PowerDim>("mean", "W", "mean power over the cycle"),
        output::<dim::EnergyDim>("energy", "kJ", "energy of a cycle"),
        output::<dim::RatioDim>("share", "%", "highest rise over that at continuous power; above 100 % is too hot"),
    ],
    sources: &[&ONE_BODY, &DEFINITION],
    run: |a: &Arguments, w: &mut Working| {
        let body = Body { power: a.get("rated"), rise: a.get("rise"), constant: a.get("constant") };
        let pieces: Vec<Piece> = a
            .rows("cycle")
            .iter()
            .filter_map(|row| match row[..] {
                [time, from, to] => Some(Piece { from: Power::si(from), to: Power::si(to), time: Time::si(time) }),
                _ => None,
            })
            .collect();
        let h = cycle_heat(&body, &pieces, w)?;
        Ok(vec![h.highest.in_si(), h.start.in_si(), h.mean.in_si(), h.energy.in_si(), h.share.in_si()])
    },
};

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a panic is the failure that a test reports")]

    use super::*;
    use crate::braking::resistor::{Pulse, heat};
    use crate::working::Silent;

    fn body(minutes: f64) -> Body {
        Body { power: Power::kw(2.0), rise: TemperatureRise::dk(300.0), constant: Time::s(60.0 * minutes) }
    }

    #[test]
    fn a_stop_and_a_pause_are_what_a_repeated_stop_is() {
        let (on, pause) = (Time::s(8.0), Time::s(52.0));
        let pieces =
            [Piece { from: Power::kw(30.0), to: Power::ZERO, time: on }, Piece { from: Power::ZERO, to: Power::ZERO, time: pause }];
        for minutes in [0.1, 1.0, 10.0] {
            let one = heat(&body(minutes), &Pulse { peak: Power::kw(30.0), end: Power::ZERO, on, period: Some(on + pause) }, &mut Silent)
                .unwrap();
            let other = cycle_heat(&body(minutes), &pieces, &mut Silent).unwrap();
            assert!((one.highest / other.highest - 1.0).abs() < 1e-9, "{minutes}: {} and {}", one.highest, other.highest);
            assert!((one.mean / other.mean - 1.0).abs() < 1e-12);
        }
    }

    #[test]
    fn it_agrees_with_small_steps() {
        // The same equation by 200 000 steps of Euler's rule per cycle, over twenty cycles.
        let pieces = [
            Piece { from: Power::ZERO, to: Power::kw(9.0), time: Time::s(20.0) },
            Piece { from: Power::kw(9.0), to: Power::kw(4.0), time: Time::s(40.0) },
            Piece { from: Power::ZERO, to: Power::ZERO, time: Time::s(30.0) },
        ];
        let exact = cycle_heat(&body(1.0), &pieces, &mut Silent).unwrap().highest.in_dk();
        let (mut rise, mut highest, dt) = (0.0, 0.0f64, 90.0 / 200_000.0);
        for _ in 0..20 {
            highest = 0.0;
            let mut t = 0.0;
            while t < 90.0 {
                let kw = if t < 20.0 {
                    9.0 * t / 20.0
                } else if t < 60.0 {
                    9.0 - 5.0 * (t - 20.0) / 40.0
                } else {
                    0.0
                };
                rise += dt / 60.0 * (300.0 * kw / 2.0 - rise);
                highest = highest.max(rise);
                t += dt;
            }
        }
        assert!((exact / highest - 1.0).abs() < 1e-4, "{exact} and {highest}");
    }

    #[test]
    fn nonsense_is_refused() {
        assert!(cycle_heat(&body(1.0), &[], &mut Silent).is_err());
        let piece = Piece { from: Power::kw(-1.0), to: Power::ZERO, time: Time::s(1.0) };
        assert!(cycle_heat(&body(1.0), &[piece], &mut Silent).is_err());
        let piece = Piece { from: Power::kw(1.0), to: Power::ZERO, time: Time::ZERO };
        assert!(cycle_heat(&body(1.0), &[piece], &mut Silent).is_err());
    }
}
