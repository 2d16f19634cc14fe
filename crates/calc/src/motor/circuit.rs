//! The single-cage equivalent circuit of an induction motor, per phase of the equivalent star: stator R1 + jX1, magnetising
//! jXm with the iron's resistance beside it, rotor R2/s + jX2. What torque and slip follow from it stands in [`super::breakdown`].

use plant::quantity::{ApparentPower, Count, Current, Frequency, Power, Ratio, Resistance, Speed, Torque, Voltage, dim};

use super::complex::{Complex, complex};
use super::losses::FITZGERALD;
use super::shaft::{SQRT_3, synchronous_speed};
use super::{not_negative, optional, positive};
use crate::registry::{Arguments, Calculation, Input, Refusal, output, quantity, quantity_or};
use crate::sources::DEFINITION;
use crate::working::{Recorder, Step};

/// The equivalent circuit. Reactances hold at `frequency` and scale with it; resistances do not change.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Circuit {
    /// Stator resistance.
    pub r1: Resistance,
    /// Stator leakage reactance.
    pub x1: Resistance,
    /// Rotor resistance, referred to the stator.
    pub r2: Resistance,
    /// Rotor leakage reactance, referred to the stator.
    pub x2: Resistance,
    /// Magnetising reactance.
    pub xm: Resistance,
    /// Resistance of the iron loss, in parallel with the magnetising reactance; `None` counts the iron loss elsewhere.
    /// It is kept at every frequency, so the iron loss follows the square of the voltage behind it.
    pub iron: Option<Resistance>,
    /// Frequency that the reactances are given at.
    pub frequency: Frequency,
}

/// What a circuit is run at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Operating {
    /// Line to line.
    pub voltage: Voltage,
    /// Supply frequency.
    pub frequency: Frequency,
    /// Poles, not pole pairs.
    pub poles: Count,
    /// 0 at synchronous speed, 1 at standstill, negative when generating.
    pub slip: Ratio,
    /// Windage, friction and stray load loss at this speed (and iron loss where the circuit has none).
    pub mechanical_loss: Power,
}

/// How a motor runs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Performance {
    /// Line current.
    pub current: Current,
    /// Rotor current, referred to the stator.
    pub rotor_current: Current,
    /// P/S: negative when power flows back to the supply.
    pub power_factor: Ratio,
    /// Power at the terminals.
    pub input: Power,
    /// Reactive power at the terminals, in var; positive when drawn.
    pub reactive: ApparentPower,
    /// Apparent power at the terminals.
    pub apparent: ApparentPower,
    /// Loss in the stator winding.
    pub stator_loss: Power,
    /// Loss in the iron, where the circuit has a resistance for it.
    pub iron_loss: Power,
    /// Loss in the rotor cage.
    pub rotor_loss: Power,
    /// Power across the air gap.
    pub gap: Power,
    /// Power turned into mechanical power, before the mechanical loss.
    pub converted: Power,
    /// Power at the shaft.
    pub output: Power,
    /// Torque across the air gap.
    pub developed_torque: Torque,
    /// Torque at the shaft.
    pub shaft_torque: Torque,
    /// Output over input when motoring, input over output when generating, zero when power goes in on both sides.
    pub efficiency: Ratio,
    /// Speed of the shaft.
    pub speed: Speed,
}

/// The circuit's figures as numbers, at one frequency.
#[derive(Clone, Copy, Debug)]
pub(super) struct At {
    pub(super) r1: f64,
    pub(super) x1: f64,
    pub(super) r2: f64,
    pub(super) x2: f64,
    /// Admittance of the magnetising reactance and the iron.
    pub(super) ym: Complex,
}

/// Phasors of a circuit, the phase voltage as reference.
#[derive(Clone, Copy, Debug)]
pub(super) struct Phasors {
    /// Stator current.
    pub(super) i1: Complex,
    /// Voltage behind the stator impedance.
    pub(super) e: Complex,
    /// Rotor current.
    pub(super) i2: Complex,
}

