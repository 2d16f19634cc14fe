//! Conductors before and after as SVG: the old terminal to the left, the wire with its number, what stands between as a box, the new terminal
//! to the right. The kind of line and its end tell what becomes of a wire, so that it is read without colour.

use dossier::wires::{Between, Conductor, Wires};
use maud::{Markup, html};

/// Size of the picture in its own units.
const WIDTH: f64 = 760.0;
/// Height of a conductor.
const ROW: f64 = 46.0;
/// The wire below the top of its conductor, and half the height of a box for one.
const MIDDLE: f64 = 30.0;
const HALF: f64 = 18.0;
/// Above the first conductor: the headings.
const TOP: f64 = 30.0;
/// Boxes: where the old terminal ends, parts lie, the new terminal begins.
const OLD: f64 = 110.0;
const PART: (f64, f64) = (318.0, 548.0);
const NEW: f64 = 592.0;
/// Where the number of a wire stands, and where one that goes nowhere ends.
const NUMBER: f64 = 214.0;
const LOOSE: f64 = 290.0;
/// Width of a letter, about, for texts that must stay in their boxes: usual, strong, small.
const LETTER: f64 = 6.9;
const STRONG: f64 = 7.6;
const SMALL: f64 = 6.0;
/// Conductors in one picture: more would not fit on a printed page.
const MOST: usize = 20;

/// A picture of some of the conductors, or several where they are many.
pub(crate) fn pictures(wires: &Wires, shown: &[&Conductor]) -> Markup {
    let count = shown.len().div_ceil(MOST);
    html! {
        @for (at, part) in shown.chunks(MOST).enumerate() {
            @let name = if count > 1 { format!("Wiring before and after, part {} of {count}", at + 1) } else { "Wiring before and after".to_owned() };
            // It may be wider than the window: then it is moved by keys as well.
            figure.wiring tabindex="0" role="group" aria-label=(name) { (picture(wires, part, &name)) }
        }
    }
}

/// In words what a picture shows.
fn says(shown: &[&Conductor]) -> String {
    let counted = ["landed", "interposed", "spared", "removed"].map(|action| (action, shown.iter().filter(|c| c.action == action).count()));
    let counted: Vec<String> = counted.iter().filter(|(_, n)| *n > 0).map(|(action, n)| format!("{n} {action}")).collect();
    format!("{} conductors: {}. The table says for each where it was, where it goes and why", shown.len(), counted.join(", "))
}

fn number(value: f64) -> String {
    format!("{value:.1}")
}

#[expect(clippy::cast_precision_loss, reason = "a few dozen conductors")]
fn picture(wires: &Wires, shown: &[&Conductor], name: &str) -> Markup {
    let height = TOP + ROW * (shown.len() as f64) + 66.0;
    html! {
        svg viewBox={ "0 0 " (WIDTH) " " (number(height)) } role="img" aria-label={ (name) ". " (says(shown)) } {
            text.mark.strong x="4" y="18" { "Old terminal" }
            text.mark.strong x=(NUMBER) y="18" text-anchor="middle" { "Wire" }
            text.mark.strong x=(PART.0) y="18" { "What stands between" }
            text.mark.strong x=(NEW) y="18" { "New terminal" }
            @for (at, conductor) in shown.iter().enumerate() { (conductor_line(wires, conductor, TOP + ROW * at as f64)) }
            @for run in runs(wires, shown) { (part_box(wires, shown, &run)) }
            (key(height - 46.0))
        }
    }
}

/// Text that stays in a width, with letters of such a width.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few dozen letters")]
fn fitted(text: &str, width: f64, letter: f64) -> String {
    let most = (width / letter).max(2.0) as usize;
    if text.chars().count() <= most { text.to_owned() } else { text.chars().take(most - 1).chain(['…']).collect() }
}

fn between<'w>(wires: &'w Wires, conductor: &Conductor) -> Option<&'w Between> {
    wires.between.iter().find(|b| b.circuit == conductor.old.circuit)
}

