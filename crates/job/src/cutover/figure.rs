//! The plan as bars over time: one row a task, the window's end, the latest moment to turn back, and now.

use dossier::cutover::Cutover;
use dossier::drawing::{Anchor, Drawing, Hatch, Ink, Layer, LineKind, Shape, at};
use plant::cutover::Window;
use plant::quantity::Time;

/// Height of a row, mm.
const ROW: f64 = 6.0;
/// Width of the words on the left, mm.
const WORDS: f64 = 74.0;
/// Width of the bars, mm.
const BARS: f64 = 190.0;
/// Margin, mm.
const EDGE: f64 = 8.0;
/// Height of capitals, mm.
const LETTERS: f64 = 2.2;

fn layers() -> Vec<Layer> {
    [
        ("WINDOW", "window", LineKind::Solid, 0.5, Ink::Plain),
        ("HOURS", "hours", LineKind::Dotted, 0.18, Ink::Grey),
        ("DONE", "done", LineKind::Solid, 0.35, Ink::Grey),
        ("TASK", "task", LineKind::Solid, 0.35, Ink::Blue),
        ("ENERGISES", "task that energises", LineKind::Solid, 0.5, Ink::Red),
        ("HOLD", "go or not", LineKind::Solid, 0.7, Ink::Violet),
        ("SPARE", "may start later", LineKind::Dashed, 0.18, Ink::Grey),
        ("TURN_BACK", "latest moment to turn back", LineKind::Chain, 0.7, Ink::Red),
        ("NOW", "now", LineKind::Solid, 0.35, Ink::Green),
        ("TEXT", "words", LineKind::Solid, 0.18, Ink::Plain),
    ]
    .map(|(name, meaning, line, weight, ink)| Layer { name: name.to_owned(), meaning: meaning.to_owned(), line, weight, ink })
    .into()
}

pub(super) fn bars(cutover: &Cutover, window: &Window) -> Drawing {
    let ends = cutover.tasks.iter().map(|t| t.finish + t.float).chain([cutover.window.minutes, cutover.forecast.now]).fold(60.0, f64::max);
    #[expect(clippy::cast_precision_loss, reason = "a few thousand tasks")]
    let rows = cutover.tasks.len() as f64;
    let (key, head) = (10.0 * 2.0 * LETTERS + 4.0, 14.0);
    let height = head + rows * ROW + key + 2.0 * EDGE;
    let (left, top, foot) = (EDGE + WORDS, height - EDGE - head, EDGE + key);
    let x = |minutes: f64| left + BARS * minutes.max(0.0) / ends;
    let mut drawing = Drawing::new("", EDGE * 2.0 + WORDS + BARS, height, LETTERS);
    drawing.layers = layers();
    drawing.title = format!("Cutover of {}", cutover.tags.join(", "));
    drawing.description = describe(cutover);
    drawing.add("TEXT", Shape::text(at(EDGE, height - EDGE - 3.0), 3.5, Anchor::Left, &drawing.title.clone()));
    let mut hour = 0.0;
    // Marks no nearer than 12 mm, at whole hours.
    let step = (ends / 60.0 * 12.0 / BARS).ceil().max(1.0) * 60.0;
    while hour <= ends {
        drawing.add("HOURS", Shape::line(at(x(hour), foot), at(x(hour), top)));
        drawing.add(
            "TEXT",
            Shape::text(
                at(x(hour), top + 3.0),
                1.9,
                Anchor::Centre,
                window.clock(Time::minutes(hour)).split(' ').next().unwrap_or_default(),
            ),
        );
        hour += step;
    }
    for (index, task) in cutover.tasks.iter().enumerate() {
        #[expect(clippy::cast_precision_loss, reason = "a few thousand tasks")]
        let middle = top - (index as f64 + 0.5) * ROW;
        let name = if cutover.tags.len() > 1 {
            format!("{} {} {}", task.number, task.tag, task.name)
        } else {
            format!("{} {}", task.number, task.name)
        };
        drawing.add("TEXT", Shape::text(at(EDGE, middle), LETTERS, Anchor::Left, &name));
        drawing.add("TEXT", Shape::text(at(left - 2.0, middle), 1.9, Anchor::Right, &task.clock));
        let layer = match task {
            t if t.done.is_some() => "DONE",
            t if t.hold => "HOLD",
            t if t.energises => "ENERGISES",
            _ => "TASK",
        };
        let width = (x(task.finish) - x(task.start)).max(0.4);
        let hatch = match layer {
            "DONE" => Hatch::Crossed,
            "ENERGISES" => Hatch::Rising,
            _ => Hatch::None,
        };
        drawing.add(layer, Shape::rectangle(at(x(task.start), middle - 1.6), width, 3.2).hatched(hatch));
        if task.done.is_none() && task.float > 0.5 {
            drawing.add("SPARE", Shape::line(at(x(task.finish), middle), at(x(task.finish + task.float), middle)));
        }
    }
    let mut line = |layer: &str, minutes: f64| drawing.add(layer, Shape::line(at(x(minutes), foot), at(x(minutes), top)));
    line("WINDOW", 0.0);
    line("WINDOW", cutover.window.minutes);
    cutover.forecast.turn_back.into_iter().for_each(|turn| line("TURN_BACK", turn));
    if cutover.forecast.now > 0.0 {
        line("NOW", cutover.forecast.now);
    }
    drawing.add("TEXT", Shape::Key { at: at(EDGE, foot - 3.0), height: LETTERS });
    drawing
}

fn describe(cutover: &Cutover) -> String {
    let turn = if cutover.forecast.turn_back.is_some() {
        format!("The latest moment to turn back is {}.", cutover.forecast.turn_back_clock)
    } else {
        "There is no way back.".to_owned()
    };
    format!("{} tasks in a window from {} to {}. {turn}", cutover.tasks.len(), cutover.window.start, cutover.window.end)
}
