//! The shortest stop that holds: by torque and by what resistor and losses take, as an even ramp and as one that a bus regulator
//! stretches while it runs.

use plant::quantity::{Energy, Inertia, Power, Ratio, Resistance, Speed, Time, Torque, Voltage, dim};

use crate::load::inertia::rad_s;
use crate::load::{above_zero, efficiency_is_sound, not_below_zero};
use crate::registry::{Arguments, Calculation, Input, Refusal, output, quantity, quantity_or};
use crate::sources::{DEFINITION, Knowledge, Source};
use crate::working::{Recorder, Step, Working};

/// What a stop is limited by.
pub const LIMITS: Source = Source::new(
    "T_B·ω·η less the fixed losses must not exceed what the resistor takes; T_B must not exceed the torque limit",
    Knowledge::Derived,
);

/// What is to be stopped.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Moving {
    /// Whole inertia at the motor shaft.
    pub inertia: Inertia,
    /// Speed before.
    pub speed: Speed,
    /// Torque by which the load itself helps to stop; negative where it drives on. Constant.
    pub friction: Torque,
}

/// What stops it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Brakes {
    /// Largest braking torque of motor and unit: of current and breakdown.
    pub torque: Torque,
    /// Power that the resistor takes; zero without one.
    pub resistor: Power,
    /// Losses of motor and unit that stay whatever the torque; they are fed from the link.
    pub losses: Power,
    /// Share of the shaft power that motor and unit pass on.
    pub passes: Ratio,
}

/// The shortest stops.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shortest {
    /// Even ramp.
    pub ramp: Time,
    /// With the torque as high as power and torque limit allow at each speed: what a bus or current regulator comes to.
    pub regulated: Time,
    /// Speed below which the torque limit rules, not the power.
    pub corner: Speed,
    /// Braking torque at the full speed.
    pub torque: Torque,
}

