//! For the tests of checks: an invented series, and surveys written as text, so that a test reads like the case behind it.
//! Everything here is invented; the figures are round so that a margin can be worked out by hand.

use calc::working::{Silent, Working};
use plant::choice::{
    Control, DerateKind, Duty, FrontEnd, Grounding, Insulation, Links, Metal, MotorKind, Presence, ProtectiveDevice, Style, WindingSensor,
    YesNo,
};
use plant::fact::{Fact, Place};
use plant::position::Position;
use plant::product::{Derate, Frame, LineSide, MotorControl, MotorSide, MountingStyle, Overload, Protection, Rating, Series, VoltageClass};
use plant::quantity::{Area, Capacitance, Current, Frequency, Length, Power, Rate, Ratio, Resistance, Temperature, Time, Voltage, parse};
use plant::survey::{self, DUTY_COLUMNS, DUTY_ROWS, FactId, Kind};

use crate::candidate::{Candidate, Measure};
use crate::check::{Check, Outcome};
use crate::facts::{FactSet, Stop, Survey};

/// A survey as its file says it: `("motor.current", "52 A")`, `("supply.grounding", "solid")`, `("duty[1].speed", "-50 Hz")`.
pub(crate) type Entries<'a> = &'a [(&'a str, &'a str)];

/// A place that takes nothing from the rated current of the series below.
pub(crate) const GOOD_PLACE: Entries<'static> = &[
    ("conditions.altitude", "1000 m"),
    ("conditions.air_temperature", "40 °C"),
    ("conditions.mounting", "spaced"),
    ("supply.phases", "three"),
    ("supply.unbalance", "1 %"),
];

/// An endless cycle: 150 A for 10 s, 100 A for 40 s, 60 A for 30 s, nothing for 20 s.
pub(crate) const CYCLE: Entries<'static> = &[
    ("duty[1].current", "150 A"),
    ("duty[1].time", "10 s"),
    ("duty[2].current", "100 A"),
    ("duty[2].time", "40 s"),
    ("duty[3].current", "60 A"),
    ("duty[3].time", "30 s"),
    ("duty[4].current", "0 A"),
    ("duty[4].time", "20 s"),
];

/// Expectations stand as a person writes them down, in % with two places.
const TWO_PLACES: f64 = 0.005 + 1e-9;
/// What is exactly covered is so but for the last bits of its division.
const LAST_BITS: f64 = 1e-9;

