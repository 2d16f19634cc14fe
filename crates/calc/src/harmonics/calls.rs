//! Harmonics as calculations that can be called by name.

use plant::quantity::{Capacitance, Count, Current, Dimension, DimensionInfo, Frequency, Ratio, Temperature, Time, Voltage, dim};

use super::{
    Ahead, BRIDGE_CIRCUIT, Circuit, Coupling, DriveBase, Edition, Feed, Feeder, FrontEnd, IEEE_519_EVEN, IEEE_519_TABLE_1,
    IEEE_519_TABLE_2, Impedance, Load, ORDERS, PIECEWISE, SUMMATION, Service, Spectrum, TDD, TEN_KELVIN, at_coupling, capacitor_life,
    compare, current_limits, front_end, ideal_bridge, reactor_need, source_impedance, tdd_with_diversity, voltage_limits,
};
use crate::registry::{Arguments, Calculation, Input, InputKind, Output, Refusal, output, quantity, quantity_or, word};
use crate::sources::{DEFINITION, PRACTICE};
use crate::working::{Recorder, Step, Working};

const VOLTAGE: Input = quantity::<dim::VoltageDim>("voltage", "line-to-line voltage without load");
const FREQUENCY: Input = quantity_or::<dim::FrequencyDim>("frequency", "50 Hz", "supply frequency");
const FEED: Input = word("feed", &Feed::WORDS, "phases and bridges");
const SOURCE_L: Input = quantity::<dim::InductanceDim>("source-inductance", "source up to the point of common coupling, per phase");
const SOURCE_R: Input = quantity_or::<dim::ResistanceDim>("source-resistance", "0 Ω", "its resistance, per phase");
const DROP: Input = quantity_or::<dim::VoltageDim>("diode-drop", "0.8 V", "forward drop of one diode");
const LOAD_CURRENT: Input = quantity_or::<dim::CurrentDim>("load-current", "", "load of constant DC current");
const LOAD_POWER: Input = quantity_or::<dim::PowerDim>("load-power", "", "load of constant power");
const LOAD_RESISTANCE: Input = quantity_or::<dim::ResistanceDim>("load-resistance", "", "load resistor");
const EDITION: Input = word("edition", &Edition::WORDS, "edition of IEEE 519");
const PCC_VOLTAGE: Input = quantity::<dim::VoltageDim>("voltage", "line-to-line voltage at the point of common coupling");

fn edition(a: &Arguments) -> Result<Edition, Refusal> {
    Edition::from_word(a.word("edition")).ok_or_else(|| Refusal::new("no such edition"))
}

fn feed(a: &Arguments) -> Result<Feed, Refusal> {
    Feed::from_word(a.word("feed")).ok_or_else(|| Refusal::new("no such feed"))
}

fn load(a: &Arguments) -> Result<Load, Refusal> {
    let loads = [
        a.get_opt("load-current").map(Load::Current),
        a.get_opt("load-power").map(Load::Power),
        a.get_opt("load-resistance").map(Load::Resistance),
    ];
    let mut given = loads.into_iter().flatten();
    match (given.next(), given.next()) {
        (Some(load), None) => Ok(load),
        _ => Err(Refusal::new("give exactly one of load-current, load-power and load-resistance")),
    }
}

/// A whole number from 0 to 50.
fn order(a: &Arguments, name: &str) -> Result<usize, Refusal> {
    let count: Count = a.get(name);
    let mut number = 0.0;
    for h in 0..=ORDERS {
        if (count.in_count() - number).abs() < 1e-9 {
            return Ok(h);
        }
        number += 1.0;
    }
    Err(Refusal::new(format!("{name} is a whole number up to {ORDERS}, not {count}")))
}

fn impedance(a: &Arguments, resistance: &str, inductance: &str) -> Impedance {
    Impedance { resistance: a.get(resistance), inductance: a.get(inductance) }
}

const fn share(name: &'static str, doc: &'static str) -> Output {
    output::<dim::RatioDim>(name, "%", doc)
}

const ORDERS_SHOWN: [usize; 8] = [5, 7, 11, 13, 17, 19, 23, 25];

