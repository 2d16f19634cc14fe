//! Encoders, winding sensors, supplies.

use calc::control::encoder::track_frequency;
use calc::working::Recorder;
use plant::quantity::dim::{ApparentPowerDim, FrequencyDim, VoltageDim};
use plant::quantity::{Count, Speed, Voltage};
use plant::wires::{Conductor, ControlPoint, Level};

use super::{Fault, Line, Verdict, among, at_least, at_most, plain, span};

/// Tolerance of a 24 V supply that counts as the same: IEC 61131-2, −15 % to +20 % (from memory).
const SAME_SUPPLY: (f64, f64) = (0.85, 1.2);

pub(super) fn encoder<R: Recorder>(nature: &Conductor, point: &ControlPoint, rec: &mut R) -> Vec<Line> {
    let mut lines = vec![among(Fault::Encoder, "encoder signal", nature.level, &point.levels)];
    let frequency = span(&nature.pulses).zip(span(&nature.speed)).and_then(|(z, n)| {
        let at = |z: f64, n: f64, rec: &mut R| track_frequency(Count::of(z), Speed::si(n), rec).ok().map(|f| f.in_hz());
        Some((at(z.0, n.0, &mut *rec)?, at(z.1, n.1, &mut *rec)?))
    });
    lines.push(at_most::<FrequencyDim>(Fault::Encoder, "highest frequency of a track", frequency, point.frequency));
    if let Some(volts) = span(&nature.volts) {
        // What the encoder is fed with comes from the unit: it must be within what the encoder stands, which its signal tells.
        let stands = match nature.level {
            Some(Level::PushPull | Level::OpenCollector) => Some((8.0, 30.0)),
            Some(Level::Differential5 | Level::SineCosine) => Some((4.75, 5.5)),
            None => None,
        };
        let supply = point.supply.map(Voltage::in_v);
        let verdict = match (supply, stands) {
            (Some(u), Some((low, high))) if (low..=high).contains(&u) => Verdict::Holds,
            (Some(_), Some(_)) => Verdict::Fails,
            _ => Verdict::Open,
        };
        let have = supply.map_or_else(|| "the pack is silent".to_owned(), |u| super::text::<VoltageDim>(Some((u, u))));
        lines.push(plain(
            Fault::Encoder,
            "supply of the encoder",
            have,
            format!("{} before", super::text::<VoltageDim>(Some(volts))),
            verdict,
        ));
    }
    if let Some(load) = span(&nature.load) {
        lines.push(at_most::<ApparentPowerDim>(Fault::Encoder, "what the encoder takes", Some(load), point.supply_load));
    }
    lines
}

pub(super) fn thermistor(nature: &Conductor, point: &ControlPoint) -> Vec<Line> {
    vec![among(Fault::Sensor, "sensor in the winding", nature.sensor, &point.sensors)]
}

/// Something outside lives on the old drive's supply.
pub(super) fn supply_out(nature: &Conductor, point: &ControlPoint) -> Vec<Line> {
    let mut lines = supply(nature, point, "voltage of the supply");
    lines.push(at_most::<ApparentPowerDim>(Fault::Supply, "load on the supply", span(&nature.load), point.supply_load));
    lines
}

/// The control side is kept alive from outside.
pub(super) fn supply_in(nature: &Conductor, point: &ControlPoint) -> Vec<Line> {
    let mut lines = supply(nature, point, "voltage of the supply");
    // What the source can give is not listed; what the unit asks for is.
    if let Some(asked) = point.supply_load
        && let Some(gives) = span(&nature.load)
    {
        lines.push(at_least::<ApparentPowerDim>(Fault::Supply, "what the supply gives", Some(gives), Some(asked)));
    }
    lines
}

fn supply(nature: &Conductor, point: &ControlPoint, what: &'static str) -> Vec<Line> {
    let mut lines = Vec::new();
    if point.flow.is_some() {
        lines.push(super::same(Fault::Supply, "kind of voltage", nature.flow, point.flow));
    }
    let nominal = point.supply.map(Voltage::in_v);
    let (low, high) = (nominal.map(|u| Voltage::v(u * SAME_SUPPLY.0)), nominal.map(|u| Voltage::v(u * SAME_SUPPLY.1)));
    lines.push(at_least::<VoltageDim>(Fault::Supply, what, span(&nature.volts), low));
    lines.push(at_most::<VoltageDim>(Fault::Supply, what, span(&nature.volts), high));
    lines
}
