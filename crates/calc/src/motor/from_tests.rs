//! The equivalent circuit from the no-load, blocked-rotor and direct-current tests.

use plant::quantity::{Current, Frequency, Power, Resistance, Voltage, dim};

use super::circuit::Circuit;
use super::complex::complex;
use super::losses::FITZGERALD;
use super::shaft::SQRT_3;
use super::{not_negative, optional, positive, required_word};
use crate::registry::{Calculation, Refusal, output, quantity};
use crate::sources::{DEFINITION, Knowledge, Source};
use crate::working::{Recorder, Step};

/// How the leakage divides between stator and rotor.
const IEEE_112: Source = Source::new("IEEE 112, division of the leakage reactance by NEMA design", Knowledge::FromMemory);

/// Kinds of rotor (NEMA MG 1), as far as the circuit knows them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RotorDesign {
    /// Design A.
    A,
    /// Design B.
    B,
    /// Design C.
    C,
    /// Design D.
    D,
    /// Wound rotor.
    Wound,
}

impl RotorDesign {
    /// Every design as written.
    pub const WORDS: &'static [&'static str] = &["A", "B", "C", "D", "wound"];

    /// The design of that name.
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        Some(match name {
            "A" => Self::A,
            "B" => Self::B,
            "C" => Self::C,
            "D" => Self::D,
            "wound" => Self::Wound,
            _ => return None,
        })
    }

    /// X1/(X1 + X2): 0.5 for A, D and wound, 0.4 for B, 0.3 for C.
    #[must_use]
    pub const fn stator_share(self) -> f64 {
        match self {
            Self::A | Self::D | Self::Wound => 0.5,
            Self::B => 0.4,
            Self::C => 0.3,
        }
    }
}

/// The stator resistance per phase of the equivalent star from a direct-current test.
///
/// R1 = U/(2·I), measured between two terminals: half the terminal resistance whether the winding is star or delta. At the
/// winding temperature of the test; copper rises by 0.39 % per K.
///
/// # Errors
/// When voltage or current is not above zero.
///
/// Source: definition. Worked example: 13.6 V drive 28 A: 0.243 Ω (Chapman, Electric Machinery Fundamentals, ex. 7-8, from
/// memory).
/// ```
/// use calc::{motor::from_tests::stator_resistance, working::Silent};
/// use plant::quantity::{Current, Voltage};
/// let r = stator_resistance(Voltage::v(13.6), Current::a(28.0), &mut Silent).unwrap();
/// assert!((r.in_ohm() - 0.243).abs() < 5e-4);
/// ```
pub fn stator_resistance<R: Recorder>(voltage: Voltage, current: Current, rec: &mut R) -> Result<Resistance, Refusal> {
    let r1 = Resistance::ohm(positive("the voltage", voltage)? / (2.0 * positive("the current", current)?));
    rec.step(|| Step::new("R1", "stator resistance per phase", "U/(2·I)", &DEFINITION).with("U", voltage).with("I", current).gives(r1));
    Ok(r1)
}

/// One test: line-to-line voltage, line current, three-phase power.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reading {
    /// Line to line.
    pub voltage: Voltage,
    /// Line current.
    pub current: Current,
    /// Three-phase power.
    pub power: Power,
}

/// The tests of one motor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tests {
    /// Running without load at rated voltage and `frequency`.
    pub no_load: Reading,
    /// Rotor blocked, at `blocked_frequency` (a quarter of rated is usual, so that the cage carries its running current).
    pub blocked: Reading,
    /// Rated frequency.
    pub frequency: Frequency,
    /// Frequency of the blocked-rotor test.
    pub blocked_frequency: Frequency,
    /// Per phase of the equivalent star, at test temperature.
    pub stator_resistance: Resistance,
    /// Divides the leakage between stator and rotor.
    pub design: RotorDesign,
    /// Windage and friction, where they were separated from the iron loss.
    pub friction: Option<Power>,
}

/// What the tests give.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FromTests {
    /// The circuit; with a resistance for the iron where friction was separated.
    pub circuit: Circuit,
    /// No-load loss less the stator's: windage, friction and iron loss together.
    pub rotational_loss: Power,
}

