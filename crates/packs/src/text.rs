//! The texts of surveyed values, both ways: "52 A", "20..60 m", "24 V | 120 V", "solid | ungrounded", "?".

use plant::choice::ChoiceInfo;
use plant::fact::Known;
use plant::quantity::{self, DimensionInfo, System, digits, show};
use plant::survey::{DUTY_COLUMNS, DUTY_ROWS, FACTS, FactDef, FactId, Kind, duty_cell, find};

pub use crate::problem::Wrong;
use crate::problem::{did_you_mean, one_of};

/// Most possibilities of one fact.
const MOST_POSSIBILITIES: usize = 16;
/// Longest text of a fact.
const LONGEST: usize = 400;

/// Reads the text of a fact: a value, a range "20..60 m" (the unit may stand once, at the end), possibilities
/// "24 V | 120 V" (each with its unit), or "?".
///
/// # Errors
/// A sentence about what is wrong, and what would be right.
///
/// ```
/// use packs::text::parse_fact;
/// use plant::{fact::Known, quantity::{dim::LengthDim, Dimension}, survey::Kind};
/// let length = Kind::Quantity(LengthDim::INFO);
/// assert_eq!(parse_fact("20..60 m", length), Ok(Known::Range(20.0, 60.0)));
/// assert_eq!(parse_fact("?", length), Ok(Known::Missing));
/// assert!(parse_fact("60..20 m", length).is_err());
/// ```
pub fn parse_fact(text: &str, kind: Kind) -> Result<Known, Wrong> {
    let text = text.trim();
    if text.len() > LONGEST {
        return Err(Wrong::new("this text is too long for a value", ""));
    }
    if text.is_empty() {
        return Err(Wrong::new("this is blank", "write \"?\" while it is not known, or leave the key out"));
    }
    if text == "?" {
        return Ok(Known::Missing);
    }
    let parts: Vec<&str> = text.split('|').map(str::trim).collect();
    match (parts.as_slice(), kind) {
        ([one], Kind::Quantity(info)) => match one.split_once("..") {
            Some((low, high)) => range(low.trim(), high.trim(), info),
            None => number(one, info).map(Known::Value),
        },
        ([one], Kind::Choice(info)) => word(one, info).map(index_value).map(Known::Value),
        (many, _) if many.len() > MOST_POSSIBILITIES => Err(Wrong::new(
            format!("{} possibilities are too many", many.len()),
            format!("at most {MOST_POSSIBILITIES}; a range says more"),
        )),
        (many, _) => {
            let mut values: Vec<f64> = Vec::with_capacity(many.len());
            for part in many {
                let value = match kind {
                    Kind::Quantity(_) if part.contains("..") => {
                        return Err(Wrong::new("a range stands among possibilities", "write either a range or possibilities"));
                    }
                    Kind::Quantity(info) => number(part, info)?,
                    Kind::Choice(info) => index_value(word(part, info)?),
                };
                if values.iter().any(|v| v.total_cmp(&value).is_eq()) {
                    return Err(Wrong::new(format!("“{part}” stands twice among the possibilities"), ""));
                }
                values.push(value);
            }
            Ok(Known::OneOf(values))
        }
    }
}

/// Reads the text of a certain fact, and refuses what is outside its sensible bounds.
///
/// # Errors
/// As [`parse_fact`], and for a value that is not physically sensible.
pub fn parse_fact_of(text: &str, def: &FactDef) -> Result<Known, Wrong> {
    let known = parse_fact(text, def.kind)?;
    if let (Some((low, high)), Kind::Quantity(info)) = (known.bounds(), def.kind) {
        sensible(text, (low, high), info, def.sensible)?;
    }
    Ok(known)
}

/// Refuses values outside sensible SI bounds; counts must be whole as well.
pub(crate) fn sensible(text: &str, value: (f64, f64), info: &DimensionInfo, bounds: (f64, f64)) -> Result<(), Wrong> {
    /// Share by which a value may pass a bound, so that 0.1 and 100 mA are the same: rounding of conversions.
    const ROUNDING: f64 = 1e-9;
    let text = text.trim();
    let slack = |v: f64| v.abs() * ROUNDING;
    if value.0 < bounds.0 - slack(bounds.0) || value.1 > bounds.1 + slack(bounds.1) {
        let shown = |v| show(v, info, System::Metric);
        let message = format!("{text} is outside what is sensible ({} to {})", shown(bounds.0), shown(bounds.1));
        return Err(Wrong::new(message, "check the number and its unit"));
    }
    if info.name == "count" && (value.0.fract().abs() > 0.0 || value.1.fract().abs() > 0.0) {
        return Err(Wrong::new(format!("{text} is not a whole number"), ""));
    }
    Ok(())
}

