//! The equivalent circuit on a drive: what a motor draws at any torque and frequency, by the law that the drive sets its
//! voltage by. Exact within the circuit; [`super::current`] is the cheap form.

use plant::quantity::{Current, Frequency, Ratio, Resistance, Speed, Torque, Voltage, dim};

use super::breakdown::{Reduction, Supply, Thevenin, stable_slip, thevenin};
use super::circuit::{Circuit, FREQUENCY, IRON, POLES, R1, R2, VOLTAGE, X1, X2, XM, circuit_of};
use super::complex::complex;
use super::losses::FITZGERALD;
use super::positive;
use super::shaft::{SQRT_3, synchronous_speed};
use crate::registry::{Calculation, Refusal, output, quantity, word};
use crate::sources::{DEFINITION, Knowledge, Source};
use crate::working::{Recorder, Silent, Step};

/// Laws of the drive.
const VOLTAGE_LAW: Source = Source::new("law by which the drive sets the motor voltage", Knowledge::Derived);

/// How a drive sets the motor's voltage below base frequency; above it the voltage stays at its rated value.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum VoltageLaw {
    /// U ∝ f and nothing else: at low frequency the stator resistance eats the voltage, and the breakdown torque with it.
    Proportional,
    /// The voltage behind the stator impedance is held at its no-load value ∝ f, as vector control and load-dependent boost do,
    /// as far as the rated voltage reaches.
    HeldFlux,
}

impl VoltageLaw {
    /// Every law as written.
    pub const WORDS: &'static [&'static str] = &["held-flux", "proportional"];

    /// The law of that name.
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        match name {
            "proportional" => Some(Self::Proportional),
            "held-flux" => Some(Self::HeldFlux),
            _ => None,
        }
    }
}

/// A motor running on a drive.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Driven {
    /// Fundamental voltage at the motor, line to line.
    pub voltage: Voltage,
    /// Slip.
    pub slip: Ratio,
    /// Speed of the shaft.
    pub speed: Speed,
    /// Line current, fundamental.
    pub current: Current,
    /// P/S at the motor: negative when power flows back.
    pub power_factor: Ratio,
}

