//! What may stand between a conductor and a point that does not take it as it is: relays, isolators, resistors, supplies. What an
//! ordinary part of its kind does is stated here; the part that is bought must do at least that.

use calc::control::input::bleeder;
use calc::working::Silent;
use plant::fact::Known;
use plant::price::{ListedPart, Prices};
use plant::quantity::dim::{CurrentDim, VoltageDim};
use plant::quantity::{Current, Resistance, System, Voltage, show};
use plant::wires::{Conductor, ControlPoint, Driver, FedBy, Flow, Level, PointKind, Polarity, Wiring};

use super::proof::{Fault, Line, Verdict, at_most, plain, span};

/// A kind of part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PartKind {
    /// Relay whose contact drives an input.
    InputRelay,
    /// Relay that a contact of the unit pulls, whose contact switches the load.
    LoadRelay,
    /// Resistor beside an input.
    Bleeder,
    /// Isolator or converter of an analogue signal.
    Isolator,
    /// Converter of encoder signals.
    EncoderConverter,
    /// Relay for the winding sensor.
    SensorRelay,
    /// Control transformer or supply in place of the old drive's own.
    OwnSupply,
    /// Relay in place of a contact inside the old drive that belonged to another circuit.
    OwnRelay,
}

/// A part in the crosswalk.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Part {
    /// Its kind.
    pub kind: PartKind,
    /// What to buy, with what it must do.
    pub what: String,
    /// Terminals of its side towards the field, in the order of signal and return.
    pub field: &'static [&'static str],
}

impl PartKind {
    /// Minutes to fit and wire it. Common practice, no source.
    pub(super) const fn minutes(self) -> f64 {
        match self {
            Self::Bleeder => 8.0,
            Self::InputRelay | Self::LoadRelay => 20.0,
            Self::Isolator | Self::OwnRelay | Self::SensorRelay => 30.0,
            Self::EncoderConverter => 40.0,
            Self::OwnSupply => 60.0,
        }
    }

    /// What lists of prices call it.
    #[must_use]
    pub const fn listed(self) -> ListedPart {
        match self {
            Self::Bleeder => ListedPart::Resistor,
            Self::InputRelay | Self::LoadRelay | Self::OwnRelay => ListedPart::Relay,
            Self::Isolator => ListedPart::Isolator,
            Self::EncoderConverter => ListedPart::EncoderConverter,
            Self::SensorRelay => ListedPart::SensorRelay,
            Self::OwnSupply => ListedPart::ControlSupply,
        }
    }

    /// Money that it counts as in the choice: its price, else a reckoned figure.
    pub(super) fn counts_as(self, prices: Prices) -> f64 {
        prices.get(self.listed()).unwrap_or_else(|| self.reckoned())
    }

    /// Money that it counts as without a price in the choice between ways of landing, in whatever currency; it stands in no bill. Common practice, no source.
    const fn reckoned(self) -> f64 {
        match self {
            Self::Bleeder => 4.0,
            Self::InputRelay | Self::LoadRelay => 30.0,
            Self::OwnRelay => 45.0,
            Self::OwnSupply => 140.0,
            Self::SensorRelay => 110.0,
            Self::Isolator => 180.0,
            Self::EncoderConverter => 220.0,
        }
    }
}

/// A way through a part: what the part itself is asked, and what the point sees behind it.
pub(super) struct Through {
    pub(super) part: Part,
    pub(super) lines: Vec<Line>,
    pub(super) behind: Conductor,
}

/// Highest voltage over the contact of an interposing relay. Common practice, no source.
const RELAY_VOLTS: Voltage = Voltage::v(250.0);
/// What that contact holds with a coil on alternating current, and on 24 V direct. Common practice, no source.
const RELAY_AC15: Current = Current::a(3.0);
const RELAY_DC13: Current = Current::a(2.0);
/// What it closes on with alternating current. Common practice, no source.
const RELAY_MAKES: Current = Current::a(30.0);
/// What its coil takes, VA or W. Common practice, no source.
const COIL: f64 = 1.0;
/// Share of its rated voltage below which a coil surely drops out: direct, alternating (IEC 61810-1, from memory).
const DROPS_OUT: (f64, f64) = (0.05, 0.15);
/// Resistance that an isolator puts into a loop. Common practice, no source.
const ISOLATOR_BURDEN: Resistance = Resistance::ohm(50.0);
/// Resistance of a converter's input for a current, and for a voltage. Common practice, no source.
const CONVERTER_OHMS: (f64, f64) = (100.0, 100e3);
/// Highest frequency that a converter of encoder signals passes. Common practice, no source.
const CONVERTER_HERTZ: f64 = 300e3;

