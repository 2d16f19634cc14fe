//! Locked-rotor currents of NEMA motors, and what voltage and frequency do to them.

use plant::quantity::{ApparentPower, Current, Frequency, Power, Voltage, dim};

use super::shaft::SQRT_3;
use super::{positive, required_word, row_of};
use crate::registry::{Calculation, Refusal, output, quantity};
use crate::sources::{Knowledge, Source};
use crate::working::{Recorder, Step};

const CODE_LETTERS: Source = Source::new("NEMA MG 1 10.37, NEC 430.7(B)", Knowledge::LookedUp);
const MG_1_12_35: Source = Source::new("NEMA MG 1 12.35.1, through handbooks that quote it", Knowledge::LookedUp);
/// The textbook behind the scaling rules.
pub(super) const HUBERT_CH_5: Source = Source::new("Hubert, Electric Machines, ch. 5", Knowledge::LookedUp);

/// Code letters, and from which locked-rotor kVA per hp each begins; it ends below where the next begins.
const LETTERS_KVA_PER_HP: [(&str, f64); 19] = [
    ("A", 0.0),
    ("B", 3.15),
    ("C", 3.55),
    ("D", 4.0),
    ("E", 4.5),
    ("F", 5.0),
    ("G", 5.6),
    ("H", 6.3),
    ("J", 7.1),
    ("K", 8.0),
    ("L", 9.0),
    ("M", 10.0),
    ("N", 11.2),
    ("P", 12.5),
    ("R", 14.0),
    ("S", 16.0),
    ("T", 18.0),
    ("U", 20.0),
    ("V", 22.4),
];
/// The code prints a range up to the last hundredth below the next letter's.
const HUNDREDTH: f64 = 0.01;
const LETTER_WORDS: &[&str] = &["A", "B", "C", "D", "E", "F", "G", "H", "J", "K", "L", "M", "N", "P", "R", "S", "T", "U", "V"];

/// What a code letter says of a motor's locked rotor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Inrush {
    /// Least apparent power per hp.
    pub low_per_hp: ApparentPower,
    /// Greatest apparent power per hp as the code prints it.
    pub high_per_hp: ApparentPower,
    /// Locked-rotor current at the least.
    pub low: Current,
    /// Locked-rotor current where the next letter begins: the letter's own motors stay below it.
    pub high: Current,
}

/// The locked-rotor current that a code letter stands for.
///
/// I = kVA/hp·P(hp)·1000/(√3·U), for both ends of the letter's range; for a three-phase motor at rated voltage and frequency. The
/// upper current is taken where the next letter begins (6.3 for G), the range as printed ends a hundredth below (6.29).
/// Letter V has no upper end and is refused.
///
/// # Errors
/// When the letter does not exist or has no upper end, or power or voltage is not above zero.
///
/// Source: NEMA MG 1 10.37, NEC 430.7(B) (looked up in a public copy). Worked example (Hubert, Electric Machines, ex. 5.13):
/// 150 hp, 460 V, code G: 1054 … 1186 A.
/// ```
/// use calc::{motor::nema::code_letter_inrush, working::Silent};
/// use plant::quantity::{ApparentPower, Current, Frequency, Power, Voltage, dim};
/// let inrush = code_letter_inrush("G", Power::hp(150.0), Voltage::v(460.0), &mut Silent).unwrap();
/// assert!((inrush.low.in_a() - 1054.3).abs() < 0.1 && (inrush.high.in_a() - 1186.1).abs() < 0.1);
/// ```
pub fn code_letter_inrush<R: Recorder>(letter: &str, power: Power, voltage: Voltage, rec: &mut R) -> Result<Inrush, Refusal> {
    positive("the power", power)?;
    let u = positive("the voltage", voltage)?;
    let at = LETTERS_KVA_PER_HP.iter().position(|(l, _)| *l == letter);
    let at = at.ok_or_else(|| Refusal::new(format!("“{letter}” is no code letter; they are {}", LETTER_WORDS.join(", "))))?;
    let low = LETTERS_KVA_PER_HP[at].1;
    let Some((_, next)) = LETTERS_KVA_PER_HP.get(at + 1) else {
        return Err(Refusal::new(format!("code letter {letter} means {low} kVA per hp and up: it gives no highest current")));
    };
    let amps = |kva_per_hp: f64| Current::a(kva_per_hp * 1e3 * power.in_hp() / (SQRT_3 * u));
    let inrush = Inrush {
        low_per_hp: ApparentPower::kva(low),
        high_per_hp: ApparentPower::kva(next - HUNDREDTH),
        low: amps(low),
        high: amps(*next),
    };
    rec.step(|| {
        Step::new("k", "locked-rotor kVA per hp", "", &CODE_LETTERS)
            .gives(format!("{low} to {:.2}", next - HUNDREDTH))
            .note(format!("code letter {letter}; the next begins at {next}"))
    });
    for (symbol, name, k, current) in
        [("I_low", "locked-rotor current, least", low, inrush.low), ("I_high", "locked-rotor current, greatest", *next, inrush.high)]
    {
        rec.step(|| {
            Step::new(symbol, name, "k·1000·P_hp/(√3·U)", &CODE_LETTERS)
                .with("k", k)
                .with("P_hp", power.in_hp())
                .with("U", voltage)
                .gives(current)
        });
    }
    Ok(inrush)
}

