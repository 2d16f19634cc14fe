//! `assess`: every position of a site against the packs that may replace.

use std::io::{self, IsTerminal, Write};
use std::path::PathBuf;
use std::time::Duration;

use clap::Args;
use dossier::Dossier;
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use job::assess::{Input, assess_site};
use serde_json::json;

use crate::disk::{self, Loaded};
use crate::problems::Failure;
use crate::{Common, End, date, say, show};

/// Candidates shown per position unless told otherwise.
pub(crate) const SHOWN: usize = 4;

/// What to assess and how much to show.
#[derive(Args, Debug)]
pub(crate) struct Options {
    /// Site folder.
    site: PathBuf,
    /// Only this position.
    #[arg(long, value_name = "TAG")]
    position: Option<String>,
    /// How many candidates to show per position.
    #[arg(long, value_name = "N", default_value_t = SHOWN)]
    candidates: usize,
    /// Print the working of every finding of the first candidate, step by step.
    #[arg(long)]
    working: bool,
}

pub(crate) fn run(options: &Options, common: &Common) -> Result<End, Failure> {
    let loaded = load(&options.site, common)?;
    let only = options.position.as_deref();
    let dossier = dossier_of(&loaded, only, options.candidates, common)?;
    print(&dossier, &loaded, options.working, common)
}

/// Reads a site; prints its problems and refuses to go on with errors.
pub(crate) fn load(site: &std::path::Path, common: &Common) -> Result<Loaded, Failure> {
    let loaded = disk::load_site(site)?;
    if loaded.found.has_errors() && common.json {
        crate::say::line(format_args!("{}", json!({ "problems": loaded.found.json() })))?;
        return Err(Failure::Problems);
    }
    if !common.json {
        loaded.found.print();
    }
    if loaded.found.has_errors() { Err(Failure::Problems) } else { Ok(loaded) }
}

/// Assesses a loaded site, all of it or one position.
pub(crate) fn dossier_of(loaded: &Loaded, only: Option<&str>, shown: usize, common: &Common) -> Result<Dossier, Failure> {
    if let Some(tag) = only.filter(|tag| loaded.positions.iter().all(|p| p.tag != *tag)) {
        return Err(no_such_position(loaded, tag));
    }
    let date = common.date.clone().unwrap_or_else(date::today);
    let Loaded { site, positions, packs, decisions, .. } = loaded;
    let input = Input { site, positions, only, packs, decisions, date: &date, shown };
    let bar = progress(if only.is_some() { 1 } else { positions.len() as u64 });
    let dossier = assess_site(input, &|tag| {
        bar.set_message(tag.to_owned());
        bar.inc(1);
    });
    bar.finish_and_clear();
    Ok(dossier)
}

/// The error for a tag that the site does not have, with the nearest one.
pub(crate) fn no_such_position(loaded: &Loaded, tag: &str) -> Failure {
    let tags: Vec<&str> = loaded.positions.iter().map(|p| p.tag.as_str()).collect();
    Failure::Usage(format!("the site has no position “{tag}”; it has {}", tags.join(", ")))
}

/// A progress line on standard error, for people only.
pub(crate) fn progress(positions: u64) -> ProgressBar {
    let target = if io::stderr().is_terminal() { ProgressDrawTarget::stderr() } else { ProgressDrawTarget::hidden() };
    let bar = ProgressBar::with_draw_target(Some(positions), target);
    if let Ok(style) = ProgressStyle::with_template("{pos}/{len} positions {wide_bar} {msg}") {
        bar.set_style(style);
    }
    bar.enable_steady_tick(Duration::from_millis(200));
    bar
}

/// Tells a person at a terminal that one long piece of work goes on, until it is cleared.
pub(super) fn busy(what: &'static str) -> ProgressBar {
    let target = if io::stderr().is_terminal() { ProgressDrawTarget::stderr() } else { ProgressDrawTarget::hidden() };
    let bar = ProgressBar::with_draw_target(None, target).with_style(ProgressStyle::default_spinner()).with_message(what);
    bar.enable_steady_tick(Duration::from_millis(200));
    bar
}

/// Prints a dossier and tells how it came out.
pub(crate) fn print(dossier: &Dossier, loaded: &Loaded, working: bool, common: &Common) -> Result<End, Failure> {
    let mut out = say::out();
    if common.json {
        let mut value = json!(dossier);
        value["problems"] = loaded.found.json();
        serde_json::to_writer_pretty(&mut out, &value).map_err(io::Error::from)?;
        writeln!(out)?;
    } else {
        show::dossier(&mut out, dossier, working)?;
    }
    out.flush()?;
    let settled = dossier.positions.iter().all(|p| p.verdict == "holds");
    Ok(if settled { End::Good } else { End::Unsettled })
}
