//! Power at the motor shaft of hoists, conveyors, pumps and fans, and what speed does to pumps and fans.

use plant::quantity::{Density, Flow, Force, Length, Mass, Power, Pressure, Ratio, Speed, Velocity, dim};

use crate::load::{above_zero, efficiency_is_sound, not_below_zero};
use crate::registry::{Arguments, Calculation, Refusal, output, quantity, quantity_or, word};
use crate::sources::{DEFINITION, Knowledge, Source};
use crate::working::{Recorder, Step, Working};

/// Standard gravity, m/s² (exact by definition; CGPM 1901).
pub const STANDARD_GRAVITY: f64 = 9.806_65;
/// Handbooks in US customary units: constants rounded as printed there.
pub const US_HANDBOOK: Source = Source::new("US customary handbook formula with its rounded constant", Knowledge::FromMemory);
/// The affinity laws.
pub const AFFINITY_LAWS: Source = Source::new("affinity laws of centrifugal pumps and fans", Knowledge::LookedUp);

/// Power on the motor's side of a gear from the signed power on the load's side: losses add when the motor drives and
/// subtract when the load does.
#[must_use]
pub fn through_efficiency(load_side: Power, efficiency: Ratio) -> Power {
    if load_side >= Power::ZERO { load_side / efficiency.in_of_one() } else { load_side * efficiency.in_of_one() }
}

/// Force and power of a hung or pulled load.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Haul {
    /// Force on the rope or belt, against the motion; negative where the load pulls.
    pub force: Force,
    /// Power at the motor shaft; negative where it comes back.
    pub power: Power,
}

/// Power of a hoist at steady speed.
///
/// Raising: P = (m·g + F_r)·v/η. Lowering: P = −(m·g − F_r)·v·η, negative: it comes back. m is all that hangs (load, hook, cage
/// less counterweight), F_r friction along the rope, η from motor shaft to rope. Acceleration comes on top.
///
/// # Errors
/// When a mass or speed is not above zero, friction below zero, or the efficiency outside 0 … 100 %.
///
/// Source: definition. Worked example: 5000 kg at 0.2 m/s and 85 % take 11.54 kW.
/// ```
/// use calc::{load::machines::{STANDARD_GRAVITY, hoist}, working::Silent};
/// use plant::quantity::{Force, Mass, Ratio, Velocity};
/// let up = hoist(Mass::kg(5000.0), Force::ZERO, Velocity::m_s(0.2), Ratio::percent(85.0), true, STANDARD_GRAVITY, &mut Silent).unwrap();
/// assert!((up.power.in_kw() - 11.54).abs() < 0.005);
/// ```
pub fn hoist<R: Recorder>(
    mass: Mass,
    friction: Force,
    velocity: Velocity,
    efficiency: Ratio,
    raising: bool,
    gravity_m_s2: f64,
    rec: &mut R,
) -> Result<Haul, Refusal> {
    above_zero(mass, "mass")?;
    above_zero(velocity, "speed of the load")?;
    not_below_zero(friction, "friction")?;
    efficiency_is_sound(efficiency, "efficiency")?;
    let weight = Force::n(mass.in_kg() * gravity_m_s2);
    let force = if raising { weight + friction } else { friction - weight };
    let power = through_efficiency(force * velocity, efficiency);
    rec.step(|| {
        let formula = if raising { "m·g + F_r" } else { "F_r − m·g" };
        Step::new("F", "rope force against the motion", formula, &DEFINITION)
            .with("m", mass)
            .with("g", format!("{gravity_m_s2} m/s²"))
            .with("F_r", friction)
            .gives(force)
    });
    power_step(force, velocity, efficiency, power, rec);
    Ok(Haul { force, power })
}

fn power_step<R: Recorder>(force: Force, velocity: Velocity, efficiency: Ratio, power: Power, rec: &mut R) {
    rec.step(|| {
        let (formula, note) =
            if power < Power::ZERO { ("F·v·η", "the load drives: the losses help, and power comes back") } else { ("F·v/η", "") };
        Step::new("P", "power at the motor shaft", formula, &DEFINITION)
            .with("F", force)
            .with("v", velocity)
            .with("η", efficiency)
            .gives(power)
            .note(note)
    });
}

