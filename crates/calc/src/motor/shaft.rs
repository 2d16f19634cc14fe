//! Speed, slip, torque and power at the shaft, and the three-phase power at the terminals.

use plant::quantity::{ApparentPower, Count, Current, Frequency, Power, Ratio, Resistance, Speed, Torque, Voltage, dim};

use super::{not_negative, positive, share};
use crate::registry::{Arguments, Calculation, Refusal, output, quantity};
use crate::sources::DEFINITION;
use crate::working::{Recorder, Step, Working};

/// √3, by which line and phase values of a balanced three-phase system differ.
pub(crate) const SQRT_3: f64 = 1.732_050_807_568_877_2;

/// The speed of the rotating field.
///
/// n_s = 120·f/p (rpm), with f the supply frequency (Hz) and p the number of poles (not pole pairs).
/// Valid for any even number of poles; an odd number is refused.
///
/// # Errors
/// When the poles are no positive even number.
///
/// Source: definition. Worked example: 60 Hz, 4 poles give 1800 rpm.
/// ```
/// use calc::{motor::shaft::synchronous_speed, working::Silent};
/// use plant::quantity::{Count, Frequency};
/// let n = synchronous_speed(Frequency::hz(60.0), Count::of(4.0), &mut Silent).unwrap();
/// assert!((n.in_rpm() - 1800.0).abs() < 1e-9);
/// ```
pub fn synchronous_speed<R: Recorder>(frequency: Frequency, poles: Count, rec: &mut R) -> Result<Speed, Refusal> {
    let p = poles.in_count();
    if !(p >= 2.0 && p % 2.0 == 0.0) {
        return Err(Refusal::new(format!("a motor has 2, 4, 6 … poles, not {p} (poles, not pole pairs)")));
    }
    let speed = Speed::rpm(120.0 * frequency.in_hz() / p);
    rec.step(|| Step::new("n_s", "synchronous speed", "120·f/p", &DEFINITION).with("f", frequency).with("p", poles).gives(speed));
    Ok(speed)
}

/// The slip of the rotor behind the rotating field.
///
/// s = (n_s − n)/n_s: 0 at synchronous speed, 1 at standstill, negative when the machine generates.
/// Both speeds in the same direction sense; n may have any sign.
///
/// # Errors
/// When the synchronous speed is not above zero.
///
/// Source: definition. Worked example: 960 rpm of 1000 rpm is a slip of 4 %.
/// ```
/// use calc::{motor::shaft::slip, working::Silent};
/// use plant::quantity::Speed;
/// let s = slip(Speed::rpm(1000.0), Speed::rpm(960.0), &mut Silent).unwrap();
/// assert!((s.in_percent() - 4.0).abs() < 1e-9);
/// ```
pub fn slip<R: Recorder>(synchronous: Speed, speed: Speed, rec: &mut R) -> Result<Ratio, Refusal> {
    positive("the synchronous speed", synchronous)?;
    let slip = Ratio::of_one((synchronous - speed) / synchronous);
    rec.step(|| Step::new("s", "slip", "(n_s − n)/n_s", &DEFINITION).with("n_s", synchronous).with("n", speed).gives(slip));
    Ok(slip)
}

/// The torque that carries a power at a speed.
///
/// T = P/ω, ω = 2π·n/60: T(N·m) = 9549.297·P(kW)/n(rpm), T(lb·ft) = 5252.113·P(hp)/n(rpm); both numbers follow
/// from the exact units and are not rounded here. Valid for any speed but zero.
///
/// # Errors
/// When the speed is zero or no number.
///
/// Source: definition. Worked example: 75 kW at 1480 rpm is 483.9 N·m.
/// ```
/// use calc::{motor::shaft::shaft_torque, working::Silent};
/// use plant::quantity::{Power, Speed};
/// let t = shaft_torque(Power::kw(75.0), Speed::rpm(1480.0), &mut Silent).unwrap();
/// assert!((t.in_nm() - 483.917).abs() < 1e-3);
/// ```
pub fn shaft_torque<R: Recorder>(power: Power, speed: Speed, rec: &mut R) -> Result<Torque, Refusal> {
    positive("the speed that a torque is asked for", speed.abs())?;
    let torque = power / speed;
    rec.step(|| Step::new("T", "torque at the shaft", "P/(2π·n)", &DEFINITION).with("P", power).with("n", speed).gives(torque));
    Ok(torque)
}

