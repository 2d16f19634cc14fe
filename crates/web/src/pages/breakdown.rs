//! Breakdown: from two nameplates to a bounded answer, with as few questions as decide it. Everything else stays a range.

use hyper::StatusCode;
use maud::{Markup, html};
use packs::Source;
use packs::text::{fact_id, parse_fact_of};
use plant::choice::OriginKind;
use plant::fact::{Origin, Place};
use plant::survey::{Kind, def};
use serde_json::json;

use crate::answers::Now;
use crate::ask::Ask;
use crate::change::{Draft, who};
use crate::server::Desk;
use crate::view::{Page, Trouble, View, at};

/// Facts that are asked for, plates first; with those of the head ten to fifteen fields.
const ASKED: &[&str] = &[
    "old.rated_current",
    "motor.power",
    "motor.voltage",
    "motor.frequency",
    "motor.speed",
    "motor.current",
    "load.kind",
    "speed.highest",
    "stop.need",
    "supply.grounding",
];

/// Texts that are asked for.
const TEXTS: &[(&str, &str)] = &[
    ("machine", "What it drives"),
    ("old.series", "Old drive: series (its pack, if there is one)"),
    ("old.code", "Old drive: type code on its plate"),
];

/// A field that was sent and is wrong.
type Wrong = Vec<(String, String)>;

pub(crate) fn show(desk: &Desk, ask: &Ask) -> Result<View, Trouble> {
    page(&*desk.now()?, ask, &Vec::new(), StatusCode::OK)
}

fn page(now: &Now, ask: &Ask, wrong: &Wrong, status: StatusCode) -> Result<View, Trouble> {
    let told = |key: &str| -> Markup {
        html! { @for (_, text) in wrong.iter().filter(|(k, _)| k == key) { span.wrong role="alert" { (text) } } }
    };
    let input = |key: &str, label: &str, sub: &str, words: &[&str], required: bool| -> Markup {
        html! {
            label.big {
                span { (label) @if !sub.is_empty() { span.sub { (sub) } } }
                input name=(key) value=(ask.field(key)) required[required] maxlength="400" autocomplete=(if key == "by" { "name" } else { "off" }) list=[(!words.is_empty()).then(|| format!("l-{key}"))];
                @if !words.is_empty() { datalist id={ "l-" (key) } { @for w in words { option value=(w) {} } } }
                (told(key))
            }
        }
    };
    let series: Vec<&str> = now.folder.packs.iter().map(|s| s.id.as_str()).collect();
    let body = html! {
        h1 { "Breakdown" }
        p { "What the two nameplates say. Leave out what nobody can read now: it stays a range, and the answer says what to read next." }
        p.remark { "A dark display proves nothing: the DC bus may be charged. Nobody opens a door for this form; photographs through it or by telephone do." }
        form.stack.breakdown method="post" action="/breakdown" autocapitalize="none" spellcheck="false" {
            (input("tag", "Tag of the position", "its file is named so", &[], true))
            (input("by", "Your name", "", &[], true))
            @for (key, label) in TEXTS { (input(key, label, "", if *key == "old.series" { &series } else { &[] }, false)) }
            @for path in ASKED {
                @if let Ok(id) = fact_id(path) {
                    @match def(id).kind {
                        Kind::Choice(info) => (input(path, def(id).label, &info.words.iter().map(|w| w.word).collect::<Vec<_>>().join(" | "), &info.words.iter().map(|w| w.word).collect::<Vec<_>>(), false)),
                        Kind::Quantity(info) => (input(path, def(id).label, &info.units.iter().map(|u| u.symbol).filter(|s| !s.is_empty()).take(3).collect::<Vec<_>>().join(", "), &[], false)),
                    }
                }
            }
            div.save { button.main type="submit" { "Answer" } }
        }
    };
    let fields: Vec<&str> = ["tag", "by"].into_iter().chain(TEXTS.iter().map(|(key, _)| *key)).chain(ASKED.iter().copied()).collect();
    let json = json!({ "fields": fields, "wrong": wrong });
    Ok(View::Page(Box::new(Page { status, title: "Breakdown".into(), position: None, body, json, stamp: now.folder.stamp })))
}

pub(crate) fn save(desk: &Desk, ask: &Ask) -> Result<View, Trouble> {
    let _turn = desk.one_at_a_time();
    let now = desk.now()?;
    let mut wrong: Wrong = Vec::new();
    let by = who(ask.field("by")).unwrap_or_else(|why| {
        wrong.push(("by".into(), why));
        String::new()
    });
    let tag = ask.field("tag");
    if let Err(why) = super::add::new_tag(&now, tag) {
        wrong.push(("tag".into(), why));
    }
    for path in ASKED {
        let value = ask.field(path);
        if value.is_empty() {
            continue;
        }
        if let Err(why) = fact_id(path).and_then(|id| parse_fact_of(value, def(id))) {
            wrong.push(((*path).into(), format!("{} {}", why.message, why.help)));
        }
    }
    if !wrong.is_empty() {
        return page(&now, ask, &wrong, StatusCode::UNPROCESSABLE_ENTITY);
    }
    let new = packs::new_position(tag);
    let origin = Origin {
        kind: Some(OriginKind::Nameplate),
        by: Some(by.clone()),
        on: Some(now.date.to_string()),
        proof: None,
        place: Place::default(),
    };
    let mut text = new.text;
    let source = |text: &str| Source::new(new.path.as_str(), text);
    for (path, _) in TEXTS {
        text = packs::set_text(&source(&text), path, ask.field(path)).map_err(|p| Trouble::unusable(p.to_string()))?;
    }
    for path in ASKED.iter().filter(|p| !ask.field(p).is_empty()) {
        // Only what stands on a plate was read on one.
        let read = path.starts_with("motor.") || path.starts_with("old.");
        let told = Origin { kind: origin.kind.filter(|_| read).or(Some(OriginKind::Said)), ..origin.clone() };
        text = packs::record(&source(&text), path, ask.field(path), Some(&told).filter(|_| ask.field(path) != "?"))
            .map_err(|p| Trouble::unusable(p.to_string()))?;
    }
    let mut draft = Draft::of(&now.folder, &new.path);
    draft.step(&format!("{tag} added, breakdown"), text);
    if let Some(problem) = draft.came(|s| packs::read_position(s).problems).first() {
        return page(&now, ask, &vec![("tag".into(), problem.to_string())], StatusCode::UNPROCESSABLE_ENTITY);
    }
    desk.write(&draft, &by)?;
    Ok(View::Go { to: at(tag, ""), json: json!({ "added": tag }), cookies: vec![("who", by)] })
}
