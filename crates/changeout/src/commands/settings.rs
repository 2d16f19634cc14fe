//! `settings`: every setting of the old drive by its meaning, what to enter in the new one in which order, and what does not go together.

use std::io::{self, Write};
use std::path::{Path, PathBuf};

use clap::Args;
use dossier::settings::{Line, Settings};
use job::assess::old_series;
use plant::choice::{Choice, Duty};
use plant::product::{Rating, Series};
use serde_json::json;

use super::words::{Which, candidate_id, series_of, with_position};
use crate::disk::Loaded;
use crate::problems::Failure;
use crate::{Common, End, disk, say, show};

/// Which settings, and where to write.
#[derive(Args, Debug)]
pub(crate) struct Options {
    #[command(flatten)]
    which: Which,
    /// Print the sheet as CSV instead of text.
    #[arg(long, conflicts_with = "json")]
    csv: bool,
    /// Folder for the sheet, the load sequence and, where the new unit has an object dictionary, its configuration file (CiA 306);
    /// nothing is written without it.
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
}

pub(crate) fn run(options: &Options, common: &Common) -> Result<End, Failure> {
    with_position(&options.which, common, |input, loaded, position| {
        let id = candidate_id(&options.which, loaded, common)?;
        let series = series_of(&id, loaded)?;
        let rating = rating(&id, series)?;
        let mut answer =
            job::settings::settings(position, old_series(input, position), series, rating, loaded.site.units).map_err(Failure::Usage)?;
        if let Some(folder) = &options.out {
            answer.files = write(folder, &answer, input.date)?;
        }
        let mut out = say::out();
        if common.json {
            writeln!(out, "{:#}", json!(answer))?;
        } else if options.csv {
            write!(out, "{}", output::settings::sheet_csv(&answer))?;
        } else {
            print(&mut out, &answer, loaded, options.out.as_deref())?;
        }
        out.flush()?;
        let settled = |l: &Line| !matches!(l.outcome.as_str(), "out-of-range" | "needs-decision" | "no-counterpart");
        Ok(if answer.conflicts.is_empty() && answer.settings.iter().all(settled) { End::Good } else { End::Unsettled })
    })
}

/// The rating and duty class behind a candidate's name; `None` for a series alone.
fn rating<'l>(id: &str, series: &'l Series) -> Result<Option<(&'l Rating, Duty)>, Failure> {
    let mut parts = id.split('/').skip(1);
    let Some(code) = parts.next() else { return Ok(None) };
    let duty = parts.next().and_then(Duty::from_word);
    let found = series.ratings.iter().find(|r| r.code == code && duty.is_none_or(|d| d == r.duty));
    found.map(|r| Some((r, r.duty))).ok_or_else(|| Failure::Usage(format!("{} has no rating “{}”", series.name, id)))
}

fn write(folder: &Path, answer: &Settings, date: &str) -> Result<Vec<String>, Failure> {
    let mut names = Vec::new();
    for (name, text) in output::settings::files(answer, date) {
        disk::write_new(&folder.join(name), &text)?;
        names.push(name.to_owned());
    }
    Ok(names)
}

/// The outcomes in the order in which people need them, with their headings.
const PARTS: &[(&str, &str)] = &[
    ("needs-decision", "Needs a decision"),
    ("out-of-range", "Out of the new unit’s range"),
    ("no-counterpart", "Without counterpart"),
    ("rounded", "Rounded"),
    ("converted", "Converted"),
    ("carried", "Carried over as it stands"),
    ("left-at-default", "Left at the new unit’s default"),
];

fn print(out: &mut impl Write, answer: &Settings, _: &Loaded, folder: Option<&Path>) -> io::Result<()> {
    writeln!(out, "{}   old: {}, list {}   new: {}", answer.tag, answer.old, answer.extent.replace('-', " "), answer.new)?;
    let counts: Vec<String> = answer.counts.iter().map(|c| format!("{} {}", c.lines, c.outcome.replace('-', " "))).collect();
    show::wrap(out, "  ", &counts.join(", "))?;
    for (outcome, title) in PARTS {
        let lines: Vec<&Line> = answer.settings.iter().filter(|l| l.outcome == *outcome).collect();
        if lines.is_empty() {
            continue;
        }
        // What neither side ever touched fills pages and says nothing.
        let (shown, quiet): (Vec<&Line>, Vec<&Line>) = lines.into_iter().partition(|l| !is_quiet(l));
        writeln!(out, "\n{title}")?;
        for line in shown {
            entry(out, line)?;
        }
        if !quiet.is_empty() {
            let what = if *outcome == "no-counterpart" {
                "that stand at the old unit’s default"
            } else {
                "that the old unit does not have, or with the same default in both"
            };
            show::wrap(out, "  ", &format!("and {} {what}: --csv and --json list them", quiet.len()))?;
        }
    }
    if !answer.conflicts.is_empty() {
        writeln!(out, "\nWhat does not go together in the new unit")?;
        for conflict in &answer.conflicts {
            show::wrap(out, "  · ", &format!("{}: {}", conflict.settings.join(", "), conflict.what))?;
        }
    }
    writeln!(out, "\nTo enter, in this order ({} entries)", answer.load_sequence.len())?;
    let mut access = "";
    for step in &answer.load_sequence {
        if step.access != access {
            access = &step.access;
            writeln!(out, "  {}", if access == "stopped" { "with the motor at standstill" } else { "may be entered while running" })?;
        }
        let why = if step.why.is_empty() { String::new() } else { format!("   {}", step.why) };
        writeln!(out, "  {:>4}  {:<8} {:<34} {}{why}", step.step, step.id, step.name, step.text)?;
    }
    writeln!(out, "\nTo know")?;
    for line in &answer.remarks {
        show::wrap(out, "  · ", line)?;
    }
    if let Some(folder) = folder {
        writeln!(out, "\nWritten to {}: {}", folder.display(), answer.files.join(", "))?;
    }
    writeln!(out)?;
    for letter in ['O', 'R', 'S'] {
        if let Some(caution) = findings::caution::find(letter) {
            show::wrap(out, "⚠ ", &format!("{}: {}", caution.hazard, caution.text))?;
        }
    }
    show::wrap(out, "", findings::caution::DEFERENCE)
}

fn is_quiet(line: &Line) -> bool {
    match line.outcome.as_str() {
        "left-at-default" => true,
        "no-counterpart" => line.from_default,
        _ => false,
    }
}

fn entry(out: &mut impl Write, line: &Line) -> io::Result<()> {
    let old = line.old.as_ref().map_or_else(|| "—".to_owned(), |o| format!("{} {}", o.id, o.text).trim_end().to_owned());
    let meaning = line
        .meaning
        .as_ref()
        .map_or_else(String::new, |m| if m.text.is_empty() { m.concept.clone() } else { format!("{} {}", m.concept, m.text) });
    let new = line.new.as_ref().map_or_else(|| "—".to_owned(), |n| format!("{} {}", n.id, n.text).trim_end().to_owned());
    let loss = line.loss.as_ref().map_or_else(String::new, |l| format!("  ({l})"));
    writeln!(out, "  {old:<30} {meaning:<42} {new}{loss}")?;
    let name = line.old.as_ref().map_or("", |o| o.name.as_str());
    let text = if name.is_empty() { line.reason.clone() } else { format!("{name}: {}", line.reason) };
    show::wrap(out, "      ", &text)
}
