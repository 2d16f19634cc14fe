//! For the tests of this group: a small unit with points, and positions with a few conductors.

use plant::choice::Duty;
use plant::fact::Known;
use plant::product::{Module, Series, Slot};
use plant::quantity::{ApparentPower, Current, Frequency, Resistance, Voltage};
use plant::wires::{
    Conductor, ControlPoint, Driver, FedBy, Flow, Level, PointKind, Polarity, Pole, Range, RelaySense, Sense, WireList, Wiring, function,
};

use crate::candidate::{Candidate, Measure};
use crate::check::{Check, Outcome};
use crate::facts::{Stop, Survey};
use crate::fixture::{changed, position, said};

/// The unit: two sinking inputs 24 V dc (3000 Ω, off to 5 V, on from 15 V), an enable that has to be closed, a relay (250 V, 2 A AC-15,
/// from 10 mA, energised when true), an analogue input (4-20 mA into 500 Ω, 0-10 V, not isolated), an analogue output (0-10 V, from 5 kΩ).
/// Module EM brings an encoder input (8-30 V, 100 kHz, 24 V and 6 VA).
pub(crate) fn wired(series: &mut Series) {
    let input = |name: &str, enable: bool| ControlPoint {
        name: name.into(),
        kind: Some(PointKind::DigitalInput),
        terminals: vec![(Pole::Signal, name.into()), (Pole::Return, "C".into())],
        functions: if enable { function("enable").into_iter().collect() } else { Vec::new() },
        flow: Some(Flow::Dc),
        highest: Some(Voltage::v(30.0)),
        on: Some(Voltage::v(15.0)),
        off: Some(Voltage::v(5.0)),
        impedance: Some(Resistance::ohm(3000.0)),
        draws: Some(Current::ma(7.0)),
        wiring: Some(Wiring::Sink),
        must_close: enable,
        ..ControlPoint::default()
    };
    let point = |name: &str, kind, terminals: &[Pole]| ControlPoint {
        name: name.into(),
        kind: Some(kind),
        terminals: terminals.iter().map(|p| (*p, format!("{name}{}", *p as usize))).collect(),
        ..ControlPoint::default()
    };
    let two = [Pole::Signal, Pole::Return];
    series.points = vec![
        input("I1", false),
        input("I2", false),
        input("EN", true),
        ControlPoint {
            highest: Some(Voltage::v(250.0)),
            highest_dc: Some(Voltage::v(30.0)),
            ac15: Some(Current::a(2.0)),
            dc13: Some(Current::a(1.0)),
            least: Some(Current::ma(10.0)),
            sense: Some(RelaySense::WhenTrue),
            ..point("K1", PointKind::RelayOutput, &[Pole::Common, Pole::NormallyOpen, Pole::NormallyClosed])
        },
        ControlPoint {
            ranges: vec![Range::Ma4To20, Range::V10],
            burden: Some(Resistance::ohm(500.0)),
            isolated: Some(false),
            ..point("A1", PointKind::AnalogueInput, &two)
        },
        ControlPoint { ranges: vec![Range::V10], drives: Some(Resistance::ohm(5000.0)), ..point("M1", PointKind::AnalogueOutput, &two) },
        ControlPoint {
            module: Some("EM".into()),
            levels: vec![Level::PushPull],
            frequency: Some(Frequency::khz(100.0)),
            supply: Some(Voltage::v(24.0)),
            supply_load: Some(ApparentPower::va(6.0)),
            ..point("E1", PointKind::EncoderInput, &[Pole::A, Pole::B, Pole::Plus, Pole::Return])
        },
    ];
    series.modules = vec![Module {
        code: "EM".into(),
        what: "encoder input".into(),
        slots: Vec::new(),
        most: 1,
        excludes: Vec::new(),
        carrier: None,
        price: Some(100.0),
    }];
    series.slots = vec![Slot { frame: None, slot: "1".into() }];
}

/// A conductor for a function, with what `say` says of it.
pub(crate) fn wire(id: &str, say: impl FnOnce(&mut Conductor)) -> Conductor {
    let mut wire = Conductor {
        wire: id.into(),
        terminal: id.into(),
        circuit: id.into(),
        function: function(id),
        function_text: id.into(),
        ..Conductor::default()
    };
    say(&mut wire);
    wire
}

/// A signal of 24 V dc from outside that lands as it is.
pub(crate) fn signal(wire: &mut Conductor) {
    wire.volts = Known::Value(24.0);
    wire.flow = Some(Flow::Dc);
    wire.driver = Some(Driver::Pnp);
    wire.polarity = Some(Polarity::Positive);
    wire.fed_by = Some(FedBy::Outside);
    wire.leakage = Known::Value(0.0001);
}

/// A coil of 120 V ac, 60 VA held and 500 VA at closing, on a contact that is closed when true.
pub(crate) fn coil(wire: &mut Conductor) {
    wire.volts = Known::Value(120.0);
    wire.flow = Some(Flow::Ac);
    wire.load = Known::Value(60.0);
    wire.inrush = Known::Value(500.0);
    wire.sense = Some(Sense::ClosedWhenTrue);
}

/// What a check says of these conductors at the unit, after a change to it, with or without the parts of the crosswalk.
#[track_caller]
pub(crate) fn at(
    check: &Check,
    wires: Vec<Conductor>,
    change: impl FnOnce(&mut Series),
    measure: Option<Measure>,
) -> Result<Outcome, Stop> {
    let mut position = position(&[]);
    let mut unit: Candidate<'_> = changed("R1", Duty::Heavy, |s| {
        wired(s);
        change(s);
    });
    assert_eq!(said(check, &Survey::new(&position), &unit).outcome, Ok(Outcome::NotHere), "{}: nothing is listed", check.name);
    position.wires = Some(WireList { conductors: wires, ..WireList::default() }.into());
    if let Some(measure) = measure {
        unit.measures = unit.measures.with(measure);
    }
    said(check, &Survey::new(&position), &unit).outcome
}

/// It holds or fails as said.
#[track_caller]
pub(crate) fn is(check: &Check, wires: Vec<Conductor>, holds: bool) {
    assert_eq!(at(check, wires, |_| (), None), Ok(Outcome::Margin(if holds { 1.0 } else { -1.0 })), "{}", check.name);
}

/// It fails, and holds with the parts.
#[track_caller]
pub(crate) fn is_mended(check: &Check, wires: Vec<Conductor>) {
    is(check, wires.clone(), false);
    // A part may also take away what could fail.
    let with = at(check, wires, |_| (), Some(Measure::ControlParts));
    assert!(matches!(with, Ok(Outcome::NotHere)) || with == Ok(Outcome::Margin(1.0)), "{} with the parts: {with:?}", check.name);
}

/// It hangs on something that is to be found out; `about` is part of what.
#[track_caller]
pub(crate) fn is_open(check: &Check, wires: Vec<Conductor>, about: &str) {
    let said = at(check, wires, |_| (), None);
    assert!(matches!(&said, Err(Stop::Refused(what)) if what.contains(about)), "{}: {said:?}", check.name);
}

/// It cannot arise with these conductors.
#[track_caller]
pub(crate) fn is_not_here(check: &Check, wires: Vec<Conductor>) {
    assert_eq!(at(check, wires, |_| (), None), Ok(Outcome::NotHere), "{}", check.name);
}
