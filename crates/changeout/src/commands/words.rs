//! `words`: what becomes of the old drive's network words, the block that speaks for it, and the proof.

use std::io::{self, Write};
use std::path::{Path, PathBuf};

use clap::Args;
use dossier::words::{Mapped, Table, Words};
use job::assess::{Input, join, old_series};
use job::words::{Answer, words};
use plant::position::Position;
use plant::product::Series;
use plant::quantity::digits;
use serde_json::json;

use super::assess;
use crate::disk::Loaded;
use crate::problems::Failure;
use crate::{Common, End, date, disk, say, show};

/// Which position, and for which candidate.
#[derive(Args, Debug)]
pub(super) struct Which {
    /// Site folder.
    site: PathBuf,
    /// Tag of the position.
    pub(super) tag: String,
    /// Candidate as the assessment names it (series/code/duty), or a series alone; the first of the assessment when left out.
    #[arg(long, value_name = "ID")]
    candidate: Option<String>,
}

/// Which words, and where to write.
#[derive(Args, Debug)]
pub(crate) struct Options {
    #[command(flatten)]
    which: Which,
    /// Folder for the block, the tables and the vectors; nothing is written without it.
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
}

/// Loads the site, joins the position, and goes on with both.
pub(super) fn with_position<T>(
    which: &Which,
    common: &Common,
    then: impl FnOnce(Input<'_>, &Loaded, &Position) -> Result<T, Failure>,
) -> Result<T, Failure> {
    let loaded = assess::load(&which.site, common)?;
    let date = common.date.clone().unwrap_or_else(date::today);
    let Some(surveyed) = loaded.positions.iter().find(|p| p.tag == which.tag) else {
        return Err(assess::no_such_position(&loaded, &which.tag));
    };
    let input = Input {
        site: &loaded.site,
        only: None,
        positions: std::slice::from_ref(surveyed),
        packs: &loaded.packs,
        decisions: &loaded.decisions,
        date: &date,
        shown: assess::SHOWN,
    };
    let position = join(input, surveyed, &mut Vec::new());
    then(input, &loaded, &position)
}

/// The new series: of the candidate that was named, or of the first of the assessment.
pub(super) fn candidate<'l>(which: &Which, loaded: &'l Loaded, common: &Common) -> Result<&'l Series, Failure> {
    let id = match &which.candidate {
        Some(id) => id.clone(),
        None => {
            let dossier = assess::dossier_of(loaded, Some(&which.tag), assess::SHOWN, common)?;
            let first = dossier.positions.first().and_then(|p| p.chosen.clone());
            first.ok_or_else(|| Failure::Usage(format!("{}: there is no candidate; --candidate names a series", which.tag)))?
        }
    };
    let series = id.split('/').next().unwrap_or_default();
    loaded.packs.iter().find(|s| s.id == series).ok_or_else(|| {
        let known: Vec<&str> = loaded.packs.iter().map(|s| s.id.as_str()).collect();
        Failure::Usage(format!("there is no pack “{series}”; the site has {}", known.join(", ")))
    })
}

pub(crate) fn run(options: &Options, common: &Common) -> Result<End, Failure> {
    with_position(&options.which, common, |input, loaded, position| {
        let new = candidate(&options.which, loaded, common)?;
        let answer = words(position, old_series(input, position), new).map_err(Failure::Usage)?;
        told(options, answer, &loaded.site.name, input.date, common)
    })
}

fn told(options: &Options, answer: Answer, site: &str, date: &str, common: &Common) -> Result<End, Failure> {
    let Answer { words: mut answer, project } = answer;
    if let Some(folder) = &options.out {
        answer.files = write(folder, &answer, project.as_ref(), site, date)?;
    }
    let mut out = say::out();
    if common.json {
        writeln!(out, "{:#}", json!(answer))?;
    } else {
        print(&mut out, &answer, options.out.as_deref())?;
    }
    out.flush()?;
    let proved = answer.proof.as_ref().is_some_and(|p| p.mismatches == 0);
    let whole = answer.map.iter().all(|m| m.outcome != "no counterpart");
    Ok(if proved && whole { End::Good } else { End::Unsettled })
}

