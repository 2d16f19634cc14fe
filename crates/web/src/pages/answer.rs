//! The answer for a position at a glance: verdict, what stands in its way, what to measure next, what nobody has examined.

use std::sync::Arc;

use hyper::StatusCode;
use job::phrase::{cost, money, standing, weeks_in_words};
use maud::{Markup, html};
use plant::quantity::digits;
use serde_json::json;

use crate::answers::Now;
use crate::ask::Ask;
use crate::figures::margins;
use crate::server::Desk;
use crate::view::{Page, Tab, Trouble, View, at, place, verdict};

/// A position with its answer.
pub(crate) struct Answered {
    pub(crate) now: Arc<Now>,
    pub(crate) tag: String,
    pub(crate) position: Arc<dossier::Position>,
}

/// The position that a path names, worked out.
pub(crate) fn of(desk: &Desk, ask: &Ask) -> Result<Answered, Trouble> {
    let now = desk.now()?;
    let tag = ask.part("tag").to_owned();
    let Some(position) = now.folder.position(&tag) else { return Err(no_position(&now, &tag)) };
    if let Some(problem) = now.hindered(position) {
        return Err(Trouble::new(StatusCode::CONFLICT, format!("nothing is worked out for {tag} while a file has mistakes: {problem}")));
    }
    let answer = desk.answers.of(&now, position);
    Ok(Answered { tag, position: answer, now })
}

pub(crate) fn no_position(now: &Now, tag: &str) -> Trouble {
    let own = now.folder.problems.iter().find(|p| p.is_error() && *p.file == *format!("positions/{tag}.toml"));
    match own {
        Some(problem) => Trouble::new(StatusCode::CONFLICT, format!("{tag} cannot be read: {problem}")),
        None => Trouble::missing(format!("the site has no position “{tag}”")),
    }
}

impl Answered {
    /// The candidate that a query names, else the first.
    pub(crate) fn candidate(&self, ask: &Ask) -> Option<&dossier::Candidate> {
        let wanted = ask.query("candidate");
        self.position.candidates.iter().find(|c| c.id == wanted).or_else(|| self.position.candidates.first())
    }

    pub(crate) fn currency(&self) -> &str {
        &self.now.folder.site.currency
    }

    /// A page of this position.
    pub(crate) fn page(&self, tab: Tab, title: &str, body: Markup, json: serde_json::Value) -> View {
        View::Page(Box::new(Page {
            status: StatusCode::OK,
            title: format!("{} {title}", self.tag),
            position: Some((self.tag.clone(), tab)),
            body,
            json,
            stamp: self.now.folder.stamp,
        }))
    }

    /// The line that stands over every view: what it is, and how it stands.
    pub(crate) fn head(&self) -> Markup {
        let p = &self.position;
        html! {
            div.head {
                h1 { (p.tag) " " span.machine { (p.machine) } }
                @if let Some(first) = p.candidates.first() {
                    p { (verdict(standing(first))) " " (first.series) " " (first.code) ", " (first.duty) " duty, " (cost(first, self.currency())) }
                } @else {
                    p { "No pack offers a candidate: put packs that may replace into packs/." }
                }
            }
        }
    }
}

pub(crate) fn show(desk: &Desk, ask: &Ask) -> Result<View, Trouble> {
    let answered = of(desk, ask)?;
    let p = &*answered.position;
    let body = html! {
        (answered.head())
        @for remark in &p.remarks { p.remark { (remark) } }
        @if let Some(first) = p.candidates.first() {
            p.lead { (in_a_sentence(first)) @if let Some(by) = &p.chosen_by { " Chosen by " (by) "." } }
            section {
                h2 { "What is not settled" }
                @let unsettled: Vec<&dossier::Finding> = first.findings.iter().filter(|f| f.verdict != "holds").collect();
                @if unsettled.is_empty() { p { "Everything that is examined holds." } }
                @else { (margins::table(&p.tag, &first.id, &unsettled)) }
                p { a href=(at(&p.tag, "/findings")) { "All findings, what holds included" } }
            }
            section {
                h2 { "Bill" }
                (bill(first))
            }
        }
        (measure_next(p))
        (open(p))
        (old_drive(p))
        @if !p.notes.is_empty() { section { h2 { "Remarks of the survey" } ul { @for note in &p.notes { li { (note) } } } } }
        section { h2 { "Not examined" } ul { @for subject in &p.not_examined { li { (subject) } } } }
        section.cautions { h2 { "Cautions" } dl { @for c in &p.cautions { dt { (c.hazard) } dd { (c.text) } } } }
        (assumptions(p))
    };
    let json = ask.twin(|| {
        let mut json = json!(p);
        json["currency"] = json!(answered.currency());
        json
    });
    Ok(answered.page(Tab::Answer, "", body, json))
}