/// A wire with its ends; the box of a part is laid over it afterwards.
fn conductor_line(wires: &Wires, c: &Conductor, top: f64) -> Markup {
    let middle = top + MIDDLE;
    let what = [c.old.function.replace('-', " "), c.old.volts.clone()].join(" ");
    let goes = c.new.is_some();
    let to = if !goes {
        LOOSE
    } else if c.action == "interposed" {
        PART.0
    } else {
        NEW
    };
    html! {
        (terminal(0.5, OLD, middle, &c.old.terminal))
        line class={ "wire " (c.action) } x1=(OLD) y1=(number(middle)) x2=(number(to)) y2=(number(middle)) { title { (c.wire) ": " (c.action) } }
        text.small.halo x=(OLD + 6.0) y=(number(middle - 11.0)) { (fitted(what.trim(), 196.0, SMALL)) }
        text.mark.strong.halo x=(NUMBER) y=(number(middle + 5.0)) text-anchor="middle" { (fitted(&c.wire, 90.0, STRONG)) }
        @match (&c.new, c.action.as_str()) {
            (Some(new), "landed") => (terminal(NEW, WIDTH - 0.5, middle, new)),
            // Beside the unit's own terminal, the wire ends there all the same.
            (Some(new), _) if between(wires, c).is_some_and(|b| b.way == "beside") => (terminal(NEW, WIDTH - 0.5, middle, new)),
            (Some(_), _) => {},
            (None, "removed") => {
                path.end d={ "M " (LOOSE - 5.0) " " (number(middle - 5.0)) " l 10 10 m 0 -10 l -10 10" } {}
                text.mark x=(LOOSE + 12.0) y=(number(middle + 5.0)) { "removed" }
            }
            (None, action) => {
                circle.end cx=(LOOSE + 5.0) cy=(number(middle)) r="5" {}
                text.mark x=(LOOSE + 16.0) y=(number(middle + 5.0)) { (action) }
            }
        }
    }
}

fn terminal(from: f64, to: f64, middle: f64, text: &str) -> Markup {
    html! {
        rect.terminal x=(number(from)) y=(number(middle - 12.0)) width=(number(to - from)) height="24" { title { (text) } }
        // A long name is set small before any of it is left out.
        @if fitted(text, to - from - 12.0, LETTER) == text { text.mark x=(number(from + 7.0)) y=(number(middle + 5.0)) { (text) } }
        @else { text.small x=(number(from + 7.0)) y=(number(middle + 4.0)) { (fitted(text, to - from - 12.0, SMALL)) } }
    }
}

/// Neighbours that end at the same part.
struct Run {
    first: usize,
    last: usize,
}

fn runs(wires: &Wires, shown: &[&Conductor]) -> Vec<Run> {
    let mut runs: Vec<Run> = Vec::new();
    for (at, c) in shown.iter().enumerate().filter(|(_, c)| c.action == "interposed") {
        let same = |run: &Run| run.last + 1 == at && between(wires, c).is_some() && shown[run.first].old.circuit == c.old.circuit;
        match runs.last_mut().filter(|run| same(run)) {
            Some(run) => run.last = at,
            None => runs.push(Run { first: at, last: at }),
        }
    }
    runs
}

/// The mark of the part at which a conductor ends, and the part's own terminal: "K-201" and "A1".
fn mark(c: &Conductor) -> (String, &str) {
    let new = c.new.as_deref().unwrap_or_default();
    let name = format!("K-{}", c.old.circuit);
    match new.strip_prefix(&name) {
        Some(own) => (name, own.trim()),
        None => (new.to_owned(), ""),
    }
}

/// A part, over the wires that end at it, and where it acts on the unit.
#[expect(clippy::cast_precision_loss, reason = "a few dozen conductors")]
fn part_box(wires: &Wires, shown: &[&Conductor], run: &Run) -> Markup {
    let middle = |at: usize| TOP + ROW * at as f64 + MIDDLE;
    let (top, foot) = (middle(run.first) - HALF, middle(run.last) + HALF);
    let centre = f64::midpoint(top, foot);
    let conductors = &shown[run.first..=run.last];
    let Some(first) = conductors.first() else { return html! {} };
    let stands = between(wires, first);
    let beside = stands.is_some_and(|b| b.way == "beside");
    let part = first.parts.first().map_or("", |p| p.split([',', ';']).next().unwrap_or(p));
    let (name, own) = if beside { (part.to_owned(), "") } else { mark(first) };
    let below = if beside { "" } else { part };
    // Terminals of the part's own stand at its left edge.
    let left = PART.0 + if own.is_empty() { 10.0 } else { 46.0 };
    let room = PART.1 - left - 4.0;
    html! {
        @if let Some(point) = stands.filter(|b| b.way == "before").and_then(|b| b.point.as_deref()) {
            line.wire.landed x1=(PART.1) y1=(number(centre)) x2=(NEW) y2=(number(centre)) {}
            (terminal(NEW, WIDTH - 0.5, centre, point))
        }
        @if beside { @for at in run.first..=run.last { line.wire.landed x1=(PART.1) y1=(number(middle(at))) x2=(NEW) y2=(number(middle(at))) {} } }
        rect.part x=(PART.0) y=(number(top)) width=(number(PART.1 - PART.0)) height=(number(foot - top)) { title { (first.parts.join("; ")) } }
        @if !own.is_empty() {
            @for (at, c) in (run.first..).zip(conductors) { text.small x=(PART.0 + 6.0) y=(number(middle(at) + 4.0)) { (mark(c).1) } }
        }
        @if below.is_empty() {
            text.mark x=(number(left)) y=(number(centre + 5.0)) { (fitted(&name, room, LETTER)) }
        } @else {
            text.mark.strong x=(number(left)) y=(number(centre - 3.0)) { (fitted(&name, room, STRONG)) }
            text.small x=(number(left)) y=(number(centre + 12.0)) { (fitted(below, room, SMALL)) }
        }
    }
}

