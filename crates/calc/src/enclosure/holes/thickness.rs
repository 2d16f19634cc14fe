//! Thickness of an adapter plate: a strip between two rows of studs that carries a unit in its middle.

use plant::quantity::{Force, Length, Mass, Pressure, Ratio, Torque};

use crate::load::machines::STANDARD_GRAVITY;
use crate::registry::Refusal;
use crate::sources::{DEFINITION, Knowledge, Source};
use crate::working::{Recorder, Step};

/// The bending of the strip.
pub(super) const BEAM: Source =
    Source::new("beam on two supports, force or couple in the middle: Roark's Formulas for Stress and Strain", Knowledge::FromMemory);
/// Moduli and permissible stresses of sheet.
pub(super) const SHEET: Source = Source::new("modulus, and yield strength of common sheet with 1.5 to spare", Knowledge::FromMemory);
/// Thicknesses in which sheet is sold.
pub(super) const SHEET_SIZES: Source = Source::new("usual thicknesses of sheet", Knowledge::CommonPractice);

/// What the plate is made of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Material {
    /// Name on the command line.
    pub name: &'static str,
    /// Modulus of elasticity.
    pub modulus: Pressure,
    /// Permissible bending stress.
    pub stress: Pressure,
}

/// Plain figures for sheet, from memory: yield 235, 190 and 90 MPa over 1.5, rounded down.
pub const MATERIALS: [Material; 3] = [
    Material { name: "steel", modulus: Pressure::pa(210e9), stress: Pressure::pa(150e6) },
    Material { name: "stainless", modulus: Pressure::pa(200e9), stress: Pressure::pa(125e6) },
    Material { name: "aluminium", modulus: Pressure::pa(70e9), stress: Pressure::pa(60e6) },
];

/// Usual sheet, thinnest first, in millimetres. Common practice, no source.
pub const SHEETS: [f64; 11] = [1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0];

/// An adapter plate and what it carries.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Adapter {
    /// Mass of the unit with its added parts.
    pub mass: Mass,
    /// Multiple of the weight that the plate must bear, for handling and shaking.
    pub factor: Ratio,
    /// Distance of the unit's centre of gravity from the plate.
    pub overhang: Length,
    /// Between the two rows of studs.
    pub span: Length,
    /// Width of the strip that bends, along the rows.
    pub width: Length,
    /// Greatest deflection that is accepted.
    pub deflection: Length,
    /// The sheet.
    pub material: Material,
}

/// Thickness that each case asks for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Thickness {
    /// Plate lying, as when it is carried with the unit on it: for the deflection.
    pub lying_deflection: Length,
    /// Plate lying: for the stress.
    pub lying_stress: Length,
    /// Plate upright on the wall, the unit's weight pulling its top away: for the deflection.
    pub hanging_deflection: Length,
    /// Plate upright: for the stress.
    pub hanging_stress: Length,
    /// The largest of the four.
    pub least: Length,
    /// The next usual sheet; `None` when even the thickest is too thin: stiffen the plate.
    pub sheet: Option<Length>,
}