/// Writes every file and returns their names.
fn write(
    folder: &Path,
    answer: &Words,
    project: Option<&dossier::program::Project>,
    site: &str,
    date: &str,
) -> Result<Vec<String>, Failure> {
    let mut files: Vec<(String, String)> = Vec::new();
    if let Some(project) = project {
        let unprintable = |e: output::structured_text::Unprintable| Failure::Usage(format!("the block cannot be printed: {e}"));
        files.push(("old-to-new.st".into(), output::structured_text::structured_text(project).map_err(unprintable)?));
        let made = output::plcopen::Made {
            company: site.to_owned(),
            by: "changeout".to_owned(),
            version: env!("CARGO_PKG_VERSION").to_owned(),
            date: date.to_owned(),
        };
        files.push(("old-to-new.xml".into(), output::plcopen::plcopen(project, &made).map_err(unprintable)?));
    }
    for table in &answer.tables {
        files.push((table.file.clone(), csv(table)));
    }
    if !answer.lines.is_empty() {
        let heads = [
            format!("{}: scaling from {} to {}", answer.tag, answer.old, answer.new),
            "For a program without the block. It carries no command sequence, no edges and no loss action.".to_owned(),
            String::new(),
        ];
        let text: Vec<&str> = heads.iter().chain(&answer.lines).map(String::as_str).collect();
        files.push(("scaling.txt".into(), text.join("\n") + "\n"));
    }
    let mut names = Vec::new();
    for (name, text) in files {
        disk::write_new(&folder.join(&name), &text)?;
        names.push(name);
    }
    Ok(names)
}

/// A table as CSV after RFC 4180.
fn csv(table: &Table) -> String {
    let cell = |text: &String| {
        if text.contains(['"', ',', '\n', '\r']) { format!("\"{}\"", text.replace('"', "\"\"")) } else { text.clone() }
    };
    let line = |cells: &Vec<String>| cells.iter().map(cell).collect::<Vec<_>>().join(",");
    let mut text = line(&table.head);
    for row in &table.rows {
        text.push('\n');
        text.push_str(&line(row));
    }
    text.push('\n');
    text
}

fn print(out: &mut impl Write, answer: &Words, folder: Option<&Path>) -> io::Result<()> {
    writeln!(out, "{}   old: {}   new: {}", answer.tag, answer.old, answer.new)?;
    for (direction, title) in [("to-drive", "What the old program writes"), ("from-drive", "What the old program reads")] {
        writeln!(out, "\n{title}")?;
        for line in answer.map.iter().filter(|m| m.direction == direction) {
            mapped(out, line)?;
        }
    }
    if !answer.lines.is_empty() {
        writeln!(out, "\nScaling without the block")?;
        for line in &answer.lines {
            show::wrap(out, "  ", line)?;
        }
    }
    writeln!(out, "\nProof on simulated drives")?;
    match &answer.proof {
        Some(proof) => {
            writeln!(
                out,
                "  {} words, {} values and patterns, {} came out differently",
                proof.words_tested, proof.values_tested, proof.mismatches
            )?;
            for example in &proof.examples {
                show::wrap(out, "    ", example)?;
            }
        }
        None => writeln!(out, "  none: no block was written")?,
    }
    if !answer.open.is_empty() {
        writeln!(out, "\nTo read first")?;
        for line in &answer.open {
            show::wrap(out, "  · ", line)?;
        }
    }
    writeln!(out, "\nTo know")?;
    for line in &answer.remarks {
        show::wrap(out, "  · ", line)?;
    }
    if let Some(folder) = folder {
        writeln!(out, "\nWritten to {}: {}", folder.display(), answer.files.join(", "))?;
    }
    writeln!(out)?;
    for letter in ['X', 'S'] {
        if let Some(caution) = findings::caution::find(letter) {
            show::wrap(out, "⚠ ", &format!("{}: {}", caution.hazard, caution.text))?;
        }
    }
    show::wrap(out, "", findings::caution::DEFERENCE)
}

fn place(at: Option<&dossier::words::At>) -> String {
    at.map_or_else(|| "—".to_owned(), |a| a.bit.map_or_else(|| a.word.clone(), |bit| format!("{} bit {bit}", a.word)))
}

fn mapped(out: &mut impl Write, line: &Mapped) -> io::Result<()> {
    writeln!(out, "  {:<28} {:<20} {:<28} {}", place(line.old.as_ref()), line.meaning, place(line.new.as_ref()), line.outcome)?;
    if !line.scale.is_empty() {
        show::wrap(out, "      ", &line.scale)?;
    }
    if let Some(error) = &line.max_error {
        let rpm = error.rpm.map_or_else(String::new, |rpm| format!(", {} rpm", digits(rpm, 3)));
        let text =
            format!("greatest error {} {}{rpm}, {} counts of the old word", digits(error.value, 3), error.unit, digits(error.counts, 3));
        show::wrap(out, "      ", &text)?;
    }
    if !line.note.is_empty() {
        show::wrap(out, "      ", &line.note)?;
    }
    Ok(())
}
