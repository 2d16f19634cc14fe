//! The survey of a position as a form: every fact as value, range, possibilities or unknown, with free units, origin and proof.

use std::collections::BTreeMap;

use hyper::StatusCode;
use job::phrase::assumption_text;
use maud::{Markup, html};
use packs::text::{fact_id, fact_text, parse_fact_of};
use packs::{Source, TEXTS};
use plant::choice::{Choice, OriginKind};
use plant::fact::{Fact, Known, Origin, Place};
use plant::position::Position;
use plant::quantity::System;
use plant::survey::{DUTY_COLUMNS, FACTS, FactDef, FactId, Kind, duty_cell};
use serde_json::{Value, json};

use super::answer::no_position;
use super::proof::{is_proof, link};
use crate::answers::Now;
use crate::ask::Ask;
use crate::change::{Draft, who};
use crate::server::Desk;
use crate::view::{Page, Tab, Trouble, View, at, place};

const DECISIONS: &str = "decisions.toml";

/// What was sent for one field and could not be taken.
#[derive(Clone, Debug, Default)]
struct Reply {
    value: String,
    /// What is wrong with it.
    wrong: Option<String>,
    /// What somebody else wrote meanwhile.
    theirs: Option<String>,
}

/// What was sent with a form that could not be taken as a whole.
#[derive(Debug, Default)]
struct Sent {
    fields: BTreeMap<String, Reply>,
    origin: BTreeMap<&'static str, Reply>,
}

impl Sent {
    fn is_fine(&self) -> bool {
        self.fields.values().chain(self.origin.values()).all(|r| r.wrong.is_none() && r.theirs.is_none())
    }
}

/// Where the value of a fact stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Stands {
    /// In the position's own file, or nowhere yet.
    Here,
    /// A later reading in decisions.toml stands over it; a change is a further reading.
    Reading,
}

/// A position's file with what is written in it.
struct Survey<'n> {
    now: &'n Now,
    position: &'n Position,
    joined: Position,
    written: BTreeMap<String, String>,
}

impl<'n> Survey<'n> {
    fn of(now: &'n Now, tag: &str) -> Result<Self, Trouble> {
        let position = now.folder.position(tag).ok_or_else(|| no_position(now, tag))?;
        let mut joined = position.clone();
        joined.inherit(&now.folder.site);
        let text = now.folder.text(&position.place.file).map_or("", |t| t);
        Ok(Self { now, position, joined, written: packs::written(&Source::new(position.place.file.clone(), text)) })
    }

    fn stands(&self, id: FactId) -> Stands {
        let read = |r: &packs::Reading| r.tag == self.position.tag && r.id == id;
        if self.now.folder.decisions.readings.iter().any(read) { Stands::Reading } else { Stands::Here }
    }

    fn system(&self) -> System {
        self.now.folder.site.units
    }

    /// What the form shows for a path: the text as it is written, "" for what is not.
    fn shown(&self, path: &str) -> String {
        match fact_id(path) {
            Ok(id) if self.stands(id) == Stands::Reading || path.starts_with("duty[") => self
                .position
                .fact(id)
                .filter(|f| !f.is_missing())
                .map_or_else(String::new, |f| fact_text(&f.known, plant::survey::def(id).kind, self.system())),
            _ => self.written.get(path).cloned().unwrap_or_default(),
        }
    }
}

/// One field of the form.
struct Row {
    id: FactId,
    path: String,
    def: &'static FactDef,
}

/// The facts of one table.
struct Group {
    table: String,
    rows: Vec<Row>,
}

/// The fields of a form, by table.
fn groups(position: &Position) -> Vec<Group> {
    let mut groups: Vec<Group> = Vec::new();
    for (def, id) in FACTS.iter().zip(0_u16..) {
        let row = Row { id: FactId(id), path: def.path.to_owned(), def };
        // A table whose facts stand apart in the list is one group all the same.
        match groups.iter_mut().find(|group| group.table == def.table()) {
            Some(group) => group.rows.push(row),
            None => groups.push(Group { table: def.table().to_owned(), rows: vec![row] }),
        }
    }
    for segment in 0..position.duty.len() {
        let cell = |(column, def): (usize, &'static FactDef)| Row {
            id: duty_cell(segment, column),
            path: format!("duty[{}].{}", segment + 1, def.key()),
            def,
        };
        groups.push(Group { table: format!("duty, segment {}", segment + 1), rows: DUTY_COLUMNS.iter().enumerate().map(cell).collect() });
    }
    groups
}

