//! Waves going to and fro on a lossless cable between the drive and one motor: the voltage at the motor as straight pieces between
//! breakpoints, without a time step.
//!
//! The drive is a source of straight edges behind a resistance, the motor a resistance. With Γ the shares sent back at both ends,
//! u_M(t) = (1 + Γ_M)·Z_0/(Z_0 + R_s)·Σ (Γ_M·Γ_s)ⁿ·u(t − (2n + 1)·t_d). Every edge of u bends u_M where it begins and ends,
//! once per round trip; between two bends u_M is straight.

use plant::quantity::{Resistance, Time, Voltage};

use super::micros;
use crate::load::{above_zero, not_below_zero};
use crate::registry::Refusal;

/// A straight edge of the drive's voltage.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Edge {
    /// When it begins.
    pub at: Time,
    /// Voltage after it.
    pub to: Voltage,
}

/// A cable between its two ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    /// Resistance of the drive's side: small.
    pub drive: Resistance,
    /// Surge impedance of the cable.
    pub cable: Resistance,
    /// Surge impedance of the motor.
    pub motor: Resistance,
    /// Time of one run through the cable.
    pub run: Time,
}

/// A point of the motor's voltage; straight lines join the points.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// Time from the start.
    pub time: Time,
    /// Voltage at the motor.
    pub voltage: Voltage,
}

/// The voltage at the motor.
#[derive(Clone, Debug, PartialEq)]
pub struct Wave {
    /// Breakpoints in order of time, from the arrival of the first edge until no higher peak can come.
    pub points: Vec<Point>,
    /// What it settles at after the last edge.
    pub settles: Voltage,
    /// Product of what both ends send back.
    pub round_trip: f64,
}

/// Bends of one wave that are worked out; a cable so short that there are more is no line against such an edge.
const MOST_BENDS: usize = 400_000;

/// Works the waves out.
///
/// The drive's voltage is zero before the first edge. After the last edge has arrived, a further round trip multiplies what is
/// left above the settled value by Γ_M·Γ_s, of magnitude at most one, so that the list may end one round trip later: no higher
/// peak can follow, except the settled value itself.
///
/// # Errors
/// When an impedance or time is out of range, edges are not in order or overlap, or the cable is too short for waves.
///
/// Source: transmission-line theory. Worked example: an ideal step of 1 V into an open cable arrives as 2 V and turns to 0 V.
/// ```
/// use calc::cable::lattice::{waves, Edge, Line};
/// use plant::quantity::{Resistance, Time, Voltage};
/// let ohm = Resistance::ohm;
/// let line = Line { drive: ohm(0.0), cable: ohm(80.0), motor: ohm(1e9), run: Time::us(1.0) };
/// let wave = waves(&line, Time::us(0.1), &[Edge { at: Time::ZERO, to: Voltage::v(1.0) }]).unwrap();
/// let highest = wave.points.iter().map(|p| p.voltage.in_v()).fold(0.0, f64::max);
/// assert!((highest - 2.0).abs() < 1e-6);
/// ```
pub fn waves(line: &Line, rise: Time, edges: &[Edge]) -> Result<Wave, Refusal> {
    not_below_zero(line.drive, "resistance of the drive's side")?;
    above_zero(line.cable, "surge impedance of the cable")?;
    above_zero(line.motor, "surge impedance of the motor")?;
    above_zero(line.run, "time of one run through the cable")?;
    above_zero(rise, "rise time")?;
    let Some((first, last)) = edges.first().zip(edges.last()) else {
        return Err(Refusal::new("there must be at least one edge"));
    };
    not_below_zero(first.at, "time of the first edge")?;
    for pair in edges.windows(2) {
        // Typed times differ in the last bits.
        if !(pair[1].at - pair[0].at >= rise * (1.0 - 1e-9) && pair[1].at.is_finite()) {
            return Err(Refusal::new(format!(
                "the edge at {} begins before the one at {} is over: {} each",
                micros(pair[1].at),
                micros(pair[0].at),
                micros(rise)
            )));
        }
    }
    if edges.iter().any(|e| !e.to.is_finite()) {
        return Err(Refusal::new("the voltage of an edge is no number"));
    }
    let (run, rise) = (line.run.in_s(), rise.in_s());
    let back = |end: Resistance| (end - line.cable) / (end + line.cable);
    let (at_motor, at_drive) = (back(line.motor), back(line.drive));
    let round_trip = at_motor * at_drive;
    let launched = (1.0 + at_motor) * (line.cable / (line.cable + line.drive));
    let end = last.at.in_s() + rise + 3.0 * run;
    let mut bends: Vec<(f64, f64)> = Vec::new();
    let mut from = 0.0;
    for edge in edges {
        let (start, slope) = (edge.at.in_s(), launched * (edge.to.in_v() - from) / rise);
        from = edge.to.in_v();
        let (mut share, mut arrives) = (1.0, start + run);
        // What is smaller than the rounding of the sum bends nothing.
        while arrives <= end && f64::abs(share) > 1e-15 {
            bends.push((arrives, slope * share));
            bends.push((arrives + rise, -slope * share));
            if bends.len() > MOST_BENDS {
                return Err(Refusal::new(format!(
                    "the cable's run of {} is so short against edges of {} that it is no line: the motor sees the drive's voltage",
                    micros(line.run),
                    micros(Time::s(rise))
                )));
            }
            share *= round_trip;
            arrives += 2.0 * run;
        }
    }
    bends.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut points = Vec::with_capacity(bends.len());
    let (mut time, mut slope, mut voltage) = (first.at.in_s() + run, 0.0, 0.0);
    for (at, bend) in bends {
        if at > end {
            break;
        }
        if at > time || points.is_empty() {
            voltage += slope * (at - time);
            points.push(Point { time: Time::s(at), voltage: Voltage::v(voltage) });
        }
        time = at;
        slope += bend;
    }
    points.push(Point { time: Time::s(end), voltage: Voltage::v(voltage + slope * (end - time)) });
    Ok(Wave { points, settles: last.to * (line.motor / (line.motor + line.drive)), round_trip })
}

/// The last moment before `until` at which the wave, times `sign`, climbs through `level`.
#[must_use]
pub fn last_climb(points: &[Point], level: Voltage, sign: f64, until: Time) -> Option<Time> {
    let level = level.in_v() * sign;
    points
        .windows(2)
        .filter(|pair| pair[0].time < until)
        .filter_map(|pair| {
            let (a, b) = (pair[0].voltage.in_v() * sign, pair[1].voltage.in_v() * sign);
            (a < level && b >= level).then(|| pair[0].time + (pair[1].time - pair[0].time) * ((level - a) / (b - a)))
        })
        .rfind(|t| *t <= until)
}
