//! Full-load currents and efficiencies that standards tabulate: the exact row, or a refusal that names the nearest rows.
//! Nothing is interpolated.

use plant::quantity::{Count, Current, Power, Ratio, Voltage, dim};

use super::shaft::full_load_amps;
use super::{positive, required_word, row_of};
use crate::registry::{Calculation, Refusal, output, quantity, word};
use crate::sources::{DEFINITION, Knowledge, Source};
use crate::working::{Recorder, Step};

/// Editions of the National Electrical Code (NFPA 70).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum NecEdition {
    /// 2008.
    Y2008,
    /// 2011.
    Y2011,
    /// 2014.
    Y2014,
    /// 2017.
    Y2017,
    /// 2020.
    Y2020,
    /// 2023.
    Y2023,
}

impl NecEdition {
    /// Every edition as written, newest first.
    pub const WORDS: &'static [&'static str] = &["2023", "2020", "2017", "2014", "2011", "2008"];

    /// The edition of that year.
    #[must_use]
    pub fn named(year: &str) -> Option<Self> {
        Some(match year {
            "2008" => Self::Y2008,
            "2011" => Self::Y2011,
            "2014" => Self::Y2014,
            "2017" => Self::Y2017,
            "2020" => Self::Y2020,
            "2023" => Self::Y2023,
            _ => return None,
        })
    }
}

/// The text that was read.
const NEC_430_250_2008: Source = Source::new("NFPA 70:2008 NEC Table 430.250", Knowledge::LookedUp);
/// Later editions: the table is the same as far as we recall.
const NEC_430_250_LATER: Source = Source::new("NFPA 70 NEC Table 430.250, taken as unchanged since 2008", Knowledge::FromMemory);

/// Rated motor voltages of Table 430.250, one a column, with the system voltages its note extends the column to.
/// (The 2300 V column is left out: no drive here has that voltage.)
const NEC_COLUMNS_V: [(f64, [f64; 2]); 6] = [
    (115.0, [110.0, 120.0]),
    (200.0, [200.0, 200.0]),
    (208.0, [208.0, 208.0]),
    (230.0, [220.0, 240.0]),
    (460.0, [440.0, 480.0]),
    (575.0, [550.0, 600.0]),
];
/// A dash in the table.
const DASH: f64 = 0.0;
/// Table 430.250, induction-type motors: hp, then amperes for each of [`NEC_COLUMNS_V`].
const NEC_430_250_A: [(f64, [f64; 6]); 27] = [
    (0.5, [4.4, 2.5, 2.4, 2.2, 1.1, 0.9]),
    (0.75, [6.4, 3.7, 3.5, 3.2, 1.6, 1.3]),
    (1.0, [8.4, 4.8, 4.6, 4.2, 2.1, 1.7]),
    (1.5, [12.0, 6.9, 6.6, 6.0, 3.0, 2.4]),
    (2.0, [13.6, 7.8, 7.5, 6.8, 3.4, 2.7]),
    (3.0, [DASH, 11.0, 10.6, 9.6, 4.8, 3.9]),
    (5.0, [DASH, 17.5, 16.7, 15.2, 7.6, 6.1]),
    (7.5, [DASH, 25.3, 24.2, 22.0, 11.0, 9.0]),
    (10.0, [DASH, 32.2, 30.8, 28.0, 14.0, 11.0]),
    (15.0, [DASH, 48.3, 46.2, 42.0, 21.0, 17.0]),
    (20.0, [DASH, 62.1, 59.4, 54.0, 27.0, 22.0]),
    (25.0, [DASH, 78.2, 74.8, 68.0, 34.0, 27.0]),
    (30.0, [DASH, 92.0, 88.0, 80.0, 40.0, 32.0]),
    (40.0, [DASH, 120.0, 114.0, 104.0, 52.0, 41.0]),
    (50.0, [DASH, 150.0, 143.0, 130.0, 65.0, 52.0]),
    (60.0, [DASH, 177.0, 169.0, 154.0, 77.0, 62.0]),
    (75.0, [DASH, 221.0, 211.0, 192.0, 96.0, 77.0]),
    (100.0, [DASH, 285.0, 273.0, 248.0, 124.0, 99.0]),
    (125.0, [DASH, 359.0, 343.0, 312.0, 156.0, 125.0]),
    (150.0, [DASH, 414.0, 396.0, 360.0, 180.0, 144.0]),
    (200.0, [DASH, 552.0, 528.0, 480.0, 240.0, 192.0]),
    (250.0, [DASH, DASH, DASH, DASH, 302.0, 242.0]),
    (300.0, [DASH, DASH, DASH, DASH, 361.0, 289.0]),
    (350.0, [DASH, DASH, DASH, DASH, 414.0, 336.0]),
    (400.0, [DASH, DASH, DASH, DASH, 477.0, 382.0]),
    (450.0, [DASH, DASH, DASH, DASH, 515.0, 412.0]),
    (500.0, [DASH, DASH, DASH, DASH, 590.0, 472.0]),
];

