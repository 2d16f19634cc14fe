//! A chart as SVG: curves by dash, marks and names beside their ends, so that it is read without colour.

use dossier::chart::{Axis, Chart, Curve, Role};
use maud::{Markup, html};
use plant::quantity::digits;

/// Size of the picture in its own units.
const WIDTH: f64 = 720.0;
const HEIGHT: f64 = 380.0;
/// Where the curves stand in it.
const LEFT: f64 = 64.0;
const RIGHT: f64 = 700.0;
const TOP: f64 = 26.0;
const FOOT: f64 = 300.0;
/// Steps between marks of an axis, at most.
const MARKS: f64 = 7.0;
/// Height of a line of the key.
const LINE: f64 = 18.0;

/// From numbers to places of the picture, along one axis.
struct Scale {
    low: f64,
    high: f64,
    from: f64,
    to: f64,
    logarithmic: bool,
}

impl Scale {
    fn at(&self, value: f64) -> f64 {
        let share = if self.logarithmic {
            (value.max(f64::MIN_POSITIVE) / self.low).ln() / (self.high / self.low).ln()
        } else {
            (value - self.low) / (self.high - self.low)
        };
        self.from + share.clamp(0.0, 1.0) * (self.to - self.from)
    }

    /// Places of marks: round numbers.
    fn marks(&self) -> Vec<f64> {
        if self.logarithmic { decades(self.low, self.high) } else { round_steps(self.low, self.high) }
    }
}

/// 1, 2 and 5 of each decade in a range.
fn decades(low: f64, high: f64) -> Vec<f64> {
    let mut marks = Vec::new();
    let mut decade = 10f64.powf(low.log10().floor());
    while decade <= high && decade > 0.0 {
        marks.extend([1.0, 2.0, 5.0].map(|m| m * decade).into_iter().filter(|v| (low..=high).contains(v)));
        decade *= 10.0;
    }
    // Over many decades the ones are enough.
    if marks.len() > 14 { marks.into_iter().step_by(3).collect() } else { marks }
}

fn round_steps(low: f64, high: f64) -> Vec<f64> {
    let rough = (high - low) / MARKS;
    let power = 10f64.powf(rough.log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0].map(|m| m * power).into_iter().find(|s| *s >= rough * 0.999).unwrap_or(rough);
    if !(step > 0.0 && step.is_finite()) {
        return vec![low];
    }
    let mut marks = Vec::new();
    let mut at = (low / step).ceil() * step;
    while at <= high + step * 1e-6 {
        marks.push(at);
        at += step;
    }
    marks
}

/// The chart as a picture with its name.
pub(crate) fn picture(chart: &Chart) -> Markup {
    let all = || chart.curves.iter().flat_map(|c| c.points.iter().copied()).filter(|p| p.0.is_finite() && p.1.is_finite());
    let Some((low, high)) = all().map(|p| (p.0, p.0)).reduce(|a, b| (a.0.min(b.0), a.1.max(b.1))) else { return html! {} };
    let bars = chart.curves.iter().any(|c| c.bars);
    let top = all().map(|p| p.1).fold(0.0, f64::max);
    let (low, high) = if bars { (low - 1.0, high + 1.0) } else { (low, if high > low { high } else { low + 1.0 }) };
    let x = Scale { low, high, from: LEFT, to: RIGHT, logarithmic: chart.across.logarithmic && low > 0.0 };
    let y = Scale { low: 0.0, high: if top > 0.0 { top * 1.08 } else { 1.0 }, from: FOOT, to: TOP, logarithmic: false };
    #[expect(clippy::cast_precision_loss, reason = "a handful of curves")]
    let height = HEIGHT + LINE * chart.curves.len().div_ceil(2).saturating_sub(1) as f64;
    html! {
        // Wider than a narrow window, so that its letters stay readable there: pushed aside in its own box, by keyboard too.
        figure.plot tabindex="0" role="group" aria-label=(chart.title) {
            svg viewBox={ "0 0 " (WIDTH) " " (number(height)) } role="img" aria-label={ (chart.title) ". " (chart.says) } {
                (grid(chart, &x, &y))
                @for place in &chart.places { line.place x1=(number(x.at(place.at))) y1=(TOP) x2=(number(x.at(place.at))) y2=(FOOT) {} }
                @for (i, curve) in chart.curves.iter().enumerate() {
                    @if curve.bars { (columns(curve, i, &x, &y)) } @else { (line(curve, &x, &y)) }
                }
                // Names lie over the curves, with the ground showing round their letters.
                @for (i, place) in chart.places.iter().enumerate() { (named(&x, i, place)) }
                @for (i, curve) in chart.curves.iter().enumerate() { (key(curve, i)) }
            }
        }
    }
}

fn number(value: f64) -> String {
    format!("{value:.1}")
}

fn unit(axis: &Axis) -> String {
    if axis.unit.is_empty() { axis.label.clone() } else { format!("{}, {}", axis.label, axis.unit) }
}

