//! What a conductor may carry by IEC 60364-5-52, and whether its protective device fits. Three loaded conductors; methods of
//! installation in air alone: for cables in the ground the standard's own tables are needed.

#[cfg(test)]
mod tests;

use plant::quantity::{Area, Count, Current, Ratio, Temperature, dim};

use super::nec_ampacity::{MATERIAL, PARALLEL_IN};
use super::size::{IecSize, Material};
use crate::checks::{above_zero, flag, whole, worded};
use crate::registry::{Arguments, Calculation, Input, Refusal, output, quantity, quantity_or, word};
use crate::sources::{DEFINITION, Knowledge, Source};
use crate::working::{Recorder, Step, Working};

/// Methods A1 to C.
pub const B_52_4_5: Source = Source::new(
    "IEC 60364-5-52:2009 Tables B.52.4 (70 °C) and B.52.5 (90 °C), three loaded conductors, read in public copies",
    Knowledge::LookedUp,
);
/// Method E.
pub const B_52_10: Source = Source::new(
    "IEC 60364-5-52:2009 Tables B.52.10 to B.52.13, method E, three loaded cores; the values used are those of several public copies",
    Knowledge::LookedUp,
);
/// Ambient temperature.
pub const B_52_14: Source = Source::new("IEC 60364-5-52:2009 Table B.52.14, air other than 30 °C", Knowledge::LookedUp);
/// Grouping.
pub const B_52_17: Source = Source::new(
    "IEC 60364-5-52:2009 Table B.52.17; the row of bunched cables looked up, the rows of single layers from memory",
    Knowledge::LookedUp,
);
/// The rule for overload protection.
pub const OVERLOAD: Source = Source::new("IEC 60364-4-43:2008 433.1: I_B ≤ I_n ≤ I_z and I_2 ≤ 1.45·I_z", Knowledge::FromMemory);

worded! {
    /// Reference method of installation.
    Method "reference method in air" {
        A1 "A1" "Insulated conductors in conduit in a thermally insulating wall.";
        A2 "A2" "Multi-core cable in conduit in a thermally insulating wall.";
        B1 "B1" "Insulated conductors in conduit on a wall.";
        B2 "B2" "Multi-core cable in conduit on a wall.";
        C "C" "Cable clipped to a wall.";
        E "E" "Multi-core cable in free air.";
    }
}

worded! {
    /// Insulation.
    Insulation "insulation" {
        Pvc "pvc" "Thermoplastic, 70 °C.";
        Xlpe "xlpe" "Thermosetting (cross-linked polyethylene, ethylene-propylene rubber), 90 °C.";
    }
}

worded! {
    /// How circuits lie beside each other.
    Grouping "arrangement of circuits" {
        Bunched "bunched" "In air, on a surface, embedded or enclosed, touching.";
        Wall "wall" "Single layer on a wall, floor or unperforated tray, touching.";
        Tray "tray" "Single layer on a perforated tray, touching.";
        Ladder "ladder" "Single layer on a ladder or brackets, touching.";
    }
}

/// An empty cell.
const NO: f64 = f64::NAN;

type Rows = [[f64; 6]; IecSize::COUNT];

/// Copper, 70 °C: A1, A2, B1, B2, C, E.
const COPPER_PVC: Rows = [
    [13.5, 13.0, 15.5, 15.0, 17.5, 18.5],
    [18.0, 17.5, 21.0, 20.0, 24.0, 25.0],
    [24.0, 23.0, 28.0, 27.0, 32.0, 34.0],
    [31.0, 29.0, 36.0, 34.0, 41.0, 43.0],
    [42.0, 39.0, 50.0, 46.0, 57.0, 60.0],
    [56.0, 52.0, 68.0, 62.0, 76.0, 80.0],
    [73.0, 68.0, 89.0, 80.0, 96.0, 101.0],
    [89.0, 83.0, 110.0, 99.0, 119.0, 126.0],
    [108.0, 99.0, 134.0, 118.0, 144.0, 153.0],
    [136.0, 125.0, 171.0, 149.0, 184.0, 196.0],
    [164.0, 150.0, 207.0, 179.0, 223.0, 238.0],
    [188.0, 172.0, 239.0, 206.0, 259.0, 276.0],
    [216.0, 196.0, 262.0, 225.0, 299.0, 319.0],
    [245.0, 223.0, 296.0, 255.0, 341.0, 364.0],
    [286.0, 261.0, 346.0, 297.0, 403.0, 430.0],
    [328.0, 298.0, 394.0, 339.0, 464.0, 497.0],
];

