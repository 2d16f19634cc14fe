//! Quantities as text: reading what people write on plates and in surveys, and showing it again.

use std::fmt;

use super::{DIMENSIONS, Dimension, DimensionInfo, System, Unit, dim};

/// No quantity of a plant is larger, or smaller without being zero, in SI units: anything beyond is a slip of the pen, and
/// would overflow in the first product.
const LARGEST: f64 = 1e24;
const SMALLEST: f64 = 1e-24;

/// Why a text is no quantity of the wanted dimension.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NotAQuantity {
    /// What is wrong, as a sentence.
    pub message: String,
    /// What would be right, as examples.
    pub expected: String,
}

impl fmt::Display for NotAQuantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}; {}", self.message, self.expected)
    }
}

fn expectation(info: &DimensionInfo) -> String {
    let units: Vec<&str> = info.units.iter().map(|u| if u.symbol.is_empty() { "a bare number" } else { u.symbol }).collect();
    format!("expected {} in {}", info.name, units.join(", "))
}

/// Finds the unit that a text names. Exact spelling wins; then spelling without case, if only one unit fits.
#[must_use]
pub fn unit_named<'i>(info: &'i DimensionInfo, text: &str) -> Option<&'i Unit> {
    let text = text.trim();
    let exact = |u: &&Unit| u.symbol == text || u.aliases.contains(&text);
    if let Some(unit) = info.units.iter().find(exact) {
        return Some(unit);
    }
    let lower = text.to_lowercase();
    let mut loose = info.units.iter().filter(|u| u.symbol.to_lowercase() == lower || u.aliases.iter().any(|a| a.to_lowercase() == lower));
    match (loose.next(), loose.next()) {
        (Some(unit), None) => Some(unit),
        _ => None,
    }
}

/// The cross-section of an AWG size in m². ASTM B258: d = 0.005 in × 92^((36 − n)/39); 0000 is n = −3.
#[must_use]
pub fn awg_area_m2(n: i32) -> f64 {
    let diameter_m = 0.005 * 0.0254 * 92f64.powf(f64::from(36 - n) / 39.0);
    std::f64::consts::FRAC_PI_4 * diameter_m * diameter_m
}

fn awg_size(number: &str) -> Option<i32> {
    match number {
        "1/0" | "0" => Some(0),
        "2/0" | "00" => Some(-1),
        "3/0" | "000" => Some(-2),
        "4/0" | "0000" => Some(-3),
        n => n.parse::<i32>().ok().filter(|n| (1..=40).contains(n)),
    }
}

/// Reads "52 A", "1,250.5 V", "-5 °C", "4 AWG", "#4 AWG" as SI. A missing unit is an error unless the dimension has a unit without symbol.
///
/// # Errors
/// When the number or its unit can't be read; the error names what was expected.
///
/// ```
/// use plant::quantity::{parse, dim, Dimension};
/// assert_eq!(parse("0.5 kA", dim::CurrentDim::INFO), Ok(500.0));
/// assert!(parse("52 V", dim::CurrentDim::INFO).is_err());
/// assert!(parse("52", dim::CurrentDim::INFO).unwrap_err().message.contains("no unit"));
/// ```
pub fn parse(text: &str, info: &DimensionInfo) -> Result<f64, NotAQuantity> {
    let wrong = |message: String| NotAQuantity { message, expected: expectation(info) };
    let text = text.trim();
    if text.len() > 64 {
        return Err(wrong("this text is too long for a number with a unit".into()));
    }
    if info.name == dim::AreaDim::INFO.name
        && let Some(size) = text.strip_suffix("AWG").or_else(|| text.strip_prefix("AWG"))
    {
        let size = size.trim().trim_start_matches('#').trim_start_matches("No.").trim();
        return awg_size(size).map(awg_area_m2).ok_or_else(|| wrong(format!("“{size}” is no AWG size from 40 to 4/0")));
    }
    let end = number_end(text);
    let (number, unit) = text.split_at(end);
    if number.is_empty() {
        return Err(wrong(format!("“{text}” does not start with a number")));
    }
    let value: f64 = plain_number(number)
        .and_then(|n| n.parse().ok())
        .filter(|v: &f64| v.is_finite())
        .ok_or_else(|| wrong(format!("“{number}” is not a number (write 1250.5; a comma only groups thousands: 1,250.5)")))?;
    let unit = unit.trim();
    match unit_named(info, unit) {
        Some(found) => {
            let si = value * found.factor + found.offset;
            let within = si.abs() <= LARGEST && (value == 0.0 || si == 0.0 && found.offset != 0.0 || si.abs() >= SMALLEST);
            if within { Ok(si) } else { Err(wrong(format!("“{text}” is beyond any quantity of a plant"))) }
        }
        None if unit.is_empty() => Err(wrong(format!("“{text}” has no unit"))),
        None => {
            let other = DIMENSIONS.iter().find(|d| d.units.iter().any(|u| u.symbol == unit || u.aliases.contains(&unit)));
            Err(wrong(match other {
                Some(other) => format!("“{unit}” is a unit of {}, not of {}", other.name, info.name),
                None => format!("“{unit}” is no known unit"),
            }))
        }
    }
}