/// Shortest stop.
///
/// Even: T_1 = min(T_lim, (P_R + P_v)/(η·ω_0)) at the first moment, t = J·ω_0/(T_1 + T_f). Regulated: the power rules from ω_0
/// down to ω_c = (P_R + P_v)/(η·T_lim), J·dω/dt = −(K/ω + T_f) with K = (P_R + P_v)/η, below it the torque does:
/// t = J·(y − ln(1 + y))·K/T_f² between y = T_f·ω/K, plus J·ω_c/(T_lim + T_f). N·m, rad/s, W, s.
///
/// # Errors
/// When an input is out of range, or the load drives on harder than can be taken: then it never stops.
///
/// Source: derived. Worked example: 12 kg·m² at 1480 rpm, 800 V on 24 Ω, 85 %: even 9.19 s, regulated half of that.
/// ```
/// use calc::{braking::stop::{shortest_stop, Brakes, Moving}, working::Silent};
/// use plant::quantity::{Inertia, Power, Ratio, Speed, Torque};
/// let moving = Moving { inertia: Inertia::kgm2(12.0), speed: Speed::rpm(1480.0), friction: Torque::ZERO };
/// let brakes = Brakes {
///     torque: Torque::nm(1e6), resistor: Power::w(800.0 * 800.0 / 24.0), losses: Power::ZERO, passes: Ratio::percent(85.0),
/// };
/// let s = shortest_stop(&moving, &brakes, &mut Silent).unwrap();
/// assert!((s.ramp.in_s() - 9.188).abs() < 0.005 && (s.regulated.in_s() - 4.594).abs() < 0.005);
/// ```
pub fn shortest_stop<R: Recorder>(moving: &Moving, brakes: &Brakes, rec: &mut R) -> Result<Shortest, Refusal> {
    above_zero(moving.inertia, "inertia")?;
    above_zero(moving.speed, "speed")?;
    above_zero(brakes.torque, "torque limit")?;
    not_below_zero(brakes.resistor, "power of the resistor")?;
    not_below_zero(brakes.losses, "losses")?;
    efficiency_is_sound(brakes.passes, "share that comes back")?;
    if !moving.friction.is_finite() {
        return Err(Refusal::new("the torque of the load is no number"));
    }
    let (j, w0, tf) = (moving.inertia.in_kgm2(), moving.speed.in_rad_s(), moving.friction.in_nm());
    let taken = (brakes.resistor + brakes.losses).in_w() / brakes.passes.in_of_one();
    let limit = brakes.torque.in_nm();
    let torque = limit.min(taken / w0);
    let corner = w0.min(taken / limit);
    if torque + tf <= 0.0 {
        return Err(Refusal::new(format!(
            "the load drives with {} and at most {} can be taken against it at {}: it never stops by the unit",
            -moving.friction,
            Torque::nm(torque),
            moving.speed
        )));
    }
    let ramp = j * w0 / (torque + tf);
    // In parts of one, where neither overflows: ω = w0·x, y = a·x.
    let a = tf * w0 / taken;
    let by_power = if taken > 0.0 && corner < w0 {
        j * w0 * w0 / taken * (by_power(a, 1.0) - by_power(a, corner / w0))
    } else if taken > 0.0 {
        0.0
    } else {
        // Nothing is taken: friction alone, and the torque limit never rules.
        j * w0 / tf
    };
    let by_torque = if taken > 0.0 { j * corner / (limit + tf) } else { 0.0 };
    let shortest = Shortest {
        ramp: Time::s(ramp),
        regulated: Time::s(by_power + by_torque),
        corner: Speed::rad_s(corner),
        torque: Torque::nm(torque),
    };
    rec.step(|| {
        Step::new("T_1", "largest braking torque at the full speed", "min(T_lim, (P_R + P_v)/(η·ω))", &LIMITS)
            .with("T_lim", brakes.torque)
            .with("P_R", brakes.resistor.electric())
            .with("P_v", brakes.losses.electric())
            .with("η", brakes.passes)
            .with("ω", rad_s(moving.speed))
            .gives(shortest.torque)
    });
    rec.step(|| {
        Step::new("t_ramp", "shortest even stop", "J·ω/(T_1 + T_f)", &LIMITS)
            .with("J", moving.inertia)
            .with("ω", rad_s(moving.speed))
            .with("T_1", shortest.torque)
            .with("T_f", moving.friction)
            .gives(shortest.ramp)
    });
    rec.step(|| Step::new("ω_c", "speed below which the torque limit rules", "", &LIMITS).gives(shortest.corner));
    rec.step(|| {
        Step::new("t_reg", "shortest stop with the torque as high as allowed at each speed", "", &LIMITS)
            .gives(shortest.regulated)
            .note("what a regulator of bus or current comes to at best; the position where it stops then differs from that of a ramp")
    });
    Ok(shortest)
}

/// ∫ x/(1 + a·x) dx from 0 to x.
fn by_power(a: f64, x: f64) -> f64 {
    let y = a * x;
    if y.abs() < 1e-3 {
        // The difference below loses digits here; the series leaves out y⁵/7.
        x * x * (0.5 - y / 3.0 + y * y / 4.0 - y * y * y / 5.0 + y.powi(4) / 6.0)
    } else {
        (y - y.ln_1p()) / (a * a)
    }
}

/// What the regulation of the bus voltage does to a stop.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Regulated {
    /// Time that the stop takes.
    pub time: Time,
    /// That over the time set.
    pub stretch: Ratio,
    /// Turns of the shaft beyond those of the set ramp.
    pub overrun_turns: f64,
    /// Energy of the moving masses.
    pub energy: Energy,
}

