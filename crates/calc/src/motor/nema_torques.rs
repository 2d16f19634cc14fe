//! Torques of NEMA motors by their design and rating, and what voltage does to them.

use plant::quantity::{Power, Ratio, Speed, Torque, dim};

use super::nema::HUBERT_CH_5;
use super::shaft::shaft_torque;
use super::{not_negative, positive, required_word, row_of};
use crate::registry::{Calculation, Refusal, output, quantity};
use crate::sources::{DEFINITION, Knowledge, Source};
use crate::working::{Recorder, Step};

const MG_1_TABLE_12_2: Source = Source::new("NEMA MG 1 Table 12-2 (12.38.1), 4 poles, 60 Hz", Knowledge::FromMemory);
const MG_1_TABLE_12_3: Source = Source::new("NEMA MG 1 Table 12-3 (12.39.1), 4 poles, 60 Hz", Knowledge::FromMemory);
const MG_10_TABLE_2_1: Source = Source::new("NEMA MG 10 Table 2-1, through a handbook that quotes it", Knowledge::LookedUp);

/// NEMA MG 1 Tables 12-2 and 12-3, 4 poles, 60 Hz: hp, least locked-rotor and least breakdown torque in % of full-load torque.
const DESIGN_B_PERCENT: [(f64, f64, f64); 25] = [
    (1.0, 275.0, 300.0),
    (1.5, 250.0, 280.0),
    (2.0, 235.0, 270.0),
    (3.0, 215.0, 250.0),
    (5.0, 185.0, 225.0),
    (7.5, 175.0, 215.0),
    (10.0, 165.0, 200.0),
    (15.0, 160.0, 200.0),
    (20.0, 150.0, 200.0),
    (25.0, 150.0, 200.0),
    (30.0, 150.0, 200.0),
    (40.0, 140.0, 200.0),
    (50.0, 140.0, 200.0),
    (60.0, 140.0, 200.0),
    (75.0, 140.0, 200.0),
    (100.0, 125.0, 200.0),
    (125.0, 110.0, 200.0),
    (150.0, 110.0, 200.0),
    (200.0, 100.0, 200.0),
    (250.0, 80.0, 175.0),
    (300.0, 80.0, 175.0),
    (350.0, 80.0, 175.0),
    (400.0, 80.0, 175.0),
    (450.0, 80.0, 175.0),
    (500.0, 80.0, 175.0),
];

/// Least torques of a NEMA design B motor, in multiples of full-load torque.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LeastTorques {
    /// Locked rotor.
    pub locked_rotor: Ratio,
    /// Breakdown.
    pub breakdown: Ratio,
}

/// The least locked-rotor and breakdown torque of a NEMA design A or B motor of 4 poles at 60 Hz.
///
/// Table values for 1 … 500 hp; what a motor must reach at rated voltage and frequency, not what it has.
///
/// # Errors
/// When the table has no such rating; the nearest rows are named.
///
/// Source: NEMA MG 1 Tables 12-2 and 12-3 (from memory). Worked example: 5 hp: 185 % and 225 %.
/// ```
/// use calc::{motor::nema_torques::design_b_torques, working::Silent};
/// use plant::quantity::Power;
/// let t = design_b_torques(Power::hp(5.0), &mut Silent).unwrap();
/// assert!((t.locked_rotor.in_percent() - 185.0).abs() < 1e-9 && (t.breakdown.in_percent() - 225.0).abs() < 1e-9);
/// ```
pub fn design_b_torques<R: Recorder>(power: Power, rec: &mut R) -> Result<LeastTorques, Refusal> {
    positive("the power", power)?;
    let (hp, locked, breakdown) = row_of(&DESIGN_B_PERCENT, |r| r.0, power.in_hp(), "hp", "NEMA MG 1 Table 12-2")?;
    let torques = LeastTorques { locked_rotor: Ratio::percent(*locked), breakdown: Ratio::percent(*breakdown) };
    rec.step(|| {
        Step::new("T_lr", "least locked-rotor torque", "", &MG_1_TABLE_12_2).gives(torques.locked_rotor).note(format!("row {hp} hp"))
    });
    rec.step(|| Step::new("T_k", "least breakdown torque", "", &MG_1_TABLE_12_3).gives(torques.breakdown).note(format!("row {hp} hp")));
    Ok(torques)
}

