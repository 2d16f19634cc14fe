//! Torque and slip of the equivalent circuit in closed form: its source as the rotor sees it, the breakdown torque, and
//! the slip at which it gives a torque.

use plant::quantity::{Count, Frequency, Ratio, Resistance, Speed, Torque, Voltage, dim};

use super::circuit::{At, Circuit, FREQUENCY, IRON, POLES, R1, R2, VOLTAGE, X1, X2, XM, circuit_of};
use super::complex::complex;
use super::losses::FITZGERALD;
use super::positive;
use super::shaft::{SQRT_3, synchronous_speed};
use crate::registry::{Calculation, Refusal, output, quantity, word};
use crate::sources::{Knowledge, Source};
use crate::working::{Recorder, Step};

/// The shortened forms.
const CHAPMAN: Source = Source::new("Chapman, Electric Machinery Fundamentals, ch. 7", Knowledge::FromMemory);
const HUBERT_5_3: Source = Source::new("Hubert, Electric Machines, ex. 5.3", Knowledge::LookedUp);

/// What a motor is fed from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Supply {
    /// Line to line.
    pub voltage: Voltage,
    /// Supply frequency.
    pub frequency: Frequency,
    /// Poles of the motor, not pole pairs.
    pub poles: Count,
}

/// How the stator side of the circuit is reduced. Textbooks differ, and so do their breakdown torques by some percent.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reduction {
    /// Without any shortening.
    Exact,
    /// U_th ≈ U·Xm/(X1 + Xm), R_th ≈ R1·(Xm/(X1 + Xm))², X_th ≈ X1: holds for Xm ≫ X1 ≫ R1; iron left out.
    LargeMagnetising,
    /// The magnetising branch left out altogether: the highest torque of the three.
    WithoutMagnetising,
}

impl Reduction {
    /// Every way as written.
    pub const WORDS: &'static [&'static str] = &["exact", "large-magnetising", "without-magnetising"];

    /// The way of that name.
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        Some(match name {
            "exact" => Self::Exact,
            "large-magnetising" => Self::LargeMagnetising,
            "without-magnetising" => Self::WithoutMagnetising,
            _ => return None,
        })
    }

    const fn source(self) -> &'static Source {
        match self {
            Self::Exact => &FITZGERALD,
            Self::LargeMagnetising => &CHAPMAN,
            Self::WithoutMagnetising => &HUBERT_5_3,
        }
    }
}

/// The supply and the stator as the rotor sees them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Thevenin {
    /// Phase voltage.
    pub voltage: Voltage,
    /// Resistance per phase.
    pub resistance: Resistance,
    /// Reactance per phase, at the supply frequency.
    pub reactance: Resistance,
}

fn reduced(at: &At, supply: &Supply, reduction: Reduction) -> Result<Thevenin, Refusal> {
    let phase_v = positive("the voltage", supply.voltage)? / SQRT_3;
    let stator = complex(at.r1, at.x1);
    let (voltage, z) = match reduction {
        Reduction::Exact => {
            // U_th = U·(1/Ym)/(Z1 + 1/Ym) = U/(1 + Z1·Ym); Z_th = Z1/(1 + Z1·Ym).
            let divider = complex(1.0, 0.0) + stator * at.ym;
            ((complex(phase_v, 0.0) / divider).magnitude(), stator / divider)
        }
        Reduction::LargeMagnetising => {
            let xm = -1.0 / at.ym.im;
            let k = xm / (at.x1 + xm);
            (phase_v * k, complex(at.r1 * k * k, at.x1))
        }
        Reduction::WithoutMagnetising => (phase_v, stator),
    };
    Ok(Thevenin { voltage: Voltage::v(voltage), resistance: Resistance::ohm(z.re), reactance: Resistance::ohm(z.im) })
}