/// Copper, 90 °C.
const COPPER_XLPE: Rows = [
    [17.0, 16.5, 20.0, 19.5, 22.0, 23.0],
    [23.0, 22.0, 28.0, 26.0, 30.0, 32.0],
    [31.0, 30.0, 37.0, 35.0, 40.0, 42.0],
    [40.0, 38.0, 48.0, 44.0, 52.0, 54.0],
    [54.0, 51.0, 66.0, 60.0, 71.0, 75.0],
    [73.0, 68.0, 88.0, 80.0, 96.0, 100.0],
    [95.0, 89.0, 117.0, 105.0, 119.0, 127.0],
    [117.0, 109.0, 144.0, 128.0, 147.0, 158.0],
    [141.0, 130.0, 175.0, 154.0, 179.0, 192.0],
    [179.0, 164.0, 222.0, 194.0, 229.0, 246.0],
    [216.0, 197.0, 269.0, 233.0, 278.0, 298.0],
    [249.0, 227.0, 312.0, 268.0, 322.0, 346.0],
    [285.0, 259.0, 342.0, 300.0, 371.0, 399.0],
    [324.0, 295.0, 384.0, 340.0, 424.0, 456.0],
    [380.0, 346.0, 450.0, 398.0, 500.0, 538.0],
    [435.0, 396.0, 514.0, 455.0, 576.0, 621.0],
];

/// Aluminium, 70 °C; A2 and B2 are not held.
const ALUMINIUM_PVC: Rows = [
    [NO; 6],
    [14.0, NO, 16.5, NO, 18.5, 19.5],
    [18.5, NO, 22.0, NO, 25.0, 26.0],
    [24.0, NO, 28.0, NO, 32.0, 33.0],
    [32.0, NO, 39.0, NO, 44.0, 46.0],
    [43.0, NO, 53.0, NO, 59.0, 61.0],
    [57.0, NO, 70.0, NO, 73.0, 78.0],
    [70.0, NO, 86.0, NO, 90.0, 96.0],
    [84.0, NO, 104.0, NO, 110.0, 117.0],
    [107.0, NO, 133.0, NO, 140.0, 150.0],
    [129.0, NO, 161.0, NO, 170.0, 183.0],
    [149.0, NO, 186.0, NO, 197.0, 212.0],
    [170.0, NO, 204.0, NO, 227.0, 245.0],
    [194.0, NO, 230.0, NO, 259.0, 280.0],
    [227.0, NO, 269.0, NO, 305.0, 330.0],
    [261.0, NO, 306.0, NO, 351.0, 381.0],
];

/// Aluminium, 90 °C; A2, B1 and B2 are not held.
const ALUMINIUM_XLPE: Rows = [
    [NO; 6],
    [19.0, NO, NO, NO, 24.0, 24.0],
    [25.0, NO, NO, NO, 32.0, 32.0],
    [32.0, NO, NO, NO, 41.0, 42.0],
    [44.0, NO, NO, NO, 57.0, 58.0],
    [58.0, NO, NO, NO, 76.0, 77.0],
    [76.0, NO, NO, NO, 90.0, 97.0],
    [94.0, NO, NO, NO, 112.0, 120.0],
    [113.0, NO, NO, NO, 136.0, 146.0],
    [142.0, NO, NO, NO, 174.0, 187.0],
    [171.0, NO, NO, NO, 211.0, 227.0],
    [197.0, NO, NO, NO, 245.0, 263.0],
    [226.0, NO, NO, NO, 283.0, 304.0],
    [256.0, NO, NO, NO, 323.0, 347.0],
    [300.0, NO, NO, NO, 382.0, 409.0],
    [344.0, NO, NO, NO, 440.0, 471.0],
];

/// Temperature in °C, factors for 70 °C and 90 °C.
const AMBIENT: &[(f64, f64, f64)] = &[
    (10.0, 1.22, 1.15),
    (15.0, 1.17, 1.12),
    (20.0, 1.12, 1.08),
    (25.0, 1.06, 1.04),
    (30.0, 1.00, 1.00),
    (35.0, 0.94, 0.96),
    (40.0, 0.87, 0.91),
    (45.0, 0.79, 0.87),
    (50.0, 0.71, 0.82),
    (55.0, 0.61, 0.76),
    (60.0, 0.50, 0.71),
    (65.0, NO, 0.65),
    (70.0, NO, 0.58),
    (75.0, NO, 0.50),
    (80.0, NO, 0.41),
];

