//! One finding of one candidate: its margin, its working, its facts with their places, its page, its remedies; and where a named
//! person takes it on.

use findings::check::HEADINGS;
use job::phrase::{margin_text, money};
use maud::{Markup, html};
use plant::decision::Accepted;
use plant::fact::Place;
use serde_json::json;

use super::answer::{Answered, inputs, of, steps};
use crate::ask::Ask;
use crate::change::{Draft, who};
use crate::figures::margins;
use crate::server::Desk;
use crate::view::{Tab, Trouble, View, at, prose, verdict};

pub(crate) fn show(desk: &Desk, ask: &Ask) -> Result<View, Trouble> {
    let answered = of(desk, ask)?;
    let name = format!("{}/{}", ask.part("group"), ask.part("name"));
    let check = findings::registry::find(&name).ok_or_else(|| Trouble::missing(format!("there is no finding “{name}”")))?;
    let Some(candidate) = answered.candidate(ask) else { return Err(Trouble::missing("there is no candidate to check")) };
    let finding = candidate
        .findings
        .iter()
        .find(|f| f.name == check.name)
        .ok_or_else(|| Trouble::missing(format!("{name} says nothing about {}", candidate.id)))?;
    let body = html! {
        div.head {
            h1 { (finding.title) }
            p { (verdict(&finding.verdict)) " " (finding.name) ", for " (candidate.id) " at " (answered.tag) }
        }
        section {
            h2 { "Margin" }
            (margins::bar(&finding.margin))
            p.figures { (margin_text(&finding.margin)) " · at worst: " (finding.severity) }
            @if let Some(reason) = &finding.reason { p { (reason) } }
            @if !finding.depends_on.is_empty() {
                p { "Hangs on " @for (i, fact) in finding.depends_on.iter().enumerate() { @if i > 0 { ", " } a href=(at(&answered.tag, &format!("/try?fact={fact}"))) { (fact) } } ": type a reading and see what it settles." }
            }
        }
        section {
            h2 { "Working of the lowest margin" }
            @if finding.working.is_empty() { p { "There is nothing to calculate: what the survey says decides it." } } @else { (steps(&finding.working)) }
            h3 { "Facts in it" }
            @if finding.inputs.is_empty() { p { "None." } } @else { (inputs(&answered.tag, &finding.inputs)) }
            h3 { "Sources" }
            ul { @for source in &finding.sources { li { (source) } } }
        }
        section {
            h2 { "Remedies for this candidate" }
            @if finding.remedies.is_empty() { p { "None was needed or none helps; another candidate may." } }
            @else { ul { @for r in &finding.remedies { li { (r.what) " — " @if let Some(c) = r.cost { (money(c)) " " (answered.currency()) } @else { "price not known" } @if r.taken { ", taken into the bill" } } } } }
        }
        (acceptance(&answered, finding, ask))
        section.page {
            h2 { "About this fault" }
            @for heading in HEADINGS { @if let Some(text) = check.section(heading) { h3 { (heading) } (prose(text)) } }
        }
    };
    let json = json!({
        "tag": answered.tag, "candidate": candidate.id, "finding": finding,
        "page": HEADINGS.iter().map(|h| (*h, check.section(h))).collect::<std::collections::BTreeMap<_, _>>(),
    });
    Ok(answered.page(Tab::Findings, &finding.name, body, json))
}

fn acceptance(answered: &Answered, finding: &dossier::Finding, ask: &Ask) -> Markup {
    html! {
        section {
            h2 { "Taken on by a person" }
            @if let Some(a) = &finding.accepted {
                p { "Accepted by " strong { (a.by) } " on " (a.on) ": " (a.reason) }
                @if finding.stays_open { p.remark { "A fact that may not be assumed is open, so it counts all the same: nobody can take on what is not known." } }
            } @else if finding.verdict == "holds" {
                p { "It holds; there is nothing to take on." }
            }
            @if finding.verdict != "holds" {
                form.stack method="post" action=(at(&answered.tag, &format!("/finding/{}", finding.name))) {
                    p.help { "Whoever accepts a finding answers for it. It still stands in every paper, with name and reason. Nothing is accepted for the local code or for the unit's own instructions." }
                    label { "Name" input name="by" required maxlength="80" autocomplete="name" value=(ask.who); }
                    label { "Reason" textarea name="reason" required maxlength="2000" rows="3" {} }
                    button type="submit" { "Accept " (finding.name) }
                }
            }
        }
    }
}

pub(crate) fn accept(desk: &Desk, ask: &Ask) -> Result<View, Trouble> {
    const FILE: &str = "decisions.toml";
    let name = format!("{}/{}", ask.part("group"), ask.part("name"));
    let check = findings::registry::find(&name).ok_or_else(|| Trouble::missing(format!("there is no finding “{name}”")))?;
    let by = who(ask.field("by")).map_err(Trouble::unusable)?;
    let reason = ask.field("reason");
    if reason.is_empty() {
        return Err(Trouble::unusable("say why: a finding is accepted with a reason"));
    }
    let _turn = desk.one_at_a_time();
    let now = desk.now()?;
    let tag = ask.part("tag");
    if now.folder.position(tag).is_none() {
        return Err(super::answer::no_position(&now, tag));
    }
    let accepted = Accepted {
        tag: tag.to_owned(),
        finding: check.name.to_owned(),
        by: by.clone(),
        reason: reason.replace("\r\n", "\n"),
        on: now.date.to_string(),
        place: Place::default(),
    };
    let mut draft = Draft::of(&now.folder, FILE);
    let text = packs::accept(&draft.source(), &accepted).map_err(|p| Trouble::unusable(p.to_string()))?;
    draft.step(&format!("{tag} accepted {}", check.name), text);
    if let Some(problem) = draft.came(|s| packs::read_decisions(s).problems).first() {
        return Err(Trouble::unusable(problem.to_string()));
    }
    desk.write(&draft, &by)?;
    let json = json!({ "accepted": check.name, "tag": tag, "by": by });
    Ok(View::Go { to: at(tag, &format!("/finding/{}", check.name)), json, cookies: vec![("who", by)] })
}
