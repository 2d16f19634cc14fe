//! A linear dimension laid out: feet on the dimension line, extension lines, arrows, and the words, which stand above the line
//! or, where there is no room, beside it.

use dossier::drawing::{Along, Anchor, Dimension, Point, at};

use crate::figure::{Piece, Words};
use crate::{number, words};

/// Decimals of a measure that is shown: a tenth of a millimetre is what a plate is drilled to.
pub(crate) const DECIMALS: usize = 1;

// In heights of the lettering; proportions as they are usual on workshop drawings (common practice, no source).
/// Length of an arrow.
pub(crate) const ARROW: f64 = 1.2;
/// Half of its width.
const HALF_ARROW: f64 = 0.2;
/// From a measured point to its extension line.
pub(crate) const GAP: f64 = 0.5;
/// How far the extension line runs beyond the dimension line.
pub(crate) const BEYOND: f64 = 0.6;
/// From the dimension line to the middle of the words.
const RISE: f64 = 1.0;
/// Tail of an arrow that points from outside, with the arrow.
const TAIL: f64 = 2.4;

/// A dimension laid out.
pub(crate) struct Layout {
    /// Foot of `to` on the dimension line.
    pub(crate) foot: Point,
    /// Middle of the words.
    pub(crate) middle: Point,
    /// Whether the words stand beside the measured stretch.
    pub(crate) beside: bool,
    /// Everything to draw; the words come last.
    pub(crate) pieces: Vec<Piece>,
}

/// `point` moved by `length` along a unit vector.
fn step(point: Point, along: Point, length: f64) -> Point {
    at(point.x + along.x * length, point.y + along.y * length)
}

/// Lays it out with lettering of that height, mm. The dimension must have passed `check`.
pub(crate) fn layout(dimension: &Dimension, height: f64) -> Layout {
    let Dimension { from, to, along, offset, text } = dimension;
    let feet = match along {
        Along::Horizontal => [at(from.x, from.y + offset), at(to.x, from.y + offset)],
        Along::Vertical => [at(from.x + offset, from.y), at(from.x + offset, to.y)],
        Along::Aligned => {
            let length = (to.x - from.x).hypot(to.y - from.y);
            let left = at((from.y - to.y) / length, (to.x - from.x) / length);
            [step(*from, left, *offset), step(*to, left, *offset)]
        }
    };
    let mut pieces = Vec::new();
    for (origin, foot) in [(*from, feet[0]), (*to, feet[1])] {
        let reach = (foot.x - origin.x).hypot(foot.y - origin.y);
        if reach > GAP * height {
            let out = at((foot.x - origin.x) / reach, (foot.y - origin.y) / reach);
            pieces.push(Piece::Line { from: step(origin, out, GAP * height), to: step(foot, out, BEYOND * height) });
        }
    }

    // Words read from below or from the right, so the line runs rightwards, or upwards where it stands.
    let backwards = feet[1].x < feet[0].x || (feet[1].x <= feet[0].x && feet[1].y < feet[0].y);
    let [start, end] = if backwards { [feet[1], feet[0]] } else { feet };
    let measure = (end.x - start.x).hypot(end.y - start.y);
    let ahead = at((end.x - start.x) / measure, (end.y - start.y) / measure);
    let up = at(-ahead.y, ahead.x);
    let shown = number::plain(measure, DECIMALS);
    let content = match text.as_deref().map(words::clean) {
        Some(instead) if !instead.is_empty() => words::clean(&instead.replace("<>", &shown)),
        _ => shown,
    };

    let arrow = ARROW * height;
    let arrows_between = measure >= 3.0 * arrow;
    let length = words::length(&content, height);
    let beside = measure < length + GAP * height;
    let tail = if arrows_between { 0.0 } else { TAIL * height };
    let lead = tail.max(GAP * height);
    let right = if beside { lead + length } else { tail };
    pieces.push(Piece::Line { from: step(start, ahead, -tail), to: step(end, ahead, right) });
    let inwards = if arrows_between { arrow } else { -arrow };
    for (tip, length) in [(start, inwards), (end, -inwards)] {
        let back = step(tip, ahead, length);
        pieces.push(Piece::Solid([tip, step(back, up, HALF_ARROW * height), step(back, up, -HALF_ARROW * height)]));
    }
    let along_line = if beside { measure + lead + length / 2.0 } else { measure / 2.0 };
    let middle = step(step(start, ahead, along_line), up, RISE * height);
    let angle = ahead.y.atan2(ahead.x).to_degrees();
    pieces.push(Piece::Words(Words { at: middle, height, anchor: Anchor::Centre, angle, content }));
    Layout { foot: feet[1], middle, beside, pieces }
}

#[cfg(test)]
mod tests {
    use super::{Layout, layout};
    use crate::figure::Piece;
    use dossier::drawing::{Along, Dimension, at};

    fn laid(from: (f64, f64), to: (f64, f64), along: Along, offset: f64, text: Option<&str>) -> Layout {
        let text = text.map(str::to_owned);
        layout(&Dimension { from: at(from.0, from.1), to: at(to.0, to.1), along, offset, text }, 2.5)
    }

    fn content(layout: &Layout) -> &str {
        match layout.pieces.last() {
            Some(Piece::Words(words)) => &words.content,
            _ => "",
        }
    }

    #[test]
    fn words_stand_above_the_line_and_read_from_the_right() {
        let level = laid((100.0, 5.0), (0.0, 0.0), Along::Horizontal, -20.0, None);
        assert_eq!((content(&level), level.foot, level.middle), ("100", at(0.0, -15.0), at(50.0, -12.5)));
        let upright = laid((0.0, 80.0), (3.0, 0.0), Along::Vertical, 30.0, Some("2 × <> ± 0.1"));
        assert_eq!((content(&upright), upright.foot, upright.middle), ("2 × 80 ± 0.1", at(30.0, 0.0), at(27.5, 40.0)));
        let aligned = laid((0.0, 0.0), (30.0, 40.0), Along::Aligned, 0.0, Some(""));
        assert_eq!((content(&aligned), aligned.beside), ("50", false));
    }

    #[test]
    fn a_short_stretch_has_its_words_beside_it() {
        let short = laid((0.0, 0.0), (4.0, 0.0), Along::Horizontal, 10.0, None);
        assert!(!short.beside);
        let shorter = laid((0.0, 0.0), (2.0, 0.0), Along::Horizontal, 10.0, Some("gap <> mm"));
        assert!(shorter.beside && shorter.middle.x > 2.0);
    }
}
