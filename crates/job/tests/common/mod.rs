//! Random positions and an invented series for property tests. Everything here is invented.
#![allow(dead_code, unreachable_pub, clippy::panic, reason = "each test takes what it needs, and stops at what cannot be")]
#![allow(clippy::cast_precision_loss, clippy::cast_possible_truncation, reason = "random numbers of tests are small")]

pub mod sheet;

use plant::choice::{
    Choice, Control, DerateKind, Duty, FrontEnd, Grounding, Insulation, Links, MotorKind, Presence, ProtectiveDevice, WindingSensor, YesNo,
};
use plant::control::{Habit, HabitRow, WordSet};
use plant::fact::{Fact, Known, Origin, Place};
use plant::position::Position;
use plant::product::{Derate, Frame, LineSide, MotorControl, MotorSide, Overload, Protection, Rating, Series, VoltageClass};
use plant::quantity::{Capacitance, Current, Frequency, Length, Power, Rate, Ratio, Resistance, Temperature, Time, Voltage};
use plant::survey::{self, DUTY_COLUMNS, FACTS, FactDef, Kind};

/// A small generator whose whole state is one number, so that a failing case can be named.
pub struct Random(pub u64);

impl Random {
    pub fn next(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0
    }

    /// 0 … 1, ends included now and then.
    pub fn share(&mut self) -> f64 {
        match self.next() % 16 {
            0 => 0.0,
            1 => 1.0,
            _ => (self.next() >> 11) as f64 / (1u64 << 53) as f64,
        }
    }

    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + self.share() * (high - low)
    }

    pub fn below(&mut self, count: usize) -> usize {
        (self.next() % count as u64) as usize
    }

    pub fn one_in(&mut self, n: u64) -> bool {
        self.next().is_multiple_of(n)
    }
}

