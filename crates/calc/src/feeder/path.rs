//! Fault currents along a path: utility, transformer, cables, reactors. A three-phase bolted fault at each node in turn, by
//! plain impedances (the per-unit method) or by IEC 60909-0.

mod calls;
#[cfg(test)]
mod tests;

use plant::quantity::{ApparentPower, Current, Ratio, Resistance, Temperature, Voltage};

pub use calls::{FAULT_CURRENT, FAULT_CURRENT_IEC};

use super::iec::{
    CORRECTION, Case, INITIAL, NETWORK, PEAK, Tolerance, VOLTAGE_FACTOR, WARM, peak_factor, transformer_correction, voltage_factor,
};
use crate::checks::{above_zero, not_negative};
pub use crate::conductor::impedance::Impedance;
use crate::registry::Refusal;
use crate::sources::{DEFINITION, Knowledge, Source};
use crate::working::{Recorder, Step};

/// The per-unit method.
pub const PER_UNIT: Source = Source::new("per-unit method, as in IEEE Std 3002.3 and every handbook: I = I_b/z", Knowledge::FromMemory);

/// Base of the per-unit figures.
const BASE: ApparentPower = ApparentPower::mva(1.0);

/// How strong the supply ahead is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Strength {
    /// No impedance at all: the largest current there can be.
    Infinite,
    /// Short-circuit power and X/R.
    Finite {
        /// √3·U·I_k at the connection.
        power: ApparentPower,
        /// Reactance over resistance; 10 where nothing is stated (IEC 60909-0 6.2, from memory).
        x_over_r: f64,
    },
}

/// The supply ahead.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Utility {
    /// Nominal voltage, line to line.
    pub voltage: Voltage,
    /// Its strength.
    pub strength: Strength,
}

/// A two-winding transformer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Transformer {
    /// Rated power.
    pub power: ApparentPower,
    /// Rated voltage of the side of the supply.
    pub primary: Voltage,
    /// Rated voltage of the side of the drive.
    pub secondary: Voltage,
    /// Impedance voltage.
    pub impedance: Ratio,
    /// Its resistive part: load losses over rated power. Zero, when unknown, gives the larger fault current.
    pub resistance: Ratio,
    /// Nominal voltage of the system behind it.
    pub nominal: Voltage,
}

/// A part of the path.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Part {
    /// A transformer.
    Transformer(Transformer),
    /// A cable or busway: its impedance, its resistance at 20 °C for IEC 60909 and cold for the largest current otherwise.
    Cable(Impedance),
    /// A reactor, at supply frequency; nothing of it warms up.
    Reactor(Impedance),
}

/// How it is worked out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Method {
    /// Plain impedances and nominal voltage.
    PerUnit,
    /// IEC 60909-0.
    Iec {
        /// Largest or smallest.
        case: Case,
        /// Of a low-voltage supply.
        tolerance: Tolerance,
        /// Temperature of cables at the end of the fault; counts for the smallest current.
        end: Temperature,
    },
}

/// The fault current at a node.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NodeFault {
    /// Nominal voltage there.
    pub voltage: Voltage,
    /// Impedance of everything ahead, referred to that voltage.
    pub impedance: Impedance,
    /// Initial symmetrical current, rms.
    pub current: Current,
    /// Peak factor κ.
    pub kappa: f64,
    /// Peak current.
    pub peak: Current,
}

impl NodeFault {
    /// Reactance over resistance; infinite without resistance.
    #[must_use]
    pub fn x_over_r(&self) -> f64 {
        self.impedance.x / self.impedance.r
    }
}

/// Resistance and reactance of a magnitude.
fn split(z: f64, x_over_r: f64) -> (f64, f64) {
    let r = z / x_over_r.hypot(1.0);
    (r, r * x_over_r)
}

fn check_transformer(t: &Transformer) -> Result<(), Refusal> {
    above_zero("the rated power of a transformer", t.power)?;
    above_zero("the primary voltage", t.primary)?;
    above_zero("the secondary voltage", t.secondary)?;
    above_zero("the nominal voltage behind a transformer", t.nominal)?;
    above_zero("the impedance voltage", t.impedance)?;
    not_negative("the resistive part of an impedance voltage", t.resistance)?;
    if t.resistance <= t.impedance && t.impedance <= Ratio::of_one(1.0) {
        Ok(())
    } else {
        Err(Refusal::new(format!(
            "an impedance voltage is no larger than 100 % and no smaller than its resistive part: not {} with {}",
            t.impedance, t.resistance
        )))
    }
}

/// Ohms ahead of a node, and the voltage they are referred to.
struct Walk {
    r: f64,
    x: f64,
    voltage: Voltage,
}