/// NEMA MG 1 12.35.1: hp, greatest locked-rotor amperes at 230 V of designs B, C and D.
const LOCKED_ROTOR_230_V_A: [(f64, f64); 27] = [
    (0.5, 20.0),
    (0.75, 25.0),
    (1.0, 30.0),
    (1.5, 40.0),
    (2.0, 50.0),
    (3.0, 64.0),
    (5.0, 92.0),
    (7.5, 127.0),
    (10.0, 162.0),
    (15.0, 232.0),
    (20.0, 290.0),
    (25.0, 365.0),
    (30.0, 435.0),
    (40.0, 580.0),
    (50.0, 725.0),
    (60.0, 870.0),
    (75.0, 1085.0),
    (100.0, 1450.0),
    (125.0, 1815.0),
    (150.0, 2170.0),
    (200.0, 2900.0),
    (250.0, 3650.0),
    (300.0, 4400.0),
    (350.0, 5100.0),
    (400.0, 5800.0),
    (450.0, 6500.0),
    (500.0, 7250.0),
];

/// The greatest locked-rotor current that NEMA allows a design B, C or D motor.
///
/// Table value at 230 V, times 230/U for another rated voltage; three-phase, 60 Hz, ½ … 500 hp. Handbooks print the other
/// voltages cut or rounded to whole amperes.
///
/// # Errors
/// When the table has no such rating (the nearest rows are named), or the voltage is not above zero.
///
/// Source: NEMA MG 1 12.35.1 (looked up in handbooks that quote it). Worked example: 100 hp at 460 V is 725 A.
/// ```
/// use calc::{motor::nema::locked_rotor_amps, working::Silent};
/// use plant::quantity::{ApparentPower, Current, Frequency, Power, Voltage, dim};
/// let i = locked_rotor_amps(Power::hp(100.0), Voltage::v(460.0), &mut Silent).unwrap();
/// assert!((i.in_a() - 725.0).abs() < 1e-9);
/// ```
pub fn locked_rotor_amps<R: Recorder>(power: Power, voltage: Voltage, rec: &mut R) -> Result<Current, Refusal> {
    positive("the power", power)?;
    let u = positive("the voltage", voltage)?;
    let (hp, at_230) = row_of(&LOCKED_ROTOR_230_V_A, |r| r.0, power.in_hp(), "hp", "NEMA MG 1 12.35.1")?;
    let current = Current::a(at_230 * 230.0 / u);
    rec.step(|| {
        Step::new("I_230", "greatest locked-rotor current at 230 V", "", &MG_1_12_35)
            .gives(Current::a(*at_230))
            .note(format!("row {hp} hp"))
    });
    rec.step(|| {
        Step::new("I_k", "greatest locked-rotor current", "I_230·230 V/U", &MG_1_12_35)
            .with("I_230", Current::a(*at_230))
            .with("U", voltage)
            .gives(current)
    });
    Ok(current)
}

