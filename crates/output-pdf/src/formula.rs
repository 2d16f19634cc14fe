//! Formulas as people write them in a line, "√(Q/T)", into the mathematics of the typesetter. What cannot be read as a formula is set
//! as words, so that nothing is lost.

use std::fmt::Write;

/// Names that are set upright and spaced as functions.
const FUNCTIONS: &[&str] = &["max", "min", "cos", "sin", "tan", "arctan", "ln", "lg", "log", "exp", "floor", "ceil", "round", "Im", "Re"];

/// Words as a string of the typesetter's code, with quotes.
pub(crate) fn quoted(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 2);
    out.push('"');
    for c in text.chars() {
        match c {
            '"' | '\\' => {
                out.push('\\');
                out.push(c);
            }
            '\n' | '\t' => out.push(' '),
            // Marks that turn the direction of writing, and control characters, have no place on paper.
            c if c.is_control() || matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}') => out.push('\u{fffd}'),
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

/// A formula as mathematics between dollar signs, or as words where it is none.
pub(crate) fn formula(text: &str) -> String {
    if !balanced(text) {
        return format!("#{}", quoted(text));
    }
    format!("${}$", mathematics(text))
}

/// Whether every parenthesis has its partner.
fn balanced(text: &str) -> bool {
    let mut depth = 0_i32;
    for c in text.chars() {
        match c {
            '(' => depth += 1,
            ')' => depth -= 1,
            _ => {}
        }
        if depth < 0 {
            return false;
        }
    }
    depth == 0
}

/// What a part of a formula may stand beside.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kind {
    /// A symbol or a number.
    Operand,
    /// An opening parenthesis.
    Open,
    /// A closing one.
    Close,
    /// A root: something has to follow.
    Root,
    /// A fraction or a power: something has to stand on both sides.
    Between,
    /// A power that is there already: something has to stand before it.
    Raised,
    /// Anything that needs no neighbour.
    Free,
}

fn mathematics(text: &str) -> String {
    let parts = parts(text);
    let mut out = String::new();
    let mut before = None;
    for (at, (kind, written, plain)) in parts.iter().enumerate() {
        let after = parts.get(at + 1).map(|(kind, ..)| *kind);
        let left = matches!(before, Some(Kind::Operand | Kind::Close | Kind::Raised));
        let right = matches!(after, Some(Kind::Operand | Kind::Open | Kind::Root));
        // An empty pair of parentheses is nothing to stand on.
        let empty =
            |at: usize| matches!((parts.get(at).map(|p| p.0), parts.get(at + 1).map(|p| p.0)), (Some(Kind::Open), Some(Kind::Close)));
        let fits = match kind {
            Kind::Root => right && !empty(at + 1),
            Kind::Between => left && right && !empty(at + 1),
            Kind::Raised => left && before != Some(Kind::Raised),
            _ => true,
        };
        if fits {
            out.push_str(written);
            before = Some(*kind);
        } else {
            out.push_str(&quoted(plain));
            out.push(' ');
            before = Some(Kind::Free);
        }
    }
    let bare = out.trim();
    if bare.is_empty() { quoted(text) } else { bare.to_owned() }
}

