//! Voltage drop of a run: by resistance and reactance, by the constant K, and by the formula of IEC 60364-5-52 Annex G.

use plant::quantity::{Area, Current, Length, Ratio, Resistance, Voltage, dim};

use super::impedance::{Conduit, Impedance, effective_impedance, nec_impedance};
use super::nec_ampacity::{CONDUCTOR, MATERIAL, PARALLEL_IN};
use super::size::{Material, NecSize};
use crate::checks::{above_zero, not_negative, whole};
use crate::registry::{Arguments, Calculation, Input, Refusal, output, quantity, quantity_or, word};
use crate::sources::{DEFINITION, Knowledge, Source};
use crate::working::{Recorder, Step, Working};

/// The habit of an exact constant.
pub const K_METHOD: Source =
    Source::new("K = 12.9 Ω·cmil/ft for copper, 21.2 for aluminium, at 75 °C, a handbook constant", Knowledge::FromMemory);
/// The formula.
pub const ANNEX_G: Source = Source::new("IEC 60364-5-52:2009 Annex G: u = b·(ρ_1·L/S·cos φ + λ·L·sin φ)·I_B", Knowledge::LookedUp);
/// Recommendations in informational notes; the Code does not demand them.
pub const NEC_NOTES: Source = Source::new(
    "NFPA 70 NEC 210.19(A) and 215.2(A) informational notes (fine print notes before 2011): 3 % branch or feeder, 5 % both; not a requirement",
    Knowledge::FromMemory,
);
/// What the IEC standard advises.
pub const TABLE_G_52_1: Source = Source::new(
    "IEC 60364-5-52:2009 Table G.52.1: 3 % lighting and 5 % other uses from a public supply, 6 % and 8 % from a private one",
    Knowledge::FromMemory,
);

/// Voltage drop of a three-phase run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drop {
    /// Line to line.
    pub drop: Voltage,
    /// In parts of the line voltage.
    pub ratio: Ratio,
    /// What is left at the end of the run.
    pub left: Voltage,
}

fn checked(current: Current, voltage: Voltage) -> Result<(), Refusal> {
    not_negative("the current", current)?;
    above_zero("the line voltage", voltage)
}

fn drop_of(drop: Voltage, voltage: Voltage) -> Result<Drop, Refusal> {
    if drop < voltage {
        Ok(Drop { drop, ratio: Ratio::of_one(drop / voltage), left: voltage - drop })
    } else {
        Err(Refusal::new(format!("a drop of {drop} leaves nothing of {voltage}; the run is far too long or too thin for this current")))
    }
}

fn show<R: Recorder>(found: &Drop, voltage: Voltage, rec: &mut R) {
    rec.step(|| {
        Step::new("u", "drop over line voltage", "ΔU/U", &NEC_NOTES).with("ΔU", found.drop).with("U", voltage).gives(found.ratio).note(
            "advised: 3 % of a branch or feeder and 5 % of both (NEC notes); 5 % public or 8 % private supply (IEC 60364-5-52 G.52.1)",
        )
    });
}

/// Voltage drop by the impedance of a run.
///
/// ΔU = √3·I·(R·cos φ + X·sin φ), line to line. Units: V. An approximation that is good for drops of a few per cent; a lagging load.
///
/// # Errors
/// With a negative current, no voltage, a power factor outside (0, 1], or a drop that eats the voltage.
///
/// Source: NEC Chapter 9 Table 9 Note 2. Worked example: 65 A through 0.093 + j0.018 Ω at 0.85: 9.97 V, 2.08 % of 480 V.
/// ```
/// use calc::{conductor::{drop::voltage_drop, impedance::Impedance}, working::Silent};
/// use plant::quantity::{Current, Ratio, Resistance, Voltage};
/// let run = Impedance { r: Resistance::ohm(0.093), x: Resistance::ohm(0.018) };
/// let found = voltage_drop(Current::a(65.0), run, Ratio::of_one(0.85), Voltage::v(480.0), &mut Silent).unwrap();
/// assert!((found.ratio.in_percent() - 2.0765).abs() < 1e-3);
/// ```
pub fn voltage_drop<R: Recorder>(
    current: Current,
    run: Impedance,
    power_factor: Ratio,
    voltage: Voltage,
    rec: &mut R,
) -> Result<Drop, Refusal> {
    checked(current, voltage)?;
    let effective = effective_impedance(run, power_factor, rec)?;
    let found = drop_of(current * effective * 3f64.sqrt(), voltage)?;
    rec.step(|| {
        Step::new("ΔU", "voltage drop, line to line", "√3·I·Z_e", &DEFINITION).with("I", current).with("Z_e", effective).gives(found.drop)
    });
    show(&found, voltage, rec);
    Ok(found)
}

