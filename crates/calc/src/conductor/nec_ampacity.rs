//! What a conductor may carry by the NEC: table, corrections, and the limit of its terminals. Ampacities stand in amperes,
//! one row a size, columns of 60, 75 and 90 °C.

use plant::quantity::{Area, Count, Current, Ratio, Temperature, dim};

use super::size::{Edition, Material, NecSize};
use crate::checks::{above_zero, whole, worded};
use crate::registry::{Arguments, Calculation, Input, Refusal, output, quantity, quantity_or, word};
use crate::sources::{Knowledge, Source};
use crate::working::{Recorder, Step, Working};

/// The table under its name since 2020.
pub const TABLE_2020: Source = Source::new("NFPA 70 NEC Table 310.16 (2020, 2023), read in public reprints", Knowledge::LookedUp);
/// The table under its name of 2011 to 2017.
pub const TABLE_2011: Source = Source::new("NFPA 70 NEC Table 310.15(B)(16) (2011 to 2017), read in public reprints", Knowledge::LookedUp);
/// The table under its name up to 2008.
pub const TABLE_2008: Source = Source::new("NFPA 70 NEC Table 310.16 (2008), read in a public reprint", Knowledge::LookedUp);
/// Ambient correction.
pub const AMBIENT: Source = Source::new(
    "NFPA 70 NEC ambient correction factors based on 30 °C: Table 310.15(B)(1)(1) (2023), 310.15(B)(1) (2020), 310.15(B)(2)(a) (2011 to 2017)",
    Knowledge::FromMemory,
);
/// More than three conductors.
pub const BUNDLING: Source = Source::new(
    "NFPA 70 NEC adjustment factors: Table 310.15(C)(1) (2020, 2023), 310.15(B)(3)(a) (2011 to 2017), 310.15(B)(2)(a) (2008)",
    Knowledge::LookedUp,
);
/// Temperature of terminations.
pub const TERMINATIONS: Source = Source::new("NFPA 70 NEC 110.14(C)", Knowledge::FromMemory);
/// Conductors in parallel.
pub const PARALLEL: Source =
    Source::new("NFPA 70 NEC 310.10(G) (2020, 2023), 310.10(H) (2011 to 2017), 310.4 (2008)", Knowledge::FromMemory);

worded! {
    /// Temperature that an insulation or a terminal stands.
    Degrees "temperature rating" {
        C60 "60" "60 °C.";
        C75 "75" "75 °C.";
        C90 "90" "90 °C.";
    }
}

impl Degrees {
    /// The temperature.
    #[must_use]
    pub fn temperature(self) -> Temperature {
        Temperature::c(match self {
            Self::C60 => 60.0,
            Self::C75 => 75.0,
            Self::C90 => 90.0,
        })
    }
}

/// Copper, 2011 and later.
const COPPER: [[u16; 3]; NecSize::COUNT] = [
    [15, 20, 25],
    [20, 25, 30],
    [30, 35, 40],
    [40, 50, 55],
    [55, 65, 75],
    [70, 85, 95],
    [85, 100, 115],
    [95, 115, 130],
    [110, 130, 145],
    [125, 150, 170],
    [145, 175, 195],
    [165, 200, 225],
    [195, 230, 260],
    [215, 255, 290],
    [240, 285, 320],
    [260, 310, 350],
    [280, 335, 380],
    [320, 380, 430],
    [350, 420, 475],
    [385, 460, 520],
    [400, 475, 535],
    [410, 490, 555],
    [435, 520, 585],
    [455, 545, 615],
    [495, 590, 665],
    [525, 625, 705],
    [545, 650, 735],
    [555, 665, 750],
];

/// Aluminium, 2011 and later; nothing for 14 AWG.
const ALUMINIUM: [[u16; 3]; NecSize::COUNT] = [
    [0, 0, 0],
    [15, 20, 25],
    [25, 30, 35],
    [35, 40, 45],
    [40, 50, 55],
    [55, 65, 75],
    [65, 75, 85],
    [75, 90, 100],
    [85, 100, 115],
    [100, 120, 135],
    [115, 135, 150],
    [130, 155, 175],
    [150, 180, 205],
    [170, 205, 230],
    [195, 230, 260],
    [210, 250, 280],
    [225, 270, 305],
    [260, 310, 350],
    [285, 340, 385],
    [315, 375, 425],
    [320, 385, 435],
    [330, 395, 445],
    [355, 425, 480],
    [375, 445, 500],
    [405, 485, 545],
    [435, 520, 585],
    [455, 545, 615],
    [470, 560, 630],
];

