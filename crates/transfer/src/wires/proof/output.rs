//! Contacts and transistors of the unit against what they switch.

use calc::control::contact::{AC15_MAKES, load_current};
use calc::working::Recorder;
use plant::quantity::dim::{CurrentDim, VoltageDim};
use plant::quantity::{ApparentPower, Current, Voltage};
use plant::wires::{Conductor, ControlPoint, Flow, PointKind, Polarity, RelaySense, Sense, Wiring};

use super::{Fault, Line, Span, Verdict, at_least, at_most, plain, same, span};

pub(super) fn lines<R: Recorder>(nature: &Conductor, point: &ControlPoint, rec: &mut R) -> Vec<Line> {
    let transistor = point.kind == Some(PointKind::TransistorOutput);
    let mut lines = Vec::new();
    let dc = nature.flow == Some(Flow::Dc);
    if transistor {
        lines.push(same(Fault::Voltage, "kind of voltage", nature.flow, Some(Flow::Dc)));
        lines.push(side(nature, point));
    } else if point.flow.is_some() {
        lines.push(same(Fault::Voltage, "kind of voltage", nature.flow, point.flow));
    }
    let highest = if dc { point.highest_dc.or(point.highest) } else { point.highest };
    // While the kind of voltage is not known, the lower of both limits is the one to keep.
    let highest = if nature.flow.is_none() { lower(point.highest, point.highest_dc) } else { highest };
    lines.push(at_most::<VoltageDim>(Fault::Voltage, "voltage over the contact", span(&nature.volts), highest));
    load(nature, point, dc, &mut lines, rec);
    if transistor {
        if let Some(least) = span(&nature.least) {
            // The load's limit may be a range: only its lower end is safe, only above its upper end is it certainly held.
            let leaks = point.leakage.map(|i| (i.in_a(), i.in_a()));
            let line = at_most::<CurrentDim>(Fault::HeldOn, "current while off", leaks, Some(Current::a(least.0)));
            let held = leaks.is_some_and(|(low, _)| low > least.1);
            let verdict = if line.verdict == Verdict::Fails && !held { Verdict::Open } else { line.verdict };
            lines.push(Line { verdict, ..line });
        }
        // Without supply a transistor lets nothing through, whatever it tells.
        if let Some(wanted) = nature.sense {
            let need = if wanted == Sense::ClosedWhenTrue { "open without supply" } else { "closed without supply" };
            lines.push(plain(Fault::Sense, "state without supply", "open", need, so(wanted == Sense::ClosedWhenTrue)));
        }
    } else {
        lines.extend(sense(nature, point));
    }
    lines
}

fn lower(one: Option<Voltage>, other: Option<Voltage>) -> Option<Voltage> {
    match (one, other) {
        (Some(a), Some(b)) => Some(a.min(b)),
        (a, b) => a.or(b),
    }
}

/// Which side a transistor switches, against the side that the load hangs on.
fn side(nature: &Conductor, point: &ControlPoint) -> Line {
    let switches = match point.wiring {
        Some(Wiring::Source) => Some(Polarity::Positive),
        Some(Wiring::Sink) => Some(Polarity::Negative),
        _ => None,
    };
    if point.wiring == Some(Wiring::Either) {
        return plain(Fault::Polarity, "which side is switched", "either", "either", Verdict::Holds);
    }
    same(Fault::Polarity, "which side is switched", nature.polarity, switches)
}

/// Smallest and largest current of a load at a voltage.
fn current<R: Recorder>(symbol: &'static str, what: &'static str, load: Span, volts: Span, rec: &mut R) -> Span {
    let ((low, high), (least, most)) = load.zip(volts).filter(|(_, (least, _))| *least > 0.0)?;
    let at = |s: f64, u: f64, rec: &mut R| load_current(symbol, what, ApparentPower::va(s), Voltage::v(u), rec).ok().map(|i| i.in_a());
    Some((at(low, most, &mut *rec)?, at(high, least, &mut *rec)?))
}

fn load<R: Recorder>(nature: &Conductor, point: &ControlPoint, dc: bool, lines: &mut Vec<Line>, rec: &mut R) {
    let (volts, held) = (span(&nature.volts), span(&nature.load));
    let rating = match nature.flow {
        Some(Flow::Ac) => point.ac15,
        Some(Flow::Dc) => point.dc13,
        None => match (point.ac15, point.dc13) {
            (Some(a), Some(b)) => Some(a.min(b)),
            _ => None,
        },
    };
    let amps = current("I", "held", held, volts, rec);
    lines.push(at_most::<CurrentDim>(Fault::Overload, "current held", amps, rating));
    // A coil's pull-in is not below its holding; where only the load is listed, it is open how much more it takes at closing.
    if let Some(inrush) = span(&nature.inrush) {
        let makes = point.makes.or_else(|| rating.map(|r| if dc { r } else { r * AC15_MAKES }));
        let amps = current("I_in", "at closing", Some(inrush), volts, rec);
        lines.push(at_most::<CurrentDim>(Fault::Overload, "current at closing", amps, makes));
    }
    if let Some(least) = point.least {
        lines.push(at_least::<CurrentDim>(Fault::Wetting, "current that keeps the contact clean", amps, Some(least)));
    }
}

/// The state in which the contact is closed, with the unit dead as well.
fn sense(nature: &Conductor, point: &ControlPoint) -> Option<Line> {
    // What the plant needs: open without supply, or closed without supply.
    let wanted = nature.sense?;
    let (no, nc) =
        (point.terminal(plant::wires::Pole::NormallyOpen).is_some(), point.terminal(plant::wires::Pole::NormallyClosed).is_some());
    let need = match wanted {
        Sense::ClosedWhenTrue => "closed while it is so, open without supply",
        Sense::OpenWhenTrue => "open while it is so, closed without supply",
    };
    let verdict = match (wanted, point.sense) {
        (_, None) => Verdict::Open,
        // A relay energised while it is so closes its make contact then, and opens its break contact.
        (Sense::ClosedWhenTrue, Some(RelaySense::WhenTrue | RelaySense::Settable)) => so(no),
        (Sense::OpenWhenTrue, Some(RelaySense::WhenTrue | RelaySense::Settable)) => so(nc),
        // Energised while it is not so: the break contact is closed while it is so, and without supply as well.
        (_, Some(RelaySense::WhenFalse)) => Verdict::Fails,
    };
    let have = match point.sense {
        None => "the pack is silent",
        Some(RelaySense::Settable) => "a relay that can be set either way",
        Some(RelaySense::WhenTrue) => "a relay energised while it is so",
        Some(RelaySense::WhenFalse) => "a relay energised while it is not so",
    };
    Some(plain(Fault::Sense, "state of the contact, without supply too", have, need, verdict))
}

fn so(is: bool) -> Verdict {
    if is { Verdict::Holds } else { Verdict::Fails }
}
