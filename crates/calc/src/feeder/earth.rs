//! What flows to earth: standing leakage against a residual-current device, and whether the unit sees an earth fault on a supply
//! that is grounded through a high resistance.

use plant::quantity::{Capacitance, Current, Dimension, Frequency, Ratio, Voltage, dim};

use crate::checks::{above_zero, flag, not_negative, worded};
use crate::registry::{Arguments, Calculation, Input, InputKind, Refusal, output, quantity, quantity_or, word};
use crate::sources::{DEFINITION, Knowledge, Source};
use crate::working::{Recorder, Step, Working};

/// How much of a device's rating may stand.
pub const THIRTY: Source =
    Source::new("standing leakage up to about 30 % of the rated residual current, a habit of the trade", Knowledge::CommonPractice);
/// When a device may trip.
pub const RESIDUAL: Source =
    Source::new("IEC 61008-1 and IEC 60755: no tripping up to 0.5·I_Δn, tripping from I_Δn on", Knowledge::FromMemory);
/// Which type a converter needs.
pub const TYPES: Source = Source::new(
    "IEC 60755 types AC, A, F, B; IEC 61800-5-1: a drive that can pass smooth direct current to earth needs type B or another measure",
    Knowledge::FromMemory,
);
/// Protective conductors of drives with leakage.
pub const TOUCH: Source = Source::new(
    "IEC 61800-5-1: above 3.5 mA a.c. in the protective conductor a second or a larger (10 mm² copper) one",
    Knowledge::FromMemory,
);
/// The habit for the trip of a unit.
pub const HALF_OUTPUT: Source =
    Source::new("a unit's own earth-fault trip often lies near half of its rated output, a habit of the trade", Knowledge::CommonPractice);

worded! {
    /// Type of a residual-current device.
    Residual "type of residual-current device" {
        Ac "AC" "Sinusoidal alternating current.";
        A "A" "And pulsating direct current.";
        F "F" "And mixed frequencies, as of single-phase drives.";
        B "B" "And smooth direct current.";
    }
}

worded! {
    /// What the drive's input can pass to earth.
    Rectifier "input of the drive" {
        ThreePhase "three-phase" "A three-phase rectifier, or any that is fed from two lines: smooth direct current is possible.";
        SinglePhase "single-phase" "A single-phase rectifier between line and neutral.";
    }
}

/// Standing leakage against a device.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Leakage {
    /// What the drives behind the device state, added.
    pub drives: Current,
    /// What the cables add.
    pub cables: Current,
    /// Both.
    pub total: Current,
    /// Over the rated residual current.
    pub share: Ratio,
    /// The type is able to see what the drive can pass.
    pub type_fits: bool,
    /// By habit it does not trip in service, and the type fits.
    pub holds: bool,
    /// Above half of the rating it may trip by its standard.
    pub may_trip: bool,
    /// More than 3.5 mA: the protective conductor needs to be doubled or larger.
    pub second_conductor: bool,
}

/// Current of a capacitance from each line to earth, with one line lost: I = 2π·f·C·U/√3.
///
/// With all three lines there, equal capacitors of a balanced supply leave nothing; the moment of switching, a lost line or
/// unbalance does not. Units: A, from F a line, line voltage and frequency.
///
/// # Errors
/// When a value is negative or no number.
///
/// Source: definition. Worked example: 0.1 µF a line at 480 V, 60 Hz: 10.4 mA.
/// ```
/// use calc::{feeder::earth::capacitor_leakage, working::Silent};
/// use plant::quantity::{Capacitance, Frequency, Voltage};
/// let i = capacitor_leakage(Capacitance::uf(0.1), Voltage::v(480.0), Frequency::hz(60.0), &mut Silent).unwrap();
/// assert!((i.in_ma() - 10.447).abs() < 1e-3);
/// ```
pub fn capacitor_leakage<R: Recorder>(
    capacitance: Capacitance,
    line: Voltage,
    frequency: Frequency,
    rec: &mut R,
) -> Result<Current, Refusal> {
    not_negative("a capacitance to earth", capacitance)?;
    above_zero("the line voltage", line)?;
    above_zero("the line frequency", frequency)?;
    let current = Current::a(std::f64::consts::TAU * frequency.in_hz() * capacitance.in_farad() * line.in_v() / 3f64.sqrt());
    rec.step(|| {
        Step::new("I_C", "earth current of a capacitance from each line, one line lost", "2·π·f·C·U/√3", &DEFINITION)
            .with("f", frequency)
            .with("C", capacitance)
            .with("U", line)
            .gives(current)
            .note("at line frequency; what the carrier drives through the motor cable comes on top, see the unit's documents")
    });
    Ok(current)
}

