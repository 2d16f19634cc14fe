//! Resistance and reactance of conductors: NEC Chapter 9 Tables 8 and 9, IEC 60228. All for one conductor of a three-phase
//! circuit, that is from line to neutral.

#[cfg(test)]
mod tests;

use plant::quantity::{Area, Count, Length, Ratio, Resistance, Temperature, dim};

use super::nec_ampacity::{CONDUCTOR, MATERIAL, PARALLEL_IN};
use super::size::{IecSize, Material, NecSize};
use crate::checks::{above_zero, not_negative, whole, worded};
use crate::registry::{Arguments, Calculation, Refusal, output, quantity, quantity_or, word};
use crate::sources::{DEFINITION, Knowledge, Source};
use crate::working::{Recorder, Step, Working};

/// Direct-current resistance.
pub const TABLE_8: Source =
    Source::new("NFPA 70 NEC Chapter 9 Table 8, uncoated copper and aluminium at 75 °C, read in public reprints", Knowledge::LookedUp);
/// Alternating-current resistance and reactance.
pub const TABLE_9: Source = Source::new(
    "NFPA 70 NEC Chapter 9 Table 9, 600 V, 60 Hz, 75 °C, three single conductors in conduit, read in public reprints",
    Knowledge::LookedUp,
);
/// Resistance at another temperature.
pub const TABLE_8_NOTE: Source = Source::new(
    "NFPA 70 NEC Chapter 9 Table 8 Note 2: R_2 = R_1·(1 + α·(T_2 − 75)), α = 0.00323 copper, 0.00330 aluminium",
    Knowledge::FromMemory,
);
/// Effective impedance at a power factor.
pub const TABLE_9_NOTE: Source = Source::new("NFPA 70 NEC Chapter 9 Table 9 Note 2: Z_e = R·cos φ + X·sin φ", Knowledge::LookedUp);
/// Largest resistance of a metric conductor.
pub const IEC_60228: Source = Source::new("IEC 60228:2004 Tables 2 and 3, largest resistance at 20 °C", Knowledge::FromMemory);
/// Resistance of metric conductors at another temperature.
pub const IEC_60228_TEMPERATURE: Source =
    Source::new("IEC 60228:2004 Annex B: α = 0.003 93 copper, 0.004 03 aluminium, from 20 °C", Knowledge::FromMemory);
/// Reactance where nothing is stated.
pub const IEC_REACTANCE: Source =
    Source::new("IEC 60364-5-52:2009 Annex G: 0.08 mΩ/m in the absence of other details", Knowledge::LookedUp);

worded! {
    /// What encloses the conductors.
    Conduit "conduit" {
        Pvc "pvc" "Plastic, or any that is no metal.";
        Aluminium "aluminium" "Aluminium conduit.";
        Steel "steel" "Steel conduit.";
    }
}

worded! {
    /// How a conductor is built.
    Strands "build of the strands" {
        Stranded "stranded" "Stranded, class 2 of IEC 60228.";
        Solid "solid" "One wire; 8 AWG and smaller.";
        Fine "fine" "Fine strands, class 5 of IEC 60228; copper only.";
    }
}

/// Ω per 1000 ft at 75 °C: copper, aluminium; stranded.
#[allow(clippy::approx_constant, reason = "3.14 Ω is what the table prints for 14 AWG, not the number π")]
const DC: [(f64, f64); NecSize::COUNT] = [
    (3.14, 5.17),
    (1.98, 3.25),
    (1.24, 2.04),
    (0.778, 1.28),
    (0.491, 0.808),
    (0.308, 0.508),
    (0.245, 0.403),
    (0.194, 0.319),
    (0.154, 0.253),
    (0.122, 0.201),
    (0.0967, 0.159),
    (0.0766, 0.126),
    (0.0608, 0.100),
    (0.0515, 0.0847),
    (0.0429, 0.0707),
    (0.0367, 0.0605),
    (0.0321, 0.0529),
    (0.0258, 0.0424),
    (0.0214, 0.0353),
    (0.0184, 0.0303),
    (0.0171, 0.0282),
    (0.0161, 0.0265),
    (0.0143, 0.0235),
    (0.0129, 0.0212),
    (0.0103, 0.0169),
    (0.008_58, 0.0141),
    (0.007_35, 0.0121),
    (0.006_43, 0.0106),
];

