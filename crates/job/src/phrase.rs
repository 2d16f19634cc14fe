//! Figures of a dossier as people read them on a screen or a page: margins, money, standings, assumptions.

use dossier::{Candidate, Margin};
use plant::quantity::{System, digits};
use plant::survey::{self, Assume, FactDef};

use crate::report::raw_text;

/// Money with thousands apart: "12 345".
#[must_use]
pub fn money(amount: f64) -> String {
    let whole = format!("{:.0}", amount.abs());
    let mut text = String::new();
    for (i, digit) in whole.chars().enumerate() {
        if i > 0 && (whole.len() - i) % 3 == 0 {
            text.push('\u{202f}');
        }
        text.push(digit);
    }
    if amount < 0.0 { format!("−{text}") } else { text }
}

/// A time of delivery as it is quoted: weeks, and days where it is less than one.
#[must_use]
pub fn weeks_in_words(weeks: f64) -> String {
    let (number, unit) = if weeks < 1.0 { (weeks * 7.0, "day") } else { (weeks, "week") };
    match digits(number, 3) {
        one if one == "1" => format!("1 {unit}"),
        number => format!("{number} {unit}s"),
    }
}

/// An installed cost with what of it has no price: "12 345 EUR + 1 unpriced".
#[must_use]
pub fn cost(candidate: &Candidate, currency: &str) -> String {
    let money = format!("{} {currency}", money(candidate.cost));
    match candidate.unpriced {
        0 => money,
        1 => format!("{money} + 1 unpriced"),
        n => format!("{money} + {n} unpriced"),
    }
}

/// A number with its sign, to three digits: "+3.1", "−22".
#[must_use]
pub fn signed(value: f64) -> String {
    let number = digits(value.abs(), 3);
    if value < 0.0 { format!("−{number}") } else { format!("+{number}") }
}

/// A margin as people read it: "+3.1 … +22 %", "holds or fails".
#[must_use]
pub fn margin_text(margin: &Margin) -> String {
    match (margin.low, margin.high) {
        (Some(low), Some(high)) if margin.unit.is_empty() => if low >= 0.0 {
            "holds"
        } else if high < 0.0 {
            "fails"
        } else {
            "holds or fails"
        }
        .into(),
        (Some(low), Some(high)) if (high - low).abs() < 0.05 => format!("{} {}", signed(low), margin.unit),
        (Some(low), Some(high)) => format!("{} … {} {}", signed(low), signed(high), margin.unit),
        _ => "—".into(),
    }
}

/// The verdict of a candidate in words.
#[must_use]
pub fn standing(candidate: &Candidate) -> &'static str {
    match (candidate.verdict.as_str(), candidate.only_open) {
        ("holds", _) => "holds",
        ("fails", _) => "fails",
        (_, true) => "holds but for what stays open",
        _ => "depends",
    }
}

/// How a candidate stands beside the others: "sound", "in doubt", "ruled out".
#[must_use]
pub fn beside_others(candidate: &Candidate) -> &'static str {
    match candidate.by_choice.as_str() {
        "holds" => "sound",
        "depends" => "in doubt",
        _ => "ruled out",
    }
}

/// What may be assumed of a fact, in words.
#[must_use]
pub fn assumption_text(def: &FactDef) -> String {
    let text = |v: f64| raw_text(v, def.kind, System::Metric);
    let percent = |v: f64| format!("{} %", digits(v * 100.0, 3));
    match def.assume {
        Assume::Nothing => "open: nothing may be assumed".into(),
        Assume::NotNeeded => "left out".into(),
        Assume::Is(v) => text(v),
        Assume::Between(low, high) => format!("{} to {}", text(low), text(high)),
        Assume::OneOf(values) => values.iter().map(|v| text(*v)).collect::<Vec<_>>().join(" or "),
        Assume::AnyWord => "any of the words".into(),
        Assume::Times(base, low, high) => format!("{} to {} of {}", percent(low), percent(high), survey::path(base)),
        Assume::TimesMotors(low, high) => format!("{} to {} of the rated current of all motors", percent(low), percent(high)),
        Assume::By(_) => "follows from other facts".into(),
    }
}