/// `calc diode-front-end`.
pub const DIODE_FRONT_END: Calculation = Calculation {
    name: "diode-front-end",
    summary: "What a diode rectifier draws in its steady state: currents by order, distortion, DC voltage and ripple.",
    inputs: &[
        FEED,
        VOLTAGE,
        FREQUENCY,
        SOURCE_L,
        SOURCE_R,
        quantity_or::<dim::InductanceDim>("reactor-inductance", "0 H", "line reactor behind the point of common coupling, per phase"),
        quantity_or::<dim::ResistanceDim>("reactor-resistance", "0 Ω", "its resistance and the cable's, per phase"),
        quantity_or::<dim::InductanceDim>("winding-inductance", "0 H", "twelve pulses: leakage before each bridge, per phase"),
        quantity_or::<dim::ResistanceDim>("winding-resistance", "0 Ω", "twelve pulses: its resistance"),
        quantity_or::<dim::InductanceDim>("choke-inductance", "0 H", "DC choke; one for each bridge in parallel"),
        quantity_or::<dim::ResistanceDim>("choke-resistance", "0 Ω", "its resistance"),
        quantity_or::<dim::CapacitanceDim>("capacitance", "0 F", "DC-link capacitor; 0 F for a resistor behind the bridge alone"),
        DROP,
        LOAD_CURRENT,
        LOAD_POWER,
        LOAD_RESISTANCE,
    ],
    results: &[
        output::<dim::CurrentDim>("fundamental", "A", "fundamental of the line current, rms"),
        output::<dim::CurrentDim>("rms", "A", "line current with harmonics, rms"),
        output::<dim::CurrentDim>("peak", "A", "largest instantaneous line current"),
        share("thd", "total harmonic distortion of the current, orders to 50"),
        share("h3", "order 3 over the fundamental"),
        share("h5", "order 5 over the fundamental"),
        share("h7", "order 7 over the fundamental"),
        share("h11", "order 11 over the fundamental"),
        share("h13", "order 13 over the fundamental"),
        share("h17", "order 17 over the fundamental"),
        share("h19", "order 19 over the fundamental"),
        share("h23", "order 23 over the fundamental"),
        share("h25", "order 25 over the fundamental"),
        output::<dim::RatioDim>("displacement", "pu", "displacement power factor at the point of common coupling"),
        output::<dim::RatioDim>("power-factor", "pu", "true power factor there"),
        output::<dim::VoltageDim>("dc-voltage", "V", "mean DC voltage at the load"),
        output::<dim::VoltageDim>("ripple", "V", "ripple of the DC voltage, peak to peak"),
        output::<dim::CurrentDim>("dc-current", "A", "mean DC current"),
        output::<dim::CurrentDim>("capacitor-current", "A", "capacitor current from the rectifier, rms"),
        output::<dim::PowerDim>("input", "W", "active power out of the source"),
        output::<dim::PowerDim>("output", "W", "power of the load"),
        share("voltage-thd", "distortion of the voltage at the point of common coupling by this rectifier alone"),
        share("conducting", "share of time in which the rectifier conducts"),
    ],
    sources: &[&PIECEWISE, &BRIDGE_CIRCUIT, &DEFINITION],
    run: |a: &Arguments, w: &mut Working| {
        let circuit = Circuit {
            feed: feed(a)?,
            voltage: a.get("voltage"),
            frequency: a.get("frequency"),
            source: impedance(a, "source-resistance", "source-inductance"),
            reactor: impedance(a, "reactor-resistance", "reactor-inductance"),
            winding: impedance(a, "winding-resistance", "winding-inductance"),
            choke: impedance(a, "choke-resistance", "choke-inductance"),
            capacitance: a.get("capacitance"),
            diode_drop: a.get("diode-drop"),
            load: load(a)?,
        };
        let f = front_end(&circuit, w)?;
        let mut results = vec![f.spectrum.order(1).in_si(), f.rms.in_si(), f.peak.in_si(), f.thd.in_si(), f.spectrum.share(3).in_si()];
        results.extend(ORDERS_SHOWN.map(|h| f.spectrum.share(h).in_si()));
        results.extend([f.displacement.in_si(), f.power_factor.in_si(), f.dc_voltage.in_si(), f.ripple.in_si(), f.dc_current.in_si()]);
        results.extend([f.capacitor_current.in_si(), f.input.in_si(), f.output.in_si(), f.voltage_thd.in_si(), f.conducting.in_si()]);
        Ok(results)
    },
};