/// Power of a conveyor, a winch or a travel drive from the pull, P = F·v/η; a negative pull drives the motor, P = F·v·η.
///
/// # Errors
/// When the speed is not above zero or the efficiency outside 0 … 100 %.
///
/// Source: definition. Worked example: 3000 N at 1.5 m/s and 90 % take 5 kW.
/// ```
/// use calc::{load::machines::pull, working::Silent};
/// use plant::quantity::{Force, Ratio, Velocity};
/// let belt = pull(Force::n(3000.0), Velocity::m_s(1.5), Ratio::percent(90.0), &mut Silent).unwrap();
/// assert!((belt.power.in_kw() - 5.0).abs() < 1e-9);
/// ```
pub fn pull<R: Recorder>(force: Force, velocity: Velocity, efficiency: Ratio, rec: &mut R) -> Result<Haul, Refusal> {
    above_zero(velocity, "speed of the load")?;
    efficiency_is_sound(efficiency, "efficiency")?;
    let power = through_efficiency(force * velocity, efficiency);
    power_step(force, velocity, efficiency, power, rec);
    Ok(Haul { force, power })
}

/// Pull on an incline, F = m·g·(sin α ± µ·cos α), with the slope as rise over level run, tan α.
///
/// `up` false gives the force against the downward motion: negative where the load drives.
///
/// # Errors
/// When the mass is not above zero or slope or friction are below zero.
///
/// Source: definition. Worked example: 1000 kg up a slope of 75 % (sin α = 0.6) without friction: 5884 N.
/// ```
/// use calc::{load::machines::incline_force, working::Silent};
/// use plant::quantity::{Mass, Ratio};
/// let force = incline_force(Mass::kg(1000.0), Ratio::percent(75.0), Ratio::ZERO, true, &mut Silent).unwrap();
/// assert!((force.in_n() - 5884.0).abs() < 0.1);
/// ```
pub fn incline_force<R: Recorder>(mass: Mass, slope: Ratio, friction: Ratio, up: bool, rec: &mut R) -> Result<Force, Refusal> {
    above_zero(mass, "mass")?;
    not_below_zero(slope, "slope")?;
    not_below_zero(friction, "friction coefficient")?;
    let hypotenuse = slope.in_of_one().hypot(1.0);
    let climb = if up { slope } else { -slope };
    let force = Force::n(mass.in_kg() * STANDARD_GRAVITY * (climb + friction).in_of_one() / hypotenuse);
    rec.step(|| {
        Step::new(
            "F",
            "pull along the slope, against the motion",
            if up { "m·g·(s + µ)/√(1 + s²)" } else { "m·g·(µ − s)/√(1 + s²)" },
            &DEFINITION,
        )
        .with("m", mass)
        .with("g", "9.80665 m/s²")
        .with("s", slope)
        .with("µ", friction)
        .gives(force)
    });
    Ok(force)
}

/// Power of a pump, P = ρ·g·Q·H/η, with H the total head in metres of the pumped liquid.
///
/// # Errors
/// When an input is not above zero or the efficiency outside 0 … 100 %.
///
/// Source: definition. Worked example: 100 m³/h of water to 30 m at 75 % take 10.9 kW.
/// ```
/// use calc::{load::machines::pump_power, working::Silent};
/// use plant::quantity::{Density, Flow, Length, Ratio};
/// let p = pump_power(Flow::m3_h(100.0), Length::m(30.0), Density::kg_m3(1000.0), Ratio::percent(75.0), &mut Silent).unwrap();
/// assert!((p.in_kw() - 10.9).abs() < 0.01);
/// ```
pub fn pump_power<R: Recorder>(flow: Flow, head: Length, density: Density, efficiency: Ratio, rec: &mut R) -> Result<Power, Refusal> {
    above_zero(flow, "flow")?;
    above_zero(head, "head")?;
    above_zero(density, "density")?;
    efficiency_is_sound(efficiency, "efficiency")?;
    let pressure = Pressure::pa(density.in_kg_m3() * STANDARD_GRAVITY * head.in_m());
    let power = pressure * flow / efficiency.in_of_one();
    rec.step(|| {
        Step::new("P", "power at the pump shaft", "ρ·g·Q·H/η", &DEFINITION)
            .with("ρ", density)
            .with("g", "9.80665 m/s²")
            .with("Q", flow)
            .with("H", head)
            .with("η", efficiency)
            .gives(power)
    });
    Ok(power)
}