/// Voltage drop by the constant K.
///
/// ΔU = √3·K·I·l/A, K in Ω·cmil/ft, A in circular mils, l in ft. Units: V. Direct-current resistance alone: it flatters large
/// conductors, whose reactance counts.
///
/// # Errors
/// When length, area or voltage is not above zero, or the drop eats the voltage.
///
/// Source: handbook constant. Worked example: 65 A, 300 ft of 41.74 kcmil copper: 10.44 V.
/// ```
/// use calc::{conductor::{drop::voltage_drop_k, size::Material}, working::Silent};
/// use plant::quantity::{Area, Current, Length, Voltage};
/// let found = voltage_drop_k(Current::a(65.0), Length::ft(300.0), Area::kcmil(41.74), Material::Copper, Voltage::v(480.0), &mut Silent).unwrap();
/// assert!((found.drop.in_v() - 10.44).abs() < 0.01);
/// ```
pub fn voltage_drop_k<R: Recorder>(
    current: Current,
    length: Length,
    conductor: Area,
    material: Material,
    voltage: Voltage,
    rec: &mut R,
) -> Result<Drop, Refusal> {
    checked(current, voltage)?;
    above_zero("the length of a run", length)?;
    above_zero("the cross-section", conductor)?;
    let k = if material == Material::Copper { 12.9 } else { 21.2 };
    let drop = Voltage::v(3f64.sqrt() * k * current.in_a() * length.in_ft() / (conductor.in_kcmil() * 1e3));
    let found = drop_of(drop, voltage)?;
    rec.step(|| {
        Step::new("ΔU", "voltage drop, line to line", "√3·K·I·l/A", &K_METHOD)
            .with("K", format!("{k} Ω·cmil/ft"))
            .with("I", current)
            .with("l", format!("{} ft", plant::quantity::digits(length.in_ft(), 4)))
            .with("A", format!("{} cmil", plant::quantity::digits(conductor.in_kcmil() * 1e3, 5)))
            .gives(found.drop)
            .note("resistance alone")
    });
    show(&found, voltage, rec);
    Ok(found)
}

/// Voltage drop by IEC 60364-5-52 Annex G, line to line.
///
/// ΔU = √3·(ρ_1·l/S·cos φ + λ·l·sin φ)·I, ρ_1 = 0.0225 Ω·mm²/m copper, 0.036 aluminium; λ = 0.08 mΩ/m. Units: V. The annex gives
/// the drop to neutral (b = 1); this is √3 of it.
///
/// # Errors
/// When length, area or voltage is not above zero, a power factor lies outside (0, 1], or the drop eats the voltage.
///
/// Source: IEC 60364-5-52 Annex G. Worked example: 100 A, 80 m of 35 mm² copper at 0.85: 8.16 V.
/// ```
/// use calc::{conductor::{drop::voltage_drop_iec, size::Material}, working::Silent};
/// use plant::quantity::{Area, Current, Length, Ratio, Voltage};
/// let (i, l, s, pf, u) = (Current::a(100.0), Length::m(80.0), Area::mm2(35.0), Ratio::of_one(0.85), Voltage::v(400.0));
/// assert!((voltage_drop_iec(i, l, s, Material::Copper, pf, u, &mut Silent).unwrap().drop.in_v() - 8.155).abs() < 1e-3);
/// ```
pub fn voltage_drop_iec<R: Recorder>(
    current: Current,
    length: Length,
    conductor: Area,
    material: Material,
    power_factor: Ratio,
    voltage: Voltage,
    rec: &mut R,
) -> Result<Drop, Refusal> {
    const LAMBDA: f64 = 0.08e-3;
    checked(current, voltage)?;
    above_zero("the length of a run", length)?;
    above_zero("the cross-section", conductor)?;
    let rho = if material == Material::Copper { 0.0225 } else { 0.036 };
    let run = Impedance { r: Resistance::ohm(rho * length.in_m() / conductor.in_mm2()), x: Resistance::ohm(LAMBDA * length.in_m()) };
    rec.step(|| {
        Step::new("R, X", "impedance of the run", "ρ_1·l/S, λ·l", &ANNEX_G)
            .with("ρ_1", format!("{rho} Ω·mm²/m"))
            .with("λ", "0.08 mΩ/m")
            .with("l", length)
            .with("S", conductor)
            .gives(format!("{} + j{}", run.r, run.x))
    });
    voltage_drop(current, run, power_factor, voltage, rec)
}