fn title(table: &str) -> String {
    match table {
        "old" => "Old drive".into(),
        "motor" => "Motor".into(),
        "load" => "Load".into(),
        "speed" => "Speed".into(),
        "stop" => "Stop".into(),
        "supply" => "Supply".into(),
        "conditions" => "Air and place".into(),
        "box" => "Box".into(),
        "conductors" => "Conductors at the drive".into(),
        "network" => "Network".into(),
        "scheme" => "Start, stop and safety".into(),
        other => {
            let mut letters = other.chars();
            letters.next().map_or_else(String::new, |c| c.to_uppercase().chain(letters).collect())
        }
    }
}

pub(crate) fn show(desk: &Desk, ask: &Ask) -> Result<View, Trouble> {
    let now = desk.now()?;
    page(desk, &now, ask, ask.part("tag"), &Sent::default(), StatusCode::OK)
}

fn page(desk: &Desk, now: &Now, ask: &Ask, tag: &str, sent: &Sent, status: StatusCode) -> Result<View, Trouble> {
    let survey = Survey::of(now, tag)?;
    let answer = now.hindered(survey.position).is_none().then(|| desk.answers.of(now, survey.position));
    let next: Vec<&str> = answer.iter().flat_map(|p| p.measure_next.iter().map(|r| r.fact.as_str())).collect();
    let groups = groups(survey.position);
    let missing = groups.iter().flat_map(|g| &g.rows).filter(|r| survey.joined.fact(r.id).is_none_or(Fact::is_missing)).count();
    let all: usize = groups.iter().map(|g| g.rows.len()).sum();
    let body = html! {
        div.head {
            h1 { (tag) " " span.machine { (survey.position.machine) } }
            p {
                (all - missing) " of " (all) " facts are known. "
                @if let Some(first) = answer.as_ref().and_then(|p| p.candidates.first()) { (crate::view::verdict(job::phrase::standing(first))) " " (first.id) }
                @if let Some(problem) = now.hindered(survey.position) { "Nothing is worked out while a file has mistakes: " (problem.to_string()) }
            }
            p.sub { "File: " (place(&format!("{}:1", survey.position.place.file))) }
        }
        @if !sent.is_fine() { p.wrong role="alert" { "Nothing was written. What is marked below could not be taken." } }
        @if !next.is_empty() {
            p { "Settles most: " @for (i, fact) in next.iter().take(5).enumerate() { @if i > 0 { ", " } a href={ "#" (fact) } { (fact) } } "." }
        }
        p { "A photograph or a scan as a proof? " a href="#proof" { "Keep it here" } "." }
        p.help { "Write a value with its unit (“52 A”, “40 hp”), a range (“20..60 m”), possibilities (“24 V | 120 V”), or “?”. Only people who are authorised on site open doors or measure with power on." }
        @if is_proof(ask.query("proof")) { p { "Kept as " a href=(link(ask.query("proof"))) { (ask.query("proof")) } "; it goes with what you save below." } }
        datalist #by-kind { @for word in OriginKind::INFO.words { option value=(word.word) {} } }
        form.survey method="post" action=(at(tag, "/found")) data-check="/check.json" autocapitalize="none" spellcheck="false" {
            (origin(ask, now, sent))
            section {
                h2 { "Plates and place" }
                @for path in TEXTS { (text_row(&survey, path, sent)) }
            }
            @for group in &groups {
                section {
                    h2 { (title(&group.table)) }
                    @for r in &group.rows { (row(&survey, r, sent, next.iter().position(|n| *n == r.path))) }
                    div.save { button type="submit" { "Save what was changed" } }
                }
            }
            div.save { button.main type="submit" { "Save what was changed" } }
        }
        section #proof {
            h2 { "Keep a proof" }
            p.help { "A photograph of a plate or a scan of a sheet, JPEG, PNG, WebP or PDF. Save what you typed above first. It is kept below evidence/, and its name then stands in the field “Proof” above, for the readings that it shows." }
            form.filter method="post" action=(at(tag, "/proof")) enctype="multipart/form-data" {
                label { "Photograph or scan" input type="file" name="proof" required accept="image/jpeg,image/png,image/webp,application/pdf"; }
                label { "Name" input name="by" required maxlength="80" autocomplete="name" value=(ask.who); }
                button type="submit" { "Keep it" }
            }
        }
    };
    let facts: BTreeMap<&str, Value> =
        groups.iter().flat_map(|g| &g.rows).map(|r| (r.path.as_str(), fact_json(&survey, r.id, r.def))).collect();
    let replies = sent.fields.iter().map(|(k, r)| (k.as_str(), r)).chain(sent.origin.iter().map(|(k, r)| (*k, r)));
    let refused: BTreeMap<&str, Value> =
        replies.map(|(k, r)| (k, json!({ "value": r.value, "wrong": r.wrong, "theirs": r.theirs }))).collect();
    let json = json!({ "tag": tag, "file": &*survey.position.place.file, "facts": facts, "refused": refused, "measure_next": answer.as_ref().map(|p| &p.measure_next) });
    Ok(View::Page(Box::new(Page {
        status,
        title: format!("{tag} as found"),
        position: Some((tag.to_owned(), Tab::Found)),
        body,
        json,
        stamp: now.folder.stamp,
    })))
}