impl Walk {
    fn start<R: Recorder>(utility: &Utility, method: Method, rec: &mut R) -> Result<Self, Refusal> {
        let u = utility.voltage;
        above_zero("the voltage of the supply", u)?;
        let Strength::Finite { power, x_over_r } = utility.strength else {
            rec.step(|| {
                Step::new("Z_Q", "impedance of the supply ahead", "", &DEFINITION)
                    .gives(Resistance::ZERO)
                    .note("taken as infinitely strong: the largest current there can be, not the smallest")
            });
            return Ok(Self { r: 0.0, x: 0.0, voltage: u });
        };
        above_zero("the short-circuit power of the supply", power)?;
        if !(x_over_r.is_finite() && x_over_r >= 0.0) {
            return Err(Refusal::new(format!("X/R is zero or more, not {x_over_r}")));
        }
        let c = match method {
            Method::PerUnit => 1.0,
            Method::Iec { case, tolerance, .. } => voltage_factor(u, case, tolerance),
        };
        let z = c * u.in_v().powi(2) / power.in_va();
        let (r, x) = split(z, x_over_r);
        rec.step(|| {
            let (formula, source) = if method == Method::PerUnit { ("U_n²/S_k", &DEFINITION) } else { ("c·U_n²/S_k", &NETWORK) };
            let mut step = Step::new("Z_Q", "impedance of the supply ahead", formula, source).with("U_n", u).with("S_k", power);
            if method != Method::PerUnit {
                step = step.with("c", c);
            }
            step.gives(Resistance::ohm(z)).note(format!("X/R = {}", plant::quantity::digits(x_over_r, 4)))
        });
        Ok(Self { r, x, voltage: u })
    }

    fn transformer<R: Recorder>(&mut self, t: &Transformer, method: Method, rec: &mut R) -> Result<(), Refusal> {
        check_transformer(t)?;
        let ratio = (t.secondary / t.primary).powi(2);
        let full = t.secondary.in_v().powi(2) / t.power.in_va();
        let (uk, ur) = (t.impedance.in_of_one(), t.resistance.in_of_one());
        let correction = match method {
            // The correction belongs to the largest current alone.
            Method::PerUnit | Method::Iec { case: Case::Smallest, .. } => 1.0,
            Method::Iec { case: Case::Largest, tolerance, .. } => {
                let lower = if t.secondary <= t.primary { t.nominal } else { self.voltage };
                transformer_correction(t.impedance, t.resistance, voltage_factor(lower, Case::Largest, tolerance))
            }
        };
        let (r, x) = (ur * full * correction, (uk * uk - ur * ur).max(0.0).sqrt() * full * correction);
        (self.r, self.x, self.voltage) = (self.r * ratio + r, self.x * ratio + x, t.nominal);
        rec.step(|| {
            let (formula, source) =
                if method == Method::PerUnit { ("u_k·U_rT²/S_rT", &DEFINITION) } else { ("K_T·u_k·U_rT²/S_rT", &CORRECTION) };
            let mut step = Step::new("Z_T", "impedance of the transformer, on the side of the drive", formula, source)
                .with("u_k", t.impedance)
                .with("U_rT", t.secondary)
                .with("S_rT", t.power);
            if method != Method::PerUnit {
                step = step.with("K_T", correction);
            }
            step.gives(Resistance::ohm(uk * full * correction)).note(if ur == 0.0 {
                "its resistance is not known and left out, which gives the larger current".to_owned()
            } else {
                format!("of this {} resistance", Resistance::ohm(r))
            })
        });
        Ok(())
    }

    fn add<R: Recorder>(&mut self, z: &Impedance, warm: f64, what: &str, rec: &mut R) -> Result<(), Refusal> {
        not_negative("a resistance of the path", z.r)?;
        not_negative("a reactance of the path", z.x)?;
        self.r += z.r.in_ohm() * warm;
        self.x += z.x.in_ohm();
        rec.step(|| {
            let step = Step::new("Z", format!("impedance of the {what}"), "", if warm > 1.0 { &WARM } else { &DEFINITION }).gives(format!(
                "{} + j{}",
                z.r * warm,
                z.x
            ));
            if warm > 1.0 { step.note(format!("resistance × {} for warm conductors", plant::quantity::digits(warm, 4))) } else { step }
        });
        Ok(())
    }

