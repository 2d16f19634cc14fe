//! Rms torque of a cycle, and how much more than its continuous rating a motor carries for a short time.

use plant::quantity::{Dimension, Ratio, Time, Torque, dim};

use crate::load::{above_zero, not_below_zero};
use crate::registry::{Arguments, Calculation, Input, InputKind, Refusal, output, quantity, quantity_or};
use crate::sources::{DEFINITION, Knowledge, Source};
use crate::working::{Recorder, Step, Working};

/// One body, one time constant: the textbook model behind S2 and S3 ratings.
pub const ONE_BODY: Source =
    Source::new("heating of one body with a time constant: Pillai, A First Course on Electrical Drives, ch. 7", Knowledge::LookedUp);

/// A torque held for a time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TorqueStep {
    /// Torque; its sign does not matter here.
    pub torque: Torque,
    /// How long.
    pub time: Time,
}

/// Root mean square torque, √(Σ T²·t/Σ t): the constant torque that heats a motor alike.
///
/// Valid at constant flux and where the motor cools alike over the cycle: not with a fan of its own at low speed.
///
/// # Errors
/// When there is no step, a time is below zero, or all are zero.
///
/// Source: definition. Worked example: 150 N·m for 2 s, 60 for 10, −100 for 1.5 and none for 6.5 make 69.28 N·m.
/// ```
/// use calc::{load::heating::{TorqueStep, rms_torque}, working::Silent};
/// use plant::quantity::{Time, Torque};
/// let steps = [(150.0, 2.0), (60.0, 10.0), (-100.0, 1.5), (0.0, 6.5)].map(|(t, s)| TorqueStep { torque: Torque::nm(t), time: Time::s(s) });
/// assert!((rms_torque(&steps, &mut Silent).unwrap().in_nm() - 69.28).abs() < 0.005);
/// ```
pub fn rms_torque<R: Recorder>(steps: &[TorqueStep], rec: &mut R) -> Result<Torque, Refusal> {
    let (mut square, mut time) = (0.0, Time::ZERO);
    for step in steps {
        not_below_zero(step.time, "time of a step")?;
        square += step.torque.in_nm() * step.torque.in_nm() * step.time.in_s();
        time += step.time;
    }
    above_zero(time, "whole time of the steps")?;
    let rms = Torque::nm((square / time.in_s()).sqrt());
    if !rms.is_finite() {
        return Err(Refusal::new("a torque of the cycle is no number"));
    }
    rec.step(|| {
        Step::new("T_rms", "rms torque", "√(Σ T²·t/Σ t)", &DEFINITION)
            .with("Σ T²·t", format!("{} (N·m)²·s", plant::quantity::digits(square, 6)))
            .with("Σ t", time)
            .gives(rms)
    });
    Ok(rms)
}

/// How much of its continuous power a motor carries for one short run from cold (S2), √((1 + α)/(1 − e^(−t/τ)) − α).
///
/// α is constant loss over variable loss at the continuous rating, τ the heating time constant, t the run; it cools down
/// fully afterwards. An upper bound: torque and commutation limits come on top.
///
/// # Errors
/// When a time is not above zero or α below zero.
///
/// Source: one-body heating. Worked example: α = 0.9, τ = 1.5 h, half an hour: 2.41.
/// ```
/// use calc::{load::heating::short_time_factor, working::Silent};
/// use plant::quantity::{Ratio, Time};
/// let k = short_time_factor(Time::hours(0.5), Time::hours(1.5), Ratio::of_one(0.9), &mut Silent).unwrap();
/// assert!((k.in_of_one() - 2.41).abs() < 0.005);
/// ```
pub fn short_time_factor<R: Recorder>(run: Time, constant: Time, loss_ratio: Ratio, rec: &mut R) -> Result<Ratio, Refusal> {
    above_zero(run, "time of the run")?;
    above_zero(constant, "heating time constant")?;
    not_below_zero(loss_ratio, "ratio of constant to variable loss")?;
    let alpha = loss_ratio.in_of_one();
    let factor = Ratio::of_one(((1.0 + alpha) / -(-(run / constant)).exp_m1() - alpha).sqrt());
    rec.step(|| {
        Step::new("k", "short-time factor", "√((1 + α)/(1 − e^(−t/τ)) − α)", &ONE_BODY)
            .with("α", alpha)
            .with("t", run)
            .with("τ", constant)
            .gives(factor)
    });
    Ok(factor)
}

