//! Sizes, materials and editions: what the tables are looked up by.

use plant::quantity::Area;

use crate::checks::worded;
use crate::registry::Refusal;

/// A size is read as the table's when it differs by no more than printed digits do: 21.2 mm² is 4 AWG (21.15).
const SAME_SIZE: f64 = 0.005;

worded! {
    /// What a conductor is made of.
    Material "conductor material" {
        Copper "copper" "Copper.";
        Aluminium "aluminium" "Aluminium, or copper-clad aluminium in American tables.";
    }
}

worded! {
    /// Edition of the National Electrical Code.
    Edition "edition of the Code that we hold" {
        Nec2023 "2023" "NFPA 70-2023.";
        Nec2020 "2020" "NFPA 70-2020.";
        Nec2017 "2017" "NFPA 70-2017.";
        Nec2014 "2014" "NFPA 70-2014.";
        Nec2011 "2011" "NFPA 70-2011.";
        Nec2008 "2008" "NFPA 70-2008.";
    }
}

/// A size of the American tables: AWG, then kcmil.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct NecSize(usize);

/// Name, and circular mils as NEC Chapter 9 Table 8 prints them.
const NEC: [(&str, f64); NecSize::COUNT] = [
    ("14 AWG", 4_110.0),
    ("12 AWG", 6_530.0),
    ("10 AWG", 10_380.0),
    ("8 AWG", 16_510.0),
    ("6 AWG", 26_240.0),
    ("4 AWG", 41_740.0),
    ("3 AWG", 52_620.0),
    ("2 AWG", 66_360.0),
    ("1 AWG", 83_690.0),
    ("1/0 AWG", 105_600.0),
    ("2/0 AWG", 133_100.0),
    ("3/0 AWG", 167_800.0),
    ("4/0 AWG", 211_600.0),
    ("250 kcmil", 250_000.0),
    ("300 kcmil", 300_000.0),
    ("350 kcmil", 350_000.0),
    ("400 kcmil", 400_000.0),
    ("500 kcmil", 500_000.0),
    ("600 kcmil", 600_000.0),
    ("700 kcmil", 700_000.0),
    ("750 kcmil", 750_000.0),
    ("800 kcmil", 800_000.0),
    ("900 kcmil", 900_000.0),
    ("1000 kcmil", 1_000_000.0),
    ("1250 kcmil", 1_250_000.0),
    ("1500 kcmil", 1_500_000.0),
    ("1750 kcmil", 1_750_000.0),
    ("2000 kcmil", 2_000_000.0),
];

impl NecSize {
    /// How many there are.
    pub const COUNT: usize = 28;
    /// The smallest that may run in parallel with others (NEC 310.10, with exceptions that we do not use).
    pub const SMALLEST_PARALLEL: Self = Self(9);

    /// All of them, smallest first.
    pub fn all() -> impl Iterator<Item = Self> {
        (0..Self::COUNT).map(Self)
    }

    /// The size of that cross-section.
    ///
    /// # Errors
    /// When the table has no such size: a metric conductor is not looked up in an American table.
    ///
    /// ```
    /// use calc::conductor::size::NecSize;
    /// use plant::quantity::{Area, awg_area_m2};
    /// assert_eq!(NecSize::of(Area::m2(awg_area_m2(0))).unwrap().name(), "1/0 AWG");
    /// assert!(NecSize::of(Area::mm2(95.0)).is_err());
    /// ```
    pub fn of(area: Area) -> Result<Self, Refusal> {
        Self::all().find(|s| (area.in_kcmil() / s.area().in_kcmil() - 1.0).abs() <= SAME_SIZE).ok_or_else(|| {
            Refusal::new(format!("{area} is no size of the American tables; expected 14 AWG to 4/0 AWG or 250 kcmil to 2000 kcmil"))
        })
    }

    /// The smallest that is no smaller than `area`; no printed digit is forgiven here, only the last binary ones.
    #[must_use]
    pub fn at_least(area: Area) -> Option<Self> {
        Self::all().find(|s| s.area().in_kcmil() >= area.in_kcmil() * (1.0 - 1e-12))
    }

    /// "4 AWG", "250 kcmil".
    #[must_use]
    pub fn name(self) -> &'static str {
        NEC[self.0].0
    }

    /// Cross-section by its circular mils.
    #[must_use]
    pub fn area(self) -> Area {
        Area::kcmil(NEC[self.0].1 / 1e3)
    }

    /// Its place in the tables.
    pub(super) const fn row(self) -> usize {
        self.0
    }

    /// The size of a row that a table of this crate names.
    pub(super) const fn of_row(row: usize) -> Self {
        Self(row)
    }
}

/// A size of the IEC tables, in mm².
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct IecSize(usize);

const IEC: [f64; IecSize::COUNT] = [1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0, 35.0, 50.0, 70.0, 95.0, 120.0, 150.0, 185.0, 240.0, 300.0];

impl IecSize {
    /// How many there are.
    pub const COUNT: usize = 16;

    /// All of them, smallest first.
    pub fn all() -> impl Iterator<Item = Self> {
        (0..Self::COUNT).map(Self)
    }

    /// The size of that cross-section.
    ///
    /// # Errors
    /// When the tables have no such size: an AWG conductor is not looked up in a metric table.
    pub fn of(area: Area) -> Result<Self, Refusal> {
        let same = |s: &Self| (area.in_mm2() / IEC[s.0] - 1.0).abs() <= SAME_SIZE;
        Self::all().find(same).ok_or_else(|| {
            let sizes: Vec<String> = IEC.iter().map(f64::to_string).collect();
            Refusal::new(format!("{area} is no size of the metric tables; expected {} mm²", sizes.join(", ")))
        })
    }

    /// Cross-section.
    #[must_use]
    pub fn area(self) -> Area {
        Area::mm2(IEC[self.0])
    }

    /// Its place in the tables.
    pub(super) const fn row(self) -> usize {
        self.0
    }
}

#[cfg(test)]
mod tests {
    use plant::quantity::awg_area_m2;

    use super::*;

    #[test]
    fn sizes_rise() {
        assert!(NEC.windows(2).all(|p| p[0].1 < p[1].1));
        assert!(IEC.windows(2).all(|p| p[0] < p[1]));
    }

    #[test]
    fn every_awg_size_is_found_by_its_geometry() {
        for n in [14, 12, 10, 8, 6, 4, 3, 2, 1, 0, -1, -2, -3] {
            let name = if n > 0 { format!("{n} AWG") } else { format!("{}/0 AWG", 1 - n) };
            assert_eq!(NecSize::of(Area::m2(awg_area_m2(n))).unwrap().name(), name);
        }
    }

    #[test]
    fn a_size_of_the_other_world_is_refused() {
        assert!(NecSize::of(Area::mm2(70.0)).is_err() && NecSize::of(Area::si(f64::NAN)).is_err());
        assert!(IecSize::of(Area::kcmil(250.0)).is_err() && IecSize::of(Area::mm2(0.0)).is_err());
    }
}