/// The supply and the stator as the rotor sees them.
///
/// U_th = (U/√3)·Zm/(Z1 + Zm), Z_th = Z1·Zm/(Z1 + Zm), with Z1 = R1 + jX1 and Zm = jXm beside the iron's resistance;
/// or one of the shortened forms ([`Reduction`]).
///
/// # Errors
/// When a figure of the circuit or the supply is out of range.
///
/// Source: Fitzgerald, Kingsley, Umans, Electric Machinery, 6th ed., ch. 6 (looked up in a public copy). Worked example (the
/// motor of ex. 6.2): 122.3 V behind 0.273 + j0.490 Ω.
/// ```
/// use calc::{motor::{breakdown::{thevenin, Reduction, Supply}, circuit::Circuit}, working::Silent};
/// use plant::quantity::{Count, Frequency, Resistance, Voltage};
/// let ohm = Resistance::ohm;
/// let circuit = Circuit {
///     r1: ohm(0.294), x1: ohm(0.503), r2: ohm(0.144), x2: ohm(0.209), xm: ohm(13.25), iron: None, frequency: Frequency::hz(60.0),
/// };
/// let supply = Supply { voltage: Voltage::v(220.0), frequency: Frequency::hz(60.0), poles: Count::of(6.0) };
/// let th = thevenin(&circuit, &supply, Reduction::Exact, &mut Silent).unwrap();
/// assert!((th.voltage.in_v() - 122.3).abs() < 0.05 && (th.resistance.in_ohm() - 0.273).abs() < 5e-4);
/// ```
pub fn thevenin<R: Recorder>(circuit: &Circuit, supply: &Supply, reduction: Reduction, rec: &mut R) -> Result<Thevenin, Refusal> {
    let th = reduced(&circuit.at(supply.frequency)?, supply, reduction)?;
    let formula = match reduction {
        Reduction::Exact => "U/√3·|Zm/(Z1 + Zm)|",
        Reduction::LargeMagnetising => "U/√3·Xm/(X1 + Xm)",
        Reduction::WithoutMagnetising => "U/√3",
    };
    rec.step(|| {
        Step::new("U_th", "phase voltage as the rotor sees it", formula, reduction.source()).with("U", supply.voltage).gives(th.voltage)
    });
    let formula = match reduction {
        Reduction::Exact => "Re(Z1·Zm/(Z1 + Zm))",
        Reduction::LargeMagnetising => "R1·(Xm/(X1 + Xm))²",
        Reduction::WithoutMagnetising => "R1",
    };
    rec.step(|| {
        Step::new("R_th", "resistance as the rotor sees it", formula, reduction.source()).with("R1", circuit.r1).gives(th.resistance)
    });
    let formula = if reduction == Reduction::Exact { "Im(Z1·Zm/(Z1 + Zm))" } else { "X1" };
    rec.step(|| Step::new("X_th", "reactance as the rotor sees it", formula, reduction.source()).gives(th.reactance));
    Ok(th)
}

/// The breakdown point of a motor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Breakdown {
    /// Highest torque across the air gap when driving.
    pub torque: Torque,
    /// Slip at which it stands.
    pub slip: Ratio,
    /// Speed at which it stands.
    pub speed: Speed,
    /// Highest torque across the air gap when generating, at the negative of that slip; its magnitude. Infinite without stator
    /// impedance.
    pub generating_torque: Torque,
}