/// Upper end of a row in °C, factors for 60, 75 and 90 °C; a zero is an empty cell.
const AMBIENT_FACTORS: &[(f64, [f64; 3])] = &[
    (10.0, [1.29, 1.20, 1.15]),
    (15.0, [1.22, 1.15, 1.12]),
    (20.0, [1.15, 1.11, 1.08]),
    (25.0, [1.08, 1.05, 1.04]),
    (30.0, [1.00, 1.00, 1.00]),
    (35.0, [0.91, 0.94, 0.96]),
    (40.0, [0.82, 0.88, 0.91]),
    (45.0, [0.71, 0.82, 0.87]),
    (50.0, [0.58, 0.75, 0.82]),
    (55.0, [0.41, 0.67, 0.76]),
    (60.0, [0.0, 0.58, 0.71]),
    (65.0, [0.0, 0.47, 0.65]),
    (70.0, [0.0, 0.33, 0.58]),
    (75.0, [0.0, 0.0, 0.50]),
    (80.0, [0.0, 0.0, 0.41]),
    (85.0, [0.0, 0.0, 0.29]),
];

/// Most conductors of a row, and its factor.
const BUNDLING_FACTORS: &[(u8, f64)] = &[(3, 1.0), (6, 0.8), (9, 0.7), (20, 0.5), (30, 0.45), (40, 0.4), (u8::MAX, 0.35)];

/// How conductors are run and what they end in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NecRun {
    /// What they are made of.
    pub material: Material,
    /// What their insulation stands.
    pub insulation: Degrees,
    /// What the terminals at both ends stand: the lower of the two.
    pub terminals: Degrees,
    /// Air around the raceway or cable.
    pub ambient: Temperature,
    /// Current-carrying conductors in the same raceway or cable, parallel ones counted.
    pub carrying: u8,
    /// Conductors in parallel a phase.
    pub parallel: u8,
    /// Edition of the Code.
    pub edition: Edition,
}

/// What a phase may carry.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NecAmpacity {
    /// The table's ampacity of one conductor at the rating of its insulation.
    pub table: Current,
    /// Factor for the air.
    pub ambient: Ratio,
    /// Factor for more than three conductors.
    pub bundling: Ratio,
    /// One conductor, corrected.
    pub corrected: Current,
    /// One conductor at its terminals: the column of their rating, without factors.
    pub at_terminals: Current,
    /// The phase: the smaller of both, times the conductors in parallel.
    pub usable: Current,
}

fn column(degrees: Degrees) -> usize {
    match degrees {
        Degrees::C60 => 0,
        Degrees::C75 => 1,
        Degrees::C90 => 2,
    }
}

fn source(edition: Edition) -> &'static Source {
    match edition {
        Edition::Nec2020 | Edition::Nec2023 => &TABLE_2020,
        Edition::Nec2011 | Edition::Nec2014 | Edition::Nec2017 => &TABLE_2011,
        Edition::Nec2008 => &TABLE_2008,
    }
}

/// The table's ampacity of one conductor.
///
/// # Errors
/// For a cell that is empty, and for the columns of 2008 that differ from the later ones.
pub fn table_ampacity(size: NecSize, material: Material, degrees: Degrees, edition: Edition) -> Result<Current, Refusal> {
    if edition == Edition::Nec2008 && !(material == Material::Copper && degrees == Degrees::C75) {
        return Err(Refusal::new(
            "of the 2008 table we hold copper at 75 °C alone, which is as in later editions; read the other columns in the Code of 2008, \
             or give the edition in force",
        ));
    }
    let rows = match material {
        Material::Copper => &COPPER,
        Material::Aluminium => &ALUMINIUM,
    };
    match rows[size.row()][column(degrees)] {
        0 => Err(Refusal::new(format!("the table has no ampacity for {} {}; the smallest is 12 AWG", size.name(), material.word()))),
        amperes => Ok(Current::a(f64::from(amperes))),
    }
}