const CURRENT: Input = quantity::<dim::CurrentDim>("current", "of the load");
const LENGTH: Input = quantity::<dim::LengthDim>("length", "one way");
const POWER_FACTOR: Input = quantity_or::<dim::RatioDim>("power-factor", "0.85", "of the load, lagging");
const VOLTAGE: Input = quantity::<dim::VoltageDim>("voltage", "line to line at the start of the run");
const RESULTS: &[crate::registry::Output] = &[
    output::<dim::VoltageDim>("drop", "V", "voltage drop, line to line"),
    output::<dim::RatioDim>("ratio", "%", "drop over line voltage"),
    output::<dim::VoltageDim>("left", "V", "line voltage at the end of the run"),
];

fn results(found: &Drop) -> Vec<f64> {
    vec![found.drop.in_si(), found.ratio.in_si(), found.left.in_si()]
}

/// `calc voltage-drop`.
pub const VOLTAGE_DROP: Calculation = Calculation {
    name: "voltage-drop",
    summary: "Voltage drop of a run of American conductors, by resistance and reactance.",
    inputs: &[
        CURRENT,
        LENGTH,
        CONDUCTOR,
        MATERIAL,
        word("conduit", Conduit::WORDS, "what encloses the conductors"),
        PARALLEL_IN,
        POWER_FACTOR,
        VOLTAGE,
    ],
    results: RESULTS,
    sources: &[&super::impedance::TABLE_9, &super::impedance::TABLE_9_NOTE, &NEC_NOTES],
    run: |a: &Arguments, w: &mut Working| {
        const TABLE_TEMPERATURE: plant::quantity::Temperature = plant::quantity::Temperature::c(75.0);
        let conductor: Area = a.get("conductor");
        let n = whole("the number of conductors in parallel", a.get("parallel"))?;
        let (material, conduit) = (Material::from_word(a.word("material"))?, Conduit::from_word(a.word("conduit"))?);
        let run = nec_impedance(NecSize::of(conductor)?, material, conduit, a.get("length"), n, TABLE_TEMPERATURE, w)?;
        Ok(results(&voltage_drop(a.get("current"), run, a.get("power-factor"), a.get("voltage"), w)?))
    },
};

/// `calc voltage-drop-k`.
pub const VOLTAGE_DROP_K: Calculation = Calculation {
    name: "voltage-drop-k",
    summary: "Voltage drop of a run by the constant K, resistance alone.",
    inputs: &[CURRENT, LENGTH, CONDUCTOR, MATERIAL, VOLTAGE],
    results: RESULTS,
    sources: &[&K_METHOD, &NEC_NOTES],
    run: |a: &Arguments, w: &mut Working| {
        let material = Material::from_word(a.word("material"))?;
        Ok(results(&voltage_drop_k(a.get("current"), a.get("length"), a.get("conductor"), material, a.get("voltage"), w)?))
    },
};

/// `calc voltage-drop-iec`.
pub const VOLTAGE_DROP_IEC: Calculation = Calculation {
    name: "voltage-drop-iec",
    summary: "Voltage drop of a run by IEC 60364-5-52 Annex G.",
    inputs: &[CURRENT, LENGTH, CONDUCTOR, MATERIAL, POWER_FACTOR, VOLTAGE],
    results: RESULTS,
    sources: &[&ANNEX_G, &TABLE_G_52_1],
    run: |a: &Arguments, w: &mut Working| {
        let (material, pf) = (Material::from_word(a.word("material"))?, a.get("power-factor"));
        Ok(results(&voltage_drop_iec(a.get("current"), a.get("length"), a.get("conductor"), material, pf, a.get("voltage"), w)?))
    },
};

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::working::Silent;

    #[test]
    fn what_cannot_be_is_refused() {
        let run = Impedance { r: Resistance::ohm(1.0), x: Resistance::ohm(0.1) };
        let at = |i: f64, pf: f64, u: f64| voltage_drop(Current::a(i), run, Ratio::of_one(pf), Voltage::v(u), &mut Silent);
        assert!(at(10.0, 0.8, 400.0).is_ok());
        assert!(at(-1.0, 0.8, 400.0).is_err() && at(10.0, 0.0, 400.0).is_err() && at(10.0, 1.1, 400.0).is_err());
        assert!(at(10.0, 0.8, 0.0).is_err() && at(300.0, 0.8, 400.0).is_err());
    }

    proptest! {
        #[test]
        fn longer_or_thinner_never_drops_less(a in 1.0f64..500.0, b in 1.0f64..500.0, s in 1.5f64..300.0, t in 1.5f64..300.0) {
            let at = |l: f64, s: f64| {
                let (i, pf, u) = (Current::a(5.0), Ratio::of_one(0.85), Voltage::kv(1.0));
                voltage_drop_iec(i, Length::m(l), Area::mm2(s), Material::Copper, pf, u, &mut Silent).unwrap().drop
            };
            prop_assert!(at(a.max(b), s) >= at(a.min(b), s));
            prop_assert!(at(a, s.min(t)) >= at(a, s.max(t)));
        }
    }
}
