//! Room to bend conductors between a terminal and the wall that faces it: NEC 312.6. Where the unit's documents state a
//! figure of their own, that one counts and nothing here is needed.
//!
//! Only cells that the reprint we read shows without doubt stand here; the others are refused: three and more wires a
//! terminal in Table 312.6(B), three wires of 1/0 and 2/0 in Table 312.6(A).

use plant::quantity::{Area, Length, awg_area_m2, dim};

use super::heat::{by_word, whole};
use crate::registry::{Arguments, Calculation, Refusal, output, quantity, quantity_or, word};
use crate::sources::{Knowledge, Source};
use crate::working::{Recorder, Step, Working};

/// Conductors that leave sideways.
pub const NEC_312_6_A: Source =
    Source::new("NFPA 70 NEC Table 312.6(A) as reprinted without its edition; 2008 to 2023 alike as far as known", Knowledge::LookedUp);
/// Conductors that leave straight ahead.
pub const NEC_312_6_B: Source =
    Source::new("NFPA 70 NEC Table 312.6(B) as reprinted without its edition; 2008 to 2023 alike as far as known", Knowledge::LookedUp);

/// A metric size that is meant to be an AWG size is rounded to its printed digits: 53.5 mm² for 1/0 (53.48).
const SAME_SIZE: f64 = 0.005;

/// Editions whose tables we take to be alike (from memory).
pub const EDITIONS: [&str; 6] = ["2023", "2020", "2017", "2014", "2011", "2008"];

/// The way of the conductor from its terminal.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Exit {
    /// Not through the wall opposite the terminal: Table 312.6(A).
    Sideways,
    /// Through the wall opposite the terminal: Table 312.6(B).
    Opposite,
}

/// What the conductor is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Strands {
    /// Any but the compact one.
    Common,
    /// Compact stranded AA-8000 aluminium, which bends like a smaller one; counts in Table 312.6(B) only.
    CompactAluminium,
}

/// The least distance from the end of the lug to the wall or barrier that it points at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BendSpace {
    /// The distance; zero where the table specifies none.
    pub space: Length,
    /// False for the smallest conductors, for which the table specifies nothing.
    pub specified: bool,
    /// The size of the row: the conductor's, or the next larger one of the table.
    pub row: Area,
}

/// Size of a row: AWG with n ≤ 0 for 1/0 and up, or kcmil.
#[derive(Clone, Copy, Debug)]
enum Size {
    Awg(i32),
    Kcmil(f64),
}

impl Size {
    fn area(self) -> Area {
        match self {
            Self::Awg(n) => Area::m2(awg_area_m2(n)),
            Self::Kcmil(k) => Area::kcmil(k),
        }
    }
}

use Size::{Awg, Kcmil};

/// Nothing in the cell, or nothing that we are sure of.
const NO: f64 = f64::NAN;

/// Largest size of a row, and inches for one to five wires a terminal.
const SIDEWAYS: &[(Size, [f64; 5])] = &[
    (Awg(10), [0.0, NO, NO, NO, NO]),
    (Awg(6), [1.5, NO, NO, NO, NO]),
    (Awg(3), [2.0, NO, NO, NO, NO]),
    (Awg(2), [2.5, NO, NO, NO, NO]),
    (Awg(1), [3.0, NO, NO, NO, NO]),
    (Awg(-1), [3.5, 5.0, NO, NO, NO]),
    (Awg(-3), [4.0, 6.0, 8.0, NO, NO]),
    (Kcmil(250.0), [4.5, 6.0, 8.0, 10.0, NO]),
    (Kcmil(350.0), [5.0, 8.0, 10.0, 12.0, NO]),
    (Kcmil(500.0), [6.0, 8.0, 10.0, 12.0, 14.0]),
    (Kcmil(700.0), [8.0, 10.0, 12.0, 14.0, 16.0]),
    (Kcmil(900.0), [8.0, 12.0, 14.0, 16.0, 18.0]),
    (Kcmil(1250.0), [10.0, NO, NO, NO, NO]),
    (Kcmil(2000.0), [12.0, NO, NO, NO, NO]),
];