/// The locked-rotor current at another voltage and frequency.
///
/// I = I_k·(U/f)/(U_k/f_k): the rotor at standstill is nearly all reactance. Good while resistance is small against reactance, so
/// not at a few hertz.
///
/// # Errors
/// When an input is not above zero.
///
/// Source: Hubert, Electric Machines, ex. 5.7 (looked up in a public copy). Worked example: 151 A at 230 V, 60 Hz become 173.3 A at
/// 220 V, 50 Hz.
/// ```
/// use calc::{motor::nema::locked_rotor_scaled, working::Silent};
/// use plant::quantity::{ApparentPower, Current, Frequency, Power, Voltage, dim};
/// let i = locked_rotor_scaled(
///     Current::a(151.0), Voltage::v(230.0), Frequency::hz(60.0), Voltage::v(220.0), Frequency::hz(50.0), &mut Silent).unwrap();
/// assert!((i.in_a() - 173.32).abs() < 0.01);
/// ```
pub fn locked_rotor_scaled<R: Recorder>(
    current: Current,
    voltage: Voltage,
    frequency: Frequency,
    new_voltage: Voltage,
    new_frequency: Frequency,
    rec: &mut R,
) -> Result<Current, Refusal> {
    let i = positive("the locked-rotor current", current)?;
    let before = positive("the voltage", voltage)? / positive("the frequency", frequency)?;
    let after = positive("the new voltage", new_voltage)? / positive("the new frequency", new_frequency)?;
    let scaled = Current::a(i * after / before);
    rec.step(|| {
        Step::new("I_k2", "locked-rotor current", "I_k·(U2/f2)/(U1/f1)", &HUBERT_CH_5)
            .with("I_k", current)
            .with("U2", new_voltage)
            .with("f2", new_frequency)
            .with("U1", voltage)
            .with("f1", frequency)
            .gives(scaled)
    });
    Ok(scaled)
}

/// `calc code-letter-inrush`.
pub const CODE_LETTER_INRUSH: Calculation = Calculation {
    name: "code-letter-inrush",
    summary: "Locked-rotor current that a NEMA code letter stands for.",
    inputs: &[
        required_word("letter", LETTER_WORDS, "code letter of the plate"),
        quantity::<dim::PowerDim>("power", "rated power"),
        quantity::<dim::VoltageDim>("voltage", "rated voltage, line to line"),
    ],
    results: &[
        output::<dim::ApparentPowerDim>("low_per_hp", "kVA", "least apparent power per hp"),
        output::<dim::ApparentPowerDim>("high_per_hp", "kVA", "greatest apparent power per hp, as printed"),
        output::<dim::CurrentDim>("low", "A", "least locked-rotor current"),
        output::<dim::CurrentDim>("high", "A", "locked-rotor current where the next letter begins"),
    ],
    sources: &[&CODE_LETTERS],
    run: |a, w| {
        let i = code_letter_inrush(a.word("letter"), a.get("power"), a.get("voltage"), w)?;
        Ok(vec![i.low_per_hp.in_si(), i.high_per_hp.in_si(), i.low.in_si(), i.high.in_si()])
    },
};

/// `calc locked-rotor-amps`.
pub const LOCKED_ROTOR_AMPS: Calculation = Calculation {
    name: "locked-rotor-amps",
    summary: "Greatest locked-rotor current that NEMA allows a design B, C or D motor.",
    inputs: &[
        quantity::<dim::PowerDim>("power", "rated power, a row of the table in hp"),
        quantity::<dim::VoltageDim>("voltage", "rated voltage, line to line"),
    ],
    results: &[output::<dim::CurrentDim>("current", "A", "greatest locked-rotor current")],
    sources: &[&MG_1_12_35],
    run: |a, w| Ok(vec![locked_rotor_amps(a.get("power"), a.get("voltage"), w)?.in_si()]),
};

/// `calc locked-rotor-scaling`.
pub const LOCKED_ROTOR_SCALING: Calculation = Calculation {
    name: "locked-rotor-scaling",
    summary: "Locked-rotor current at another voltage and frequency.",
    inputs: &[
        quantity::<dim::CurrentDim>("current", "locked-rotor current as known"),
        quantity::<dim::VoltageDim>("voltage", "voltage it is known at"),
        quantity::<dim::FrequencyDim>("frequency", "frequency it is known at"),
        quantity::<dim::VoltageDim>("new_voltage", "voltage it is asked for"),
        quantity::<dim::FrequencyDim>("new_frequency", "frequency it is asked for"),
    ],
    results: &[output::<dim::CurrentDim>("current", "A", "locked-rotor current")],
    sources: &[&HUBERT_CH_5],
    run: |a, w| {
        let i =
            locked_rotor_scaled(a.get("current"), a.get("voltage"), a.get("frequency"), a.get("new_voltage"), a.get("new_frequency"), w)?;
        Ok(vec![i.in_si()])
    },
};