impl Circuit {
    /// The circuit's figures at a frequency.
    ///
    /// # Errors
    /// When a figure is out of its range: R2, Xm, the iron's resistance and both frequencies above zero, the rest not below it.
    pub(super) fn at(&self, frequency: Frequency) -> Result<At, Refusal> {
        let k = positive("the frequency", frequency)? / positive("the frequency of the reactances", self.frequency)?;
        let xm = k * positive("the magnetising reactance Xm", self.xm)?;
        let g = self.iron.map_or(Ok(0.0), |r| Ok(1.0 / positive("the iron's resistance", r)?))?;
        Ok(At {
            r1: not_negative("the stator resistance R1", self.r1)?,
            x1: k * not_negative("the stator reactance X1", self.x1)?,
            r2: positive("the rotor resistance R2", self.r2)?,
            x2: k * not_negative("the rotor reactance X2", self.x2)?,
            ym: complex(g, -1.0 / xm),
        })
    }
}

impl At {
    /// Solves the circuit at a phase voltage and a slip; with the rotor as an admittance, no slip divides by zero.
    pub(super) fn solve(&self, phase_v: f64, slip: f64) -> Phasors {
        let rotor = complex(slip, 0.0) / complex(self.r2, slip * self.x2);
        let parallel = complex(1.0, 0.0) / (self.ym + rotor);
        let i1 = complex(phase_v, 0.0) / (complex(self.r1, self.x1) + parallel);
        let e = i1 * parallel;
        Phasors { i1, e, i2: e * rotor }
    }

    /// Power across the air gap of all three phases at a voltage behind the stator impedance.
    pub(super) fn gap_w(&self, e: Complex, slip: f64) -> f64 {
        3.0 * e.squared_magnitude() * slip * self.r2 / (self.r2 * self.r2 + slip * slip * self.x2 * self.x2)
    }
}

