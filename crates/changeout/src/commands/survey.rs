//! `survey`: a list to print and take along: what to read for a position, the reading that settles most first.

use std::io::{self, Write};
use std::path::Path;

use dossier::Position;
use plant::survey::{Effort, FACTS, FactDef};
use serde_json::json;

use super::assess;
use crate::problems::Failure;
use crate::{Common, End, say, show};

/// Readings of one effort, in the order to take them.
struct Line<'a> {
    def: &'static FactDef,
    settles: Option<f64>,
    expected: &'a str,
}

pub(crate) fn run(site: &Path, tag: &str, common: &Common) -> Result<End, Failure> {
    let loaded = assess::load(site, common)?;
    let dossier = assess::dossier_of(&loaded, Some(tag), assess::SHOWN, common)?;
    let Some(position) = dossier.positions.first() else { return Err(assess::no_such_position(&loaded, tag)) };
    let missing: Vec<&'static FactDef> = {
        let surveyed = loaded.positions.iter().find(|p| p.tag == tag);
        let joined = surveyed.cloned().map(|mut p| {
            p.inherit(&loaded.site);
            p
        });
        FACTS
            .iter()
            .enumerate()
            .filter(|(i, _)| joined.as_ref().and_then(|p| p.facts.get(*i)).is_none_or(plant::fact::Fact::is_missing))
            .map(|(_, d)| d)
            .collect()
    };
    let mut out = say::out();
    if common.json {
        let rest: Vec<&str> = missing.iter().map(|d| d.path).collect();
        writeln!(
            out,
            "{:#}",
            json!({ "tag": position.tag, "measure_next": position.measure_next, "missing": rest, "cautions": position.cautions })
        )?;
    } else {
        print(&mut out, position, &missing, &dossier.date)?;
    }
    out.flush()?;
    Ok(End::Good)
}

fn print(out: &mut impl Write, position: &Position, missing: &[&'static FactDef], date: &str) -> io::Result<()> {
    writeln!(out, "SURVEY LIST   {}   {}   {date}", position.tag, position.machine)?;
    writeln!(out, "read by ______________________   on ______________   permit no. ______________\n")?;
    for caution in &position.cautions {
        show::wrap(out, "  ⚠ ", &format!("{}: {}", caution.hazard, caution.text))?;
    }
    writeln!(out, "\nSettles most first. Write the value with its unit, or a range, or “?”.\n")?;
    let first: Vec<Line<'_>> = position
        .measure_next
        .iter()
        .filter_map(|r| FACTS.iter().find(|d| d.path == r.fact).map(|def| Line { def, settles: Some(r.settles), expected: &r.expected }))
        .collect();
    let rest = missing.iter().filter(|d| !first.iter().any(|l| l.def.path == d.path));
    let assumed: Vec<(&'static FactDef, String)> =
        rest.map(|def| (*def, format!("while unknown: {} ({})", job::phrase::assumption_text(def), def.because))).collect();
    let mut lines: Vec<Line<'_>> = assumed.iter().map(|(def, expected)| Line { def, settles: None, expected }).collect();
    lines.sort_by_key(|l| l.def.effort);
    for (number, line) in first.iter().enumerate() {
        row(out, Some(number + 1), line)?;
    }
    let mut effort: Option<Effort> = None;
    for line in &lines {
        if effort != Some(line.def.effort) {
            effort = Some(line.def.effort);
            writeln!(out, "\nAlso missing: {}", line.def.effort.words())?;
        }
        row(out, None, line)?;
    }
    writeln!(out, "\nPhotographs: old nameplate, options label, motor plate, terminal strip, links and trimmers, whole panel open,")?;
    writeln!(out, "panel label, fuse or breaker, resistor plate, reactor and filter plates, encoder plate, door from outside.")
}

fn row(out: &mut impl Write, number: Option<usize>, line: &Line<'_>) -> io::Result<()> {
    let number = number.map_or_else(|| "   ".to_owned(), |n| format!("{n:>2}."));
    writeln!(out, "{number} [ ] {:<58} {:<28} = ____________________", line.def.label, line.def.path)?;
    let settles =
        line.settles.map_or_else(String::new, |s| format!("settles {}; {}; ", plant::quantity::digits(s, 2), line.def.effort.words()));
    let detail = if line.settles.is_some() { format!("{settles}expected: {}", line.expected) } else { line.expected.to_owned() };
    show::wrap(out, "        ", &detail)
}