/// One of two front ends on the same supply with the same load.
fn one_of_two(a: &Arguments, reactor: &str, choke: &str, capacitance: &str) -> Result<Circuit, Refusal> {
    let c: Capacitance = a.get(capacitance);
    Ok(Circuit {
        feed: Feed::ThreePhase,
        voltage: a.get("voltage"),
        frequency: a.get("frequency"),
        source: impedance(a, "source-resistance", "source-inductance"),
        reactor: Impedance::pure(a.get(reactor)),
        winding: Impedance::NONE,
        choke: Impedance::pure(a.get(choke)),
        capacitance: c,
        diode_drop: a.get("diode-drop"),
        load: load(a)?,
    })
}

/// `calc front-end-change`.
pub const FRONT_END_CHANGE: Calculation = Calculation {
    name: "front-end-change",
    summary: "A six-pulse front end against the one that replaces it: their distortion, and what it does at the point of common coupling.",
    inputs: &[
        VOLTAGE,
        FREQUENCY,
        SOURCE_L,
        SOURCE_R,
        DROP,
        LOAD_CURRENT,
        LOAD_POWER,
        LOAD_RESISTANCE,
        quantity_or::<dim::InductanceDim>("old-reactor", "0 H", "line reactor of the old drive, per phase"),
        quantity_or::<dim::InductanceDim>("old-choke", "0 H", "DC choke of the old drive"),
        quantity::<dim::CapacitanceDim>("old-capacitance", "DC-link capacitor of the old drive"),
        quantity_or::<dim::InductanceDim>("new-reactor", "0 H", "line reactor of the new drive, per phase"),
        quantity_or::<dim::InductanceDim>("new-choke", "0 H", "DC choke of the new drive"),
        quantity::<dim::CapacitanceDim>("new-capacitance", "DC-link capacitor of the new drive"),
        quantity_or::<dim::CurrentDim>("linear", "0 A", "current of loads without harmonics at the same point"),
        EDITION,
    ],
    results: &[
        share("old-thd", "current distortion of the old drive"),
        share("new-thd", "current distortion of the new drive"),
        output::<dim::CurrentDim>("old-rms", "A", "line current of the old drive"),
        output::<dim::CurrentDim>("new-rms", "A", "line current of the new drive"),
        output::<dim::CurrentDim>("old-capacitor-current", "A", "capacitor current of the old drive"),
        output::<dim::CurrentDim>("new-capacitor-current", "A", "capacitor current of the new drive"),
        share("old-tdd", "total demand distortion with the old drive"),
        share("new-tdd", "total demand distortion with the new drive"),
        share("old-voltage-thd", "voltage distortion with the old drive"),
        share("new-voltage-thd", "voltage distortion with the new drive"),
        output::<dim::CountDim>("breaks-a-limit", "", "1 when the old drive kept every limit of IEEE 519 and the new one does not"),
    ],
    sources: &[&PIECEWISE, &TDD, &IEEE_519_TABLE_1, &IEEE_519_TABLE_2, &IEEE_519_EVEN, &SUMMATION],
    run: |a: &Arguments, w: &mut Working| {
        let ends = [("old-reactor", "old-choke", "old-capacitance"), ("new-reactor", "new-choke", "new-capacitance")];
        let mut solved = Vec::new();
        for (reactor, choke, capacitance) in ends {
            solved.push(front_end(&one_of_two(a, reactor, choke, capacitance)?, w)?);
        }
        let [old, new]: [FrontEnd; 2] = solved.try_into().map_err(|_| Refusal::new("two front ends are compared"))?;
        let (r, x) = source_of(a);
        let z = r.hypot(x);
        let voltage: Voltage = a.get("voltage");
        let point = Coupling {
            voltage,
            short_circuit: Current::a(voltage.in_v() / (3f64.sqrt() * z)),
            linear: a.get("linear"),
            demand: None,
            edition: edition(a)?,
        };
        let change = compare(&point, &old.spectrum, &new.spectrum, &[], w)?;
        let mut results = vec![old.thd.in_si(), new.thd.in_si(), old.rms.in_si(), new.rms.in_si()];
        results.extend([old.capacitor_current.in_si(), new.capacitor_current.in_si()]);
        results.extend([change.before.tdd, change.after.tdd, change.before.voltage_thd, change.after.voltage_thd].map(Ratio::in_si));
        results.push(f64::from(u8::from(change.breaks_a_limit())));
        Ok(results)
    },
};