/// The series: three order codes in two frames, each for light and heavy duty.
///
/// | code | frame | light | heavy | losses | chopper                  | supplies                          |
/// |------|-------|-------|-------|--------|--------------------------|-----------------------------------|
/// | R1   | small |  65 A |  52 A |  900 W | to be ordered: 24 Ω      | whatever the series allows        |
/// | R2   | large | 100 A |  80 A | 1500 W | always there: 20 Ω       | solid and high-resistance alone   |
/// | R3   | large | 240 A | 208 A | 4000 W | as R2                    | as R2                             |
pub(crate) fn series() -> Series {
    let rating = |code: &str, frame: &str, duty, current, losses| Rating {
        code: code.into(),
        frame: frame.into(),
        class: "480".into(),
        duty,
        current: Current::a(current),
        input_current: Current::a(current),
        label_power: Power::kw(0.5 * current),
        losses: Some(Power::w(losses)),
        idle_losses: None,
        price: None,
        place: Place::default(),
    };
    let overload = |duty, percent, seconds| Overload { duty, multiple: Ratio::percent(percent), time: Time::s(seconds), repeat: None };
    let curve = |kind, points: &[(f64, f64)]| Derate { kind, frame: None, duty: None, points: points.to_vec() };
    let air = |celsius| Temperature::c(celsius).in_si();
    let (mm, mm2) = (Length::mm, |area| Some(Area::mm2(area)));
    let small = |frame: Frame| Frame {
        width: mm(150.0),
        height: mm(300.0),
        depth: mm(200.0),
        front: mm(20.0),
        bend_space: Some(mm(100.0)),
        terminal_smallest: mm2(2.5),
        terminal_largest: mm2(25.0),
        terminal_conductors: Some(1),
        terminal_metals: vec![Metal::Copper],
        terminal_fine: Some(YesNo::No),
        ..frame
    };
    let large = |frame: Frame| Frame { width: mm(300.0), height: mm(600.0), depth: mm(300.0), front: mm(25.0), ..frame };
    let frame = |name: &str, chopper, ohm, groundings: &[Grounding]| Frame {
        name: name.into(),
        clear_above: mm(100.0),
        clear_below: mm(100.0),
        enclosure: "IP20".into(),
        enclosure_kit: Some("KIT-1 to type 1".into()),
        enclosure_kit_price: Some(60.0),
        chopper,
        chopper_level: Some(Voltage::v(800.0)),
        chopper_smallest: Some(Resistance::ohm(ohm)),
        chopper_price: Some(150.0),
        bus_capacitance: Some(Capacitance::uf(1500.0)),
        groundings: groundings.to_vec(),
        ..Frame::default()
    };
    Series {
        id: "invented".into(),
        name: "Invented".into(),
        maker: "Nobody".into(),
        classes: vec![VoltageClass { name: "480".into(), lowest: Voltage::v(342.0), highest: Voltage::v(528.0) }],
        ratings: vec![
            rating("R1", "small", Duty::Light, 65.0, 900.0),
            rating("R1", "small", Duty::Heavy, 52.0, 900.0),
            rating("R2", "large", Duty::Light, 100.0, 1500.0),
            rating("R2", "large", Duty::Heavy, 80.0, 1500.0),
            rating("R3", "large", Duty::Light, 240.0, 4000.0),
            rating("R3", "large", Duty::Heavy, 208.0, 4000.0),
        ],
        frames: vec![
            small(frame("small", Presence::Optional, 24.0, &[])),
            large(frame("large", Presence::Standard, 20.0, &[Grounding::Solid, Grounding::HighResistance])),
        ],
        mountings: vec![MountingStyle {
            frame: "large".into(),
            style: Style::ThroughWall,
            clear_above: mm(100.0),
            clear_below: mm(100.0),
            clear_side: mm(0.0),
            depth: Some(mm(150.0)),
            heat_inside: Ratio::percent(30.0),
            rating: Some("IP54".into()),
            kit: None,
            kit_price: None,
        }],
        overloads: vec![overload(Duty::Light, 110.0, 60.0), overload(Duty::Heavy, 150.0, 60.0), overload(Duty::Heavy, 180.0, 3.0)],
        derates: vec![
            curve(DerateKind::Altitude, &[(1000.0, 1.0), (3000.0, 0.8)]),
            curve(DerateKind::AirTemperature, &[(air(40.0), 1.0), (air(50.0), 0.9)]),
            curve(DerateKind::Carrier, &[(4000.0, 1.0), (8000.0, 0.7)]),
            curve(DerateKind::OutputFrequency, &[(0.0, 0.5), (4.0, 1.0)]),
            curve(DerateKind::SideBySide, &[(0.0, 0.9)]),
            curve(DerateKind::SinglePhase, &[(0.0, 0.5)]),
            curve(DerateKind::Unbalance, &[(0.01, 1.0), (0.03, 0.9)]),
        ],
        groundings: vec![
            (Grounding::Solid, Links::In),
            (Grounding::CornerGrounded, Links::Out),
            (Grounding::HighResistance, Links::Out),
            (Grounding::Ungrounded, Links::NotAllowed),
        ],
        line_sides: ["small", "large"].map(line_side).to_vec(),
        motor_sides: ["small", "large"].map(motor_side).to_vec(),
        protections: ["R1", "R2", "R3"].iter().zip([90.0, 175.0, 400.0]).flat_map(|(code, most)| listed(code, most)).collect(),
        unbalance_limit: Some(Ratio::percent(3.0)),
        control: MotorControl {
            motors: vec![MotorKind::Induction, MotorKind::Reluctance],
            methods: vec![Control::Scalar, Control::OpenLoopVector],
            highest_frequency: Frequency::hz(120.0),
            smallest_motor: Ratio::percent(25.0),
            default_voltage: Some(Voltage::v(460.0)),
            default_frequency: Some(Frequency::hz(60.0)),
            default_carrier: Some(Frequency::khz(4.0)),
        },
        ..Series::default()
    }
}