/// The same for solid wires, 14 to 8 AWG.
const DC_SOLID: [(f64, f64); 4] = [(3.07, 5.06), (1.93, 3.18), (1.21, 2.00), (0.764, 1.26)];

/// An empty cell.
const NO: f64 = f64::NAN;

/// Ω per 1000 ft at 75 °C and 60 Hz: X in plastic or aluminium, X in steel; R of copper in plastic, aluminium, steel; R of aluminium
/// in the same; by row of the sizes. Sizes that the table leaves out have no numbers.
const AC: [[f64; 8]; NecSize::COUNT] = [
    [0.058, 0.073, 3.1, 3.1, 3.1, NO, NO, NO],
    [0.054, 0.068, 2.0, 2.0, 2.0, 3.2, 3.2, 3.2],
    [0.050, 0.063, 1.2, 1.2, 1.2, 2.0, 2.0, 2.0],
    [0.052, 0.065, 0.78, 0.78, 0.78, 1.3, 1.3, 1.3],
    [0.051, 0.064, 0.49, 0.49, 0.49, 0.81, 0.81, 0.81],
    [0.048, 0.060, 0.31, 0.31, 0.31, 0.51, 0.51, 0.51],
    [0.047, 0.059, 0.25, 0.25, 0.25, 0.40, 0.41, 0.40],
    [0.045, 0.057, 0.19, 0.20, 0.20, 0.32, 0.32, 0.32],
    [0.046, 0.057, 0.15, 0.16, 0.16, 0.25, 0.26, 0.25],
    [0.044, 0.055, 0.12, 0.13, 0.12, 0.20, 0.21, 0.20],
    [0.043, 0.054, 0.10, 0.10, 0.10, 0.16, 0.16, 0.16],
    [0.042, 0.052, 0.077, 0.082, 0.079, 0.13, 0.13, 0.13],
    [0.041, 0.051, 0.062, 0.067, 0.063, 0.10, 0.11, 0.10],
    [0.041, 0.052, 0.052, 0.057, 0.054, 0.085, 0.090, 0.086],
    [0.041, 0.051, 0.044, 0.049, 0.045, 0.071, 0.076, 0.072],
    [0.040, 0.050, 0.038, 0.043, 0.039, 0.061, 0.066, 0.063],
    [0.040, 0.049, 0.033, 0.038, 0.035, 0.054, 0.059, 0.055],
    [0.039, 0.048, 0.027, 0.032, 0.029, 0.043, 0.048, 0.045],
    [0.039, 0.048, 0.023, 0.028, 0.025, 0.036, 0.041, 0.038],
    [NO; 8],
    [0.038, 0.048, 0.019, 0.024, 0.021, 0.029, 0.034, 0.031],
    [NO; 8],
    [NO; 8],
    [0.037, 0.046, 0.015, 0.019, 0.018, 0.023, 0.027, 0.025],
    [NO; 8],
    [NO; 8],
    [NO; 8],
    [NO; 8],
];

/// Ω/km at 20 °C: stranded copper, stranded aluminium, fine copper.
const IEC: [(f64, f64, f64); IecSize::COUNT] = [
    (12.1, NO, 13.3),
    (7.41, NO, 7.98),
    (4.61, NO, 4.95),
    (3.08, NO, 3.30),
    (1.83, 3.08, 1.91),
    (1.15, 1.91, 1.21),
    (0.727, 1.20, 0.780),
    (0.524, 0.868, 0.554),
    (0.387, 0.641, 0.386),
    (0.268, 0.443, 0.272),
    (0.193, 0.320, 0.206),
    (0.153, 0.253, 0.161),
    (0.124, 0.206, 0.129),
    (0.0991, 0.164, 0.106),
    (0.0754, 0.125, 0.0801),
    (0.0601, 0.100, 0.0641),
];

