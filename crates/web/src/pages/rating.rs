//! Rating and duty: the current that the load asks for against what the unit gives, torque over speed, and the findings that judge them.
//! Each figure says in words what it shows, and has its numbers as a table; the power path takes its figures from here too.

use std::collections::BTreeMap;
use std::sync::Arc;

use dossier::chart::Chart;
use job::charts::{Drawn, charts};
use maud::{Markup, html};
use plant::quantity::digits;
use serde_json::{Value, json};

use super::answer::{Answered, inputs, of};
use crate::answers::Now;
use crate::ask::{Ask, part_of_path};
use crate::figures::chart::picture;
use crate::figures::margins;
use crate::server::Desk;
use crate::view::{Tab, Trouble, View, at};

/// Sections: title, the finding whose figure stands in it, and the groups of findings that belong to it.
const SECTIONS: &[(&str, &str, &[&str])] =
    &[("Current and overload", "rating/overload-short", &["rating"]), ("Torque and speed", "speed/top-speed-short", &["speed", "motor"])];

pub(crate) fn show(desk: &Desk, ask: &Ask) -> Result<View, Trouble> {
    let answered = of(desk, ask)?;
    let p = &*answered.position;
    let Some(candidate) = answered.candidate(ask) else {
        let body = html! { (answered.head()) p { "There is no candidate to hold against the duty." } };
        let json = json!({ "tag": p.tag, "candidate": null, "figures": [], "findings": [], "facts": [] });
        return Ok(answered.page(Tab::Rating, "rating and duty", body, json));
    };
    let drawn = charts_of(desk, &answered.now, &p.tag, &candidate.id);
    let drawn: Vec<&Drawn> = drawn.iter().filter(|d| SECTIONS.iter().any(|(_, finding, _)| *finding == d.finding)).collect();
    let judging = |groups: &[&str]| -> Vec<&dossier::Finding> {
        candidate.findings.iter().filter(|f| f.name.split('/').next().is_some_and(|group| groups.contains(&group))).collect()
    };
    let all: Vec<&dossier::Finding> = SECTIONS.iter().flat_map(|(_, _, groups)| judging(groups)).collect();
    // Facts of several findings stand here once, as the first of them took them.
    let facts: BTreeMap<&str, &dossier::Input> = all.iter().rev().flat_map(|f| &f.inputs).map(|i| (i.fact.as_str(), i)).collect();
    let facts: Vec<dossier::Input> = facts.into_values().cloned().collect();
    let body = html! {
        (answered.head())
        (choose(&answered, "/rating", &candidate.id))
        @for (title, finding, groups) in SECTIONS {
            section.chart {
                h2 { (title) }
                @for one in drawn.iter().filter(|d| d.finding == *finding) { h3 { (one.title) } (told(&p.tag, &candidate.id, one)) }
                (margins::table(&p.tag, &candidate.id, &judging(groups)))
            }
        }
        section {
            h2 { "The duty, as the findings took it" }
            p.help { "Each fact where what is open turns out so that a margin is lowest; its line in the file is one step away." }
            (inputs(&p.tag, &facts))
        }
        p { "Figures of the supply and of the motor cable stand with " a href=(at(&p.tag, &format!("/power?candidate={}", part_of_path(&candidate.id)))) { "the power path" } "." }
    };
    let json = ask.twin(|| {
        let figures: Vec<Value> = drawn.iter().map(|d| twin(d)).collect();
        json!({ "tag": p.tag, "candidate": candidate.id, "figures": figures, "findings": all, "facts": facts })
    });
    Ok(answered.page(Tab::Rating, "rating and duty", body, json))
}

/// The charts of a candidate.
pub(super) fn charts_of(desk: &Desk, now: &Now, tag: &str, candidate: &str) -> Arc<Vec<Drawn>> {
    let draw = || charts(now.input(), tag, candidate).unwrap_or_default();
    match now.folder.position(tag) {
        Some(position) => desk.charts.of(now.key(position), candidate, draw),
        None => Arc::new(draw()),
    }
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
        details.numbers {
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