/// Factor for the air around.
///
/// # Errors
/// When the air is too hot for the insulation, or no temperature.
pub fn ambient_factor(ambient: Temperature, insulation: Degrees, edition: Edition) -> Result<Ratio, Refusal> {
    let celsius = ambient.in_c();
    if edition == Edition::Nec2008 && !(21.0..=60.0).contains(&celsius) {
        return Err(Refusal::new(format!("the factors of 2008 that we hold go from 21 to 60 °C; {ambient} lies outside")));
    }
    // A hair above the end of a row is a slip of the last binary digit, not another row.
    AMBIENT_FACTORS
        .iter()
        .find(|(end, _)| celsius.is_finite() && celsius <= end + 1e-9)
        .map(|(_, factors)| factors[column(insulation)])
        .filter(|f| *f > 0.0)
        .map(Ratio::of_one)
        .ok_or_else(|| {
            Refusal::new(format!(
                "in air of {ambient} a {} °C insulation may carry nothing by the table; give the air around the raceway",
                insulation.word()
            ))
        })
}

/// What a phase may carry.
///
/// I_z = n·min(I_table·k_ambient·k_bundling, I_terminal): corrections act on the column of the insulation, the terminals limit
/// by their own column without corrections. Air between two rows takes the hotter one. Units: A. Up to 2000 V, in raceway,
/// cable or earth. The limits of small conductors' overcurrent devices (240.4(D)) are not applied; motor circuits have
/// their own.
///
/// # Errors
/// With an empty cell, air beyond the table, or conductors smaller than 1/0 AWG in parallel.
///
/// Source: NEC 310.15, 310.16, 110.14(C). Worked example: 3 AWG copper of 90 °C on 75 °C terminals in 40 °C: 115·0.91 = 104.65 A,
/// but the terminals allow 100 A.
/// ```
/// use calc::{conductor::{nec_ampacity::{Degrees, NecRun, nec_ampacity}, size::{Edition, Material, NecSize}}, working::Silent};
/// use plant::quantity::{Temperature, awg_area_m2, Area};
/// let run = NecRun {
///     material: Material::Copper, insulation: Degrees::C90, terminals: Degrees::C75, ambient: Temperature::c(40.0),
///     carrying: 3, parallel: 1, edition: Edition::Nec2023,
/// };
/// let found = nec_ampacity(NecSize::of(Area::m2(awg_area_m2(3))).unwrap(), &run, &mut Silent).unwrap();
/// assert!((found.corrected.in_a() - 104.65).abs() < 1e-9 && (found.usable.in_a() - 100.0).abs() < 1e-9);
/// ```
pub fn nec_ampacity<R: Recorder>(size: NecSize, run: &NecRun, rec: &mut R) -> Result<NecAmpacity, Refusal> {
    if run.parallel == 0 || run.carrying == 0 {
        return Err(Refusal::new("there is one conductor at least"));
    }
    if run.parallel > 1 && size < NecSize::SMALLEST_PARALLEL {
        return Err(Refusal::new(format!("conductors in parallel are 1/0 AWG and larger, not {}", size.name())));
    }
    let table = table_ampacity(size, run.material, run.insulation, run.edition)?;
    let ambient = ambient_factor(run.ambient, run.insulation, run.edition)?;
    let bundling = Ratio::of_one(BUNDLING_FACTORS.iter().find(|(most, _)| run.carrying <= *most).map_or(0.35, |(_, f)| *f));
    let limit = run.terminals.min(run.insulation);
    let at_terminals = table_ampacity(size, run.material, limit, run.edition)?;
    let corrected = table * ambient.in_of_one() * bundling.in_of_one();
    let usable = corrected.min(at_terminals) * f64::from(run.parallel);
    let found = NecAmpacity { table, ambient, bundling, corrected, at_terminals, usable };
    rec.step(|| {
        Step::new(
            "I_table",
            format!("ampacity of {} {} at {} °C", size.name(), run.material.word(), run.insulation.word()),
            "",
            source(run.edition),
        )
        .gives(table)
        .note("up to three current-carrying conductors, 30 °C")
    });
    rec.step(|| {
        Step::new("k_ambient", format!("correction for air of {}", run.ambient), "", &AMBIENT)
            .gives(ambient)
            .note("of the row that holds this temperature; between two rows the hotter one")
    });
    rec.step(|| {
        Step::new("k_bundling", format!("adjustment for {} current-carrying conductors", run.carrying), "", &BUNDLING).gives(bundling)
    });
    rec.step(|| {
        Step::new("I_c", "one conductor, corrected", "I_table·k_ambient·k_bundling", source(run.edition))
            .with("I_table", table)
            .with("k_ambient", ambient)
            .with("k_bundling", bundling)
            .gives(corrected)
    });
    rec.step(|| {
        Step::new("I_terminal", format!("one conductor on terminals of {} °C", run.terminals.word()), "", &TERMINATIONS)
            .gives(at_terminals)
            .note(format!("column of {} °C, without corrections", limit.word()))
    });
    rec.step(|| {
        Step::new("I_z", "what the phase may carry", "n·min(I_c, I_terminal)", &PARALLEL)
            .with("n", Count::of(f64::from(run.parallel)))
            .with("I_c", corrected)
            .with("I_terminal", at_terminals)
            .gives(usable)
    });
    Ok(found)
}

