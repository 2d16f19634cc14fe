//! A difference as a timing figure: events from left to right, what the motor does with the old and the new unit underneath, and a hatched
//! band where both do not do the same.

use dossier::behaviour::{Behaviour, Difference};
use dossier::drawing::{Anchor, Drawing, Hatch, Ink, Layer, LineKind, Shape, at};

/// Width of one event, mm.
const STEP: f64 = 34.0;
/// Width of the words on the left, mm.
const WORDS: f64 = 30.0;
/// Margin, mm.
const EDGE: f64 = 5.0;
/// Height of capitals, mm.
const LETTERS: f64 = 2.2;
/// From one line of words to the next, mm.
const LINE: f64 = 3.6;
/// Letters of a line of words in the width of one event.
const ACROSS: usize = 18;
/// Least width, mm: the title needs it.
const LEAST: f64 = 150.0;
/// Heights of the motor's line over the foot of its row, mm.
const LEVELS: [(f64, &str); 3] = [(0.0, "stands"), (4.5, "stopping"), (9.0, "runs")];
/// Most figures of one position.
const MOST: usize = 12;

fn layers() -> Vec<Layer> {
    [
        ("APART", "both do not do the same", LineKind::Solid, 0.13, Ink::Grey),
        ("LEVEL", "levels", LineKind::Dotted, 0.13, Ink::Grey),
        ("EVENT", "something happens", LineKind::Dashed, 0.18, Ink::Grey),
        ("OLD", "motor with the old unit", LineKind::Solid, 0.5, Ink::Plain),
        ("NEW", "motor with the new unit", LineKind::Solid, 0.9, Ink::Plain),
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

/// The row of one unit: its layer, name, and what it does after each event.
struct Row<'d> {
    layer: &'static str,
    name: &'static str,
    said: Vec<&'d str>,
}

impl Row<'_> {
    /// Lines of words that its fullest column takes.
    fn lines(&self) -> usize {
        self.said.iter().map(|s| lines(s).len()).max().unwrap_or(1)
    }

    /// Its height, mm: the motor's line, words beneath it, and room.
    fn height(&self) -> f64 {
        LEVELS[2].0 + count(self.lines()) * LINE + 6.0
    }

    /// Draws it over a foot (mm).
    fn draw(&self, drawing: &mut Drawing, foot: f64) {
        let left = EDGE + WORDS;
        let right = left + count(self.said.len()) * STEP;
        drawing.add("TEXT", Shape::text(at(EDGE, foot + LEVELS[1].0), 3.0, Anchor::Left, self.name));
        for (height, name) in LEVELS {
            drawing.add("TEXT", Shape::text(at(left - 4.0, foot + height), LETTERS * 0.8, Anchor::Right, name));
            drawing.add("LEVEL", Shape::line(at(left - 3.0, foot + height), at(right, foot + height)));
        }
        let mut points = vec![at(left - 3.0, foot)];
        for (column, said) in self.said.iter().enumerate() {
            let (from, level) = (left + count(column) * STEP, foot + level(said));
            points.extend([at(from, points.last().map_or(foot, |p| p.y)), at(from, level), at(from + STEP, level)]);
            for (line, words) in lines(said).iter().enumerate() {
                drawing.add("TEXT", Shape::text(at(from + 1.0, foot - 3.0 - count(line) * LINE), LETTERS, Anchor::Left, words));
            }
        }
        points.dedup();
        drawing.add(self.layer, Shape::Polyline { points, closed: false, hatch: Hatch::None });
    }
}

fn figure(tag: &str, difference: &Difference) -> Drawing {
    let rows = [
        Row { layer: "OLD", name: "old", said: difference.course.iter().map(|m| m.old.as_str()).collect() },
        Row { layer: "NEW", name: "new", said: difference.course.iter().map(|m| m.new.as_str()).collect() },
    ];
    let events: Vec<String> = difference.events.iter().enumerate().map(|(number, event)| format!("{} {event}", number + 1)).collect();
    let deepest = events.iter().map(|e| lines(e).len()).max().unwrap_or(1);
    let head = 8.0 + count(deepest) * LINE;
    let left = EDGE + WORDS;
    let width = (left + count(events.len().max(1)) * STEP + EDGE).max(LEAST);
    let height = 2.0 * EDGE + head + rows.iter().map(Row::height).sum::<f64>() + LINE;
    let top = height - EDGE - head;
    let mut drawing = Drawing::new("", width, height, LETTERS);
    drawing.layers = layers();
    drawing.title = format!("{tag}: the new one {}", difference.danger);
    drawing.description = format!("{}. From left to right, after each event: {}.", difference.sentence(), in_words(difference));
    drawing.add("TEXT", Shape::text(at(EDGE, height - EDGE - 2.0), 3.0, Anchor::Left, &drawing.title.clone()));
    let mut foot = top;
    for row in &rows {
        foot -= row.height();
        row.draw(&mut drawing, foot + row.height() - LEVELS[2].0 - 2.0);
    }
    for (column, event) in events.iter().enumerate() {
        let x = left + count(column) * STEP;
        drawing.add("EVENT", Shape::line(at(x, EDGE), at(x, height - EDGE - 6.0)));
        for (line, words) in lines(event).iter().enumerate() {
            drawing.add("TEXT", Shape::text(at(x + 1.0, height - EDGE - 8.0 - count(line) * LINE), LETTERS, Anchor::Left, words));
        }
        if difference.course.get(column).is_some_and(|m| m.old != m.new) {
            let band = Shape::rectangle(at(x, EDGE), STEP, LINE).hatched(Hatch::Rising);
            drawing.add("APART", band);
        }
    }
    drawing.add("TEXT", Shape::text(at(EDGE, EDGE + LINE / 2.0), LETTERS, Anchor::Left, "not the same"));
    drawing
}

/// The course in words, for who cannot see the figure.
fn in_words(difference: &Difference) -> String {
    let moments = difference.events.iter().zip(&difference.course);
    let said =
        moments.map(
            |(event, m)| {
                if m.old == m.new { format!("{event}, both: {}", m.old) } else { format!("{event}, old: {}, new: {}", m.old, m.new) }
            },
        );
    said.collect::<Vec<_>>().join("; ")
}

#[expect(clippy::cast_precision_loss, reason = "a handful of events or lines")]
fn count(number: usize) -> f64 {
    number as f64
}

/// Height of the motor's line over its foot, mm.
fn level(said: &str) -> f64 {
    if said.starts_with("runs") {
        LEVELS[2].0
    } else if ["leads", "brakes", "lets"].iter().any(|w| said.starts_with(w)) {
        LEVELS[1].0
    } else {
        LEVELS[0].0
    }
}

/// Words broken into lines of a column's width.
fn lines(text: &str) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + word.chars().count() <= ACROSS => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}
