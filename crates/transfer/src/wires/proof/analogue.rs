//! Analogue points: range and sign, the volts of a loop, different earths, what an output drives.

use calc::control::current_loop::{FULL_SCALE, current_loop};
use calc::working::Recorder;
use plant::quantity::dim::{ResistanceDim, VoltageDim};
use plant::quantity::{Current, Resistance, Voltage};
use plant::wires::{Conductor, ControlPoint, Driver, Range};

use super::{Fault, Line, Verdict, among, at_least, at_most, plain, span};

/// Voltage between two earths from which on an input without isolation is disturbed. Common practice, no source.
const DISTURBS: Voltage = Voltage::v(1.0);

/// Whether a range is a current.
pub(in crate::wires) fn is_current(range: Range) -> bool {
    matches!(range, Range::Ma4To20 | Range::Ma20 | Range::Ma1)
}

pub(super) fn input<R: Recorder>(nature: &Conductor, point: &ControlPoint, rec: &mut R) -> Vec<Line> {
    let mut lines = vec![among(Fault::Range, "range of the signal", nature.range, &point.ranges)];
    if nature.driver == Some(Driver::Potentiometer) {
        let have = point.supply.map_or("none", |_| "a reference supply");
        let verdict = if point.supply.is_some() { Verdict::Holds } else { Verdict::Fails };
        lines.push(plain(Fault::Supply, "supply of the potentiometer", have, "a reference supply at the input", verdict));
    }
    lines.extend(isolation(nature, point));
    let current = nature.range.map(is_current);
    if nature.driver == Some(Driver::Loop) || (current == Some(true) && span(&nature.loop_supply).is_some()) {
        lines.push(volts(nature, point, rec));
    }
    lines
}

fn volts<R: Recorder>(nature: &Conductor, point: &ControlPoint, rec: &mut R) -> Line {
    let full = if nature.range == Some(Range::Ma1) { Current::ma(1.0) } else { FULL_SCALE };
    let found = span(&nature.loop_supply).zip(span(&nature.burden)).zip(span(&nature.needs)).zip(point.burden);
    let needs = found.and_then(|(((supply, rest), transmitter), own)| {
        let at = |supply: f64, rest: f64, transmitter: f64, rec: &mut R| {
            let burden = Resistance::ohm(rest) + own;
            current_loop(Voltage::v(supply), Voltage::v(transmitter), burden, full, rec).ok().map(|l| l.needs.in_v())
        };
        Some((at(supply.1, rest.0, transmitter.0, &mut *rec)?, at(supply.0, rest.1, transmitter.1, &mut *rec)?, supply))
    });
    let Some((low, high, supply)) = needs else {
        let what = if point.burden.is_none() {
            "the pack is silent about the input's resistance"
        } else {
            "supply, burden or transmitter not known"
        };
        return plain(Fault::Loop, "voltage of the loop", what, "enough for the transmitter at full scale", Verdict::Open);
    };
    // The supply is a range too: its lowest value must cover the highest need.
    let mut line = at_most::<VoltageDim>(Fault::Loop, "voltage of the loop", Some((low, high)), Some(Voltage::v(supply.0)));
    if line.verdict == Verdict::Fails && low <= supply.1 {
        line.verdict = Verdict::Open;
    }
    line
}

fn isolation(nature: &Conductor, point: &ControlPoint) -> Option<Line> {
    let apart = span(&nature.ground)?;
    if point.isolated == Some(true) {
        let have = format!("{} between the earths", super::text::<VoltageDim>(Some(apart)));
        return Some(plain(Fault::Isolation, "earths of both ends", have, "an isolated input", Verdict::Holds));
    }
    let line = at_most::<VoltageDim>(Fault::Isolation, "voltage between the earths", Some(apart), Some(DISTURBS));
    Some(if point.isolated.is_none() && line.verdict == Verdict::Fails { Line { verdict: Verdict::Open, ..line } } else { line })
}

pub(super) fn output(nature: &Conductor, point: &ControlPoint) -> Vec<Line> {
    let mut lines = vec![among(Fault::Meter, "range of the meter", nature.range, &point.ranges)];
    match nature.range.map(is_current) {
        Some(true) => lines.push(at_most::<ResistanceDim>(Fault::Meter, "resistance that it drives", span(&nature.burden), point.drives)),
        // A voltage output is loaded the more, the smaller the resistance; a pack that gives one limit for both means current.
        Some(false) if !point.ranges.iter().any(|r| is_current(*r)) => {
            lines.push(at_least::<ResistanceDim>(Fault::Meter, "resistance that it drives", span(&nature.burden), point.drives));
        }
        _ => {}
    }
    lines.extend(isolation(nature, point));
    lines
}
