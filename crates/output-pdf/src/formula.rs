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

fn mathematics(text: &str) -> String {
    let chars: Vec<char> = text.chars().collect();
    let mut out = String::new();
    let mut at = 0;
    while let Some(&c) = chars.get(at) {
        at += 1;
        match c {
            c if c.is_alphabetic() && !is_raised(c) => {
                let start = at - 1;
                while chars.get(at).is_some_and(|c| c.is_alphanumeric() && !is_raised(*c)) {
                    at += 1;
                }
                let name: String = chars[start..at].iter().collect();
                symbol(&mut out, &name);
                if chars.get(at) == Some(&'_') {
                    at += 1;
                    let below = subscript(&chars, &mut at);
                    let _ = write!(out, "_upright({})", quoted(&below));
                }
                out.push(' ');
            }
            c if c.is_ascii_digit() => {
                let start = at - 1;
                let point = |at: usize| chars.get(at) == Some(&'.') && chars.get(at + 1).is_some_and(char::is_ascii_digit);
                while chars.get(at).is_some_and(char::is_ascii_digit) || point(at) {
                    at += 1;
                }
                let _ = write!(out, "{} ", quoted(&chars[start..at].iter().collect::<String>()));
            }
            '·' => out.push_str(" dot.op "),
            '×' => out.push_str(" times "),
            '−' | '-' => out.push_str(" - "),
            '²' => out.push_str("^2 "),
            '³' => out.push_str("^3 "),
            '(' | ')' | '/' | '√' | '+' | '=' | '<' | '>' => out.push(c),
            '^' if chars.get(at).is_some_and(|c| *c == '(' || c.is_alphanumeric())
                && out.trim_end().ends_with(|c: char| c != '/' && c != '(') =>
            {
                while out.ends_with(' ') {
                    out.pop();
                }
                out.push('^');
            }
            ',' => out.push_str(", "),
            ' ' => out.push(' '),
            '≤' | '≥' | '≈' | '±' | '≠' | '∞' => {
                let _ = write!(out, " {c} ");
            }
            other => {
                let _ = write!(out, "{} ", quoted(&other.to_string()));
            }
        }
    }
    // A root, a fraction or a power needs something on each side.
    let bare = out.trim();
    let dangling = |c: char| matches!(c, '/' | '^' | '√' | '_');
    if bare.ends_with(dangling)
        || bare.starts_with(['/', '^', '_'])
        || bare.contains("()")
        || bare.contains("(/")
        || bare.contains("/)")
        || bare.contains("√)")
        || bare.contains("//")
    {
        return quoted(text);
    }
    bare.to_owned()
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
        assert_eq!(formula("√(Q/T)"), "$√(italic(\"Q\") /italic(\"T\") )$");
        assert_eq!(formula("i²"), "$italic(\"i\") ^2$");
    }

    #[test]
    fn what_is_no_formula_stays_words() {
        assert_eq!(formula("half (open"), "#\"half (open\"");
        assert_eq!(formula("a \"b\\"), "$italic(\"a\") \"\\\"\" italic(\"b\") \"\\\\\"$");
        assert_eq!(formula("a/"), "$\"a/\"$");
    }
}
