//! The current that the cable itself takes at every edge: nothing to a large unit, a trip to a small one.

use plant::quantity::{Capacitance, Count, Current, Dimension, Energy, Frequency, Length, Ratio, Resistance, Time, Voltage, dim};

use super::critical::LINE_THEORY;
use crate::load::{above_zero, not_below_zero};
use crate::registry::{Arguments, Calculation, Input, InputKind, Refusal, output, quantity, quantity_or};
use crate::sources::{DEFINITION, Knowledge, Source};
use crate::working::{Recorder, Step, Working};

/// How the ringing dies out.
pub const RINGING: Source =
    Source::new("each run to and fro leaves a share of the wave; the edges' currents do not overlap", Knowledge::CommonPractice);

/// A run of motor cable from the unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Run {
    /// Its length.
    pub length: Length,
    /// Capacitance of one metre, one conductor against the others and the shield; shielded cable has two to three times as much.
    pub per_metre: Capacitance,
    /// How many of them start at the unit's terminals.
    pub count: Count,
}

/// The drive's side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Feeding {
    /// DC link voltage.
    pub bus: Voltage,
    /// Surge impedance of one run.
    pub cable: Resistance,
    /// Switching frequency: two edges a period.
    pub carrier: Frequency,
    /// Share of a wave that one run to and fro leaves.
    pub leaves: Ratio,
}

/// What the cables take.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Charging {
    /// Whole capacitance of all runs.
    pub capacitance: Capacitance,
    /// Length of all runs.
    pub length: Length,
    /// Current of the first edge, all runs at once.
    pub peak: Current,
    /// Rms of the charging current.
    pub rms: Current,
    /// Energy that an edge puts into the cables and burns on the way.
    pub energy: Energy,
}

/// Charging current of all runs.
///
/// Î = N·U/Z_0 (an edge meets the surge impedance, whatever the length); rms over the carrier's period: each edge gives steps of
/// Î·kⁿ, 2·t_d long, so I = Î·√(2·f_c·2·t_d/(1 − k²)), at most Î; t_d = l·C'·Z_0. A, V, Ω, F/m, m, Hz. The rms is that of each
/// run in turn, added in step: the worse case.
///
/// # Errors
/// When an input is out of range; `leaves` lies from 0 to below 1.
///
/// Source: transmission-line theory. Worked example: 100 m of 0.3 nF/m at 650 V and 50 Ω: 13 A.
/// ```
/// use calc::{cable::charging::{charging, Run, Feeding}, working::Silent};
/// use plant::quantity::{Capacitance, Count, Frequency, Length, Ratio, Resistance, Voltage};
/// let run = Run { length: Length::m(100.0), per_metre: Capacitance::nf(0.3), count: Count::of(1.0) };
/// let from = Feeding { bus: Voltage::v(650.0), cable: Resistance::ohm(50.0), carrier: Frequency::khz(4.0), leaves: Ratio::percent(50.0) };
/// let c = charging(&[run], &from, &mut Silent).unwrap();
/// assert!((c.peak.in_a() - 13.0).abs() < 1e-9 && (c.capacitance.in_nf() - 30.0).abs() < 1e-9);
/// ```
pub fn charging<R: Recorder>(runs: &[Run], from: &Feeding, rec: &mut R) -> Result<Charging, Refusal> {
    above_zero(from.bus, "DC link voltage")?;
    above_zero(from.cable, "surge impedance of the cable")?;
    above_zero(from.carrier, "switching frequency")?;
    let k = from.leaves.in_of_one();
    if !(0.0..1.0).contains(&k) {
        return Err(Refusal::new(format!(
            "the share of a wave that a run to and fro leaves lies from 0 to below 100 %, not at {}",
            from.leaves
        )));
    }
    if runs.is_empty() {
        return Err(Refusal::new("there must be at least one run of cable"));
    }
    let one = from.bus / from.cable;
    let (mut capacitance, mut length, mut count, mut rms, mut clipped) = (0.0, 0.0, 0.0, 0.0, false);
    for run in runs {
        not_below_zero(run.length, "length of a run")?;
        above_zero(run.per_metre, "capacitance of a metre")?;
        above_zero(run.count, "count of a run")?;
        let delay = run.length.in_m() * run.per_metre.in_farad() * from.cable.in_ohm();
        let share = 4.0 * from.carrier.in_hz() * delay / (1.0 - k * k);
        clipped |= share > 1.0;
        rms += one.in_a() * share.min(1.0).sqrt() * run.count.in_count();
        capacitance += run.length.in_m() * run.per_metre.in_farad() * run.count.in_count();
        length += run.length.in_m() * run.count.in_count();
        count += run.count.in_count();
    }
    let charging = Charging {
        capacitance: Capacitance::farad(capacitance),
        length: Length::m(length),
        peak: one * count,
        rms: Current::a(rms),
        energy: Energy::j(capacitance * from.bus.in_v() * from.bus.in_v()),
    };
    rec.step(|| Step::new("C", "capacitance of all runs", "Σ N·C'·l", &DEFINITION).gives(charging.capacitance));
    rec.step(|| {
        Step::new("Î", "current of the first edge", "N·U/Z_0", &LINE_THEORY)
            .with("N", count)
            .with("U", from.bus)
            .with("Z_0", from.cable)
            .gives(charging.peak)
    });
    rec.step(|| {
        Step::new("I_c", "rms charging current", "Σ N·U/Z_0·√(4·f_c·t_d/(1 − k²))", &RINGING)
            .with("U", from.bus)
            .with("Z_0", from.cable)
            .with("f_c", from.carrier)
            .with("k", k)
            .gives(charging.rms)
            .note(if clipped {
                "a run rings from edge to edge: taken as its full step all the time"
            } else {
                "t_d = l·C'·Z_0 of each run"
            })
    });
    rec.step(|| {
        Step::new("E", "energy of an edge, up and down", "C·U²", &DEFINITION)
            .with("C", charging.capacitance)
            .with("U", from.bus)
            .gives(charging.energy)
    });
    Ok(charging)
}

