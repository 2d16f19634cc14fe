//! Words for a drawing: one line, printable, of bounded length, with the room they are reckoned to take.

use dossier::drawing::LETTER;

/// Longest text, characters: more is no label, and readers of old formats end at 255. The DXF writer counts again after escaping.
const LONGEST: usize = 200;

/// One line of printable characters: white space becomes a space; controls, what turns the direction of writing, and what XML
/// does not know are left out; what is too long ends in "…".
pub(crate) fn clean(text: &str) -> String {
    let mut line: String = text
        .chars()
        .filter_map(|letter| match letter {
            '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}' | '\u{fffe}' | '\u{ffff}' => None,
            '\u{2028}' | '\u{2029}' => Some(' '),
            _ if letter.is_whitespace() => Some(' '),
            _ if letter.is_control() => None,
            _ => Some(letter),
        })
        .take(LONGEST + 1)
        .collect();
    if let Some((end, _)) = line.char_indices().nth(LONGEST) {
        line.truncate(end);
        line.pop();
        line.push('…');
    }
    line
}

/// Length of a line of that height, mm.
pub(crate) fn length(line: &str, height: f64) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "at most LONGEST letters")]
    let letters = line.chars().count() as f64;
    letters * LETTER * height
}

/// Height at which a line keeps within a length, mm: never more than `height`.
pub(crate) fn fitted(line: &str, height: f64, within: Option<f64>) -> f64 {
    let length = length(line, height);
    within.filter(|&room| room < length).map_or(height, |room| height * room / length)
}

#[cfg(test)]
mod tests {
    use super::{clean, fitted};

    #[test]
    fn a_line_stays_one_line() {
        assert_eq!(clean("a\r\nb\tc\u{0}\u{7f}\u{202e}d\u{2028}é"), "a  b cd é");
        let long = clean(&"x".repeat(10_000));
        assert_eq!((long.chars().count(), long.ends_with('…')), (200, true));
        assert_eq!(clean(&"x".repeat(200)), "x".repeat(200));
    }

    #[test]
    fn long_words_get_smaller_letters() {
        let close = |got: f64, want: f64| assert!((got - want).abs() < 1e-12, "{got}");
        close(fitted("abcd", 10.0, Some(100.0)), 10.0);
        close(fitted("abcd", 10.0, Some(17.0)), 5.0);
        close(fitted("abcd", 10.0, None), 10.0);
    }
}