/// Standing leakage of all that stands behind a residual-current device.
///
/// `drives` are the leakage currents that the units' documents state, `cables` what [`capacitor_leakage`] gives for filters and cables
/// that no document covers. Added as magnitudes. Units: A.
///
/// # Errors
/// When nothing stands behind the device, or a value is not what it must be.
///
/// Source: common practice (30 %); IEC 61008-1, IEC 60755. Worked example: three drives of 15 mA behind 300 mA type B: 15 %.
/// ```
/// use calc::{feeder::earth::{Rectifier, Residual, leakage}, working::Silent};
/// use plant::quantity::Current;
/// let at = |rated| leakage(&[Current::ma(15.0); 3], Current::ZERO, Current::ma(rated), Residual::B, Rectifier::ThreePhase, &mut Silent).unwrap();
/// assert!((at(300.0).share.in_percent() - 15.0).abs() < 1e-9 && at(300.0).holds);
/// assert!(!at(30.0).holds && at(30.0).may_trip && at(30.0).second_conductor);
/// ```
pub fn leakage<R: Recorder>(
    drives: &[Current],
    cables: Current,
    rated: Current,
    device: Residual,
    rectifier: Rectifier,
    rec: &mut R,
) -> Result<Leakage, Refusal> {
    const LARGE: Current = Current::ma(3.5);
    for drive in drives {
        not_negative("the leakage of a drive", *drive)?;
    }
    not_negative("the leakage of cables and filters", cables)?;
    above_zero("the rated residual current", rated)?;
    if drives.is_empty() && cables == Current::ZERO {
        return Err(Refusal::new(
            "the leakage of the drives behind the device is needed, from their documents; zero is an answer, none is not",
        ));
    }
    let sum = drives.iter().fold(Current::ZERO, |sum, d| sum + *d);
    let total = sum + cables;
    let share = Ratio::of_one(total / rated);
    let type_fits = match rectifier {
        Rectifier::ThreePhase => device == Residual::B,
        Rectifier::SinglePhase => device >= Residual::F,
    };
    let found = Leakage {
        drives: sum,
        cables,
        total,
        share,
        type_fits,
        holds: type_fits && share <= Ratio::percent(30.0),
        may_trip: share > Ratio::percent(50.0),
        second_conductor: total > LARGE,
    };
    rec.step(|| {
        Step::new("I_E", format!("standing leakage of {} drives, filters and cables", drives.len()), "ΣI_drives + I_C", &DEFINITION)
            .with("ΣI_drives", sum)
            .with("I_C", cables)
            .gives(total)
            .note("added as magnitudes")
    });
    rec.step(|| {
        let source = if found.may_trip { &RESIDUAL } else { &THIRTY };
        Step::new("s", "share of the rated residual current", "I_E/I_Δn", source).with("I_E", total).with("I_Δn", rated).gives(share).note(
            match (found.may_trip, share <= Ratio::percent(30.0)) {
                (true, _) => "above one half: it may trip without any fault",
                (_, false) => "above 30 %: switching on or a lost line may trip it",
                _ => "up to 30 %",
            },
        )
    });
    rec.step(|| {
        Step::new("type", format!("type {} against a {} input", device.word(), rectifier.word()), "", &TYPES).gives(if type_fits {
            "sees what the drive can pass"
        } else {
            "may be blinded by direct current: a fault may go unseen; type B, or what the unit's documents ask for"
        })
    });
    rec.step(|| {
        Step::new("conductor", "protective conductor", "", &TOUCH).gives(if found.second_conductor {
            "a second or a larger one: more than 3.5 mA in all; each unit is judged by its own current"
        } else {
            "no more than 3.5 mA in all"
        })
    });
    Ok(found)
}