/// One number with its unit, in SI.
pub(crate) fn number(text: &str, info: &DimensionInfo) -> Result<f64, Wrong> {
    quantity::parse(text, info).map_err(|e| Wrong::new(e.message, e.expected))
}

/// Index of a word.
pub(crate) fn word(text: &str, info: &'static ChoiceInfo) -> Result<usize, Wrong> {
    let words = info.words.iter().map(|w| w.word);
    info.index(text).ok_or_else(|| {
        if text.contains("..") {
            Wrong::new(format!("“{text}” is a range, and a {} has no order", info.name), "write possibilities: word | word")
        } else if text.is_empty() {
            Wrong::new("a word is missing", one_of(words))
        } else {
            Wrong::new(format!("“{text}” is no {}", info.name), did_you_mean(text, words))
        }
    })
}

/// The raw number of a word.
pub(crate) fn index_value(index: usize) -> f64 {
    u32::try_from(index).map_or(f64::NAN, f64::from)
}

fn range(low: &str, high: &str, info: &DimensionInfo) -> Result<Known, Wrong> {
    if low.is_empty() || high.is_empty() {
        return Err(Wrong::new("one end of the range is missing", "write both: 20..60 m"));
    }
    let top = number(high, info)?;
    // A unit that stands once stands at the end and holds for both ends: 80..95 % is 80 % to 95 %.
    let bottom = if low.ends_with(|c: char| c.is_ascii_digit() || c == '.') {
        number(&format!("{low} {}", unit_of(high)), info)?
    } else {
        number(low, info)?
    };
    if bottom > top {
        return Err(Wrong::new(format!("the range {low}..{high} starts above its end"), "write the lower value first"));
    }
    Ok(Known::Range(bottom, top))
}

/// What stands behind the number at the head of a text.
fn unit_of(text: &str) -> &str {
    if text.ends_with("AWG") {
        return "AWG";
    }
    let bytes = text.as_bytes();
    let digit = |i: usize| bytes.get(i).is_some_and(u8::is_ascii_digit);
    let mut end = 0;
    while let Some(b) = bytes.get(end) {
        let sign = matches!(b, b'+' | b'-') && (end == 0 || matches!(bytes[end - 1], b'e' | b'E'));
        let exponent = matches!(b, b'e' | b'E') && end > 0 && digit(end - 1) && (digit(end + 1) || digit(end + 2));
        if !(b.is_ascii_digit() || matches!(b, b'.' | b',') || sign || exponent) {
            break;
        }
        end += 1;
    }
    text.get(end..).unwrap_or_default().trim()
}

/// Shows what is known as the text that a file would hold; numbers in the units of `system`, to four digits.
///
/// ```
/// use packs::text::fact_text;
/// use plant::{fact::Known, quantity::{dim::LengthDim, Dimension, System}, survey::Kind};
/// let length = Kind::Quantity(LengthDim::INFO);
/// assert_eq!(fact_text(&Known::Range(20.0, 60.0), length, System::Metric), "20..60 m");
/// assert_eq!(fact_text(&Known::Missing, length, System::Metric), "?");
/// ```
#[must_use]
pub fn fact_text(known: &Known, kind: Kind, system: System) -> String {
    let one = |value: f64| match kind {
        Kind::Quantity(info) => show(value, info, system),
        Kind::Choice(info) => info
            .words
            .iter()
            .enumerate()
            .find(|(i, _)| (index_value(*i) - value).abs() < 0.5)
            .map_or_else(|| digits(value, 4), |(_, w)| w.word.to_owned()),
    };
    match known {
        Known::Missing => "?".into(),
        Known::Value(value) => one(*value),
        Known::OneOf(values) => {
            // Possibilities that four digits cannot tell apart are shown once, so that the text stays one that reads.
            let mut texts: Vec<String> = Vec::with_capacity(values.len());
            values.iter().map(|v| one(*v)).for_each(|text| {
                if !texts.contains(&text) {
                    texts.push(text);
                }
            });
            texts.join(" | ")
        }
        Known::Range(low, high) => {
            let (low, high) = (one(*low), one(*high));
            let unit = unit_of(&high);
            match low.strip_suffix(unit) {
                Some(bare) if !unit.is_empty() && unit_of(&low) == unit => format!("{}..{high}", bare.trim_end()),
                _ => format!("{low}..{high}"),
            }
        }
    }
}

