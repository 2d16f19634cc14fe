//! Seeded defects: positions that land wire for wire, each spoilt in one known way. Every spoilt one is found in the circuit that was
//! spoilt; what is found elsewhere is a false alarm, counted and printed.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test stops at the first broken expectation"
)]
#![allow(clippy::cast_precision_loss, reason = "random numbers of tests are small")]

use plant::fact::Known;
use plant::product::Series;
use plant::quantity::{Current, Resistance, Voltage};
use plant::wires::{
    Conductor, ControlPoint, Driver, FedBy, Flow, PointKind, Polarity, Pole, Range, RelaySense, Sense, WireList, Wiring, function,
};
use transfer::wires::{Crosswalk, Fault, Rules, Verdict, crosswalk};

/// Spoilt positions of each of the eight kinds: 1,000 in all.
const EACH: u64 = 125;

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

    fn below(&mut self, count: usize) -> usize {
        usize::try_from(self.next() % count as u64).unwrap()
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Defect {
    MainsOnInput,
    SinkSource,
    Leakage,
    Polarity,
    MissingLink,
    Burden,
    RelayRating,
    SwappedCommons,
}

const DEFECTS: [Defect; 8] = [
    Defect::MainsOnInput,
    Defect::SinkSource,
    Defect::Leakage,
    Defect::Polarity,
    Defect::MissingLink,
    Defect::Burden,
    Defect::RelayRating,
    Defect::SwappedCommons,
];

/// A unit with eight sinking inputs, an enable that has to be closed, two relays, an analogue input. Its figures vary.
fn unit(random: &mut Random) -> Series {
    let (impedance, burden) = (random.between(2000.0, 6000.0), random.between(100.0, 300.0));
    let input = |name: String, enable: bool| ControlPoint {
        terminals: vec![(Pole::Signal, name.clone()), (Pole::Return, "C".into())],
        name,
        kind: Some(PointKind::DigitalInput),
        functions: if enable { vec![function("enable").unwrap()] } else { Vec::new() },
        flow: Some(Flow::Dc),
        highest: Some(Voltage::v(30.0)),
        on: Some(Voltage::v(15.0)),
        off: Some(Voltage::v(5.0)),
        impedance: Some(Resistance::ohm(impedance)),
        draws: Some(Current::ma(6.0)),
        wiring: Some(Wiring::Sink),
        must_close: enable,
        group: Some("inputs".into()),
        ..ControlPoint::default()
    };
    let mut points: Vec<ControlPoint> = (1..=8).map(|i| input(format!("I{i}"), false)).collect();
    points.push(input("EN".into(), true));
    for name in ["K1", "K2"] {
        points.push(ControlPoint {
            name: name.into(),
            kind: Some(PointKind::RelayOutput),
            terminals: vec![(Pole::Common, "1".into()), (Pole::NormallyOpen, "2".into()), (Pole::NormallyClosed, "3".into())],
            highest: Some(Voltage::v(250.0)),
            highest_dc: Some(Voltage::v(30.0)),
            ac15: Some(Current::a(2.0)),
            dc13: Some(Current::a(1.0)),
            least: Some(Current::ma(10.0)),
            sense: Some(RelaySense::Settable),
            ..ControlPoint::default()
        });
    }
    points.push(ControlPoint {
        name: "A1".into(),
        kind: Some(PointKind::AnalogueInput),
        terminals: vec![(Pole::Signal, "+".into()), (Pole::Return, "−".into())],
        ranges: vec![Range::Ma4To20, Range::V10],
        burden: Some(Resistance::ohm(burden)),
        isolated: Some(false),
        ..ControlPoint::default()
    });
    Series { id: "u".into(), points, ..Series::default() }
}

fn wire(number: usize, circuit: &str, id: &str, pole: Pole) -> Conductor {
    Conductor {
        wire: format!("{number}"),
        terminal: format!("t{number}"),
        circuit: circuit.into(),
        function: function(id),
        function_text: id.into(),
        pole: Some(pole),
        ..Conductor::default()
    }
}

/// A position of which every wire lands as it is.
fn good(random: &mut Random) -> WireList {
    let mut wires = Vec::new();
    let inputs = ["run-forward", "run-reverse", "fault-reset", "preset-1", "enable"];
    let count = 2 + random.below(3);
    for (at, id) in inputs.iter().take(count).chain(["enable"].iter()).enumerate() {
        let circuit = format!("in-{at}");
        let pnp = random.below(2) == 0;
        let volts = random.between(20.0, 28.0);
        let spread = random.between(0.0, 1.0);
        let mut signal = Conductor {
            volts: Known::Range(volts - spread, volts + spread),
            flow: Some(Flow::Dc),
            fed_by: Some(FedBy::Outside),
            driver: Some(if pnp { Driver::Pnp } else { Driver::Contact }),
            polarity: Some(Polarity::Positive),
            leakage: if pnp { Known::Value(random.between(0.0, 0.0007)) } else { Known::Missing },
            ..wire(2 * at, &circuit, id, Pole::Signal)
        };
        if random.below(3) == 0 && !pnp {
            signal.least = Known::Value(random.between(0.001, 0.006));
        }
        let back = Conductor {
            volts: signal.volts.clone(),
            flow: Some(Flow::Dc),
            fed_by: Some(FedBy::Outside),
            polarity: Some(Polarity::Negative),
            ..wire(2 * at + 1, &circuit, id, Pole::Return)
        };
        wires.extend([signal, back]);
    }
    for (at, id) in ["running", "healthy"].iter().enumerate() {
        let circuit = format!("out-{at}");
        let ac = random.below(2) == 0;
        let volts = if ac { random.between(110.0, 240.0) } else { 24.0 };
        let held = volts * random.between(0.02, if ac { 1.5 } else { 0.6 });
        let common = Conductor {
            volts: Known::Value(volts),
            flow: Some(if ac { Flow::Ac } else { Flow::Dc }),
            driver: Some(Driver::Drive),
            load: Known::Value(held),
            inrush: Known::Value(held * if ac { random.between(1.0, 9.0) } else { 1.0 }),
            sense: Some(if random.below(2) == 0 { Sense::ClosedWhenTrue } else { Sense::OpenWhenTrue }),
            ..wire(50 + 2 * at, &circuit, id, Pole::Common)
        };
        wires.push(common);
        wires.push(wire(51 + 2 * at, &circuit, id, Pole::NormallyOpen));
    }
    // 20 mA through at most 300 + 250 Ω with 9 to 12 V for the transmitter: 23 V at most, of 24 V.
    let signal = Conductor {
        driver: Some(Driver::Loop),
        range: Some(Range::Ma4To20),
        loop_supply: Known::Range(24.0, 26.0),
        burden: Known::Value(random.between(20.0, 250.0)),
        needs: Known::Value(random.between(9.0, 12.0)),
        ground: Known::Value(random.between(0.0, 0.9)),
        ..wire(70, "loop", "speed-reference", Pole::Signal)
    };
    wires.extend([signal, wire(71, "loop", "speed-reference", Pole::Return)]);
    WireList { conductors: wires, ..WireList::default() }
}

/// Spoils one circuit; gives its name and the fault to be found.
fn spoil(defect: Defect, list: &mut WireList, random: &mut Random) -> (String, Fault) {
    let inputs: Vec<usize> = (0..list.conductors.len())
        .filter(|i| list.conductors[*i].circuit.starts_with("in-") && list.conductors[*i].pole == Some(Pole::Signal))
        .collect();
    let at = inputs[random.below(inputs.len())];
    let circuit = list.conductors[at].circuit.clone();
    let both: Vec<usize> = (0..list.conductors.len()).filter(|i| list.conductors[*i].circuit == circuit).collect();
    match defect {
        Defect::MainsOnInput => {
            let volts = random.between(100.0, 132.0);
            for i in both {
                let c = &mut list.conductors[i];
                (c.volts, c.flow, c.driver, c.polarity) = (Known::Value(volts), Some(Flow::Ac), Some(Driver::Contact), None);
                c.leakage = Known::Missing;
            }
            (circuit, Fault::Voltage)
        }
        Defect::SinkSource => {
            (list.conductors[at].driver, list.conductors[at].polarity) = (Some(Driver::Npn), None);
            list.conductors[at].leakage = Known::Value(0.0001);
            for i in both.into_iter().filter(|i| *i != at) {
                list.conductors[i].polarity = Some(Polarity::Positive);
            }
            (circuit, Fault::Polarity)
        }
        Defect::Leakage => {
            let c = &mut list.conductors[at];
            c.driver = Some(Driver::Pnp);
            c.least = Known::Missing;
            // The smallest input of the units has 2000 Ω: 2.51 mA and more lie above 5 V on every one.
            c.leakage = Known::Value(random.between(0.00251, 0.006));
            (circuit, Fault::HeldOn)
        }
        Defect::Polarity => {
            let c = &mut list.conductors[at];
            (c.driver, c.polarity, c.leakage) = (Some(Driver::Contact), Some(Polarity::Negative), Known::Missing);
            for i in both.into_iter().filter(|i| *i != at) {
                list.conductors[i].polarity = Some(Polarity::Positive);
            }
            (circuit, Fault::Polarity)
        }
        Defect::MissingLink => {
            list.conductors.retain(|c| c.function.is_none_or(|f| f.id != "enable"));
            ("EN".into(), Fault::List)
        }
        Defect::Burden => {
            let c = list.conductors.iter_mut().find(|c| c.circuit == "loop" && c.pole == Some(Pole::Signal)).unwrap();
            // 26 V − 9 V over 20 mA are 850 Ω; the input itself has 100 Ω and more.
            c.burden = Known::Value(random.between(760.0, 1500.0));
            ("loop".into(), Fault::Loop)
        }
        Defect::RelayRating => {
            let c = list.conductors.iter_mut().find(|c| c.circuit == "out-0" && c.pole == Some(Pole::Common)).unwrap();
            let volts = c.volts.bounds().unwrap().0;
            let heavy = volts * random.between(2.05, 2.9);
            (c.load, c.inrush) = (Known::Value(heavy), Known::Value(heavy));
            ("out-0".into(), Fault::Overload)
        }
        Defect::SwappedCommons => {
            for i in both.into_iter().filter(|i| *i != at) {
                let c = &mut list.conductors[i];
                if random.below(2) == 0 {
                    c.polarity = Some(Polarity::Positive);
                } else {
                    (c.volts, c.flow) = (Known::Value(120.0), Some(Flow::Ac));
                }
            }
            (circuit, Fault::List)
        }
    }
}

/// What is found: circuit and fault of every line that does not hold directly, start conditions that nothing closes, circuits nowhere.
fn found(answer: &Crosswalk<'_>) -> Vec<(String, Option<Fault>)> {
    let mut list = Vec::new();
    for (circuit, landing) in answer.circuits.iter().zip(&answer.landings) {
        for line in landing.direct.iter().filter(|l| l.verdict != Verdict::Holds) {
            list.push((circuit.name.clone(), Some(line.fault)));
        }
        if !landing.placed && landing.direct.iter().all(|l| l.verdict == Verdict::Holds) {
            list.push((circuit.name.clone(), None));
        }
    }
    list.extend(answer.conditions.iter().filter(|c| c.closed_by.is_none()).map(|c| (c.point.clone(), Some(Fault::List))));
    list
}

const RULES: Rules = Rules::unpriced(1.0);

#[test]
fn every_seeded_defect_is_found() {
    let (mut seeded, mut missed, mut alarms, mut also) = (0, Vec::new(), 0, 0);
    for (kind, defect) in DEFECTS.into_iter().enumerate() {
        for seed in 1..=EACH {
            let mut random = Random((seed + 1000 * kind as u64).wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1);
            let unit = unit(&mut random);
            let mut list = good(&mut random);
            let whole = crosswalk(&list, &unit, None, RULES);
            alarms += found(&whole).len();
            assert!(found(&whole).is_empty(), "{defect:?} {seed}: a good position is spoilt: {:?}", found(&whole));
            let (circuit, fault) = spoil(defect, &mut list, &mut random);
            let spoilt = crosswalk(&list, &unit, None, RULES);
            assert_eq!(spoilt.rows.len(), list.conductors.len(), "{defect:?} {seed}: a conductor got lost");
            let said = found(&spoilt);
            seeded += 1;
            if !said.contains(&(circuit.clone(), Some(fault))) {
                missed.push(format!("{defect:?} {seed}: {circuit} {fault:?} not in {said:?}"));
            }
            alarms += said.iter().filter(|(at, _)| *at != circuit).count();
            also += said.iter().filter(|(at, f)| *at == circuit && *f != Some(fault)).count();
        }
    }
    println!(
        "{seeded} seeded defects of {} kinds, {} missed; {alarms} false alarms in other circuits and in {seeded} good positions; {also} further lines in the spoilt circuits",
        DEFECTS.len(),
        missed.len()
    );
    assert!(seeded >= 500 && missed.is_empty(), "{}", missed.join("\n"));
    assert_eq!(alarms, 0);
}
