//! How the supply is tied to earth: what each phase stands at towards earth, healthy and with one earth fault,
//! what that means for the links that tie filter capacitors and varistors to earth, and which groundings a set
//! of readings allows.
//!
//! The rule that protects people: three equal readings do **not** prove a solidly grounded supply. An ungrounded
//! one balances through its stray capacitance, and so does a high-resistance-grounded one.

use plant::choice::{Choice, Grounding, Links};
use plant::quantity::{Ratio, Voltage, dim};

use crate::drive::derate::words;
use crate::registry::{Arguments, Calculation, Input, InputKind, Output, Refusal, output, quantity};
use crate::sources::{DEFINITION, Knowledge, PRACTICE, Source};
use crate::working::{Recorder, Step, Working};

/// Earth potentials of a three-phase source.
pub const PHASORS: Source = Source::new("phasors of a symmetrical three-phase source", Knowledge::Derived);

/// Readings are matched to a pattern within this share of the line voltage: the supply's own tolerance of ±10 %,
/// unbalance and stray capacitance move them that far, and the patterns lie further apart.
pub const MATCH: f64 = 0.10;

const WORDS: [&str; 5] = words(Grounding::INFO);

/// Where the links between filter or varistors and earth belong by practice, as far as the supply decides it: in only
/// where the supply is symmetrical to earth and stays so. The unit's own documents come first.
#[must_use]
pub const fn links_by_practice(grounding: Grounding) -> Links {
    if matches!(grounding, Grounding::Solid) { Links::In } else { Links::Out }
}

/// True when one earth fault stays, because it draws too little current for any fuse to clear it.
#[must_use]
pub const fn keeps_running_on_a_fault(grounding: Grounding) -> bool {
    matches!(grounding, Grounding::HighResistance | Grounding::Ungrounded)
}

/// Healthy voltages of the phases to earth, in parts of the line voltage; the odd phase is the third.
fn healthy(grounding: Grounding) -> [f64; 3] {
    let star = 1.0 / 3f64.sqrt();
    match grounding {
        Grounding::Solid | Grounding::HighResistance | Grounding::Ungrounded => [star; 3],
        Grounding::CornerGrounded => [1.0, 1.0, 0.0],
        Grounding::HighLeg => [0.5, 0.5, 3f64.sqrt() / 2.0],
    }
}

/// Voltages to earth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EarthVoltages {
    /// First phase, healthy.
    pub a: Voltage,
    /// Second phase, healthy.
    pub b: Voltage,
    /// Third phase, healthy: the grounded corner or the high leg where there is one.
    pub c: Voltage,
    /// Highest of the sound phases while one phase lies on earth.
    pub with_fault: Voltage,
    /// True when that state lasts until somebody looks for the fault; otherwise a protective device ends it.
    pub fault_lasts: bool,
    /// Highest voltage that lasts, over U/√3, for which parts between phase and earth are commonly chosen.
    pub stress: Ratio,
    /// Where the links belong by practice.
    pub links: Links,
}