/// Where the number at the head of a text ends.
fn number_end(text: &str) -> usize {
    let bytes = text.as_bytes();
    let mut i = 0;
    while i < bytes.len() {
        let c = bytes[i];
        let sign = (c == b'+' || c == b'-') && (i == 0 || matches!(bytes[i - 1], b'e' | b'E'));
        let exponent = matches!(c, b'e' | b'E')
            && i > 0
            && bytes[i - 1].is_ascii_digit()
            && bytes
                .get(i + 1)
                .is_some_and(|n| n.is_ascii_digit() || ((*n == b'-' || *n == b'+') && bytes.get(i + 2).is_some_and(u8::is_ascii_digit)));
        if !(c.is_ascii_digit() || c == b'.' || c == b',' || sign || exponent) {
            break;
        }
        i += 1;
    }
    i
}

/// Takes thousands separators out of a number; a comma that is not one (a decimal comma) is refused, never guessed.
fn plain_number(number: &str) -> Option<String> {
    if !number.contains(',') {
        return Some(number.to_owned());
    }
    let (whole, fraction) = number.split_once('.').unwrap_or((number, ""));
    let mut groups = whole.trim_start_matches(['+', '-']).split(',');
    let head = groups.next()?;
    let grouped = (1..=3).contains(&head.len()) && groups.all(|g| g.len() == 3 && g.bytes().all(|b| b.is_ascii_digit()));
    (grouped && !fraction.contains(',')).then(|| number.replace(',', ""))
}

/// Shows an SI value of a dimension in the unit of `system` that keeps the number between about 1 and 1000.
#[must_use]
pub fn show(value: f64, info: &DimensionInfo, system: System) -> String {
    let unit = fitting_unit(value, info, system);
    let number = digits((value - unit.offset) / unit.factor, 4);
    if unit.symbol.is_empty() { number } else { format!("{number} {}", unit.symbol) }
}