/// The power that a torque carries at a speed.
///
/// P = T·ω, ω = 2π·n/60. Negative when torque and speed point in opposite directions: the machine is driven.
///
/// # Errors
/// When an input is no number.
///
/// Source: definition. Worked example: 483.917 N·m at 1480 rpm is 75 kW.
/// ```
/// use calc::{motor::shaft::shaft_power, working::Silent};
/// use plant::quantity::{Speed, Torque};
/// let p = shaft_power(Torque::nm(483.917), Speed::rpm(1480.0), &mut Silent).unwrap();
/// assert!((p.in_kw() - 75.0).abs() < 1e-3);
/// ```
pub fn shaft_power<R: Recorder>(torque: Torque, speed: Speed, rec: &mut R) -> Result<Power, Refusal> {
    let power = torque * speed;
    if !power.is_finite() {
        return Err(Refusal::new("torque and speed must be numbers"));
    }
    rec.step(|| Step::new("P", "power at the shaft", "T·2π·n", &DEFINITION).with("T", torque).with("n", speed).gives(power));
    Ok(power)
}

/// The apparent power of a balanced three-phase load.
///
/// S = √3·U·I, with U line to line and I the line current, both rms.
///
/// # Errors
/// When an input is negative or no number.
///
/// Source: definition. Worked example: 400 V and 100 A are 69.28 kVA.
/// ```
/// use calc::{motor::shaft::apparent_power, working::Silent};
/// use plant::quantity::{Current, Voltage};
/// let s = apparent_power(Voltage::v(400.0), Current::a(100.0), &mut Silent).unwrap();
/// assert!((s.in_kva() - 69.282).abs() < 1e-3);
/// ```
pub fn apparent_power<R: Recorder>(voltage: Voltage, current: Current, rec: &mut R) -> Result<ApparentPower, Refusal> {
    not_negative("the voltage", voltage)?;
    not_negative("the current", current)?;
    let apparent = voltage * current * SQRT_3;
    rec.step(|| Step::new("S", "apparent power", "√3·U·I", &DEFINITION).with("U", voltage).with("I", current).gives(apparent));
    Ok(apparent)
}

/// The current of a motor that gives a power at its shaft.
///
/// I = P/(√3·U·η·cos φ), with P the shaft power, U line to line, η the efficiency and cos φ the power factor at that
/// power. Valid for a three-phase motor on a sinusoidal supply; harmonics raise the rms current above it.
///
/// # Errors
/// When voltage or power is not above zero, or efficiency or power factor lies outside 0 … 100 %.
///
/// Source: definition. Worked example: 75 kW, 400 V, 95 %, 0.87 draw 130.98 A.
/// ```
/// use calc::{motor::shaft::full_load_amps, working::Silent};
/// use plant::quantity::{Power, Ratio, Voltage};
/// let i = full_load_amps(Power::kw(75.0), Voltage::v(400.0), Ratio::percent(95.0), Ratio::of_one(0.87), &mut Silent).unwrap();
/// assert!((i.in_a() - 130.978).abs() < 1e-3);
/// ```
pub fn full_load_amps<R: Recorder>(
    power: Power,
    voltage: Voltage,
    efficiency: Ratio,
    power_factor: Ratio,
    rec: &mut R,
) -> Result<Current, Refusal> {
    let (p, u) = (positive("the power", power)?, positive("the voltage", voltage)?);
    let (eta, pf) = (share("the efficiency", efficiency)?, share("the power factor", power_factor)?);
    let current = Current::a(p / (SQRT_3 * u * eta * pf));
    rec.step(|| {
        Step::new("I", "motor current", "P/(√3·U·η·cosφ)", &DEFINITION)
            .with("P", power)
            .with("U", voltage)
            .with("η", efficiency)
            .with("cosφ", pf)
            .gives(current)
    });
    Ok(current)
}

/// The impedance that per-unit values of a motor refer to.
///
/// Z_base = U²/P_base, per phase of the equivalent star, with U line to line and P_base the rated power at the shaft.
///
/// # Errors
/// When power or voltage is not above zero.
///
/// Source: definition. Worked example: 37.3 kW (50 hp of 746 W) at 460 V give 5.673 Ω.
/// ```
/// use calc::{motor::shaft::base_impedance, working::Silent};
/// use plant::quantity::{Power, Voltage};
/// let z = base_impedance(Power::w(37_300.0), Voltage::v(460.0), &mut Silent).unwrap();
/// assert!((z.in_ohm() - 5.6729).abs() < 1e-4);
/// ```
pub fn base_impedance<R: Recorder>(power: Power, voltage: Voltage, rec: &mut R) -> Result<Resistance, Refusal> {
    let (p, u) = (positive("the power", power)?, positive("the voltage", voltage)?);
    let impedance = Resistance::ohm(u * u / p);
    rec.step(|| Step::new("Z_base", "base impedance", "U²/P", &DEFINITION).with("U", voltage).with("P", power).gives(impedance));
    Ok(impedance)
}