/// Resistance and reactance per phase of a reading.
struct Seen {
    resistance: f64,
    reactance: f64,
}

fn seen(what: &str, reading: &Reading) -> Result<Seen, Refusal> {
    let u = positive(&format!("the voltage of the {what} test"), reading.voltage)?;
    let i = positive(&format!("the current of the {what} test"), reading.current)?;
    let p = not_negative(&format!("the power of the {what} test"), reading.power)?;
    let s = SQRT_3 * u * i;
    if p >= s {
        return Err(Refusal::new(format!("the {what} test reads {} at √3·U·I = {s:.0} VA: it can't be that much", reading.power)));
    }
    Ok(Seen { resistance: p / (3.0 * i * i), reactance: (s * s - p * p).sqrt() / (3.0 * i * i) })
}

/// The equivalent circuit from tests.
///
/// P_rot = P_nl − 3·I_nl²·R1; X_nl = Q_nl/(3·I_nl²) ≈ X1 + Xm; X_bl = (f/f_bl)·Q_bl/(3·I_bl²); R_bl = P_bl/(3·I_bl²);
/// X2 = (X_bl − X1)·(X_nl − X1)/(X_nl − X_bl) with X1 : X2 by the design (a quadratic); Xm = X_nl − X1;
/// R2 = (R_bl − R1)·((X2 + Xm)/Xm)². With friction stated, R_fe = 3·E²/(P_rot − P_f), E behind the stator impedance at no load.
/// Holds for R2 ≪ Xm and an unsaturated leakage path; wants R1 at the temperature of the tests.
///
/// # Errors
/// When the readings contradict each other: a power factor above one, more leakage than magnetising reactance, losses below
/// the stator's own.
///
/// Source: Fitzgerald, Kingsley, Umans, Electric Machinery, 6th ed., ch. 6.6 (looked up in a public copy). Worked example
/// (ex. 6.5 there):
/// ```
/// use calc::{motor::from_tests::{from_tests, Reading, RotorDesign, Tests}, working::Silent};
/// use plant::quantity::{Current, Frequency, Power, Resistance, Voltage};
/// let got = from_tests(&Tests {
///     no_load: Reading { voltage: Voltage::v(219.0), current: Current::a(5.70), power: Power::w(380.0) },
///     blocked: Reading { voltage: Voltage::v(26.5), current: Current::a(18.57), power: Power::w(675.0) },
///     frequency: Frequency::hz(60.0), blocked_frequency: Frequency::hz(15.0),
///     stator_resistance: Resistance::ohm(0.262), design: RotorDesign::C, friction: None,
/// }, &mut Silent).unwrap();
/// assert!((got.rotational_loss.in_w() - 354.0).abs() < 1.0);
/// assert!((got.circuit.r2.in_ohm() - 0.447).abs() < 0.004);
/// ```
pub fn from_tests<R: Recorder>(tests: &Tests, rec: &mut R) -> Result<FromTests, Refusal> {
    let r1 = positive("the stator resistance", tests.stator_resistance)?;
    let scale = positive("the frequency", tests.frequency)? / positive("the blocked-rotor frequency", tests.blocked_frequency)?;
    let no_load = seen("no-load", &tests.no_load)?;
    let blocked = seen("blocked-rotor", &tests.blocked)?;
    let (x_nl, x_bl) = (no_load.reactance, scale * blocked.reactance);
    if x_bl >= x_nl {
        return Err(Refusal::new(format!(
            "the blocked rotor shows {x_bl:.3} Ω at rated frequency, no load only {x_nl:.3} Ω: are the tests swapped?"
        )));
    }
    if blocked.resistance <= r1 {
        return Err(Refusal::new(format!(
            "the blocked rotor shows {:.4} Ω, which leaves nothing for the rotor beside R1 = {}",
            blocked.resistance, tests.stator_resistance
        )));
    }
    let i_nl = tests.no_load.current.in_a();
    let rotational_loss = tests.no_load.power - Power::w(3.0 * i_nl * i_nl * r1);
    not_negative("the no-load power less the stator loss", rotational_loss)?;
    // a²·X2² − (a·(X_bl + X_nl) + X_nl − X_bl)·X2 + X_bl·X_nl = 0 with a = X1/X2; its smaller root.
    let a = tests.design.stator_share() / (1.0 - tests.design.stator_share());
    let b = a * (x_bl + x_nl) + x_nl - x_bl;
    let x2 = 2.0 * x_bl * x_nl / (b + (b * b - 4.0 * a * a * x_bl * x_nl).sqrt());
    let x1 = a * x2;
    let xm = x_nl - x1;
    let r2 = (blocked.resistance - r1) * ((x2 + xm) / xm).powi(2);
    let ohm = Resistance::ohm;
    if ![x1, x2, xm, r2].iter().all(|v| v.is_finite() && *v > 0.0) {
        return Err(Refusal::new("the readings give no circuit with positive figures"));
    }
    rec.step(|| {
        Step::new("P_rot", "windage, friction and iron loss", "P_nl − 3·I_nl²·R1", &FITZGERALD)
            .with("P_nl", tests.no_load.power)
            .with("I_nl", tests.no_load.current)
            .with("R1", tests.stator_resistance)
            .gives(rotational_loss)
    });
    rec.step(|| {
        Step::new("X_nl", "no-load reactance", "√((√3·U_nl·I_nl)² − P_nl²)/(3·I_nl²)", &FITZGERALD)
            .with("U_nl", tests.no_load.voltage)
            .with("I_nl", tests.no_load.current)
            .with("P_nl", tests.no_load.power)
            .gives(ohm(x_nl))
    });
    rec.step(|| {
        Step::new("X_bl", "blocked-rotor reactance at rated frequency", "(f/f_bl)·√((√3·U_bl·I_bl)² − P_bl²)/(3·I_bl²)", &FITZGERALD)
            .with("f", tests.frequency)
            .with("f_bl", tests.blocked_frequency)
            .with("U_bl", tests.blocked.voltage)
            .with("I_bl", tests.blocked.current)
            .with("P_bl", tests.blocked.power)
            .gives(ohm(x_bl))
    });
    rec.step(|| {
        Step::new("R_bl", "blocked-rotor resistance", "P_bl/(3·I_bl²)", &FITZGERALD)
            .with("P_bl", tests.blocked.power)
            .with("I_bl", tests.blocked.current)
            .gives(ohm(blocked.resistance))
    });
    rec.step(|| Step::new("X1/X2", "division of the leakage", "", &IEEE_112).gives(a).note(format!("design {:?}", tests.design)));
    rec.step(|| {
        Step::new("X2", "rotor leakage reactance", "(X_bl − X1)·(X_nl − X1)/(X_nl − X_bl)", &FITZGERALD)
            .with("X_bl", ohm(x_bl))
            .with("X_nl", ohm(x_nl))
            .with("X1", ohm(x1))
            .gives(ohm(x2))
    });
    rec.step(|| {
        Step::new("Xm", "magnetising reactance", "X_nl − X1", &FITZGERALD).with("X_nl", ohm(x_nl)).with("X1", ohm(x1)).gives(ohm(xm))
    });
    rec.step(|| {
        Step::new("R2", "rotor resistance", "(R_bl − R1)·((X2 + Xm)/Xm)²", &FITZGERALD)
            .with("R_bl", ohm(blocked.resistance))
            .with("R1", ohm(r1))
            .with("X2", ohm(x2))
            .with("Xm", ohm(xm))
            .gives(ohm(r2))
    });
    let iron = match tests.friction {
        None => None,
        Some(friction) => {
            let iron_loss = rotational_loss - Power::w(not_negative("the friction", friction)?);
            if iron_loss.in_w() <= 0.0 {
                return Err(Refusal::new(format!("{friction} of friction leave nothing of {rotational_loss} for the iron")));
            }
            let u = tests.no_load.voltage.in_v() / SQRT_3;
            let cos = tests.no_load.power.in_w() / (3.0 * u * i_nl);
            let e = complex(u, 0.0) - complex(cos, -(1.0 - cos * cos).sqrt()) * complex(r1, x1) * i_nl;
            let resistance = ohm(3.0 * e.squared_magnitude() / iron_loss.in_w());
            rec.step(|| {
                Step::new("R_fe", "resistance of the iron loss", "3·E²/(P_rot − P_f)", &FITZGERALD)
                    .with("E", Voltage::v(e.magnitude()))
                    .with("P_rot", rotational_loss)
                    .with("P_f", friction)
                    .gives(resistance)
                    .note("E = |U_nl/√3 − I_nl·(R1 + jX1)|")
            });
            Some(resistance)
        }
    };
    let circuit = Circuit { r1: ohm(r1), x1: ohm(x1), r2: ohm(r2), x2: ohm(x2), xm: ohm(xm), iron, frequency: tests.frequency };
    Ok(FromTests { circuit, rotational_loss })
}