/// Resistance and reactance of a run, line to neutral.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Impedance {
    /// Resistance.
    pub r: Resistance,
    /// Reactance; for the frequency that the calculation states.
    pub x: Resistance,
}

impl Impedance {
    /// Its magnitude.
    #[must_use]
    pub fn z(self) -> Resistance {
        Resistance::ohm(self.r.in_ohm().hypot(self.x.in_ohm()))
    }
}

fn checked(length: Length, parallel: u8) -> Result<f64, Refusal> {
    above_zero("the length of a run", length)?;
    if parallel == 0 { Err(Refusal::new("there is one conductor at least")) } else { Ok(f64::from(parallel)) }
}

fn celsius(temperature: Temperature) -> Result<f64, Refusal> {
    let celsius = temperature.in_c();
    if (-40.0..=250.0).contains(&celsius) {
        Ok(celsius)
    } else {
        Err(Refusal::new(format!("a conductor's temperature lies between −40 and 250 °C, not at {temperature}")))
    }
}

/// Direct-current resistance of a run at 75 °C.
///
/// R = R'·l/n. Units: m in, Ω out.
///
/// # Errors
/// For a solid wire above 8 AWG, fine strands (which the table has not), or a length that is not above zero.
///
/// Source: NEC Chapter 9 Table 8. Worked example: 1000 ft of 4 AWG copper have 0.308 Ω.
/// ```
/// use calc::{conductor::{impedance::{Strands, dc_resistance}, size::{Material, NecSize}}, working::Silent};
/// use plant::quantity::{Area, Length, awg_area_m2};
/// let size = NecSize::of(Area::m2(awg_area_m2(4))).unwrap();
/// let r = dc_resistance(size, Material::Copper, Strands::Stranded, Length::ft(1000.0), 1, &mut Silent).unwrap();
/// assert!((r.in_ohm() - 0.308).abs() < 1e-9);
/// ```
pub fn dc_resistance<R: Recorder>(
    size: NecSize,
    material: Material,
    strands: Strands,
    length: Length,
    parallel: u8,
    rec: &mut R,
) -> Result<Resistance, Refusal> {
    let n = checked(length, parallel)?;
    let pair = match strands {
        Strands::Stranded => DC.get(size.row()),
        Strands::Solid => DC_SOLID.get(size.row()),
        Strands::Fine => None,
    };
    let Some((copper, aluminium)) = pair else {
        return Err(Refusal::new(format!("Table 8 has no {} {}; expected stranded, or solid up to 8 AWG", strands.word(), size.name())));
    };
    let per_kft = if material == Material::Copper { *copper } else { *aluminium };
    let r = Resistance::ohm(per_kft * length.in_ft() / 1e3 / n);
    rec.step(|| {
        Step::new("R'", format!("resistance of {} {} {}", size.name(), strands.word(), material.word()), "", &TABLE_8)
            .gives(format!("{} Ω per 1000 ft", plant::quantity::digits(per_kft, 4)))
            .note("direct current, 75 °C")
    });
    rec.step(|| Step::new("R", "resistance of the run", "R'·l/n", &DEFINITION).with("l", length).with("n", Count::of(n)).gives(r));
    Ok(r)
}

