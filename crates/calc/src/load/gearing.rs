//! Inertia and torque of the machine as the motor shaft feels them, through gears, ropes and belts.

use plant::quantity::{Force, Inertia, Mass, Power, Ratio, Speed, Torque, Velocity, dim};

use crate::load::{above_zero, efficiency_is_sound, not_below_zero};
use crate::registry::{Arguments, Calculation, Refusal, output, quantity, quantity_or};
use crate::sources::DEFINITION;
use crate::working::{Recorder, Step, Working};

/// Inertia of a turning load at the motor shaft, J_L·i², with i load speed over motor speed.
///
/// From equal kinetic energy; losses of the gear left out (they act as torque, see [`through_gear`]).
///
/// # Errors
/// When the inertia is below zero or the speed ratio not above zero.
///
/// Source: definition. Worked example: 10 kg·m² behind a gear of 10 : 1 feel like 0.1 kg·m².
/// ```
/// use calc::{load::gearing::reflected_inertia, working::Silent};
/// use plant::quantity::{Inertia, Ratio};
/// let j = reflected_inertia(Inertia::kgm2(10.0), Ratio::of_one(0.1), &mut Silent).unwrap();
/// assert!((j.in_kgm2() - 0.1).abs() < 1e-12);
/// ```
pub fn reflected_inertia<R: Recorder>(load: Inertia, speed_ratio: Ratio, rec: &mut R) -> Result<Inertia, Refusal> {
    not_below_zero(load, "inertia of the load")?;
    above_zero(speed_ratio, "speed ratio")?;
    let i = speed_ratio.in_of_one();
    let reflected = load * (i * i);
    rec.step(|| Step::new("J_r", "load inertia at the motor shaft", "J_L·i²", &DEFINITION).with("J_L", load).with("i", i).gives(reflected));
    Ok(reflected)
}

/// Inertia of a mass that moves along a line, m·(v/ω)², with v its speed at the motor speed ω.
///
/// # Errors
/// When the mass is below zero or the motor speed not above zero.
///
/// Source: definition (equal kinetic energy). Worked example: 600 kg at 2 m/s with 1500 rpm feel like 0.0973 kg·m².
/// ```
/// use calc::{load::gearing::linear_inertia, working::Silent};
/// use plant::quantity::{Mass, Speed, Velocity};
/// let j = linear_inertia(Mass::kg(600.0), Velocity::m_s(2.0), Speed::rpm(1500.0), &mut Silent).unwrap();
/// assert!((j.in_kgm2() - 0.0973).abs() < 1e-4);
/// ```
pub fn linear_inertia<R: Recorder>(mass: Mass, velocity: Velocity, speed: Speed, rec: &mut R) -> Result<Inertia, Refusal> {
    not_below_zero(mass, "mass")?;
    above_zero(speed, "motor speed")?;
    let radius_m = velocity.in_m_s() / speed.in_rad_s();
    let inertia = Inertia::kgm2(mass.in_kg() * radius_m * radius_m);
    rec.step(|| {
        Step::new("J_m", "moved mass at the motor shaft", "m·(v/ω)²", &DEFINITION)
            .with("m", mass)
            .with("v", velocity)
            .with("ω", format!("{:.4} rad/s", speed.in_rad_s()))
            .gives(inertia)
    });
    Ok(inertia)
}

/// Torque at the motor shaft from a torque at the load: T_L·i/η where the motor drives, T_L·i·η where the load does (T_L below zero).
///
/// # Errors
/// When the speed ratio is not above zero or the efficiency outside 0 … 100 %.
///
/// Source: definition. Worked example: 50 N·m behind 10 : 1 at 90 % ask for 5.56 N·m; −50 N·m give 4.5 N·m back.
/// ```
/// use calc::{load::gearing::through_gear, working::Silent};
/// use plant::quantity::{Ratio, Torque};
/// let (i, eta) = (Ratio::of_one(0.1), Ratio::percent(90.0));
/// assert!((through_gear(Torque::nm(50.0), i, eta, &mut Silent).unwrap().in_nm() - 5.56).abs() < 0.005);
/// assert!((through_gear(Torque::nm(-50.0), i, eta, &mut Silent).unwrap().in_nm() + 4.5).abs() < 1e-9);
/// ```
pub fn through_gear<R: Recorder>(load: Torque, speed_ratio: Ratio, efficiency: Ratio, rec: &mut R) -> Result<Torque, Refusal> {
    above_zero(speed_ratio, "speed ratio")?;
    efficiency_is_sound(efficiency, "efficiency of the gear")?;
    let (i, eta) = (speed_ratio.in_of_one(), efficiency.in_of_one());
    let driving = load >= Torque::ZERO;
    let torque = load * if driving { i / eta } else { i * eta };
    rec.step(|| {
        Step::new("T_r", "load torque at the motor shaft", if driving { "T_L·i/η" } else { "T_L·i·η" }, &DEFINITION)
            .with("T_L", load)
            .with("i", i)
            .with("η", efficiency)
            .gives(torque)
            .note(if driving { "" } else { "the load drives: the losses help" })
    });
    Ok(torque)
}

