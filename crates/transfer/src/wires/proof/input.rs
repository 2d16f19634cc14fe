//! Digital inputs and safety channels.

use calc::control::input::off_voltage;
use calc::working::Recorder;
use plant::quantity::dim::{CurrentDim, VoltageDim};
use plant::quantity::{Current, Resistance, Voltage};
use plant::wires::{Conductor, ControlPoint, Driver, FedBy, Flow, Polarity, Wiring};

use super::{Fault, Line, Span, Verdict, at_least, at_most, plain, same, span};

/// A contact that the old drive fed is dry once the old drive is gone: the new unit feeds it from its own supply.
pub(in crate::wires) fn is_dry(nature: &Conductor) -> bool {
    nature.fed_by == Some(FedBy::Drive) && matches!(nature.driver, Some(Driver::Contact))
}

/// Current that flows while the device is off. A contact lets nothing through; of all else nothing is assumed.
fn leakage(nature: &Conductor) -> Span {
    span(&nature.leakage).or((nature.driver == Some(Driver::Contact)).then_some((0.0, 0.0)))
}

pub(super) fn lines<R: Recorder>(nature: &Conductor, point: &ControlPoint, rec: &mut R) -> Vec<Line> {
    let mut lines = Vec::new();
    if is_dry(nature) {
        // No unit gives 120 V for contacts any more; a point for alternating current needs a supply from outside.
        let verdict = if point.flow == Some(Flow::Ac) { Verdict::Fails } else { Verdict::Holds };
        lines.push(plain(
            Fault::Voltage,
            "feed of the contact",
            "the old drive's supply, which goes with it",
            "the new unit's own supply, direct current",
            verdict,
        ));
    } else {
        if point.flow.is_some() {
            lines.push(same(Fault::Voltage, "kind of voltage", nature.flow, point.flow));
        }
        lines.push(at_most::<VoltageDim>(Fault::Voltage, "highest voltage", span(&nature.volts), point.highest));
        lines.push(at_least::<VoltageDim>(Fault::NotSeen, "voltage while on", span(&nature.volts), point.on));
        if point.flow != Some(Flow::Ac) && nature.flow != Some(Flow::Ac) {
            lines.push(polarity(nature, point));
        }
    }
    lines.push(held_on(nature, point, rec));
    lines.extend(wetted(nature, point));
    lines
}

/// Two channels of a safety function: as inputs, and nothing stands between them and the devices that drive them.
pub(super) fn safe<R: Recorder>(nature: &Conductor, point: &ControlPoint, rec: &mut R) -> Vec<Line> {
    lines(nature, point, rec)
        .into_iter()
        .map(|line| Line { fault: if line.fault == Fault::Voltage { Fault::Safety } else { line.fault }, ..line })
        .collect()
}

/// Which way the current has to flow.
pub(in crate::wires) fn needed_wiring(nature: &Conductor) -> Option<Wiring> {
    match (nature.driver, nature.polarity) {
        (Some(Driver::Pnp), None | Some(Polarity::Positive))
        | (Some(Driver::Contact | Driver::Source | Driver::Triac), Some(Polarity::Positive)) => Some(Wiring::Sink),
        (Some(Driver::Npn), None | Some(Polarity::Negative))
        | (Some(Driver::Contact | Driver::Source | Driver::Triac), Some(Polarity::Negative)) => Some(Wiring::Source),
        _ => None,
    }
}

/// The list says of one transistor that it switches the side that its kind does not switch.
fn contradicts(nature: &Conductor) -> bool {
    matches!(
        (nature.driver, nature.polarity),
        (Some(Driver::Pnp), Some(Polarity::Negative)) | (Some(Driver::Npn), Some(Polarity::Positive))
    )
}

fn polarity(nature: &Conductor, point: &ControlPoint) -> Line {
    let needed = needed_wiring(nature);
    let need = match point.wiring {
        None => "the pack is silent",
        Some(Wiring::Sink) => "an input that draws current",
        Some(Wiring::Source) => "an input that feeds current",
        Some(Wiring::Either) => "either, by its common",
    };
    let have = match needed {
        None => "not known",
        Some(Wiring::Sink) => "a switch of the positive side",
        Some(_) => "a switch of the zero-volt side",
    };
    let verdict = match (needed, point.wiring) {
        _ if contradicts(nature) => Verdict::Open,
        (None, _) | (_, None) => Verdict::Open,
        (Some(_), Some(Wiring::Either)) => Verdict::Holds,
        (Some(one), Some(other)) if one == other => Verdict::Holds,
        _ => Verdict::Fails,
    };
    plain(Fault::Polarity, "which side is switched", have, need, verdict)
}

fn held_on<R: Recorder>(nature: &Conductor, point: &ControlPoint, rec: &mut R) -> Line {
    let leaks = leakage(nature);
    let volts = leaks.zip(point.impedance).and_then(|((low, high), r): ((f64, f64), Resistance)| {
        let at = |i: f64, rec: &mut R| off_voltage(Current::a(i), r, rec).ok().map(|u| u.in_v());
        Some((at(low, &mut *rec)?, at(high, &mut *rec)?))
    });
    let volts = if leaks == Some((0.0, 0.0)) { Some((0.0, 0.0)) } else { volts };
    at_most::<VoltageDim>(
        Fault::HeldOn,
        "voltage while off",
        volts,
        point.off.or_else(|| (leaks == Some((0.0, 0.0))).then_some(Voltage::ZERO)),
    )
}

/// A contact that wants more than the input draws is not sure to be seen.
fn wetted(nature: &Conductor, point: &ControlPoint) -> Option<Line> {
    let least = span(&nature.least).filter(|_| matches!(nature.driver, Some(Driver::Contact)))?;
    let draws = point.draws.map(|i| (i.in_a(), i.in_a()));
    // The limit is the contact's own, and may be a range: the worse end decides against it.
    let line = at_least::<CurrentDim>(Fault::Wetting, "current through the contact", draws, Some(Current::a(least.1)));
    let verdict = match draws {
        Some((_, high)) if high < least.0 => Verdict::Fails,
        Some((low, _)) if low >= least.1 => Verdict::Holds,
        _ => Verdict::Open,
    };
    Some(Line { verdict, ..line })
}
