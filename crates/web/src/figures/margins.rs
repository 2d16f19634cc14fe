//! A margin over its range: a bar from the lowest to the highest, with zero marked.

use job::phrase::margin_text;
use maud::{Markup, html};

use crate::view::{at, verdict};

/// Width of a bar in its own units; zero stands in the middle.
const WIDTH: f64 = 240.0;
const HEIGHT: f64 = 28.0;
/// A margin that fills half of the bar, in the unit of the finding: what lies further out is drawn at the edge, with an arrow.
const FULL: f64 = 100.0;

/// Findings with their bars, as a table.
pub(crate) fn table(tag: &str, candidate: &str, findings: &[&dossier::Finding]) -> Markup {
    html! {
        table.cards.findings {
            thead { tr { th { "Fault" } th { "Verdict" } th { "Margin" } th { "At worst" } th { "Hangs on" } } }
            tbody {
                @for f in findings {
                    tr {
                        th scope="row" { a href=(link(tag, candidate, f)) { (f.title) } span.sub { (f.name) } }
                        td data-name="Verdict" { (verdict(&f.verdict)) @if let Some(a) = &f.accepted { span.sub { "accepted by " (a.by) @if f.stays_open { ", open all the same" } } } }
                        td data-name="Margin" { @if f.margin.low.is_some() { (bar(&f.margin)) span.figures { (margin_text(&f.margin)) } } }
                        td data-name="At worst" { (f.severity) @if f.severity == "nuisance" { span.sub { "told, not counted" } } }
                        td data-name="Hangs on" {
                            @if f.depends_on.is_empty() { (f.reason.as_deref().unwrap_or("")) }
                            @for (i, fact) in f.depends_on.iter().enumerate() {
                                @if i > 0 { ", " }
                                a href=(at(tag, &format!("/found#{fact}"))) { (fact) }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// The page of a finding.
pub(crate) fn link(tag: &str, candidate: &str, finding: &dossier::Finding) -> String {
    at(tag, &format!("/finding/{}?candidate={}", finding.name, crate::ask::part_of_path(candidate)))
}

/// The bar of a margin. What holds is full, what fails is hatched, and zero is a line through it, so that it is read without colour.
pub(crate) fn bar(margin: &dossier::Margin) -> Markup {
    let (Some(low), Some(high)) = (margin.low, margin.high) else { return html! {} };
    if margin.unit.is_empty() {
        return html! {};
    }
    let x = |value: f64| WIDTH / 2.0 + (value / FULL).clamp(-1.0, 1.0) * (WIDTH / 2.0 - 12.0);
    let zero = x(0.0);
    let (left, right) = (x(low), x(high).max(x(low) + 3.0));
    let number = |v: f64| format!("{v:.1}");
    let part = |class: &'static str, from: f64, to: f64| {
        html! { @if to > from { rect class=(class) x=(number(from)) y="8" width=(number(to - from)) height="12" {} } }
    };
    html! {
        svg.bar viewBox={ "0 0 " (WIDTH) " " (HEIGHT) } role="img" aria-label={ "margin " (margin_text(margin)) } {
            line.axis x1="2" y1="14" x2=(number(WIDTH - 2.0)) y2="14" {}
            (part("bad", left, right.min(zero)))
            // Slanting strokes mark the failing part where colours are not seen.
            @for i in 0..strokes(left, right.min(zero)) {
                @let at = left + 4.0 + f64::from(i) * 6.0;
                line.hatch x1=(number(at - 3.0)) y1="20" x2=(number(at + 3.0)) y2="8" {}
            }
            (part("good", left.max(zero), right))
            @if low < -FULL { path.more d="M 8 9 L 2 14 L 8 19" {} }
            @if high > FULL { path.more d={ "M " (WIDTH - 8.0) " 9 L " (WIDTH - 2.0) " 14 L " (WIDTH - 8.0) " 19" } {} }
            line.zero x1=(number(zero)) y1="2" x2=(number(zero)) y2="26" {}
        }
    }
}

fn strokes(from: f64, to: f64) -> u32 {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "at most as many as fit into the bar")]
    let count = ((to - from - 4.0) / 6.0).clamp(0.0, 60.0).ceil() as u32;
    count
}

#[cfg(test)]
mod tests {
    use dossier::Margin;

    use super::*;

    fn drawn(low: f64, high: f64) -> String {
        bar(&Margin { low: Some(low), high: Some(high), unit: "%".into() }).into_string()
    }

    #[test]
    fn the_bar_is_parted_at_zero() {
        let both = drawn(-50.0, 25.0);
        assert!(both.contains(r#"class="bad" x="66.0" y="8" width="54.0""#), "{both}");
        assert!(both.contains(r#"class="good" x="120.0" y="8" width="27.0""#), "{both}");
        assert!(!drawn(3.0, 9.0).contains("bad") && !drawn(-9.0, -3.0).contains("good"));
        assert!(drawn(-300.0, 900.0).matches("class=\"more\"").count() == 2);
        assert!(both.contains("aria-label=\"margin −50 … +25 %\""), "{both}");
        assert_eq!(bar(&Margin::default()).into_string(), "");
    }
}