/// Torque at the motor shaft from a force along a line: F·v/(ω·η) where the motor drives, F·v·η/ω where the load does.
///
/// # Errors
/// When the motor speed is not above zero or the efficiency outside 0 … 100 %.
///
/// Source: definition. Worked example: 5886 N at 2 m/s, 1500 rpm and 88 % ask for 85.16 N·m.
/// ```
/// use calc::{load::gearing::linear_torque, working::Silent};
/// use plant::quantity::{Force, Ratio, Speed, Velocity};
/// let t = linear_torque(Force::n(5886.0), Velocity::m_s(2.0), Speed::rpm(1500.0), Ratio::percent(88.0), &mut Silent).unwrap();
/// assert!((t.in_nm() - 85.16).abs() < 0.005);
/// ```
pub fn linear_torque<R: Recorder>(
    force: Force,
    velocity: Velocity,
    speed: Speed,
    efficiency: Ratio,
    rec: &mut R,
) -> Result<Torque, Refusal> {
    above_zero(speed, "motor speed")?;
    efficiency_is_sound(efficiency, "efficiency")?;
    let power = crate::load::machines::through_efficiency(force * velocity, efficiency);
    let torque = power / speed;
    rec.step(|| {
        Step::new("T_F", "torque of the force at the motor shaft", if power < Power::ZERO { "F·v·η/ω" } else { "F·v/(ω·η)" }, &DEFINITION)
            .with("F", force)
            .with("v", velocity)
            .with("ω", format!("{:.4} rad/s", speed.in_rad_s()))
            .with("η", efficiency)
            .gives(torque)
    });
    Ok(torque)
}

/// `calc reflected-inertia`.
pub const REFLECTED_INERTIA: Calculation = Calculation {
    name: "reflected-inertia",
    summary: "Whole inertia at the motor shaft: motor, geared load, mass moved along a line.",
    inputs: &[
        quantity_or::<dim::InertiaDim>("motor", "0 kg·m²", "inertia on the motor shaft"),
        quantity_or::<dim::InertiaDim>("load", "0 kg·m²", "inertia on the load shaft"),
        quantity_or::<dim::RatioDim>("ratio", "1", "load speed over motor speed"),
        quantity_or::<dim::MassDim>("mass", "0 kg", "mass moved along a line"),
        quantity_or::<dim::VelocityDim>("velocity", "0 m/s", "its speed at the motor speed below"),
        quantity_or::<dim::SpeedDim>("speed", "1000 rpm", "motor speed"),
    ],
    results: &[output::<dim::InertiaDim>("inertia", "kg·m²", "whole inertia at the motor shaft")],
    sources: &[&DEFINITION],
    run: |a: &Arguments, w: &mut Working| {
        let motor: Inertia = a.get("motor");
        not_below_zero(motor, "inertia on the motor shaft")?;
        let load = reflected_inertia(a.get("load"), a.get("ratio"), w)?;
        let line = linear_inertia(a.get("mass"), a.get("velocity"), a.get("speed"), w)?;
        let whole = motor + load + line;
        w.step(|| {
            Step::new("J", "whole inertia at the motor shaft", "J_M + J_r + J_m", &DEFINITION)
                .with("J_M", motor)
                .with("J_r", load)
                .with("J_m", line)
                .gives(whole)
        });
        Ok(vec![whole.in_si()])
    },
};

/// `calc reflected-load`.
pub const REFLECTED_LOAD: Calculation = Calculation {
    name: "reflected-load",
    summary: "Steady torque and power at the motor shaft from a geared load torque and a force along a line.",
    inputs: &[
        quantity::<dim::SpeedDim>("speed", "motor speed"),
        quantity_or::<dim::TorqueDim>("torque", "0 N·m", "torque at the load shaft; negative where the load drives"),
        quantity_or::<dim::RatioDim>("ratio", "1", "load speed over motor speed"),
        quantity_or::<dim::RatioDim>("efficiency", "100 %", "efficiency of the gear"),
        quantity_or::<dim::ForceDim>("force", "0 N", "force along a line; negative where the load drives"),
        quantity_or::<dim::VelocityDim>("velocity", "0 m/s", "speed along the line at the motor speed"),
        quantity_or::<dim::RatioDim>("line_efficiency", "100 %", "efficiency from motor shaft to line"),
    ],
    results: &[
        output::<dim::TorqueDim>("torque", "N·m", "steady torque at the motor shaft"),
        output::<dim::PowerDim>("power", "W", "steady power at the motor shaft"),
    ],
    sources: &[&DEFINITION],
    run: |a: &Arguments, w: &mut Working| {
        let speed: Speed = a.get("speed");
        let geared = through_gear(a.get("torque"), a.get("ratio"), a.get("efficiency"), w)?;
        let line = linear_torque(a.get("force"), a.get("velocity"), speed, a.get("line_efficiency"), w)?;
        let torque = geared + line;
        let power = torque * speed;
        w.step(|| {
            Step::new("P", "power at the motor shaft", "(T_r + T_F)·ω", &DEFINITION)
                .with("T_r", geared)
                .with("T_F", line)
                .with("ω", format!("{:.4} rad/s", speed.in_rad_s()))
                .gives(power)
        });
        Ok(vec![torque.in_si(), power.in_si()])
    },
};
