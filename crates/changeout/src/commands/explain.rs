//! `explain`: the page of a finding, or the entry of a concept, a fact, a caution.

use std::io::{self, Write};

use findings::caution::CAUTIONS;
use findings::registry::CHECKS;
use job::phrase::assumption_text;
use plant::survey::{FACTS, FactDef, Kind};
use plant::vocabulary;
use serde_json::{Value, json};

use crate::problems::Failure;
use crate::{Common, End, say};

pub(crate) fn run(name: Option<&str>, common: &Common) -> Result<End, Failure> {
    let mut out = say::out();
    match name {
        None if common.json => writeln!(out, "{:#}", all())?,
        None => list(&mut out)?,
        Some(name) => {
            let (text, value) = entry(name)?;
            if common.json { writeln!(out, "{value:#}")? } else { writeln!(out, "{}", text.trim_end())? }
        }
    }
    out.flush()?;
    Ok(End::Good)
}

/// An entry as text and as JSON.
fn entry(name: &str) -> Result<(String, Value), Failure> {
    if let Some(check) = findings::registry::find(name) {
        return Ok((format!("{}\n\nName: {} · severity: {}", check.page.trim_end(), check.name, check.severity.word()), finding(check)));
    }
    if let Some(concept) = vocabulary::find(name) {
        let mut text = format!("{} ({})\n\n{}\n\nTrap: {}", concept.term, concept.id, concept.definition, concept.trap);
        if !concept.standard.is_empty() {
            text.push_str(&format!("\n\nIn open standards: {}", concept.standard));
        }
        return Ok((text, self::concept(concept)));
    }
    if let Some(def) = FACTS.iter().find(|f| f.path == name) {
        let text = format!(
            "{} ({})\n\n{}\nEffort: {} ({})\nWhile unknown: {}\nWhy: {}",
            def.label,
            def.path,
            kind_text(def),
            def.effort as u8,
            def.effort.words(),
            assumption_text(def),
            def.because
        );
        return Ok((text, fact(def)));
    }
    if let Some(caution) = CAUTIONS.iter().find(|c| c.hazard.eq_ignore_ascii_case(name) || name.len() == 1 && name.starts_with(c.letter)) {
        return Ok((format!("{}\n\n{}", caution.hazard, caution.text), json!({ "hazard": caution.hazard, "text": caution.text })));
    }
    let names = CHECKS.iter().map(|c| c.name).chain(vocabulary::concepts().map(|c| c.id)).chain(FACTS.iter().map(|f| f.path));
    let nearest = names.min_by_key(|n| strsim::damerau_levenshtein(n, name)).unwrap_or_default();
    Err(Failure::Usage(format!("nothing is called “{name}”; did you mean “{nearest}”? changeout explain lists all names")))
}

fn finding(check: &findings::check::Check) -> Value {
    json!({
        "name": check.name, "kind": "finding", "title": check.title(), "severity": check.severity.word(), "unit": check.unit,
        "sections": findings::check::HEADINGS.iter().map(|h| (*h, check.section(h))).collect::<std::collections::BTreeMap<_, _>>(),
    })
}

fn concept(concept: &vocabulary::Concept) -> Value {
    json!({
        "name": concept.id, "kind": "concept", "term": concept.term, "standard": concept.standard, "definition": concept.definition,
        "trap": concept.trap,
    })
}

fn fact(def: &FactDef) -> Value {
    json!({
        "name": def.path, "kind": "fact", "label": def.label, "of": def.kind.name(), "effort": def.effort as u8,
        "effort_words": def.effort.words(), "while_unknown": assumption_text(def), "because": def.because,
    })
}

fn kind_text(def: &FactDef) -> String {
    match def.kind {
        Kind::Quantity(info) => {
            let units: Vec<&str> = info.units.iter().map(|u| u.symbol).filter(|s| !s.is_empty()).collect();
            format!("A quantity: {}{}", info.name, if units.is_empty() { String::new() } else { format!(", in {}", units.join(", ")) })
        }
        Kind::Choice(info) => {
            let words: Vec<String> = info.words.iter().map(|w| format!("\n  {}: {}", w.word, w.doc)).collect();
            format!("One of these words:{}", words.concat())
        }
    }
}

fn all() -> Value {
    json!({
        "findings": CHECKS.iter().map(|c| finding(c)).collect::<Vec<_>>(),
        "concepts": vocabulary::concepts().map(concept).collect::<Vec<_>>(),
        "facts": FACTS.iter().map(fact).collect::<Vec<_>>(),
        "cautions": CAUTIONS.iter().map(|c| json!({ "hazard": c.hazard, "text": c.text })).collect::<Vec<_>>(),
    })
}

fn list(out: &mut impl Write) -> io::Result<()> {
    writeln!(out, "Findings")?;
    for check in CHECKS {
        writeln!(out, "  {:<38} {}", check.name, check.title())?;
    }
    writeln!(out, "\nFacts of a survey")?;
    for def in FACTS {
        writeln!(out, "  {:<38} {}", def.path, def.label)?;
    }
    writeln!(out, "\nConcepts")?;
    for concept in vocabulary::concepts() {
        writeln!(out, "  {:<38} {}", concept.id, concept.term)?;
    }
    Ok(())
}