const BUNCHED: &[(u8, f64)] = &[
    (1, 1.00),
    (2, 0.80),
    (3, 0.70),
    (4, 0.65),
    (5, 0.60),
    (6, 0.57),
    (7, 0.54),
    (8, 0.52),
    (9, 0.50),
    (12, 0.45),
    (16, 0.41),
    (20, 0.38),
];
/// Single layers: nine circuits and more are alike.
const WALL: [f64; 9] = [1.00, 0.85, 0.79, 0.75, 0.73, 0.72, 0.72, 0.71, 0.70];
const TRAY: [f64; 9] = [1.00, 0.88, 0.82, 0.77, 0.75, 0.73, 0.73, 0.72, 0.72];
const LADDER: [f64; 9] = [1.00, 0.87, 0.82, 0.80, 0.80, 0.79, 0.79, 0.78, 0.78];

/// How metric conductors are run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct IecRun {
    /// What they are made of.
    pub material: Material,
    /// Their insulation.
    pub insulation: Insulation,
    /// Reference method.
    pub method: Method,
    /// Air around.
    pub ambient: Temperature,
    /// How circuits lie beside each other.
    pub grouping: Grouping,
    /// Circuits side by side, parallel ones counted.
    pub circuits: u8,
    /// Conductors in parallel a phase.
    pub parallel: u8,
}

/// What a phase may carry.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct IecAmpacity {
    /// The table's value of one conductor.
    pub table: Current,
    /// Factor for the air.
    pub ambient: Ratio,
    /// Factor for the circuits side by side.
    pub grouping: Ratio,
    /// The phase.
    pub usable: Current,
}

fn ambient_factor(ambient: Temperature, insulation: Insulation) -> Result<Ratio, Refusal> {
    let celsius = ambient.in_c();
    AMBIENT
        .iter()
        .find(|(row, _, _)| celsius.is_finite() && celsius <= row + 1e-9)
        .map(|(_, pvc, xlpe)| if insulation == Insulation::Pvc { *pvc } else { *xlpe })
        .filter(|f| !f.is_nan())
        .map(Ratio::of_one)
        .ok_or_else(|| Refusal::new(format!("in air of {ambient} a {} cable may carry nothing by the table", insulation.word())))
}

fn grouping_factor(grouping: Grouping, circuits: u8) -> Result<Ratio, Refusal> {
    let layer = |row: &[f64; 9]| row.get(usize::from(circuits.saturating_sub(1)).min(8)).copied();
    let factor = match grouping {
        Grouping::Bunched => BUNCHED.iter().find(|(most, _)| circuits <= *most).map(|(_, f)| *f),
        Grouping::Wall => layer(&WALL),
        Grouping::Tray => layer(&TRAY),
        Grouping::Ladder => layer(&LADDER),
    };
    factor.map(Ratio::of_one).ok_or_else(|| {
        Refusal::new(format!("the table of bunched circuits ends at 20, not at {circuits}; the bunch must be divided or calculated"))
    })
}