fn fitting_unit(value: f64, info: &DimensionInfo, system: System) -> &Unit {
    let preferred: Option<&str> = match (info.name, system) {
        ("ratio", _) => Some("%"),
        ("temperature", System::Us) => Some("°F"),
        ("temperature", _) => Some("°C"),
        ("temperature difference", System::Us) => Some("°F"),
        ("rotational speed", _) => Some("rpm"),
        ("electric power", _) if value.abs() < 1e3 => Some("W"),
        ("electric power", _) if value.abs() < 1e6 => Some("kW"),
        ("electric power", _) => Some("MW"),
        ("power", System::Us) if value.abs() >= 300.0 => Some("hp"),
        ("power", _) if value.abs() >= 1e6 => Some("MW"),
        ("power", _) if value.abs() >= 1e3 => Some("kW"),
        ("torque", System::Us) => Some("lb·ft"),
        ("moment of inertia", System::Us) => Some("lb·ft²"),
        ("area", System::Us) if value.abs() < 1e-2 => Some("kcmil"),
        // The surface of a box.
        ("area", System::Us) => Some("in²"),
        ("area", _) if value.abs() < 1e-2 => Some("mm²"),
        ("volume flow", System::Us) => Some("cfm"),
        ("volume flow", _) => Some("m³/h"),
        ("length", System::Us) if value.abs() < 0.9 => Some("in"),
        ("length", System::Us) => Some("ft"),
        ("length", _) if value.abs() < 1.0 && value != 0.0 => Some("mm"),
        ("length", _) => Some("m"),
        ("time", _) if value.abs() >= 172_800.0 => Some("d"),
        ("time", _) if value.abs() >= 7_200.0 => Some("h"),
        ("time", _) if value.abs() >= 600.0 => Some("min"),
        ("time", _) if value.abs() >= 1.0 || value == 0.0 => Some("s"),
        ("rate of events", _) => Some("1/h"),
        _ => None,
    };
    if let Some(unit) = preferred.and_then(|symbol| info.units.iter().find(|u| u.symbol == symbol)) {
        return unit;
    }
    let usable = || info.units.iter().filter(|u| u.system == System::Both || u.system == system);
    let shown = |u: &Unit| ((value - u.offset) / u.factor).abs();
    let first = usable().next().unwrap_or(&info.units[0]);
    if value == 0.0 || !value.is_finite() {
        return first;
    }
    let fitting = usable().filter(|u| (1.0..1000.0).contains(&shown(u))).min_by(|a, b| shown(a).total_cmp(&shown(b)));
    // What is larger than any of them keeps small goes into the largest: the stiffness of steel is no water column.
    let large = || usable().all(|u| shown(u) >= 1000.0).then(|| usable().min_by(|a, b| shown(a).total_cmp(&shown(b)))).flatten();
    fitting.or_else(large).unwrap_or(first)
}