/// The fact of a path, cells of the duty table (`duty[2].current`, rows from 1) included.
///
/// # Errors
/// When there is none; the help names the nearest.
pub fn fact_id(path: &str) -> Result<FactId, Wrong> {
    if let Some(id) = find(path) {
        return Ok(id);
    }
    let Some((row, key)) = path.strip_prefix("duty[").and_then(|rest| rest.split_once("].")) else {
        return Err(Wrong::new(format!("“{path}” is no fact"), did_you_mean(path, FACTS.iter().map(|f| f.path))));
    };
    let keys = DUTY_COLUMNS.iter().map(FactDef::key);
    let Some(column) = keys.clone().position(|k| k == key) else {
        return Err(Wrong::new(format!("“{key}” is no column of the duty table"), did_you_mean(key, keys)));
    };
    match row.parse::<usize>() {
        Ok(row) if (1..=DUTY_ROWS).contains(&row) => Ok(duty_cell(row - 1, column)),
        _ => Err(Wrong::new(format!("“{row}” is no row of the duty table"), format!("rows are counted from 1 to {DUTY_ROWS}"))),
    }
}

#[cfg(test)]
mod tests {
    use plant::choice::{Choice, Grounding};
    use plant::quantity::Dimension;
    use plant::quantity::dim::{AreaDim, CurrentDim, FrequencyDim, LengthDim, RateDim, RatioDim, TemperatureDim};

    use super::*;

    const WORDS: Kind = Kind::Choice(Grounding::INFO);

    fn quantity<D: Dimension>() -> Kind {
        Kind::Quantity(D::INFO)
    }

    fn near(known: &Known, want: &Known, share: f64) -> bool {
        let close = |a: f64, b: f64| (a - b).abs() <= share * b.abs().max(1e-12);
        match (known, want) {
            (Known::Value(a), Known::Value(b)) => close(*a, *b),
            (Known::Range(a, b), Known::Range(c, d)) => close(*a, *c) && close(*b, *d),
            (Known::OneOf(a), Known::OneOf(b)) => a.len() == b.len() && a.iter().zip(b).all(|(a, b)| close(*a, *b)),
            _ => known == want,
        }
    }

    #[test]
    fn texts_read_as_people_write_them() {
        for (text, kind, want) in [
            ("20..60 m", quantity::<LengthDim>(), Known::Range(20.0, 60.0)),
            ("20 m..60 m", quantity::<LengthDim>(), Known::Range(20.0, 60.0)),
            ("500 mm .. 2 m", quantity::<LengthDim>(), Known::Range(0.5, 2.0)),
            ("80..95 %", quantity::<RatioDim>(), Known::Range(0.8, 0.95)),
            ("1.0..1.15", quantity::<RatioDim>(), Known::Range(1.0, 1.15)),
            ("-5..40 °C", quantity::<TemperatureDim>(), Known::Range(268.15, 313.15)),
            ("1e1..2e1 Hz", quantity::<FrequencyDim>(), Known::Range(10.0, 20.0)),
            ("2..6 1/h", quantity::<RateDim>(), Known::Range(2.0 / 3600.0, 6.0 / 3600.0)),
            ("2..6 /h", quantity::<RateDim>(), Known::Range(2.0 / 3600.0, 6.0 / 3600.0)),
            ("24 A | 0.12 kA", quantity::<CurrentDim>(), Known::OneOf(vec![24.0, 120.0])),
            ("solid", WORDS, Known::Value(0.0)),
            ("solid | ungrounded", WORDS, Known::OneOf(vec![0.0, 4.0])),
            (" ? ", WORDS, Known::Missing),
        ] {
            let known = parse_fact(text, kind).unwrap_or_else(|e| panic!("{text}: {e:?}"));
            assert!(near(&known, &want, 1e-12), "{text}: {known:?}");
        }
        let Ok(Known::Range(low, high)) = parse_fact("4..1/0 AWG", quantity::<AreaDim>()) else { panic!("wire sizes") };
        assert!(low < high);
    }

