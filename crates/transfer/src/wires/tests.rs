//! Crosswalks by hand: conservation, commons that clash, links, contacts free of potential, safety channels, and the soundness of ranges.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "tests stop at the first broken expectation"
)]
#![allow(clippy::cast_precision_loss, reason = "random numbers of tests are small")]

use calc::working::Silent;
use plant::fact::Known;
use plant::price::{ListedPart, Prices};
use plant::product::{Module, Series, Slot};
use plant::quantity::{ApparentPower, Current, Frequency, Resistance, Voltage};
use plant::wires::*;

use super::*;

const RULES: Rules = Rules::unpriced(1.0);

fn input(name: &str, wiring: Wiring) -> ControlPoint {
    ControlPoint {
        name: name.into(),
        kind: Some(PointKind::DigitalInput),
        terminals: vec![(Pole::Signal, name.into()), (Pole::Return, "C".into())],
        group: Some("inputs".into()),
        flow: Some(Flow::Dc),
        highest: Some(Voltage::v(30.0)),
        on: Some(Voltage::v(15.0)),
        off: Some(Voltage::v(5.0)),
        impedance: Some(Resistance::ohm(3000.0)),
        draws: Some(Current::ma(7.0)),
        wiring: Some(wiring),
        ..ControlPoint::default()
    }
}

fn signal(circuit: &str, id: &str, driver: Driver) -> Conductor {
    Conductor {
        wire: circuit.into(),
        terminal: circuit.into(),
        circuit: circuit.into(),
        function: function(id),
        volts: Known::Value(24.0),
        flow: Some(Flow::Dc),
        driver: Some(driver),
        fed_by: Some(FedBy::Outside),
        leakage: Known::Value(0.0001),
        ..Conductor::default()
    }
}

fn list(conductors: Vec<Conductor>) -> WireList {
    WireList { conductors, ..WireList::default() }
}

fn actions(found: &Crosswalk<'_>) -> Vec<Action> {
    found.rows.iter().map(|r| r.action).collect()
}

#[test]
fn two_sides_at_one_common_cost_a_relay() {
    let series = Series { points: vec![input("1", Wiring::Either), input("2", Wiring::Either)], ..Series::default() };
    let wires = list(vec![signal("a", "run-forward", Driver::Pnp), signal("b", "permissive", Driver::Npn)]);
    let found = crosswalk(&wires, &series, None, RULES);
    assert!(found.conflicts.is_empty() && found.unplaced().next().is_none());
    let mut got = actions(&found);
    got.sort_unstable();
    assert_eq!(got, [Action::Landed, Action::Interposed]);
    // The relay is priced by the site, in its money.
    let [relay] = &found.bill(Prices::by_key(|key| (key == "relay").then_some(31.0)))[..] else { panic!("one part") };
    assert_eq!((relay.price, relay.bought), (Some(31.0), Bought::OfTrade(ListedPart::Relay)));
    assert_eq!(found.bill(Prices::NONE)[0].price, None);
    // With a common each they land as they are.
    let mut apart = series;
    apart.points[1].group = Some("others".into());
    assert_eq!(actions(&crosswalk(&wires, &apart, None, RULES)), [Action::Landed, Action::Landed]);
}

#[test]
fn a_module_is_bought_where_the_unit_has_too_few_and_the_smallest_conflict_is_named_where_none_helps() {
    let mut series = Series { points: vec![input("1", Wiring::Sink)], ..Series::default() };
    let wires = list(vec![signal("a", "run-forward", Driver::Pnp), signal("b", "run-reverse", Driver::Pnp)]);
    let found = crosswalk(&wires, &series, None, RULES);
    assert_eq!(found.conflicts, [(vec![0, 1], true)]);
    assert_eq!(found.unplaced().collect::<Vec<_>>(), [1]);
    assert_eq!((found.rows[1].action, found.rows.len()), (Action::Spared, 2));
    assert!(found.rows[1].reason.contains("cannot be met together with a"), "{}", found.rows[1].reason);
    series.points.push(ControlPoint { module: Some("M".into()), ..input("m1", Wiring::Sink) });
    series.modules = vec![Module {
        code: "M".into(),
        what: "inputs".into(),
        slots: vec![],
        most: 1,
        excludes: vec![],
        carrier: None,
        price: Some(90.0),
    }];
    series.slots = vec![Slot { frame: None, slot: "A".into() }];
    let found = crosswalk(&wires, &series, None, RULES);
    assert_eq!((found.modules.len(), found.modules[0].0.as_str(), found.modules[0].1.code.as_str()), (1, "A", "M"));
    assert!(found.rows.iter().any(|r| r.new == "M m1"));
    assert_eq!(found.bill(Prices::NONE), [Billed { what: "M in slot A: inputs".into(), price: Some(90.0), bought: Bought::WithUnit }]);
}