/// The ways through a part that may mend what fails directly.
pub(super) fn ways(nature: &Conductor, point: &ControlPoint, failing: &[Line]) -> Vec<Through> {
    let fails = |fault: Fault| failing.iter().any(|l| l.verdict == Verdict::Fails && l.fault == fault);
    let only = |fault: Fault| failing.iter().filter(|l| l.verdict == Verdict::Fails).all(|l| l.fault == fault);
    match point.kind {
        Some(PointKind::DigitalInput) => {
            let mut list = Vec::new();
            if fails(Fault::HeldOn) && only(Fault::HeldOn) {
                list.extend(resistor(nature, point));
            }
            list.extend(input_relay(nature));
            list
        }
        Some(PointKind::RelayOutput | PointKind::TransistorOutput) if !fails(Fault::Sense) => {
            load_relay(nature, point).into_iter().collect()
        }
        Some(PointKind::AnalogueInput) => isolator(nature, point, true).into_iter().collect(),
        Some(PointKind::AnalogueOutput) => isolator(nature, point, false).into_iter().collect(),
        Some(PointKind::EncoderInput) => converter(nature, point).into_iter().collect(),
        _ => Vec::new(),
    }
}

fn volts(known: &Known) -> Option<String> {
    span(known).map(|(_, high)| show(high, <VoltageDim as plant::quantity::Dimension>::INFO, System::Metric))
}

/// A resistor beside the input takes the leakage away.
fn resistor(nature: &Conductor, point: &ControlPoint) -> Option<Through> {
    let (_, leaks) = span(&nature.leakage)?;
    let (_, on) = span(&nature.volts)?;
    let (off, own) = (point.off?, point.impedance?);
    let found = bleeder(Current::a(leaks), off, own, Voltage::v(on), &mut Silent).ok()??;
    let what =
        format!("resistor of {} or a little less, {} or more", found.largest.text(System::Metric), (found.heat * 2.0).text(System::Metric));
    let both = 1.0 / (1.0 / found.largest.in_ohm() + 1.0 / own.in_ohm());
    // Seen by the input, less flows through it: the voltage at both is the same.
    let seen = leaks * both / own.in_ohm();
    let behind = Conductor { leakage: Known::Value(seen), ..nature.clone() };
    Some(Through { part: Part { kind: PartKind::Bleeder, what, field: &[] }, lines: Vec::new(), behind })
}

/// A relay on the field's voltage whose contact the new unit feeds.
fn input_relay(nature: &Conductor) -> Option<Through> {
    let coil = volts(&nature.volts)?;
    let flow = nature.flow?;
    let dc = flow == Flow::Dc;
    let kind = if dc { "dc" } else { "ac" };
    let what = format!("interposing relay, coil {coil} {kind}, contact for small currents (gold)");
    let (low, _) = span(&nature.volts)?;
    let drops = low * if dc { DROPS_OUT.0 } else { DROPS_OUT.1 };
    // Resistance of the coil at its rated voltage; leakage through it must leave it below the voltage at which it drops out. Where it does
    // not, a resistor across the coil takes the rest.
    let held = match nature.driver {
        Some(Driver::Contact) => Some((0.0, 0.0)),
        _ => span(&nature.leakage),
    };
    let own = Resistance::ohm(low * low / COIL);
    let (_, high) = span(&nature.volts)?;
    let across = held.and_then(|(_, most)| bleeder(Current::a(most), Voltage::v(drops), own, Voltage::v(high), &mut Silent).ok().flatten());
    let what = match across {
        Some(b) => format!(
            "{what}, resistor of {} or a little less across it, {} or more",
            b.largest.text(System::Metric),
            (b.heat * 2.0).text(System::Metric)
        ),
        None => what,
    };
    let ohms = across.map_or(own.in_ohm(), |b| 1.0 / (1.0 / own.in_ohm() + 1.0 / b.largest.in_ohm()));
    let on_coil = held.map(|(a, b)| (a * ohms, b * ohms));
    let line = at_most::<VoltageDim>(Fault::HeldOn, "voltage on the relay's coil while off", on_coil, Some(Voltage::v(drops)));
    let behind = Conductor {
        driver: Some(Driver::Contact),
        fed_by: Some(FedBy::Drive),
        leakage: Known::Value(0.0),
        least: Known::Value(1e-3),
        polarity: None,
        volts: Known::Missing,
        flow: None,
        ..nature.clone()
    };
    Some(Through { part: Part { kind: PartKind::InputRelay, what, field: &["A1", "A2"] }, lines: vec![line], behind })
}