/// Whether a unit sees an earth fault.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seen {
    /// What the fault passes.
    pub let_through: Current,
    /// Where the unit trips.
    pub trip: Current,
    /// `let_through` less `trip`.
    pub margin: Current,
    /// It trips on a solid fault.
    pub seen: bool,
}

/// Whether the unit's earth-fault trip sees a fault on a supply grounded through a resistance.
///
/// The let-through is the neutral resistor's: U/(√3·R), a few amperes; the trip is stated in parts of rated output. A fault that is not
/// seen stays until the second one: an external sensitive earth-fault relay is needed. Units: A.
///
/// # Errors
/// When a value is not above zero.
///
/// Source: common practice. Worked example: 5 A let through, trip at half of 65 A: 27.5 A short.
/// ```
/// use calc::{feeder::earth::earth_fault_seen, working::Silent};
/// use plant::quantity::{Current, Ratio};
/// let seen = earth_fault_seen(Current::a(5.0), Current::a(65.0), Ratio::percent(50.0), &mut Silent).unwrap();
/// assert!(!seen.seen && seen.margin == Current::a(-27.5));
/// ```
pub fn earth_fault_seen<R: Recorder>(let_through: Current, output: Current, trip: Ratio, rec: &mut R) -> Result<Seen, Refusal> {
    above_zero("the let-through of the neutral resistor", let_through)?;
    above_zero("the rated output of the unit", output)?;
    above_zero("the trip", trip)?;
    let level = output * trip.in_of_one();
    let seen = Seen { let_through, trip: level, margin: let_through - level, seen: let_through >= level };
    rec.step(|| {
        Step::new("I_trip", "earth-fault trip of the unit", "k·I_N", &HALF_OUTPUT).with("k", trip).with("I_N", output).gives(level)
    });
    rec.step(|| {
        Step::new("m", "let-through over trip", "I_R − I_trip", &DEFINITION)
            .with("I_R", let_through)
            .with("I_trip", level)
            .gives(seen.margin)
            .note(if seen.seen {
                "a solid earth fault trips the unit"
            } else {
                "the unit does not see an earth fault: an external sensitive earth-fault relay is needed"
            })
    });
    Ok(seen)
}

/// `calc earth-leakage`.
pub const EARTH_LEAKAGE: Calculation = Calculation {
    name: "earth-leakage",
    summary: "Standing leakage of drives, filters and cables against a residual-current device and its type.",
    inputs: &[
        Input {
            name: "drives",
            kind: InputKind::Rows(&[<dim::CurrentDim as Dimension>::INFO]),
            default: None,
            doc: "leakage that the documents of each drive behind the device state: 15 mA; 8 mA",
        },
        quantity_or::<dim::CapacitanceDim>(
            "capacitance",
            "0 nF",
            "from each line to earth, of filters and line-side cables that no document covers",
        ),
        quantity::<dim::VoltageDim>("voltage", "line to line"),
        quantity::<dim::FrequencyDim>("frequency", "of the line"),
        quantity::<dim::CurrentDim>("rated", "rated residual current of the device"),
        word("type", Residual::WORDS, "type of the device"),
        word("input", Rectifier::WORDS, "input of the drives"),
    ],
    results: &[
        output::<dim::CurrentDim>("total", "mA", "standing leakage"),
        output::<dim::RatioDim>("share", "%", "of the rated residual current"),
        output::<dim::CountDim>("type-fits", "", "1 when the type sees what the drive can pass"),
        output::<dim::CountDim>("holds", "", "1 when the share is up to 30 % and the type fits"),
        output::<dim::CountDim>("may-trip", "", "1 above half of the rating"),
        output::<dim::CountDim>("second-conductor", "", "1 above 3.5 mA"),
    ],
    sources: &[&DEFINITION, &THIRTY, &RESIDUAL, &TYPES, &TOUCH],
    run: |a: &Arguments, w: &mut Working| {
        let drives: Vec<Current> = a.rows("drives").iter().flatten().copied().map(Current::si).collect();
        let cables = capacitor_leakage(a.get("capacitance"), a.get("voltage"), a.get("frequency"), w)?;
        let (device, input) = (Residual::from_word(a.word("type"))?, Rectifier::from_word(a.word("input"))?);
        let found = leakage(&drives, cables, a.get("rated"), device, input, w)?;
        let flags = [found.type_fits, found.holds, found.may_trip, found.second_conductor].map(flag);
        Ok([found.total.in_si(), found.share.in_si()].into_iter().chain(flags).collect())
    },
};

