//! The equivalent circuit from a nameplate: exact at the rated point, its leakage set by the breakdown torque or the locked-rotor
//! current. What a plate does not say (how the losses divide) is an argument with a common value.

use plant::quantity::{Count, Current, Frequency, Power, Ratio, Resistance, Speed, Torque, Voltage, dim};

use super::breakdown::{Reduction, Supply, breakdown};
use super::circuit::{Circuit, Operating, solve};
use super::complex::complex;
use super::from_tests::RotorDesign;
use super::shaft::{SQRT_3, slip, synchronous_speed};
use super::{optional, positive, share};
use crate::registry::{Calculation, Refusal, output, quantity, quantity_or, word};
use crate::sources::{Knowledge, PRACTICE, Source};
use crate::working::{Recorder, Silent, Step};

/// The fit.
const RATED_POINT: Source = Source::new("single-cage circuit made to meet the plate's rated point", Knowledge::Derived);

/// What a motor's plate and data sheet say.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plate {
    /// Rated power at the shaft.
    pub power: Power,
    /// Rated voltage, line to line.
    pub voltage: Voltage,
    /// Rated frequency.
    pub frequency: Frequency,
    /// Rated speed.
    pub speed: Speed,
    /// Rated current.
    pub current: Current,
    /// Rated power factor; this or the efficiency is needed.
    pub power_factor: Option<Ratio>,
    /// Rated efficiency.
    pub efficiency: Option<Ratio>,
    /// Breakdown torque in multiples of rated torque; this or the locked-rotor current is needed.
    pub breakdown: Option<Ratio>,
    /// Locked-rotor current in multiples of rated current.
    pub locked_rotor_current: Option<Ratio>,
}

/// What a plate does not say.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Assumed {
    /// Windage, friction and stray load loss, as a share of all losses.
    pub mechanical_share: Ratio,
    /// Iron loss, as a share of all losses.
    pub iron_share: Ratio,
    /// Divides the leakage between stator and rotor.
    pub design: RotorDesign,
}

impl Assumed {
    /// A fifth of the losses mechanical and stray, a fifth in the iron, design B: common practice, no source.
    pub const COMMON: Self = Self { mechanical_share: Ratio::percent(20.0), iron_share: Ratio::percent(20.0), design: RotorDesign::B };
}

/// A circuit that meets a plate, and what it predicts beyond it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FromPlate {
    /// The circuit, at rated frequency.
    pub circuit: Circuit,
    /// Poles that the rated speed means.
    pub poles: Count,
    /// Rated slip.
    pub slip: Ratio,
    /// Windage, friction and stray load loss.
    pub mechanical_loss: Power,
    /// Rated power factor.
    pub power_factor: Ratio,
    /// Rated efficiency.
    pub efficiency: Ratio,
    /// Breakdown torque at the shaft in multiples of rated torque.
    pub breakdown: Ratio,
    /// Locked-rotor current in multiples of rated current. Where the plate gave a breakdown torque as well this may differ from
    /// it: a real cage crowds its current at standstill, which one cage can't show.
    pub locked_rotor_current: Ratio,
    /// No-load current.
    pub no_load_current: Current,
}

/// How far a plate's current may lie from the one that its efficiency and power factor give: plates round each of them.
const PLATE_ROUNDING: f64 = 0.05;
/// Most rated slip taken for a plate's own: NEMA design D reaches 13 %.
const MOST_SLIP: f64 = 0.15;
/// The rated point is met by construction; more than this off means that the numbers broke down.
const RATED_POINT_MET: f64 = 1e-7;
/// Stator leakage is looked for between these shares of U/(√3·I).
const LEAST_LEAKAGE: f64 = 1e-4;
const MOST_LEAKAGE: f64 = 1.0;
/// Steps of that search, and of the halving inside one (a f64 has 52 bits).
const SEARCH_STEPS: i32 = 200;
const HALVINGS: i32 = 60;

/// The rated point as the fit needs it.
struct Point {
    phase_v: f64,
    i1_a: f64,
    cos: f64,
    r1: f64,
    iron_w: f64,
    gap_w: f64,
    slip: f64,
    rotor_over_stator: f64,
    frequency: Frequency,
}