/// The parts of a formula, each as it is written in mathematics and as it was.
fn parts(text: &str) -> Vec<(Kind, String, String)> {
    let chars: Vec<char> = text.chars().collect();
    let mut parts: Vec<(Kind, String, String)> = Vec::new();
    let mut at = 0;
    while let Some(&c) = chars.get(at) {
        let start = at;
        at += 1;
        let (kind, written) = match c {
            ' ' => continue,
            c if c.is_alphabetic() && !is_raised(c) => {
                while chars.get(at).is_some_and(|c| c.is_alphanumeric() && !is_raised(*c)) {
                    at += 1;
                }
                let name: String = chars[start..at].iter().collect();
                let mut written = String::new();
                symbol(&mut written, &name);
                if chars.get(at) == Some(&'_') {
                    at += 1;
                    let below = subscript(&chars, &mut at);
                    let _ = write!(written, "_upright({})", quoted(&below));
                }
                written.push(' ');
                (Kind::Operand, written)
            }
            c if c.is_ascii_digit() => {
                let point = |at: usize| chars.get(at) == Some(&'.') && chars.get(at + 1).is_some_and(char::is_ascii_digit);
                while chars.get(at).is_some_and(char::is_ascii_digit) || point(at) {
                    at += 1;
                }
                (Kind::Operand, format!("{} ", quoted(&chars[start..at].iter().collect::<String>())))
            }
            '(' => (Kind::Open, "(".to_owned()),
            ')' => (Kind::Close, ") ".to_owned()),
            '√' | '∛' | '∜' => (Kind::Root, c.to_string()),
            '/' => (Kind::Between, "/ ".to_owned()),
            '^' => (Kind::Between, "^".to_owned()),
            '²' => (Kind::Raised, "^2 ".to_owned()),
            '³' => (Kind::Raised, "^3 ".to_owned()),
            '·' => (Kind::Free, "dot.op ".to_owned()),
            '×' => (Kind::Free, "times ".to_owned()),
            '−' | '-' => (Kind::Free, "- ".to_owned()),
            '+' | '=' | '<' | '>' | ',' | '≤' | '≥' | '≈' | '±' | '≠' | '∞' => (Kind::Free, format!("{c} ")),
            other => (Kind::Free, format!("{} ", quoted(&other.to_string()))),
        };
        parts.push((kind, written, chars[start..at].iter().collect()));
    }
    parts
}

const fn is_raised(c: char) -> bool {
    matches!(c, '²' | '³' | '¹')
}

fn symbol(out: &mut String, name: &str) {
    if FUNCTIONS.contains(&name) {
        let _ = write!(out, "op({})", quoted(name));
    } else if name.chars().count() == 1 {
        let _ = write!(out, "italic({})", quoted(name));
    } else {
        // "I1", "R2": the number belongs below; other words stand upright.
        let mut letters = name.chars();
        match (letters.next(), letters.as_str()) {
            (Some(first), rest) if rest.chars().all(|c| c.is_ascii_digit()) => {
                let _ = write!(out, "italic({})_{}", quoted(&first.to_string()), quoted(rest));
            }
            _ => {
                let _ = write!(out, "upright({})", quoted(name));
            }
        }
    }
}

/// What stands below: "N,unit" as long as a comma is followed by more of it.
fn subscript(chars: &[char], at: &mut usize) -> String {
    let mut below = String::new();
    while let Some(&c) = chars.get(*at) {
        let more = |c: Option<&char>| c.is_some_and(|c| c.is_alphanumeric() && !is_raised(*c));
        let inside = c.is_alphanumeric() && !is_raised(c) || matches!(c, ',' | '.' | '_') && more(chars.get(*at + 1));
        if !inside {
            break;
        }
        below.push(if c == '_' { ',' } else { c });
        *at += 1;
    }
    below
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn symbols_have_their_letters_below() {
        assert_eq!(formula("I_N,unit"), "$italic(\"I\")_upright(\"N,unit\")$");
        assert_eq!(formula("max(a_1, b)"), "$op(\"max\") (italic(\"a\")_upright(\"1\") , italic(\"b\") )$");
    }

    #[test]
    fn fractions_roots_and_powers_are_set_as_such() {
        assert_eq!(formula("√(Q/T)"), "$√(italic(\"Q\") / italic(\"T\") )$");
        assert_eq!(formula("i²"), "$italic(\"i\") ^2$");
        assert_eq!(formula("e^(−t)"), "$italic(\"e\") ^(- italic(\"t\") )$");
    }

    #[test]
    fn what_is_no_formula_stays_words() {
        assert_eq!(formula("half (open"), "#\"half (open\"");
        assert_eq!(formula("a \"b\\"), "$italic(\"a\") \"\\\"\" italic(\"b\") \"\\\\\"$");
        assert_eq!(formula("a/"), "$italic(\"a\") \"/\"$");
        assert_eq!(formula("√()"), "$\"√\" () $".replace(") $", ")$"));
    }
}