/// What the lines mean.
fn key(top: f64) -> Markup {
    let at = |column: f64| 8.0 + 188.0 * column;
    let y = top + 26.0;
    html! {
        line.wire.landed x1=(at(0.0)) y1=(y) x2=(at(0.0) + 46.0) y2=(y) {}
        text.mark x=(at(0.0) + 54.0) y=(y + 5.0) { "landed" }
        line.wire.interposed x1=(at(1.0)) y1=(y) x2=(at(1.0) + 26.0) y2=(y) {}
        rect.part x=(at(1.0) + 26.0) y=(y - 9.0) width="20" height="18" {}
        text.mark x=(at(1.0) + 54.0) y=(y + 5.0) { "interposed" }
        line.wire.spared x1=(at(2.0)) y1=(y) x2=(at(2.0) + 36.0) y2=(y) {}
        circle.end cx=(at(2.0) + 41.0) cy=(y) r="5" {}
        text.mark x=(at(2.0) + 54.0) y=(y + 5.0) { "spared" }
        line.wire.removed x1=(at(3.0)) y1=(y) x2=(at(3.0) + 41.0) y2=(y) {}
        path.end d={ "M " (at(3.0) + 36.0) " " (y - 5.0) " l 10 10 m 0 -10 l -10 10" } {}
        text.mark x=(at(3.0) + 54.0) y=(y + 5.0) { "removed" }
    }
}

#[cfg(test)]
mod tests {
    use dossier::wires::Old;

    use super::*;

    fn conductor(wire: &str, circuit: &str, action: &str, new: Option<&str>) -> Conductor {
        let parts = if action == "interposed" { vec!["interposing relay, coil 120 V ac".to_owned()] } else { Vec::new() };
        let old = Old { terminal: format!("T{wire}"), circuit: circuit.into(), ..Old::default() };
        Conductor { wire: wire.into(), old, action: action.into(), new: new.map(str::to_owned), parts, ..Conductor::default() }
    }

    fn wires() -> Wires {
        Wires {
            conductors: vec![
                conductor("1", "1", "landed", Some("18")),
                conductor("2", "relay", "interposed", Some("K-relay A1")),
                conductor("3", "relay", "interposed", Some("K-relay A2")),
                conductor("4", "4", "spared", None),
                conductor("5<b>", "5", "removed", None),
                conductor("6", "fan", "interposed", Some("own part for fan")),
            ],
            between: vec![
                Between { circuit: "relay".into(), way: "before".into(), point: Some("input 1 X2:1".into()) },
                Between { circuit: "fan".into(), way: "instead".into(), point: None },
            ],
            ..Wires::default()
        }
    }

    #[test]
    fn every_conductor_has_its_line_by_what_becomes_of_it() {
        let wires = wires();
        let shown: Vec<&Conductor> = wires.conductors.iter().collect();
        let drawn = pictures(&wires, &shown).into_string();
        for (action, lines) in [("landed", 1), ("interposed", 3), ("spared", 1), ("removed", 1)] {
            let titled = drawn.matches(&format!(": {action}</title>")).count();
            assert_eq!(titled, lines, "{action}: {drawn}");
        }
        for text in [
            "T1",
            "T6",
            "K-relay",
            "A1",
            "A2",
            "input 1 X2:1",
            "own part for fan",
            "5&lt;b&gt;",
            "6 conductors: 1 landed, 3 interposed, 1 spared, 1 removed",
        ] {
            assert!(drawn.contains(text), "{text}: {drawn}");
        }
        // The two conductors of the relay end at one box; with that of the fan and of the key there are three.
        assert_eq!(drawn.matches("class=\"part\"").count(), 3, "{drawn}");
        assert!(!drawn.contains("style="));
    }

    #[test]
    fn many_conductors_are_parted_into_pictures_and_long_names_cut() {
        let wires = wires();
        let many: Vec<&Conductor> = wires.conductors.iter().cycle().take(41).collect();
        let drawn = pictures(&wires, &many).into_string();
        assert!(drawn.matches("<svg").count() == 3 && drawn.contains("part 3 of 3"), "{drawn}");
        assert_eq!(pictures(&wires, &[]).into_string(), "");
        assert_eq!(fitted("short", 90.0, LETTER), "short");
        assert_eq!(fitted("a terminal with a long name", 90.0, LETTER), "a terminal w…");
    }
}