pub(super) const CONDUCTOR: Input = quantity::<dim::AreaDim>("conductor", "size of one conductor: 4 AWG, 250 kcmil");
pub(super) const MATERIAL: Input = word("material", Material::WORDS, "what it is made of");
const INSULATION: Input = word("insulation", &["75", "60", "90"], "what the insulation stands, °C");
const TERMINALS: Input = word("terminals", &["75", "60", "90"], "what the terminals at both ends stand, °C: the lower of the two");
const AMBIENT_IN: Input = quantity_or::<dim::TemperatureDim>("ambient", "30 °C", "air around the raceway or cable");
const CARRYING: Input = quantity_or::<dim::CountDim>("carrying", "3", "current-carrying conductors in the same raceway or cable");
pub(super) const PARALLEL_IN: Input = quantity_or::<dim::CountDim>("parallel", "1", "conductors in parallel a phase");
const EDITION: Input = word("edition", Edition::WORDS, "edition of the Code");

/// The inputs that make up a [`NecRun`].
pub(super) const RUN: [Input; 7] = [MATERIAL, INSULATION, TERMINALS, AMBIENT_IN, CARRYING, PARALLEL_IN, EDITION];

/// The run that a call states.
pub(super) fn run_of(a: &Arguments) -> Result<NecRun, Refusal> {
    let ambient: Temperature = a.get("ambient");
    above_zero("a temperature over absolute zero", ambient)?;
    Ok(NecRun {
        material: Material::from_word(a.word("material"))?,
        insulation: Degrees::from_word(a.word("insulation"))?,
        terminals: Degrees::from_word(a.word("terminals"))?,
        ambient,
        carrying: whole("the number of current-carrying conductors", a.get("carrying"))?,
        parallel: whole("the number of conductors in parallel", a.get("parallel"))?,
        edition: Edition::from_word(a.word("edition"))?,
    })
}