/// Impedance of a run at 60 Hz by the NEC.
///
/// R = R'·(1 + α·(T − 75 °C))·l/n, X = X'·l/n. Units: Ω; line to neutral; three single conductors in one conduit. A larger
/// fault current flows through cold conductors, so that a conductor's temperature before a fault belongs to the question.
///
/// # Errors
/// For a size that Table 9 leaves out (700, 800, 900 and above 1000 kcmil, aluminium of 14 AWG), no length, or no temperature.
///
/// Source: NEC Chapter 9 Tables 8 and 9. Worked example: 1000 ft of 4 AWG copper in steel: 0.31 + j0.060 Ω.
/// ```
/// use calc::{conductor::{impedance::{Conduit, nec_impedance}, size::{Material, NecSize}}, working::Silent};
/// use plant::quantity::{Area, Length, Temperature, awg_area_m2};
/// let size = NecSize::of(Area::m2(awg_area_m2(4))).unwrap();
/// let z = nec_impedance(size, Material::Copper, Conduit::Steel, Length::ft(1000.0), 1, Temperature::c(75.0), &mut Silent).unwrap();
/// assert!((z.r.in_ohm() - 0.31).abs() < 1e-9 && (z.x.in_ohm() - 0.060).abs() < 1e-9);
/// ```
pub fn nec_impedance<R: Recorder>(
    size: NecSize,
    material: Material,
    conduit: Conduit,
    length: Length,
    parallel: u8,
    temperature: Temperature,
    rec: &mut R,
) -> Result<Impedance, Refusal> {
    let n = checked(length, parallel)?;
    let degrees = celsius(temperature)?;
    let row = &AC[size.row()];
    let x = row[usize::from(conduit == Conduit::Steel)];
    let within = match conduit {
        Conduit::Pvc => 0,
        Conduit::Aluminium => 1,
        Conduit::Steel => 2,
    };
    let (first, alpha) = if material == Material::Copper { (2, 0.003_23) } else { (5, 0.003_30) };
    let r = row[first + within];
    if r.is_nan() || x.is_nan() {
        return Err(Refusal::new(format!("Table 9 has no {} {}; give its resistance and reactance", size.name(), material.word())));
    }
    let kft = length.in_ft() / 1e3 / n;
    let warm = 1.0 + alpha * (degrees - 75.0);
    let found = Impedance { r: Resistance::ohm(r * warm * kft), x: Resistance::ohm(x * kft) };
    rec.step(|| {
        Step::new("R', X'", format!("{} {} in {} conduit", size.name(), material.word(), conduit.word()), "", &TABLE_9)
            .gives(format!("{} + j{} Ω per 1000 ft", plant::quantity::digits(r, 4), plant::quantity::digits(x, 4)))
            .note("line to neutral, 60 Hz, 75 °C")
    });
    rec.step(|| {
        Step::new("k_T", format!("resistance at {temperature} over that at 75 °C"), "1 + α·(T − 75 °C)", &TABLE_8_NOTE)
            .with("α", plant::quantity::digits(alpha, 4))
            .with("T", temperature)
            .gives(Ratio::of_one(warm))
    });
    rec.step(|| {
        Step::new("R", "resistance of the run", "R'·k_T·l/n", &DEFINITION)
            .with("k_T", Ratio::of_one(warm))
            .with("l", length)
            .with("n", Count::of(n))
            .gives(found.r)
    });
    rec.step(|| Step::new("X", "reactance of the run", "X'·l/n", &DEFINITION).with("l", length).with("n", Count::of(n)).gives(found.x));
    Ok(found)
}