/// Power of a pump in US customary units, P(hp) = Q(gpm)·H(ft)·SG/(3960·η); the constant is rounded (0.15 % below the exact form).
///
/// # Errors
/// When an input is not above zero or the efficiency outside 0 … 100 %.
///
/// Source: US handbooks. Worked example: 500 gpm to 120 ft at 75 % take 20.2 hp.
/// ```
/// use calc::{load::machines::pump_power_us, working::Silent};
/// use plant::quantity::{Flow, Length, Ratio};
/// let p = pump_power_us(Flow::gpm(500.0), Length::ft(120.0), Ratio::of_one(1.0), Ratio::percent(75.0), &mut Silent).unwrap();
/// assert!((p.in_hp() - 20.2).abs() < 0.01);
/// ```
pub fn pump_power_us<R: Recorder>(
    flow: Flow,
    head: Length,
    specific_gravity: Ratio,
    efficiency: Ratio,
    rec: &mut R,
) -> Result<Power, Refusal> {
    above_zero(flow, "flow")?;
    above_zero(head, "head")?;
    above_zero(specific_gravity, "specific gravity")?;
    efficiency_is_sound(efficiency, "efficiency")?;
    let power = Power::hp(flow.in_gpm() * head.in_ft() * specific_gravity.in_of_one() / (3960.0 * efficiency.in_of_one()));
    rec.step(|| {
        Step::new("P", "power at the pump shaft, hp", "Q·H·SG/(3960·η)", &US_HANDBOOK)
            .with("Q", format!("{:.1} gpm", flow.in_gpm()))
            .with("H", format!("{:.1} ft", head.in_ft()))
            .with("SG", specific_gravity.in_of_one())
            .with("η", efficiency)
            .gives(power)
    });
    Ok(power)
}

/// Power of a fan, P = Q·Δp/η, with Δp the total pressure it adds; air taken as incompressible (good to about 3 kPa).
///
/// # Errors
/// When an input is not above zero or the efficiency outside 0 … 100 %.
///
/// Source: definition. Worked example: 20 000 m³/h against 1000 Pa at 70 % take 7.94 kW.
/// ```
/// use calc::{load::machines::fan_power, working::Silent};
/// use plant::quantity::{Flow, Pressure, Ratio};
/// let p = fan_power(Flow::m3_h(20_000.0), Pressure::pa(1000.0), Ratio::percent(70.0), &mut Silent).unwrap();
/// assert!((p.in_kw() - 7.94).abs() < 0.005);
/// ```
pub fn fan_power<R: Recorder>(flow: Flow, pressure: Pressure, efficiency: Ratio, rec: &mut R) -> Result<Power, Refusal> {
    above_zero(flow, "flow")?;
    above_zero(pressure, "pressure")?;
    efficiency_is_sound(efficiency, "efficiency")?;
    let power = pressure * flow / efficiency.in_of_one();
    rec.step(|| {
        Step::new("P", "power at the fan shaft", "Q·Δp/η", &DEFINITION)
            .with("Q", flow)
            .with("Δp", pressure)
            .with("η", efficiency)
            .gives(power)
    });
    Ok(power)
}

/// Power of a fan in US customary units, P(hp) = Q(cfm)·Δp(in wg)/(6356·η); the constant belongs to water at about 68 °F.
///
/// # Errors
/// When an input is not above zero or the efficiency outside 0 … 100 %.
///
/// Source: US handbooks. Worked example: 10 000 cfm against 3 in wg at 65 % take 7.26 hp.
/// ```
/// use calc::{load::machines::fan_power_us, working::Silent};
/// use plant::quantity::{Flow, Pressure, Ratio};
/// let p = fan_power_us(Flow::cfm(10_000.0), Pressure::inwg(3.0), Ratio::percent(65.0), &mut Silent).unwrap();
/// assert!((p.in_hp() - 7.26).abs() < 0.005);
/// ```
pub fn fan_power_us<R: Recorder>(flow: Flow, pressure: Pressure, efficiency: Ratio, rec: &mut R) -> Result<Power, Refusal> {
    above_zero(flow, "flow")?;
    above_zero(pressure, "pressure")?;
    efficiency_is_sound(efficiency, "efficiency")?;
    let power = Power::hp(flow.in_cfm() * pressure.in_inwg() / (6356.0 * efficiency.in_of_one()));
    rec.step(|| {
        Step::new("P", "power at the fan shaft, hp", "Q·Δp/(6356·η)", &US_HANDBOOK)
            .with("Q", format!("{:.1} cfm", flow.in_cfm()))
            .with("Δp", format!("{:.3} in wg", pressure.in_inwg()))
            .with("η", efficiency)
            .gives(power)
    });
    Ok(power)
}