impl Point {
    /// The circuit that meets the rated point with this stator leakage, if there is one.
    fn circuit(&self, x1: f64) -> Option<Circuit> {
        let i1 = complex(self.i1_a * self.cos, -self.i1_a * (1.0 - self.cos * self.cos).sqrt());
        let e = complex(self.phase_v, 0.0) - i1 * complex(self.r1, x1);
        let e2 = e.squared_magnitude();
        let x2 = x1 * self.rotor_over_stator;
        // 3·E²·r/(r² + X2²) = P_gap, r = R2/s; its larger root is the running point.
        let b = 3.0 * e2 / self.gap_w;
        let discriminant = b * b - 4.0 * x2 * x2;
        if discriminant < 0.0 {
            return None;
        }
        let r = f64::midpoint(b, discriminant.sqrt());
        let g = self.iron_w / (3.0 * e2);
        // What is left of the stator current magnetises; its part in phase with E is nothing by the balance of power.
        let rest = i1 / e - complex(g, 0.0) - complex(1.0, 0.0) / complex(r, x2);
        let ohm = Resistance::ohm;
        let iron = (g > 0.0).then(|| ohm(1.0 / g));
        (rest.im < 0.0).then(|| Circuit {
            r1: ohm(self.r1),
            x1: ohm(x1),
            r2: ohm(r * self.slip),
            x2: ohm(x2),
            xm: ohm(-1.0 / rest.im),
            iron,
            frequency: self.frequency,
        })
    }
}