/// A series with ratings around what the random motors need.
pub fn series(random: &mut Random) -> Series {
    let curve = |kind, points: Vec<(f64, f64)>| Derate { kind, frame: None, duty: None, points };
    let rating = |code: &str, duty, current: f64| Rating {
        code: code.into(),
        frame: "A".into(),
        class: "480".into(),
        duty,
        current: Current::a(current),
        input_current: Current::a(current * 1.05),
        label_power: Power::kw(current * 0.55),
        losses: Some(Power::w(current * 15.0)),
        idle_losses: (current < 100.0).then(|| Power::w(current * 3.0)),
        price: Some(500.0 + current * 40.0),
        place: Default::default(),
    };
    let mut ratings = Vec::new();
    for (i, current) in [22.0, 40.0, 61.0, 95.0, 140.0].into_iter().enumerate() {
        let current = current * random.between(0.9, 1.1);
        ratings.push(rating(&format!("{i}"), Duty::Light, current));
        ratings.push(rating(&format!("{i}"), Duty::Heavy, current * random.between(0.7, 0.9)));
    }
    let overload = |duty, multiple: f64, time| Overload { duty, multiple: Ratio::of_one(multiple), time: Time::s(time), repeat: None };
    let listed = |code: usize, device, largest: f64, rating| Protection {
        code: code.to_string(),
        device,
        largest: Current::a(largest),
        short_circuit_rating: Current::ka(rating),
        price: None,
    };
    let protections = [50.0, 80.0, 125.0, 200.0, 300.0].iter().enumerate().flat_map(|(code, largest)| {
        [listed(code, ProtectiveDevice::FuseJ, *largest, 100.0), listed(code, ProtectiveDevice::Breaker, largest * 1.2, 25.0)]
    });
    Series {
        protections: protections.collect(),
        line_sides: vec![LineSide {
            frame: "A".into(),
            // What it draws is stated: the soundness of the check does not hang on how a spectrum is found, its time does.
            front_end: FrontEnd::Active,
            choke: Some(Ratio::percent(random.between(0.0, 4.0))),
            distortion: Some(Ratio::percent(random.between(3.0, 40.0))),
            leakage: Some(Current::ma(random.between(2.0, 60.0))),
            earth_trip: Some(Ratio::percent(50.0)),
            power_ups: Some(Rate::per_h(12.0)),
            undervoltage: Some(Voltage::v(400.0)),
            terminals: Some(Insulation::C75),
            reactor: None,
            reactor_price: None,
            filter: None,
            filter_price: None,
        }],
        motor_sides: vec![MotorSide {
            frame: "A".into(),
            rise: Some(Time::us(random.between(0.05, 1.0))),
            cable_screened: Some(Length::m(random.between(20.0, 150.0))),
            cable_unscreened: Some(Length::m(random.between(30.0, 300.0))),
            sensors: Some(vec![WindingSensor::Ptc]),
            charges: Some(Capacitance::uf(random.between(1000.0, 9000.0))),
            torque_proving: Some(YesNo::No),
            kinetic: Some(YesNo::Yes),
            filter: Some("DF".into()),
            filter_peak: Some(Voltage::v(900.0)),
            filter_price: Some(700.0),
        }],
        id: "invented".into(),
        name: "Invented".into(),
        maker: "Nobody".into(),
        offered: true,
        currency: "EUR".into(),
        classes: vec![VoltageClass { name: "480".into(), lowest: Voltage::v(342.0), highest: Voltage::v(528.0) }],
        ratings,
        frames: vec![Frame {
            name: "A".into(),
            chopper: [Presence::Absent, Presence::Optional, Presence::Standard][random.below(3)],
            chopper_level: Some(Voltage::v(790.0)),
            chopper_smallest: Some(Resistance::ohm(random.between(5.0, 40.0))),
            chopper_price: Some(120.0),
            bus_capacitance: Some(Capacitance::uf(random.between(500.0, 4000.0))),
            groundings: if random.one_in(4) { vec![Grounding::Solid] } else { Vec::new() },
            ..Frame::default()
        }],
        overloads: vec![
            overload(Duty::Light, 1.1, 60.0),
            overload(Duty::Light, 1.2, 3.0),
            overload(Duty::Heavy, 1.5, 60.0),
            overload(Duty::Heavy, 1.8, 3.0),
        ],
        derates: vec![
            curve(DerateKind::Altitude, vec![(1000.0, 1.0), (2000.0, 0.9), (3000.0, 0.8)]),
            curve(
                DerateKind::AirTemperature,
                vec![(Temperature::c(40.0).in_si(), 1.0), (Temperature::c(50.0).in_si(), 0.9), (Temperature::c(55.0).in_si(), 0.8)],
            ),
            curve(DerateKind::Carrier, vec![(2000.0, 1.0), (4000.0, 0.95), (8000.0, 0.7)]),
            curve(DerateKind::OutputFrequency, vec![(0.0, 0.7), (5.0, 1.0)]),
            curve(DerateKind::SideBySide, vec![(0.0, 0.95)]),
            curve(DerateKind::SinglePhase, vec![(0.0, 0.5)]),
            curve(DerateKind::Unbalance, vec![(0.01, 1.0), (0.03, 0.9), (0.05, 0.8)]),
        ],
        combine: [plant::choice::Combine::Multiply, plant::choice::Combine::Add, plant::choice::Combine::Lowest][random.below(3)],
        groundings: vec![
            (Grounding::Solid, Links::In),
            (Grounding::CornerGrounded, Links::Out),
            (Grounding::HighResistance, Links::Out),
            (Grounding::Ungrounded, Links::Out),
        ],
        habits: habits(random),
        safe_off_link: [None, Some(true), Some(false)][random.below(3)],
        single_phase: random.one_in(2),
        unbalance_limit: Some(Ratio::percent(3.0)),
        control: MotorControl {
            motors: vec![MotorKind::Induction, MotorKind::PermanentMagnet],
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

/// Habits as a pack tells them: most, with one to all of their words.
fn habits(random: &mut Random) -> Vec<HabitRow> {
    let row = |random: &mut Random, habit: Habit| {
        let words = habit.info().words.len();
        let can = WordSet::of((0..words).filter(|_| random.one_in(2)));
        let can = if can.is_empty() { WordSet::of([random.below(words)]) } else { can };
        let delivered = can.words().nth(random.below(can.len())).filter(|_| !random.one_in(8));
        HabitRow { habit, can, delivered, setting: None, time: None, place: Place::default() }
    };
    Habit::all().filter_map(|habit| if random.one_in(8) { None } else { Some(row(random, habit)) }).collect()
}

/// Where realistic values of a fact lie, around a motor of 30 kW at 460 V; SI.
fn realistic(def: &FactDef) -> (f64, f64) {
    match def.path {
        "old.rated_current" => (40.0, 90.0),
        "old.input_voltage" => (440.0, 500.0),
        "motor.count" => (1.0, 1.0),
        "motor.power" => (15e3, 45e3),
        "motor.voltage" => (400.0, 480.0),
        "motor.frequency" => (50.0, 60.0),
        "motor.speed" => (Length::m(1.0).in_m() * 140.0, 186.0),
        "motor.current" => (25.0, 70.0),
        "motor.no_load_current" => (6.0, 20.0),
        "load.current" => (15.0, 80.0),
        "load.peak_current" => (30.0, 130.0),
        "load.peak_time" => (0.5, 40.0),
        "load.starts" => (0.0003, 0.02),
        "load.inertia" => (0.1, 40.0),
        "load.breakaway_torque" => (0.5, 2.0),
        "speed.lowest" => (3.0, 60.0),
        "speed.highest" => (45.0, 100.0),
        "stop.time" => (2.0, 40.0),
        "supply.voltage" | "supply.lowest" => (400.0, 490.0),
        "supply.highest" => (480.0, 540.0),
        "supply.unbalance" => (0.0, 0.05),
        "supply.fault_current" => (2e3, 40e3),
        "supply.transformer" => (150e3, 2.5e6),
        "supply.transformer_impedance" => (0.02, 0.07),
        "supply.reactor" => (0.0, 0.06),
        "supply.neutral_current" => (1.0, 60.0),
        "supply.line_starts" => (0.0, 30.0 / 3600.0),
        "supply.dip_time" => (0.005, 0.3),
        "supply.dip_left" => (0.0, 0.9),
        "supply.generator" => (60e3, 1e6),
        "supply.other_rectifiers" | "supply.linear_load" => (0.0, 400.0),
        "protection.rating" => (20.0, 300.0),
        "protection.panel_rating" | "protection.disconnect_rating" => (5e3, 65e3),
        "protection.residual_rating" => (0.03, 0.5),
        "conductors.area" | "conductors.earth_area" => (2.5e-6, 120e-6),
        "conductors.carrying" => (3.0, 9.0),
        "conductors.length" => (3.0, 250.0),
        "motor.year" => (1960.0, 2020.0),
        "motor.shaft_height" => (0.09, 0.4),
        "stop.guard_delay" => (1.0, 60.0),
        "cable.length" => (3.0, 300.0),
        "cable.total" => (10.0, 500.0),
        "cable.area" => (2.5e-6, 120e-6),
        "output.filter_carrier" => (1e3, 10e3),
        "output.filter_current" => (10.0, 300.0),
        "output.bypass_delay" => (0.0, 5.0),
        "resistor.ohms" => (5.0, 80.0),
        "resistor.power" => (500.0, 20e3),
        "resistor.time_constant" => (30.0, 900.0),
        "output.filter_carrier_most" => (2e3, 16e3),
        "stop.brake_opens" | "stop.brake_sets" => (0.02, 0.6),
        "link.level" => (600.0, 900.0),
        "link.capacitance" => (1e-3, 20e-3),
        "box.room_temperature" => (293.15, 323.15),
        "conditions.air_temperature" => (293.15, 331.15),
        "conditions.altitude" => (0.0, 3400.0),
        "conditions.carrier" => (2000.0, 8000.0),
        "duty.time" => (0.0, 60.0),
        "duty.ramp" => (0.5, 8.0),
        "duty.speed" => (-60.0, 60.0),
        "duty.torque" => (-0.6, 1.3),
        "duty.current" => (10.0, 90.0),
        _ => def.sensible,
    }
}

fn value(random: &mut Random, def: &FactDef) -> f64 {
    if let Kind::Choice(info) = def.kind {
        return random.below(info.words.len()) as f64;
    }
    if def.path == "motor.frequency" {
        return if random.one_in(2) { 50.0 } else { 60.0 };
    }
    let (low, high) = realistic(def);
    random.between(low, high)
}

/// A fact: known, a range, possibilities, or missing.
pub fn fact(random: &mut Random, def: &FactDef, missing: u64) -> Fact {
    let known = match random.next() % 10 {
        n if n < missing => Known::Missing,
        9 => Known::OneOf(vec![value(random, def), value(random, def)]),
        7 | 8 if matches!(def.kind, Kind::Quantity(_)) && def.path != "motor.frequency" => {
            let (a, b) = (value(random, def), value(random, def));
            Known::Range(a.min(b), a.max(b))
        }
        _ => Known::Value(value(random, def)),
    };
    Fact { known, origin: Origin::default() }
}

/// A position as a hurried surveyor leaves it.
pub fn position(random: &mut Random) -> Position {
    let mut position = Position::unknown("R-1");
    let missing = [2, 4, 6][random.below(3)];
    for (i, def) in FACTS.iter().enumerate() {
        position.facts[i] = fact(random, def, missing);
    }
    // The plates are nearly always there; one motor is the rule.
    for key in ["motor.power", "motor.voltage", "motor.frequency", "motor.speed"] {
        if !random.one_in(12) {
            set(&mut position, key, random);
        }
    }
    if !random.one_in(6) {
        put(&mut position, "motor.kind", Known::Value(MotorKind::Induction.index() as f64));
    }
    if !random.one_in(6) {
        put(&mut position, "motor.count", Known::Value(1.0));
    }
    if random.one_in(3) {
        let rows = 2 + random.below(3);
        let ranges = random.one_in(3);
        for _ in 0..rows {
            position.duty.push(DUTY_COLUMNS.iter().map(|def| duty_fact(random, def, ranges)).collect());
        }
    }
    position
}

fn duty_fact(random: &mut Random, def: &FactDef, ranges: bool) -> Fact {
    if def.path == "duty.current" {
        return Fact::default();
    }
    let v = value(random, def);
    let v = if def.path == "duty.speed" { v.abs() } else { v };
    let known = if ranges && def.path == "duty.torque" && random.one_in(2) { Known::Range(v, v + 0.2) } else { Known::Value(v) };
    Fact { known, origin: Origin::default() }
}

fn set(position: &mut Position, path: &str, random: &mut Random) {
    if let Some(id) = survey::find(path) {
        let v = value(random, survey::def(id));
        position.facts[id.index()] = Fact::value(v);
    }
}

/// Gives every missing fact a value.
pub fn fill(position: &mut Position, random: &mut Random) {
    for (i, def) in FACTS.iter().enumerate() {
        if position.facts[i].is_missing() {
            position.facts[i] = Fact::value(value(random, def));
        }
    }
}

/// Lowest and highest realistic value of a fact that is a quantity, in SI units.
pub fn span(path: &str) -> (f64, f64) {
    realistic(survey::def(survey::find(path).unwrap_or_else(|| panic!("{path} is no fact"))))
}

/// Puts one of a fact's words.
pub fn say(position: &mut Position, path: &str, word: &str) {
    let Some(Kind::Choice(info)) = survey::find(path).map(|id| survey::def(id).kind) else { panic!("{path} is no choice") };
    let index = info.words.iter().position(|w| w.word == word).unwrap_or_else(|| panic!("{path}: none of its words is “{word}”"));
    put(position, path, Known::Value(index as f64));
}

/// Puts a fact.
pub fn put(position: &mut Position, path: &str, known: Known) {
    if let Some(id) = survey::find(path) {
        position.facts[id.index()].known = known;
    }
}