/// The breakdown torque of a motor and where it stands.
///
/// T_k = 3·U_th²/(2·ω_s·(R_th + √(R_th² + (X_th + X2)²))); s_k = R2/√(R_th² + (X_th + X2)²). Generating, the first plus is a
/// minus. The form of the reduction decides some percent: state it with the figure.
///
/// # Errors
/// When a figure of the circuit or the supply is out of range, or there is no leakage and no stator resistance at all.
///
/// Source: Fitzgerald, Kingsley, Umans, Electric Machinery, 6th ed., ch. 6 (looked up in a public copy). Worked example: the
/// 25 hp motor of Chapman ex. 7-5 gives 229 N·m in his shortened form, at 266 V per phase (from memory).
/// ```
/// use calc::{motor::{breakdown::{breakdown, Reduction, Supply}, circuit::Circuit}, working::Silent};
/// use plant::quantity::{Count, Frequency, Resistance, Voltage};
/// let ohm = Resistance::ohm;
/// let circuit = Circuit {
///     r1: ohm(0.641), x1: ohm(1.106), r2: ohm(0.332), x2: ohm(0.464), xm: ohm(26.3), iron: None, frequency: Frequency::hz(60.0),
/// };
/// let supply = Supply { voltage: Voltage::v(266.0 * 3f64.sqrt()), frequency: Frequency::hz(60.0), poles: Count::of(4.0) };
/// let b = breakdown(&circuit, &supply, Reduction::LargeMagnetising, &mut Silent).unwrap();
/// assert!((b.torque.in_nm() - 229.0).abs() < 1.0);
/// ```
pub fn breakdown<R: Recorder>(circuit: &Circuit, supply: &Supply, reduction: Reduction, rec: &mut R) -> Result<Breakdown, Refusal> {
    let at = circuit.at(supply.frequency)?;
    let th = thevenin(circuit, supply, reduction, rec)?;
    let synchronous = synchronous_speed(supply.frequency, supply.poles, rec)?;
    let reactance = th.reactance.in_ohm() + at.x2;
    let impedance = th.resistance.in_ohm().hypot(reactance);
    if impedance <= 0.0 {
        return Err(Refusal::new("without stator resistance and leakage the torque has no highest value"));
    }
    let most = 3.0 * th.voltage.in_v().powi(2) / (2.0 * synchronous.in_rad_s());
    let (plus, slip) = (th.resistance.in_ohm() + impedance, Ratio::of_one(at.r2 / impedance));
    // |Z| − R, written without the difference of two near numbers.
    let minus = reactance * reactance / plus;
    let speed = synchronous * (1.0 - slip.in_of_one());
    let torque = Torque::nm(most / plus);
    rec.step(|| {
        Step::new("s_k", "slip at breakdown", "R2/√(R_th² + (X_th + X2)²)", reduction.source())
            .with("R2", circuit.r2)
            .with("R_th", th.resistance)
            .with("X_th", th.reactance)
            .with("X2", Resistance::ohm(at.x2))
            .gives(slip)
    });
    rec.step(|| {
        Step::new("T_k", "breakdown torque", "3·U_th²/(2·2π·n_s·(R_th + √(R_th² + (X_th + X2)²)))", reduction.source())
            .with("U_th", th.voltage)
            .with("n_s", synchronous)
            .with("R_th", th.resistance)
            .with("X_th", th.reactance)
            .with("X2", Resistance::ohm(at.x2))
            .gives(torque)
    });
    Ok(Breakdown { torque, slip, speed, generating_torque: Torque::nm(most / minus) })
}

/// The slip at which a motor gives a torque across its air gap.
///
/// T = 3·U_th²·r/(ω_s·((R_th + r)² + X²)) with r = R2/s, X = X_th + X2, is a quadratic in r; its larger root is the
/// stable running point. Negative torque gives negative slip. The torque at the shaft is smaller by the mechanical loss.
///
/// # Errors
/// When the torque is beyond breakdown (driving or generating), or a figure is out of range.
///
/// Source: derived from the circuit; exact reduction. Worked example: the motor of Fitzgerald ex. 6.2 at the torque that it
/// gives at 2 % slip, 5739.4 W/125.66 rad/s.
/// ```
/// use calc::{motor::{breakdown::{slip_for_torque, Supply}, circuit::Circuit}, working::Silent};
/// use plant::quantity::{Count, Frequency, Resistance, Torque, Voltage};
/// let ohm = Resistance::ohm;
/// let circuit = Circuit {
///     r1: ohm(0.294), x1: ohm(0.503), r2: ohm(0.144), x2: ohm(0.209), xm: ohm(13.25), iron: None, frequency: Frequency::hz(60.0),
/// };
/// let supply = Supply { voltage: Voltage::v(220.0), frequency: Frequency::hz(60.0), poles: Count::of(6.0) };
/// let s = slip_for_torque(&circuit, &supply, Torque::nm(5739.39 / 125.6637), &mut Silent).unwrap();
/// assert!((s.in_percent() - 2.0).abs() < 1e-4);
/// ```
pub fn slip_for_torque<R: Recorder>(circuit: &Circuit, supply: &Supply, torque: Torque, rec: &mut R) -> Result<Ratio, Refusal> {
    let at = circuit.at(supply.frequency)?;
    let th = thevenin(circuit, supply, Reduction::Exact, rec)?;
    let synchronous = synchronous_speed(supply.frequency, supply.poles, rec)?;
    let slip = stable_slip(&at, &th, synchronous, torque)?;
    rec.step(|| {
        Step::new("s", "slip at the torque", "", &FITZGERALD)
            .gives(slip)
            .note(format!("the stable root of T = 3·U_th²·r/(2π·n_s·((R_th + r)² + (X_th + X2)²)), r = R2/s, for T = {torque}"))
    });
    Ok(slip)
}