fn fact_json(survey: &Survey<'_>, id: FactId, def: &FactDef) -> Value {
    let fact = survey.joined.fact(id).filter(|f| !f.is_missing());
    json!({
        "label": def.label, "kind": def.kind.name(), "effort": def.effort as u8,
        "value": fact.map(|f| fact_text(&f.known, def.kind, survey.system())),
        "from": fact.and_then(|f| f.origin.kind).map(Choice::word), "by": fact.and_then(|f| f.origin.by.clone()),
        "on": fact.and_then(|f| f.origin.on.clone()), "proof": fact.and_then(|f| f.origin.proof.clone()),
        "place": fact.map(|f| f.origin.place.to_string()), "while_unknown": assumption_text(def), "because": def.because,
    })
}

/// How the readings of this save are known: one origin for all of them.
fn origin(ask: &Ask, now: &Now, sent: &Sent) -> Markup {
    let kept = |key: &str, otherwise: &str| sent.origin.get(key).map_or_else(|| otherwise.to_owned(), |r| r.value.clone());
    let wrong = |key: &str| sent.origin.get(key).and_then(|r| r.wrong.clone());
    let from = kept("from", "");
    html! {
        fieldset.origin {
            legend { "How these readings are known" }
            label { "Known from"
                select name="from" {
                    option value="" selected[from.is_empty()] { "not said" }
                    @for word in OriginKind::INFO.words { option value=(word.word) selected[from == word.word] { (word.word) } }
                }
            }
            label { "By" input name="by" autocomplete="name" autocapitalize="words" required maxlength="80" value=(kept("by", &ask.who)); @if let Some(w) = wrong("by") { span.wrong { (w) } } }
            label { "On" input name="on" type="date" value=(kept("on", &now.date)); @if let Some(w) = wrong("on") { span.wrong { (w) } } }
            label { "Proof" input name="proof" placeholder="evidence/plate.jpg" maxlength="200" value=(kept("proof", ask.query("proof"))); }
        }
    }
}

fn text_row(survey: &Survey<'_>, path: &str, sent: &Sent) -> Markup {
    let (label, choices): (&str, Vec<&str>) = match path {
        "machine" => ("What it drives", Vec::new()),
        "old.series" => ("Old drive: series (name of its pack)", survey.now.folder.packs.iter().map(|s| s.id.as_str()).collect()),
        "old.code" => ("Old drive: type code on its plate", Vec::new()),
        "place.supply" => ("Supply", survey.now.folder.site.supplies.iter().map(|s| s.name.as_str()).collect()),
        _ => ("Box", survey.now.folder.site.boxes.iter().map(|b| b.named.name.as_str()).collect()),
    };
    let shown = survey.shown(path);
    let reply = sent.fields.get(path);
    html! {
        div.fact #(path) {
            label for={ "v:" (path) } { (label) span.sub { (path) } }
            div.entry {
                input id={ "v:" (path) } name={ "v:" (path) } value=(reply.map_or(&shown, |r| &r.value)) list=[(!choices.is_empty()).then(|| format!("l:{path}"))] maxlength="400" autocomplete="off";
                input type="hidden" name={ "w:" (path) } value=(reply.and_then(|r| r.theirs.as_ref()).unwrap_or(&shown));
                @if !choices.is_empty() { datalist id={ "l:" (path) } { @for c in choices { option value=(c) {} } } }
                (told(reply))
            }
        }
    }
}

fn told(reply: Option<&Reply>) -> Markup {
    html! {
        @if let Some(reply) = reply {
            @if let Some(wrong) = &reply.wrong { p.wrong role="alert" { (wrong) } }
            @if let Some(theirs) = &reply.theirs {
                p.wrong role="alert" {
                    "Changed meanwhile to " strong { @if theirs.is_empty() { "nothing" } @else { (theirs) } } ". Yours stands in the field and in the history. Save again to write it over theirs, or write both: “"
                    (theirs) " | " (reply.value) "”."
                }
            }
        }
    }
}