/// Thickness of a strip on two rows of studs that carries a unit in its middle.
///
/// F = k·m·g. Lying, a force in the middle of a strip free to turn at its studs: f = F·L³/(48·E·I) and σ = F·L/4/W with
/// I = b·t³/12 and W = b·t²/6, so t ≥ ∛(F·L³/(4·E·b·f)) and t ≥ √(3·F·L/(2·b·σ)). Hanging, the couple M = F·a of the overhang in
/// the middle: each half bends as a strip of L/2 with M/2 at its end, f = M·L²/(72·√3·E·I), σ = M/2/W, so
/// t ≥ ∛(M·L²/(6·√3·E·b·f)) and t ≥ √(3·M/(b·σ)). Holes, the stiffness of the unit's own frame and clamped studs are left out: the
/// first weakens, the others stiffen. Valid for small deflections (f below t/2 or so) and a unit narrow against the span.
///
/// # Errors
/// When a figure is not above zero (the overhang may be zero), or the factor is below 1.
///
/// Source: Roark's Formulas for Stress and Strain, from memory; derived as above. Worked example: 40 kg twice over on a strip of
/// 400 mm × 300 mm, 1 mm: 784.5 N ask for ∛(784.5·0.4³/(4·210·10⁹·0.3·0.001)) = 5.84 mm of steel, so for 6 mm.
/// ```
/// use calc::{enclosure::holes::{Adapter, MATERIALS, adapter_thickness}, working::Silent};
/// use plant::quantity::{Length, Mass, Ratio};
/// let adapter = Adapter {
///     mass: Mass::kg(40.0), factor: Ratio::of_one(2.0), overhang: Length::mm(120.0), span: Length::mm(400.0), width: Length::mm(300.0),
///     deflection: Length::mm(1.0), material: MATERIALS[0],
/// };
/// let t = adapter_thickness(&adapter, &mut Silent).unwrap();
/// assert!((t.lying_deflection.in_mm() - 5.84).abs() < 0.005);
/// assert!((t.sheet.unwrap().in_mm() - 6.0).abs() < 1e-9);
/// ```
pub fn adapter_thickness<R: Recorder>(adapter: &Adapter, rec: &mut R) -> Result<Thickness, Refusal> {
    let Adapter { mass, factor, overhang, span, width, deflection, material } = *adapter;
    for (name, si) in [
        ("the mass", mass.in_si()),
        ("the span", span.in_si()),
        ("the width", width.in_si()),
        ("the deflection", deflection.in_si()),
        ("the modulus", material.modulus.in_si()),
        ("the stress", material.stress.in_si()),
    ] {
        if !(si.is_finite() && si > 0.0) {
            return Err(Refusal::new(format!("{name} of an adapter plate is above zero, not {si} in SI units")));
        }
    }
    if !(overhang.is_finite() && overhang >= Length::ZERO) {
        return Err(Refusal::new(format!("the centre of gravity lies in front of the plate, not at {overhang}")));
    }
    if !(factor.is_finite() && factor.in_of_one() >= 1.0) {
        return Err(Refusal::new(format!("the plate bears at least the weight itself: a factor of 100 % or more, not {factor}")));
    }
    let force = Force::n(factor.in_of_one() * mass.in_kg() * STANDARD_GRAVITY);
    let couple: Torque = force * overhang;
    let (f, m, l, b) = (force.in_n(), couple.in_nm(), span.in_m(), width.in_m());
    let (e, s, d) = (material.modulus.in_pa(), material.stress.in_pa(), deflection.in_m());
    let lying_deflection = Length::m((f * l.powi(3) / (4.0 * e * b * d)).cbrt());
    let lying_stress = Length::m((3.0 * f * l / (2.0 * b * s)).sqrt());
    let hanging_deflection = Length::m((m * l * l / (6.0 * 3f64.sqrt() * e * b * d)).cbrt());
    let hanging_stress = Length::m((3.0 * m / (b * s)).sqrt());
    let least = lying_deflection.max(lying_stress).max(hanging_deflection).max(hanging_stress);
    // A sheet of just the thickness asked for serves, whatever the last bit says.
    let serves = |mm: &&f64| **mm >= least.in_mm() * (1.0 - f64::EPSILON * 4.0);
    let sheet = SHEETS.iter().find(serves).map(|mm| Length::mm(*mm));

    rec.step(|| {
        Step::new("F", "force that the plate bears", "k·m·g", &DEFINITION)
            .with("k", factor)
            .with("m", mass)
            .with("g", "9.80665 m/s²")
            .gives(force)
    });
    rec.step(|| Step::new("M", "couple of the hanging unit", "F·a", &DEFINITION).with("F", force).with("a", overhang).gives(couple));
    rec.step(|| {
        Step::new("E", format!("modulus of {}", material.name), "", &SHEET)
            .gives(material.modulus)
            .note(format!("permissible bending stress {} MPa", material.stress.in_mpa().round()))
    });
    let step = |symbol, name, formula, value: Length| Step::new(symbol, name, formula, &BEAM).gives(value);
    rec.step(|| {
        step("t_1", "thickness for the deflection, plate lying", "∛(F·L³/(4·E·b·f))", lying_deflection)
            .with("F", force)
            .with("L", span)
            .with("E", material.modulus)
            .with("b", width)
            .with("f", deflection)
    });
    rec.step(|| {
        step("t_2", "thickness for the stress, plate lying", "√(3·F·L/(2·b·σ))", lying_stress)
            .with("F", force)
            .with("L", span)
            .with("b", width)
            .with("σ", material.stress)
    });
    rec.step(|| {
        step("t_3", "thickness for the deflection, unit hanging", "∛(M·L²/(6·√3·E·b·f))", hanging_deflection)
            .with("M", couple)
            .with("L", span)
            .with("E", material.modulus)
            .with("b", width)
            .with("f", deflection)
    });
    rec.step(|| {
        step("t_4", "thickness for the stress, unit hanging", "√(3·M/(b·σ))", hanging_stress)
            .with("M", couple)
            .with("b", width)
            .with("σ", material.stress)
    });
    rec.step(|| {
        Step::new("t", "least thickness", "max(t_1, t_2, t_3, t_4)", &DEFINITION)
            .with("t_1", lying_deflection)
            .with("t_2", lying_stress)
            .with("t_3", hanging_deflection)
            .with("t_4", hanging_stress)
            .gives(least)
    });
    rec.step(|| {
        let step = Step::new("t_s", "next usual sheet", "", &SHEET_SIZES);
        match sheet {
            Some(sheet) => step.gives(sheet),
            None => step.gives("none: stiffen the plate or support it more closely"),
        }
    });
    Ok(Thickness { lying_deflection, lying_stress, hanging_deflection, hanging_stress, least, sheet })
}