    fn node<R: Recorder>(&self, method: Method, rec: &mut R) -> Result<NodeFault, Refusal> {
        let z = self.r.hypot(self.x);
        if !(z > 0.0 && z.is_finite()) {
            return Err(Refusal::new(
                "an infinitely strong supply with nothing behind it has no fault current that can be stated; give its short-circuit power",
            ));
        }
        let c = match method {
            Method::PerUnit => 1.0,
            Method::Iec { case, tolerance, .. } => voltage_factor(self.voltage, case, tolerance),
        };
        let current = Current::a(c * self.voltage.in_v() / (3f64.sqrt() * z));
        let kappa = peak_factor(self.r, self.x);
        let peak = current * (kappa * 2f64.sqrt());
        let impedance = Impedance { r: Resistance::ohm(self.r), x: Resistance::ohm(self.x) };
        rec.step(|| {
            let sum = Step::new("Z_k", format!("everything ahead, at {}", self.voltage), "√(R² + X²)", &DEFINITION)
                .with("R", impedance.r)
                .with("X", impedance.x);
            sum.gives(impedance.z())
        });
        if method == Method::PerUnit {
            let base = self.voltage.in_v().powi(2) / BASE.in_va();
            rec.step(|| {
                Step::new("z", "the same in per unit of 1 MVA", "Z_k·S_b/U_n²", &PER_UNIT)
                    .with("Z_k", impedance.z())
                    .with("S_b", BASE)
                    .with("U_n", self.voltage)
                    .gives(z / base)
            });
            rec.step(|| {
                let base_current = Current::a(BASE.in_va() / (3f64.sqrt() * self.voltage.in_v()));
                Step::new("I_k", "fault current, symmetrical rms", "I_b/z", &PER_UNIT)
                    .with("I_b", base_current)
                    .with("z", z / base)
                    .gives(current)
            });
        } else {
            rec.step(|| Step::new("c", format!("voltage factor at {}", self.voltage), "", &VOLTAGE_FACTOR).gives(c));
            rec.step(|| {
                Step::new("I_k\"", "initial fault current, symmetrical rms", "c·U_n/(√3·Z_k)", &INITIAL)
                    .with("c", c)
                    .with("U_n", self.voltage)
                    .with("Z_k", impedance.z())
                    .gives(current)
            });
        }
        rec.step(|| {
            Step::new("i_p", "peak", "κ·√2·I_k", &PEAK)
                .with("κ", kappa)
                .with("I_k", current)
                .gives(peak)
                .note("κ by R/X of everything ahead; one supply, no meshes")
        });
        Ok(NodeFault { voltage: self.voltage, impedance, current, kappa, peak })
    }
}

/// Fault currents at the end of every part, in order.
///
/// Per unit: I = U_n/(√3·|ΣZ|). IEC 60909-0: I_k" = c·U_n/(√3·|ΣZ|) with Z_Q = c·U²/S_k", for the largest current transformers times
/// K_T and cables at 20 °C, for the smallest transformers as they are and cables at `end`. Peak κ·√2·I. Impedances are referred through the transformers' rated
/// voltages. Units: Ω, V, A. Radial path from one supply, three-phase bolted fault, no motors: see `motors`.
///
/// # Errors
/// When a value is not what it must be, or there is no impedance at all.
///
/// Source: IEC 60909-0; per-unit method. Worked example: 1500 kVA, 480 V, 5.75 % on an infinite supply: 1804 A/0.0575 = 31.38 kA.
/// ```
/// use calc::{feeder::path::*, working::Silent};
/// use plant::quantity::{ApparentPower, Ratio, Voltage};
/// let utility = Utility { voltage: Voltage::kv(13.8), strength: Strength::Infinite };
/// let transformer = Transformer {
///     power: ApparentPower::kva(1500.0), primary: Voltage::kv(13.8), secondary: Voltage::v(480.0),
///     impedance: Ratio::percent(5.75), resistance: Ratio::ZERO, nominal: Voltage::v(480.0),
/// };
/// let nodes = fault_currents(&utility, &[Part::Transformer(transformer)], Method::PerUnit, &mut Silent).unwrap();
/// assert!((nodes[0].current.in_ka() - 31.378).abs() < 1e-3);
/// ```
pub fn fault_currents<R: Recorder>(utility: &Utility, parts: &[Part], method: Method, rec: &mut R) -> Result<Vec<NodeFault>, Refusal> {
    let warm = match method {
        Method::Iec { case: Case::Smallest, end, .. } => {
            let celsius = end.in_c();
            if !(20.0..=400.0).contains(&celsius) {
                return Err(Refusal::new(format!("conductors end a fault between 20 and 400 °C, not at {end}")));
            }
            1.0 + 0.004 * (celsius - 20.0)
        }
        _ => 1.0,
    };
    let mut walk = Walk::start(utility, method, rec)?;
    let mut nodes = Vec::with_capacity(parts.len());
    for part in parts {
        match part {
            Part::Transformer(t) => walk.transformer(t, method, rec)?,
            Part::Cable(z) => walk.add(z, warm, "cable", rec)?,
            Part::Reactor(z) => walk.add(z, 1.0, "reactor", rec)?,
        }
        nodes.push(walk.node(method, rec)?);
    }
    Ok(nodes)
}

/// The fault current at the connection of the supply itself.
///
/// # Errors
/// For an infinitely strong one, or a value that is not above zero.
pub fn fault_at_supply<R: Recorder>(utility: &Utility, method: Method, rec: &mut R) -> Result<NodeFault, Refusal> {
    Walk::start(utility, method, rec)?.node(method, rec)
}