#[test]
fn a_link_stays_while_nothing_is_landed_and_comes_out_when_something_is() {
    let mut enable = input("EN", Wiring::Sink);
    enable.must_close = true;
    enable.functions = vec![function("enable").unwrap()];
    let link = |purpose, fitted, name: &str, point: &str| WireLink { name: name.into(), point: point.into(), purpose, fitted };
    let series = Series {
        points: vec![input("1", Wiring::Either), enable],
        wire_links: vec![
            link(LinkFor::Unused, Fitted::In, "EN-24", "EN"),
            link(LinkFor::Source, Fitted::Out, "J2", "inputs"),
            link(LinkFor::Sink, Fitted::In, "J1", "inputs"),
        ],
        ..Series::default()
    };
    let without = crosswalk(&list(vec![signal("a", "run-forward", Driver::Npn)]), &series, None, RULES);
    let wanted: Vec<(&str, bool)> = without.links.iter().map(|l| (l.link.as_str(), l.wanted)).collect();
    assert_eq!(wanted, [("EN-24", true), ("J2", true), ("J1", false)]);
    assert_eq!(without.conditions[0].closed_by.as_deref(), Some("link EN-24"));
    let with = crosswalk(&list(vec![signal("e", "enable", Driver::Pnp)]), &series, None, RULES);
    assert!(!with.links[0].wanted && with.links[0].delivered, "the link would bridge what is landed there");
    assert_eq!(with.conditions[0].closed_by.as_deref(), Some("e"));
}

#[test]
fn a_contact_between_two_conductors_is_not_given_to_a_transistor() {
    let transistor = ControlPoint {
        name: "T".into(),
        kind: Some(PointKind::TransistorOutput),
        terminals: vec![(Pole::Signal, "34".into()), (Pole::Return, "35".into())],
        highest: Some(Voltage::v(30.0)),
        dc13: Some(Current::a(0.1)),
        leakage: Some(Current::ma(0.1)),
        wiring: Some(Wiring::Source),
        ..ControlPoint::default()
    };
    let series = Series { points: vec![transistor], ..Series::default() };
    let mut common = signal("h", "healthy", Driver::Drive);
    (common.pole, common.load, common.sense) = (Some(Pole::Common), Known::Value(0.2), Some(Sense::ClosedWhenTrue));
    let mut no = signal("h", "healthy", Driver::Drive);
    no.pole = Some(Pole::NormallyOpen);
    let found = crosswalk(&list(vec![common.clone(), no.clone()]), &series, None, RULES);
    assert_eq!(actions(&found), [Action::Interposed, Action::Interposed]);
    // Closed without supply is what no output of a dead unit gives.
    common.sense = Some(Sense::OpenWhenTrue);
    let found = crosswalk(&list(vec![common, no]), &series, None, RULES);
    assert_eq!(actions(&found), [Action::Spared, Action::Spared]);
}

#[test]
fn safety_channels_land_on_one_pair_or_nowhere() {
    let channel = |name: &str, id: &str, pair: &str| ControlPoint {
        kind: Some(PointKind::SafeInput),
        functions: vec![function(id).unwrap()],
        pair: Some(pair.into()),
        group: None,
        ..input(name, Wiring::Sink)
    };
    let wires = || list(vec![signal("s1", "safe-torque-off-1", Driver::Pnp), signal("s2", "safe-torque-off-2", Driver::Pnp)]);
    let good = Series { points: vec![channel("A", "safe-torque-off-1", "p"), channel("B", "safe-torque-off-2", "p")], ..Series::default() };
    assert_eq!(actions(&crosswalk(&wires(), &good, None, RULES)), [Action::Landed, Action::Landed]);
    let split =
        Series { points: vec![channel("A", "safe-torque-off-1", "p"), channel("B", "safe-torque-off-2", "q")], ..Series::default() };
    assert_eq!(actions(&crosswalk(&wires(), &split, None, RULES)), [Action::Spared, Action::Spared]);
    // 120 V are not landed on a channel, and no relay is slipped into a safety function.
    let mut mains = wires();
    (mains.conductors[0].volts, mains.conductors[0].flow) = (Known::Value(120.0), Some(Flow::Ac));
    let found = crosswalk(&mains, &good, None, RULES);
    assert!(found.rows.iter().all(|r| r.action == Action::Spared) && found.landings.iter().all(|l| l.parts.is_empty()));
}