/// The equivalent circuit that meets a plate.
///
/// P_in = √3·U·I·cos φ (or P/η); s from the speed and the nearest higher synchronous speed; of the losses P_in − P, shares that the
/// caller states are mechanical and in the iron, s·P_gap is the rotor's with P_gap = (P + P_mech)/(1 − s), and the stator keeps the
/// rest, which gives R1. For any X1 (and X2 by the design) the rated point then fixes R2 and Xm in closed form; X1 follows by
/// halving from the breakdown torque, or without that from the locked-rotor current. Single cage: good between no load and
/// breakdown, not for starting torque.
///
/// # Errors
/// When the plate contradicts itself (efficiency and power factor against current, losses against slip, synchronous speed), lacks what
/// is needed, or no circuit meets it.
///
/// Source: derived; the usual division of losses ([`Assumed::COMMON`]) is common practice, no source. Worked example: a 22 kW plate
/// is met at its rated point.
/// ```
/// use calc::{motor::from_plate::{from_plate, Assumed, Plate}, working::Silent};
/// use plant::quantity::{Current, Frequency, Power, Ratio, Speed, Voltage};
/// let fit = from_plate(&Plate {
///     power: Power::kw(22.0), voltage: Voltage::v(400.0), frequency: Frequency::hz(50.0), speed: Speed::rpm(1465.0),
///     current: Current::a(41.5), power_factor: Some(Ratio::of_one(0.84)), efficiency: None,
///     breakdown: Some(Ratio::of_one(2.8)), locked_rotor_current: None,
/// }, &Assumed::COMMON, &mut Silent).unwrap();
/// assert!((fit.breakdown.in_of_one() - 2.8).abs() < 1e-9 && fit.poles.in_count() == 4.0);
/// assert!(fit.no_load_current.in_a() > 10.0 && fit.no_load_current.in_a() < 22.5);
/// ```
pub fn from_plate<R: Recorder>(plate: &Plate, assumed: &Assumed, rec: &mut R) -> Result<FromPlate, Refusal> {
    let power = positive("the rated power", plate.power)?;
    let (u, i) = (positive("the rated voltage", plate.voltage)?, positive("the rated current", plate.current)?);
    let n = positive("the rated speed", plate.speed)?;
    let f = positive("the rated frequency", plate.frequency)?;
    let apparent = SQRT_3 * u * i;
    let cos = match (plate.power_factor, plate.efficiency) {
        (None, None) => return Err(Refusal::new("a plate without power factor needs the efficiency")),
        (None, Some(efficiency)) => power / share("the efficiency", efficiency)? / apparent,
        (Some(cos), None) => share("the power factor", cos)?,
        (Some(cos), Some(efficiency)) => {
            let (cos, eta) = (share("the power factor", cos)?, share("the efficiency", efficiency)?);
            let implied = power / (SQRT_3 * u * eta * cos);
            if (implied / i - 1.0).abs() > PLATE_ROUNDING {
                return Err(Refusal::new(format!(
                    "efficiency and power factor give {}, the plate says {}",
                    Current::a(implied),
                    plate.current
                )));
            }
            cos
        }
    };
    let input = apparent * cos;
    if !(cos < 1.0 && input > power) {
        return Err(Refusal::new(format!("{} from {} at {} contradict each other", plate.power, plate.current, plate.voltage)));
    }
    // The slowest field that the rotor is still behind.
    let poles = Count::of(2.0 * (std::f64::consts::TAU * f / n).floor());
    let synchronous = synchronous_speed(plate.frequency, poles, rec)
        .map_err(|_| Refusal::new(format!("{} is above any synchronous speed at {}", plate.speed, plate.frequency)))?;
    let slip = slip(synchronous, plate.speed, rec)?;
    let s = slip.in_of_one();
    if s <= 0.0 {
        return Err(Refusal::new(format!(
            "{} is a synchronous speed: no induction motor runs so, or the plate gives the field's speed",
            plate.speed
        )));
    }
    if s > MOST_SLIP {
        return Err(Refusal::new(format!("{} is {slip} below {synchronous}: no rated slip of a cage motor", plate.speed)));
    }
    let losses = input - power;
    let [mechanical, iron] =
        [("the mechanical share of the losses", assumed.mechanical_share), ("the iron's share of the losses", assumed.iron_share)]
            .map(|(what, part)| super::not_negative(what, part).map(|p| p * losses));
    let (mechanical, iron) = (mechanical?, iron?);
    let gap = (power + mechanical) / (1.0 - s);
    let stator = input - gap - iron;
    if stator <= 0.0 {
        return Err(Refusal::new(format!(
            "losses of {}, divided as assumed, leave nothing for the stator: the rotor alone takes {} at {slip} slip",
            Power::w(losses),
            Power::w(gap * s)
        )));
    }
    let part = assumed.design.stator_share();
    let point = Point {
        phase_v: u / SQRT_3,
        i1_a: i,
        cos,
        r1: stator / (3.0 * i * i),
        iron_w: iron,
        gap_w: gap,
        slip: s,
        rotor_over_stator: (1.0 - part) / part,
        frequency: plate.frequency,
    };
    let supply = Supply { voltage: plate.voltage, frequency: plate.frequency, poles };
    let rated_torque = Torque::nm(power / n);
    let friction_torque = Torque::nm(mechanical / n);
    let breakdown_ratio =
        |circuit: &Circuit| breakdown(circuit, &supply, Reduction::Exact, &mut Silent).map(|b| (b.torque - friction_torque) / rated_torque);
    let current_at = |circuit: &Circuit, slip: f64| circuit.at(plate.frequency).map(|at| at.solve(u / SQRT_3, slip).i1.magnitude());
    let locked_ratio = |circuit: &Circuit| current_at(circuit, 1.0).map(|locked| locked / i);
    let x1 = match (plate.breakdown, plate.locked_rotor_current) {
        (Some(wanted), _) => leakage(&point, "breakdown torque", wanted, breakdown_ratio)?,
        (None, Some(wanted)) => leakage(&point, "locked-rotor current", wanted, locked_ratio)?,
        (None, None) => return Err(Refusal::new("the plate needs a breakdown torque or a locked-rotor current")),
    };
    let circuit = point.circuit(x1).ok_or_else(no_circuit)?;
    let mechanical_loss = Power::w(mechanical);
    let run = Operating { voltage: plate.voltage, frequency: plate.frequency, poles, slip, mechanical_loss };
    let rated = solve(&circuit, &run, &mut Silent)?;
    let off = [rated.output / plate.power, rated.current / plate.current, rated.power_factor.in_of_one() / cos];
    if !off.iter().all(|ratio| (ratio - 1.0).abs() < RATED_POINT_MET) {
        return Err(no_circuit());
    }
    let fit = FromPlate {
        circuit,
        poles,
        slip,
        mechanical_loss,
        power_factor: Ratio::of_one(cos),
        efficiency: Ratio::of_one(power / input),
        breakdown: Ratio::of_one(breakdown_ratio(&circuit)?),
        locked_rotor_current: Ratio::of_one(locked_ratio(&circuit)?),
        no_load_current: Current::a(current_at(&circuit, 0.0)?),
    };
    record(plate, assumed, &fit, rec);
    Ok(fit)
}

