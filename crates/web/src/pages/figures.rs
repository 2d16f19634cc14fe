//! Figures of a candidate: current against capability, torque over speed, voltage along the cable, harmonics against limits. Each says
//! in words what it shows, and has its numbers as a table.

use dossier::chart::Chart;
use job::charts::{Drawn, charts};
use maud::{Markup, html};
use plant::quantity::digits;
use serde_json::{Value, json};

use super::answer::{Answered, of};
use crate::ask::{Ask, part_of_path};
use crate::figures::chart::picture;
use crate::server::Desk;
use crate::view::{Tab, Trouble, View, at};

pub(crate) fn show(desk: &Desk, ask: &Ask) -> Result<View, Trouble> {
    let answered = of(desk, ask)?;
    let p = &*answered.position;
    let Some(candidate) = answered.candidate(ask) else {
        let body = html! { (answered.head()) p { "There is no candidate to draw." } };
        return Ok(answered.page(Tab::Figures, "figures", body, json!({ "tag": p.tag, "candidate": null, "figures": [] })));
    };
    let drawn = charts(answered.now.input(), &p.tag, &candidate.id).unwrap_or_default();
    let body = html! {
        (answered.head())
        (choose(&answered, "/figures", &candidate.id))
        @for one in &drawn { section.chart { h2 { (one.title) } (told(&p.tag, &candidate.id, one)) } }
    };
    let figures: Vec<Value> = drawn.iter().map(twin).collect();
    Ok(answered.page(Tab::Figures, "figures", body, json!({ "tag": p.tag, "candidate": candidate.id, "figures": figures })))
}

/// The same for scripts.
pub(super) fn twin(drawn: &Drawn) -> Value {
    match &drawn.chart {
        Ok(chart) => json!(chart),
        Err(why) => json!({ "title": drawn.title, "finding": drawn.finding, "not_drawn": why }),
    }
}

/// Another candidate of the position for a page.
pub(crate) fn choose(answered: &Answered, page: &str, chosen: &str) -> Markup {
    html! {
        form.filter method="get" action=(at(&answered.tag, page)) {
            label { "For"
                select name="candidate" {
                    @for c in &answered.position.candidates { option value=(c.id) selected[c.id == chosen] { (c.series) " " (c.code) ", " (c.duty) } }
                }
            }
            button type="submit" { "Show" }
        }
    }
}

/// A figure with all that is said of it, but for its title.
pub(super) fn told(tag: &str, candidate: &str, drawn: &Drawn) -> Markup {
    let finding = at(tag, &format!("/finding/{}?candidate={}", drawn.finding, part_of_path(candidate)));
    html! {
        @match &drawn.chart {
            Err(why) => p { "Not drawn: " (why) "." },
            Ok(chart) => {
                p { (chart.says) }
                (picture(chart))
                @for remark in &chart.remarks { p.help { (remark) } }
                (numbers(chart))
            }
        }
        p { "Judged by " a href=(finding) { (drawn.finding) } ", with its working." }
    }
}

/// The points of all curves; curves with the same places share the rows.
fn numbers(chart: &Chart) -> Markup {
    let head =
        |axis: &dossier::chart::Axis| if axis.unit.is_empty() { axis.label.clone() } else { format!("{}, {}", axis.label, axis.unit) };
    let mut groups: Vec<Vec<&dossier::chart::Curve>> = Vec::new();
    for curve in &chart.curves {
        let same = |other: &[&dossier::chart::Curve]| {
            other[0].points.len() == curve.points.len()
                && other[0].points.iter().zip(&curve.points).all(|(a, b)| a.0.to_bits() == b.0.to_bits())
        };
        match groups.iter_mut().find(|g| same(g)) {
            Some(group) => group.push(curve),
            None => groups.push(vec![curve]),
        }
    }
    html! {
        details {
            summary { "The numbers of this figure" }
            @for group in &groups {
                table {
                    caption { (head(&chart.up)) }
                    thead { tr { th scope="col" { (head(&chart.across)) } @for c in group { th.number scope="col" { (c.name) } } } }
                    tbody { @for (i, point) in group[0].points.iter().enumerate() {
                        tr { th scope="row" { (digits(point.0, 4)) } @for c in group { td.number { @if let Some(p) = c.points.get(i) { (digits(p.1, 4)) } } } }
                    } }
                }
            }
        }
    }
}