/// Line side of a frame: six pulses, no choke, 12 mA to earth, earth-fault trip at half, 12 power-ups an hour, 400 V trip, 75 °C.
fn line_side(frame: &str) -> LineSide {
    LineSide {
        frame: frame.into(),
        front_end: FrontEnd::SixPulse,
        choke: Some(Ratio::ZERO),
        distortion: None,
        leakage: Some(Current::ma(12.0)),
        earth_trip: Some(Ratio::percent(50.0)),
        power_ups: Some(Rate::per_h(12.0)),
        undervoltage: Some(Voltage::v(400.0)),
        terminals: Some(Insulation::C75),
        reactor: Some("LR-1".into()),
        reactor_price: Some(200.0),
        filter: None,
        filter_price: None,
    }
}

/// Motor side of a frame: 0.2 µs, 50 m screened and 100 m unscreened, reads PTC and thermostat, charges 4500 µF, proves torque.
fn motor_side(frame: &str) -> MotorSide {
    MotorSide {
        frame: frame.into(),
        rise: Some(Time::us(0.2)),
        cable_screened: Some(Length::m(50.0)),
        cable_unscreened: Some(Length::m(100.0)),
        sensors: Some(vec![WindingSensor::Ptc, WindingSensor::Thermostat]),
        charges: Some(Capacitance::uf(4500.0)),
        torque_proving: Some(YesNo::Yes),
        kinetic: Some(YesNo::No),
        filter: Some("DF-1".into()),
        filter_peak: Some(Voltage::v(900.0)),
        filter_price: Some(700.0),
    }
}

/// What a code is listed with: class J up to a size at 100 kA, a breaker a little larger at 25 kA.
fn listed(code: &str, most: f64) -> [Protection; 2] {
    let row = |device, largest, rating| Protection {
        code: code.into(),
        device,
        largest: Current::a(largest),
        short_circuit_rating: Current::ka(rating),
        price: Some(most),
    };
    [row(ProtectiveDevice::FuseJ, most, 100.0), row(ProtectiveDevice::Breaker, most + 10.0, 25.0)]
}

/// A candidate of the series.
pub(crate) fn unit(code: &str, duty: Duty) -> Candidate<'static> {
    changed(code, duty, |_| ())
}

/// A candidate of the series with something about it changed.
pub(crate) fn changed(code: &str, duty: Duty, change: impl FnOnce(&mut Series)) -> Candidate<'static> {
    let mut series = series();
    change(&mut series);
    // A candidate borrows its series, and a test is short.
    let series: &'static Series = Box::leak(Box::new(series));
    Candidate::all(series).find(|c| c.rating.code == code && c.rating.duty == duty).expect(code)
}

/// The same candidate with the one remedy that the check has for it.
#[track_caller]
pub(crate) fn remedied<'a>(check: &Check, unit: &Candidate<'a>) -> Candidate<'a> {
    let remedies = (check.remedies)(unit);
    let [only] = remedies.as_slice() else { panic!("not one remedy: {remedies:?}") };
    assert!(check.measures.contains(&only.measure), "{}: looks for no {:?}", check.name, only.measure);
    let mut with = unit.clone();
    with.measures = with.measures.with(only.measure);
    with
}

/// The same candidate with one of the remedies that the check has for it.
#[track_caller]
pub(crate) fn with<'a>(check: &Check, unit: &Candidate<'a>, measure: Measure) -> Candidate<'a> {
    assert!((check.remedies)(unit).iter().any(|r| r.measure == measure), "{} offers no {measure:?}", check.name);
    let mut with = unit.clone();
    with.measures = with.measures.with(measure);
    with
}

/// A position that says this and nothing else; rows of the duty table come into being as they are named.
pub(crate) fn position(entries: Entries<'_>) -> Position {
    let mut position = Position::unknown("T-1");
    for (path, text) in entries {
        let id = fact_id(path);
        while position.fact(id).is_none() {
            position.duty.push(vec![Fact::default(); DUTY_COLUMNS.len()]);
        }
        *position.fact_mut(id).expect(path) = Fact::value(raw(id, text));
    }
    position
}

