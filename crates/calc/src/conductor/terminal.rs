//! Whether conductors go under a terminal: size, number a pole, aluminium, fine strands. The range comes from the unit's
//! documents; nothing is assumed of one that states none.

use plant::quantity::{Area, dim};

use super::nec_ampacity::{CONDUCTOR, MATERIAL};
use super::size::Material;
use crate::checks::{above_zero, flag, whole};
use crate::registry::{Arguments, Calculation, Refusal, output, quantity, quantity_or, word};
use crate::sources::{Knowledge, PACK, Source};
use crate::working::{Recorder, Step, Working};

/// What a terminal must be identified for.
pub const NEC_110_14: Source = Source::new(
    "NFPA 70 NEC 110.14, 110.14(A): terminals for more than one conductor, for aluminium, and for finer strands than class C are identified as such",
    Knowledge::FromMemory,
);

/// A metric size that is meant to be an AWG size is rounded to its printed digits.
const SAME_SIZE: f64 = 0.005;

/// What a terminal takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TerminalRange {
    /// Smallest conductor.
    pub smallest: Area,
    /// Largest conductor.
    pub largest: Area,
    /// Conductors a pole.
    pub per_pole: u8,
    /// Marked for aluminium.
    pub aluminium: bool,
    /// Takes fine strands, with whatever end sleeve its documents ask for.
    pub fine: bool,
}

/// What is to go under it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ends {
    /// Size of one conductor.
    pub size: Area,
    /// Conductors a pole.
    pub count: u8,
    /// What they are made of.
    pub material: Material,
    /// Finely stranded.
    pub fine: bool,
}

/// What is wrong; nothing when all are false.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct TerminalFit {
    /// Below the smallest.
    pub too_small: bool,
    /// Above the largest.
    pub too_large: bool,
    /// More conductors a pole than it takes.
    pub too_many: bool,
    /// Aluminium on a terminal that is not marked for it.
    pub aluminium: bool,
    /// Fine strands on a terminal that does not take them.
    pub fine: bool,
}

impl TerminalFit {
    /// Nothing is wrong.
    #[must_use]
    pub fn fits(&self) -> bool {
        *self == Self::default()
    }
}

/// Whether conductors go under a terminal.
///
/// # Errors
/// When a size is not above zero, the range is upside down, or there is no conductor.
///
/// Source: the unit's documents; NEC 110.14. Worked example: two 1/0 AWG on a terminal for one up to 4/0 AWG: one too many.
/// ```
/// use calc::{conductor::{size::Material, terminal::*}, working::Silent};
/// use plant::quantity::Area;
/// let range = TerminalRange { smallest: Area::kcmil(16.51), largest: Area::kcmil(211.6), per_pole: 1, aluminium: false, fine: true };
/// let ends = Ends { size: Area::kcmil(105.6), count: 2, material: Material::Copper, fine: false };
/// let fit = terminal_fit(&range, &ends, &mut Silent).unwrap();
/// assert!(fit.too_many && !fit.too_large && !fit.fits());
/// ```
pub fn terminal_fit<R: Recorder>(range: &TerminalRange, ends: &Ends, rec: &mut R) -> Result<TerminalFit, Refusal> {
    above_zero("the smallest conductor", range.smallest)?;
    above_zero("the largest conductor", range.largest)?;
    above_zero("the size of the conductor", ends.size)?;
    if range.smallest > range.largest {
        return Err(Refusal::new(format!("the range of a terminal goes upwards, not from {} to {}", range.smallest, range.largest)));
    }
    if ends.count == 0 || range.per_pole == 0 {
        return Err(Refusal::new("a terminal holds one conductor at least"));
    }
    let fit = TerminalFit {
        too_small: ends.size.in_m2() < range.smallest.in_m2() * (1.0 - SAME_SIZE),
        too_large: ends.size.in_m2() > range.largest.in_m2() * (1.0 + SAME_SIZE),
        too_many: ends.count > range.per_pole,
        aluminium: ends.material == Material::Aluminium && !range.aluminium,
        fine: ends.fine && !range.fine,
    };
    rec.step(|| {
        Step::new("A", "conductor against the range of the terminal", "", &PACK)
            .with("A_min", range.smallest)
            .with("A_max", range.largest)
            .gives(format!("{} × {}", ends.count, ends.size))
            .note(match (fit.too_small, fit.too_large, fit.too_many) {
                (true, _, _) => "too small for the terminal",
                (_, true, _) => "too large for the terminal",
                (_, _, true) => "more conductors a pole than the terminal takes",
                _ => "within the range",
            })
    });
    rec.step(|| {
        Step::new("lug", "metal and strands", "", &NEC_110_14).gives(match (fit.aluminium, fit.fine) {
            (true, true) => "aluminium and fine strands, for which the terminal is not marked",
            (true, false) => "aluminium, for which the terminal is not marked",
            (false, true) => "fine strands, which the terminal does not take",
            (false, false) => "nothing against them",
        })
    });
    Ok(fit)
}

