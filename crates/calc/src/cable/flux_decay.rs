//! How long a motor keeps its field, and with it a voltage at its terminals, after it is switched off: what a bypass or a restart
//! waits for.

use std::f64::consts::TAU;

use plant::quantity::{Frequency, Ratio, Resistance, Time, dim};

use crate::load::above_zero;
use crate::motor::circuit::Circuit;
use crate::registry::{Arguments, Calculation, Refusal, output, quantity, quantity_or};
use crate::sources::{Knowledge, Source};
use crate::working::{Recorder, Step, Working};

/// Decay of the open-circuited rotor.
pub const OPEN_CIRCUIT: Source =
    Source::new("machine theory: rotor current alone keeps the field, T_o = (X_m + X_2)/(2π·f·R_2)", Knowledge::Derived);
/// Delay of a slow transfer.
pub const NEMA_TRANSFER: Source =
    Source::new("NEMA MG 1 20.33 (bus transfer): wait 1.5 open-circuit time constants before the motor is put back", Knowledge::FromMemory);

/// How long the field lasts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Decay {
    /// Open-circuit time constant of the rotor.
    pub constant: Time,
    /// Time until the voltage is down to the wanted share.
    pub delay: Time,
    /// 1.5 time constants.
    pub transfer: Time,
    /// Share of the voltage left after 1.5 time constants: e^−1.5.
    pub left: Ratio,
}

/// Decay of the voltage of a motor that is switched off and keeps its speed.
///
/// T_o = (X_m + X_2)/(2π·f·R_2); u(t) = U·e^(−t/T_o). s, Ω, Hz. A falling speed lowers the voltage faster; capacitors at the motor
/// can keep it up, or raise it. Saturated and cold motors last longer: R_2 at the lower temperature is the safe side.
///
/// # Errors
/// When a figure is not above zero, or the share not between 0 and 1.
///
/// Source: machine theory. Worked example: X_m 26.3 Ω, X_2 0.464 Ω, R_2 0.332 Ω at 60 Hz: 0.214 s; to 25 %: 0.296 s.
/// ```
/// use calc::{cable::flux_decay::flux_decay, motor::circuit::Circuit, working::Silent};
/// use plant::quantity::{Frequency, Ratio, Resistance};
/// let ohm = Resistance::ohm;
/// let motor = Circuit {
///     r1: ohm(0.641), x1: ohm(1.106), r2: ohm(0.332), x2: ohm(0.464), xm: ohm(26.3), iron: None, frequency: Frequency::hz(60.0),
/// };
/// let d = flux_decay(&motor, Ratio::percent(25.0), &mut Silent).unwrap();
/// assert!((d.constant.in_s() - 0.2138).abs() < 5e-5 && (d.delay.in_s() - 0.2964).abs() < 5e-5);
/// ```
pub fn flux_decay<R: Recorder>(motor: &Circuit, share: Ratio, rec: &mut R) -> Result<Decay, Refusal> {
    above_zero(motor.frequency, "frequency of the reactances")?;
    above_zero(motor.xm, "magnetising reactance")?;
    crate::load::not_below_zero(motor.x2, "rotor reactance")?;
    above_zero(motor.r2, "rotor resistance")?;
    let wanted = share.in_of_one();
    if !(wanted > 0.0 && wanted < 1.0) {
        return Err(Refusal::new(format!("the share of the voltage to wait for lies between 0 and 100 %, not at {share}")));
    }
    let constant = Time::s(((motor.xm + motor.x2) / motor.r2) / (TAU * motor.frequency.in_hz()));
    let decay = Decay { constant, delay: constant * -wanted.ln(), transfer: constant * 1.5, left: Ratio::of_one((-1.5_f64).exp()) };
    rec.step(|| {
        Step::new("T_o", "open-circuit time constant of the rotor", "(X_m + X_2)/(2π·f·R_2)", &OPEN_CIRCUIT)
            .with("X_m", motor.xm)
            .with("X_2", motor.x2)
            .with("f", motor.frequency)
            .with("R_2", motor.r2)
            .gives(constant)
    });
    rec.step(|| {
        Step::new("t", "until the voltage is down to the share", "−T_o·ln(s)", &OPEN_CIRCUIT)
            .with("T_o", constant)
            .with("s", wanted)
            .gives(decay.delay)
            .note("constant speed, no capacitors at the motor; the contactors' own times come on top")
    });
    rec.step(|| {
        Step::new("t_1.5", "delay of a slow transfer", "1.5·T_o", &NEMA_TRANSFER)
            .with("T_o", constant)
            .gives(decay.transfer)
            .note("0.5 to 2 s are usual in the trade; take the longest of all figures")
    });
    Ok(decay)
}

/// `calc flux-decay`.
pub const FLUX_DECAY: Calculation = Calculation {
    name: "flux-decay",
    summary: "How long a motor that is switched off keeps its voltage: delay of a bypass or a restart.",
    inputs: &[
        quantity::<dim::ResistanceDim>("r2", "rotor resistance, referred to the stator; cold is the safe side"),
        quantity::<dim::ResistanceDim>("x2", "rotor leakage reactance"),
        quantity::<dim::ResistanceDim>("xm", "magnetising reactance"),
        quantity::<dim::FrequencyDim>("frequency", "frequency of the reactances"),
        quantity_or::<dim::RatioDim>("share", "25 %", "share of the voltage to wait for"),
    ],
    results: &[
        output::<dim::TimeDim>("constant", "s", "open-circuit time constant"),
        output::<dim::TimeDim>("delay", "s", "until the share is reached"),
        output::<dim::TimeDim>("transfer", "s", "1.5 time constants"),
        output::<dim::RatioDim>("left", "%", "voltage left after 1.5 time constants"),
    ],
    sources: &[&OPEN_CIRCUIT, &NEMA_TRANSFER],
    run: |a: &Arguments, w: &mut Working| {
        let frequency: Frequency = a.get("frequency");
        // The stator does not enter: no current flows in it.
        let motor = Circuit {
            r1: Resistance::ZERO,
            x1: Resistance::ZERO,
            r2: a.get("r2"),
            x2: a.get("x2"),
            xm: a.get("xm"),
            iron: None,
            frequency,
        };
        let d = flux_decay(&motor, a.get("share"), w)?;
        Ok(vec![d.constant.in_si(), d.delay.in_si(), d.transfer.in_si(), d.left.in_si()])
    },
};