/// `calc synchronous-speed`.
pub const SYNCHRONOUS_SPEED: Calculation = Calculation {
    name: "synchronous-speed",
    summary: "Speed of the rotating field from frequency and poles.",
    inputs: &[
        quantity::<dim::FrequencyDim>("frequency", "supply frequency"),
        quantity::<dim::CountDim>("poles", "number of poles, not pole pairs"),
    ],
    results: &[output::<dim::SpeedDim>("speed", "rpm", "synchronous speed")],
    sources: &[&DEFINITION],
    run: |a: &Arguments, w: &mut Working| Ok(vec![synchronous_speed(a.get("frequency"), a.get("poles"), w)?.in_si()]),
};

/// `calc slip`.
pub const SLIP: Calculation = Calculation {
    name: "slip",
    summary: "Slip of an induction motor from frequency, poles and shaft speed.",
    inputs: &[
        quantity::<dim::FrequencyDim>("frequency", "supply frequency"),
        quantity::<dim::CountDim>("poles", "number of poles, not pole pairs"),
        quantity::<dim::SpeedDim>("speed", "speed of the shaft"),
    ],
    results: &[output::<dim::RatioDim>("slip", "%", "slip"), output::<dim::SpeedDim>("synchronous", "rpm", "synchronous speed")],
    sources: &[&DEFINITION],
    run: |a, w| {
        let synchronous = synchronous_speed(a.get("frequency"), a.get("poles"), w)?;
        Ok(vec![slip(synchronous, a.get("speed"), w)?.in_si(), synchronous.in_si()])
    },
};

/// `calc shaft-torque`.
pub const SHAFT_TORQUE: Calculation = Calculation {
    name: "shaft-torque",
    summary: "Torque that carries a power at a speed.",
    inputs: &[quantity::<dim::PowerDim>("power", "power at the shaft"), quantity::<dim::SpeedDim>("speed", "speed of the shaft")],
    results: &[output::<dim::TorqueDim>("torque", "N·m", "torque at the shaft")],
    sources: &[&DEFINITION],
    run: |a, w| Ok(vec![shaft_torque(a.get("power"), a.get("speed"), w)?.in_si()]),
};

/// `calc shaft-power`.
pub const SHAFT_POWER: Calculation = Calculation {
    name: "shaft-power",
    summary: "Power that a torque carries at a speed.",
    inputs: &[quantity::<dim::TorqueDim>("torque", "torque at the shaft"), quantity::<dim::SpeedDim>("speed", "speed of the shaft")],
    results: &[output::<dim::PowerDim>("power", "kW", "power at the shaft")],
    sources: &[&DEFINITION],
    run: |a, w| Ok(vec![shaft_power(a.get("torque"), a.get("speed"), w)?.in_si()]),
};

/// `calc apparent-power`.
pub const APPARENT_POWER: Calculation = Calculation {
    name: "apparent-power",
    summary: "Apparent power of a balanced three-phase load.",
    inputs: &[quantity::<dim::VoltageDim>("voltage", "line to line"), quantity::<dim::CurrentDim>("current", "line current")],
    results: &[output::<dim::ApparentPowerDim>("apparent", "kVA", "apparent power")],
    sources: &[&DEFINITION],
    run: |a, w| Ok(vec![apparent_power(a.get("voltage"), a.get("current"), w)?.in_si()]),
};

/// `calc full-load-amps`.
pub const FULL_LOAD_AMPS: Calculation = Calculation {
    name: "full-load-amps",
    summary: "Current of a three-phase motor from power, voltage, efficiency and power factor.",
    inputs: &[
        quantity::<dim::PowerDim>("power", "power at the shaft"),
        quantity::<dim::VoltageDim>("voltage", "line to line"),
        quantity::<dim::RatioDim>("efficiency", "efficiency at that power"),
        quantity::<dim::RatioDim>("power_factor", "cos φ at that power"),
    ],
    results: &[output::<dim::CurrentDim>("current", "A", "line current")],
    sources: &[&DEFINITION],
    run: |a, w| Ok(vec![full_load_amps(a.get("power"), a.get("voltage"), a.get("efficiency"), a.get("power_factor"), w)?.in_si()]),
};

/// `calc base-impedance`.
pub const BASE_IMPEDANCE: Calculation = Calculation {
    name: "base-impedance",
    summary: "Impedance that a motor's per-unit values refer to.",
    inputs: &[quantity::<dim::PowerDim>("power", "rated power"), quantity::<dim::VoltageDim>("voltage", "rated voltage, line to line")],
    results: &[output::<dim::ResistanceDim>("impedance", "Ω", "base impedance per phase")],
    sources: &[&DEFINITION],
    run: |a, w| Ok(vec![base_impedance(a.get("power"), a.get("voltage"), w)?.in_si()]),
};