fn row(survey: &Survey<'_>, row: &Row, sent: &Sent, rank: Option<usize>) -> Markup {
    let Row { id, path, def } = row;
    let (id, path) = (*id, path.as_str());
    let shown = survey.shown(path);
    let reply = sent.fields.get(path);
    let fact = survey.joined.fact(id).filter(|f| !f.is_missing());
    let elsewhere = fact.filter(|f| f.origin.place.file != survey.position.place.file && survey.stands(id) == Stands::Here);
    let hint = match (elsewhere, def.kind) {
        (Some(f), kind) => fact_text(&f.known, kind, survey.system()),
        (None, Kind::Quantity(info)) => {
            info.units.iter().map(|u| u.symbol).filter(|s| !s.is_empty()).take(4).collect::<Vec<_>>().join(", ")
        }
        (None, Kind::Choice(_)) => "word".into(),
    };
    let words = if let Kind::Choice(info) = def.kind { info.words } else { &[] };
    html! {
        div.fact #(path) data-missing[fact.is_none()] {
            label for={ "v:" (path) } { (def.label) span.sub { (path) @if let Some(rank) = rank { " · " strong { "settles most, no. " (rank + 1) } } } }
            div.entry {
                input id={ "v:" (path) } name={ "v:" (path) } value=(reply.map_or(&shown, |r| &r.value)) placeholder=(hint) list=[(!words.is_empty()).then(|| format!("l:{path}"))] maxlength="400" autocomplete="off" aria-describedby={ "d:" (path) };
                input type="hidden" name={ "w:" (path) } value=(reply.and_then(|r| r.theirs.as_ref()).unwrap_or(&shown));
                @if !words.is_empty() { datalist id={ "l:" (path) } { @for w in words { option value=(w.word) { (w.doc) } } } }
                p.sub id={ "d:" (path) } {
                    @match fact {
                        Some(fact) => { (origin_text(fact)) @if let Some(p) = fact.origin.proof.as_deref().filter(|p| is_proof(p)) { a href=(link(p)) aria-label={ "Proof of " (def.label) } { "see it" } "; " } (place(&fact.origin.place.to_string()))
                            @if elsewhere.is_some() { "; a value here holds for this position alone" }
                            @if survey.stands(id) == Stands::Reading { "; a change becomes a further reading" } }
                        None => { "While unknown: " (assumption_text(def)) " (" (def.because) "). " (def.effort.words()) "." }
                    }
                    @if !words.is_empty() { " Words: " (words.iter().map(|w| w.word).collect::<Vec<_>>().join(", ")) "." }
                }
                (told(reply))
            }
        }
    }
}

fn origin_text(fact: &Fact) -> String {
    let o = &fact.origin;
    let parts = [o.kind.map(|k| k.word().to_owned()), o.by.clone(), o.on.clone(), o.proof.clone()];
    let text: Vec<String> = parts.into_iter().flatten().collect();
    if text.is_empty() { String::new() } else { text.join(", ") + "; " }
}