fn in_a_sentence(first: &dossier::Candidate) -> &'static str {
    match (first.verdict.as_str(), first.by_choice.as_str()) {
        ("holds", _) => "It holds, whatever the rest of the survey turns out to be.",
        (_, "holds") => "It is sound in all that a choice of drive can decide; the rest is the position's own.",
        (_, "depends") => "Whether it is sound depends on more than the position's own trouble.",
        _ => "No candidate is better in everything; this one has the fewest findings against it.",
    }
}

pub(crate) fn bill(candidate: &dossier::Candidate) -> Markup {
    html! {
        table.bill {
            tbody { @for line in &candidate.bill { tr {
                th scope="row" { (line.what) }
                td.number { @if let Some(price) = line.price { (money(price)) } @else { "price not known" } }
                td { @if let Some(weeks) = line.lead_weeks { "in " (weeks_in_words(weeks)) } @else if line.ordered { "lead time not known" } }
            } } }
        }
    }
}

fn measure_next(p: &dossier::Position) -> Markup {
    html! {
        section #next {
            h2 { "Measure next" }
            @if p.measure_next.is_empty() { p { "No reading would settle anything more." } } @else {
                p { "What settles most for its effort comes first. Only people who are authorised on site open doors or measure with power on." }
                table.cards {
                    thead { tr { th { "Reading" } th { "Settles" } th { "Effort" } th { "Expected" } th { "Try one" } } }
                    tbody {
                        @for r in &p.measure_next {
                            tr {
                                th scope="row" { a href=(at(&p.tag, &format!("/found#{}", r.fact))) { (r.label) } span.sub { (r.fact) } }
                                td data-name="Settles" { (digits(r.settles, 2)) " verdicts" span.sub { (r.findings.join(", ")) } }
                                td data-name="Effort" { (r.effort_words) }
                                td data-name="Expected" { (r.expected) }
                                td data-name="Try one" { a href=(at(&p.tag, &format!("/try?fact={}", r.fact))) aria-label={ "Try a reading of " (r.label) } { "What if?" } }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn open(p: &dossier::Position) -> Markup {
    html! {
        @if !p.open.is_empty() {
            section { h2 { "Open: nothing may be assumed" }
                ul { @for o in &p.open { li { a href=(at(&p.tag, &format!("/found#{}", o.fact))) { (o.label) } ": " (o.why) } } }
            }
        }
    }
}

fn assumptions(p: &dossier::Position) -> Markup {
    html! {
        @if !p.assumptions.is_empty() {
            section { h2 { "Assumed while not known" }
                table.cards {
                    thead { tr { th { "Fact" } th { "Assumed" } th { "Why that is fair" } } }
                    tbody { @for a in &p.assumptions { tr {
                        th scope="row" { a href=(at(&p.tag, &format!("/found#{}", a.fact))) { (a.label) } }
                        td data-name="Assumed" { (a.assumed) }
                        td data-name="Why" { (a.why) }
                    } } }
                }
            }
        }
    }
}

fn old_drive(p: &dossier::Position) -> Markup {
    html! {
        @if !p.old.is_empty() {
            section { h2 { "Old drive" }
                p { (p.old) }
                @if !p.old_decoded.is_empty() {
                    table { tbody { @for s in &p.old_decoded { tr { th scope="row" { (s.segment) } td { code { (s.characters) } } td { (s.meaning) } } } } }
                }
            }
        }
    }
}

/// Facts that went into a calculation, each with its place.
pub(crate) fn inputs(tag: &str, inputs: &[dossier::Input]) -> Markup {
    html! {
        table.cards {
            thead { tr { th { "Fact" } th { "Taken here" } th { "All that it may be" } th { "How it is known" } th { "Where it stands" } } }
            tbody { @for i in inputs { tr {
                th scope="row" { a href=(at(tag, &format!("/found#{}", i.fact))) { (i.fact) } }
                td data-name="Taken here" { (i.value) }
                td data-name="May be" { (i.range) }
                td data-name="Known by" { (i.origin) }
                td data-name="Stands in" { (place(&i.place)) }
            } } }
        }
    }
}

/// A calculation, step by step.
pub(crate) fn steps(steps: &[dossier::Step]) -> Markup {
    html! {
        ol.steps {
            @for s in steps {
                li {
                    p.name { (s.name) }
                    p.formula { (s.symbol) @if !s.formula.is_empty() { " = " (s.formula) } @if s.numbers != s.formula && !s.numbers.is_empty() { " = " (s.numbers) } " = " strong { (s.value) } }
                    p.source { (s.source) @if !s.note.is_empty() { "; " (s.note) } }
                }
            }
        }
    }
}