/// What a phase may carry.
///
/// I_z = n·I_table·k_ambient·k_group. Air between two rows takes the hotter one, circuits between two columns the next larger
/// number. Units: A. Conductors of a group must be alike, and loaded alike.
///
/// # Errors
/// For a cell that is empty or not held, air beyond the table, or more than twenty bunched circuits.
///
/// Source: IEC 60364-5-52 Annex B. Worked example: 25 mm² copper, 70 °C, B2 in 40 °C: 80·0.87 = 69.6 A.
/// ```
/// use calc::{conductor::{iec_ampacity::*, size::{IecSize, Material}}, working::Silent};
/// use plant::quantity::{Area, Temperature};
/// let run = IecRun {
///     material: Material::Copper, insulation: Insulation::Pvc, method: Method::B2, ambient: Temperature::c(40.0),
///     grouping: Grouping::Bunched, circuits: 1, parallel: 1,
/// };
/// let found = iec_ampacity(IecSize::of(Area::mm2(25.0)).unwrap(), &run, &mut Silent).unwrap();
/// assert!((found.usable.in_a() - 69.6).abs() < 1e-9);
/// ```
pub fn iec_ampacity<R: Recorder>(size: IecSize, run: &IecRun, rec: &mut R) -> Result<IecAmpacity, Refusal> {
    if run.parallel == 0 || run.circuits < run.parallel {
        return Err(Refusal::new("conductors in parallel are circuits side by side: their number of circuits is no smaller than theirs"));
    }
    let rows = match (run.material, run.insulation) {
        (Material::Copper, Insulation::Pvc) => &COPPER_PVC,
        (Material::Copper, Insulation::Xlpe) => &COPPER_XLPE,
        (Material::Aluminium, Insulation::Pvc) => &ALUMINIUM_PVC,
        (Material::Aluminium, Insulation::Xlpe) => &ALUMINIUM_XLPE,
    };
    let (column, source) = match run.method {
        Method::A1 => (0, &B_52_4_5),
        Method::A2 => (1, &B_52_4_5),
        Method::B1 => (2, &B_52_4_5),
        Method::B2 => (3, &B_52_4_5),
        Method::C => (4, &B_52_4_5),
        Method::E => (5, &B_52_10),
    };
    let amperes = rows[size.row()][column];
    if amperes.is_nan() {
        return Err(Refusal::new(format!(
            "no ampacity is held for {} {} {} by method {}; read it in the standard",
            size.area(),
            run.material.word(),
            run.insulation.word(),
            run.method.word()
        )));
    }
    let table = Current::a(amperes);
    let (ambient, grouping) = (ambient_factor(run.ambient, run.insulation)?, grouping_factor(run.grouping, run.circuits)?);
    let usable = table * ambient.in_of_one() * grouping.in_of_one() * f64::from(run.parallel);
    rec.step(|| {
        let what = format!("{} {} {}, method {}", size.area(), run.material.word(), run.insulation.word(), run.method.word());
        Step::new("I_table", what, "", source).gives(table).note("three loaded conductors, 30 °C")
    });
    rec.step(|| {
        Step::new("k_ambient", format!("correction for air of {}", run.ambient), "", &B_52_14)
            .gives(ambient)
            .note("between two rows the hotter one")
    });
    rec.step(|| {
        Step::new("k_group", format!("correction for {} circuits, {}", run.circuits, run.grouping.word()), "", &B_52_17)
            .gives(grouping)
            .note("between two columns the next larger number of circuits")
    });
    rec.step(|| {
        Step::new("I_z", "what the phase may carry", "n·I_table·k_ambient·k_group", &DEFINITION)
            .with("n", Count::of(f64::from(run.parallel)))
            .with("I_table", table)
            .with("k_ambient", ambient)
            .with("k_group", grouping)
            .gives(usable)
    });
    Ok(IecAmpacity { table, ambient, grouping, usable })
}

/// Whether a device protects a conductor against overload.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Overload {
    /// I_n − I_B: negative when the device is smaller than the load.
    pub over_load: Current,
    /// I_z − I_n: negative when the device is larger than the conductor.
    pub under_conductor: Current,
    /// 1.45·I_z − I_2: negative when the device trips too late.
    pub trips_in_time: Current,
    /// All three hold.
    pub holds: bool,
}

/// The rule of overload protection: I_B ≤ I_n ≤ I_z and I_2 ≤ 1.45·I_z.
///
/// `trips` is I_2 over I_n, the current at which the device surely trips: 1.6 for gG fuses from 16 A, 1.45 for miniature
/// breakers, 1.30 for industrial ones (from memory). Units: A.
///
/// # Errors
/// When a value is not above zero.
///
/// Source: IEC 60364-4-43 433.1. Worked example: 60 A of load, a 63 A gG fuse and 70 A of conductor: 100.8 A ≤ 101.5 A.
/// ```
/// use calc::{conductor::iec_ampacity::overload, working::Silent};
/// use plant::quantity::{Current, Ratio};
/// let rule = overload(Current::a(60.0), Current::a(63.0), Current::a(70.0), Ratio::of_one(1.6), &mut Silent).unwrap();
/// assert!(rule.holds && (rule.trips_in_time.in_a() - 0.7).abs() < 1e-9);
/// ```
pub fn overload<R: Recorder>(load: Current, device: Current, conductor: Current, trips: Ratio, rec: &mut R) -> Result<Overload, Refusal> {
    above_zero("the current of the load", load)?;
    above_zero("the rating of the device", device)?;
    above_zero("the ampacity of the conductor", conductor)?;
    above_zero("the ratio of tripping", trips)?;
    let surely = device * trips.in_of_one();
    let (over_load, under_conductor, trips_in_time) = (device - load, conductor - device, conductor * 1.45 - surely);
    let holds = [over_load, under_conductor, trips_in_time].iter().all(|m| *m >= Current::ZERO);
    rec.step(|| Step::new("I_n − I_B", "device over load", "I_n − I_B", &OVERLOAD).with("I_n", device).with("I_B", load).gives(over_load));
    rec.step(|| {
        Step::new("I_z − I_n", "conductor over device", "I_z − I_n", &OVERLOAD)
            .with("I_z", conductor)
            .with("I_n", device)
            .gives(under_conductor)
    });
    rec.step(|| {
        Step::new("1.45·I_z − I_2", "conductor over sure tripping", "1.45·I_z − k_2·I_n", &OVERLOAD)
            .with("I_z", conductor)
            .with("k_2", trips)
            .with("I_n", device)
            .gives(trips_in_time)
    });
    Ok(Overload { over_load, under_conductor, trips_in_time, holds })
}