fn grid(chart: &Chart, x: &Scale, y: &Scale) -> Markup {
    html! {
        @for mark in x.marks() {
            line.grid x1=(number(x.at(mark))) y1=(TOP) x2=(number(x.at(mark))) y2=(FOOT) {}
            text.mark x=(number(x.at(mark))) y=(FOOT + 16.0) text-anchor="middle" { (digits(mark, 3)) }
        }
        @for mark in y.marks() {
            line.grid x1=(LEFT) y1=(number(y.at(mark))) x2=(RIGHT) y2=(number(y.at(mark))) {}
            text.mark x=(LEFT - 6.0) y=(number(y.at(mark) + 4.0)) text-anchor="end" { (digits(mark, 3)) }
        }
        line.axis x1=(LEFT) y1=(FOOT) x2=(RIGHT) y2=(FOOT) {}
        line.axis x1=(LEFT) y1=(TOP) x2=(LEFT) y2=(FOOT) {}
        text.mark x=(RIGHT) y=(FOOT + 34.0) text-anchor="end" { (unit(&chart.across)) }
        text.mark x="4" y="14" { (unit(&chart.up)) }
    }
}

/// The name of an upright line.
fn named(x: &Scale, index: usize, place: &dossier::chart::Place) -> Markup {
    let at = x.at(place.at);
    let (anchor, shift) = if at > (LEFT + RIGHT) / 2.0 { ("end", -5.0) } else { ("start", 5.0) };
    #[expect(clippy::cast_precision_loss, reason = "a handful of places")]
    let down = FOOT - 10.0 - 17.0 * index as f64;
    html! {
        text.mark.halo x=(number(at + shift)) y=(number(down)) text-anchor=(anchor) { (place.name) }
    }
}

/// The look of a curve by what it stands for.
fn class(role: Role) -> &'static str {
    match role {
        Role::Asked => "curve asked",
        Role::AskedAtBest => "curve asked best",
        Role::Given => "curve given",
        Role::GivenAtBest => "curve given best",
        Role::Limit => "curve limit",
    }
}

fn line(curve: &Curve, x: &Scale, y: &Scale) -> Markup {
    let points: Vec<String> = curve.points.iter().map(|(a, b)| format!("{},{}", number(x.at(*a)), number(y.at(*b)))).collect();
    html! { polyline class=(class(curve.role)) points=(points.join(" ")) { title { (curve.name) } } }
}

/// Bars: what is asked for is full and narrow, a limit is a frame round it.
fn columns(curve: &Curve, _: usize, x: &Scale, y: &Scale) -> Markup {
    let step = (x.at(x.low + 1.0) - x.at(x.low)).max(4.0);
    let width = step * if curve.role == Role::Asked { 0.45 } else { 0.85 };
    html! {
        @for (a, b) in &curve.points {
            rect class={ "column " (class(curve.role)) } x=(number(x.at(*a) - width / 2.0)) y=(number(y.at(*b))) width=(number(width)) height=(number(FOOT - y.at(*b))) {
                title { (digits(*a, 3)) ": " (curve.name) " " (digits(*b, 3)) }
            }
        }
    }
}

/// A line of the key, two beside each other.
fn key(curve: &Curve, index: usize) -> Markup {
    #[expect(clippy::cast_precision_loss, reason = "a handful of curves")]
    let (column, row) = ((index % 2) as f64, (index / 2) as f64);
    let (left, at) = (LEFT + column * 320.0, FOOT + 60.0 + row * LINE);
    html! {
        @if curve.bars {
            rect class={ "column " (class(curve.role)) } x=(number(left)) y=(number(at - 10.0)) width="30" height="12" {}
        } @else {
            line class=(class(curve.role)) x1=(number(left)) y1=(number(at - 4.0)) x2=(number(left + 36.0)) y2=(number(at - 4.0)) {}
        }
        text.mark x=(number(left + 42.0)) y=(number(at)) { (curve.name) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_are_round_and_inside() {
        assert_eq!(round_steps(0.0, 100.0), [0.0, 20.0, 40.0, 60.0, 80.0, 100.0]);
        assert_eq!(decades(0.5, 20.0), [0.5, 1.0, 2.0, 5.0, 10.0, 20.0]);
        assert_eq!(round_steps(1.0, 1.0), [1.0]);
        assert!(decades(1e-9, 1e9).len() <= 21);
    }

    #[test]
    fn every_curve_is_told_apart_without_colour_and_named() {
        let curve = |name: &str, role, bars| Curve { name: name.into(), role, points: vec![(1.0, 2.0), (10.0, 4.0)], bars };
        let chart = Chart {
            title: "T <1>".into(),
            curves: vec![curve("asked", Role::Asked, false), curve("given", Role::Given, false), curve("limit", Role::Limit, false)],
            ..Chart::default()
        };
        let drawn = picture(&chart).into_string();
        for class in ["curve asked", "curve given", "curve limit"] {
            assert_eq!(drawn.matches(&format!("class=\"{class}\"")).count(), 2, "{class} is drawn and in the key: {drawn}");
        }
        assert!(drawn.contains("aria-label=\"T &lt;1&gt;") && !drawn.contains("style="));
        // The highest point lies below the upper edge, 2 at half of its height.
        assert!(drawn.contains(&format!("points=\"{LEFT:.1},")), "{drawn}");
        assert_eq!(picture(&Chart::default()).into_string(), "");
    }
}