/// A relay between the unit's contact and the load.
fn load_relay(nature: &Conductor, point: &ControlPoint) -> Option<Through> {
    let flow = nature.flow?;
    let load = span(&nature.load);
    let over = span(&nature.volts);
    let amps = load.zip(over).filter(|(_, (u, _))| *u > 0.0).map(|((a, b), (u, v))| (a / v, b / u));
    let rating = if flow == Flow::Ac { RELAY_AC15 } else { RELAY_DC13 };
    let mut lines = vec![
        at_most::<VoltageDim>(Fault::Voltage, "voltage over the relay's contact", over, Some(RELAY_VOLTS)),
        at_most::<CurrentDim>(Fault::Overload, "current held, by the relay", amps, Some(rating)),
    ];
    if let Some((_, inrush)) = span(&nature.inrush)
        && let Some((u, _)) = over.filter(|(u, _)| *u > 0.0)
    {
        let makes = if flow == Flow::Ac { RELAY_MAKES } else { RELAY_DC13 };
        lines.push(at_most::<CurrentDim>(Fault::Overload, "current at closing, by the relay", Some((inrush / u, inrush / u)), Some(makes)));
    }
    let gold = amps.is_some_and(|(low, _)| low < 0.05);
    let contact = if gold { "gold contact" } else { "contact 250 V, 3 A AC-15" };
    let what = format!("interposing relay, coil 24 V dc with a diode across it, {contact}");
    let behind = Conductor {
        volts: Known::Value(24.0),
        flow: Some(Flow::Dc),
        polarity: match point.wiring {
            Some(Wiring::Source) => Some(Polarity::Positive),
            Some(Wiring::Sink) => Some(Polarity::Negative),
            _ => nature.polarity,
        },
        load: Known::Value(COIL),
        inrush: Known::Missing,
        least: Known::Missing,
        ..nature.clone()
    };
    Some(Through { part: Part { kind: PartKind::LoadRelay, what, field: &["11", "14"] }, lines, behind })
}

/// An isolator or converter: another range, other earths, less resistance in the loop. It cannot give a sign that is not there.
fn isolator(nature: &Conductor, point: &ControlPoint, towards_unit: bool) -> Option<Through> {
    use plant::wires::Range;
    let field = nature.range?;
    let side = *point.ranges.first()?;
    // A bipolar signal at a point without sign loses its direction, whatever stands between.
    let sign_lost = field == Range::Bipolar10 && !point.ranges.contains(&Range::Bipolar10);
    let side = if point.ranges.contains(&field) { field } else { side };
    use plant::choice::Choice;
    let (from, to) = if towards_unit { (field, side) } else { (side, field) };
    let what = format!("isolating converter, {} in, {} out, fed with 24 V dc", from.word(), to.word());
    let mut lines = vec![plain(
        Fault::Range,
        "sign of the signal",
        if field == Range::Bipolar10 { "both signs" } else { "one sign" },
        if sign_lost { "the point has no sign" } else { "kept" },
        if sign_lost { Verdict::Fails } else { Verdict::Holds },
    )];
    if towards_unit && nature.driver == Some(Driver::Loop) {
        let with = ControlPoint {
            burden: Some(ISOLATOR_BURDEN),
            kind: Some(PointKind::AnalogueInput),
            ranges: vec![field],
            isolated: Some(true),
            ..ControlPoint::default()
        };
        lines.extend(super::prove(nature, &with, &mut Silent).into_iter().filter(|l| l.fault == Fault::Loop));
    }
    let behind = Conductor {
        range: Some(side),
        driver: Some(Driver::Source),
        ground: Known::Missing,
        loop_supply: Known::Missing,
        needs: Known::Missing,
        burden: if towards_unit {
            Known::Missing
        } else {
            Known::Value(if super::proof::is_current(side) { CONVERTER_OHMS.0 } else { CONVERTER_OHMS.1 })
        },
        ..nature.clone()
    };
    Some(Through { part: Part { kind: PartKind::Isolator, what, field: &["in +", "in −"] }, lines, behind })
}

fn converter(nature: &Conductor, point: &ControlPoint) -> Option<Through> {
    use plant::choice::Choice;
    let level = nature.level.filter(|l| *l != Level::SineCosine)?;
    let side = *point.levels.first()?;
    let what = format!("converter of encoder signals, {} in, {} out, to 300 kHz", level.word(), side.word());
    let reaches = plain(Fault::Encoder, "what passes the converter", "as the point below", "300 kHz", Verdict::Holds);
    let behind = Conductor { level: Some(side), volts: Known::Missing, load: Known::Missing, ..nature.clone() };
    let frequency = span(&nature.pulses).zip(span(&nature.speed)).map(|((_, z), (_, n))| z * n / std::f64::consts::TAU);
    let reaches =
        Line { verdict: if frequency.is_some_and(|f| f > CONVERTER_HERTZ) { Verdict::Fails } else { reaches.verdict }, ..reaches };
    Some(Through { part: Part { kind: PartKind::EncoderConverter, what, field: &["in"] }, lines: vec![reaches], behind })
}
