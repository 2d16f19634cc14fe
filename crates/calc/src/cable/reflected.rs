//! The reflected wave at the motor: its peak, how steep it is as IEC and as NEMA measure it, and the bound to judge by.

use plant::quantity::{Count, Dimension, Length, Ratio, Resistance, Time, Velocity, Voltage, dim};

use super::critical::{ENVELOPE, LINE_THEORY, RISE, VELOCITY, critical_length, envelope, reflection};
use super::lattice::{Edge, Line, last_climb, waves};
use super::micros;
use crate::load::above_zero;
use crate::registry::{Arguments, Calculation, Input, InputKind, Refusal, output, quantity, quantity_or};
use crate::sources::{Knowledge, Source};
use crate::working::{Recorder, Step, Working};

/// Rise time at a motor as IEC measures it.
pub const IEC_RISE: Source =
    Source::new("IEC TS 60034-25 and IEC 61800-8: rise from 10 % to 90 % of the peak, dv/dt = 0.8·U_pk/t", Knowledge::FromMemory);
/// And as NEMA does.
pub const NEMA_RISE: Source =
    Source::new("NEMA MG 1 Figure 30-5: rise from 10 % to 90 % of the steady voltage, dv/dt = 0.8·U/t", Knowledge::FromMemory);

/// A drive, its cable and its motor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Feed<'a> {
    /// DC link: the height of an edge.
    pub bus: Voltage,
    /// Whole rise time of an edge.
    pub rise: Time,
    /// Length of the cable.
    pub length: Length,
    /// Velocity on it.
    pub velocity: Velocity,
    /// Resistance of the drive's side.
    pub drive: Resistance,
    /// Surge impedance of the cable.
    pub cable: Resistance,
    /// Surge impedance of the motor.
    pub motor: Resistance,
    /// Edges: when they begin and the level after them over the link; one from 0 to 1 is the plain case.
    pub edges: &'a [(Time, Ratio)],
}

/// What arrives.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AtMotor {
    /// Largest voltage line to line, without sign.
    pub peak: Voltage,
    /// When it is reached, from the first edge at the drive.
    pub time: Time,
    /// Peak over the DC link.
    pub ratio: Ratio,
    /// Highest less lowest voltage.
    pub peak_to_peak: Voltage,
    /// From 10 to 90 % of the peak.
    pub rise_iec: Time,
    /// Steepness that goes with it, V/µs.
    pub steep_iec: Count,
    /// From 10 to 90 % of the steady voltage.
    pub rise_nema: Time,
    /// Steepness that goes with it, V/µs.
    pub steep_nema: Count,
    /// Bound on the first peak of an edge of any shape.
    pub bound: Voltage,
    /// Length of full reflection.
    pub critical: Length,
}

/// The wave at the motor for straight edges, exactly, and the bound for edges of any shape.
///
/// Lossless cable, real impedances, one motor. Short of full reflection the peak of a straight edge rises and falls with the
/// length (a cable of l_c/2 shows none at all); real edges are not straight, so that a motor is to be judged by the bound, or
/// by the peak where it is the higher one: several edges on the way can add up above twice the DC link.
///
/// # Errors
/// When an input is out of its range or the cable too short for waves.
///
/// Source: transmission-line theory. Worked example: 565.7 V, 0.4 µs, 22.5 m of 80 Ω, motor 800 Ω: 818.2 V (an outside circuit
/// simulator gives 818.1 V).
/// ```
/// use calc::{cable::reflected::{reflected_wave, Feed}, working::Silent};
/// use plant::quantity::{Length, Ratio, Resistance, Time, Velocity, Voltage};
/// let at = reflected_wave(&Feed {
///     bus: Voltage::v(565.7), rise: Time::us(0.4), length: Length::m(22.5), velocity: Velocity::m_s(150e6),
///     drive: Resistance::ohm(0.01), cable: Resistance::ohm(80.0), motor: Resistance::ohm(800.0),
///     edges: &[(Time::ZERO, Ratio::of_one(1.0))],
/// }, &mut Silent).unwrap();
/// assert!((at.peak.in_v() - 818.2).abs() < 0.1 && at.bound > at.peak);
/// ```
pub fn reflected_wave<R: Recorder>(feed: &Feed, rec: &mut R) -> Result<AtMotor, Refusal> {
    above_zero(feed.bus, "DC link voltage")?;
    above_zero(feed.length, "length of the cable")?;
    let critical = critical_length(feed.rise, feed.velocity, rec)?;
    let share = reflection(feed.motor, feed.cable, rec)?;
    let bound = envelope(feed.bus, share, feed.length, critical, rec)?;
    let run = feed.length / feed.velocity;
    let edges: Vec<Edge> = feed.edges.iter().map(|(at, level)| Edge { at: *at, to: feed.bus * level.in_of_one() }).collect();
    let line = Line { drive: feed.drive, cable: feed.cable, motor: feed.motor, run };
    let wave = waves(&line, feed.rise, &edges)?;
    let (mut time, mut top) = (Time::ZERO, Voltage::ZERO);
    let (mut low, mut high) = (Voltage::ZERO, Voltage::ZERO);
    for point in &wave.points {
        if point.voltage.abs() > top.abs() {
            (time, top) = (point.time, point.voltage);
        }
        (low, high) = (low.min(point.voltage), high.max(point.voltage));
    }
    // Rounding alone must not turn a settled value into a creep.
    let creeps = wave.settles.abs() > top.abs() * (1.0 + 1e-9);
    let peak = top.abs().max(wave.settles.abs());
    let sign = if top < Voltage::ZERO { -1.0 } else { 1.0 };
    let last = wave.points.last().map_or(Time::ZERO, |p| p.time);
    let rise_to = |level: Voltage| {
        let upper = last_climb(&wave.points, level * (0.9 * sign), sign, if creeps { last } else { time });
        let lower = upper.and_then(|upper| last_climb(&wave.points, level * (0.1 * sign), sign, upper));
        lower.zip(upper).map(|(a, b)| b - a)
    };
    let steady = (feed.bus * (feed.motor / (feed.motor + feed.drive))).min(top.abs());
    let never = || Refusal::new("the voltage at the motor never climbs from 10 to 90 %: the first edge must leave zero");
    let rise_iec = rise_to(top.abs()).ok_or_else(never)?;
    let rise_nema = rise_to(steady).ok_or_else(never)?;
    let steep = |voltage: Voltage, rise: Time| Count::of(0.8 * voltage.in_v() / rise.in_us());
    let (low, high) = (low.min(wave.settles), high.max(wave.settles));
    let at = AtMotor {
        peak,
        time,
        ratio: Ratio::of_one(peak / feed.bus),
        peak_to_peak: high - low,
        rise_iec,
        steep_iec: steep(top.abs(), rise_iec),
        rise_nema,
        steep_nema: steep(steady, rise_nema),
        bound,
        critical,
    };
    rec.step(|| {
        Step::new("t_d", "one run through the cable", "l/v", &LINE_THEORY)
            .with("l", feed.length)
            .with("v", feed.velocity)
            .gives(micros(run))
    });
    rec.step(|| {
        Step::new("Γ_M·Γ_s", "what a round trip leaves of a wave, with its sign", "", &LINE_THEORY)
            .gives(wave.round_trip)
            .note(format!("{} breakpoints of the voltage at the motor were worked out", wave.points.len()))
    });
    rec.step(|| {
        Step::new("U_pk", "peak at the motor, straight edges", "", &LINE_THEORY).gives(peak).note(if creeps {
            "it creeps up to this value; the time and the steepness are those of the highest voltage seen before".to_owned()
        } else {
            format!("reached {} after the start; real edges are not straight: the bound is the safe side", micros(time))
        })
    });
    rec.step(|| Step::new("t_IEC", "10 to 90 % of the peak", "", &IEC_RISE).gives(micros(rise_iec)));
    rec.step(|| Step::new("t_NEMA", "10 to 90 % of the steady voltage", "", &NEMA_RISE).gives(micros(rise_nema)));
    Ok(at)
}

