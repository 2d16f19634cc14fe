//! Numbers of settings: their unit, step and range, and how they are written.

use plant::quantity::unit_named;
use plant::settings::{Found, Listed, Raw, Scale, Setting, Values};

/// Share of a value that only the computer's rounding makes.
pub(crate) const NOISE: f64 = 1e-9;

/// The SI value of a number in a scale's unit.
pub(crate) fn si(scale: &Scale, number: f64) -> f64 {
    number * scale.unit.factor + scale.unit.offset
}

/// The number in a scale's unit of an SI value.
pub(crate) fn shown(scale: &Scale, si: f64) -> f64 {
    (si - scale.unit.offset) / scale.unit.factor
}

/// The nearest number that the unit takes.
pub(crate) fn stepped(scale: &Scale, number: f64) -> f64 {
    let counts = (number / scale.step).round();
    // Steps are decimal: written with their digits and read back, the number is as near as a number can be.
    let text = format!("{:.*}", decimals(scale.step), counts * scale.step);
    text.parse().unwrap_or(number)
}

/// Digits behind the point that a step needs, at most nine.
pub(crate) fn decimals(step: f64) -> usize {
    (0..9)
        .find(|d| {
            let scaled = step * 10_f64.powi(i32::try_from(*d).unwrap_or(0));
            (scaled - scaled.round()).abs() < 1e-6 * scaled.max(1.0) && scaled.round() >= 1.0
        })
        .unwrap_or(9)
}

/// As the unit shows it: "15.0 s".
#[must_use]
pub fn number_text(scale: &Scale, number: f64) -> String {
    let digits = format!("{:.*}", decimals(scale.step), number);
    let digits = if digits.trim_start_matches('-').bytes().all(|b| matches!(b, b'0' | b'.')) {
        digits.trim_start_matches('-').to_owned()
    } else {
        digits
    };
    match scale.unit.symbol {
        "" | "pu" => digits,
        symbol => format!("{digits} {symbol}"),
    }
}

/// As the unit shows it; a choice with its text.
#[must_use]
pub fn raw_text(setting: &Setting, raw: &Raw) -> String {
    match (raw, setting.scale()) {
        (Raw::Number(number), Some(scale)) => number_text(scale, *number),
        (Raw::Number(number), None) => number.to_string(),
        (Raw::Text(value), _) => match setting.choices().iter().find(|c| c.value == *value) {
            Some(listed) => format!("{value}: {}", listed.text),
            None => value.clone(),
        },
    }
}

/// What a row of the list holds, held against what its setting takes.
///
/// # Errors
/// A sentence about why it counts for nothing.
pub(crate) fn read(setting: &Setting, found: &Found) -> Result<Raw, String> {
    if !found.unread.is_empty() {
        return Err(found.unread.clone());
    }
    match setting.meaning.as_ref().map(|m| &m.values) {
        None => Ok(Raw::Text(found.text.clone())),
        Some(Values::Number(scale)) => {
            let Some(mut number) = found.number else { return Err(format!("“{}” is no number", found.text)) };
            let own = setting.meaning.as_ref().and_then(|m| m.concept.dimension()).map(|of| scale.definition.dimension(of));
            if let (false, Some(own)) = (found.unit.is_empty(), own) {
                let Some(unit) = unit_named(own, &found.unit) else {
                    return Err(format!("“{}” is no unit of {}, in which this setting is written", found.unit, own.name));
                };
                number = shown(scale, number * unit.factor + unit.offset);
            }
            if let Some((low, high)) = scale.range
                && (number < low - scale.step * 0.51 || number > high + scale.step * 0.51)
            {
                return Err(format!(
                    "{} lies outside {} to {}, which its documents state; a count of the network may stand there instead of the value",
                    number_text(scale, number),
                    number_text(scale, low),
                    number_text(scale, high)
                ));
            }
            Ok(Raw::Number(number))
        }
        Some(Values::Choice(list)) => choice(list, found).map(|c| Raw::Text(c.value.clone())).ok_or_else(|| {
            format!("“{}” is none of its values ({})", found.text, list.iter().map(|c| c.value.as_str()).collect::<Vec<_>>().join(", "))
        }),
    }
}

fn choice<'l>(list: &'l [Listed], found: &Found) -> Option<&'l Listed> {
    let text = found.text.trim();
    let by_text = || list.iter().find(|c| c.text.eq_ignore_ascii_case(text));
    // "02", "2 = coast to rest".
    let by_number = || {
        let number = found.number?;
        list.iter().find(|c| c.value.parse::<f64>().is_ok_and(|v| (v - number).abs() < NOISE))
    };
    list.iter().find(|c| c.value.eq_ignore_ascii_case(text)).or_else(by_text).or_else(by_number)
}
