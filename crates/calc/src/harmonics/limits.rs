//! Limits at the point of common coupling: IEEE 519, Tables 1 and 2.

use plant::quantity::{Ratio, Voltage};

use super::circuit::above_zero;
use super::spectrum::ORDERS;
use crate::registry::Refusal;
use crate::sources::{Knowledge, Source};
use crate::working::{Recorder, Step};

/// Voltage limits; the same in both editions.
pub const IEEE_519_TABLE_1: Source = Source::new("IEEE 519-2014 and 519-2022 Table 1", Knowledge::LookedUp);
/// Current limits; the same figures since 1992.
pub const IEEE_519_TABLE_2: Source = Source::new("IEEE 519-2014 and 519-2022 Table 2, 120 V to 69 kV", Knowledge::LookedUp);
/// What each edition grants even orders.
pub const IEEE_519_EVEN: Source =
    Source::new("IEEE 519 Table 2, footnote on even orders: 25 % in 2014; in 2022 50 % up to order 6, all beyond", Knowledge::LookedUp);

/// Which edition's figures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Edition {
    /// IEEE 519-2014.
    Ieee2014,
    /// IEEE 519-2022.
    Ieee2022,
}

impl Edition {
    /// Words; the newest first.
    pub const WORDS: [&'static str; 2] = ["2022", "2014"];

    /// The edition of that word.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        match word {
            "2014" => Some(Self::Ieee2014),
            "2022" => Some(Self::Ieee2022),
            _ => None,
        }
    }
}

/// One row of Table 2, in per cent of the largest demand current.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Row {
    /// I_sc/I_L below this.
    below: f64,
    /// Orders below 11, 17, 23, 35 and up to 50.
    odd: [f64; 5],
    tdd: f64,
}

const TABLE_2: [Row; 5] = [
    Row { below: 20.0, odd: [4.0, 2.0, 1.5, 0.6, 0.3], tdd: 5.0 },
    Row { below: 50.0, odd: [7.0, 3.5, 2.5, 1.0, 0.5], tdd: 8.0 },
    Row { below: 100.0, odd: [10.0, 4.5, 4.0, 1.5, 0.7], tdd: 12.0 },
    Row { below: 1000.0, odd: [12.0, 5.5, 5.0, 2.0, 1.0], tdd: 15.0 },
    Row { below: f64::INFINITY, odd: [15.0, 7.0, 6.0, 2.5, 1.4], tdd: 20.0 },
];

/// Limits of the current at a point of common coupling, as shares of the largest demand current.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CurrentLimits {
    row: Row,
    edition: Edition,
    /// Total demand distortion.
    pub tdd: Ratio,
}

impl CurrentLimits {
    /// The limit of an order from 2 to 50; `None` outside of them.
    #[must_use]
    pub fn order(&self, h: usize) -> Option<Ratio> {
        let column = match h {
            2..=10 => 0,
            11..=16 => 1,
            17..=22 => 2,
            23..=34 => 3,
            35..=ORDERS => 4,
            _ => return None,
        };
        let even = match self.edition {
            Edition::Ieee2014 => 0.25,
            Edition::Ieee2022 if h <= 6 => 0.5,
            Edition::Ieee2022 => 1.0,
        };
        let factor = if h.is_multiple_of(2) { even } else { 1.0 };
        Some(Ratio::percent(self.row.odd[column] * factor))
    }
}

/// The current limits of IEEE 519 Table 2 (point of common coupling at 120 V to 69 kV), by I_sc/I_L.
///
/// `ratio` = short-circuit current over the largest demand current (fundamental, mean of the highest 12 months). Steady-state limits;
/// what the standard grants shorter times by percentiles is left out. Shared points above 69 kV have Tables 3 and 4, which
/// are not carried.
///
/// ```
/// use calc::harmonics::{Edition, current_limits};
/// use calc::working::Silent;
/// use plant::quantity::{Ratio, Voltage};
/// let limits = current_limits(Voltage::v(480.0), Ratio::of_one(35.0), Edition::Ieee2022, &mut Silent)?;
/// assert_eq!(limits.tdd, Ratio::percent(8.0));
/// assert_eq!(limits.order(5), Some(Ratio::percent(7.0)));
/// assert_eq!(limits.order(2), Some(Ratio::percent(3.5)));
/// # Ok::<(), calc::Refusal>(())
/// ```
///
/// # Errors
/// A voltage outside 120 V to 69 kV, or a ratio that is not above zero.
///
/// Source: [`IEEE_519_TABLE_2`], [`IEEE_519_EVEN`].
pub fn current_limits(voltage: Voltage, ratio: Ratio, edition: Edition, rec: &mut impl Recorder) -> Result<CurrentLimits, Refusal> {
    above_zero("I_sc/I_L", ratio)?;
    if !(120.0..=69_000.0).contains(&voltage.in_v()) {
        return Err(Refusal::new(format!("Table 2 holds for 120 V to 69 kV at the point of common coupling, not for {voltage}")));
    }
    let [.., last] = TABLE_2;
    let row = TABLE_2.into_iter().find(|row| ratio.in_of_one() < row.below).unwrap_or(last);
    let limits = CurrentLimits { row, edition, tdd: Ratio::percent(row.tdd) };
    rec.step(|| {
        Step::new("TDD_lim", "limit of total demand distortion", "", &IEEE_519_TABLE_2)
            .with("I_sc/I_L", ratio.in_of_one())
            .gives(limits.tdd)
            .note(if row.below.is_finite() {
                format!("row of I_sc/I_L below {}", row.below)
            } else {
                "row of I_sc/I_L of 1000 and more".to_owned()
            })
    });
    Ok(limits)
}

/// Limits of the voltage at a point of common coupling, as shares of its fundamental.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct VoltageLimits {
    /// Each order up to the 50th.
    pub individual: Ratio,
    /// Total harmonic distortion.
    pub thd: Ratio,
}

/// The voltage limits of IEEE 519 Table 1; both editions have the same.
///
/// ```
/// use calc::harmonics::voltage_limits;
/// use calc::working::Silent;
/// use plant::quantity::{Ratio, Voltage};
/// assert_eq!(voltage_limits(Voltage::v(480.0), &mut Silent)?.thd, Ratio::percent(8.0));
/// # Ok::<(), calc::Refusal>(())
/// ```
///
/// # Errors
/// A voltage that is not above zero.
///
/// Source: [`IEEE_519_TABLE_1`]; the row above 69 kV to 161 kV from memory.
pub fn voltage_limits(voltage: Voltage, rec: &mut impl Recorder) -> Result<VoltageLimits, Refusal> {
    above_zero("the voltage at the point of common coupling", voltage)?;
    let (individual, thd) = match voltage.in_kv() {
        ..=1.0 => (5.0, 8.0),
        ..=69.0 => (3.0, 5.0),
        ..=161.0 => (1.5, 2.5),
        _ => (1.0, 1.5),
    };
    let limits = VoltageLimits { individual: Ratio::percent(individual), thd: Ratio::percent(thd) };
    rec.step(|| {
        Step::new("THD_u,lim", "limit of voltage distortion", "", &IEEE_519_TABLE_1)
            .with("U", voltage)
            .gives(limits.thd)
            .note(format!("each order at most {individual} %"))
    });
    Ok(limits)
}
