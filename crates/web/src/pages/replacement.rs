//! Candidates side by side: how each stands, its margins, its cost, what it would need; and the choice of a named person.

use job::phrase::{beside_others, cost, margin_text, standing};
use maud::html;
use plant::decision::Chosen;
use plant::fact::Place;
use serde_json::json;

use super::answer::{bill, of};
use crate::ask::{Ask, part_of_path};
use crate::change::{Draft, who};
use crate::figures::margins;
use crate::server::Desk;
use crate::view::{Tab, Trouble, View, at, verdict};

/// Tightest margins that are shown of each candidate.
const TIGHTEST: usize = 4;

pub(crate) fn show(desk: &Desk, ask: &Ask) -> Result<View, Trouble> {
    let answered = of(desk, ask)?;
    let p = &*answered.position;
    let counts = p.counts;
    let all = counts.hold + counts.hold_but_open + counts.depend + counts.fail;
    let body = html! {
        (answered.head())
        p {
            "Of " (all) " candidates, " (counts.sound_by_choice) " are sound in all that a choice of drive can decide, "
            (counts.doubtful_by_choice) " are in doubt, " (counts.ruled_out_by_choice) " are ruled out. The best are shown, the chosen one first."
        }
        @if let Some(by) = &p.chosen_by { p { "Chosen by " (by) "." } }
        div.candidates {
            @for (i, c) in p.candidates.iter().enumerate() {
                article.candidate {
                    h2 { (c.series) " " (c.code) }
                    p { (c.duty) " duty · frame " (c.frame) }
                    p { (verdict(standing(c))) }
                    p { "Beside the others: " (verdict(beside_others(c))) }
                    p.cost { (cost(c, answered.currency())) }
                    h3 { "What it needs" }
                    (bill(c))
                    h3 { "Tightest" }
                    ul.tight {
                        @for f in tightest(c) {
                            li { a href=(margins::link(&p.tag, &c.id, f)) { (f.title) } (margins::bar(&f.margin)) span.figures { (margin_text(&f.margin)) } }
                        }
                    }
                    p { a href=(at(&p.tag, &format!("/findings?candidate={}", part_of_path(&c.id)))) { "All findings of it" } }
                    @if i > 0 || p.chosen_by.is_none() {
                        form.stack method="post" action=(at(&p.tag, "/replacement")) {
                            input type="hidden" name="candidate" value=(c.id);
                            label { "Name" input name="by" required maxlength="80" autocomplete="name" value=(ask.who); }
                            button type="submit" { "Choose " (c.code) ", " (c.duty) }
                        }
                    }
                }
            }
        }
    };
    let json = ask.twin(|| {
        json!({ "tag": p.tag, "currency": answered.currency(), "chosen": p.chosen, "chosen_by": p.chosen_by, "counts": counts, "candidates": p.candidates })
    });
    Ok(answered.page(Tab::Replacement, "replacement", body, json))
}

/// The measured findings of a candidate with the lowest margins.
fn tightest(candidate: &dossier::Candidate) -> Vec<&dossier::Finding> {
    let measured = |f: &&dossier::Finding| f.margin.low.is_some() && !f.margin.unit.is_empty() && f.severity != "nuisance";
    let mut tight: Vec<&dossier::Finding> = candidate.findings.iter().filter(measured).collect();
    tight.sort_by(|a, b| a.margin.low.unwrap_or(f64::MAX).total_cmp(&b.margin.low.unwrap_or(f64::MAX)));
    tight.truncate(TIGHTEST);
    tight
}

pub(crate) fn choose(desk: &Desk, ask: &Ask) -> Result<View, Trouble> {
    let by = who(ask.field("by")).map_err(Trouble::unusable)?;
    let _turn = desk.one_at_a_time();
    let now = desk.now()?;
    let (tag, candidate) = (ask.part("tag"), ask.field("candidate"));
    if now.folder.position(tag).is_none() {
        return Err(super::answer::no_position(&now, tag));
    }
    if !now.folder.packs.iter().flat_map(findings::candidate::Candidate::all).any(|c| c.id() == candidate) {
        return Err(Trouble::unusable(format!("no pack has a candidate “{candidate}”")));
    }
    let chosen =
        Chosen { tag: tag.to_owned(), candidate: candidate.to_owned(), by: by.clone(), on: now.date.to_string(), place: Place::default() };
    let mut draft = Draft::of(&now.folder, "decisions.toml");
    let text = packs::choose(&draft.source(), &chosen).map_err(|p| Trouble::unusable(p.to_string()))?;
    draft.step(&format!("{tag} chose {candidate}"), text);
    if let Some(problem) = draft.came(|s| packs::read_decisions(s).problems).first() {
        return Err(Trouble::unusable(problem.to_string()));
    }
    desk.write(&draft, &by)?;
    Ok(View::Go { to: at(tag, "/replacement"), json: json!({ "chosen": candidate, "by": by }), cookies: vec![("who", by)] })
}