/// Stop without a resistor, when the unit holds its bus voltage by stretching the ramp.
///
/// The regulated stop of [`shortest_stop`], with the torque at most what the set ramp asks for, T ≤ J·ω_0/t − T_f. A set ramp
/// turns the shaft by ½·ω_0·t; a stretched one falls slower at its beginning and turns it by ½·ω_0·t' at least.
///
/// # Errors
/// As [`shortest_stop`], or when the set time is not above zero.
///
/// Source: derived. Worked example: 5 kg·m², 1500 rpm, losses 2 kW, set to 5 s: 31.0 s.
/// ```
/// use calc::{braking::stop::{regulated_stop, Brakes, Moving}, working::Silent};
/// use plant::quantity::{Inertia, Power, Ratio, Speed, Time, Torque};
/// let moving = Moving { inertia: Inertia::kgm2(5.0), speed: Speed::rpm(1500.0), friction: Torque::ZERO };
/// let brakes = Brakes { torque: Torque::nm(1e6), resistor: Power::ZERO, losses: Power::kw(2.0), passes: Ratio::of_one(1.0) };
/// let r = regulated_stop(&moving, &brakes, Time::s(5.0), &mut Silent).unwrap();
/// assert!((r.time.in_s() - 31.045).abs() < 0.01);
/// ```
pub fn regulated_stop<R: Recorder>(moving: &Moving, brakes: &Brakes, set: Time, rec: &mut R) -> Result<Regulated, Refusal> {
    above_zero(set, "time set")?;
    let energy = Energy::j(0.5 * moving.inertia.in_kgm2() * moving.speed.in_rad_s() * moving.speed.in_rad_s());
    // The ramp never catches up: after the regulator lets go, the speed falls as steeply as set, no steeper.
    let set_torque = moving.inertia * (moving.speed / set) - moving.friction;
    let time = if set_torque > Torque::ZERO {
        let held = Brakes { torque: brakes.torque.min(set_torque), ..*brakes };
        shortest_stop(moving, &held, rec)?.regulated.max(set)
    } else {
        shortest_stop(moving, brakes, rec)?;
        set
    };
    let overrun = 0.5 * moving.speed.in_rad_s() * (time - set).in_s() / std::f64::consts::TAU;
    let result = Regulated { time, stretch: Ratio::of_one(time / set), overrun_turns: overrun, energy };
    rec.step(|| {
        Step::new("t'", "time that the stop takes", "", &LIMITS).gives(time).note(if time > set {
            "longer than set, and nothing says so on the machine: the regulator stretches the ramp silently; way and time of the stop must be safe with it, and no stop by the unit is a safety function by itself"
        } else {
            "as set: the bus is never held back"
        })
    });
    rec.step(|| {
        Step::new("n", "turns of the shaft beyond the set ramp, at least", "½·ω·(t' − t)/2π", &DEFINITION)
            .with("ω", rad_s(moving.speed))
            .with("t'", time)
            .with("t", set)
            .gives(overrun)
    });
    Ok(result)
}

const INERTIA: Input = quantity::<dim::InertiaDim>("inertia", "whole inertia at the motor shaft");
const SPEED: Input = quantity::<dim::SpeedDim>("speed", "speed before the stop");
const FRICTION: Input =
    quantity_or::<dim::TorqueDim>("friction", "0 N·m", "torque by which the load helps to stop; negative where it drives on");
const TORQUE: Input = quantity::<dim::TorqueDim>("torque", "largest braking torque of motor and unit");
const PASSES: Input = quantity_or::<dim::RatioDim>("passes", "100 %", "share of the shaft power that motor and unit pass on");

fn moving(a: &Arguments) -> Moving {
    Moving { inertia: a.get("inertia"), speed: a.get("speed"), friction: a.get("friction") }
}

