//! The supply's impedance as a drive sees it, and whether a line reactor is called for.

use plant::quantity::{ApparentPower, Current, Frequency, Inductance, Ratio, Resistance, Voltage};

use super::circuit::{Impedance, above_zero};
use crate::registry::Refusal;
use crate::sources::{DEFINITION, PRACTICE};
use crate::working::{Recorder, Step};

/// What feeds a drive.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Feeder {
    /// Line-to-line voltage at the drive.
    pub voltage: Voltage,
    /// Supply frequency.
    pub frequency: Frequency,
    /// Rating of the transformer.
    pub transformer: ApparentPower,
    /// Its short-circuit impedance on its own base.
    pub impedance: Ratio,
    /// Its reactance over its resistance.
    pub x_over_r: Ratio,
    /// Short-circuit current of the network before it, at the drive's voltage; `None` takes it as stiff.
    pub network: Option<Current>,
    /// Cable from the transformer to the drive, per phase.
    pub cable: Impedance,
}

/// The impedance of a supply.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SourceImpedance {
    /// Per phase, at the drive's voltage.
    pub impedance: Impedance,
    /// Its magnitude.
    pub magnitude: Resistance,
    /// Three-phase short-circuit current at the drive.
    pub short_circuit: Current,
    /// The magnitude as a share of the drive's base, voltage over √3 times its input current.
    pub on_drive: Ratio,
}

/// Impedance of transformer, network and cable in series, and its share on the drive's base.
///
/// Z_T = z·U²/S split by X/R; network taken as a pure reactance U/(√3·I_sc); drive's base Z_b = U/(√3·I).
///
/// ```
/// use calc::harmonics::{Feeder, Impedance, source_impedance};
/// use calc::working::Silent;
/// use plant::quantity::{ApparentPower, Current, Frequency, Ratio, Voltage};
/// let feeder = Feeder {
///     voltage: Voltage::v(480.0),
///     frequency: Frequency::hz(60.0),
///     transformer: ApparentPower::kva(1000.0),
///     impedance: Ratio::percent(5.75),
///     x_over_r: Ratio::of_one(6.0),
///     network: None,
///     cable: Impedance::NONE,
/// };
/// let seen = source_impedance(&feeder, Current::a(52.0), &mut Silent)?;
/// // 5.75 % · 43.23 kVA / 1000 kVA = 0.2486 %; short-circuit current 1202.8 A / 5.75 % = 20.92 kA.
/// assert!((seen.on_drive.in_percent() - 0.2486).abs() < 1e-4);
/// assert!((seen.short_circuit.in_ka() - 20.92).abs() < 0.01);
/// # Ok::<(), calc::Refusal>(())
/// ```
///
/// # Errors
/// Values that are not above zero.
///
/// Source: definitions.
pub fn source_impedance(feeder: &Feeder, drive: Current, rec: &mut impl Recorder) -> Result<SourceImpedance, Refusal> {
    above_zero("the voltage", feeder.voltage)?;
    above_zero("the frequency", feeder.frequency)?;
    above_zero("the rating of the transformer", feeder.transformer)?;
    above_zero("the impedance of the transformer", feeder.impedance)?;
    above_zero("X/R of the transformer", feeder.x_over_r)?;
    above_zero("the input current of the drive", drive)?;
    let (r_cable, l_cable) = (feeder.cable.resistance.in_ohm(), feeder.cable.inductance.in_henry());
    if !(r_cable >= 0.0 && l_cable >= 0.0 && r_cable.is_finite() && l_cable.is_finite()) {
        return Err(Refusal::new("resistance and inductance of the cable must be zero or more"));
    }
    let (u, omega) = (feeder.voltage.in_v(), std::f64::consts::TAU * feeder.frequency.in_hz());
    let transformer = feeder.impedance.in_of_one() * u * u / feeder.transformer.in_va();
    let k = feeder.x_over_r.in_of_one();
    let network = match feeder.network {
        Some(current) => {
            above_zero("the short-circuit current of the network", current)?;
            u / (3f64.sqrt() * current.in_a())
        }
        None => 0.0,
    };
    let r = transformer / k.hypot(1.0) + r_cable;
    let x = transformer * k / k.hypot(1.0) + network + omega * l_cable;
    let z = r.hypot(x);
    let base = u / (3f64.sqrt() * drive.in_a());
    let seen = SourceImpedance {
        impedance: Impedance { resistance: Resistance::ohm(r), inductance: Inductance::henry(x / omega) },
        magnitude: Resistance::ohm(z),
        short_circuit: Current::a(u / (3f64.sqrt() * z)),
        on_drive: Ratio::of_one(z / base),
    };
    rec.step(|| {
        Step::new("Z_T", "impedance of the transformer", "z·U²/S", &DEFINITION)
            .with("z", feeder.impedance)
            .with("U", feeder.voltage)
            .with("S", feeder.transformer)
            .gives(Resistance::ohm(transformer))
            .note(if feeder.network.is_some() { "" } else { "the network before it is taken as stiff" })
    });
    rec.step(|| {
        Step::new("Z_s", "impedance at the drive, per phase", "√(R² + X²)", &DEFINITION)
            .with("R", Resistance::ohm(r))
            .with("X", Resistance::ohm(x))
            .gives(seen.magnitude)
    });
    rec.step(|| {
        Step::new("I_sc", "short-circuit current at the drive", "U / (√3·Z_s)", &DEFINITION)
            .with("U", feeder.voltage)
            .with("Z_s", seen.magnitude)
            .gives(seen.short_circuit)
    });
    rec.step(|| {
        Step::new("z_d", "on the drive's base", "Z_s·√3·I/U", &DEFINITION)
            .with("Z_s", seen.magnitude)
            .with("I", drive)
            .with("U", feeder.voltage)
            .gives(seen.on_drive)
    });
    Ok(seen)
}