/// `calc terminal-fit`.
pub const TERMINAL_FIT: Calculation = Calculation {
    name: "terminal-fit",
    summary: "Whether conductors go under a terminal: size, number a pole, aluminium, fine strands.",
    inputs: &[
        CONDUCTOR,
        quantity_or::<dim::CountDim>("conductors", "1", "conductors a pole"),
        MATERIAL,
        word("strands", &["common", "fine"], "fine: finer than class C, or class 5"),
        quantity::<dim::AreaDim>("smallest", "smallest conductor of the terminal"),
        quantity::<dim::AreaDim>("largest", "largest conductor of the terminal"),
        quantity_or::<dim::CountDim>("per-pole", "1", "conductors that the terminal takes a pole"),
        word("takes-aluminium", &["no", "yes"], "whether it is marked for aluminium"),
        word("takes-fine", &["no", "yes"], "whether its documents allow fine strands"),
    ],
    results: &[
        output::<dim::CountDim>("fits", "", "1 when nothing is wrong"),
        output::<dim::CountDim>("too-small", "", "1 when the conductor is below the range"),
        output::<dim::CountDim>("too-large", "", "1 when it is above the range"),
        output::<dim::CountDim>("too-many", "", "1 when there are too many a pole"),
        output::<dim::CountDim>("aluminium", "", "1 when the terminal is not marked for aluminium"),
        output::<dim::CountDim>("fine", "", "1 when it does not take fine strands"),
    ],
    sources: &[&PACK, &NEC_110_14],
    run: |a: &Arguments, w: &mut Working| {
        let range = TerminalRange {
            smallest: a.get("smallest"),
            largest: a.get("largest"),
            per_pole: whole("the number that a terminal takes", a.get("per-pole"))?,
            aluminium: a.word("takes-aluminium") == "yes",
            fine: a.word("takes-fine") == "yes",
        };
        let ends = Ends {
            size: a.get("conductor"),
            count: whole("the number of conductors", a.get("conductors"))?,
            material: Material::from_word(a.word("material"))?,
            fine: a.word("strands") == "fine",
        };
        let fit = terminal_fit(&range, &ends, w)?;
        Ok([fit.fits(), fit.too_small, fit.too_large, fit.too_many, fit.aluminium, fit.fine].map(flag).to_vec())
    },
};

#[cfg(test)]
mod tests {
    use super::*;
    use crate::working::Silent;

    const RANGE: TerminalRange =
        TerminalRange { smallest: Area::mm2(10.0), largest: Area::mm2(50.0), per_pole: 2, aluminium: false, fine: false };
    const ENDS: Ends = Ends { size: Area::mm2(50.0), count: 2, material: Material::Copper, fine: false };

    fn fit(ends: Ends) -> TerminalFit {
        terminal_fit(&RANGE, &ends, &mut Silent).unwrap()
    }

    #[test]
    fn each_fault_is_told_alone() {
        assert!(fit(ENDS).fits());
        assert_eq!(fit(Ends { size: Area::mm2(6.0), ..ENDS }), TerminalFit { too_small: true, ..TerminalFit::default() });
        assert_eq!(fit(Ends { size: Area::mm2(70.0), ..ENDS }), TerminalFit { too_large: true, ..TerminalFit::default() });
        assert_eq!(fit(Ends { count: 3, ..ENDS }), TerminalFit { too_many: true, ..TerminalFit::default() });
        assert_eq!(fit(Ends { material: Material::Aluminium, ..ENDS }), TerminalFit { aluminium: true, ..TerminalFit::default() });
        assert_eq!(fit(Ends { fine: true, ..ENDS }), TerminalFit { fine: true, ..TerminalFit::default() });
    }

    #[test]
    fn a_range_upside_down_is_refused() {
        let range = TerminalRange { smallest: Area::mm2(70.0), ..RANGE };
        assert!(terminal_fit(&range, &ENDS, &mut Silent).is_err());
        assert!(terminal_fit(&RANGE, &Ends { count: 0, ..ENDS }, &mut Silent).is_err());
        assert!(terminal_fit(&RANGE, &Ends { size: Area::si(f64::NAN), ..ENDS }, &mut Silent).is_err());
    }
}
