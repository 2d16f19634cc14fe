//! All findings of a candidate, worst first, each leading to its working.

use maud::html;
use serde_json::json;

use super::answer::of;
use crate::ask::Ask;
use crate::figures::margins;
use crate::server::Desk;
use crate::view::{Tab, Trouble, View, at};

pub(crate) fn show(desk: &Desk, ask: &Ask) -> Result<View, Trouble> {
    let answered = of(desk, ask)?;
    let p = &*answered.position;
    let Some(candidate) = answered.candidate(ask) else {
        let body = html! { (answered.head()) p { "There is no candidate to check." } };
        return Ok(answered.page(Tab::Findings, "findings", body, json!({ "tag": p.tag, "candidate": null, "findings": [] })));
    };
    let (holds, unsettled): (Vec<&dossier::Finding>, Vec<&dossier::Finding>) =
        candidate.findings.iter().partition(|f| f.verdict == "holds");
    let body = html! {
        (answered.head())
        form.filter method="get" action=(at(&p.tag, "/findings")) {
            label { "Findings of"
                select name="candidate" {
                    @for c in &p.candidates { option value=(c.id) selected[c.id == candidate.id] { (c.series) " " (c.code) ", " (c.duty) } }
                }
            }
            button type="submit" { "Show" }
        }
        p.help { "The bar runs from the lowest to the highest margin that the survey leaves open. The upright line is zero: right of it the fault cannot arise, left of it (hatched) it does." }
        section { h2 { "Not settled" }
            @if unsettled.is_empty() { p { "Everything that is examined holds." } } @else { (margins::table(&p.tag, &candidate.id, &unsettled)) }
        }
        section { h2 { "Holds" }
            @if holds.is_empty() { p { "Nothing yet." } } @else { (margins::table(&p.tag, &candidate.id, &holds)) }
        }
        section { h2 { "Not examined" } ul { @for subject in &p.not_examined { li { (subject) } } } }
    };
    let json =
        ask.twin(|| json!({ "tag": p.tag, "candidate": candidate.id, "findings": candidate.findings, "not_examined": p.not_examined }));
    Ok(answered.page(Tab::Findings, "findings", body, json))
}