/// The voltage of each phase to earth, healthy and with one phase on earth.
///
/// Healthy: U/√3 (star point at earth potential), U, U and 0 (corner), U/2, U/2 and √3/2·U (high leg). With one
/// phase on earth: unchanged at U/√3 on an ideally solid star point until the fuse clears; U on high resistance and
/// ungrounded, lasting; at most U on a corner and a high-leg delta, where such a fault is a short circuit that a device
/// clears. Units: V rms. Intermittent faults on ungrounded supplies go several times higher (from memory); this gives
/// the steady state.
///
/// # Errors
/// When the line voltage is not above zero.
///
/// Source: phasors; link position is common practice. Worked example: 480 V ungrounded, 277 V healthy, 480 V with a fault.
/// ```
/// use calc::{supply::grounding::grounding_voltages, working::Silent};
/// use plant::{choice::Grounding, quantity::Voltage};
/// let earth = grounding_voltages(Grounding::Ungrounded, Voltage::v(480.0), &mut Silent).unwrap();
/// assert!((earth.a.in_v() - 277.13).abs() < 0.01);
/// assert!((earth.with_fault.in_v() - 480.0).abs() < 1e-9 && earth.fault_lasts);
/// ```
pub fn grounding_voltages<R: Recorder>(grounding: Grounding, line: Voltage, rec: &mut R) -> Result<EarthVoltages, Refusal> {
    if !(line.is_finite() && line > Voltage::ZERO) {
        return Err(Refusal::new(format!("the line voltage is above zero, not {line}")));
    }
    let star = line / 3f64.sqrt();
    let [a, b, c] = healthy(grounding).map(|share| line * share);
    let with_fault = if grounding == Grounding::Solid { star } else { line };
    let fault_lasts = keeps_running_on_a_fault(grounding);
    let lasting = if fault_lasts { with_fault } else { a.max(b).max(c) };
    let earth =
        EarthVoltages { a, b, c, with_fault, fault_lasts, stress: Ratio::of_one(lasting / star), links: links_by_practice(grounding) };
    let formulas = match grounding {
        Grounding::Solid | Grounding::HighResistance | Grounding::Ungrounded => ["U/√3", "U/√3", "U/√3"],
        Grounding::CornerGrounded => ["U", "U", "0·U"],
        Grounding::HighLeg => ["U/2", "U/2", "√3/2·U"],
    };
    for ((symbol, formula), value) in ["U_a", "U_b", "U_c"].into_iter().zip(formulas).zip([a, b, c]) {
        rec.step(|| Step::new(symbol, "phase to earth, healthy", formula, &PHASORS).with("U", line).gives(value));
    }
    rec.step(|| {
        let formula = if grounding == Grounding::Solid { "U/√3" } else { "U" };
        let lasts = if fault_lasts { "lasts until the fault is found" } else { "until a protective device clears it" };
        Step::new("U_f", "highest phase to earth with one phase on earth", formula, &PHASORS).with("U", line).gives(with_fault).note(lasts)
    });
    rec.step(|| {
        Step::new("k", "lasting voltage to earth over that of a solid star point", "U_l/(U/√3)", &PHASORS)
            .with("U_l", lasting)
            .with("U", line)
            .gives(earth.stress)
    });
    rec.step(|| {
        let text = match earth.links {
            Links::In => "in",
            Links::Out | Links::NotAllowed => "out, unless the unit's documents allow this supply",
        };
        Step::new("links", "links of filter and varistors to earth", "", &PRACTICE).gives(text)
    });
    Ok(earth)
}

/// What three readings to earth look like.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pattern {
    /// All near U/√3.
    Balanced,
    /// One near zero, two near U.
    OneAtEarth,
    /// Two near U/2, one near √3/2·U.
    HighLeg,
    /// Anything else: a partial earth fault, or a source that floats under the meter.
    Shifted,
}

impl Pattern {
    /// The groundings that such readings allow, likeliest first.
    #[must_use]
    pub const fn candidates(self) -> &'static [Grounding] {
        match self {
            Self::Balanced => &[Grounding::Solid, Grounding::HighResistance, Grounding::Ungrounded],
            Self::OneAtEarth => &[Grounding::CornerGrounded, Grounding::Ungrounded, Grounding::HighResistance],
            Self::HighLeg => &[Grounding::HighLeg],
            Self::Shifted => &[Grounding::Ungrounded, Grounding::HighResistance],
        }
    }

    /// What to think of such readings, and what settles it.
    #[must_use]
    pub const fn advice(self) -> &'static str {
        match self {
            Self::Balanced => {
                "equal readings do not prove a solid ground: stray capacitance balances an ungrounded supply too, and a neutral resistor \
                 does not show while the plant is healthy; look at the transformer's neutral, its drawing, and for a ground-fault alarm"
            }
            Self::OneAtEarth => {
                "a grounded corner, or a standing earth fault on that phase of an ungrounded or high-resistance-grounded supply; look at the \
                 source for a bonded phase before believing either, and at all three line voltages: a blown fuse reads near zero too"
            }
            Self::HighLeg => "a winding grounded at its middle; the phase at the odd reading is the high leg",
            Self::Shifted => {
                "no grounded supply reads like this: a partial earth fault, or a floating source that the meter itself pulls; \
                 read again with another meter and look for the ground-fault alarm"
            }
        }
    }
}

