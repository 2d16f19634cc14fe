//! The equipment grounding (protective earth) conductor by the NEC, also where the line conductors were made larger.

use plant::quantity::{Area, Current, dim};

use super::nec_ampacity::MATERIAL;
use super::size::{Material, NecSize};
use crate::checks::{above_zero, flag};
use crate::registry::{Arguments, Calculation, Refusal, output, quantity, quantity_or};
use crate::sources::{Knowledge, Source};
use crate::working::{Recorder, Step, Working};

/// The table.
pub const NEC_250_122: Source = Source::new("NFPA 70 NEC Table 250.122, read in public reprints", Knowledge::LookedUp);
/// Larger line conductors.
pub const NEC_250_122_B: Source =
    Source::new("NFPA 70 NEC 250.122(B): larger in proportion to the circular mils of the ungrounded conductors", Knowledge::FromMemory);
/// Never larger than the line conductors.
pub const NEC_250_122_A: Source =
    Source::new("NFPA 70 NEC 250.122(A): not required to be larger than the circuit conductors", Knowledge::FromMemory);

/// Largest device in A, row of copper, row of aluminium in the sizes.
const ROWS: &[(f64, usize, usize)] = &[
    (15.0, 0, 1),
    (20.0, 1, 2),
    (60.0, 2, 3),
    (100.0, 3, 4),
    (200.0, 4, 5),
    (300.0, 5, 7),
    (400.0, 6, 8),
    (500.0, 7, 9),
    (600.0, 8, 10),
    (800.0, 9, 11),
    (1000.0, 10, 12),
    (1200.0, 11, 13),
    (1600.0, 12, 15),
    (2000.0, 13, 16),
    (2500.0, 15, 18),
    (3000.0, 16, 18),
];

/// The earthing conductor of a circuit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Earthing {
    /// The table's size.
    pub table: NecSize,
    /// Cross-section after the increase in proportion, before it is rounded up.
    pub needed: Area,
    /// The size to run.
    pub size: NecSize,
    /// Factor by which the line conductors were made larger; 1 when they were not.
    pub increase: f64,
    /// The size stops at that of the line conductors.
    pub capped: bool,
}

/// The earthing conductor by the device ahead of it, and by an increase of the line conductors.
///
/// A = A_table·(A_installed/A_least), rounded up to a size, never larger than the line conductors. `least` is the smallest line
/// conductor that would have had the ampacity, `installed` the one that is run (for voltage drop, or because it is there).
/// Conductors in parallel in several raceways need one of the full table size in each.
///
/// # Errors
/// When the device lies above 3000 A or a size is none of the table's.
///
/// Source: NEC 250.122. Worked example: behind 100 A, 6 AWG enlarged to 4 AWG: 16.51·41.74/26.24 = 26.26 kcmil, so 4 AWG instead of 8.
/// ```
/// use calc::{conductor::{earth::earthing_conductor, size::{Material, NecSize}}, working::Silent};
/// use plant::quantity::{Area, Current};
/// let size = |kcmil| NecSize::of(Area::kcmil(kcmil)).unwrap();
/// let found = earthing_conductor(Current::a(100.0), Material::Copper, Some((size(26.24), size(41.74))), &mut Silent).unwrap();
/// assert_eq!((found.table.name(), found.size.name()), ("8 AWG", "4 AWG"));
/// assert!((found.increase - 1.591).abs() < 0.001);
/// ```
pub fn earthing_conductor<R: Recorder>(
    device: Current,
    material: Material,
    lines: Option<(NecSize, NecSize)>,
    rec: &mut R,
) -> Result<Earthing, Refusal> {
    above_zero("the rating of the device", device)?;
    let Some((_, copper, aluminium)) = ROWS.iter().find(|(most, _, _)| device.in_a() <= *most) else {
        return Err(Refusal::new(format!("the rows that are held end at a device of 3000 A, below {device}; read Table 250.122")));
    };
    let table = NecSize::of_row(if material == Material::Copper { *copper } else { *aluminium });
    // Line conductors that are smaller than the least ones fail elsewhere; they never make the earthing conductor smaller.
    let increase = lines.map_or(1.0, |(least, installed)| (installed.area() / least.area()).max(1.0));
    let needed = table.area() * increase;
    let Some(rounded) = NecSize::at_least(needed) else {
        return Err(Refusal::new(format!("{needed} lies beyond 2000 kcmil, the largest size")));
    };
    let (size, capped) = match lines {
        Some((_, installed)) if rounded > installed => (installed, true),
        _ => (rounded, false),
    };
    rec.step(|| {
        Step::new("A_table", format!("earthing conductor behind {device}, {}", material.word()), "", &NEC_250_122)
            .gives(table.name())
            .note(format!("row of devices up to {} A", ROWS.iter().find(|r| device.in_a() <= r.0).map_or(0.0, |r| r.0)))
    });
    if let Some((least, installed)) = lines {
        rec.step(|| {
            Step::new("k", "increase of the line conductors", "max(1, A_installed/A_least)", &NEC_250_122_B)
                .with("A_installed", installed.name())
                .with("A_least", least.name())
                .gives(increase)
        });
    }
    rec.step(|| {
        Step::new("A_e", "earthing conductor to run", "A_table·k", if capped { &NEC_250_122_A } else { &NEC_250_122_B })
            .with("A_table", table.name())
            .with("k", increase)
            .gives(size.name())
            .note(if capped { "no larger than the line conductors" } else { "rounded up to a size" })
    });
    Ok(Earthing { table, needed, size, increase, capped })
}