/// The full-load current that the NEC sizes conductors and protective devices of a three-phase induction motor by.
///
/// The ampere figure of Table 430.250 for a horsepower rating and a voltage: a rated motor voltage (115, 200, 208, 230,
/// 460, 575 V) or a system voltage that the table's note assigns to a column (110–120, 220–240, 440–480, 550–600 V).
/// Holds for usual speeds and normal torque; overload protection goes by the plate instead (430.6(A)(2)).
///
/// # Errors
/// When the table has no such rating (the nearest rows are named), no such voltage, or a dash in that cell.
///
/// Source: NFPA 70 (NEC) Table 430.250, 2008 text (looked up in a public copy); later editions taken as unchanged (from
/// memory). Worked example: 40 hp at 460 V is 52 A.
/// ```
/// use calc::{motor::full_load::{nec_motor_amps, NecEdition}, working::Silent};
/// use plant::quantity::{Power, Voltage};
/// let i = nec_motor_amps(Power::hp(40.0), Voltage::v(480.0), NecEdition::Y2008, &mut Silent).unwrap();
/// assert_eq!(i.in_a(), 52.0);
/// let none = nec_motor_amps(Power::hp(45.0), Voltage::v(460.0), NecEdition::Y2008, &mut Silent).unwrap_err();
/// assert!(none.to_string().contains("40 hp and 50 hp"));
/// ```
pub fn nec_motor_amps<R: Recorder>(power: Power, voltage: Voltage, edition: NecEdition, rec: &mut R) -> Result<Current, Refusal> {
    positive("the power", power)?;
    let u = positive("the voltage", voltage)?;
    let column = NEC_COLUMNS_V.iter().position(|(rated, _)| (rated - u).abs() < 1e-6).or_else(|| {
        // A rated motor voltage wins over a system range; ranges do not overlap.
        NEC_COLUMNS_V.iter().position(|(_, [low, high])| (*low..=*high).contains(&u))
    });
    let Some(column) = column else {
        return Err(Refusal::new(format!(
            "Table 430.250 has no column for {voltage}; it has 115, 200, 208, 230, 460 and 575 V (systems of 110–120, 220–240, 440–480 and 550–600 V)"
        )));
    };
    let (hp, cells) = row_of(&NEC_430_250_A, |r| r.0, power.in_hp(), "hp", "Table 430.250")?;
    let rated = NEC_COLUMNS_V[column].0;
    if cells[column] <= DASH {
        return Err(Refusal::new(format!("Table 430.250 has a dash for {hp} hp at {rated} V")));
    }
    let current = Current::a(cells[column]);
    rec.step(|| {
        let source = if edition == NecEdition::Y2008 { &NEC_430_250_2008 } else { &NEC_430_250_LATER };
        Step::new("I_FLC", "full-load current by the code's table", "", source)
            .gives(current)
            .note(format!("row {hp} hp, column {rated} V; induction-type motor"))
    });
    Ok(current)
}

/// Efficiency classes with a tabulated nominal efficiency.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EfficiencyClass {
    /// IEC IE1 at 50 Hz.
    Ie1,
    /// IEC IE2 at 50 Hz.
    Ie2,
    /// IEC IE3 at 50 Hz.
    Ie3,
    /// 60 Hz premium, enclosed: NEMA MG 1 Table 12-12, which IE3 at 60 Hz equals.
    Premium,
    /// 60 Hz energy-efficient, enclosed: the US law of 1992, NEMA MG 1 Table 12-11, which IE2 at 60 Hz equals.
    EnergyEfficient,
}