/// What a speed change does to a centrifugal pump or fan.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Affinity {
    /// Flow ratio, n2/n1.
    pub flow: Ratio,
    /// Head or pressure ratio, (n2/n1)².
    pub head: Ratio,
    /// Power ratio, (n2/n1)³.
    pub power: Ratio,
}

/// Affinity laws: flow, head and power go with the first, second and third power of the speed.
///
/// Valid at the same efficiency and density on a system without static head; with static head the power falls less.
///
/// # Errors
/// When the speed ratio is below zero.
///
/// Source: affinity laws. Worked example: 80 % speed gives 64 % head and 51.2 % power.
/// ```
/// use calc::{load::machines::affinity, working::Silent};
/// use plant::quantity::Ratio;
/// let a = affinity(Ratio::percent(80.0), &mut Silent).unwrap();
/// assert!((a.head.in_percent() - 64.0).abs() < 1e-9 && (a.power.in_percent() - 51.2).abs() < 1e-9);
/// ```
pub fn affinity<R: Recorder>(speed: Ratio, rec: &mut R) -> Result<Affinity, Refusal> {
    not_below_zero(speed, "speed ratio")?;
    let n = speed.in_of_one();
    let ratios = Affinity { flow: speed, head: Ratio::of_one(n * n), power: Ratio::of_one(n * n * n) };
    rec.step(|| Step::new("Q2/Q1", "flow ratio", "n", &AFFINITY_LAWS).with("n", speed).gives(ratios.flow));
    rec.step(|| Step::new("H2/H1", "head or pressure ratio", "n²", &AFFINITY_LAWS).with("n", speed).gives(ratios.head));
    rec.step(|| Step::new("P2/P1", "power ratio", "n³", &AFFINITY_LAWS).with("n", speed).gives(ratios.power));
    Ok(ratios)
}

const EFFICIENCY: crate::registry::Input = quantity_or::<dim::RatioDim>("efficiency", "100 %", "efficiency from motor shaft to load");
const SHAFT_POWER: crate::registry::Output = output::<dim::PowerDim>("power", "kW", "power at the shaft; negative where it comes back");

/// `calc hoist-power`.
pub const HOIST_POWER: Calculation = Calculation {
    name: "hoist-power",
    summary: "Force and motor power of a hoist at steady speed, raising or lowering.",
    inputs: &[
        quantity::<dim::MassDim>("mass", "all that hangs on the rope"),
        quantity::<dim::VelocityDim>("velocity", "speed of the load"),
        EFFICIENCY,
        quantity_or::<dim::ForceDim>("friction", "0 N", "friction along the rope"),
        word("direction", &["raise", "lower"], "which way"),
        word("gravity", &["9.80665", "9.81"], "m/s²: standard, or rounded as many handbooks do"),
    ],
    results: &[SHAFT_POWER, output::<dim::ForceDim>("force", "N", "rope force against the motion")],
    sources: &[&DEFINITION],
    run: |a: &Arguments, w: &mut Working| {
        let gravity = if a.word("gravity") == "9.81" { 9.81 } else { STANDARD_GRAVITY };
        let raising = a.word("direction") == "raise";
        let haul = hoist(a.get("mass"), a.get("friction"), a.get("velocity"), a.get("efficiency"), raising, gravity, w)?;
        Ok(vec![haul.power.in_si(), haul.force.in_si()])
    },
};