#[test]
fn schemes_are_read_from_the_functions() {
    let of = |wires: Vec<(&str, Option<Handling>)>| {
        let wires = wires.into_iter().map(|(id, handling)| Conductor { handling, ..signal(id, id, Driver::Contact) }).collect();
        schemes(&circuits(&list(wires)))
    };
    let (held, sprung) = (Some(Handling::Maintained), Some(Handling::Momentary));
    assert_eq!(of(vec![("run-forward", held)]), [Scheme::TwoWire]);
    assert_eq!(of(vec![("start", sprung), ("stop", sprung)]), [Scheme::ThreeWire]);
    assert_eq!(of(vec![("run-forward", sprung), ("stop", None)]), [Scheme::ThreeWire]);
    assert_eq!(of(vec![("run-forward", sprung)]), [Scheme::Unclear]);
    assert_eq!(of(vec![("run-forward", held), ("run-reverse", held)]), [Scheme::TwoWire, Scheme::Reversing]);
    let all = of(vec![
        ("run-forward", held),
        ("hand-auto", held),
        ("jog-forward", sprung),
        ("preset-1", held),
        ("preset-2", held),
        ("raise", sprung),
    ]);
    assert_eq!(all, [Scheme::TwoWire, Scheme::HandOffAuto, Scheme::Jog, Scheme::Presets(2), Scheme::RaiseLower]);
    assert_eq!(Scheme::Presets(2).words(), "4 fixed speeds by 2 bits");
}

struct Random(u64);

impl Random {
    fn next(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (self.next() >> 11) as f64 / (1u64 << 53) as f64 * (high - low)
    }

    fn known(&mut self, low: f64, high: f64) -> Known {
        let (a, b) = (self.between(low, high), self.between(low, high));
        match self.next() % 4 {
            0 => Known::Value(a),
            1 => Known::OneOf(vec![a, b]),
            _ => Known::Range(a.min(b), a.max(b)),
        }
    }

    fn of<T: Copy>(&mut self, list: &[T]) -> T {
        list[usize::try_from(self.next() % list.len() as u64).unwrap()]
    }

    fn complete(&mut self, known: &Known) -> Known {
        match known {
            Known::Range(low, high) => Known::Value(self.between(*low, *high)),
            Known::OneOf(list) => Known::Value(self.of(list)),
            other => other.clone(),
        }
    }
}

/// A conductor of which everything is a range, and a point of each kind.
fn any(random: &mut Random) -> (Conductor, ControlPoint) {
    let conductor = Conductor {
        volts: random.known(5.0, 240.0),
        flow: Some(random.of(&[Flow::Ac, Flow::Dc])),
        driver: Some(random.of(&[Driver::Contact, Driver::Pnp, Driver::Npn, Driver::Triac, Driver::Loop, Driver::Source])),
        polarity: random.of(&[None, Some(Polarity::Positive), Some(Polarity::Negative)]),
        fed_by: Some(FedBy::Outside),
        leakage: random.known(0.0, 0.004),
        least: random.known(0.001, 0.02),
        loop_supply: random.known(18.0, 30.0),
        burden: random.known(0.0, 700.0),
        needs: random.known(8.0, 14.0),
        range: Some(random.of(&[Range::V10, Range::Ma4To20, Range::Bipolar10])),
        load: random.known(0.1, 600.0),
        inrush: random.known(1.0, 4000.0),
        sense: Some(random.of(&[Sense::ClosedWhenTrue, Sense::OpenWhenTrue])),
        ground: random.known(0.0, 3.0),
        level: Some(random.of(&[Level::PushPull, Level::Differential5])),
        pulses: random.known(500.0, 5000.0),
        speed: random.known(10.0, 400.0),
        ..Conductor::default()
    };
    let kind = random.of(&[
        PointKind::DigitalInput,
        PointKind::RelayOutput,
        PointKind::TransistorOutput,
        PointKind::AnalogueInput,
        PointKind::AnalogueOutput,
        PointKind::EncoderInput,
        PointKind::SupplyOutput,
        PointKind::SupplyInput,
    ]);
    let point = ControlPoint {
        kind: Some(kind),
        terminals: vec![(Pole::Common, "1".into()), (Pole::NormallyOpen, "2".into())],
        flow: random.of(&[None, Some(Flow::Dc), Some(Flow::Ac)]),
        highest: Some(Voltage::v(random.between(20.0, 250.0))),
        highest_dc: Some(Voltage::v(random.between(20.0, 60.0))),
        on: Some(Voltage::v(random.between(10.0, 80.0))),
        off: Some(Voltage::v(random.between(3.0, 9.0))),
        impedance: Some(Resistance::ohm(random.between(1000.0, 8000.0))),
        draws: Some(Current::ma(random.between(2.0, 15.0))),
        wiring: Some(random.of(&[Wiring::Sink, Wiring::Source, Wiring::Either])),
        ac15: Some(Current::a(random.between(0.5, 4.0))),
        dc13: Some(Current::a(random.between(0.1, 2.0))),
        least: Some(Current::ma(random.between(1.0, 30.0))),
        leakage: Some(Current::ma(random.between(0.0, 3.0))),
        sense: Some(random.of(&[RelaySense::Settable, RelaySense::WhenTrue, RelaySense::WhenFalse])),
        ranges: vec![random.of(&[Range::V10, Range::Ma4To20])],
        burden: Some(Resistance::ohm(random.between(50.0, 500.0))),
        drives: Some(Resistance::ohm(random.between(100.0, 600.0))),
        isolated: random.of(&[Some(true), Some(false), None]),
        levels: vec![Level::PushPull],
        frequency: Some(Frequency::khz(random.between(20.0, 300.0))),
        supply: Some(Voltage::v(24.0)),
        supply_load: Some(ApparentPower::va(random.between(1.0, 300.0))),
        ..ControlPoint::default()
    };
    (conductor, point)
}