/// The stable slip behind a reduced source: see [`slip_for_torque`].
pub(super) fn stable_slip(at: &At, th: &Thevenin, synchronous: Speed, torque: Torque) -> Result<Ratio, Refusal> {
    let t = torque.in_nm();
    if t == 0.0 {
        return Ok(Ratio::ZERO);
    }
    let (r, x) = (th.resistance.in_ohm(), th.reactance.in_ohm() + at.x2);
    // r² − b·r + c = 0
    let b = 3.0 * th.voltage.in_v().powi(2) / (t * synchronous.in_rad_s()) - 2.0 * r;
    let c = r * r + x * x;
    let discriminant = b * b - 4.0 * c;
    // Driving needs a positive root, generating a negative one; beyond breakdown there is none.
    if !(discriminant >= 0.0 && b * t > 0.0) {
        return Err(Refusal::new(format!("{torque} is beyond the breakdown torque at {} per phase", th.voltage)));
    }
    let larger = f64::midpoint(b, discriminant.sqrt().copysign(b));
    Ok(Ratio::of_one(at.r2 / larger))
}

fn reduction_of(word: &str) -> Result<Reduction, Refusal> {
    Reduction::named(word).ok_or_else(|| Refusal::new("no such reduction"))
}

fn supply_of(a: &crate::registry::Arguments) -> Supply {
    Supply { voltage: a.get("voltage"), frequency: a.get("frequency"), poles: a.get("poles") }
}

const FORM: crate::registry::Input = word("reduction", Reduction::WORDS, "how the stator side is reduced");

/// `calc thevenin`.
pub const THEVENIN: Calculation = Calculation {
    name: "thevenin",
    summary: "Supply and stator of a motor as its rotor sees them.",
    inputs: &[R1, X1, R2, X2, XM, IRON, VOLTAGE, FREQUENCY, POLES, FORM],
    results: &[
        output::<dim::VoltageDim>("voltage", "V", "phase voltage"),
        output::<dim::ResistanceDim>("resistance", "Ω", "resistance per phase"),
        output::<dim::ResistanceDim>("reactance", "Ω", "reactance per phase"),
    ],
    sources: &[&FITZGERALD, &CHAPMAN, &HUBERT_5_3],
    run: |a, w| {
        let th = thevenin(&circuit_of(a), &supply_of(a), reduction_of(a.word("reduction"))?, w)?;
        Ok(vec![th.voltage.in_si(), th.resistance.in_si(), th.reactance.in_si()])
    },
};

/// `calc breakdown-torque`.
pub const BREAKDOWN_TORQUE: Calculation = Calculation {
    name: "breakdown-torque",
    summary: "Highest torque of an induction motor from its equivalent circuit, and the slip at which it stands.",
    inputs: &[
        R1,
        X1,
        R2,
        X2,
        super::optional::<dim::ResistanceDim>("xm", "magnetising reactance; needed unless the reduction leaves it out"),
        IRON,
        VOLTAGE,
        FREQUENCY,
        POLES,
        FORM,
    ],
    results: &[
        output::<dim::TorqueDim>("torque", "N·m", "breakdown torque across the air gap"),
        output::<dim::RatioDim>("slip", "%", "slip at breakdown"),
        output::<dim::SpeedDim>("speed", "rpm", "speed at breakdown"),
        output::<dim::TorqueDim>("generating_torque", "N·m", "breakdown torque when generating, its magnitude"),
    ],
    sources: &[&FITZGERALD, &CHAPMAN, &HUBERT_5_3],
    run: |a, w| {
        let reduction = reduction_of(a.word("reduction"))?;
        let xm = match (a.get_opt("xm"), reduction) {
            (Some(xm), _) => xm,
            // Any figure: this reduction does not read it.
            (None, Reduction::WithoutMagnetising) => Resistance::ohm(1.0),
            (None, _) => return Err(Refusal::new("xm is needed for this reduction")),
        };
        let b = breakdown(&Circuit { xm, ..circuit_of(a) }, &supply_of(a), reduction, w)?;
        Ok(vec![b.torque.in_si(), b.slip.in_si(), b.speed.in_si(), b.generating_torque.in_si()])
    },
};

/// `calc slip-for-torque`.
pub const SLIP_FOR_TORQUE: Calculation = Calculation {
    name: "slip-for-torque",
    summary: "Slip at which an induction motor gives a torque across its air gap.",
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
        quantity::<dim::TorqueDim>("torque", "torque across the air gap; negative when generating"),
    ],
    results: &[output::<dim::RatioDim>("slip", "%", "slip at the stable running point")],
    sources: &[&FITZGERALD],
    run: |a, w| Ok(vec![slip_for_torque(&circuit_of(a), &supply_of(a), a.get("torque"), w)?.in_si()]),
};