/// Size of a row, the compact aluminium size that shares it, and inches for one and two wires a terminal.
const OPPOSITE: &[(Size, Option<Size>, [f64; 2])] = &[
    (Awg(10), Some(Awg(8)), [0.0, NO]),
    (Awg(8), Some(Awg(6)), [1.5, NO]),
    (Awg(6), Some(Awg(4)), [2.0, NO]),
    (Awg(4), Some(Awg(2)), [3.0, NO]),
    (Awg(3), Some(Awg(1)), [3.0, NO]),
    (Awg(2), Some(Awg(0)), [3.5, NO]),
    (Awg(1), Some(Awg(-1)), [4.5, NO]),
    (Awg(0), Some(Awg(-2)), [5.5, 5.5]),
    (Awg(-1), Some(Awg(-3)), [6.0, 6.0]),
    (Awg(-2), Some(Kcmil(250.0)), [6.5, 6.5]),
    (Awg(-3), Some(Kcmil(300.0)), [7.0, 7.5]),
    (Kcmil(250.0), Some(Kcmil(350.0)), [8.5, 9.0]),
    (Kcmil(300.0), Some(Kcmil(400.0)), [10.0, 10.0]),
    (Kcmil(350.0), Some(Kcmil(500.0)), [12.0, 12.0]),
    (Kcmil(400.0), Some(Kcmil(600.0)), [13.0, 13.0]),
    (Kcmil(500.0), Some(Kcmil(750.0)), [14.0, 14.0]),
    (Kcmil(600.0), Some(Kcmil(900.0)), [15.0, 16.0]),
    (Kcmil(700.0), Some(Kcmil(1000.0)), [16.0, 18.0]),
    (Kcmil(750.0), None, [17.0, 19.0]),
    (Kcmil(800.0), None, [18.0, 20.0]),
    (Kcmil(900.0), None, [19.0, 22.0]),
    (Kcmil(1000.0), None, [20.0, NO]),
    (Kcmil(1250.0), None, [22.0, NO]),
    (Kcmil(2000.0), None, [24.0, NO]),
];

/// The least bending space at a terminal.
///
/// The row of the conductor's size, or of the next larger one, in Table 312.6(A) when it does not leave through the wall
/// opposite its terminal, else in Table 312.6(B). The smaller figures of (B) for terminals that come off towards the wall
/// are not used, on the safe side. Units: m² in, m out.
///
/// # Errors
/// With no wire, a size beyond 2000 kcmil or below 14 AWG, or a cell that is empty or that we are not sure of; 10 AWG and
/// smaller with two and more wires.
///
/// Source: NEC 312.6. Worked example: one 4/0 AWG needs 4 in sideways and 7 in straight ahead.
/// ```
/// use calc::{enclosure::bend::{Exit, Strands, bend_space}, working::Silent};
/// use plant::quantity::{Area, awg_area_m2};
/// let conductor = Area::m2(awg_area_m2(-3));
/// let inches = |exit| bend_space(conductor, 1, exit, Strands::Common, &mut Silent).unwrap().space.in_inch();
/// assert!((inches(Exit::Sideways) - 4.0).abs() < 1e-9 && (inches(Exit::Opposite) - 7.0).abs() < 1e-9);
/// ```
pub fn bend_space<R: Recorder>(conductor: Area, wires: u8, exit: Exit, strands: Strands, rec: &mut R) -> Result<BendSpace, Refusal> {
    if !(conductor.is_finite() && conductor.in_m2() >= awg_area_m2(14) * (1.0 - SAME_SIZE)) {
        return Err(Refusal::new(format!("the tables of bending space begin with 14 AWG (2.08 mm²), not with {conductor}")));
    }
    let wire = usize::from(wires).checked_sub(1).ok_or_else(|| Refusal::new("a terminal holds one wire at least"))?;
    let holds = |size: Size| conductor.in_m2() <= size.area().in_m2() * (1.0 + SAME_SIZE);
    let (found, source) = match exit {
        Exit::Sideways => {
            let row = SIDEWAYS.iter().find(|(size, _)| holds(*size));
            (row.map(|(size, cells)| (size.area(), cells.get(wire).copied())), &NEC_312_6_A)
        }
        Exit::Opposite => {
            let size_of = |common: Size, compact: Option<Size>| if strands == Strands::Common { Some(common) } else { compact };
            let row = OPPOSITE.iter().find_map(|(common, compact, cells)| {
                size_of(*common, *compact).filter(|size| holds(*size)).map(|size| (size.area(), cells.get(wire).copied()))
            });
            (row, &NEC_312_6_B)
        }
    };
    let Some((row, cell)) = found else {
        return Err(Refusal::new(format!("the table of bending space ends before {conductor}; the unit's documents must state the space")));
    };
    let Some(inches) = cell.filter(|c| !c.is_nan()) else {
        return Err(Refusal::new(format!(
            "for {wires} wires of {conductor} a terminal we hold no figure of bending space; read the Code or the unit's documents"
        )));
    };
    let space = Length::inch(inches);
    let specified = inches > 0.0;
    rec.step(|| {
        let note = match (exit, specified) {
            (_, false) => "the table specifies none for this size",
            (Exit::Sideways, _) => "the conductor does not leave through the wall opposite its terminal",
            (Exit::Opposite, _) => "through the wall opposite the terminal; the allowance for terminals that come off is not used",
        };
        Step::new("s_b", format!("least bending space of {wires} × {conductor} a terminal"), "", source)
            .gives(format!("{} in = {} mm", plant::quantity::digits(inches, 4), plant::quantity::digits(space.in_mm(), 4)))
            .note(format!("row up to {} kcmil; {note}", plant::quantity::digits(row.in_kcmil(), 4)))
    });
    Ok(BendSpace { space, specified, row })
}