/// `calc nec-ampacity`.
pub const NEC_AMPACITY: Calculation = Calculation {
    name: "nec-ampacity",
    summary: "What a phase may carry by the NEC: table, corrections and the limit of its terminals.",
    inputs: &[CONDUCTOR, RUN[0], RUN[1], RUN[2], RUN[3], RUN[4], RUN[5], RUN[6]],
    results: &[
        output::<dim::CurrentDim>("table", "A", "the table's ampacity of one conductor"),
        output::<dim::RatioDim>("ambient-factor", "pu", "factor for the air"),
        output::<dim::RatioDim>("bundling-factor", "pu", "factor for more than three conductors"),
        output::<dim::CurrentDim>("corrected", "A", "one conductor, corrected"),
        output::<dim::CurrentDim>("at-terminals", "A", "one conductor at its terminals"),
        output::<dim::CurrentDim>("usable", "A", "what the phase may carry"),
    ],
    sources: &[&TABLE_2020, &TABLE_2011, &TABLE_2008, &AMBIENT, &BUNDLING, &TERMINATIONS, &PARALLEL],
    run: |a: &Arguments, w: &mut Working| {
        let conductor: Area = a.get("conductor");
        let found = nec_ampacity(NecSize::of(conductor)?, &run_of(a)?, w)?;
        Ok(vec![
            found.table.in_si(),
            found.ambient.in_si(),
            found.bundling.in_si(),
            found.corrected.in_si(),
            found.at_terminals.in_si(),
            found.usable.in_si(),
        ])
    },
};

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::working::Silent;

    fn run(material: Material, insulation: Degrees, terminals: Degrees, ambient: f64) -> NecRun {
        NecRun { material, insulation, terminals, ambient: Temperature::c(ambient), carrying: 3, parallel: 1, edition: Edition::Nec2023 }
    }

    fn usable(size: NecSize, run: &NecRun) -> Option<Current> {
        nec_ampacity(size, run, &mut Silent).ok().map(|a| a.usable)
    }

    #[test]
    fn tables_rise_with_size_and_with_temperature() {
        for rows in [&COPPER, &ALUMINIUM] {
            assert!(rows.windows(2).all(|p| (0..3).all(|c| p[0][c] < p[1][c])));
            assert!(rows.iter().skip(1).all(|r| r[0] < r[1] && r[1] < r[2]));
        }
        assert!((0..NecSize::COUNT).all(|i| (0..3).all(|c| ALUMINIUM[i][c] < COPPER[i][c])));
    }

    #[test]
    fn factors_fall_with_heat_and_with_number() {
        // An empty cell counts as nothing, so that it may only stand at the hot end.
        assert!(AMBIENT_FACTORS.windows(2).all(|p| p[0].0 < p[1].0 && (0..3).all(|c| p[0].1[c] > p[1].1[c] || p[1].1[c].abs() < 1e-9)));
        assert!(BUNDLING_FACTORS.windows(2).all(|p| p[0].0 < p[1].0 && p[0].1 > p[1].1));
    }

    #[test]
    fn what_is_not_held_is_refused() {
        let copper = run(Material::Copper, Degrees::C75, Degrees::C75, 30.0);
        let small = NecSize::of(Area::m2(plant::quantity::awg_area_m2(2))).unwrap();
        assert!(usable(small, &NecRun { parallel: 2, ..copper }).is_none());
        assert!(usable(small, &NecRun { edition: Edition::Nec2008, ..copper }).is_some());
        assert!(usable(small, &NecRun { edition: Edition::Nec2008, material: Material::Aluminium, ..copper }).is_none());
        assert!(usable(small, &NecRun { ambient: Temperature::c(71.0), ..copper }).is_none());
        assert!(usable(small, &NecRun { carrying: 0, ..copper }).is_none());
        let smallest = NecSize::all().next().unwrap();
        assert!(usable(smallest, &NecRun { material: Material::Aluminium, ..copper }).is_none());
    }

    #[test]
    fn cool_terminals_rule_over_a_hot_insulation() {
        let size = NecSize::of(Area::m2(plant::quantity::awg_area_m2(4))).unwrap();
        let at = |terminals| usable(size, &run(Material::Copper, Degrees::C90, terminals, 30.0)).unwrap();
        assert_eq!([Degrees::C60, Degrees::C75, Degrees::C90].map(at), [70.0, 85.0, 95.0].map(Current::a));
    }

    proptest! {
        #[test]
        fn thicker_cooler_and_fewer_never_carry_less(
            i in 0usize..28, j in 0usize..28, s in -20.0f64..90.0, t in -20.0f64..90.0, n in 1u8..60, m in 1u8..60,
            aluminium: bool, ins in 0usize..3, term in 0usize..3,
        ) {
            let material = if aluminium { Material::Aluminium } else { Material::Copper };
            let at = |size: usize, ambient: f64, carrying: u8| {
                usable(NecSize::of_row(size), &NecRun { carrying, ..run(material, Degrees::ALL[ins], Degrees::ALL[term], ambient) })
                    .unwrap_or(Current::ZERO)
            };
            prop_assert!(at(i.max(j), t, n) >= at(i.min(j), t, n));
            prop_assert!(at(i, t.min(s), n) >= at(i, t.max(s), n));
            prop_assert!(at(i, t, n.min(m)) >= at(i, t, n.max(m)));
        }
    }
}