fn no_circuit() -> Refusal {
    Refusal::new("no single-cage circuit meets this plate")
}

/// The stator leakage at which `ratio` (which falls as leakage rises) has the wanted value.
fn leakage(point: &Point, what: &str, wanted: Ratio, ratio: impl Fn(&Circuit) -> Result<f64, Refusal>) -> Result<f64, Refusal> {
    positive(&format!("the {what}"), wanted)?;
    let base = point.phase_v / point.i1_a;
    let over = |x1: f64| point.circuit(x1).and_then(|c| ratio(&c).ok()).map(|r| r - wanted.in_of_one());
    let at_step = |step: i32| base * LEAST_LEAKAGE * (MOST_LEAKAGE / LEAST_LEAKAGE).powf(f64::from(step) / f64::from(SEARCH_STEPS));
    let reached: Vec<(f64, f64)> = (0..=SEARCH_STEPS).map(at_step).map_while(|x1| over(x1).map(|o| (x1, o))).collect();
    let Some(pair) = reached.windows(2).find(|p| p[0].1 >= 0.0 && p[1].1 < 0.0) else {
        let ends = reached.first().zip(reached.last()).map(|(a, b)| (Ratio::of_one(b.1) + wanted, Ratio::of_one(a.1) + wanted));
        let Some((low, high)) = ends else { return Err(no_circuit()) };
        return Err(Refusal::new(format!(
            "a {what} of {wanted} can't go with the rest of the plate; circuits that meet it have {low} to {high}"
        )));
    };
    let (mut low, mut high) = (pair[0].0, pair[1].0);
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(low, high);
        match over(middle) {
            Some(o) if o >= 0.0 => low = middle,
            _ => high = middle,
        }
    }
    Ok(f64::midpoint(low, high))
}

fn record<R: Recorder>(plate: &Plate, assumed: &Assumed, fit: &FromPlate, rec: &mut R) {
    let c = &fit.circuit;
    let losses = plate.power * (1.0 / fit.efficiency.in_of_one() - 1.0);
    let iron_loss = losses * assumed.iron_share.in_of_one();
    let gap = (plate.power + fit.mechanical_loss) / (1.0 - fit.slip.in_of_one());
    rec.step(|| {
        Step::new("P_v", "losses at rated load", "√3·U·I·cosφ − P", &RATED_POINT)
            .with("U", plate.voltage)
            .with("I", plate.current)
            .with("cosφ", fit.power_factor.in_of_one())
            .with("P", plate.power)
            .gives(losses)
    });
    rec.step(|| {
        Step::new("P_mech", "windage, friction and stray load loss", "k_m·P_v", &PRACTICE)
            .with("k_m", assumed.mechanical_share)
            .with("P_v", losses)
            .gives(fit.mechanical_loss)
            .note("the share is assumed")
    });
    rec.step(|| {
        Step::new("P_fe", "iron loss", "k_fe·P_v", &PRACTICE).with("k_fe", assumed.iron_share).with("P_v", losses).gives(iron_loss)
    });
    rec.step(|| {
        Step::new("P_gap", "power across the air gap", "(P + P_mech)/(1 − s)", &RATED_POINT)
            .with("P", plate.power)
            .with("P_mech", fit.mechanical_loss)
            .with("s", fit.slip.in_of_one())
            .gives(gap)
    });
    rec.step(|| {
        Step::new("R1", "stator resistance", "(P_v − P_mech − P_fe − s·P_gap)/(3·I²)", &RATED_POINT)
            .with("P_v", losses)
            .with("P_mech", fit.mechanical_loss)
            .with("P_fe", iron_loss)
            .with("s", fit.slip.in_of_one())
            .with("P_gap", gap)
            .with("I", plate.current)
            .gives(c.r1)
    });
    rec.step(|| {
        Step::new("X1", "stator leakage reactance", "", &RATED_POINT).gives(c.x1).note(
            match (plate.breakdown, plate.locked_rotor_current) {
                (Some(b), _) => format!("halved until the breakdown torque is {b} of rated torque"),
                (None, Some(l)) => format!("halved until the locked-rotor current is {l} of rated current"),
                (None, None) => String::new(),
            },
        )
    });
    rec.step(|| {
        Step::new("X2", "rotor leakage reactance", "", &PRACTICE).gives(c.x2).note(format!("X1 : X2 of design {:?}", assumed.design))
    });
    rec.step(|| Step::new("R2", "rotor resistance", "", &RATED_POINT).gives(c.r2).note("so that P_gap crosses the gap at rated slip"));
    rec.step(|| {
        Step::new("Xm", "magnetising reactance", "", &RATED_POINT).gives(c.xm).note("takes the reactive current that the leakage leaves")
    });
    rec.step(|| {
        Step::new("I_k", "locked-rotor current that follows", "", &RATED_POINT)
            .gives(fit.locked_rotor_current)
            .note("of rated current; one cage, no crowding of current")
    });
    rec.step(|| Step::new("I_0", "no-load current that follows", "", &RATED_POINT).gives(fit.no_load_current));
}

