//! What voltage at its terminals a motor is built for, and which limit its plate, papers and age allow to be taken.

use plant::quantity::{Count, Dimension, Ratio, Time, Voltage, dim};

use super::micros;
use crate::load::above_zero;
use crate::registry::{Arguments, Calculation, Input, InputKind, Refusal, output, quantity, quantity_or, word};
use crate::sources::{Knowledge, PRACTICE, Source};
use crate::working::{Recorder, Step, Working};

/// General-purpose motors.
pub const NEMA_30: Source = Source::new("NEMA MG 1 Part 30 (30.2.2.8): to 600 V 1000 V peak, rise 2 µs or longer", Knowledge::LookedUp);
/// The same above 600 V.
pub const NEMA_30_ABOVE: Source =
    Source::new("NEMA MG 1 Part 30 (30.2.2.8): above 600 V 2.5·√2/√3·U_N peak, rise 1 µs or longer", Knowledge::FromMemory);
/// Definite-purpose inverter-fed motors.
pub const NEMA_31: Source = Source::new("NEMA MG 1 31.4.4.2: to 600 V 1.1·2·√2·U_N peak, rise 0.1 µs or longer", Knowledge::LookedUp);
/// The same above 600 V.
pub const NEMA_31_ABOVE: Source =
    Source::new("NEMA MG 1 31.4.4.2: above 600 V 2.5·√2/√3·U_N peak, rise 1 µs or longer", Knowledge::FromMemory);
/// Impulse voltage insulation classes.
pub const IEC_IVIC: Source = Source::new(
    "IEC 60034-18-41:2014 stress categories: overshoot factor 1.1 (A), 1.5 (B), 2.0 (C), 2.5 (D) at 0.3 µs; peak 1.1·1.35·OF·U_N",
    Knowledge::FromMemory,
);
/// Limit curves.
pub const IEC_25_CURVES: Source = Source::new(
    "IEC TS 60034-25 limit curves A (to 500 V) and B (to 690 V) of peak over rise time, as read in the figure by the user",
    Knowledge::FromMemory,
);

/// What a motor's insulation is built to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Build {
    /// NEMA MG 1 Part 30: a motor for the line that is run on a drive.
    GeneralPurpose,
    /// NEMA MG 1 Part 31: definite-purpose inverter-fed.
    DefinitePurpose,
    /// IEC 60034-18-41 impulse voltage insulation class A, benign.
    ClassA,
    /// Class B, moderate.
    ClassB,
    /// Class C, severe.
    ClassC,
    /// Class D, extreme.
    ClassD,
}

impl Build {
    /// The words of the command line, the weakest first.
    pub const WORDS: [&'static str; 6] = ["general-purpose", "part-31", "ivic-a", "ivic-b", "ivic-c", "ivic-d"];
    const ALL: [Self; 6] = [Self::GeneralPurpose, Self::DefinitePurpose, Self::ClassA, Self::ClassB, Self::ClassC, Self::ClassD];

    /// The build that a word names.
    #[must_use]
    pub fn named(word: &str) -> Option<Self> {
        Self::ALL.into_iter().zip(Self::WORDS).find(|(_, w)| *w == word).map(|(b, _)| b)
    }

    /// Overshoot factor of an impulse voltage insulation class.
    const fn overshoot(self) -> f64 {
        match self {
            Self::ClassB => 1.5,
            Self::ClassC => 2.0,
            Self::ClassD => 2.5,
            Self::ClassA | Self::GeneralPurpose | Self::DefinitePurpose => 1.1,
        }
    }
}

/// What may stand at a motor's terminals.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limit {
    /// Largest voltage line to line.
    pub peak: Voltage,
    /// Shortest rise time, 10 to 90 %, that goes with it.
    pub rise: Time,
}

