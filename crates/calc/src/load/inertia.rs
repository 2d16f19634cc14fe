//! Torque, time, energy and power of speed changes under constant torque.

use plant::quantity::{Count, Energy, Inertia, Power, Ratio, Speed, Time, Torque, dim};

use crate::load::{above_zero, efficiency_is_sound, not_below_zero};
use crate::registry::{Arguments, Calculation, Refusal, output, quantity, quantity_or};
use crate::sources::{DEFINITION, Knowledge, Source};
use crate::working::{Recorder, Step, Working};

/// The WK² formula as US handbooks print it.
pub const WK2_HANDBOOK: Source = Source::new("US handbooks: t = WK²·ΔN/(308·T), some with 307", Knowledge::LookedUp);

/// Torque that changes the speed of an inertia evenly, T = J·Δω/t; negative when the speed falls.
///
/// # Errors
/// When the inertia or the time is not above zero.
///
/// Source: definition. Worked example: 10 kg·m² from 0 to 1500 rpm in 5 s take 314.16 N·m.
/// ```
/// use calc::{load::inertia::acceleration_torque, working::Silent};
/// use plant::quantity::{Inertia, Speed, Time};
/// let t = acceleration_torque(Inertia::kgm2(10.0), Speed::ZERO, Speed::rpm(1500.0), Time::s(5.0), &mut Silent).unwrap();
/// assert!((t.in_nm() - 314.16).abs() < 0.005);
/// ```
pub fn acceleration_torque<R: Recorder>(inertia: Inertia, from: Speed, to: Speed, time: Time, rec: &mut R) -> Result<Torque, Refusal> {
    above_zero(inertia, "inertia")?;
    above_zero(time, "time")?;
    let torque = inertia * ((to - from) / time);
    rec.step(|| {
        Step::new("T_a", "torque that changes the speed", "J·Δω/t", &DEFINITION)
            .with("J", inertia)
            .with("Δω", rad_s(to - from))
            .with("t", time)
            .gives(torque)
    });
    Ok(torque)
}

/// Time to change speed under constant torques, t = J·Δω/(T − T_L).
///
/// `torque` is what the motor gives in the direction of the change, `load` what the load takes from it (negative: it helps).
///
/// # Errors
/// When inertia or speed change is not above zero, or the torque does not exceed the load.
///
/// Source: definition. Worked example: 10 kg·m², 1500 rpm, 100 N·m take 15.7 s.
/// ```
/// use calc::{load::inertia::acceleration_time, working::Silent};
/// use plant::quantity::{Inertia, Speed, Torque};
/// let t = acceleration_time(Inertia::kgm2(10.0), Speed::rpm(1500.0), Torque::nm(100.0), Torque::ZERO, &mut Silent).unwrap();
/// assert!((t.in_s() - 15.7).abs() < 0.01);
/// ```
pub fn acceleration_time<R: Recorder>(inertia: Inertia, change: Speed, torque: Torque, load: Torque, rec: &mut R) -> Result<Time, Refusal> {
    above_zero(inertia, "inertia")?;
    above_zero(change, "speed change")?;
    if !(torque > load && load.is_finite() && torque.is_finite()) {
        return Err(Refusal::new(format!("the torque of {torque} does not exceed the load's {load}: the speed never changes")));
    }
    let time = change / ((torque - load) / inertia);
    rec.step(|| {
        Step::new("t", "time of the speed change", "J·Δω/(T − T_L)", &DEFINITION)
            .with("J", inertia)
            .with("Δω", rad_s(change))
            .with("T", torque)
            .with("T_L", load)
            .gives(time)
    });
    Ok(time)
}