fn source_of(a: &Arguments) -> (f64, f64) {
    let source = impedance(a, "source-resistance", "source-inductance");
    let frequency: Frequency = a.get("frequency");
    (source.resistance.in_ohm(), std::f64::consts::TAU * frequency.in_hz() * source.inductance.in_henry())
}

/// Orders of a row of `drives`.
const ROW: [usize; 9] = [1, 5, 7, 11, 13, 17, 19, 23, 25];
const AMPERE: &DimensionInfo = dim::CurrentDim::INFO;

/// `calc harmonics-at-coupling`.
pub const HARMONICS_AT_COUPLING: Calculation = Calculation {
    name: "harmonics-at-coupling",
    summary: "Drives and linear loads at a point of common coupling: total demand distortion and voltage distortion against IEEE 519.",
    inputs: &[
        PCC_VOLTAGE,
        quantity::<dim::CurrentDim>("short-circuit", "three-phase short-circuit current there"),
        quantity_or::<dim::CurrentDim>("linear", "0 A", "current of loads without harmonics there"),
        quantity_or::<dim::CurrentDim>("demand", "", "largest demand current; left out: all fundamentals added up"),
        Input {
            name: "drives",
            kind: InputKind::Rows(&[AMPERE; 9]),
            default: None,
            doc: "a row for each drive: its currents of order 1, 5, 7, 11, 13, 17, 19, 23, 25 at that voltage",
        },
        EDITION,
    ],
    results: &[
        output::<dim::CurrentDim>("demand", "A", "demand current that shares refer to"),
        output::<dim::RatioDim>("ratio", "pu", "short-circuit over demand current"),
        share("tdd", "total demand distortion, orders added up as if in phase"),
        share("tdd-diverse", "total demand distortion with diversity of angles"),
        share("tdd-limit", "its limit"),
        share("current-room", "room to the tightest current limit, of the limit"),
        output::<dim::CountDim>("tightest", "", "the order of that limit, 0 for the total"),
        share("voltage-thd", "voltage distortion by these currents"),
        share("voltage-limit", "its limit"),
        share("voltage-room", "room to the tightest voltage limit, of the limit"),
    ],
    sources: &[&TDD, &SUMMATION, &IEEE_519_TABLE_1, &IEEE_519_TABLE_2, &IEEE_519_EVEN],
    run: |a: &Arguments, w: &mut Working| {
        let mut drives = Vec::new();
        for row in a.rows("drives") {
            let mut currents = vec![Current::ZERO; 25];
            for (h, i) in ROW.into_iter().zip(row) {
                currents[h - 1] = Current::a(*i);
            }
            drives.push(Spectrum::new(&currents)?);
        }
        let point = Coupling {
            voltage: a.get("voltage"),
            short_circuit: a.get("short-circuit"),
            linear: a.get("linear"),
            demand: a.get_opt("demand"),
            edition: edition(a)?,
        };
        let there = at_coupling(&point, &drives, w)?;
        let mut tightest = 0.0;
        (0..there.tightest.unwrap_or(0)).for_each(|_| tightest += 1.0);
        let diverse = tdd_with_diversity(&drives, there.demand);
        let shares = [there.ratio, there.tdd, diverse, there.current_limits.tdd, there.current_room].map(Ratio::in_si);
        let voltages = [there.voltage_thd, there.voltage_limits.thd, there.voltage_room].map(Ratio::in_si);
        Ok([there.demand.in_si()].into_iter().chain(shares).chain([tightest]).chain(voltages).collect())
    },
};