/// `calc cable-charging`.
pub const CABLE_CHARGING: Calculation = Calculation {
    name: "cable-charging",
    summary: "Charging current of all motor cables of a unit against its trip and its rated current.",
    inputs: &[
        Input {
            name: "runs",
            kind: InputKind::Rows(&[dim::LengthDim::INFO, dim::CapacitanceDim::INFO, dim::CountDim::INFO]),
            default: None,
            doc: "length, capacitance of one metre (unshielded about 0.1 nF, shielded 0.2 to 0.4 nF), how many such runs",
        },
        quantity::<dim::VoltageDim>("bus", "DC link voltage"),
        quantity_or::<dim::ResistanceDim>("cable", "50 Ω", "surge impedance of a run"),
        quantity_or::<dim::FrequencyDim>("carrier", "4 kHz", "switching frequency"),
        quantity_or::<dim::RatioDim>("leaves", "50 %", "share of a wave that a run to and fro leaves"),
        quantity::<dim::CurrentDim>("rated", "rated output current of the unit"),
        quantity::<dim::CurrentDim>("trip", "instantaneous current at which the unit trips, peak"),
        quantity_or::<dim::CurrentDim>("load", "0 A", "rms current of the motors"),
    ],
    results: &[
        output::<dim::CapacitanceDim>("capacitance", "nF", "capacitance of all runs"),
        output::<dim::CurrentDim>("peak", "A", "current of the first edge"),
        output::<dim::CurrentDim>("rms", "A", "rms charging current"),
        output::<dim::CurrentDim>("with-load", "A", "rms of motors and charging together"),
        output::<dim::RatioDim>("peak-of-trip", "%", "current of an edge on top of the motors' crest, over the trip; above 100 % trips"),
        output::<dim::RatioDim>("rms-of-rated", "%", "rms with the motors over the rated current"),
        output::<dim::TimeDim>("delay", "µs", "run of the longest cable, for a look at the trip's filter"),
    ],
    sources: &[&LINE_THEORY, &RINGING, &DEFINITION],
    run: |a: &Arguments, w: &mut Working| {
        let runs: Vec<Run> = a
            .rows("runs")
            .iter()
            .filter_map(|row| match row[..] {
                [length, per_metre, count] => {
                    Some(Run { length: Length::si(length), per_metre: Capacitance::si(per_metre), count: Count::si(count) })
                }
                _ => None,
            })
            .collect();
        let from = Feeding { bus: a.get("bus"), cable: a.get("cable"), carrier: a.get("carrier"), leaves: a.get("leaves") };
        let (rated, trip, load) = (a.get::<dim::CurrentDim>("rated"), a.get::<dim::CurrentDim>("trip"), a.get::<dim::CurrentDim>("load"));
        above_zero(rated, "rated current")?;
        above_zero(trip, "trip")?;
        not_below_zero(load, "current of the motors")?;
        let c = charging(&runs, &from, w)?;
        let with_load = Current::a(load.in_a().hypot(c.rms.in_a()));
        let of_trip = Ratio::of_one((c.peak + load * std::f64::consts::SQRT_2) / trip);
        w.step(|| {
            Step::new("s", "edge on top of the motors' crest, over the trip", "(Î + √2·I)/I_trip", &DEFINITION)
                .with("Î", c.peak)
                .with("I", load)
                .with("I_trip", trip)
                .gives(of_trip)
        });
        w.step(|| Step::new("I_t", "rms with the motors", "√(I² + I_c²)", &DEFINITION).with("I", load).with("I_c", c.rms).gives(with_load));
        let longest = runs.iter().map(|r| r.length.in_m() * r.per_metre.in_farad()).fold(0.0, f64::max);
        let delay = Time::s(longest * from.cable.in_ohm());
        Ok(vec![c.capacitance.in_si(), c.peak.in_si(), c.rms.in_si(), with_load.in_si(), of_trip.in_si(), with_load / rated, delay.in_si()])
    },
};