impl EfficiencyClass {
    /// Every class as written.
    pub const WORDS: &'static [&'static str] = &["ie1", "ie2", "ie3", "premium", "energy-efficient"];

    /// The class of that name.
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        Some(match name {
            "ie1" => Self::Ie1,
            "ie2" => Self::Ie2,
            "ie3" => Self::Ie3,
            "premium" => Self::Premium,
            "energy-efficient" => Self::EnergyEfficient,
            _ => return None,
        })
    }
}

const IEC_LOOKED_UP: Source = Source::new("IEC 60034-30-1:2014, nominal efficiency, 4 poles, 50 Hz", Knowledge::LookedUp);
const IEC_FROM_MEMORY: Source = Source::new("IEC 60034-30-1:2014, nominal efficiency, 4 poles, 50 Hz", Knowledge::FromMemory);
const CFR_PREMIUM: Source =
    Source::new("10 CFR 431.25 Table 1 (rule of 2010; NEMA MG 1 Table 12-12), enclosed motors", Knowledge::LookedUp);
const CFR_EPACT: Source = Source::new("10 CFR 431.25 (rule of 1999; NEMA MG 1 Table 12-11), enclosed motors", Knowledge::LookedUp);

/// A percentage of the IEC table and how it is known.
struct Cell(f64, &'static Source);
const fn seen(percent: f64) -> Cell {
    Cell(percent, &IEC_LOOKED_UP)
}
const fn recalled(percent: f64) -> Cell {
    Cell(percent, &IEC_FROM_MEMORY)
}

/// IEC 60034-30-1:2014, 4 poles, 50 Hz: kW, then IE1, IE2, IE3. The last row stands for 200 kW up to [`IEC_LAST_KW`].
const IEC_4_POLES_50_HZ: [(f64, [Cell; 3]); 28] = [
    (0.12, [recalled(50.0), recalled(59.1), recalled(64.8)]),
    (0.18, [recalled(57.0), recalled(64.7), recalled(69.9)]),
    (0.25, [recalled(61.5), recalled(68.5), recalled(73.5)]),
    (0.37, [recalled(66.0), recalled(72.7), recalled(77.3)]),
    (0.55, [recalled(70.0), recalled(77.1), recalled(80.8)]),
    (0.75, [seen(72.1), seen(79.6), seen(82.5)]),
    (1.1, [seen(75.0), seen(81.4), seen(84.1)]),
    (1.5, [seen(77.2), seen(82.8), seen(85.3)]),
    (2.2, [seen(79.7), seen(84.3), seen(86.7)]),
    (3.0, [seen(81.5), seen(85.5), seen(87.7)]),
    (4.0, [seen(83.1), seen(86.6), seen(88.6)]),
    (5.5, [seen(84.7), seen(87.7), seen(89.6)]),
    (7.5, [seen(86.0), seen(88.7), seen(90.4)]),
    (11.0, [seen(87.6), seen(89.8), recalled(91.4)]),
    (15.0, [recalled(88.7), seen(90.6), seen(92.1)]),
    (18.5, [recalled(89.3), recalled(91.2), recalled(92.6)]),
    (22.0, [recalled(89.9), seen(91.6), seen(93.0)]),
    (30.0, [recalled(90.7), recalled(92.3), seen(93.6)]),
    (37.0, [recalled(91.2), seen(92.7), recalled(93.9)]),
    (45.0, [recalled(91.7), recalled(93.1), recalled(94.2)]),
    (55.0, [recalled(92.1), seen(93.5), seen(94.6)]),
    (75.0, [recalled(92.7), recalled(94.0), seen(95.0)]),
    (90.0, [recalled(93.0), seen(94.2), seen(95.2)]),
    (110.0, [recalled(93.3), recalled(94.5), seen(95.4)]),
    (132.0, [recalled(93.5), seen(94.7), seen(95.6)]),
    (160.0, [recalled(93.8), recalled(94.9), recalled(95.8)]),
    // 200 kW and more: the figures at 315 kW were read in a public copy too.
    (200.0, [recalled(94.0), seen(95.1), seen(96.0)]),
    (1000.0, [recalled(94.0), seen(95.1), seen(96.0)]),
];
/// From here to the end of the table the figures stand still.
const IEC_FIRST_OF_LAST_ROW_KW: f64 = 200.0;
const IEC_LAST_KW: f64 = 1000.0;

/// 10 CFR 431.25, enclosed motors, 60 Hz: hp, then premium (2, 4, 6 poles), then energy-efficient (2, 4, 6 poles).
const US_60_HZ: [(f64, [f64; 3], [f64; 3]); 19] = [
    (1.0, [77.0, 85.5, 82.5], [75.5, 82.5, 80.0]),
    (1.5, [84.0, 86.5, 87.5], [82.5, 84.0, 85.5]),
    (2.0, [85.5, 86.5, 88.5], [84.0, 84.0, 86.5]),
    (3.0, [86.5, 89.5, 89.5], [85.5, 87.5, 87.5]),
    (5.0, [88.5, 89.5, 89.5], [87.5, 87.5, 87.5]),
    (7.5, [89.5, 91.7, 91.0], [88.5, 89.5, 89.5]),
    (10.0, [90.2, 91.7, 91.0], [89.5, 89.5, 89.5]),
    (15.0, [91.0, 92.4, 91.7], [90.2, 91.0, 90.2]),
    (20.0, [91.0, 93.0, 91.7], [90.2, 91.0, 90.2]),
    (25.0, [91.7, 93.6, 93.0], [91.0, 92.4, 91.7]),
    (30.0, [91.7, 93.6, 93.0], [91.0, 92.4, 91.7]),
    (40.0, [92.4, 94.1, 94.1], [91.7, 93.0, 93.0]),
    (50.0, [93.0, 94.5, 94.1], [92.4, 93.0, 93.0]),
    (60.0, [93.6, 95.0, 94.5], [93.0, 93.6, 93.6]),
    (75.0, [93.6, 95.4, 94.5], [93.0, 94.1, 93.6]),
    (100.0, [94.1, 95.4, 95.0], [93.6, 94.5, 94.1]),
    (125.0, [95.0, 95.4, 95.0], [94.5, 94.5, 94.1]),
    (150.0, [95.0, 95.8, 95.8], [94.5, 95.0, 95.0]),
    (200.0, [95.4, 96.2, 95.8], [95.0, 95.0, 95.0]),
];

/// The nominal efficiency of a motor of a class.
///
/// IE1, IE2 and IE3: 4 poles, 50 Hz, 0.12 … 1000 kW. Premium and energy-efficient: enclosed, 60 Hz, 2, 4 or 6 poles,
/// 1 … 200 hp. A nominal figure: the single motor may be lower by the standard's tolerance, and an older motor may have
/// no class at all. Ratings between two rows are refused, not interpolated; from 200 kW the IEC figure is constant.
///
/// # Errors
/// When the table has no such rating (the nearest rows are named) or no such number of poles.
///
/// Source: IEC 60034-30-1:2014 (partly looked up in a public copy, partly from memory, as the step says); 10 CFR 431.25
/// (looked up in a public copy). Worked example: IE3, 22 kW, 4 poles is 93.0 %.
/// ```
/// use calc::{motor::full_load::{class_efficiency, EfficiencyClass}, working::Silent};
/// use plant::quantity::{Count, Power};
/// let eta = class_efficiency(EfficiencyClass::Ie3, Power::kw(22.0), Count::of(4.0), &mut Silent).unwrap();
/// assert!((eta.in_percent() - 93.0).abs() < 1e-9);
/// assert!(class_efficiency(EfficiencyClass::Ie3, Power::kw(20.0), Count::of(4.0), &mut Silent).is_err());
/// ```
pub fn class_efficiency<R: Recorder>(class: EfficiencyClass, power: Power, poles: Count, rec: &mut R) -> Result<Ratio, Refusal> {
    positive("the power", power)?;
    let p = poles.in_count();
    let no_such_poles = |has: &str| Refusal::new(format!("the table at hand has {has}, not {p} poles"));
    let (percent, source) = match class {
        EfficiencyClass::Ie1 | EfficiencyClass::Ie2 | EfficiencyClass::Ie3 => {
            if (p - 4.0).abs() > 0.0 {
                return Err(no_such_poles("4 poles"));
            }
            let kw = if (IEC_FIRST_OF_LAST_ROW_KW..=IEC_LAST_KW).contains(&power.in_kw()) { IEC_LAST_KW } else { power.in_kw() };
            let row = row_of(&IEC_4_POLES_50_HZ, |r| r.0, kw, "kW", "the table of IEC 60034-30-1")?;
            let Cell(percent, source) = &row.1[class as usize];
            (*percent, *source)
        }
        EfficiencyClass::Premium | EfficiencyClass::EnergyEfficient => {
            let column = [2.0, 4.0, 6.0].iter().position(|n| (n - p).abs() < 0.5).ok_or_else(|| no_such_poles("2, 4 and 6 poles"))?;
            let (_, premium, efficient) = row_of(&US_60_HZ, |r| r.0, power.in_hp(), "hp", "the table of 10 CFR 431.25")?;
            if class == EfficiencyClass::Premium { (premium[column], &CFR_PREMIUM) } else { (efficient[column], &CFR_EPACT) }
        }
    };
    let efficiency = Ratio::percent(percent);
    rec.step(|| Step::new("η", format!("nominal efficiency, {p} poles, {power}"), "", source).gives(efficiency));
    Ok(efficiency)
}

/// `calc nec-motor-amps`.
pub const NEC_MOTOR_AMPS: Calculation = Calculation {
    name: "nec-motor-amps",
    summary: "Full-load current of a three-phase induction motor by NEC Table 430.250.",
    inputs: &[
        quantity::<dim::PowerDim>("power", "rated power, a row of the table in hp"),
        quantity::<dim::VoltageDim>("voltage", "rated motor voltage or system voltage"),
        word("edition", NecEdition::WORDS, "edition of the code"),
    ],
    results: &[output::<dim::CurrentDim>("current", "A", "full-load current by the table")],
    sources: &[&NEC_430_250_2008, &NEC_430_250_LATER],
    run: |a, w| {
        let edition = NecEdition::named(a.word("edition")).ok_or_else(|| Refusal::new("no such edition"))?;
        Ok(vec![nec_motor_amps(a.get("power"), a.get("voltage"), edition, w)?.in_si()])
    },
};

fn class_of(word: &str) -> Result<EfficiencyClass, Refusal> {
    EfficiencyClass::named(word).ok_or_else(|| Refusal::new("no such efficiency class"))
}

/// `calc class-efficiency`.
pub const CLASS_EFFICIENCY: Calculation = Calculation {
    name: "class-efficiency",
    summary: "Nominal efficiency of a motor of an efficiency class.",
    inputs: &[
        required_word("class", EfficiencyClass::WORDS, "IE class at 50 Hz, or the US class at 60 Hz"),
        quantity::<dim::PowerDim>("power", "rated power, a row of the class's table"),
        quantity::<dim::CountDim>("poles", "number of poles, not pole pairs"),
    ],
    results: &[output::<dim::RatioDim>("efficiency", "%", "nominal efficiency")],
    sources: &[&IEC_LOOKED_UP, &IEC_FROM_MEMORY, &CFR_PREMIUM, &CFR_EPACT],
    run: |a, w| Ok(vec![class_efficiency(class_of(a.word("class"))?, a.get("power"), a.get("poles"), w)?.in_si()]),
};

/// `calc class-full-load-amps`.
pub const CLASS_FULL_LOAD_AMPS: Calculation = Calculation {
    name: "class-full-load-amps",
    summary: "Full-load current from power, voltage, efficiency class and power factor.",
    inputs: &[
        required_word("class", EfficiencyClass::WORDS, "IE class at 50 Hz, or the US class at 60 Hz"),
        quantity::<dim::PowerDim>("power", "rated power, a row of the class's table"),
        quantity::<dim::VoltageDim>("voltage", "rated voltage, line to line"),
        quantity::<dim::CountDim>("poles", "number of poles, not pole pairs"),
        quantity::<dim::RatioDim>("power_factor", "cos φ at rated power"),
    ],
    results: &[
        output::<dim::CurrentDim>("current", "A", "line current"),
        output::<dim::RatioDim>("efficiency", "%", "nominal efficiency of the class"),
    ],
    sources: &[&DEFINITION, &IEC_LOOKED_UP, &IEC_FROM_MEMORY, &CFR_PREMIUM, &CFR_EPACT],
    run: |a, w| {
        let efficiency = class_efficiency(class_of(a.word("class"))?, a.get("power"), a.get("poles"), w)?;
        let current = full_load_amps(a.get("power"), a.get("voltage"), efficiency, a.get("power_factor"), w)?;
        Ok(vec![current.in_si(), efficiency.in_si()])
    },
};

#[cfg(test)]
mod tests {
    use super::*;
    use crate::working::Silent;

    #[test]
    fn tables_rise_with_the_rating() {
        for rows in NEC_430_250_A.windows(2) {
            assert!(rows[0].0 < rows[1].0);
            for column in 0..NEC_COLUMNS_V.len() {
                let (a, b) = (rows[0].1[column], rows[1].1[column]);
                assert!(b <= DASH || a < b, "{} hp, column {column}", rows[1].0);
            }
        }
        for rows in IEC_4_POLES_50_HZ.windows(2) {
            for class in 0..3 {
                assert!(rows[0].1[class].0 <= rows[1].1[class].0, "{} kW", rows[1].0);
                assert!(class == 0 || rows[0].1[class - 1].0 < rows[0].1[class].0, "{} kW", rows[0].0);
            }
        }
        for rows in US_60_HZ.windows(2) {
            for column in 0..3 {
                assert!(rows[0].1[column] <= rows[1].1[column] && rows[0].2[column] <= rows[1].2[column], "{} hp", rows[1].0);
                assert!(rows[0].2[column] < rows[0].1[column], "{} hp", rows[0].0);
            }
        }
    }

    #[test]
    fn currents_scale_with_the_voltage_columns() {
        // The columns of the table follow from one another by the voltage, to the rounding of the code.
        for (hp, cells) in NEC_430_250_A {
            for (column, (volts, _)) in NEC_COLUMNS_V.iter().enumerate() {
                if cells[column] > DASH {
                    let at_460 = cells[column] * volts / 460.0;
                    assert!((at_460 / cells[4] - 1.0).abs() < 0.08, "{hp} hp at {volts} V: {at_460} against {}", cells[4]);
                }
            }
        }
    }

    #[test]
    fn what_the_tables_lack_is_refused_with_the_neighbours() {
        let amps = |hp: f64, volts: f64| nec_motor_amps(Power::hp(hp), Voltage::v(volts), NecEdition::Y2023, &mut Silent);
        for (hp, volts, words) in [
            (45.0, 460.0, "40 hp and 50 hp"),
            (600.0, 460.0, "is 500 hp"),
            (0.25, 460.0, "is 0.5 hp"),
            (40.0, 400.0, "no column for 400 V"),
            (40.0, 115.0, "dash"),
            (250.0, 230.0, "dash"),
            (-1.0, 460.0, "above zero"),
            (f64::NAN, 460.0, "above zero"),
        ] {
            let refusal = amps(hp, volts).expect_err(words).to_string();
            assert!(refusal.contains(words), "{hp} hp {volts} V: {refusal}");
        }
        assert_eq!(amps(40.0, 240.0), amps(40.0, 230.0));
        let class = |class, kw: f64, poles| class_efficiency(class, Power::kw(kw), Count::of(poles), &mut Silent).map(Ratio::in_percent);
        assert!(class(EfficiencyClass::Ie3, 22.0, 2.0).is_err());
        assert!(class(EfficiencyClass::Ie3, 199.0, 4.0).is_err());
        assert!(class(EfficiencyClass::Premium, 22.0, 4.0).is_err());
        assert!(class(EfficiencyClass::Ie2, 355.0, 4.0).is_ok_and(|p| (p - 95.1).abs() < 1e-9));
    }
}