/// Limit of a build.
///
/// U in V: general purpose 1000 V and 2 µs to 600 V; definite purpose 1.1·2·√2·U_N and 0.1 µs; both above 600 V 2.5·√2/√3·U_N
/// and 1 µs; IEC classes 1.1·1.35·OF·U_N (a two-level unit on a line 10 % high) and 0.3 µs.
///
/// # Errors
/// When the rated voltage is not above zero or above 1000 V, where windings are built otherwise.
///
/// Source: NEMA MG 1, IEC 60034-18-41. Worked example: Part 31 at 460 V allows 1431 V.
/// ```
/// use calc::{cable::limits::{limit, Build}, working::Silent};
/// use plant::quantity::Voltage;
/// let allowed = limit(Build::DefinitePurpose, Voltage::v(460.0), &mut Silent).unwrap();
/// assert!((allowed.peak.in_v() - 1431.18).abs() < 0.01 && (allowed.rise.in_us() - 0.1).abs() < 1e-9);
/// ```
pub fn limit<R: Recorder>(build: Build, rated: Voltage, rec: &mut R) -> Result<Limit, Refusal> {
    above_zero(rated, "rated voltage of the motor")?;
    if rated > Voltage::v(1000.0) {
        return Err(Refusal::new(format!("a motor of {rated} has a form-wound winding; these limits end at 1000 V: ask its maker")));
    }
    let low = rated <= Voltage::v(600.0);
    let pu = rated * (2.5 * (2.0_f64 / 3.0).sqrt());
    let (peak, rise, formula, source) = match (build, low) {
        (Build::GeneralPurpose, true) => (Voltage::v(1000.0), Time::us(2.0), "", &NEMA_30),
        (Build::GeneralPurpose, false) => (pu, Time::us(1.0), "2.5·√2/√3·U_N", &NEMA_30_ABOVE),
        (Build::DefinitePurpose, true) => (rated * (2.2 * std::f64::consts::SQRT_2), Time::us(0.1), "1.1·2·√2·U_N", &NEMA_31),
        (Build::DefinitePurpose, false) => (pu, Time::us(1.0), "2.5·√2/√3·U_N", &NEMA_31_ABOVE),
        (Build::ClassA | Build::ClassB | Build::ClassC | Build::ClassD, _) => {
            (rated * (1.1 * 1.35 * build.overshoot()), Time::us(0.3), "1.1·1.35·OF·U_N", &IEC_IVIC)
        }
    };
    let limit = Limit { peak, rise };
    rec.step(|| {
        Step::new("U_max", "largest peak line to line", formula, source).with("U_N", rated).with("OF", build.overshoot()).gives(peak).note(
            if low || !matches!(build, Build::GeneralPurpose) {
                ""
            } else {
                "above 600 V the standard counts from line to earth; taken here line to line, which is the strict reading"
            },
        )
    });
    rec.step(|| Step::new("t_min", "shortest rise time, 10 to 90 %", "", source).gives(micros(rise)));
    Ok(limit)
}

/// Limit out of a curve of peak over rise time, straight between its points; beyond the last point it stays level.
///
/// # Errors
/// When the points do not rise in time, or the rise time is shorter than the first of them: the curve says nothing there.
///
/// Source: the points are the user's, read in the figure of the standard that the motor's maker names.
/// ```
/// use calc::{cable::limits::on_curve, working::Silent};
/// use plant::quantity::{Time, Voltage};
/// // Invented points.
/// let curve = [(Time::us(0.1), Voltage::v(900.0)), (Time::us(0.5), Voltage::v(1300.0))];
/// assert!((on_curve(&curve, Time::us(0.3), &mut Silent).unwrap().in_v() - 1100.0).abs() < 1e-9);
/// ```
pub fn on_curve<R: Recorder>(curve: &[(Time, Voltage)], rise: Time, rec: &mut R) -> Result<Voltage, Refusal> {
    above_zero(rise, "rise time")?;
    let (Some(first), Some(last)) = (curve.first(), curve.last()) else {
        return Err(Refusal::new("a limit curve needs points: rise time, peak; …"));
    };
    above_zero(first.0, "rise time of the curve's first point")?;
    for pair in curve.windows(2) {
        if pair[1].0 <= pair[0].0 {
            return Err(Refusal::new(format!("the points of a limit curve rise in time; {} follows {}", pair[1].0, pair[0].0)));
        }
    }
    for (_, voltage) in curve {
        above_zero(*voltage, "peak of a point of the curve")?;
    }
    if rise < first.0 {
        return Err(Refusal::new(format!("the curve as read begins at {}; it says nothing of {rise}", first.0)));
    }
    let value = curve
        .windows(2)
        .find(|pair| rise <= pair[1].0)
        .map_or(last.1, |pair| pair[0].1 + (pair[1].1 - pair[0].1) * ((rise - pair[0].0) / (pair[1].0 - pair[0].0)));
    rec.step(|| {
        Step::new("U_max", "largest peak at this rise time", "", &IEC_25_CURVES).gives(value).note(if rise > last.0 {
            "beyond the last point read the curve is taken as level"
        } else {
            ""
        })
    });
    Ok(value)
}