/// `calc bend-space`.
pub const BEND_SPACE: Calculation = Calculation {
    name: "bend-space",
    summary: "Least bending space of conductors between a terminal and the wall that it points at, by NEC 312.6.",
    inputs: &[
        quantity::<dim::AreaDim>("conductor", "size of one conductor: 4/0 AWG, 250 kcmil, 95 mm²"),
        quantity_or::<dim::CountDim>("wires", "1", "conductors a terminal"),
        word("exit", &["sideways", "opposite"], "not through, or through, the wall opposite the terminal"),
        word("strands", &["common", "compact-aluminium"], "compact stranded AA-8000 aluminium counts as smaller in Table 312.6(B)"),
        word("edition", &EDITIONS, "edition of the Code; the tables are alike as far as known (from memory)"),
    ],
    results: &[
        output::<dim::LengthDim>("space", "in", "least distance, 0 where none is specified"),
        output::<dim::CountDim>("specified", "", "1 when the table specifies a distance"),
    ],
    sources: &[&NEC_312_6_A, &NEC_312_6_B],
    run: |a: &Arguments, w: &mut Working| {
        let unknown = || Refusal::new("no such word");
        let exit = by_word(&["sideways", "opposite"], &[Exit::Sideways, Exit::Opposite], a.word("exit")).ok_or_else(unknown)?;
        let both = [Strands::Common, Strands::CompactAluminium];
        let strands = by_word(&["common", "compact-aluminium"], &both, a.word("strands")).ok_or_else(unknown)?;
        let bend = bend_space(a.get("conductor"), whole("the number of wires", a.get("wires"))?, exit, strands, w)?;
        Ok(vec![bend.space.in_si(), f64::from(u8::from(bend.specified))])
    },
};

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::working::Silent;

    fn inches(conductor: Area, wires: u8, exit: Exit, strands: Strands) -> Option<f64> {
        bend_space(conductor, wires, exit, strands, &mut Silent).ok().map(|b| b.space.in_inch())
    }

    #[test]
    fn sizes_rise_and_so_does_the_space() {
        assert!(SIDEWAYS.windows(2).all(|p| p[0].0.area() < p[1].0.area() && p[0].1[0] <= p[1].1[0]));
        assert!(OPPOSITE.windows(2).all(|p| p[0].0.area() < p[1].0.area() && p[0].2[0] <= p[1].2[0]));
        let compact: Vec<Area> = OPPOSITE.iter().filter_map(|r| r.1).map(Size::area).collect();
        assert!(compact.windows(2).all(|p| p[0] < p[1]));
    }

    #[test]
    fn what_the_tables_do_not_hold_is_refused() {
        let common = |area, wires, exit| inches(area, wires, exit, Strands::Common);
        assert_eq!(common(Area::kcmil(2500.0), 1, Exit::Sideways), None);
        assert_eq!(common(Area::mm2(1.5), 1, Exit::Sideways), None);
        assert_eq!(common(Area::si(f64::NAN), 1, Exit::Sideways), None);
        assert_eq!(common(Area::kcmil(250.0), 0, Exit::Sideways), None);
        assert_eq!(common(Area::kcmil(250.0), 3, Exit::Opposite), None);
        assert_eq!(common(Area::m2(awg_area_m2(0)), 3, Exit::Sideways), None);
        assert_eq!(inches(Area::kcmil(1250.0), 1, Exit::Opposite, Strands::CompactAluminium), None);
    }

    #[test]
    fn a_metric_size_takes_the_next_larger_row() {
        let common = |mm2| inches(Area::mm2(mm2), 1, Exit::Opposite, Strands::Common);
        assert_eq!(common(53.5), Some(5.5)); // 1/0 AWG
        assert_eq!(common(70.0), Some(6.5)); // above 2/0, so 3/0
        assert_eq!(common(95.0), Some(7.0)); // above 3/0, so 4/0
    }

    proptest! {
        #[test]
        fn thicker_or_more_is_never_less(a in 14.0f64..2000.0, b in 14.0f64..2000.0, wires in 1u8..5) {
            let (thin, thick) = (Area::kcmil(a.min(b)), Area::kcmil(a.max(b)));
            for exit in [Exit::Sideways, Exit::Opposite] {
                if let (Some(x), Some(y)) = (inches(thin, wires, exit, Strands::Common), inches(thick, wires, exit, Strands::Common)) {
                    prop_assert!(x <= y);
                }
                if let (Some(x), Some(y)) = (inches(thin, wires, exit, Strands::Common), inches(thin, wires + 1, exit, Strands::Common)) {
                    prop_assert!(x <= y);
                }
                if let (Some(x), Some(y)) = (inches(thin, wires, exit, Strands::CompactAluminium), inches(thin, wires, exit, Strands::Common)) {
                    prop_assert!(x <= y);
                }
            }
            let both = [Exit::Sideways, Exit::Opposite].map(|exit| inches(thick, 1, exit, Strands::Common).unwrap());
            prop_assert!(both[0] <= both[1]);
        }
    }
}