/// How a motor runs at a voltage, a frequency and a slip.
///
/// Z = R1 + jX1 + 1/(1/jXm + 1/R_fe + 1/(R2/s + jX2)); I1 = U/(√3·Z); P_in = √3·U·I1·cos φ; P_gap = 3·I2²·R2/s;
/// P_conv = (1 − s)·P_gap; T = P_gap/ω_s; P_out = P_conv − P_mech. Balanced sinusoidal supply, steady state, unsaturated
/// constant figures; a cage with strong current displacement (most motors at standstill) has a larger R2 and smaller X2 there.
///
/// # Errors
/// When a figure of the circuit or the supply is out of range, or a mechanical loss is stated at standstill.
///
/// Source: Fitzgerald, Kingsley, Umans, Electric Machinery, 6th ed., ch. 6 (looked up in a public copy). Worked example
/// (ex. 6.2 there): 18.8 A, cos φ 0.846, 42.4 N·m.
/// ```
/// use calc::{motor::circuit::{solve, Circuit, Operating}, working::Silent};
/// use plant::quantity::{Count, Frequency, Power, Ratio, Resistance, Voltage};
/// let ohm = Resistance::ohm;
/// let circuit = Circuit {
///     r1: ohm(0.294), x1: ohm(0.503), r2: ohm(0.144), x2: ohm(0.209), xm: ohm(13.25), iron: None, frequency: Frequency::hz(60.0),
/// };
/// let runs = solve(&circuit, &Operating {
///     voltage: Voltage::v(220.0), frequency: Frequency::hz(60.0), poles: Count::of(6.0), slip: Ratio::percent(2.0),
///     mechanical_loss: Power::w(403.0),
/// }, &mut Silent).unwrap();
/// assert!((runs.current.in_a() - 18.8).abs() < 0.05);
/// assert!((runs.power_factor.in_of_one() - 0.846).abs() < 5e-4);
/// assert!((runs.shaft_torque.in_nm() - 42.4).abs() < 0.05);
/// ```
pub fn solve<R: Recorder>(circuit: &Circuit, run: &Operating, rec: &mut R) -> Result<Performance, Refusal> {
    let at = circuit.at(run.frequency)?;
    let line_v = positive("the voltage", run.voltage)?;
    let mechanical = not_negative("the mechanical loss", run.mechanical_loss)?;
    let s = run.slip.in_of_one();
    if !s.is_finite() {
        return Err(Refusal::new("the slip must be a number"));
    }
    let synchronous = synchronous_speed(run.frequency, run.poles, rec)?;
    let speed = synchronous * (1.0 - s);
    let omega = speed.in_rad_s();
    if omega == 0.0 && mechanical > 0.0 {
        return Err(Refusal::new("at standstill nothing turns, so there is no mechanical loss: state it as zero"));
    }
    let Phasors { i1, e, i2 } = at.solve(line_v / SQRT_3, s);
    let current = Current::a(i1.magnitude());
    // The phase voltage is the reference, so the parts of the current give active and reactive power.
    let input = Power::w(SQRT_3 * line_v * i1.re);
    let reactive = ApparentPower::va(-SQRT_3 * line_v * i1.im);
    let apparent = run.voltage * current * SQRT_3;
    let power_factor = Ratio::of_one(i1.re / i1.magnitude());
    let stator_loss = Power::w(3.0 * i1.squared_magnitude() * at.r1);
    let iron_loss = Power::w(3.0 * e.squared_magnitude() * at.ym.re);
    let gap = Power::w(at.gap_w(e, s));
    let rotor_loss = gap * s;
    let converted = gap - rotor_loss;
    let output = converted - run.mechanical_loss;
    let developed_torque = gap / synchronous;
    let shaft_torque = if omega == 0.0 { developed_torque } else { output / speed };
    let efficiency = Ratio::of_one(match (input.in_w(), output.in_w()) {
        (p_in, p_out) if p_in > 0.0 && p_out > 0.0 => p_out / p_in,
        (p_in, p_out) if p_in < 0.0 && p_out < 0.0 => p_in / p_out,
        _ => 0.0,
    });
    if rec.keeps() {
        let z = complex(line_v / SQRT_3, 0.0) / i1;
        let ohms = |z: Complex| {
            format!(
                "{} {} j{} Ω",
                plant::quantity::digits(z.re, 5),
                if z.im < 0.0 { "−" } else { "+" },
                plant::quantity::digits(z.im.abs(), 5)
            )
        };
        rec.step(|| {
            Step::new("Z", "impedance per phase", "R1 + jX1 + 1/(1/jXm + 1/R_fe + 1/(R2/s + jX2))", &FITZGERALD).gives(ohms(z)).note(
                format!(
                    "with R1 = {}, X1 = {}, R2 = {}, s = {} at {}",
                    circuit.r1,
                    Resistance::ohm(at.x1),
                    circuit.r2,
                    run.slip,
                    run.frequency
                ),
            )
        });
        rec.step(|| {
            Step::new("I1", "stator current", "U/(√3·|Z|)", &DEFINITION)
                .with("U", run.voltage)
                .with("|Z|", Resistance::ohm(z.magnitude()))
                .gives(current)
        });
        rec.step(|| Step::new("cosφ", "power factor", "Re Z/|Z|", &DEFINITION).gives(power_factor.in_of_one()));
        rec.step(|| {
            Step::new("P_in", "power at the terminals", "√3·U·I1·cosφ", &DEFINITION)
                .with("U", run.voltage)
                .with("I1", current)
                .with("cosφ", power_factor.in_of_one())
                .gives(input)
        });
        rec.step(|| {
            Step::new("P_cu1", "loss in the stator winding", "3·I1²·R1", &FITZGERALD)
                .with("I1", current)
                .with("R1", circuit.r1)
                .gives(stator_loss)
        });
        if let Some(iron) = circuit.iron {
            let behind = Voltage::v(e.magnitude());
            rec.step(|| {
                Step::new("P_fe", "loss in the iron", "3·E²/R_fe", &FITZGERALD).with("E", behind).with("R_fe", iron).gives(iron_loss)
            });
        }
        rec.step(|| {
            Step::new("P_gap", "power across the air gap", "P_in − P_cu1 − P_fe", &FITZGERALD)
                .with("P_in", input)
                .with("P_cu1", stator_loss)
                .with("P_fe", iron_loss)
                .gives(gap)
        });
        rec.step(|| Step::new("P_cu2", "loss in the rotor", "s·P_gap", &FITZGERALD).with("s", s).with("P_gap", gap).gives(rotor_loss));
        rec.step(|| {
            Step::new("T", "torque across the air gap", "P_gap/(2π·n_s)", &FITZGERALD)
                .with("P_gap", gap)
                .with("n_s", synchronous)
                .gives(developed_torque)
        });
        rec.step(|| {
            Step::new("P_out", "power at the shaft", "P_gap − P_cu2 − P_mech", &FITZGERALD)
                .with("P_gap", gap)
                .with("P_cu2", rotor_loss)
                .with("P_mech", run.mechanical_loss)
                .gives(output)
        });
    }
    Ok(Performance {
        current,
        rotor_current: Current::a(i2.magnitude()),
        power_factor,
        input,
        reactive,
        apparent,
        stator_loss,
        iron_loss,
        rotor_loss,
        gap,
        converted,
        output,
        developed_torque,
        shaft_torque,
        efficiency,
        speed,
    })
}