/// Whether a line reactor is called for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ReactorNeed {
    /// Impedance ahead of the rectifier on the drive's base: source, line reactor, and the choke's share.
    pub ahead: Ratio,
    /// It lies below what is wanted.
    pub needed: bool,
    /// What is missing.
    pub missing: Ratio,
    /// Inductance per phase of a line reactor that brings it.
    pub inductance: Inductance,
}

/// What shares of impedance refer to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DriveBase {
    /// Line-to-line voltage.
    pub voltage: Voltage,
    /// Supply frequency.
    pub frequency: Frequency,
    /// Input current of the drive.
    pub current: Current,
}

/// Impedances ahead of a rectifier, as shares of the drive's base.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ahead {
    /// Source.
    pub source: Ratio,
    /// Line reactor.
    pub reactor: Ratio,
    /// DC choke, as if it stood in the line.
    pub choke: Ratio,
}

/// Compares the impedance ahead of a rectifier with the least one that is wanted there.
///
/// `least`: 1 % on the drive's base is a usual bottom line for a drive without choke, 3 % to 5 % are wanted against harmonics; no
/// document says so. The unit's documents come first.
///
/// ```
/// use calc::harmonics::{Ahead, DriveBase, reactor_need};
/// use calc::working::Silent;
/// use plant::quantity::{Current, Frequency, Ratio, Voltage};
/// let base = DriveBase { voltage: Voltage::v(480.0), frequency: Frequency::hz(60.0), current: Current::a(52.0) };
/// let ahead = Ahead { source: Ratio::percent(0.25), reactor: Ratio::ZERO, choke: Ratio::ZERO };
/// let need = reactor_need(&base, &ahead, Ratio::percent(3.0), &mut Silent)?;
/// // (3 − 0.25) % · 5.329 Ω / 377 rad/s = 388.8 µH
/// assert!(need.needed && (need.inductance.in_uh() - 388.8).abs() < 0.1);
/// # Ok::<(), calc::Refusal>(())
/// ```
///
/// # Errors
/// Values that are not above zero, shares below zero or at one and more.
///
/// Source: common practice, no source.
pub fn reactor_need(base: &DriveBase, ahead: &Ahead, least: Ratio, rec: &mut impl Recorder) -> Result<ReactorNeed, Refusal> {
    above_zero("the voltage", base.voltage)?;
    above_zero("the frequency", base.frequency)?;
    above_zero("the input current of the drive", base.current)?;
    for (name, share) in
        [("the source", ahead.source), ("the line reactor", ahead.reactor), ("the choke", ahead.choke), ("the wanted impedance", least)]
    {
        if !(0.0..1.0).contains(&share.in_of_one()) {
            return Err(Refusal::new(format!("{name} must lie from 0 to below 100 % on the drive's base, not at {share}")));
        }
    }
    let there = ahead.source + ahead.reactor + ahead.choke;
    let missing = (least - there).max(Ratio::ZERO);
    let ohms = base.voltage.in_v() / (3f64.sqrt() * base.current.in_a());
    let need = ReactorNeed {
        ahead: there,
        needed: missing > Ratio::ZERO,
        missing,
        inductance: Inductance::henry(missing.in_of_one() * ohms / (std::f64::consts::TAU * base.frequency.in_hz())),
    };
    rec.step(|| {
        Step::new("z", "impedance ahead of the rectifier", "z_s + z_L + z_dc", &DEFINITION)
            .with("z_s", ahead.source)
            .with("z_L", ahead.reactor)
            .with("z_dc", ahead.choke)
            .gives(there)
            .note("added up as if all were reactances, which is a little too much")
    });
    rec.step(|| {
        Step::new("z_miss", "missing to what is wanted", "max(z_min − z, 0)", &PRACTICE)
            .with("z_min", least)
            .with("z", there)
            .gives(missing)
            .note("1 % for the rectifier's sake, 3 % to 5 % against harmonics; the unit's documents come first")
    });
    rec.step(|| {
        Step::new("L", "line reactor that brings it, per phase", "z_miss·U/(√3·I·2·π·f)", &DEFINITION)
            .with("z_miss", missing)
            .with("U", base.voltage)
            .with("I", base.current)
            .with("f", base.frequency)
            .gives(need.inductance)
    });
    Ok(need)
}