#[test]
fn no_completion_turns_a_line() {
    let (mut held, mut failed, mut open) = (0, 0, 0);
    for seed in 1..=4000u64 {
        let mut random = Random(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1);
        let (conductor, point) = any(&mut random);
        let ranged = prove(&conductor, &point, &mut Silent);
        for _ in 0..10 {
            let mut whole = conductor.clone();
            for value in [
                &mut whole.volts,
                &mut whole.leakage,
                &mut whole.least,
                &mut whole.loop_supply,
                &mut whole.burden,
                &mut whole.needs,
                &mut whole.load,
                &mut whole.inrush,
                &mut whole.ground,
                &mut whole.pulses,
                &mut whole.speed,
            ] {
                *value = random.complete(value);
            }
            let fixed = prove(&whole, &point, &mut Silent);
            assert_eq!(ranged.len(), fixed.len(), "{seed}");
            for (before, after) in ranged.iter().zip(&fixed) {
                match before.verdict {
                    Verdict::Holds => assert_eq!(after.verdict, Verdict::Holds, "{seed}: {before:?} then {after:?}"),
                    Verdict::Fails => assert_eq!(after.verdict, Verdict::Fails, "{seed}: {before:?} then {after:?}"),
                    Verdict::Open => {}
                }
            }
        }
        held += ranged.iter().filter(|l| l.verdict == Verdict::Holds).count();
        failed += ranged.iter().filter(|l| l.verdict == Verdict::Fails).count();
        open += ranged.iter().filter(|l| l.verdict == Verdict::Open).count();
    }
    println!("{held} lines hold, {failed} fail, {open} are open, none turned by 10 completions each");
    assert!(held > 1000 && failed > 1000 && open > 1000, "{held} {failed} {open}");
}

#[test]
fn every_conductor_is_in_one_row_whatever_the_list_says() {
    for seed in 1..=400u64 {
        let mut random = Random(seed.wrapping_mul(0xD6E8_FEB8_6659_FD93) | 1);
        let mut wires = Vec::new();
        let mut points = Vec::new();
        for at in 0..random.next() % 14 {
            let (conductor, point) = any(&mut random);
            let function = &FUNCTIONS[usize::try_from(random.next() % FUNCTIONS.len() as u64).unwrap()];
            let circuit = format!("c{}", random.next() % 6);
            wires.push(Conductor { wire: at.to_string(), circuit, function: random.of(&[Some(function), None]), ..conductor });
            points.push(ControlPoint { name: at.to_string(), ..point });
        }
        let (wires, series) = (list(wires), Series { points, ..Series::default() });
        let found = crosswalk(&wires, &series, None, RULES);
        assert_eq!(found.rows.iter().map(|r| r.conductor).collect::<Vec<_>>(), (0..wires.conductors.len()).collect::<Vec<_>>(), "{seed}");
        assert!(found.rows.iter().all(|r| !r.reason.is_empty()), "{seed}");
    }
}