/// A run and a rest that repeat endlessly.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Intermittent {
    /// Time under load.
    pub run: Time,
    /// Time at rest.
    pub rest: Time,
    /// Heating time constant while running.
    pub heating: Time,
    /// Cooling time constant at rest; longer where the motor's own fan stands.
    pub cooling: Time,
}

/// How much of its continuous power a motor carries in an intermittent duty (S3),
/// √((1 + α)·(1 − e^(−a−b))/(1 − e^(−a)) − α), with a = run/τ_h and b = rest/τ_c.
///
/// For cycles short against the time constants and τ_h = τ_c it nears √((1 + α)/ED − α), with ED = run/(run + rest); with
/// copper loss alone 1/√ED. An upper bound.
///
/// # Errors
/// When a time is not above zero (the rest may be zero) or α below zero.
///
/// Source: one-body heating. Worked example: copper loss alone, 2.5 min of 10 min, time constants of hours: about 2.
/// ```
/// use calc::{load::heating::{Intermittent, intermittent_factor}, working::Silent};
/// use plant::quantity::{Ratio, Time};
/// let duty = Intermittent { run: Time::minutes(2.5), rest: Time::minutes(7.5), heating: Time::days(10.0), cooling: Time::days(10.0) };
/// assert!((intermittent_factor(&duty, Ratio::ZERO, &mut Silent).unwrap().in_of_one() - 2.0).abs() < 1e-3);
/// ```
pub fn intermittent_factor<R: Recorder>(duty: &Intermittent, loss_ratio: Ratio, rec: &mut R) -> Result<Ratio, Refusal> {
    above_zero(duty.run, "time under load")?;
    not_below_zero(duty.rest, "time at rest")?;
    above_zero(duty.heating, "heating time constant")?;
    above_zero(duty.cooling, "cooling time constant")?;
    not_below_zero(loss_ratio, "ratio of constant to variable loss")?;
    let (a, b, alpha) = (duty.run / duty.heating, duty.rest / duty.cooling, loss_ratio.in_of_one());
    let factor = Ratio::of_one(((1.0 + alpha) * (-a - b).exp_m1() / (-a).exp_m1() - alpha).sqrt());
    rec.step(|| {
        Step::new("k", "intermittent factor", "√((1 + α)·(1 − e^(−a−b))/(1 − e^(−a)) − α)", &ONE_BODY)
            .with("α", alpha)
            .with("a", a)
            .with("b", b)
            .gives(factor)
            .note("a: run over heating time constant; b: rest over cooling time constant")
    });
    Ok(factor)
}

/// `calc rms-torque`.
pub const RMS_TORQUE: Calculation = Calculation {
    name: "rms-torque",
    summary: "Rms torque of a cycle, and the power it means at a speed.",
    inputs: &[
        Input {
            name: "steps",
            kind: InputKind::Rows(&[dim::TorqueDim::INFO, dim::TimeDim::INFO]),
            default: None,
            doc: "torque, time of each step",
        },
        quantity_or::<dim::SpeedDim>("speed", "0 rpm", "speed for the power"),
    ],
    results: &[output::<dim::TorqueDim>("torque", "N·m", "rms torque"), output::<dim::PowerDim>("power", "kW", "rms torque times speed")],
    sources: &[&DEFINITION],
    run: |a: &Arguments, w: &mut Working| {
        let steps: Vec<TorqueStep> = a
            .rows("steps")
            .iter()
            .filter_map(|row| Some(TorqueStep { torque: Torque::si(*row.first()?), time: Time::si(*row.get(1)?) }))
            .collect();
        let torque = rms_torque(&steps, w)?;
        Ok(vec![torque.in_si(), (torque * a.get::<dim::SpeedDim>("speed")).in_si()])
    },
};