/// NEMA designs of cage motors.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Design {
    /// Normal torque, normal current; design A is the same with a higher current.
    B,
    /// High starting torque, normal current.
    C,
}

/// Ranges that motors of a design lie in: torques in multiples of full-load torque, larger figures for smaller motors.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DesignRanges {
    /// Locked-rotor torque, least.
    pub locked_rotor_low: Ratio,
    /// Locked-rotor torque, greatest.
    pub locked_rotor_high: Ratio,
    /// Breakdown torque, least.
    pub breakdown_low: Ratio,
    /// Breakdown torque, greatest.
    pub breakdown_high: Ratio,
    /// Rated slip, least.
    pub slip_low: Ratio,
    /// Rated slip, greatest.
    pub slip_high: Ratio,
}

/// The ranges that motors of a NEMA design lie in: what may be assumed of a motor with only its design letter.
///
/// Design B: locked rotor 70–275 %, breakdown 175–300 %, slip 0.5–5 %. Design C: 200–250 %, 190–225 %, 1–5 %. (Design D has no
/// single range of slip and is left out.)
///
/// # Errors
/// None; the signature is that of every calculation.
///
/// Source: NEMA MG 10 Table 2-1 (looked up in a handbook that quotes it; that one prints .05 % as design B's least slip, read
/// here as 0.5 %, from memory). Worked example: design B breaks down at 175 … 300 %.
/// ```
/// use calc::{motor::nema_torques::{design_ranges, Design}, working::Silent};
/// let ranges = design_ranges(Design::B, &mut Silent).unwrap();
/// assert!((ranges.breakdown_low.in_percent() - 175.0).abs() < 1e-9);
/// ```
pub fn design_ranges<R: Recorder>(design: Design, rec: &mut R) -> Result<DesignRanges, Refusal> {
    let [a, b, c, d, e, f] = match design {
        Design::B => [70.0, 275.0, 175.0, 300.0, 0.5, 5.0],
        Design::C => [200.0, 250.0, 190.0, 225.0, 1.0, 5.0],
    }
    .map(Ratio::percent);
    let rows = [("T_lr", "locked-rotor torque", a, b), ("T_k", "breakdown torque", c, d), ("s", "rated slip", e, f)];
    for (symbol, name, low, high) in rows {
        rec.step(|| Step::new(symbol, format!("{name} of design {design:?}"), "", &MG_10_TABLE_2_1).gives(format!("{low} to {high}")));
    }
    Ok(DesignRanges { locked_rotor_low: a, locked_rotor_high: b, breakdown_low: c, breakdown_high: d, slip_low: e, slip_high: f })
}

/// Torque that is left at a lower voltage.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TorqueLeft {
    /// Torque at the same slip.
    pub left: Torque,
    /// Torque that is missing, to be taken off the load if speed and slip are to stay.
    pub missing: Torque,
}