/// `calc conveyor-power`.
pub const CONVEYOR_POWER: Calculation = Calculation {
    name: "conveyor-power",
    summary: "Motor power of a conveyor, winch or travel drive from its pull.",
    inputs: &[
        quantity::<dim::ForceDim>("pull", "pull against the motion; negative where the load drives"),
        quantity::<dim::VelocityDim>("velocity", "speed of the belt or load"),
        EFFICIENCY,
    ],
    results: &[SHAFT_POWER],
    sources: &[&DEFINITION],
    run: |a: &Arguments, w: &mut Working| Ok(vec![pull(a.get("pull"), a.get("velocity"), a.get("efficiency"), w)?.power.in_si()]),
};

/// `calc incline-force`.
pub const INCLINE_FORCE: Calculation = Calculation {
    name: "incline-force",
    summary: "Pull along a slope, with friction.",
    inputs: &[
        quantity::<dim::MassDim>("mass", "moved mass"),
        quantity::<dim::RatioDim>("slope", "rise over level run"),
        quantity_or::<dim::RatioDim>("friction", "0 %", "friction coefficient"),
        word("direction", &["up", "down"], "which way"),
    ],
    results: &[output::<dim::ForceDim>("force", "N", "pull against the motion; negative where the load drives")],
    sources: &[&DEFINITION],
    run: |a: &Arguments, w: &mut Working| {
        Ok(vec![incline_force(a.get("mass"), a.get("slope"), a.get("friction"), a.word("direction") == "up", w)?.in_si()])
    },
};

/// `calc pump-power`.
pub const PUMP_POWER: Calculation = Calculation {
    name: "pump-power",
    summary: "Shaft power of a pump.",
    inputs: &[
        quantity::<dim::FlowDim>("flow", "volume flow"),
        quantity::<dim::LengthDim>("head", "total head in metres of the liquid"),
        quantity_or::<dim::DensityDim>("density", "1000 kg/m3", "density of the liquid"),
        EFFICIENCY,
    ],
    results: &[SHAFT_POWER],
    sources: &[&DEFINITION],
    run: |a: &Arguments, w: &mut Working| {
        Ok(vec![pump_power(a.get("flow"), a.get("head"), a.get("density"), a.get("efficiency"), w)?.in_si()])
    },
};

/// `calc pump-power-us`.
pub const PUMP_POWER_US: Calculation = Calculation {
    name: "pump-power-us",
    summary: "Shaft power of a pump by the US customary formula.",
    inputs: &[
        quantity::<dim::FlowDim>("flow", "volume flow"),
        quantity::<dim::LengthDim>("head", "total head"),
        quantity_or::<dim::RatioDim>("specific_gravity", "1", "density over that of water"),
        EFFICIENCY,
    ],
    results: &[SHAFT_POWER],
    sources: &[&US_HANDBOOK],
    run: |a: &Arguments, w: &mut Working| {
        Ok(vec![pump_power_us(a.get("flow"), a.get("head"), a.get("specific_gravity"), a.get("efficiency"), w)?.in_si()])
    },
};

/// `calc fan-power`.
pub const FAN_POWER: Calculation = Calculation {
    name: "fan-power",
    summary: "Shaft power of a fan.",
    inputs: &[quantity::<dim::FlowDim>("flow", "volume flow"), quantity::<dim::PressureDim>("pressure", "total pressure rise"), EFFICIENCY],
    results: &[SHAFT_POWER],
    sources: &[&DEFINITION],
    run: |a: &Arguments, w: &mut Working| Ok(vec![fan_power(a.get("flow"), a.get("pressure"), a.get("efficiency"), w)?.in_si()]),
};

/// `calc fan-power-us`.
pub const FAN_POWER_US: Calculation = Calculation {
    name: "fan-power-us",
    summary: "Shaft power of a fan by the US customary formula.",
    inputs: &[quantity::<dim::FlowDim>("flow", "volume flow"), quantity::<dim::PressureDim>("pressure", "total pressure rise"), EFFICIENCY],
    results: &[SHAFT_POWER],
    sources: &[&US_HANDBOOK],
    run: |a: &Arguments, w: &mut Working| Ok(vec![fan_power_us(a.get("flow"), a.get("pressure"), a.get("efficiency"), w)?.in_si()]),
};