/// `calc earth-fault-seen`.
pub const EARTH_FAULT_SEEN: Calculation = Calculation {
    name: "earth-fault-seen",
    summary: "Whether a unit's earth-fault trip sees a fault on a supply grounded through a high resistance.",
    inputs: &[
        quantity::<dim::CurrentDim>("let-through", "of the neutral resistor"),
        quantity::<dim::CurrentDim>("output", "rated output of the unit"),
        quantity_or::<dim::RatioDim>("trip", "50 %", "where it trips, of rated output; the habit where its documents say nothing"),
    ],
    results: &[
        output::<dim::CurrentDim>("trip", "A", "where it trips"),
        output::<dim::CurrentDim>("margin", "A", "let-through less trip"),
        output::<dim::CountDim>("seen", "", "1 when a solid earth fault trips it"),
    ],
    sources: &[&HALF_OUTPUT, &DEFINITION],
    run: |a: &Arguments, w: &mut Working| {
        let seen = earth_fault_seen(a.get("let-through"), a.get("output"), a.get("trip"), w)?;
        Ok(vec![seen.trip.in_si(), seen.margin.in_si(), flag(seen.seen)])
    },
};

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::working::Silent;

    #[test]
    fn types_are_ordered_and_a_three_phase_input_needs_the_last() {
        let fits =
            |device, input| leakage(&[Current::ma(1.0)], Current::ZERO, Current::ma(300.0), device, input, &mut Silent).unwrap().type_fits;
        assert_eq!(
            [Residual::Ac, Residual::A, Residual::F, Residual::B].map(|d| fits(d, Rectifier::ThreePhase)),
            [false, false, false, true]
        );
        assert_eq!(
            [Residual::Ac, Residual::A, Residual::F, Residual::B].map(|d| fits(d, Rectifier::SinglePhase)),
            [false, false, true, true]
        );
    }

    #[test]
    fn what_cannot_be_is_refused() {
        let at =
            |drives: &[Current], rated| leakage(drives, Current::ZERO, rated, Residual::B, Rectifier::ThreePhase, &mut Silent).is_err();
        assert!(at(&[], Current::ma(30.0)) && at(&[Current::ma(-1.0)], Current::ma(30.0)) && at(&[Current::ma(1.0)], Current::ZERO));
        assert!(!at(&[Current::ZERO], Current::ma(30.0)));
        assert!(earth_fault_seen(Current::ZERO, Current::a(1.0), Ratio::percent(50.0), &mut Silent).is_err());
    }

    proptest! {
        #[test]
        fn more_leakage_never_holds_where_less_did_not(a in 0.0f64..0.2, b in 0.0f64..0.2, rated in 0.01f64..1.0) {
            let at = |i: f64| {
                leakage(&[Current::a(i)], Current::ZERO, Current::a(rated), Residual::B, Rectifier::ThreePhase, &mut Silent).unwrap()
            };
            prop_assert!(!at(a.max(b)).holds || at(a.min(b)).holds);
        }
    }
}