/// The torque that an induction motor has left at another voltage, at the same frequency and slip.
///
/// T = T_N·(U/U_N)²: holds for every point of the curve, breakdown and locked rotor included, while the iron is not saturated.
///
/// # Errors
/// When an input is out of range.
///
/// Source: Hubert, Electric Machines, ex. 5.4 (looked up in a public copy). Worked example: 50 hp at 1760 rpm with 10 % less
/// voltage lacks 28.35 lb·ft.
/// ```
/// use calc::{motor::{nema_torques::undervoltage_torque, shaft::shaft_torque}, working::Silent};
/// use plant::quantity::{Power, Ratio, Speed};
/// let rated = shaft_torque(Power::hp(50.0), Speed::rpm(1760.0), &mut Silent).unwrap();
/// let t = undervoltage_torque(rated, Ratio::percent(90.0), &mut Silent).unwrap();
/// assert!((t.missing.in_lbft() - 28.349).abs() < 0.01);
/// ```
pub fn undervoltage_torque<R: Recorder>(torque: Torque, voltage: Ratio, rec: &mut R) -> Result<TorqueLeft, Refusal> {
    not_negative("the torque", torque)?;
    let k = not_negative("the voltage", voltage)?;
    let left = torque * (k * k);
    let missing = torque - left;
    rec.step(|| Step::new("T_U", "torque left", "T·k²", &HUBERT_CH_5).with("T", torque).with("k", voltage).gives(left));
    rec.step(|| Step::new("ΔT", "torque missing", "T − T_U", &HUBERT_CH_5).with("T", torque).with("T_U", left).gives(missing));
    Ok(TorqueLeft { left, missing })
}

/// Torques of a motor from its rated torque and the multiples that its design gives.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DesignTorques {
    /// Full load.
    pub full_load: Torque,
    /// Locked rotor.
    pub locked_rotor: Torque,
    /// Breakdown.
    pub breakdown: Torque,
    /// Least torque between standstill and breakdown.
    pub pull_up: Torque,
}

/// The multiples that a design or a data sheet gives, of full-load torque.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TorqueMultiples {
    /// Locked rotor.
    pub locked_rotor: Ratio,
    /// Breakdown.
    pub breakdown: Ratio,
    /// Pull-up.
    pub pull_up: Ratio,
}

/// The torques of a motor from its plate and the multiples of its design.
///
/// T = k·P/ω for locked rotor, breakdown and pull-up.
///
/// # Errors
/// When the speed is zero or a multiple is negative.
///
/// Source: Hubert, Electric Machines, ex. 5.1 (looked up in a public copy). Worked example: 10 hp, 1150 rpm at 225, 190 and 165 %:
/// 102.8, 86.8 and 75.4 lb·ft.
/// ```
/// use calc::{motor::nema_torques::{design_torques, TorqueMultiples}, working::Silent};
/// use plant::quantity::{Power, Ratio, Speed};
/// let k = TorqueMultiples { locked_rotor: Ratio::percent(225.0), breakdown: Ratio::percent(190.0), pull_up: Ratio::percent(165.0) };
/// let t = design_torques(Power::hp(10.0), Speed::rpm(1150.0), &k, &mut Silent).unwrap();
/// assert!((t.locked_rotor.in_lbft() - 102.757).abs() < 0.01);
/// ```
pub fn design_torques<R: Recorder>(power: Power, speed: Speed, multiples: &TorqueMultiples, rec: &mut R) -> Result<DesignTorques, Refusal> {
    let full_load = shaft_torque(power, speed, rec)?;
    let mut times = |symbol, name: &str, k: Ratio| {
        let torque = full_load * not_negative(name, k)?;
        rec.step(|| Step::new(symbol, name, "k·T", &HUBERT_CH_5).with("k", k).with("T", full_load).gives(torque));
        Ok::<_, Refusal>(torque)
    };
    Ok(DesignTorques {
        full_load,
        locked_rotor: times("T_lr", "locked-rotor torque", multiples.locked_rotor)?,
        breakdown: times("T_k", "breakdown torque", multiples.breakdown)?,
        pull_up: times("T_pu", "pull-up torque", multiples.pull_up)?,
    })
}

/// `calc design-b-torques`.
pub const DESIGN_B_TORQUES: Calculation = Calculation {
    name: "design-b-torques",
    summary: "Least locked-rotor and breakdown torque of a NEMA design B motor of 4 poles.",
    inputs: &[quantity::<dim::PowerDim>("power", "rated power, a row of the table in hp")],
    results: &[
        output::<dim::RatioDim>("locked_rotor", "%", "least locked-rotor torque, of full-load torque"),
        output::<dim::RatioDim>("breakdown", "%", "least breakdown torque, of full-load torque"),
    ],
    sources: &[&MG_1_TABLE_12_2, &MG_1_TABLE_12_3],
    run: |a, w| {
        let t = design_b_torques(a.get("power"), w)?;
        Ok(vec![t.locked_rotor.in_si(), t.breakdown.in_si()])
    },
};