/// What readings to earth say of the grounding.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GroundingReading {
    /// The look of the readings.
    pub pattern: Pattern,
    /// Distance of earth from the centre of the line voltages: 0 when balanced, U/√3 with a phase on earth.
    pub displacement: Voltage,
}

impl GroundingReading {
    /// The groundings that the readings allow, likeliest first: several, unless a high leg shows.
    #[must_use]
    pub const fn candidates(self) -> &'static [Grounding] {
        self.pattern.candidates()
    }

    /// Links out as soon as one of the candidates wants them out.
    #[must_use]
    pub fn links(self) -> Links {
        if self.candidates().iter().all(|g| links_by_practice(*g) == Links::In) { Links::In } else { Links::Out }
    }
}

/// The groundings that three phase-to-earth readings allow.
///
/// Each reading over the line voltage is matched to 1/√3 ×3, to 0/1/1, and to 0.5/0.5/0.866 in any order, within
/// 10 % of the line voltage. U_0 = √((U_ag² + U_bg² + U_cg²)/3 − U²/3), the distance of earth from the centre of the
/// triangle of line voltages. Units: V rms. The reading is taken on the source side of the drive, by a qualified
/// person, with a high-impedance meter.
///
/// # Errors
/// When a reading is negative or no number, or the line voltage is not above zero.
///
/// Source: phasors; the reading of a solid ground out of three equal readings is a known mistake of the trade
/// (common practice). Worked example: 277, 278, 276 V on 480 V allow three groundings.
/// ```
/// use calc::{supply::grounding::grounding_from_readings, working::Silent};
/// use plant::{choice::Grounding, quantity::Voltage};
/// let v = Voltage::v;
/// let equal = grounding_from_readings(v(277.0), v(278.0), v(276.0), v(480.0), &mut Silent).unwrap();
/// assert_eq!(equal.candidates(), [Grounding::Solid, Grounding::HighResistance, Grounding::Ungrounded]);
/// let high = grounding_from_readings(v(120.0), v(208.0), v(120.0), v(240.0), &mut Silent).unwrap();
/// assert_eq!(high.candidates(), [Grounding::HighLeg]);
/// ```
pub fn grounding_from_readings<R: Recorder>(
    ag: Voltage,
    bg: Voltage,
    cg: Voltage,
    line: Voltage,
    rec: &mut R,
) -> Result<GroundingReading, Refusal> {
    if !(line.is_finite() && line > Voltage::ZERO) {
        return Err(Refusal::new(format!("the line voltage is above zero, not {line}")));
    }
    let mut shares = [ag, bg, cg].map(|v| v / line);
    if !shares.iter().all(|s| s.is_finite() && *s >= 0.0) {
        return Err(Refusal::new(format!("three readings to earth of zero or more are needed, not {ag}, {bg}, {cg}")));
    }
    shares.sort_by(f64::total_cmp);
    let like = |grounding: Grounding| {
        let mut ideal = healthy(grounding);
        ideal.sort_by(f64::total_cmp);
        ideal.iter().zip(shares).all(|(ideal, read)| (ideal - read).abs() <= MATCH)
    };
    let pattern = if like(Grounding::Solid) {
        Pattern::Balanced
    } else if like(Grounding::CornerGrounded) {
        Pattern::OneAtEarth
    } else if like(Grounding::HighLeg) {
        Pattern::HighLeg
    } else {
        Pattern::Shifted
    };
    // Rounding and a meter that pulls a floating source may bring the difference just below zero: earth at the centre.
    let square = shares.iter().map(|s| s * s).sum::<f64>() / 3.0 - 1.0 / 3.0;
    let displacement = line * square.max(0.0).sqrt();
    for (symbol, value) in [("U_ag/U", ag), ("U_bg/U", bg), ("U_cg/U", cg)] {
        rec.step(|| {
            Step::new(symbol, "reading to earth over line voltage", "", &DEFINITION).gives(plant::quantity::digits(value / line, 3))
        });
    }
    rec.step(|| {
        Step::new("U_0", "distance of earth from the centre", "√(((U_ag)² + (U_bg)² + (U_cg)²)/3 − (U)²/3)", &PHASORS)
            .with("U_ag", ag)
            .with("U_bg", bg)
            .with("U_cg", cg)
            .with("U", line)
            .gives(displacement)
            .note(if square < 0.0 { "the readings lie a little inside the balanced ones; taken as 0" } else { "" })
    });
    rec.step(|| {
        let words: Vec<&str> = pattern.candidates().iter().map(|g| g.word()).collect();
        Step::new("grounding", "groundings that the readings allow", "", &PRACTICE).gives(words.join(" or ")).note(pattern.advice())
    });
    Ok(GroundingReading { pattern, displacement })
}