/// `calc circuit-from-plate`.
pub const CIRCUIT_FROM_PLATE: Calculation = Calculation {
    name: "circuit-from-plate",
    summary: "Equivalent circuit that meets a motor's nameplate, and what it predicts.",
    inputs: &[
        quantity::<dim::PowerDim>("power", "rated power"),
        quantity::<dim::VoltageDim>("voltage", "rated voltage, line to line"),
        quantity::<dim::FrequencyDim>("frequency", "rated frequency"),
        quantity::<dim::SpeedDim>("speed", "rated speed"),
        quantity::<dim::CurrentDim>("current", "rated current"),
        optional::<dim::RatioDim>("power_factor", "rated cos φ; this or the efficiency is needed"),
        optional::<dim::RatioDim>("efficiency", "rated efficiency"),
        optional::<dim::RatioDim>("breakdown", "breakdown torque in multiples of rated torque; this or locked_rotor is needed"),
        optional::<dim::RatioDim>("locked_rotor", "locked-rotor current in multiples of rated current"),
        quantity_or::<dim::RatioDim>("mechanical_share", "20 %", "windage, friction and stray load loss, of all losses"),
        quantity_or::<dim::RatioDim>("iron_share", "20 %", "iron loss, of all losses"),
        word("design", &["B", "A", "C", "D", "wound"], "NEMA design, which divides the leakage"),
    ],
    results: &[
        output::<dim::ResistanceDim>("r1", "Ω", "stator resistance"),
        output::<dim::ResistanceDim>("x1", "Ω", "stator leakage reactance"),
        output::<dim::ResistanceDim>("r2", "Ω", "rotor resistance"),
        output::<dim::ResistanceDim>("x2", "Ω", "rotor leakage reactance"),
        output::<dim::ResistanceDim>("xm", "Ω", "magnetising reactance"),
        output::<dim::PowerDim>("mechanical_loss", "W", "windage, friction and stray load loss"),
        output::<dim::CountDim>("poles", "", "poles that the speed means"),
        output::<dim::RatioDim>("slip", "%", "rated slip"),
        output::<dim::RatioDim>("breakdown", "%", "breakdown torque, of rated torque"),
        output::<dim::RatioDim>("locked_rotor", "%", "locked-rotor current, of rated current"),
        output::<dim::CurrentDim>("no_load_current", "A", "no-load current"),
    ],
    sources: &[&RATED_POINT, &PRACTICE],
    run: |a, w| {
        let plate = Plate {
            power: a.get("power"),
            voltage: a.get("voltage"),
            frequency: a.get("frequency"),
            speed: a.get("speed"),
            current: a.get("current"),
            power_factor: a.get_opt("power_factor"),
            efficiency: a.get_opt("efficiency"),
            breakdown: a.get_opt("breakdown"),
            locked_rotor_current: a.get_opt("locked_rotor"),
        };
        let assumed = Assumed {
            mechanical_share: a.get("mechanical_share"),
            iron_share: a.get("iron_share"),
            design: RotorDesign::named(a.word("design")).ok_or_else(|| Refusal::new("no such design"))?,
        };
        let fit = from_plate(&plate, &assumed, w)?;
        let c = &fit.circuit;
        Ok(vec![
            c.r1.in_si(),
            c.x1.in_si(),
            c.r2.in_si(),
            c.x2.in_si(),
            c.xm.in_si(),
            fit.mechanical_loss.in_si(),
            fit.poles.in_si(),
            fit.slip.in_si(),
            fit.breakdown.in_si(),
            fit.locked_rotor_current.in_si(),
            fit.no_load_current.in_si(),
        ])
    },
};