/// A number with at most `significant` digits, no exponent for everyday sizes, no trailing zeros.
#[must_use]
pub fn digits(value: f64, significant: i32) -> String {
    if value == 0.0 {
        return "0".into();
    }
    if !value.is_finite() {
        return if value.is_nan() {
            "not a number".into()
        } else if value > 0.0 {
            "∞".into()
        } else {
            "−∞".into()
        };
    }
    #[expect(clippy::cast_possible_truncation, reason = "the exponent of a finite f64 is within ±308")]
    let magnitude = value.abs().log10().floor() as i32;
    if !(-5..9).contains(&magnitude) {
        return format!("{value:.3e}");
    }
    let places = usize::try_from((significant - 1 - magnitude).max(0)).unwrap_or(0);
    let text = format!("{value:.places$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Area;

    #[test]
    fn plate_texts_read_as_people_write_them() {
        for (text, info, si) in [
            ("40 hp", dim::PowerDim::INFO, 29_827.994_863_290_8),
            ("40hp", dim::PowerDim::INFO, 29_827.994_863_290_8),
            ("1,250.5 V", dim::VoltageDim::INFO, 1250.5),
            ("1e3 V", dim::VoltageDim::INFO, 1000.0),
            ("-40 °F", dim::TemperatureDim::INFO, 233.15),
            ("150 %", dim::RatioDim::INFO, 1.5),
            ("1.15", dim::RatioDim::INFO, 1.15),
            ("4", dim::CountDim::INFO, 4.0),
            ("250 kcmil", dim::AreaDim::INFO, 1.266_768_697_743_744_3e-4),
        ] {
            let got = parse(text, info).expect(text);
            assert!((got - si).abs() <= 1e-9 * si.abs().max(1e-9), "{text}: {got} against {si}");
        }
    }

    #[test]
    fn wire_sizes_follow_astm_b258() {
        // NEC Chapter 9 Table 8 (2008 text, from memory): 4 AWG 41 740 circular mils, 4/0 AWG 211 600, 12 AWG 6 530.
        for (text, circular_mils) in [("4 AWG", 41_740.0), ("4/0 AWG", 211_600.0), ("#12 AWG", 6_530.0)] {
            let kcmil = Area::si(parse(text, dim::AreaDim::INFO).expect(text)).in_kcmil();
            assert!((kcmil * 1000.0 / circular_mils - 1.0).abs() < 1e-3, "{text}: {kcmil}");
        }
    }

    #[test]
    fn large_values_are_shown_in_large_units() {
        // Modulus of elasticity of steel as handbooks of either side print it, 210 GPa and 30.5·10⁶ psi (from memory).
        assert_eq!(show(210e9, dim::PressureDim::INFO, System::Metric), "210 GPa");
        assert_eq!(show(210e9, dim::PressureDim::INFO, System::Us), "30458 ksi");
        assert_eq!(show(150e6, dim::VelocityDim::INFO, System::Metric), "150 m/µs");
        assert_eq!(show(150e6, dim::VelocityDim::INFO, System::Us), "492.1 ft/µs");
        assert_eq!(show(250.0, dim::PressureDim::INFO, System::Us), "1.004 in wg");
    }

    #[test]
    fn wrong_texts_say_what_is_wrong() {
        for (text, words) in [
            ("52", "no unit"),
            ("52 V", "unit of voltage"),
            ("A 52", "start with a number"),
            ("5,2 A", "comma"),
            ("52 Q", "no known unit"),
            ("", "start with"),
        ] {
            let error = parse(text, dim::CurrentDim::INFO).expect_err(text);
            assert!(error.message.contains(words), "{text}: {error}");
        }
        assert!(parse(&"9".repeat(500), dim::CurrentDim::INFO).is_err());
        assert!(parse("1e999 A", dim::CurrentDim::INFO).is_err());
        // Read as they stand, these would be shown as “∞ %” and “0 %”.
        for text in ["4E307", "1e308 %", "5e-324", "-1e25"] {
            assert!(parse(text, dim::RatioDim::INFO).expect_err(text).message.contains("beyond any"), "{text}");
        }
        assert_eq!(parse("0", dim::RatioDim::INFO), Ok(0.0));
    }

    #[test]
    fn units_of_a_dimension_have_spellings_of_their_own() {
        for info in DIMENSIONS {
            let mut seen = std::collections::BTreeSet::new();
            for unit in info.units {
                for spelling in std::iter::once(&unit.symbol).chain(unit.aliases) {
                    assert!(seen.insert(*spelling) || spelling == &"Ω", "{}: “{spelling}” twice", info.name);
                }
            }
        }
    }

    #[test]
    fn a_conductor_and_the_surface_of_a_box_have_units_of_their_own_size() {
        let us = |m2| show(m2, dim::AreaDim::INFO, System::Us);
        assert_eq!(us(1.266_768_697_743_744_3e-4), "250 kcmil");
        assert_eq!(us(0.645_16), "1000 in²");
    }

    proptest::proptest! {
        #[test]
        fn any_text_reads_or_is_refused(text in ".{0,80}") {
            for info in DIMENSIONS {
                if let Ok(v) = parse(&text, info) { assert!(v.is_finite()); }
            }
        }

        #[test]
        fn shown_values_read_back(value in 0.01f64..1e5) {
            for info in DIMENSIONS {
                for system in [System::Metric, System::Us] {
                    let text = show(value, info, system);
                    let back = parse(&text, info).expect(&text);
                    // Four significant digits of a value that may stand far from zero (temperature in °F).
                    assert!((back - value).abs() <= 6e-4 * value.abs().max(300.0 * f64::from(u8::from(info.name == "temperature"))) , "{text}: {back} against {value} {}", info.name);
                }
            }
        }
    }
}
