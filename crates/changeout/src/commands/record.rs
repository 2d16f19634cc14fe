//! `record`, `accept`, `choose`: write one thing into a file of the site, keeping its comments and order.

use std::path::{Path, PathBuf};

use clap::Args;
use packs::{Problem, Source};
use plant::choice::{Choice, OriginKind};
use plant::decision::{Accepted, Chosen};
use plant::fact::{Origin, Place};

use super::assess;
use crate::disk::{read_text, write_atomically};
use crate::problems::{Failure, Found};
use crate::{Common, End, date, say};

/// A reading for a position's file.
#[derive(Args, Debug)]
pub(crate) struct Record {
    /// Site folder.
    site: PathBuf,
    /// Tag of the position.
    tag: String,
    /// Which fact: "load.current".
    fact: String,
    /// Its value: "52 A", "20..60 m", "solid | ungrounded", "?".
    value: String,
    /// How it is known: nameplate, photo, measured, drawing, said, assumed.
    #[arg(long)]
    from: Option<String>,
    /// Who found it out.
    #[arg(long)]
    by: Option<String>,
    /// When (YYYY-MM-DD).
    #[arg(long)]
    on: Option<String>,
    /// What proves it: a file or drawing.
    #[arg(long)]
    proof: Option<String>,
}

/// A finding that a named person takes on.
#[derive(Args, Debug)]
pub(crate) struct Accept {
    /// Site folder.
    site: PathBuf,
    /// Tag of the position.
    tag: String,
    /// Name of the finding.
    finding: String,
    /// Who takes it on.
    #[arg(long)]
    by: String,
    /// Why.
    #[arg(long)]
    reason: String,
}

/// A candidate that a named person chose.
#[derive(Args, Debug)]
pub(crate) struct Choose {
    /// Site folder.
    site: PathBuf,
    /// Tag of the position.
    tag: String,
    /// The candidate: "series/code/duty".
    candidate: String,
    /// Who chose it.
    #[arg(long)]
    by: String,
}

pub(crate) fn record(options: &Record, common: &Common) -> Result<End, Failure> {
    let kind = match options.from.as_deref() {
        None => None,
        Some(word) => match OriginKind::from_word(word) {
            Some(kind) => Some(kind),
            None => {
                let words: Vec<&str> = OriginKind::INFO.words.iter().map(|w| w.word).collect();
                return Err(Failure::Usage(format!("--from “{word}” is none of {}", words.join(", "))));
            }
        },
    };
    if let Some(on) = options.on.as_deref().filter(|on| !date::is_date(on)) {
        return Err(Failure::Usage(format!("--on “{on}” is no date; write it as 2026-03-31")));
    }
    let origin = Origin { kind, by: options.by.clone(), on: options.on.clone(), proof: options.proof.clone(), place: Place::default() };
    let given = (origin != Origin::default()).then_some(&origin);
    let loaded = crate::disk::load_site(&options.site)?;
    let Some(position) = loaded.positions.iter().find(|p| p.tag == options.tag) else {
        return Err(assess::no_such_position(&loaded, &options.tag));
    };
    let path = loaded.path_of(&position.place.file);
    change(
        &path,
        |source| packs::record(source, &options.fact, &options.value, given),
        |source| packs::read_position(source).problems,
        common,
    )
}

pub(crate) fn accept(options: &Accept, common: &Common) -> Result<End, Failure> {
    let loaded = assess::load(&options.site, common)?;
    if !loaded.positions.iter().any(|p| p.tag == options.tag) {
        return Err(assess::no_such_position(&loaded, &options.tag));
    }
    if findings::registry::find(&options.finding).is_none() {
        return Err(Failure::Usage(format!("there is no finding “{}”; changeout explain lists them", options.finding)));
    }
    let accepted = Accepted {
        tag: options.tag.clone(),
        finding: options.finding.clone(),
        by: options.by.clone(),
        reason: options.reason.clone(),
        on: common.date.clone().unwrap_or_else(date::today),
        place: Place::default(),
    };
    change(
        &options.site.join("decisions.toml"),
        |source| packs::accept(source, &accepted),
        |source| packs::read_decisions(source).problems,
        common,
    )
}

pub(crate) fn choose(options: &Choose, common: &Common) -> Result<End, Failure> {
    let loaded = assess::load(&options.site, common)?;
    if !loaded.positions.iter().any(|p| p.tag == options.tag) {
        return Err(assess::no_such_position(&loaded, &options.tag));
    }
    let known: Vec<String> = loaded.packs.iter().flat_map(findings::candidate::Candidate::all).map(|c| c.id()).collect();
    if !known.contains(&options.candidate) {
        let nearest = known.into_iter().min_by_key(|id| strsim::damerau_levenshtein(id, &options.candidate)).unwrap_or_default();
        return Err(Failure::Usage(format!("no pack has a candidate “{}”; did you mean “{nearest}”?", options.candidate)));
    }
    let chosen = Chosen {
        tag: options.tag.clone(),
        candidate: options.candidate.clone(),
        by: options.by.clone(),
        on: common.date.clone().unwrap_or_else(date::today),
        place: Place::default(),
    };
    change(
        &options.site.join("decisions.toml"),
        |source| packs::choose(source, &chosen),
        |source| packs::read_decisions(source).problems,
        common,
    )
}

/// Reads a file, edits its text, writes it back in one step, and tells so; but not when `read` then finds a mistake that was not there
/// before: then that is told.
pub(super) fn change(
    path: &Path,
    edit: impl FnOnce(&Source) -> Result<String, Problem>,
    read: impl Fn(&Source) -> Vec<Problem>,
    common: &Common,
) -> Result<End, Failure> {
    if !write(path, edit, read, common)? {
        return Ok(End::BadInput);
    }
    if common.json {
        say::line(serde_json::json!({ "written": path }))?;
    } else {
        say::line(format_args!("wrote {}", path.display()))?;
    }
    Ok(End::Good)
}

/// The same without a word when it went well; `false` when the file was left as it was, which is told by then.
pub(super) fn write(
    path: &Path,
    edit: impl FnOnce(&Source) -> Result<String, Problem>,
    read: impl Fn(&Source) -> Vec<Problem>,
    common: &Common,
) -> Result<bool, Failure> {
    let text = if path.exists() { read_text(path)? } else { format!("schema = {}\n", packs::SCHEMA) };
    let name = path.display().to_string();
    let source = Source::new(name.as_str(), text);
    let edited =
        edit(&source).map(|new| Source::new(name.as_str(), new)).map_err(|problem| (source.clone(), vec![problem])).and_then(|new| {
            let before = read(&source);
            let came: Vec<Problem> =
                read(&new).into_iter().filter(|p| p.is_error() && !before.iter().any(|b| b.message == p.message)).collect();
            if came.is_empty() { Ok(new) } else { Err((new, came)) }
        });
    match edited {
        Ok(new) => {
            write_atomically(path, new.text())?;
            Ok(true)
        }
        Err((source, problems)) => {
            let found = Found { problems, texts: vec![(source.name().clone(), source.text().into())] };
            if common.json {
                say::line(serde_json::json!({ "problems": found.json() }))?;
            } else {
                found.print();
            }
            Ok(false)
        }
    }
}