pub(crate) fn save(desk: &Desk, ask: &Ask) -> Result<View, Trouble> {
    let tag = ask.part("tag");
    let _turn = desk.one_at_a_time();
    let now = desk.now()?;
    let survey = Survey::of(&now, tag)?;
    let mut sent = Sent::default();
    let by = who(ask.field("by"));
    let mut refuse = |key: &'static str, wrong: Option<String>| {
        sent.origin.insert(key, Reply { value: ask.field(key).to_owned(), wrong, theirs: None });
    };
    refuse("by", by.as_ref().err().cloned());
    let kind = OriginKind::from_word(ask.field("from"));
    refuse("from", (kind.is_none() && !ask.field("from").is_empty()).then(|| "this is none of the words".to_owned()));
    refuse("on", None);
    refuse("proof", None);
    let given = |key: &str| Some(ask.field(key).to_owned()).filter(|t| !t.is_empty());
    let origin = Origin { kind, by: by.clone().ok(), on: given("on"), proof: given("proof"), place: Place::default() };
    let mut wanted: Vec<(&str, &str)> = Vec::new();
    for (key, value) in &ask.form {
        let Some(path) = key.strip_prefix("v:") else { continue };
        let (value, was) = (value.trim(), ask.field(&format!("w:{path}")));
        if value == was {
            continue;
        }
        let shown = survey.shown(path);
        if shown == value {
            continue;
        }
        let mut reply = Reply { value: value.to_owned(), ..Reply::default() };
        reply.wrong = wrong_value(path, value);
        reply.theirs = (shown != was).then_some(shown);
        sent.fields.insert(path.to_owned(), reply);
        wanted.push((path, value));
    }
    if sent.is_fine() {
        let mut drafts = [Draft::of(&now.folder, &survey.position.place.file), Draft::of(&now.folder, DECISIONS)];
        for (path, value) in &wanted {
            if let Err(problem) = put(&survey, &mut drafts, path, value, &origin)
                && let Some(reply) = sent.fields.get_mut(*path)
            {
                reply.wrong = Some(with_help(problem.message.trim_start_matches(&format!("{path}: ")), &problem.help));
            }
        }
        let came =
            drafts[0].came(|s| packs::read_position(s).problems).into_iter().chain(drafts[1].came(|s| packs::read_decisions(s).problems));
        for problem in came {
            let about =
                wanted.iter().find(|(path, _)| problem.message.contains(path.rsplit('.').next().unwrap_or(path))).or(wanted.first());
            if let Some(reply) = about.and_then(|(path, _)| sent.fields.get_mut(*path)) {
                reply.wrong = Some(with_help(&problem.message, &problem.help));
            }
        }
        if sent.is_fine() {
            let by = by.unwrap_or_default();
            let mut written = 0;
            for draft in &drafts {
                written += desk.write(draft, &by)?;
            }
            let json = json!({ "written": written, "facts": wanted.iter().map(|(path, _)| path).collect::<Vec<_>>() });
            return Ok(View::Go { to: at(tag, &format!("/found?written={written}")), json, cookies: vec![("who", by)] });
        }
    }
    let conflict = sent.fields.values().any(|r| r.theirs.is_some());
    for (path, reply) in sent.fields.iter().filter(|(_, r)| r.theirs.is_some()) {
        // What somebody wanted is kept, even if the window is shut now.
        let hunk = packs::Hunk { line: 0, old: reply.theirs.clone().unwrap_or_default(), new: reply.value.clone() };
        desk.note(ask.field("by"), &survey.position.place.file, path, hunk, false)?;
    }
    let status = if conflict { StatusCode::CONFLICT } else { StatusCode::UNPROCESSABLE_ENTITY };
    page(desk, &*desk.now()?, ask, tag, &sent, status)
}

/// What is wrong with a value for a path; nothing where it is fine.
fn wrong_value(path: &str, value: &str) -> Option<String> {
    if TEXTS.contains(&path) {
        return value.chars().any(char::is_control).then(|| "one line, without control characters".to_owned());
    }
    let read =
        fact_id(path).and_then(|id| if value.is_empty() { Ok(Known::Missing) } else { parse_fact_of(value, plant::survey::def(id)) });
    read.err().map(|wrong| with_help(&wrong.message, &wrong.help))
}

fn with_help(message: &str, help: &str) -> String {
    if help.is_empty() { message.to_owned() } else { format!("{message}; {help}") }
}

fn put(survey: &Survey<'_>, drafts: &mut [Draft; 2], path: &str, value: &str, origin: &Origin) -> Result<(), packs::Problem> {
    let [own, decisions] = drafts;
    if TEXTS.contains(&path) {
        let text = packs::set_text(&own.source(), path, value)?;
        own.step(path, text);
        return Ok(());
    }
    let reading = fact_id(path).is_ok_and(|id| survey.stands(id) == Stands::Reading);
    if reading && !matches!(value, "" | "?") {
        let text = packs::add_reading(&decisions.source(), &survey.position.tag, path, value, origin)?;
        decisions.step(&format!("{} {path}", survey.position.tag), text);
        return Ok(());
    }
    let value = if value.is_empty() { "?" } else { value };
    // "?" has no origin: nothing was found out.
    let told = Some(origin).filter(|_| value != "?");
    let text = packs::record(&own.source(), path, value, told)?;
    own.step(path, text);
    Ok(())
}

/// Whether a text can stand for a fact, asked while it is typed.
pub(crate) fn check(desk: &Desk, ask: &Ask) -> Result<View, Trouble> {
    let (path, value) = (ask.query("fact"), ask.query("value"));
    if TEXTS.contains(&path) || value.is_empty() {
        return Ok(View::Json(json!({ "fine": true })));
    }
    let id = match fact_id(path) {
        Ok(id) => id,
        Err(wrong) => return Err(Trouble::missing(with_help(&wrong.message, &wrong.help))),
    };
    let def = plant::survey::def(id);
    let system = desk.now()?.folder.site.units;
    Ok(View::Json(match parse_fact_of(value, def) {
        Ok(known) => json!({ "fine": true, "reads": fact_text(&known, def.kind, system) }),
        Err(wrong) => json!({ "fine": false, "message": wrong.message, "help": wrong.help }),
    }))
}