/// What is known of a motor's fitness for a drive.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wording {
    /// Nothing on plate or papers.
    Nothing,
    /// "Inverter duty", "inverter rated", "suitable for drives", without a standard.
    InverterDuty,
    /// Names NEMA MG 1 Part 31.
    Part31,
    /// Names Part 30 or "general purpose".
    Part30,
    /// Marked with an impulse voltage insulation class.
    Class,
}

impl Wording {
    /// The words of the command line.
    pub const WORDS: [&'static str; 5] = ["nothing", "inverter-duty", "part-31", "part-30", "ivic-marked"];
    const ALL: [Self; 5] = [Self::Nothing, Self::InverterDuty, Self::Part31, Self::Part30, Self::Class];

    /// The wording that a word names.
    #[must_use]
    pub fn named(word: &str) -> Option<Self> {
        Self::ALL.into_iter().zip(Self::WORDS).find(|(_, w)| *w == word).map(|(b, _)| b)
    }
}

/// First year in which a motor may be taken as built with drives in mind at all; Part 31 appeared in 1993.
const DRIVES_IN_MIND: f64 = 1993.0;

/// Which build a motor may be counted as.
///
/// Only a named standard counts, and only for a winding that is the maker's: "inverter duty" alone promises nothing that can be
/// looked up, and a rewound motor has the insulation that the rewinder gave it. `None` where even Part 30 is not promised: then
/// 1000 V is a hope, and a filter or a test is asked for.
///
/// Source: common practice, no source. Worked example: "inverter duty", 2005, original winding: general purpose.
/// ```
/// use calc::{cable::limits::{counts_as, Build, Wording}, working::Silent};
/// use plant::quantity::Count;
/// assert_eq!(counts_as(Wording::InverterDuty, Some(Count::of(2005.0)), false, None, &mut Silent), Some(Build::GeneralPurpose));
/// assert_eq!(counts_as(Wording::Nothing, Some(Count::of(1978.0)), false, None, &mut Silent), None);
/// ```
pub fn counts_as<R: Recorder>(wording: Wording, year: Option<Count>, rewound: bool, class: Option<Build>, rec: &mut R) -> Option<Build> {
    let old = year.is_none_or(|y| y.in_count() < DRIVES_IN_MIND);
    let (build, why) = match wording {
        _ if rewound => (None, "rewound: the papers of the maker no longer hold; ask the rewinder what the winding is good for"),
        Wording::Part31 => (Some(Build::DefinitePurpose), "Part 31 is named"),
        Wording::Class if class.is_some() => (class, "the class stands on the plate"),
        Wording::Class => (Some(Build::ClassA), "a class is marked but not read: the lowest is taken"),
        Wording::Part30 => (Some(Build::GeneralPurpose), "Part 30 or general purpose is named"),
        Wording::InverterDuty => {
            (Some(Build::GeneralPurpose), "inverter duty without a standard promises no figure: taken as general purpose")
        }
        Wording::Nothing if old => {
            (None, "no wording, and of before 1993 or of unknown age: no limit is promised; fit a filter or ask the maker")
        }
        Wording::Nothing => (Some(Build::GeneralPurpose), "no wording: taken as general purpose"),
    };
    rec.step(|| {
        let word = build.and_then(|b| Build::ALL.iter().position(|x| *x == b)).map_or("none", |i| Build::WORDS[i]);
        Step::new("build", "what the motor may be counted as", "", &PRACTICE).gives(word).note(why)
    });
    build
}

const RATED: Input = quantity::<dim::VoltageDim>("voltage", "rated voltage of the motor");

/// `calc motor-voltage-limit`.
pub const MOTOR_VOLTAGE_LIMIT: Calculation = Calculation {
    name: "motor-voltage-limit",
    summary: "Peak and rise time that a motor is built for, against what arrives at its terminals.",
    inputs: &[
        RATED,
        word("build", &Build::WORDS, "what the insulation is built to"),
        quantity::<dim::VoltageDim>("peak", "largest voltage line to line at the motor: the bound of the reflected wave"),
        quantity::<dim::TimeDim>("rise", "rise time there, 10 to 90 %"),
        Input {
            name: "curve",
            kind: InputKind::Rows(&[dim::TimeDim::INFO, dim::VoltageDim::INFO]),
            default: Some(""),
            doc: "points of the limit curve that the maker names, read in the figure: rise time, peak; then the build counts no more",
        },
    ],
    results: &[
        output::<dim::VoltageDim>("limit", "V", "largest peak allowed"),
        output::<dim::TimeDim>("shortest-rise", "µs", "shortest rise time that the limit holds for"),
        output::<dim::RatioDim>("margin", "%", "limit over the peak less one; negative is too high"),
        output::<dim::RatioDim>("rise-margin", "%", "rise time over the shortest less one; negative is too steep"),
    ],
    sources: &[&NEMA_30, &NEMA_30_ABOVE, &NEMA_31, &NEMA_31_ABOVE, &IEC_IVIC, &IEC_25_CURVES],
    run: |a: &Arguments, w: &mut Working| {
        let (peak, rise) = (a.get::<dim::VoltageDim>("peak"), a.get::<dim::TimeDim>("rise"));
        above_zero(peak, "peak")?;
        above_zero(rise, "rise time")?;
        let curve: Vec<(Time, Voltage)> = a
            .rows("curve")
            .iter()
            .filter_map(|row| match row[..] {
                [t, u] => Some((Time::si(t), Voltage::si(u))),
                _ => None,
            })
            .collect();
        let allowed = match curve.first() {
            Some(first) => Limit { peak: on_curve(&curve, rise, w)?, rise: first.0 },
            None => limit(Build::named(a.word("build")).unwrap_or(Build::GeneralPurpose), a.get("voltage"), w)?,
        };
        let margin = Ratio::of_one(allowed.peak / peak - 1.0);
        w.step(|| Step::new("m", "margin", "U_max/U_pk − 1", &NEMA_31).with("U_max", allowed.peak).with("U_pk", peak).gives(margin));
        Ok(vec![allowed.peak.in_si(), allowed.rise.in_si(), margin.in_si(), rise / allowed.rise - 1.0])
    },
};

/// `calc limit-from-wording`.
pub const LIMIT_FROM_WORDING: Calculation = Calculation {
    name: "limit-from-wording",
    summary: "The voltage limit that a motor's plate, papers, age and winding allow to be taken.",
    inputs: &[
        RATED,
        word("wording", &Wording::WORDS, "what plate or papers say of drives"),
        word("winding", &["original", "rewound"], "whose winding it is"),
        quantity_or::<dim::CountDim>("year", "", "year of the motor"),
        word("class", &["unread", "ivic-a", "ivic-b", "ivic-c", "ivic-d"], "impulse voltage insulation class on the plate"),
    ],
    results: &[
        output::<dim::VoltageDim>("limit", "V", "largest peak that may be taken; zero where none is promised"),
        output::<dim::TimeDim>("shortest-rise", "µs", "shortest rise time; zero where none is promised"),
        output::<dim::CountDim>("promised", "", "1 a standard's figure may be taken, 0 none is promised: filter, test or the maker's word"),
    ],
    sources: &[&PRACTICE, &NEMA_30, &NEMA_31, &IEC_IVIC],
    run: |a: &Arguments, w: &mut Working| {
        let rated: Voltage = a.get("voltage");
        above_zero(rated, "rated voltage of the motor")?;
        let wording = Wording::named(a.word("wording")).unwrap_or(Wording::Nothing);
        match counts_as(wording, a.get_opt("year"), a.word("winding") == "rewound", Build::named(a.word("class")), w) {
            Some(build) => limit(build, rated, w).map(|l| vec![l.peak.in_si(), l.rise.in_si(), 1.0]),
            None => Ok(vec![0.0; 3]),
        }
    },
};