/// How a motor runs on a drive at a torque and a frequency.
///
/// Proportional: U = U_N·min(1, f/f_N), then slip and current of the circuit. Held flux: E = E_0·f/f_N with E_0 the no-load
/// voltage behind the stator impedance at rated voltage and frequency; T = 3·E²·r/(ω_s·(r² + X2²)), r = R2/s;
/// I1 = E/(r + jX2) + E·Y_m; U = E + I1·(R1 + jX1), and where that exceeds U_N the voltage is U_N instead. Torque is the torque
/// across the air gap, negative when braking. Sinusoidal fundamental; slip at very low frequency is exact, iron loss is not.
///
/// # Errors
/// When the torque is beyond breakdown at that frequency, or a figure is out of range.
///
/// Source: derived from the circuit of Fitzgerald, Kingsley, Umans, Electric Machinery, 6th ed., ch. 6. Worked example: the motor
/// of ex. 6.2 at rated supply gives its 5739.4 W/125.66 rad/s at 18.78 A.
/// ```
/// use calc::{motor::{breakdown::Supply, circuit::Circuit, driven::{driven, VoltageLaw}}, working::Silent};
/// use plant::quantity::{Count, Frequency, Resistance, Torque, Voltage};
/// let ohm = Resistance::ohm;
/// let circuit = Circuit {
///     r1: ohm(0.294), x1: ohm(0.503), r2: ohm(0.144), x2: ohm(0.209), xm: ohm(13.25), iron: None, frequency: Frequency::hz(60.0),
/// };
/// let rated = Supply { voltage: Voltage::v(220.0), frequency: Frequency::hz(60.0), poles: Count::of(6.0) };
/// let t = Torque::nm(5739.39 / 125.6637);
/// let runs = driven(&circuit, &rated, VoltageLaw::Proportional, t, Frequency::hz(60.0), &mut Silent).unwrap();
/// assert!((runs.current.in_a() - 18.7782).abs() < 1e-3);
/// let slow = driven(&circuit, &rated, VoltageLaw::HeldFlux, t, Frequency::hz(3.0), &mut Silent).unwrap();
/// assert!(slow.voltage.in_v() > 220.0 / 20.0); // the boost that the stator resistance asks for
/// ```
pub fn driven<R: Recorder>(
    circuit: &Circuit,
    rated: &Supply,
    law: VoltageLaw,
    torque: Torque,
    frequency: Frequency,
    rec: &mut R,
) -> Result<Driven, Refusal> {
    let line_v = positive("the rated voltage", rated.voltage)?;
    let x = positive("the frequency", frequency)? / positive("the rated frequency", rated.frequency)?;
    if !torque.is_finite() {
        return Err(Refusal::new("the torque must be a number"));
    }
    let at = circuit.at(frequency)?;
    let synchronous = synchronous_speed(frequency, rated.poles, rec)?;
    let by_ratio = Supply { voltage: Voltage::v(line_v * x.min(1.0)), frequency, ..*rated };
    let held = match law {
        VoltageLaw::Proportional => None,
        VoltageLaw::HeldFlux => {
            let e_v = circuit.at(rated.frequency)?.solve(line_v / SQRT_3, 0.0).e.magnitude() * x;
            let behind = Thevenin { voltage: Voltage::v(e_v), resistance: Resistance::ZERO, reactance: Resistance::ZERO };
            let slip = stable_slip(&at, &behind, synchronous, torque)?;
            let s = slip.in_of_one();
            let e = complex(e_v, 0.0);
            let i1 = e * (complex(s, 0.0) / complex(at.r2, s * at.x2)) + e * at.ym;
            let u = e + i1 * complex(at.r1, at.x1);
            let voltage = Voltage::v(SQRT_3 * u.magnitude());
            (voltage.in_v() <= line_v).then(|| {
                rec.step(|| {
                    Step::new("E", "voltage held behind the stator impedance", "E_0·f/f_N", &VOLTAGE_LAW)
                        .with("E_0", Voltage::v(e_v / x))
                        .with("f", frequency)
                        .with("f_N", rated.frequency)
                        .gives(Voltage::v(e_v))
                });
                (voltage, slip, i1, (u * i1.conjugate()).re / (u.magnitude() * i1.magnitude()))
            })
        }
    };
    let (voltage, slip, i1, power_factor) = match held {
        Some(held) => held,
        None => {
            rec.step(|| {
                Step::new("U", "motor voltage", "U_N·min(1, f/f_N)", &VOLTAGE_LAW)
                    .with("U_N", rated.voltage)
                    .with("f", frequency)
                    .with("f_N", rated.frequency)
                    .gives(by_ratio.voltage)
            });
            let th = thevenin(circuit, &by_ratio, Reduction::Exact, &mut Silent)?;
            let slip = stable_slip(&at, &th, synchronous, torque)?;
            let i1 = at.solve(by_ratio.voltage.in_v() / SQRT_3, slip.in_of_one()).i1;
            (by_ratio.voltage, slip, i1, i1.re / i1.magnitude())
        }
    };
    let current = Current::a(i1.magnitude());
    let speed = synchronous * (1.0 - slip.in_of_one());
    rec.step(|| {
        Step::new("s", "slip at the torque", "", &FITZGERALD)
            .gives(slip)
            .note(format!("stable root of the circuit's torque equation at {torque}, {frequency}, motor voltage {voltage}"))
    });
    rec.step(|| Step::new("n", "speed", "n_s·(1 − s)", &DEFINITION).with("n_s", synchronous).with("s", slip.in_of_one()).gives(speed));
    rec.step(|| {
        Step::new("I1", "motor current", "|I2 + E·Y_m|", &FITZGERALD)
            .gives(current)
            .note("rotor current and magnetising current of the circuit")
    });
    Ok(Driven { voltage, slip, speed, current, power_factor: Ratio::of_one(power_factor) })
}

/// `calc driven-motor`.
pub const DRIVEN_MOTOR: Calculation = Calculation {
    name: "driven-motor",
    summary: "Voltage, slip, speed and current of a motor on a drive, from its equivalent circuit.",
    inputs: &[
        R1,
        X1,
        R2,
        X2,
        XM,
        IRON,
        VOLTAGE,
        FREQUENCY,
        POLES,
        quantity::<dim::TorqueDim>("torque", "torque across the air gap; negative when braking"),
        quantity::<dim::FrequencyDim>("output_frequency", "frequency that the drive puts out"),
        word("law", VoltageLaw::WORDS, "how the drive sets the voltage"),
    ],
    results: &[
        output::<dim::VoltageDim>("voltage", "V", "fundamental motor voltage, line to line"),
        output::<dim::RatioDim>("slip", "%", "slip"),
        output::<dim::SpeedDim>("speed", "rpm", "speed of the shaft"),
        output::<dim::CurrentDim>("current", "A", "motor current, fundamental"),
        output::<dim::RatioDim>("power_factor", "pu", "cos φ at the motor"),
    ],
    sources: &[&FITZGERALD, &VOLTAGE_LAW],
    run: |a, w| {
        let rated = Supply { voltage: a.get("voltage"), frequency: a.get("frequency"), poles: a.get("poles") };
        let law = VoltageLaw::named(a.word("law")).ok_or_else(|| Refusal::new("no such law"))?;
        let d = driven(&circuit_of(a), &rated, law, a.get("torque"), a.get("output_frequency"), w)?;
        Ok(vec![d.voltage.in_si(), d.slip.in_si(), d.speed.in_si(), d.current.in_si(), d.power_factor.in_si()])
    },
};