/// `calc earthing-conductor`.
pub const EARTHING_CONDUCTOR: Calculation = Calculation {
    name: "earthing-conductor",
    summary: "Equipment grounding conductor by NEC 250.122, with the increase in proportion to the line conductors.",
    inputs: &[
        quantity::<dim::CurrentDim>("device", "rating or setting of the overcurrent device ahead"),
        MATERIAL,
        quantity_or::<dim::AreaDim>("least", "", "smallest line conductor that has the ampacity; with “installed”"),
        quantity_or::<dim::AreaDim>("installed", "", "line conductor that is run; with “least”"),
    ],
    results: &[
        output::<dim::AreaDim>("table", "kcmil", "the table's size; 8 AWG is 16.51 kcmil"),
        output::<dim::CountDim>("increase", "", "factor of the increase"),
        output::<dim::AreaDim>("needed", "kcmil", "after the increase, before rounding up to a size"),
        output::<dim::AreaDim>("size", "kcmil", "the size to run"),
        output::<dim::CountDim>("capped", "", "1 when it stops at the size of the line conductors"),
    ],
    sources: &[&NEC_250_122, &NEC_250_122_B, &NEC_250_122_A],
    run: |a: &Arguments, w: &mut Working| {
        let lines = match (a.get_opt::<dim::AreaDim>("least"), a.get_opt::<dim::AreaDim>("installed")) {
            (Some(least), Some(installed)) => Some((NecSize::of(least)?, NecSize::of(installed)?)),
            (None, None) => None,
            _ => return Err(Refusal::new("an increase needs both: the least line conductor and the installed one")),
        };
        let found = earthing_conductor(a.get("device"), Material::from_word(a.word("material"))?, lines, w)?;
        Ok(vec![found.table.area().in_si(), found.increase, found.needed.in_si(), found.size.area().in_si(), flag(found.capped)])
    },
};

#[cfg(test)]
mod tests {
    use super::*;
    use crate::working::Silent;

    fn found(device: f64, material: Material) -> Option<&'static str> {
        earthing_conductor(Current::a(device), material, None, &mut Silent).ok().map(|e| e.size.name())
    }

    #[test]
    fn rows_rise_and_aluminium_is_larger() {
        assert!(ROWS.windows(2).all(|p| p[0].0 < p[1].0 && p[0].1 < p[1].1 && p[0].2 <= p[1].2));
        assert!(ROWS.iter().all(|r| r.2 > r.1));
        assert_eq!(found(61.0, Material::Copper), Some("8 AWG"));
        assert_eq!(found(300.0, Material::Aluminium), Some("2 AWG"));
        assert_eq!(found(3001.0, Material::Copper), None);
        assert_eq!(found(0.0, Material::Copper), None);
    }

    #[test]
    fn smaller_lines_never_shrink_it_and_it_never_exceeds_them() {
        let size = |kcmil| NecSize::of(Area::kcmil(kcmil)).unwrap();
        let at = |least, installed| earthing_conductor(Current::a(100.0), Material::Copper, Some((least, installed)), &mut Silent).unwrap();
        assert_eq!(at(size(41.74), size(26.24)).size.name(), "8 AWG");
        let capped = at(size(4.11), size(16.51));
        assert!(capped.capped && capped.size.name() == "8 AWG");
    }
}