/// The same in US customary units, t = WK²·ΔN/(k·T) with lb·ft², rpm and lb·ft. The exact k is 60·g/2π = 307.24; handbooks print
/// 308 or 307.
///
/// # Errors
/// When an input is not above zero.
///
/// Source: US handbooks. Worked example: 200 lb·ft², 1750 rpm, 50 lb·ft and k = 308 take 22.73 s.
/// ```
/// use calc::{load::inertia::acceleration_time_wk2, working::Silent};
/// use plant::quantity::{Count, Inertia, Speed, Torque};
/// let t = acceleration_time_wk2(Inertia::lbft2(200.0), Speed::rpm(1750.0), Torque::lbft(50.0), Count::of(308.0), &mut Silent).unwrap();
/// assert!((t.in_s() - 22.73).abs() < 0.005);
/// ```
pub fn acceleration_time_wk2<R: Recorder>(
    wk2: Inertia,
    change: Speed,
    torque: Torque,
    constant: Count,
    rec: &mut R,
) -> Result<Time, Refusal> {
    above_zero(wk2, "WK²")?;
    above_zero(change, "speed change")?;
    above_zero(torque, "torque")?;
    above_zero(constant, "constant of the formula")?;
    let time = Time::s(wk2.in_lbft2() * change.in_rpm() / (constant.in_count() * torque.in_lbft()));
    rec.step(|| {
        Step::new("t", "time of the speed change", "WK²·ΔN/(k·T)", &WK2_HANDBOOK)
            .with("WK²", format!("{:.4} lb·ft²", wk2.in_lbft2()))
            .with("ΔN", change)
            .with("k", constant)
            .with("T", format!("{:.4} lb·ft", torque.in_lbft()))
            .gives(time)
    });
    Ok(time)
}

/// Inertia from a measured run at constant torque, J = (T − T_L)·t/Δω. A coast-down gives T = 0 and T_L below zero.
///
/// # Errors
/// When the time, the speed change or the net torque is not above zero.
///
/// Source: definition. Worked example: 100 N·m against 30 N·m that add 10 rev/s each second turn 1.114 kg·m².
/// ```
/// use calc::{load::inertia::inertia_from_run, working::Silent};
/// use plant::quantity::{Speed, Time, Torque};
/// let j = inertia_from_run(Torque::nm(100.0), Torque::nm(30.0), Speed::rps(10.0), Time::s(1.0), &mut Silent).unwrap();
/// assert!((j.in_kgm2() - 1.114).abs() < 5e-4);
/// ```
pub fn inertia_from_run<R: Recorder>(torque: Torque, load: Torque, change: Speed, time: Time, rec: &mut R) -> Result<Inertia, Refusal> {
    above_zero(torque - load, "torque less the load's")?;
    above_zero(change, "speed change")?;
    above_zero(time, "time")?;
    let inertia = (torque - load) / (change / time);
    rec.step(|| {
        Step::new("J", "inertia", "(T − T_L)·t/Δω", &DEFINITION)
            .with("T", torque)
            .with("T_L", load)
            .with("t", time)
            .with("Δω", rad_s(change))
            .gives(inertia)
    });
    Ok(inertia)
}

/// Kinetic energy, ½·J·ω².
///
/// # Errors
/// When the inertia is not above zero.
///
/// Source: definition. Worked example: 10 kg·m² at 1500 rpm hold 123.4 kJ.
/// ```
/// use calc::{load::inertia::kinetic_energy, working::Silent};
/// use plant::quantity::{Inertia, Speed};
/// let e = kinetic_energy(Inertia::kgm2(10.0), Speed::rpm(1500.0), &mut Silent).unwrap();
/// assert!((e.in_kj() - 123.4).abs() < 0.05);
/// ```
pub fn kinetic_energy<R: Recorder>(inertia: Inertia, speed: Speed, rec: &mut R) -> Result<Energy, Refusal> {
    above_zero(inertia, "inertia")?;
    let energy = Energy::j(0.5 * inertia.in_kgm2() * speed.in_rad_s() * speed.in_rad_s());
    rec.step(|| Step::new("E", "kinetic energy", "½·J·ω²", &DEFINITION).with("J", inertia).with("ω", rad_s(speed)).gives(energy));
    Ok(energy)
}

/// What a stop sends back through the motor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stop {
    /// Braking torque at the motor shaft; negative where the load stops sooner by itself.
    pub torque: Torque,
    /// Energy that leaves the shaft as electrical energy, after the share lost on the way.
    pub energy: Energy,
    /// Mean power over the stop.
    pub mean: Power,
    /// Power at the first moment.
    pub peak: Power,
}

