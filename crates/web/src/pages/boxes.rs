//! The box of a position: the plate with old and new outlines, holes and clearances, and its heat, today and afterwards.

use std::sync::Arc;

use dossier::boxes::{BoxReport, HeatRow, HoleRow, Layout};
use maud::{Markup, html};
use output::svg::{Options, svg};
use serde_json::json;

use super::answer::{Answered, of, steps};
use crate::ask::Ask;
use crate::figures::margins;
use crate::server::Desk;
use crate::view::{Tab, Trouble, View, at, verdict};

/// The report of the box that a position stands in; it hangs on all drives of the box and on what was decided about each.
fn report(desk: &Desk, answered: &Answered) -> Arc<Option<BoxReport>> {
    let now = &answered.now;
    let Some(position) = now.folder.position(&answered.tag) else { return Arc::new(None) };
    let name = position.enclosure.as_deref().unwrap_or(&position.tag);
    desk.boxes.of(now.whole(), name, || job::boxes::report(now.input(), name))
}

pub(crate) fn show(desk: &Desk, ask: &Ask) -> Result<View, Trouble> {
    let answered = of(desk, ask)?;
    let report = report(desk, &answered);
    let Some(report) = &*report else {
        let body = html! { (answered.head()) p { "Nothing is known of its box." } };
        return Ok(answered.page(Tab::Box, "box", body, json!({ "tag": answered.tag, "box": null })));
    };
    let body = html! {
        (answered.head())
        section {
            h2 { "Box " (report.name) " " (verdict(&report.verdict)) }
            @for remark in &report.remarks { p.remark { (remark) } }
            @if !report.to_measure.is_empty() { p { "To measure first:" } ul { @for m in &report.to_measure { li { (m) } } } }
            @if report.drawing.is_some() {
                figure.plate tabindex="0" role="group" aria-label="The mounting plate" {
                    img src=(at(&answered.tag, "/box/drawing")) alt={ "The mounting plate with what stands on it; the tables below say the same in figures" };
                    figcaption { @if let Some(layout) = &report.layout { (layout.says) } }
                }
            }
            @for drive in &report.drives {
                h3 { (drive.tag) ": " (drive.candidate) }
                p { (drive.outline) }
                @let findings: Vec<&dossier::Finding> = drive.findings.iter().collect();
                (margins::table(&drive.tag, &drive.candidate, &findings))
            }
        }
        @if let Some(layout) = &report.layout { (self::layout(layout)) }
        @if let Some(heat) = &report.heat {
            section {
                h2 { "Heat" }
                (heat_table(&heat.rows))
                ul { @for line in heat.air.iter().chain(&heat.cooling) { li { (line) } } }
                details { summary { "Working of the state afterwards" } (steps(&heat.working)) }
            }
        }
        @if !report.taken.is_empty() { section { h2 { "Taken for what is not exactly known" } ul { @for t in &report.taken { li { (t) } } } } }
        @if !report.cautions.is_empty() { section.cautions { h2 { "Cautions" } ul { @for c in &report.cautions { li { (c) } } } } }
    };
    Ok(answered.page(Tab::Box, "box", body, json!({ "tag": answered.tag, "box": report })))
}

/// The plate as a picture of its own, so that its colours need no style of the page.
pub(crate) fn drawing(desk: &Desk, ask: &Ask) -> Result<View, Trouble> {
    let answered = of(desk, ask)?;
    let report = report(desk, &answered);
    let drawing = report.as_ref().as_ref().and_then(|r| r.drawing.as_ref());
    let drawing = drawing.ok_or_else(|| Trouble::missing("there is no drawing while the plate is not measured"))?;
    let picture = svg(drawing, &Options::default()).map_err(|refused| Trouble::unusable(refused.to_string()))?;
    Ok(View::Picture(picture))
}

fn layout(layout: &Layout) -> Markup {
    html! {
        section {
            h2 { "Places and holes" }
            p { (layout.says) " " (layout.datum) }
            @if !layout.moved.is_empty() { p { "To be moved: " (layout.moved.join(", ")) } }
            @if !layout.ways_out.is_empty() { p { "What would make room:" } ul { @for w in &layout.ways_out { li { (w) } } } }
            @if !layout.places.is_empty() {
                table.cards {
                    thead { tr { th { "What" } th.number { "From the left, mm" } th.number { "From below, mm" } th.number { "Width, mm" } th.number { "Height, mm" } th { "Stands" } th.number { "Free before the door, mm" } } }
                    tbody { @for p in &layout.places { tr {
                        th scope="row" { (p.name) }
                        td.number data-name="Left" { (mm(p.left)) } td.number data-name="Below" { (mm(p.bottom)) } td.number data-name="Width" { (mm(p.width)) } td.number data-name="Height" { (mm(p.height)) }
                        td data-name="Stands" { (p.turned) } td.number data-name="Before the door" { (mm(p.depth_left)) }
                    } } }
                }
            }
            @if !layout.holes.is_empty() { (holes(&layout.holes)) }
            @if !layout.distances.is_empty() { details { summary { "Distances to measure after drilling" }
                table { thead { tr { th { "Holes" } th.number { "Straight, mm" } } } tbody { @for d in &layout.distances { tr { td { (d.from) " to " (d.to) } td.number { (mm(d.straight)) } } } } } } }
            @for a in &layout.adapters { details { summary { "Adapter plate for " (a.tag) } ul { @for s in &a.says { li { (s) } } } @if !a.holes.is_empty() { (holes(&a.holes)) } @if !a.working.is_empty() { (steps(&a.working)) } } }
        }
    }
}

fn holes(holes: &[HoleRow]) -> Markup {
    html! {
        table.cards {
            thead { tr { th { "Hole" } th { "Work" } th.number { "From the left, mm" } th.number { "From below, mm" } th.number { "Diameter, mm" } th { "Of" } } }
            tbody { @for h in holes { tr {
                th scope="row" { (h.number) } td data-name="Work" { (h.work) @if !h.remark.is_empty() { span.sub { (h.remark) } } }
                td.number data-name="Left" { (mm(h.x)) } td.number data-name="Below" { (mm(h.y)) } td.number data-name="Diameter" { (mm(h.diameter)) } td data-name="Of" { (h.of) }
            } } }
        }
    }
}

fn heat_table(rows: &[HeatRow]) -> Markup {
    let watts = |w: Option<f64>| w.map_or_else(|| "—".to_owned(), |w| format!("{w:.0}"));
    html! {
        table.cards {
            thead { tr { th { "What makes heat" } th.number { "Today, W" } th.number { "Afterwards, W" } th { "Remark" } } }
            tbody { @for r in rows { tr { th scope="row" { (r.what) } td.number data-name="Today, W" { (watts(r.before)) } td.number data-name="Afterwards, W" { (watts(r.after)) } td data-name="Remark" { (r.remark) } } } }
        }
    }
}

fn mm(length: f64) -> String {
    format!("{length:.1}")
}