/// `calc current-distortion-limit`.
pub const CURRENT_DISTORTION_LIMIT: Calculation = Calculation {
    name: "current-distortion-limit",
    summary: "IEEE 519 limits of the current at a point of common coupling of 120 V to 69 kV.",
    inputs: &[
        PCC_VOLTAGE,
        quantity::<dim::RatioDim>("ratio", "short-circuit current over largest demand current"),
        quantity_or::<dim::CountDim>("order", "5", "harmonic order, 2 to 50"),
        EDITION,
    ],
    results: &[share("limit", "limit of that order, of the demand current"), share("tdd", "limit of total demand distortion")],
    sources: &[&IEEE_519_TABLE_2, &IEEE_519_EVEN],
    run: |a: &Arguments, w: &mut Working| {
        let h = order(a, "order")?;
        let limits = current_limits(a.get("voltage"), a.get("ratio"), edition(a)?, w)?;
        let limit = limits.order(h).ok_or_else(|| Refusal::new(format!("limits are for the orders 2 to {ORDERS}, not for {h}")))?;
        w.step(|| Step::new("I_h,lim", format!("limit of order {h}"), "", &IEEE_519_TABLE_2).gives(limit));
        Ok(vec![limit.in_si(), limits.tdd.in_si()])
    },
};

/// `calc voltage-distortion-limit`.
pub const VOLTAGE_DISTORTION_LIMIT: Calculation = Calculation {
    name: "voltage-distortion-limit",
    summary: "IEEE 519 limits of the voltage at a point of common coupling.",
    inputs: &[PCC_VOLTAGE],
    results: &[share("individual", "limit of each order"), share("thd", "limit of total harmonic distortion")],
    sources: &[&IEEE_519_TABLE_1],
    run: |a: &Arguments, w: &mut Working| {
        let limits = voltage_limits(a.get("voltage"), w)?;
        Ok(vec![limits.individual.in_si(), limits.thd.in_si()])
    },
};

/// `calc ideal-bridge`.
pub const IDEAL_BRIDGE: Calculation = Calculation {
    name: "ideal-bridge",
    summary: "Currents of a six- or twelve-pulse bridge with smooth DC current and no commutation.",
    inputs: &[word("pulses", &["6", "12"], "pulses in a cycle"), quantity_or::<dim::CountDim>("order", "5", "harmonic order, 1 to 50")],
    results: &[
        share("share", "current of that order over the fundamental"),
        output::<dim::RatioDim>("fundamental", "pu", "fundamental, rms, of one six-pulse bridge over its DC current"),
        share("thd", "distortion with all orders"),
        share("thd-50", "distortion with the orders to 50"),
        output::<dim::RatioDim>("power-factor", "pu", "power factor"),
    ],
    sources: &[&super::BLOCKS],
    run: |a: &Arguments, w: &mut Working| {
        let pulses = if a.word("pulses") == "12" { 12 } else { 6 };
        let b = ideal_bridge(pulses, order(a, "order")?, w)?;
        Ok([b.share, b.fundamental, b.thd, b.thd_to_50, b.power_factor].map(Ratio::in_si).to_vec())
    },
};

/// `calc source-impedance`.
pub const SOURCE_IMPEDANCE: Calculation = Calculation {
    name: "source-impedance",
    summary: "Impedance of transformer, network and cable as a drive sees it, in ohms and on the drive's base.",
    inputs: &[
        quantity::<dim::VoltageDim>("voltage", "line-to-line voltage at the drive"),
        FREQUENCY,
        quantity::<dim::ApparentPowerDim>("transformer", "rating of the transformer"),
        quantity::<dim::RatioDim>("impedance", "its short-circuit impedance"),
        quantity_or::<dim::RatioDim>("x-over-r", "6", "its reactance over its resistance"),
        quantity_or::<dim::CurrentDim>(
            "network",
            "",
            "short-circuit current of the network before it, at the drive's voltage; left out: stiff",
        ),
        quantity_or::<dim::ResistanceDim>("cable-resistance", "0 Ω", "cable to the drive, per phase"),
        quantity_or::<dim::InductanceDim>("cable-inductance", "0 H", "cable to the drive, per phase"),
        quantity::<dim::CurrentDim>("current", "input current of the drive"),
    ],
    results: &[
        output::<dim::ResistanceDim>("impedance", "Ω", "magnitude, per phase"),
        output::<dim::ResistanceDim>("resistance", "Ω", "its resistance"),
        output::<dim::InductanceDim>("inductance", "µH", "its inductance"),
        output::<dim::CurrentDim>("short-circuit", "kA", "three-phase short-circuit current at the drive"),
        share("on-drive", "on the drive's base"),
    ],
    sources: &[&DEFINITION],
    run: |a: &Arguments, w: &mut Working| {
        let feeder = Feeder {
            voltage: a.get("voltage"),
            frequency: a.get("frequency"),
            transformer: a.get("transformer"),
            impedance: a.get("impedance"),
            x_over_r: a.get("x-over-r"),
            network: a.get_opt("network"),
            cable: impedance(a, "cable-resistance", "cable-inductance"),
        };
        let s = source_impedance(&feeder, a.get("current"), w)?;
        let own = [s.magnitude.in_si(), s.impedance.resistance.in_si(), s.impedance.inductance.in_si()];
        Ok(own.into_iter().chain([s.short_circuit.in_si(), s.on_drive.in_si()]).collect())
    },
};