/// `calc grounding-voltages`.
pub const GROUNDING_VOLTAGES: Calculation = Calculation {
    name: "grounding-voltages",
    summary: "Voltage of each phase to earth for a grounding, healthy and with one phase on earth, and where links belong.",
    // No default: a grounding that nobody stated is not a solid one.
    inputs: &[
        Input { name: "grounding", kind: InputKind::Word(&WORDS), default: None, doc: "how the source is tied to earth" },
        quantity::<dim::VoltageDim>("line", "line-to-line voltage"),
    ],
    results: &[
        output::<dim::VoltageDim>("a", "V", "first phase to earth, healthy"),
        output::<dim::VoltageDim>("b", "V", "second phase to earth, healthy"),
        output::<dim::VoltageDim>("c", "V", "third phase to earth, healthy: the grounded corner or the high leg"),
        output::<dim::VoltageDim>("with-fault", "V", "highest of the sound phases with one phase on earth"),
        output::<dim::CountDim>("fault-lasts", "", "1 when that lasts, 0 when a device clears it"),
        output::<dim::RatioDim>("stress", "pu", "highest lasting voltage to earth over U/√3"),
        output::<dim::CountDim>("links-in", "", "1 when links to earth stay in by practice, 0 when they come out"),
    ],
    sources: &[&PHASORS, &PRACTICE],
    run: |a: &Arguments, w: &mut Working| {
        let grounding = Grounding::from_word(a.word("grounding")).unwrap_or(Grounding::Ungrounded);
        let earth = grounding_voltages(grounding, a.get("line"), w)?;
        let flag = |yes: bool| f64::from(u8::from(yes));
        Ok(vec![
            earth.a.in_si(),
            earth.b.in_si(),
            earth.c.in_si(),
            earth.with_fault.in_si(),
            flag(earth.fault_lasts),
            earth.stress.in_si(),
            flag(earth.links == Links::In),
        ])
    },
};

const fn candidate(name: &'static str) -> Output {
    output::<dim::CountDim>(name, "", "1 when the readings allow this grounding")
}