/// `calc design-ranges`.
pub const DESIGN_RANGES: Calculation = Calculation {
    name: "design-ranges",
    summary: "Torques and slip that motors of a NEMA design lie between.",
    inputs: &[required_word("design", &["B", "C"], "design letter of the plate")],
    results: &[
        output::<dim::RatioDim>("locked_rotor_low", "%", "locked-rotor torque, least"),
        output::<dim::RatioDim>("locked_rotor_high", "%", "locked-rotor torque, greatest"),
        output::<dim::RatioDim>("breakdown_low", "%", "breakdown torque, least"),
        output::<dim::RatioDim>("breakdown_high", "%", "breakdown torque, greatest"),
        output::<dim::RatioDim>("slip_low", "%", "rated slip, least"),
        output::<dim::RatioDim>("slip_high", "%", "rated slip, greatest"),
    ],
    sources: &[&MG_10_TABLE_2_1],
    run: |a, w| {
        let r = design_ranges(if a.word("design") == "B" { Design::B } else { Design::C }, w)?;
        Ok([r.locked_rotor_low, r.locked_rotor_high, r.breakdown_low, r.breakdown_high, r.slip_low, r.slip_high].map(Ratio::in_si).to_vec())
    },
};

/// `calc undervoltage-torque`.
pub const UNDERVOLTAGE_TORQUE: Calculation = Calculation {
    name: "undervoltage-torque",
    summary: "Torque that an induction motor has left at another voltage.",
    inputs: &[
        quantity::<dim::PowerDim>("power", "power at rated voltage"),
        quantity::<dim::SpeedDim>("speed", "speed, which is to stay"),
        quantity::<dim::RatioDim>("voltage", "voltage, of the rated one"),
    ],
    results: &[
        output::<dim::TorqueDim>("left", "N·m", "torque left at the same slip"),
        output::<dim::TorqueDim>("missing", "N·m", "torque to take off the load"),
    ],
    sources: &[&HUBERT_CH_5, &DEFINITION],
    run: |a, w| {
        let t = undervoltage_torque(shaft_torque(a.get("power"), a.get("speed"), w)?, a.get("voltage"), w)?;
        Ok(vec![t.left.in_si(), t.missing.in_si()])
    },
};

/// `calc design-torques`.
pub const DESIGN_TORQUES: Calculation = Calculation {
    name: "design-torques",
    summary: "Locked-rotor, breakdown and pull-up torque from the plate and their multiples.",
    inputs: &[
        quantity::<dim::PowerDim>("power", "rated power"),
        quantity::<dim::SpeedDim>("speed", "rated speed"),
        quantity::<dim::RatioDim>("locked_rotor", "of full-load torque"),
        quantity::<dim::RatioDim>("breakdown", "of full-load torque"),
        quantity::<dim::RatioDim>("pull_up", "of full-load torque"),
    ],
    results: &[
        output::<dim::TorqueDim>("full_load", "N·m", "full-load torque"),
        output::<dim::TorqueDim>("locked_rotor", "N·m", "locked-rotor torque"),
        output::<dim::TorqueDim>("breakdown", "N·m", "breakdown torque"),
        output::<dim::TorqueDim>("pull_up", "N·m", "pull-up torque"),
    ],
    sources: &[&HUBERT_CH_5, &DEFINITION],
    run: |a, w| {
        let k = TorqueMultiples { locked_rotor: a.get("locked_rotor"), breakdown: a.get("breakdown"), pull_up: a.get("pull_up") };
        let t = design_torques(a.get("power"), a.get("speed"), &k, w)?;
        Ok(vec![t.full_load.in_si(), t.locked_rotor.in_si(), t.breakdown.in_si(), t.pull_up.in_si()])
    },
};