    #[test]
    fn wrong_texts_say_why() {
        for (text, kind, words) in [
            ("60..20 m", quantity::<LengthDim>(), "starts above"),
            ("20..", quantity::<LengthDim>(), "one end"),
            ("20..60", quantity::<LengthDim>(), "no unit"),
            ("20..60 A", quantity::<LengthDim>(), "unit of electric current, not of length"),
            ("24 | 120 m", quantity::<LengthDim>(), "no unit"),
            ("1 m | 2..3 m", quantity::<LengthDim>(), "range stands among"),
            ("1 m | 1000 mm", quantity::<LengthDim>(), "twice"),
            ("", quantity::<LengthDim>(), "blank"),
            ("? | 5 m", quantity::<LengthDim>(), "start with a number"),
            ("solid..corner", WORDS, "no order"),
            ("sollid", WORDS, "no supply grounding"),
            ("solid | solid", WORDS, "twice"),
            ("solid |", WORDS, "missing"),
        ] {
            let wrong = parse_fact(text, kind).expect_err(text);
            assert!(wrong.message.contains(words), "{text}: {wrong:?}");
        }
        assert!(parse_fact("sollid", WORDS).is_err_and(|w| w.help == "did you mean “solid”?"));
        assert!(parse_fact(&"1 m|".repeat(5000), quantity::<LengthDim>()).is_err());
    }

    #[test]
    fn values_outside_the_sensible_are_refused_with_both_bounds() {
        let def = FACTS.iter().find(|f| f.path == "old.rated_current").expect("there");
        let wrong = parse_fact_of("0.05 A", def).expect_err("too small");
        assert_eq!(wrong.message, "0.05 A is outside what is sensible (100 mA to 5 kA)");
        assert!(parse_fact_of("50..9000 A", def).is_err());
        assert!(parse_fact_of("100 mA", def).is_ok(), "the bound itself");
        let count = FACTS.iter().find(|f| f.path == "motor.count").expect("there");
        assert!(parse_fact_of("1.5", count).is_err_and(|w| w.message.contains("whole")));
    }

    #[test]
    fn paths_find_facts_and_cells() {
        assert_eq!(fact_id("load.current").ok(), find("load.current"));
        assert_eq!(fact_id("duty[2].torque").ok(), Some(duty_cell(1, 3)));
        assert!(fact_id("duty[0].torque").is_err() && fact_id("duty[41].time").is_err() && fact_id("duty[x].time").is_err());
        assert_eq!(fact_id("load.curent").expect_err("misspelt").help, "did you mean “load.current”?");
        assert!(fact_id("duty[1].tork").is_err());
    }

    proptest::proptest! {
        #[test]
        fn any_text_is_read_or_refused(text in ".{0,60}") {
            for def in FACTS { let _ = parse_fact_of(&text, def); }
            let _ = fact_id(&text);
        }

        #[test]
        fn near_misses_are_read_or_refused(text in "[0-9.,eE+| mA%?-]{0,24}") {
            for def in FACTS { let _ = parse_fact_of(&text, def); }
        }

        #[test]
        fn shown_facts_read_back(first in 0.0f64..1.0, second in 0.0f64..1.0) {
            /// Four digits of up to 212 °F are tenths of a degree Fahrenheit; all other dimensions start at zero.
            const STEP_K: f64 = 0.06;
            for def in FACTS.iter().chain(DUTY_COLUMNS) {
                let Kind::Quantity(info) = def.kind else { continue };
                let (low, high) = def.sensible;
                let at = |share: f64| low + (high - low) * share;
                let (low, high) = (at(first.min(second)), at(first.max(second)));
                for system in [System::Metric, System::Us] {
                    for known in [Known::Value(low), Known::Range(low, high), Known::OneOf(vec![low, high])] {
                        let text = fact_text(&known, def.kind, system);
                        let back = parse_fact(&text, def.kind).unwrap_or_else(|e| panic!("{}: {text}: {e:?}", def.path));
                        let (got, want) = (back.bounds().expect("known"), known.bounds().expect("known"));
                        let near = |a: f64, b: f64| (a - b).abs() <= if info.name == "temperature" { STEP_K } else { 6e-4 * b.abs() + 1e-12 };
                        assert!(near(got.0, want.0) && near(got.1, want.1), "{}: {text}: {back:?} against {known:?}", def.path);
                    }
                }
            }
        }
    }

    #[test]
    fn possibilities_that_look_alike_are_shown_once() {
        let alike = Known::OneOf(vec![24.0, 24.000_01, 120.0]);
        assert_eq!(fact_text(&alike, quantity::<CurrentDim>(), System::Metric), "24 A | 120 A");
    }

    #[test]
    fn shown_words_read_back() {
        for known in [Known::Missing, Known::Value(2.0), Known::OneOf(vec![0.0, 4.0])] {
            let text = fact_text(&known, WORDS, System::Metric);
            assert_eq!(parse_fact(&text, WORDS), Ok(known), "{text}");
        }
    }
}