/// `calc reflected-wave`.
pub const REFLECTED_WAVE: Calculation = Calculation {
    name: "reflected-wave",
    summary: "Peak and steepness of the voltage at the motor behind a cable, exactly for straight edges, and the bound for any edge.",
    inputs: &[
        quantity::<dim::VoltageDim>("bus", "DC link voltage"),
        RISE,
        quantity::<dim::LengthDim>("length", "length of the cable"),
        VELOCITY,
        quantity_or::<dim::ResistanceDim>("drive", "0.01 Ω", "resistance of the drive's side"),
        quantity_or::<dim::ResistanceDim>("cable", "80 Ω", "surge impedance of the cable; 40 to 100 Ω are usual"),
        quantity_or::<dim::ResistanceDim>("motor", "1000000 Ω", "surge impedance of the motor; small motors some kΩ, 100 kW some 100 Ω"),
        Input {
            name: "edges",
            kind: InputKind::Rows(&[dim::TimeDim::INFO, dim::RatioDim::INFO]),
            default: Some("0 s, 1"),
            doc: "start of each edge and the level after it over the DC link; several may be on the way at once",
        },
    ],
    results: &[
        output::<dim::VoltageDim>("peak", "V", "largest voltage at the motor, straight edges"),
        output::<dim::TimeDim>("time", "µs", "when it is reached"),
        output::<dim::RatioDim>("ratio", "pu", "peak over the DC link"),
        output::<dim::VoltageDim>("peak-to-peak", "V", "highest less lowest voltage"),
        output::<dim::TimeDim>("rise-iec", "µs", "10 to 90 % of the peak"),
        output::<dim::CountDim>("steepness-iec", "", "0.8·peak over that rise, in V/µs"),
        output::<dim::TimeDim>("rise-nema", "µs", "10 to 90 % of the steady voltage"),
        output::<dim::CountDim>("steepness-nema", "", "0.8·steady voltage over that rise, in V/µs"),
        output::<dim::VoltageDim>("bound", "V", "bound on the first peak of an edge of any shape: the safe side"),
        output::<dim::LengthDim>("critical-length", "m", "length of full reflection"),
    ],
    sources: &[&LINE_THEORY, &ENVELOPE, &IEC_RISE, &NEMA_RISE],
    run: |a: &Arguments, w: &mut Working| {
        let edges: Vec<(Time, Ratio)> = a
            .rows("edges")
            .iter()
            .filter_map(|row| match row[..] {
                [at, level] => Some((Time::si(at), Ratio::si(level))),
                _ => None,
            })
            .collect();
        let feed = Feed {
            bus: a.get("bus"),
            rise: a.get("rise"),
            length: a.get("length"),
            velocity: a.get("velocity"),
            drive: a.get("drive"),
            cable: a.get("cable"),
            motor: a.get("motor"),
            edges: &edges,
        };
        let AtMotor { peak, time, ratio, peak_to_peak, rise_iec, steep_iec, rise_nema, steep_nema, bound, critical } =
            reflected_wave(&feed, w)?;
        Ok(vec![
            peak.in_si(),
            time.in_si(),
            ratio.in_si(),
            peak_to_peak.in_si(),
            rise_iec.in_si(),
            steep_iec.in_si(),
            rise_nema.in_si(),
            steep_nema.in_si(),
            bound.in_si(),
            critical.in_si(),
        ])
    },
};

#[cfg(test)]
mod tests;
