//! `power`: the audit of the power path of one position, the old drive and the new one side by side.

use std::io::{self, Write};
use std::path::PathBuf;

use clap::Args;
use comfy_table::{ColumnConstraint, Width};
use dossier::power::{Audit, Line, Section};
use job::assess::Input;
use job::power::audit;
use serde_json::json;

use super::assess::{SHOWN, load, no_such_position};
use crate::disk::Loaded;
use crate::problems::Failure;
use crate::show::{self, wrap};
use crate::{Common, End, date, say};

/// Which position, and for which candidate.
#[derive(Args, Debug)]
pub(crate) struct Options {
    /// Site folder.
    site: PathBuf,
    /// Tag of the position.
    tag: String,
    /// Candidate as the assessment names it (series/code/duty); the first of the assessment when left out.
    #[arg(long, value_name = "ID")]
    candidate: Option<String>,
}

pub(crate) fn run(options: &Options, common: &Common) -> Result<End, Failure> {
    let loaded = load(&options.site, common)?;
    let date = common.date.clone().unwrap_or_else(date::today);
    let Loaded { site, positions, packs, decisions, .. } = &loaded;
    let input = Input { site, positions, only: Some(&options.tag), packs, decisions, date: &date, shown: SHOWN, searches: None };
    let Some(found) = audit(input, &options.tag, options.candidate.as_deref()) else {
        return Err(no_such_position(&loaded, &options.tag));
    };
    let audit = found.map_err(|why| Failure::Usage(format!("{}: {why}", options.tag)))?;
    let mut out = say::out();
    if common.json {
        let value = json!({ "power": audit, "date": date, "problems": loaded.found.json() });
        serde_json::to_writer_pretty(&mut out, &value).map_err(io::Error::from)?;
        writeln!(out)?;
    } else {
        print(&mut out, &audit)?;
    }
    out.flush()?;
    Ok(if audit.verdict == "holds" { End::Good } else { End::Unsettled })
}

fn print(out: &mut impl Write, audit: &Audit) -> io::Result<()> {
    writeln!(out, "{}\n{}  {}", "─".repeat(usize::from(show::WIDTH)), audit.tag, audit.machine)?;
    wrap(out, "  before: ", audit.old.as_deref().unwrap_or("not known"))?;
    wrap(out, "  after:  ", &audit.new)?;
    for remedy in &audit.remedies {
        wrap(out, "    with: ", remedy)?;
    }
    writeln!(out, "\n  power path: {}", audit.verdict.to_uppercase())?;
    let mut sources: Vec<&str> = Vec::new();
    for section in &audit.sections {
        self::section(out, section, &mut sources)?;
    }
    writeln!(out)?;
    if !audit.open.is_empty() {
        wrap(out, "  open, and nothing may be assumed: ", &audit.open.join(", "))?;
    }
    for (i, source) in sources.iter().enumerate() {
        wrap(out, &format!("  [{}] ", i + 1), source)?;
    }
    writeln!(out)?;
    for caution in &audit.cautions {
        wrap(out, "⚠ ", &format!("{}: {}", caution.hazard, caution.text))?;
    }
    for remark in &audit.remarks {
        wrap(out, "", remark)?;
    }
    wrap(
        out,
        "",
        "Nothing here says that an installation complies with a code. The unit's own instructions, the local code and licensed people \
         decide what may be built and energised.",
    )
}

fn section<'a>(out: &mut impl Write, section: &'a Section, sources: &mut Vec<&'a str>) -> io::Result<()> {
    writeln!(out, "\n  {}", section.title)?;
    let (said, idle): (Vec<&Line>, Vec<&Line>) = section.lines.iter().partition(|l| l.speaks());
    let mut table = show::table();
    table.set_header(["", "before", "after", "limit", "room", "verdict", ""]);
    for line in &said {
        let room = line.margin.as_ref().map(show::margin_text).filter(|m| m != "—").unwrap_or_default();
        // What only holds or fails has said so in its verdict.
        let room = if line.margin.as_ref().is_some_and(|m| m.unit.is_empty()) { String::new() } else { room };
        let number = source_number(sources, &line.source);
        let texts = [&line.what, &line.before.text, &line.after.text, &line.limit.text, &room, &line.verdict, &number].map(String::clone);
        table.add_row(texts);
    }
    let widths = [(0, 34), (1, 17), (2, 17), (3, 13), (4, 12)];
    for (column, width) in widths {
        if let Some(column) = table.column_mut(column) {
            column.set_constraint(ColumnConstraint::UpperBoundary(Width::Fixed(width)));
        }
    }
    if !said.is_empty() {
        show::print_table(out, &table)?;
    }
    for line in &said {
        let notes = line.said();
        if !notes.is_empty() {
            wrap(out, "      · ", &format!("{}: {notes}", line.what))?;
        }
    }
    if !idle.is_empty() {
        let names: Vec<&str> = idle.iter().map(|l| l.what.as_str()).collect();
        wrap(out, "    not here: ", &names.join("; "))?;
    }
    Ok(())
}

/// Number of a source in the list at the end.
fn source_number<'a>(sources: &mut Vec<&'a str>, source: &'a str) -> String {
    if source.is_empty() {
        return String::new();
    }
    let at = sources.iter().position(|s| *s == source).unwrap_or_else(|| {
        sources.push(source);
        sources.len() - 1
    });
    format!("[{}]", at + 1)
}