/// Braking torque, energy and power of an even stop.
///
/// T_B = J·ω/t − T_L; peak P = T_B·ω·η, mean P = peak/2, E = mean·t, with η the share that the motor and drive pass on to the
/// DC link or resistor (1: shaft power). `load` is the torque by which the load itself helps to stop (negative: it overhauls),
/// taken constant. Where T_B is below zero nothing comes back.
///
/// # Errors
/// When inertia, speed or time is not above zero or the efficiency outside 0 … 100 %.
///
/// Source: definition. Worked example: 10 kg·m² from 1500 rpm in 5 s: peak 49.35 kW, mean 24.67 kW.
/// ```
/// use calc::{load::inertia::stop, working::Silent};
/// use plant::quantity::{Inertia, Ratio, Speed, Time, Torque};
/// let s = stop(Inertia::kgm2(10.0), Speed::rpm(1500.0), Time::s(5.0), Torque::ZERO, Ratio::of_one(1.0), &mut Silent).unwrap();
/// assert!((s.peak.in_kw() - 49.35).abs() < 0.005 && (s.mean.in_kw() - 24.67).abs() < 0.005);
/// ```
pub fn stop<R: Recorder>(
    inertia: Inertia,
    speed: Speed,
    time: Time,
    load: Torque,
    efficiency: Ratio,
    rec: &mut R,
) -> Result<Stop, Refusal> {
    above_zero(speed, "speed")?;
    efficiency_is_sound(efficiency, "share that comes back")?;
    if !load.is_finite() {
        return Err(Refusal::new("the load torque is no number"));
    }
    let torque = acceleration_torque(inertia, Speed::ZERO, speed, time, rec)? - load;
    let peak = (torque * speed * efficiency.in_of_one()).max(Power::ZERO);
    let mean = peak / 2.0;
    let energy = mean * time;
    rec.step(|| Step::new("T_B", "braking torque", "T_a − T_L", &DEFINITION).with("T_a", torque + load).with("T_L", load).gives(torque));
    rec.step(|| {
        Step::new("P_pk", "braking power at the first moment", "T_B·ω·η", &DEFINITION)
            .with("T_B", torque)
            .with("ω", rad_s(speed))
            .with("η", efficiency)
            .gives(peak)
            .note(if torque <= Torque::ZERO { "the load stops by itself sooner: nothing comes back" } else { "" })
    });
    rec.step(|| Step::new("P_m", "mean braking power of the stop", "P_pk/2", &DEFINITION).with("P_pk", peak).gives(mean));
    rec.step(|| Step::new("E", "energy of the stop", "P_m·t", &DEFINITION).with("P_m", mean).with("t", time).gives(energy));
    Ok(Stop { torque, energy, mean, peak })
}

/// A speed with its unit as formulas use it.
pub(crate) fn rad_s(speed: Speed) -> String {
    format!("{} rad/s", plant::quantity::digits(speed.in_rad_s(), 6))
}

const INERTIA: crate::registry::Input = quantity::<dim::InertiaDim>("inertia", "whole inertia at the motor shaft");

/// `calc acceleration-torque`.
pub const ACCELERATION_TORQUE: Calculation = Calculation {
    name: "acceleration-torque",
    summary: "Torque that changes the speed of an inertia in a time.",
    inputs: &[
        INERTIA,
        quantity_or::<dim::SpeedDim>("from", "0 rpm", "speed before"),
        quantity::<dim::SpeedDim>("to", "speed after"),
        quantity::<dim::TimeDim>("time", "time of the change"),
    ],
    results: &[output::<dim::TorqueDim>("torque", "N·m", "torque on top of the load's")],
    sources: &[&DEFINITION],
    run: |a: &Arguments, w: &mut Working| {
        Ok(vec![acceleration_torque(a.get("inertia"), a.get("from"), a.get("to"), a.get("time"), w)?.in_si()])
    },
};

/// `calc acceleration-time`.
pub const ACCELERATION_TIME: Calculation = Calculation {
    name: "acceleration-time",
    summary: "Time of a speed change under constant torques.",
    inputs: &[
        INERTIA,
        quantity::<dim::SpeedDim>("change", "speed change"),
        quantity::<dim::TorqueDim>("torque", "torque of the motor in the direction of the change"),
        quantity_or::<dim::TorqueDim>("load", "0 N·m", "torque of the load against it; negative where it helps"),
    ],
    results: &[output::<dim::TimeDim>("time", "s", "time of the change")],
    sources: &[&DEFINITION],
    run: |a: &Arguments, w: &mut Working| {
        Ok(vec![acceleration_time(a.get("inertia"), a.get("change"), a.get("torque"), a.get("load"), w)?.in_si()])
    },
};