/// `calc stator-resistance`.
pub const STATOR_RESISTANCE: Calculation = Calculation {
    name: "stator-resistance",
    summary: "Stator resistance per phase of the equivalent star from a direct-current test.",
    inputs: &[
        quantity::<dim::VoltageDim>("voltage", "direct voltage between two terminals"),
        quantity::<dim::CurrentDim>("current", "direct current that it drives"),
    ],
    results: &[output::<dim::ResistanceDim>("resistance", "Ω", "stator resistance per phase")],
    sources: &[&DEFINITION],
    run: |a, w| Ok(vec![stator_resistance(a.get("voltage"), a.get("current"), w)?.in_si()]),
};

/// `calc circuit-from-tests`.
pub const CIRCUIT_FROM_TESTS: Calculation = Calculation {
    name: "circuit-from-tests",
    summary: "Equivalent circuit from the no-load, blocked-rotor and direct-current tests.",
    inputs: &[
        quantity::<dim::VoltageDim>("no_load_voltage", "line to line"),
        quantity::<dim::CurrentDim>("no_load_current", "line current"),
        quantity::<dim::PowerDim>("no_load_power", "three-phase power"),
        quantity::<dim::VoltageDim>("blocked_voltage", "line to line"),
        quantity::<dim::CurrentDim>("blocked_current", "line current"),
        quantity::<dim::PowerDim>("blocked_power", "three-phase power"),
        quantity::<dim::FrequencyDim>("blocked_frequency", "frequency of the blocked-rotor test"),
        quantity::<dim::FrequencyDim>("frequency", "rated frequency"),
        quantity::<dim::ResistanceDim>("stator_resistance", "per phase of the equivalent star"),
        required_word("design", RotorDesign::WORDS, "NEMA design, which divides the leakage"),
        optional::<dim::PowerDim>("friction", "windage and friction, where separated from the iron loss"),
    ],
    results: &[
        output::<dim::PowerDim>("rotational_loss", "W", "windage, friction and iron loss"),
        output::<dim::ResistanceDim>("r1", "Ω", "stator resistance"),
        output::<dim::ResistanceDim>("x1", "Ω", "stator leakage reactance"),
        output::<dim::ResistanceDim>("r2", "Ω", "rotor resistance"),
        output::<dim::ResistanceDim>("x2", "Ω", "rotor leakage reactance"),
        output::<dim::ResistanceDim>("xm", "Ω", "magnetising reactance"),
    ],
    sources: &[&FITZGERALD, &IEEE_112],
    run: |a, w| {
        let reading =
            |voltage: &str, current: &str, power: &str| Reading { voltage: a.get(voltage), current: a.get(current), power: a.get(power) };
        let tests = Tests {
            no_load: reading("no_load_voltage", "no_load_current", "no_load_power"),
            blocked: reading("blocked_voltage", "blocked_current", "blocked_power"),
            frequency: a.get("frequency"),
            blocked_frequency: a.get("blocked_frequency"),
            stator_resistance: a.get("stator_resistance"),
            design: RotorDesign::named(a.word("design")).ok_or_else(|| Refusal::new("no such design"))?,
            friction: a.get_opt("friction"),
        };
        let FromTests { circuit: c, rotational_loss } = from_tests(&tests, w)?;
        Ok(vec![rotational_loss.in_si(), c.r1.in_si(), c.x1.in_si(), c.r2.in_si(), c.x2.in_si(), c.xm.in_si()])
    },
};
