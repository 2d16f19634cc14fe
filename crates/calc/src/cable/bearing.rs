//! When bearing currents are to be expected behind a drive, and what is done against them, the driven machine included.

use plant::quantity::{Length, Power, dim};

use crate::load::above_zero;
use crate::registry::{Arguments, Calculation, Refusal, output, quantity, quantity_or, word};
use crate::sources::{Knowledge, PRACTICE, Source};
use crate::working::{Recorder, Step, Working};

/// The guide's chapter on bearing currents.
pub const IEC_25_BEARINGS: Source = Source::new("IEC TS 60034-25, chapter on bearing currents and their remedies", Knowledge::FromMemory);

/// Shaft height from which on an insulated bearing is usual.
const TALL: Length = Length::mm(280.0);
/// Power from which on it is usual.
const STRONG: Power = Power::kw(75.0);

/// What is known of the drive train.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Train {
    /// Rated power of the motor.
    pub power: Power,
    /// Height of its shaft.
    pub shaft: Option<Length>,
    /// A bearing of motor or machine has failed by current, or without another cause.
    pub history: bool,
    /// The bearing at the far end of the motor is insulated.
    pub insulated: bool,
    /// The shaft is earthed by a ring or brush.
    pub earthed: bool,
    /// The coupling insulates.
    pub coupling: bool,
    /// The motor cable is symmetrical and shielded, its shield joined all around at both ends.
    pub cable: bool,
}

/// A remedy.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Remedy {
    /// Symmetrical shielded cable with its shield joined all around at both ends, motor frame and machine bonded at high frequency.
    CableAndBonding,
    /// Insulated bearing at the end away from the coupling: against currents that circle in the motor.
    InsulatedBearing,
    /// Earthing ring or brush at the coupling's end: against currents from shaft to earth.
    ShaftEarthing,
    /// Insulating coupling, or a ring at the machine: an insulated motor bearing moves the current along the shaft.
    DrivenEnd,
    /// Common-mode filter or core at the drive.
    CommonMode,
}

impl Remedy {
    /// As told to people.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::CableAndBonding => "symmetrical shielded cable, shield joined all around at both ends, frame and machine bonded",
            Self::InsulatedBearing => "insulated bearing at the end away from the coupling",
            Self::ShaftEarthing => "earthing ring or brush on the shaft at the coupling's end",
            Self::DrivenEnd => "insulating coupling, or an earthing ring at the driven machine",
            Self::CommonMode => "common-mode core or filter at the drive",
        }
    }
}

/// How much is to be feared, and what to do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Risk {
    /// 0 small and quiet, 1 large, 2 with a history.
    pub grade: u8,
    /// What is asked for and not there.
    pub missing: Vec<Remedy>,
}

/// Rule for bearing currents.
///
/// Above 75 kW or 280 mm of shaft height currents circle through both bearings; any history asks for everything. Below, cable and
/// bonding are asked for alone. An insulated bearing without an earthed shaft or insulating coupling moves the trouble into the
/// driven machine. A rule, not a calculation: nobody computes the life of a bearing from it.
///
/// # Errors
/// When power or shaft height is not above zero.
///
/// Source: common practice. Worked example: 110 kW, nothing done: cable, insulated bearing, earthed shaft, driven end.
/// ```
/// use calc::{cable::bearing::{bearing_risk, Train}, working::Silent};
/// use plant::quantity::Power;
/// let train = Train { power: Power::kw(110.0), shaft: None, history: false, insulated: false, earthed: false, coupling: false, cable: false };
/// let risk = bearing_risk(&train, &mut Silent).unwrap();
/// assert_eq!((risk.grade, risk.missing.len()), (1, 4));
/// ```
pub fn bearing_risk<R: Recorder>(train: &Train, rec: &mut R) -> Result<Risk, Refusal> {
    above_zero(train.power, "power of the motor")?;
    if let Some(shaft) = train.shaft {
        above_zero(shaft, "height of the shaft")?;
    }
    let large = train.power > STRONG || train.shaft.is_some_and(|h| h > TALL);
    let grade = if train.history { 2 } else { u8::from(large) };
    let mut missing = Vec::new();
    let mut ask = |wanted: bool, there: bool, remedy: Remedy| {
        if wanted && !there {
            missing.push(remedy);
        }
    };
    ask(true, train.cable, Remedy::CableAndBonding);
    ask(grade > 0, train.insulated, Remedy::InsulatedBearing);
    ask(grade > 0, train.earthed, Remedy::ShaftEarthing);
    ask(grade > 0 || train.insulated && !train.earthed, train.coupling, Remedy::DrivenEnd);
    ask(grade == 2, false, Remedy::CommonMode);
    rec.step(|| {
        Step::new("grade", "what is to be feared", "", &PRACTICE)
            .gives(["small, no history", "large", "a history of failed bearings"][usize::from(grade)])
            .note(format!(
                "large is above {STRONG} or {TALL}{}",
                if train.shaft.is_none() { "; the shaft's height is not known, the power alone speaks" } else { "" }
            ))
    });
    for remedy in &missing {
        rec.step(|| Step::new("ask", "asked for and not there", "", &IEC_25_BEARINGS).gives(remedy.words()));
    }
    Ok(Risk { grade, missing })
}

/// `calc bearing-current-risk`.
pub const BEARING_CURRENT_RISK: Calculation = Calculation {
    name: "bearing-current-risk",
    summary: "Rule for bearing currents behind a drive and the remedies that are missing, the driven machine included.",
    inputs: &[
        quantity::<dim::PowerDim>("power", "rated power of the motor"),
        quantity_or::<dim::LengthDim>("shaft-height", "", "height of the shaft above the feet"),
        word("history", &["none", "failed"], "bearings of motor or machine that failed by current or without another cause"),
        word("insulated-bearing", &["no", "yes"], "insulated bearing away from the coupling"),
        word("earthed-shaft", &["no", "yes"], "earthing ring or brush"),
        word("insulating-coupling", &["no", "yes"], "insulating coupling"),
        word("shielded-cable", &["no", "yes"], "symmetrical shielded cable joined all around at both ends"),
    ],
    results: &[
        output::<dim::CountDim>("grade", "", "0 small and quiet, 1 large, 2 with a history"),
        output::<dim::CountDim>("missing", "", "remedies asked for and not there; the working names them"),
    ],
    sources: &[&PRACTICE, &IEC_25_BEARINGS],
    run: |a: &Arguments, w: &mut Working| {
        let yes = |name| a.word(name) == "yes";
        let train = Train {
            power: a.get("power"),
            shaft: a.get_opt("shaft-height"),
            history: a.word("history") == "failed",
            insulated: yes("insulated-bearing"),
            earthed: yes("earthed-shaft"),
            coupling: yes("insulating-coupling"),
            cable: yes("shielded-cable"),
        };
        let risk = bearing_risk(&train, w)?;
        let missing = u8::try_from(risk.missing.len()).unwrap_or(u8::MAX);
        Ok(vec![f64::from(risk.grade), f64::from(missing)])
    },
};