/// `calc acceleration-time-wk2`.
pub const ACCELERATION_TIME_WK2: Calculation = Calculation {
    name: "acceleration-time-wk2",
    summary: "Time of a speed change by the US customary WK² formula.",
    inputs: &[
        quantity::<dim::InertiaDim>("wk2", "WK² at the motor shaft"),
        quantity::<dim::SpeedDim>("change", "speed change"),
        quantity::<dim::TorqueDim>("torque", "torque less the load's"),
        quantity_or::<dim::CountDim>("constant", "308", "constant of the formula: 308 or 307 as printed, 307.24 exact"),
    ],
    results: &[output::<dim::TimeDim>("time", "s", "time of the change")],
    sources: &[&WK2_HANDBOOK],
    run: |a: &Arguments, w: &mut Working| {
        Ok(vec![acceleration_time_wk2(a.get("wk2"), a.get("change"), a.get("torque"), a.get("constant"), w)?.in_si()])
    },
};

/// `calc inertia-from-run`.
pub const INERTIA_FROM_RUN: Calculation = Calculation {
    name: "inertia-from-run",
    summary: "Inertia from a measured run under constant torque.",
    inputs: &[
        quantity::<dim::TorqueDim>("torque", "torque of the motor"),
        quantity_or::<dim::TorqueDim>("load", "0 N·m", "torque of the load against it"),
        quantity::<dim::SpeedDim>("change", "speed change"),
        quantity::<dim::TimeDim>("time", "time of the change"),
    ],
    results: &[output::<dim::InertiaDim>("inertia", "kg·m²", "whole inertia at the motor shaft")],
    sources: &[&DEFINITION],
    run: |a: &Arguments, w: &mut Working| {
        Ok(vec![inertia_from_run(a.get("torque"), a.get("load"), a.get("change"), a.get("time"), w)?.in_si()])
    },
};

/// `calc kinetic-energy`.
pub const KINETIC_ENERGY: Calculation = Calculation {
    name: "kinetic-energy",
    summary: "Kinetic energy of a turning inertia.",
    inputs: &[INERTIA, quantity::<dim::SpeedDim>("speed", "speed")],
    results: &[output::<dim::EnergyDim>("energy", "J", "kinetic energy")],
    sources: &[&DEFINITION],
    run: |a: &Arguments, w: &mut Working| Ok(vec![kinetic_energy(a.get("inertia"), a.get("speed"), w)?.in_si()]),
};

/// `calc braking-power`.
pub const BRAKING_POWER: Calculation = Calculation {
    name: "braking-power",
    summary: "Braking torque, energy and power of an even stop, and its mean power when it repeats.",
    inputs: &[
        INERTIA,
        quantity::<dim::SpeedDim>("speed", "speed before the stop"),
        quantity::<dim::TimeDim>("time", "time of the stop"),
        quantity_or::<dim::TorqueDim>("load", "0 N·m", "torque by which the load helps to stop; negative where it overhauls"),
        quantity_or::<dim::RatioDim>("efficiency", "100 %", "share of the shaft power that comes back"),
        quantity_or::<dim::TimeDim>("period", "", "time from one stop to the next; left out: one stop only"),
    ],
    results: &[
        output::<dim::TorqueDim>("torque", "N·m", "braking torque"),
        output::<dim::EnergyDim>("energy", "kJ", "energy of one stop"),
        output::<dim::PowerDim>("mean", "kW", "mean power of the stop"),
        output::<dim::PowerDim>("peak", "kW", "power at the first moment"),
        output::<dim::PowerDim>("continuous", "W", "mean power over the period; zero for one stop only"),
    ],
    sources: &[&DEFINITION],
    run: |a: &Arguments, w: &mut Working| {
        let time: Time = a.get("time");
        let one = stop(a.get("inertia"), a.get("speed"), time, a.get("load"), a.get("efficiency"), w)?;
        let mut continuous = Power::ZERO;
        if let Some(period) = a.get_opt::<dim::TimeDim>("period") {
            if period < time {
                return Err(Refusal::new(format!("the period of {period} is shorter than the stop of {time}")));
            }
            not_below_zero(period, "period")?;
            continuous = one.energy / period;
            w.step(|| {
                Step::new("P_c", "mean power over the period", "E/T", &DEFINITION).with("E", one.energy).with("T", period).gives(continuous)
            });
        }
        Ok(vec![one.torque.in_si(), one.energy.in_si(), one.mean.in_si(), one.peak.in_si(), continuous.in_si()])
    },
};