/// The fact of that path, cells of the duty table included.
pub(crate) fn fact_id(path: &str) -> FactId {
    let cells = (0..DUTY_ROWS).flat_map(|row| (0..DUTY_COLUMNS.len()).map(move |column| survey::duty_cell(row, column)));
    survey::find(path).or_else(|| cells.into_iter().find(|id| survey::path(*id) == path)).expect(path)
}

fn raw(id: FactId, text: &str) -> f64 {
    match survey::def(id).kind {
        Kind::Quantity(info) => parse(text, info).unwrap_or_else(|wrong| panic!("{}: {wrong}", survey::path(id))),
        Kind::Choice(info) => f64::from(u8::try_from(info.index(text).expect(text)).expect("a handful of words")),
    }
}

/// What a check said, and what it looked at.
#[derive(Debug)]
pub(crate) struct Said {
    /// Its outcome.
    pub(crate) outcome: Result<Outcome, Stop>,
    /// Facts among those read that may not be assumed.
    pub(crate) open: FactSet,
    /// Its working.
    pub(crate) working: Working,
}

/// Runs a check at the middle of whatever the survey leaves open, quickly and with its working: both must agree.
#[track_caller]
pub(crate) fn said(check: &Check, survey: &Survey<'_>, unit: &Candidate<'_>) -> Said {
    let point = survey.middle();
    let (mut reader, mut working) = (survey.at(&point), Working::default());
    let quick = (check.quick)(&mut reader, unit, &mut Silent);
    let worked = (check.worked)(&mut survey.at(&point), unit, &mut working);
    assert_eq!(quick, worked, "{}: the quick way and the worked one differ", check.name);
    assert!(!matches!(quick, Ok(Outcome::Margin(_))) || !working.steps.is_empty(), "{}: a margin without working", check.name);
    Said { outcome: quick, open: *reader.open(), working }
}

/// The outcome of a check.
#[track_caller]
pub(crate) fn outcome(check: &Check, entries: Entries<'_>, unit: &Candidate<'_>) -> Result<Outcome, Stop> {
    said(check, &Survey::new(&position(entries)), unit).outcome
}

/// The check gives this margin, which a person has worked out to two places.
#[track_caller]
pub(crate) fn by_hand(check: &Check, entries: Entries<'_>, unit: &Candidate<'_>, expected: f64) {
    near(outcome(check, entries, unit), expected, TWO_PLACES);
}

/// The check neither holds with room nor fails: the margin is zero.
#[track_caller]
pub(crate) fn just_covered(check: &Check, entries: Entries<'_>, unit: &Candidate<'_>) {
    near(outcome(check, entries, unit), 0.0, LAST_BITS);
}

#[track_caller]
pub(crate) fn near(outcome: Result<Outcome, Stop>, expected: f64, within: f64) {
    let Ok(Outcome::Margin(margin)) = outcome else { panic!("{outcome:?} is no margin of {expected}") };
    assert!((margin - expected).abs() <= within, "{margin} is not {expected}");
}

/// The check stops because nothing may be assumed for this fact.
#[track_caller]
pub(crate) fn is_open(check: &Check, entries: Entries<'_>, unit: &Candidate<'_>, path: &str) {
    assert_eq!(outcome(check, entries, unit), Err(Stop::Open(fact_id(path))));
}

/// The check stops because the pack does not say what it needs; `about` is part of what is asked for.
#[track_caller]
pub(crate) fn is_silent(check: &Check, entries: Entries<'_>, unit: &Candidate<'_>, about: &str) {
    let said = outcome(check, entries, unit);
    assert!(matches!(said, Err(Stop::PackSilent(what)) if what.contains(about)), "{said:?}");
}

/// The fault cannot arise there.
#[track_caller]
pub(crate) fn is_not_here(check: &Check, entries: Entries<'_>, unit: &Candidate<'_>) {
    assert_eq!(outcome(check, entries, unit), Ok(Outcome::NotHere));
}