/// `calc short-time-factor`.
pub const SHORT_TIME_FACTOR: Calculation = Calculation {
    name: "short-time-factor",
    summary: "How much of its continuous power a motor carries for one short run from cold (S2).",
    inputs: &[
        quantity::<dim::TimeDim>("run", "time of the run"),
        quantity::<dim::TimeDim>("time_constant", "heating time constant"),
        quantity_or::<dim::RatioDim>("loss_ratio", "0 %", "constant loss over variable loss at the continuous rating"),
        quantity_or::<dim::PowerDim>("power", "1 kW", "continuous power"),
    ],
    results: &[
        output::<dim::RatioDim>("factor", "pu", "short-time over continuous power"),
        output::<dim::PowerDim>("power", "kW", "short-time power"),
    ],
    sources: &[&ONE_BODY],
    run: |a: &Arguments, w: &mut Working| {
        let factor = short_time_factor(a.get("run"), a.get("time_constant"), a.get("loss_ratio"), w)?;
        Ok(vec![factor.in_si(), (a.get::<dim::PowerDim>("power") * factor.in_of_one()).in_si()])
    },
};

/// `calc intermittent-factor`.
pub const INTERMITTENT_FACTOR: Calculation = Calculation {
    name: "intermittent-factor",
    summary: "How much of its continuous power a motor carries in intermittent duty (S3).",
    inputs: &[
        quantity::<dim::RatioDim>("duty", "share of the cycle under load (cyclic duration factor)"),
        quantity_or::<dim::TimeDim>("cycle", "10 min", "one cycle"),
        quantity_or::<dim::TimeDim>(
            "time_constant",
            "365 d",
            "heating time constant; the default stands for a cycle that is short against it",
        ),
        quantity_or::<dim::TimeDim>("cooling", "", "cooling time constant at rest; left out: as heating"),
        quantity_or::<dim::RatioDim>("loss_ratio", "0 %", "constant loss over variable loss at the continuous rating"),
    ],
    results: &[output::<dim::RatioDim>("factor", "pu", "intermittent over continuous power")],
    sources: &[&ONE_BODY],
    run: |a: &Arguments, w: &mut Working| {
        let (duty, cycle, heating) = (a.get::<dim::RatioDim>("duty").in_of_one(), a.get::<dim::TimeDim>("cycle"), a.get("time_constant"));
        let duty = Intermittent {
            run: cycle * duty,
            rest: cycle * (1.0 - duty),
            heating,
            cooling: a.get_opt::<dim::TimeDim>("cooling").unwrap_or(heating),
        };
        Ok(vec![intermittent_factor(&duty, a.get("loss_ratio"), w)?.in_si()])
    },
};

#[cfg(test)]
mod tests {
    use super::*;
    use crate::working::Silent;

    #[test]
    fn no_rest_is_continuous_duty() {
        let duty = Intermittent { run: Time::s(60.0), rest: Time::ZERO, heating: Time::hours(1.0), cooling: Time::hours(2.0) };
        let k = intermittent_factor(&duty, Ratio::of_one(0.7), &mut Silent).expect("duty");
        assert!((k.in_of_one() - 1.0).abs() < 1e-9);
    }

    #[test]
    fn an_endless_rest_is_short_time_duty() {
        let duty = Intermittent { run: Time::minutes(30.0), rest: Time::days(9.0), heating: Time::hours(1.5), cooling: Time::hours(2.0) };
        let s3 = intermittent_factor(&duty, Ratio::of_one(0.9), &mut Silent).expect("duty");
        let s2 = short_time_factor(Time::minutes(30.0), Time::hours(1.5), Ratio::of_one(0.9), &mut Silent).expect("duty");
        assert!((s3 / s2 - 1.0).abs() < 1e-9);
    }

    #[test]
    fn slower_cooling_at_rest_allows_less() {
        let duty = |cooling| Intermittent { run: Time::minutes(4.0), rest: Time::minutes(6.0), heating: Time::hours(1.0), cooling };
        let k = |cooling| intermittent_factor(&duty(cooling), Ratio::of_one(0.5), &mut Silent).expect("duty");
        assert!(k(Time::hours(3.0)) < k(Time::hours(1.0)));
    }

    #[test]
    fn a_cycle_without_time_is_refused() {
        assert!(rms_torque(&[], &mut Silent).is_err());
        assert!(rms_torque(&[TorqueStep { torque: Torque::nm(1.0), time: Time::s(-1.0) }], &mut Silent).is_err());
    }
}
