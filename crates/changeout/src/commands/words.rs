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
use transfer::program::names::Rules;

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
    /// What the controller asks of names: plain (at most 24 characters), long (32), short (12) or shortest (8).
    #[arg(long, value_enum, value_name = "RULES", default_value_t = Names::Plain)]
    names: Names,
    /// A word that the controller keeps for itself; may be given several times.
    #[arg(long, value_name = "WORD")]
    reserved: Vec<String>,
}

/// Rule sets for names. All keep to letters, digits and single `_` (IEC 61131-3), and tell no name from another by capitals alone.
#[derive(clap::ValueEnum, Clone, Copy, Debug)]
enum Names {
    /// At most 24 characters.
    Plain,
    /// At most 32 characters.
    Long,
    /// At most 12 characters.
    Short,
    /// At most 8 characters.
    Shortest,
}

impl Options {
    fn rules(&self) -> Rules {
        let longest = match self.names {
            Names::Plain => 24,
            Names::Long => 32,
            Names::Short => 12,
            Names::Shortest => 8,
        };
        Rules { longest, reserved: self.reserved.clone(), ..Rules::default() }
    }
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
    series_of(&candidate_id(which, loaded, common)?, loaded)
}

/// The candidate that was named, or the first of the assessment.
pub(super) fn candidate_id(which: &Which, loaded: &Loaded, common: &Common) -> Result<String, Failure> {
    if let Some(id) = &which.candidate {
        return Ok(id.clone());
    }
    let dossier = assess::dossier_of(loaded, Some(&which.tag), assess::SHOWN, common)?;
    let first = dossier.positions.first().and_then(|p| p.chosen.clone());
    first.ok_or_else(|| Failure::Usage(format!("{}: there is no candidate; --candidate names a series", which.tag)))
}

/// The series of a candidate.
pub(super) fn series_of<'l>(id: &str, loaded: &'l Loaded) -> Result<&'l Series, Failure> {
    let series = id.split('/').next().unwrap_or_default();
    loaded.packs.iter().find(|s| s.id == series).ok_or_else(|| {
        let known: Vec<&str> = loaded.packs.iter().map(|s| s.id.as_str()).collect();
        Failure::Usage(format!("there is no pack “{series}”; the site has {}", known.join(", ")))
    })
}

pub(crate) fn run(options: &Options, common: &Common) -> Result<End, Failure> {
    with_position(&options.which, common, |input, loaded, position| {
        let new = candidate(&options.which, loaded, common)?;
        let bar = assess::busy("every value and every pattern on both simulated drives");
        let answer = words(position, old_series(input, position), new, &options.rules()).map_err(Failure::Usage);
        bar.finish_and_clear();
        let answer = answer?;
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
pub(super) fn csv(table: &Table) -> String {
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
    writeln!(out, "\nWho may start and stop")?;
    for source in &answer.arbitration {
        writeln!(out, "  {}", source.what)?;
        for (side, text) in [("old   ", &source.old), ("new   ", &source.new), ("then  ", &source.then)] {
            show::wrap(out, &format!("      {side}"), text)?;
        }
    }
    if !answer.renamed.is_empty() {
        writeln!(out, "\nNames that were changed")?;
        let mut units: Vec<&str> = answer.renamed.iter().map(|r| r.unit.as_str()).collect();
        units.dedup();
        for unit in units {
            let pair = |r: &dossier::words::Renamed| format!("{} → {} ({})", r.old, r.new, r.why);
            let pairs: Vec<String> = answer.renamed.iter().filter(|r| r.unit == unit).map(pair).collect();
            let place = if unit.is_empty() { "units".to_owned() } else { format!("in {unit}") };
            show::wrap(out, "  ", &format!("{place}: {}", pairs.join(", ")))?;
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