pub(super) const IEC_CONDUCTOR: Input = quantity::<dim::AreaDim>("conductor", "size of one conductor: 35 mm²");
/// The inputs that make up an [`IecRun`].
pub(super) const IEC_RUN: [Input; 7] = [
    MATERIAL,
    word("insulation", Insulation::WORDS, "70 °C or 90 °C"),
    word("method", Method::WORDS, "reference method of installation, in air"),
    quantity_or::<dim::TemperatureDim>("ambient", "30 °C", "air around the cable"),
    word("grouping", Grouping::WORDS, "how circuits lie beside each other"),
    quantity_or::<dim::CountDim>("circuits", "1", "circuits side by side, parallel ones counted"),
    PARALLEL_IN,
];

/// The run that a call states.
pub(super) fn iec_run_of(a: &Arguments) -> Result<IecRun, Refusal> {
    Ok(IecRun {
        material: Material::from_word(a.word("material"))?,
        insulation: Insulation::from_word(a.word("insulation"))?,
        method: Method::from_word(a.word("method"))?,
        ambient: a.get("ambient"),
        grouping: Grouping::from_word(a.word("grouping"))?,
        circuits: whole("the number of circuits", a.get("circuits"))?,
        parallel: whole("the number of conductors in parallel", a.get("parallel"))?,
    })
}

/// `calc iec-ampacity`.
pub const IEC_AMPACITY: Calculation = Calculation {
    name: "iec-ampacity",
    summary: "What a phase may carry by IEC 60364-5-52: table, air and grouping.",
    inputs: &[IEC_CONDUCTOR, IEC_RUN[0], IEC_RUN[1], IEC_RUN[2], IEC_RUN[3], IEC_RUN[4], IEC_RUN[5], IEC_RUN[6]],
    results: &[
        output::<dim::CurrentDim>("table", "A", "the table's value of one conductor"),
        output::<dim::RatioDim>("ambient-factor", "pu", "factor for the air"),
        output::<dim::RatioDim>("grouping-factor", "pu", "factor for the circuits side by side"),
        output::<dim::CurrentDim>("usable", "A", "what the phase may carry"),
    ],
    sources: &[&B_52_4_5, &B_52_10, &B_52_14, &B_52_17],
    run: |a: &Arguments, w: &mut Working| {
        let conductor: Area = a.get("conductor");
        let found = iec_ampacity(IecSize::of(conductor)?, &iec_run_of(a)?, w)?;
        Ok(vec![found.table.in_si(), found.ambient.in_si(), found.grouping.in_si(), found.usable.in_si()])
    },
};

/// `calc iec-overload`.
pub const IEC_OVERLOAD: Calculation = Calculation {
    name: "iec-overload",
    summary: "Whether a device protects a conductor against overload: I_B ≤ I_n ≤ I_z and I_2 ≤ 1.45·I_z.",
    inputs: &[
        quantity::<dim::CurrentDim>("load", "I_B, the current of the load"),
        quantity::<dim::CurrentDim>("device", "I_n, the rating or setting of the device"),
        quantity::<dim::CurrentDim>("conductor", "I_z, what the conductor may carry"),
        quantity_or::<dim::RatioDim>("trips", "1.6", "I_2 over I_n: 1.6 gG fuse, 1.45 miniature breaker, 1.3 industrial breaker"),
    ],
    results: &[
        output::<dim::CurrentDim>("over-load", "A", "I_n − I_B"),
        output::<dim::CurrentDim>("under-conductor", "A", "I_z − I_n"),
        output::<dim::CurrentDim>("trips-in-time", "A", "1.45·I_z − I_2"),
        output::<dim::CountDim>("holds", "", "1 when none is negative"),
    ],
    sources: &[&OVERLOAD],
    run: |a: &Arguments, w: &mut Working| {
        let rule = overload(a.get("load"), a.get("device"), a.get("conductor"), a.get("trips"), w)?;
        Ok(vec![rule.over_load.in_si(), rule.under_conductor.in_si(), rule.trips_in_time.in_si(), flag(rule.holds)])
    },
};
