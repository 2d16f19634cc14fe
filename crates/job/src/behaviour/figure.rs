//! A difference as a timing figure: events from left to right, what the motor does with the old and the new unit underneath.

use dossier::behaviour::{Behaviour, Difference};
use dossier::drawing::{Anchor, Drawing, Hatch, Ink, Layer, LineKind, Shape, at};

/// Width of one event, mm.
const STEP: f64 = 30.0;
/// Width of the words on the left, mm.
const WORDS: f64 = 16.0;
/// Height of a side's row, mm.
const ROW: f64 = 18.0;
/// Margin, mm.
const EDGE: f64 = 6.0;
/// Height of capitals, mm.
const LETTERS: f64 = 2.0;
/// Letters of a line of words in the width of one event.
const LINE: usize = 20;

fn layers() -> Vec<Layer> {
    [
        ("EVENT", "something happens", LineKind::Dashed, 0.18, Ink::Grey),
        ("OLD", "motor with the old unit", LineKind::Solid, 0.5, Ink::Blue),
        ("NEW", "motor with the new unit", LineKind::Solid, 0.7, Ink::Red),
        ("TEXT", "words", LineKind::Solid, 0.18, Ink::Plain),
    ]
    .map(|(name, meaning, line, weight, ink)| Layer { name: name.to_owned(), meaning: meaning.to_owned(), line, weight, ink })
    .into()
}

/// Figures of the differences in which the motor moves otherwise, the worst first; at most a dozen.
#[must_use]
pub fn figures(answer: &Behaviour) -> Vec<Drawing> {
    answer.differences.iter().filter(|d| d.danger != "signals otherwise").take(MOST).map(|d| figure(&answer.tag, d)).collect()
}

/// Most figures of one position.
const MOST: usize = 12;

#[expect(clippy::cast_precision_loss, reason = "a handful of events")]
fn figure(tag: &str, difference: &Difference) -> Drawing {
    let columns = difference.events.len().max(1) as f64;
    let most = difference.events.iter().map(|e| lines(e).len()).max().unwrap_or(1) as f64;
    let head = 10.0 + most * LETTERS * 1.6;
    let width = 2.0 * EDGE + WORDS + columns * STEP;
    let height = 2.0 * EDGE + head + 2.0 * ROW + 4.0;
    let (left, top) = (EDGE + WORDS, height - EDGE - head);
    let mut drawing = Drawing::new("", width.max(120.0), height, LETTERS);
    drawing.layers = layers();
    drawing.title = format!("{tag}: {}", difference.danger);
    drawing.description = difference.sentence();
    drawing.add("TEXT", Shape::text(at(EDGE, height - EDGE - 3.0), 3.0, Anchor::Left, &drawing.title.clone()));
    for (row, (name, layer)) in [("old", "OLD"), ("new", "NEW")].into_iter().enumerate() {
        let foot = top - (row as f64 + 1.0) * ROW + 5.0;
        drawing.add("TEXT", Shape::text(at(EDGE, foot + 4.0), LETTERS + 0.6, Anchor::Left, name));
        let mut points = vec![at(left - 2.0, foot)];
        for (column, moment) in difference.course.iter().enumerate() {
            let said = if row == 0 { &moment.old } else { &moment.new };
            let level = foot + level(said);
            let (from, to) = (left + column as f64 * STEP, left + (column as f64 + 1.0) * STEP);
            points.extend([at(from, points.last().map_or(foot, |p| p.y)), at(from, level), at(to, level)]);
            for (line, words) in lines(said).iter().enumerate() {
                let y = foot - 2.4 - line as f64 * LETTERS * 1.3;
                drawing.add("TEXT", Shape::text(at(from + 0.8, y), LETTERS * 0.85, Anchor::Left, words));
            }
        }
        drawing.add(layer, Shape::Polyline { points, closed: false, hatch: Hatch::None });
    }
    for (column, event) in difference.events.iter().enumerate() {
        let x = left + column as f64 * STEP;
        drawing.add("EVENT", Shape::line(at(x, EDGE), at(x, top)));
        for (line, words) in lines(event).iter().enumerate() {
            let y = top + (most - line as f64) * LETTERS * 1.5 - 1.0;
            drawing.add("TEXT", Shape::text(at(x + 0.6, y), LETTERS, Anchor::Left, words));
        }
    }
    drawing
}

/// Height of the motor's line, mm: driven, turning, still.
fn level(said: &str) -> f64 {
    if said.starts_with("runs") {
        8.0
    } else if ["leads", "brakes", "lets"].iter().any(|w| said.starts_with(w)) {
        3.5
    } else {
        0.0
    }
}

/// Words broken into lines of a column's width.
fn lines(text: &str) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + word.chars().count() <= LINE => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}