pub(super) const R1: Input = quantity::<dim::ResistanceDim>("r1", "stator resistance per phase of the equivalent star");
pub(super) const X1: Input = quantity::<dim::ResistanceDim>("x1", "stator leakage reactance");
pub(super) const R2: Input = quantity::<dim::ResistanceDim>("r2", "rotor resistance, referred to the stator");
pub(super) const X2: Input = quantity::<dim::ResistanceDim>("x2", "rotor leakage reactance, referred to the stator");
pub(super) const XM: Input = quantity::<dim::ResistanceDim>("xm", "magnetising reactance");
pub(super) const IRON: Input = optional::<dim::ResistanceDim>("iron", "resistance of the iron loss beside xm");
pub(super) const VOLTAGE: Input = quantity::<dim::VoltageDim>("voltage", "line to line");
pub(super) const FREQUENCY: Input = quantity::<dim::FrequencyDim>("frequency", "supply frequency, at which the reactances hold");
pub(super) const POLES: Input = quantity::<dim::CountDim>("poles", "number of poles, not pole pairs");

/// The circuit of the inputs above.
pub(super) fn circuit_of(a: &Arguments) -> Circuit {
    Circuit {
        r1: a.get("r1"),
        x1: a.get("x1"),
        r2: a.get("r2"),
        x2: a.get("x2"),
        xm: a.get("xm"),
        iron: a.get_opt("iron"),
        frequency: a.get("frequency"),
    }
}

/// `calc equivalent-circuit`.
pub const EQUIVALENT_CIRCUIT: Calculation = Calculation {
    name: "equivalent-circuit",
    summary: "Currents, powers, losses and torque of an induction motor from its equivalent circuit.",
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
        quantity::<dim::RatioDim>("slip", "slip"),
        quantity_or::<dim::PowerDim>("mechanical_loss", "0 W", "windage, friction, stray loss (and iron loss without a resistance for it)"),
    ],
    results: &[
        output::<dim::CurrentDim>("current", "A", "line current"),
        output::<dim::CurrentDim>("rotor_current", "A", "rotor current, referred to the stator"),
        output::<dim::RatioDim>("power_factor", "pu", "cos φ"),
        output::<dim::PowerDim>("input", "W", "power at the terminals"),
        output::<dim::ApparentPowerDim>("reactive", "VA", "reactive power at the terminals (var)"),
        output::<dim::ApparentPowerDim>("apparent", "VA", "apparent power at the terminals"),
        output::<dim::PowerDim>("stator_loss", "W", "loss in the stator winding"),
        output::<dim::PowerDim>("iron_loss", "W", "loss in the iron"),
        output::<dim::PowerDim>("rotor_loss", "W", "loss in the rotor cage"),
        output::<dim::PowerDim>("gap", "W", "power across the air gap"),
        output::<dim::PowerDim>("converted", "W", "mechanical power before the mechanical loss"),
        output::<dim::PowerDim>("output", "W", "power at the shaft"),
        output::<dim::TorqueDim>("developed_torque", "N·m", "torque across the air gap"),
        output::<dim::TorqueDim>("shaft_torque", "N·m", "torque at the shaft"),
        output::<dim::RatioDim>("efficiency", "%", "efficiency"),
        output::<dim::SpeedDim>("speed", "rpm", "speed of the shaft"),
    ],
    sources: &[&FITZGERALD, &DEFINITION],
    run: |a, w| {
        let run = Operating {
            voltage: a.get("voltage"),
            frequency: a.get("frequency"),
            poles: a.get("poles"),
            slip: a.get("slip"),
            mechanical_loss: a.get("mechanical_loss"),
        };
        let p = solve(&circuit_of(a), &run, w)?;
        Ok(vec![
            p.current.in_si(),
            p.rotor_current.in_si(),
            p.power_factor.in_si(),
            p.input.in_si(),
            p.reactive.in_si(),
            p.apparent.in_si(),
            p.stator_loss.in_si(),
            p.iron_loss.in_si(),
            p.rotor_loss.in_si(),
            p.gap.in_si(),
            p.converted.in_si(),
            p.output.in_si(),
            p.developed_torque.in_si(),
            p.shaft_torque.in_si(),
            p.efficiency.in_si(),
            p.speed.in_si(),
        ])
    },
};