/// `calc grounding-readings`.
pub const GROUNDING_READINGS: Calculation = Calculation {
    name: "grounding-readings",
    summary: "Groundings that three phase-to-earth readings allow; equal readings allow several.",
    inputs: &[
        quantity::<dim::VoltageDim>("ag", "phase A to earth"),
        quantity::<dim::VoltageDim>("bg", "phase B to earth"),
        quantity::<dim::VoltageDim>("cg", "phase C to earth"),
        quantity::<dim::VoltageDim>("line", "line-to-line voltage"),
    ],
    results: &[
        candidate(WORDS[0]),
        candidate(WORDS[1]),
        candidate(WORDS[2]),
        candidate(WORDS[3]),
        candidate(WORDS[4]),
        output::<dim::VoltageDim>("displacement", "V", "distance of earth from the centre of the line voltages"),
    ],
    sources: &[&PHASORS, &PRACTICE],
    run: |a: &Arguments, w: &mut Working| {
        let reading = grounding_from_readings(a.get("ag"), a.get("bg"), a.get("cg"), a.get("line"), w)?;
        let flag = |word: &str| f64::from(u8::from(reading.candidates().iter().any(|g| g.word() == word)));
        Ok(WORDS.into_iter().map(flag).chain([reading.displacement.in_si()]).collect())
    },
};

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::working::Silent;

    fn all() -> impl Iterator<Item = Grounding> {
        (0..).map_while(Grounding::from_index)
    }

    fn read(a: f64, b: f64, c: f64, line: f64) -> GroundingReading {
        grounding_from_readings(Voltage::v(a), Voltage::v(b), Voltage::v(c), Voltage::v(line), &mut Silent).unwrap()
    }

    #[test]
    fn a_phase_at_earth_is_a_corner_or_a_standing_fault() {
        let reading = read(480.0, 2.0, 478.0, 480.0);
        assert_eq!(reading.candidates(), [Grounding::CornerGrounded, Grounding::Ungrounded, Grounding::HighResistance]);
        assert!((reading.displacement.in_v() - 277.1).abs() < 2.0);
        assert_eq!(reading.links(), Links::Out);
    }

    #[test]
    fn equal_readings_never_put_links_in() {
        assert_eq!(read(277.0, 277.0, 277.0, 480.0).links(), Links::Out);
    }

    #[test]
    fn a_source_that_floats_under_the_meter_is_no_grounded_one() {
        for (a, b, c) in [(12.0, 9.0, 15.0), (350.0, 180.0, 300.0), (480.0, 480.0, 480.0)] {
            assert!(!read(a, b, c, 480.0).candidates().contains(&Grounding::Solid), "{a} {b} {c}");
        }
    }

    #[test]
    fn every_grounding_explains_its_own_readings_healthy_and_with_a_fault() {
        for grounding in all() {
            let earth = grounding_voltages(grounding, Voltage::v(480.0), &mut Silent).unwrap();
            assert!(read(earth.c.in_v(), earth.a.in_v(), earth.b.in_v(), 480.0).candidates().contains(&grounding), "{grounding:?}");
            if earth.fault_lasts {
                assert!(read(0.0, 480.0, 480.0, 480.0).candidates().contains(&grounding), "{grounding:?}");
            }
        }
    }

    #[test]
    fn readings_that_are_no_readings_are_refused() {
        let v = Voltage::v;
        for (a, line) in [(-1.0, 480.0), (f64::NAN, 480.0), (277.0, 0.0), (277.0, f64::INFINITY)] {
            assert!(grounding_from_readings(v(a), v(277.0), v(277.0), v(line), &mut Silent).is_err());
        }
    }

    proptest! {
        #[test]
        fn phases_may_be_named_in_any_order(a in 0.0f64..500.0, b in 0.0f64..500.0, c in 0.0f64..500.0) {
            let first = read(a, b, c, 480.0);
            for other in [read(b, c, a, 480.0), read(c, b, a, 480.0)] {
                prop_assert_eq!(first.pattern, other.pattern);
                prop_assert!((first.displacement - other.displacement).abs().in_v() < 1e-6);
            }
        }

        #[test]
        fn stress_is_never_below_that_of_a_solid_star(line in 100.0f64..700.0) {
            for grounding in all() {
                let earth = grounding_voltages(grounding, Voltage::v(line), &mut Silent).unwrap();
                let solid = grounding == Grounding::Solid;
                let stress = earth.stress.in_of_one();
                prop_assert!((solid && (stress - 1.0).abs() < 1e-12) || (!solid && stress > 1.4));
                prop_assert_eq!(earth.links == Links::In, solid);
            }
        }
    }
}