/// `calc reactor-need`.
pub const REACTOR_NEED: Calculation = Calculation {
    name: "reactor-need",
    summary: "Whether the impedance ahead of a rectifier is enough, and the line reactor that brings what is missing.",
    inputs: &[
        quantity::<dim::VoltageDim>("voltage", "line-to-line voltage"),
        FREQUENCY,
        quantity::<dim::CurrentDim>("current", "input current of the drive"),
        quantity::<dim::RatioDim>("source", "impedance of the source on the drive's base"),
        quantity_or::<dim::RatioDim>("reactor", "0 %", "line reactor that is there"),
        quantity_or::<dim::RatioDim>("choke", "0 %", "DC choke, as if it stood in the line"),
        quantity_or::<dim::RatioDim>("least", "1 %", "wanted: 1 % for the rectifier's sake, 3 % to 5 % against harmonics"),
    ],
    results: &[
        share("ahead", "impedance ahead of the rectifier on the drive's base"),
        output::<dim::CountDim>("needed", "", "1 when it is less than wanted"),
        share("missing", "what is missing"),
        output::<dim::InductanceDim>("inductance", "µH", "line reactor that brings it, per phase"),
    ],
    sources: &[&PRACTICE, &DEFINITION],
    run: |a: &Arguments, w: &mut Working| {
        let base = DriveBase { voltage: a.get("voltage"), frequency: a.get("frequency"), current: a.get("current") };
        let ahead = Ahead { source: a.get("source"), reactor: a.get("reactor"), choke: a.get("choke") };
        let need = reactor_need(&base, &ahead, a.get("least"), w)?;
        Ok(vec![need.ahead.in_si(), f64::from(u8::from(need.needed)), need.missing.in_si(), need.inductance.in_si()])
    },
};

/// `calc capacitor-life`.
pub const CAPACITOR_LIFE: Calculation = Calculation {
    name: "capacitor-life",
    summary: "Life of an electrolytic capacitor by the temperatures of its core.",
    inputs: &[
        quantity::<dim::TimeDim>("rated-life", "life at the rated temperature"),
        quantity_or::<dim::TemperatureDim>("rated-temperature", "105 °C", "rated core temperature"),
        Input {
            name: "service",
            kind: InputKind::Rows(&[dim::TemperatureDim::INFO, dim::TimeDim::INFO]),
            default: None,
            doc: "rows of core temperature and time: 45 °C, 8 h; 65 °C, 8 h",
        },
    ],
    results: &[output::<dim::TimeDim>("life", "h", "life at that mix of temperatures")],
    sources: &[&TEN_KELVIN, &super::MINER],
    run: |a: &Arguments, w: &mut Working| {
        let service: Vec<Service> = a
            .rows("service")
            .iter()
            .filter_map(|row| match row[..] {
                [temperature, time] => Some(Service { temperature: Temperature::si(temperature), time: Time::si(time) }),
                _ => None,
            })
            .collect();
        Ok(vec![capacitor_life(a.get("rated-life"), a.get("rated-temperature"), &service, w)?.in_si()])
    },
};