/// Impedance of a run of metric conductors.
///
/// R = R_20·(1 + α·(T − 20 °C))·l/n, X = x'·l/n. Units: Ω; R by the largest resistance that the standard allows, direct current.
/// `reactance` is per metre; without it 0.08 mΩ/m.
///
/// # Errors
/// For aluminium below 10 mm² or in fine strands, solid wires (which are not held), no length, or no temperature.
///
/// Source: IEC 60228; IEC 60364-5-52 Annex G. Worked example: 50 m of 95 mm² copper at 20 °C: 9.65 + j4 mΩ.
/// ```
/// use calc::{conductor::{impedance::{Strands, iec_impedance}, size::{IecSize, Material}}, working::Silent};
/// use plant::quantity::{Area, Length, Temperature};
/// let size = IecSize::of(Area::mm2(95.0)).unwrap();
/// let z = iec_impedance(size, Material::Copper, Strands::Stranded, Length::m(50.0), 1, Temperature::c(20.0), None, &mut Silent).unwrap();
/// assert!((z.r.in_mohm() - 9.65).abs() < 1e-9 && (z.x.in_mohm() - 4.0).abs() < 1e-9);
/// ```
#[allow(clippy::too_many_arguments, reason = "a conductor, its run and its temperature; a struct of them would be used here alone")]
pub fn iec_impedance<R: Recorder>(
    size: IecSize,
    material: Material,
    strands: Strands,
    length: Length,
    parallel: u8,
    temperature: Temperature,
    reactance: Option<Resistance>,
    rec: &mut R,
) -> Result<Impedance, Refusal> {
    const X_PER_M: Resistance = Resistance::mohm(0.08);
    let n = checked(length, parallel)?;
    let degrees = celsius(temperature)?;
    let (copper, aluminium, fine) = IEC[size.row()];
    let r20 = match (material, strands) {
        (Material::Copper, Strands::Stranded) => copper,
        (Material::Copper, Strands::Fine) => fine,
        (Material::Aluminium, Strands::Stranded) => aluminium,
        _ => NO,
    };
    if r20.is_nan() {
        return Err(Refusal::new(format!(
            "no resistance is held for {} {} {}; expected stranded or fine copper, or stranded aluminium from 10 mm²",
            size.area(),
            strands.word(),
            material.word()
        )));
    }
    let x = reactance.unwrap_or(X_PER_M);
    not_negative("the reactance per metre", x)?;
    let alpha = if material == Material::Copper { 0.003_93 } else { 0.004_03 };
    let warm = 1.0 + alpha * (degrees - 20.0);
    let found = Impedance { r: Resistance::ohm(r20 * warm * length.in_km() / n), x: x * (length.in_m() / n) };
    rec.step(|| {
        Step::new("R_20", format!("{} {} {}", size.area(), strands.word(), material.word()), "", &IEC_60228)
            .gives(format!("{} Ω/km", plant::quantity::digits(r20, 4)))
            .note("largest that the standard allows, 20 °C; a real conductor has a few per cent less")
    });
    rec.step(|| {
        Step::new("R", format!("resistance of the run at {temperature}"), "R_20·(1 + α·(T − 20 °C))·l/n", &IEC_60228_TEMPERATURE)
            .with("α", plant::quantity::digits(alpha, 4))
            .with("T", temperature)
            .with("l", length)
            .with("n", Count::of(n))
            .gives(found.r)
    });
    rec.step(|| {
        Step::new("X", "reactance of the run", "x'·l/n", if reactance.is_some() { &DEFINITION } else { &IEC_REACTANCE })
            .with("x'", format!("{}/m", x))
            .with("l", length)
            .with("n", Count::of(n))
            .gives(found.x)
    });
    Ok(found)
}

/// `calc dc-resistance`.
pub const DC_RESISTANCE: Calculation = Calculation {
    name: "dc-resistance",
    summary: "Direct-current resistance of a conductor at 75 °C by NEC Chapter 9 Table 8.",
    inputs: &[
        CONDUCTOR,
        quantity::<dim::LengthDim>("length", "length of the run"),
        MATERIAL,
        word("strands", &["stranded", "solid"], "how it is built"),
        PARALLEL_IN,
    ],
    results: &[output::<dim::ResistanceDim>("resistance", "Ω", "resistance of the run")],
    sources: &[&TABLE_8],
    run: |a: &Arguments, w: &mut Working| {
        let conductor: Area = a.get("conductor");
        let n = whole("the number of conductors in parallel", a.get("parallel"))?;
        let (material, strands) = (Material::from_word(a.word("material"))?, Strands::from_word(a.word("strands"))?);
        Ok(vec![dc_resistance(NecSize::of(conductor)?, material, strands, a.get("length"), n, w)?.in_si()])
    },
};