/// `calc shortest-stop`.
pub const SHORTEST_STOP: Calculation = Calculation {
    name: "shortest-stop",
    summary: "Shortest stop that torque limit, resistor and losses allow: as an even ramp and with the torque regulated.",
    inputs: &[
        INERTIA,
        SPEED,
        FRICTION,
        TORQUE,
        quantity_or::<dim::VoltageDim>("level", "", "DC link voltage at which the chopper switches on; left out with the resistor"),
        quantity_or::<dim::ResistanceDim>("resistor", "", "resistance; left out: no resistor"),
        quantity_or::<dim::PowerDim>("losses", "0 W", "losses of motor and unit that stay whatever the torque"),
        PASSES,
    ],
    results: &[
        output::<dim::TimeDim>("ramp", "s", "shortest even stop"),
        output::<dim::TimeDim>("regulated", "s", "shortest stop with the torque regulated"),
        output::<dim::TorqueDim>("first-torque", "N·m", "largest braking torque at the full speed"),
        output::<dim::SpeedDim>("corner", "rpm", "speed below which the torque limit rules"),
        output::<dim::PowerDim>("resistor-power", "kW", "what the resistor takes"),
    ],
    sources: &[&LIMITS, &DEFINITION],
    run: |a: &Arguments, w: &mut Working| {
        let resistor = match (a.get_opt::<dim::VoltageDim>("level"), a.get_opt::<dim::ResistanceDim>("resistor")) {
            (Some(level), Some(ohms)) => resistor_power(level, ohms, w)?,
            (None, None) => Power::ZERO,
            _ => return Err(Refusal::new("a resistor needs both its resistance and the level of the chopper; without one leave out both")),
        };
        let brakes = Brakes { torque: a.get("torque"), resistor, losses: a.get("losses"), passes: a.get("passes") };
        let s = shortest_stop(&moving(a), &brakes, w)?;
        Ok(vec![s.ramp.in_si(), s.regulated.in_si(), s.torque.in_si(), s.corner.in_si(), resistor.in_si()])
    },
};

/// Power of a resistor at the chopper's level, U²/R.
///
/// # Errors
/// When an input is not above zero.
///
/// ```
/// use calc::{braking::stop::resistor_power, working::Silent};
/// use plant::quantity::{Resistance, Voltage};
/// assert!((resistor_power(Voltage::v(800.0), Resistance::ohm(20.0), &mut Silent).unwrap().in_kw() - 32.0).abs() < 1e-9);
/// ```
pub fn resistor_power<R: Recorder>(level: Voltage, resistor: Resistance, rec: &mut R) -> Result<Power, Refusal> {
    above_zero(level, "level of the chopper")?;
    above_zero(resistor, "resistance")?;
    let power = Power::w(level.in_v() * level.in_v() / resistor.in_ohm());
    rec.step(|| {
        Step::new("P_R", "what the resistor takes", "U²/R", &DEFINITION).with("U", level).with("R", resistor).gives(power.electric())
    });
    Ok(power)
}

/// `calc bus-regulator-stop`.
pub const BUS_REGULATOR_STOP: Calculation = Calculation {
    name: "bus-regulator-stop",
    summary: "What a stop without a resistor becomes when the unit holds its bus voltage by stretching the ramp.",
    inputs: &[
        INERTIA,
        SPEED,
        FRICTION,
        TORQUE,
        quantity::<dim::PowerDim>("losses", "losses of motor and unit that stay whatever the torque; with flux braking more"),
        PASSES,
        quantity::<dim::TimeDim>("set", "time set for the ramp"),
    ],
    results: &[
        output::<dim::TimeDim>("time", "s", "time that the stop takes"),
        output::<dim::RatioDim>("stretch", "pu", "that over the time set"),
        output::<dim::CountDim>("overrun", "", "turns of the shaft beyond those of the set ramp, at least"),
        output::<dim::EnergyDim>("energy", "kJ", "energy of the moving masses"),
    ],
    sources: &[&LIMITS, &DEFINITION],
    run: |a: &Arguments, w: &mut Working| {
        let brakes = Brakes { torque: a.get("torque"), resistor: Power::ZERO, losses: a.get("losses"), passes: a.get("passes") };
        let r = regulated_stop(&moving(a), &brakes, a.get("set"), w)?;
        Ok(vec![r.time.in_si(), r.stretch.in_si(), r.overrun_turns, r.energy.in_si()])
    },
};