/// `calc affinity`.
pub const AFFINITY: Calculation = Calculation {
    name: "affinity",
    summary: "What a change of speed does to flow, head and power of a centrifugal pump or fan.",
    inputs: &[quantity::<dim::RatioDim>("speed", "new speed over old speed")],
    results: &[
        output::<dim::RatioDim>("flow", "pu", "flow ratio"),
        output::<dim::RatioDim>("head", "pu", "head or pressure ratio"),
        output::<dim::RatioDim>("power", "pu", "power ratio"),
    ],
    sources: &[&AFFINITY_LAWS],
    run: |a: &Arguments, w: &mut Working| {
        let ratios = affinity(a.get("speed"), w)?;
        Ok(vec![ratios.flow.in_si(), ratios.head.in_si(), ratios.power.in_si()])
    },
};

/// `calc affinity-point`.
pub const AFFINITY_POINT: Calculation = Calculation {
    name: "affinity-point",
    summary: "An operating point of a centrifugal pump or fan carried to another speed.",
    inputs: &[
        quantity::<dim::SpeedDim>("speed", "speed of the known point"),
        quantity::<dim::SpeedDim>("new_speed", "speed wanted"),
        quantity::<dim::FlowDim>("flow", "known flow"),
        quantity::<dim::PressureDim>("pressure", "known pressure rise"),
        quantity::<dim::PowerDim>("power", "known shaft power"),
    ],
    results: &[
        output::<dim::FlowDim>("flow", "m³/h", "flow at the new speed"),
        output::<dim::PressureDim>("pressure", "Pa", "pressure rise at the new speed"),
        output::<dim::PowerDim>("power", "kW", "shaft power at the new speed"),
    ],
    sources: &[&AFFINITY_LAWS],
    run: |a: &Arguments, w: &mut Working| {
        let speed: Speed = a.get("speed");
        above_zero(speed, "speed of the known point")?;
        let ratios = affinity(Ratio::of_one(a.get::<dim::SpeedDim>("new_speed") / speed), w)?;
        Ok(vec![
            (a.get::<dim::FlowDim>("flow") * ratios.flow.in_of_one()).in_si(),
            (a.get::<dim::PressureDim>("pressure") * ratios.head.in_of_one()).in_si(),
            (a.get::<dim::PowerDim>("power") * ratios.power.in_of_one()).in_si(),
        ])
    },
};

#[cfg(test)]
mod tests {
    use super::*;
    use crate::working::Silent;

    #[test]
    fn losses_always_cost_the_driving_side() {
        let up = hoist(Mass::kg(1000.0), Force::ZERO, Velocity::m_s(1.0), Ratio::percent(80.0), true, 10.0, &mut Silent).expect("hoist");
        let down = hoist(Mass::kg(1000.0), Force::ZERO, Velocity::m_s(1.0), Ratio::percent(80.0), false, 10.0, &mut Silent).expect("hoist");
        assert!((up.power.in_kw() - 12.5).abs() < 1e-9 && (down.power.in_kw() + 8.0).abs() < 1e-9);
        let sticking =
            hoist(Mass::kg(10.0), Force::n(200.0), Velocity::m_s(1.0), Ratio::percent(80.0), false, 10.0, &mut Silent).expect("hoist");
        assert!((sticking.power.in_w() - 125.0).abs() < 1e-9, "friction above the weight: the motor drives the load down");
    }

    #[test]
    fn the_us_formulas_agree_with_physics_to_their_rounding() {
        let (flow, head) = (Flow::gpm(500.0), Length::ft(120.0));
        let si = pump_power(flow, head, Density::kg_m3(998.2), Ratio::percent(75.0), &mut Silent).expect("pump");
        let us = pump_power_us(flow, head, Ratio::of_one(1.0), Ratio::percent(75.0), &mut Silent).expect("pump");
        assert!((us / si - 1.0).abs() < 1e-3, "{us} {si}");
        let (flow, pressure) = (Flow::cfm(10_000.0), Pressure::inwg(3.0));
        let si = fan_power(flow, pressure, Ratio::percent(65.0), &mut Silent).expect("fan");
        let us = fan_power_us(flow, pressure, Ratio::percent(65.0), &mut Silent).expect("fan");
        assert!((us / si - 1.0).abs() < 3e-3, "{us} {si}");
    }
}