/// `calc cable-impedance`.
pub const CABLE_IMPEDANCE: Calculation = Calculation {
    name: "cable-impedance",
    summary: "Impedance of a run of conductors at 60 Hz by NEC Chapter 9 Table 9, and its effective impedance at a power factor.",
    inputs: &[
        CONDUCTOR,
        quantity::<dim::LengthDim>("length", "length of the run"),
        MATERIAL,
        word("conduit", Conduit::WORDS, "what encloses the conductors"),
        PARALLEL_IN,
        quantity_or::<dim::TemperatureDim>("temperature", "75 °C", "of the conductor; for the largest fault current the coldest it can be"),
        quantity_or::<dim::RatioDim>("power-factor", "0.85", "of the load, for the effective impedance"),
    ],
    results: &[
        output::<dim::ResistanceDim>("resistance", "Ω", "resistance of the run, line to neutral"),
        output::<dim::ResistanceDim>("reactance", "Ω", "reactance of the run, line to neutral"),
        output::<dim::ResistanceDim>("effective", "Ω", "R·cos φ + X·sin φ"),
    ],
    sources: &[&TABLE_9, &TABLE_8_NOTE, &TABLE_9_NOTE],
    run: |a: &Arguments, w: &mut Working| {
        let conductor: Area = a.get("conductor");
        let n = whole("the number of conductors in parallel", a.get("parallel"))?;
        let (material, conduit) = (Material::from_word(a.word("material"))?, Conduit::from_word(a.word("conduit"))?);
        let z = nec_impedance(NecSize::of(conductor)?, material, conduit, a.get("length"), n, a.get("temperature"), w)?;
        let effective = effective_impedance(z, a.get("power-factor"), w)?;
        Ok(vec![z.r.in_si(), z.x.in_si(), effective.in_si()])
    },
};

/// Impedance in phase with the load's current: Z_e = R·cos φ + X·sin φ, for a lagging load.
///
/// # Errors
/// When the power factor is not above 0 and at most 1.
pub fn effective_impedance<R: Recorder>(z: Impedance, power_factor: Ratio, rec: &mut R) -> Result<Resistance, Refusal> {
    let cos = power_factor.in_of_one();
    if !(cos > 0.0 && cos <= 1.0) {
        return Err(Refusal::new(format!("a power factor lies above 0 and at most at 1, not at {power_factor}")));
    }
    let sin = (1.0 - cos * cos).max(0.0).sqrt();
    let effective = z.r * cos + z.x * sin;
    rec.step(|| {
        Step::new("Z_e", "effective impedance", "R·cos φ + X·sin φ", &TABLE_9_NOTE)
            .with("R", z.r)
            .with("X", z.x)
            .with("cos φ", plant::quantity::digits(cos, 4))
            .with("sin φ", plant::quantity::digits(sin, 4))
            .gives(effective)
            .note("lagging load")
    });
    Ok(effective)
}

/// `calc iec-cable-impedance`.
pub const IEC_CABLE_IMPEDANCE: Calculation = Calculation {
    name: "iec-cable-impedance",
    summary: "Impedance of a run of metric conductors by IEC 60228.",
    inputs: &[
        quantity::<dim::AreaDim>("conductor", "size of one conductor: 95 mm²"),
        quantity::<dim::LengthDim>("length", "length of the run"),
        MATERIAL,
        word("strands", &["stranded", "fine"], "class 2 or class 5"),
        PARALLEL_IN,
        quantity_or::<dim::TemperatureDim>("temperature", "20 °C", "of the conductor"),
        quantity_or::<dim::ResistanceDim>("reactance", "", "reactance of one metre; 0.08 mΩ where it is left out"),
    ],
    results: &[
        output::<dim::ResistanceDim>("resistance", "mΩ", "resistance of the run, line to neutral"),
        output::<dim::ResistanceDim>("reactance", "mΩ", "reactance of the run, line to neutral"),
    ],
    sources: &[&IEC_60228, &IEC_60228_TEMPERATURE, &IEC_REACTANCE],
    run: |a: &Arguments, w: &mut Working| {
        let conductor: Area = a.get("conductor");
        let n = whole("the number of conductors in parallel", a.get("parallel"))?;
        let (material, strands) = (Material::from_word(a.word("material"))?, Strands::from_word(a.word("strands"))?);
        let (size, at, x) = (IecSize::of(conductor)?, a.get("temperature"), a.get_opt("reactance"));
        let z = iec_impedance(size, material, strands, a.get("length"), n, at, x, w)?;
        Ok(vec![z.r.in_si(), z.x.in_si()])
    },
};
