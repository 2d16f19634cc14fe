//! `behaviour`: where the new drive would act differently from the old one, found by running both control schemes side by side.

use std::io::{self, Write};
use std::path::PathBuf;

use clap::Args;
use dossier::behaviour::{Behaviour, Difference, Rule};
use job::assess::old_series;
use serde_json::json;

use super::assess::busy;
use super::words::{Which, candidate, with_position};
use crate::problems::Failure;
use crate::{Common, End, disk, say, show};

/// Which position, and where to draw.
#[derive(Args, Debug)]
pub(crate) struct Options {
    #[command(flatten)]
    which: Which,
    /// Print every difference with what both did on the way; without it, those of signals are counted only.
    #[arg(long)]
    all: bool,
    /// Folder for a timing figure (SVG) of each dangerous difference; nothing is written without it.
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// File for both schemes as a model for the checker spin, with what was found here in its first lines.
    #[arg(long, value_name = "FILE")]
    model: Option<PathBuf>,
}

pub(crate) fn run(options: &Options, common: &Common) -> Result<End, Failure> {
    with_position(&options.which, common, |input, loaded, position| {
        let new = candidate(&options.which, loaded, common)?;
        let bar = busy("every state of both units, without and with remedies");
        let answer = job::behaviour::behaviour(position, old_series(input, position), new).map_err(Failure::Usage);
        bar.finish_and_clear();
        let answer = answer?;
        if let Some(file) = &options.model {
            let model = job::behaviour::model(position, old_series(input, position), new).map_err(Failure::Usage)?;
            let lacks = || Failure::Usage(format!("{}: too little is known of the wiring for a model", position.tag));
            disk::write_new(file, &model.ok_or_else(lacks)?)?;
        }
        let files = match &options.out {
            Some(folder) => {
                let mut names = Vec::new();
                for (at, drawing) in job::behaviour::figures(&answer).iter().enumerate() {
                    let name = format!("difference-{}.svg", at + 1);
                    let svg = output::svg::svg(drawing, &output::svg::Options::default())
                        .map_err(|e| Failure::Usage(format!("{name} cannot be drawn: {e}")))?;
                    disk::write_new(&folder.join(&name), &svg)?;
                    names.push(name);
                }
                names
            }
            None => Vec::new(),
        };
        let mut out = say::out();
        if common.json {
            writeln!(out, "{:#}", json!(answer))?;
        } else {
            print(&mut out, &answer, options, &files)?;
        }
        out.flush()?;
        let kept = answer.rules.iter().all(|r| r.verdict == "holds" || r.verdict == "not here");
        let same = answer.states > 0 && answer.differences.iter().all(|d| d.danger == "signals otherwise");
        Ok(if kept && same { End::Good } else { End::Unsettled })
    })
}

fn print(out: &mut impl Write, answer: &Behaviour, options: &Options, files: &[String]) -> io::Result<()> {
    writeln!(out, "{}   old: {}   new: {}", answer.tag, answer.old, answer.new)?;
    if answer.states > 0 {
        show::wrap(out, "  ", &answer.scheme)?;
        writeln!(out, "  {} states of both side by side were looked at, with every event in each", answer.states)?;
    }
    if !answer.open.is_empty() {
        writeln!(out, "\nTo read first")?;
        for line in &answer.open {
            show::wrap(out, "  · ", line)?;
        }
    }
    if !answer.rules.is_empty() {
        writeln!(out, "\nRules, each side alone")?;
        for rule in &answer.rules {
            ruled(out, rule)?;
        }
    }
    differences(out, answer, options.all)?;
    if answer.states > 0 {
        writeln!(out, "\nDone together until nothing dangerous is left that can be mended here")?;
        for remedy in &answer.remedies {
            show::wrap(out, "  · ", remedy)?;
        }
        if answer.remedies.is_empty() {
            writeln!(out, "  nothing was found that helps")?;
        }
        let left: Vec<String> = answer.left.iter().map(|l| format!("{} {}", l.differences, l.danger)).collect();
        let left = if left.is_empty() { "no difference".to_owned() } else { left.join(", ") };
        show::wrap(out, "  then left: ", &left)?;
        for rule in answer.rules.iter().filter(|r| r.after != "holds" && r.verdict != "not here") {
            show::wrap(out, "  even then ", &format!("{}: {}", rule.after, rule.rule))?;
        }
    }
    if !answer.remarks.is_empty() {
        writeln!(out, "\nTo know")?;
        for line in &answer.remarks {
            show::wrap(out, "  · ", line)?;
        }
    }
    if let Some(folder) = &options.out {
        writeln!(out, "\nWritten to {}: {}", folder.display(), files.join(", "))?;
    }
    writeln!(out)?;
    for letter in ['X', 'S'] {
        if let Some(caution) = findings::caution::find(letter) {
            show::wrap(out, "⚠ ", &format!("{}: {}", caution.hazard, caution.text))?;
        }
    }
    show::wrap(out, "", findings::caution::DEFERENCE)
}

fn ruled(out: &mut impl Write, rule: &Rule) -> io::Result<()> {
    if rule.verdict == "not here" {
        return Ok(());
    }
    writeln!(out, "  {:<8} {}   (old: {})", rule.verdict, rule.rule, rule.old)?;
    if !rule.events.is_empty() {
        show::wrap(out, "           broken by: ", &rule.events.join(", "))?;
    }
    if !rule.on.is_empty() {
        show::wrap(out, "           depends on: ", &rule.on.join("; "))?;
    }
    for remedy in &rule.remedies {
        show::wrap(out, "           kept with: ", remedy)?;
    }
    Ok(())
}

fn differences(out: &mut impl Write, answer: &Behaviour, all: bool) -> io::Result<()> {
    let mut danger = "";
    let mut quiet = 0;
    for difference in &answer.differences {
        if difference.danger == "signals otherwise" && !all {
            quiet += 1;
            continue;
        }
        if difference.danger != danger {
            danger = &difference.danger;
            writeln!(out, "\n{}{}", danger.chars().next().map_or(' ', |c| c.to_ascii_uppercase()), danger.get(1..).unwrap_or_default())?;
        }
        told(out, difference, all)?;
    }
    if quiet > 0 {
        writeln!(out, "\n{quiet} more in which contacts or what they tell differ: --all and --json list them")?;
    }
    Ok(())
}

fn told(out: &mut impl Write, difference: &Difference, all: bool) -> io::Result<()> {
    show::wrap(out, "  · ", &difference.sentence())?;
    if !difference.certain {
        show::wrap(out, "      depends on ", &difference.on.join("; "))?;
    }
    for remedy in &difference.remedies {
        show::wrap(out, "      gone with: ", remedy)?;
    }
    if difference.remedies.is_empty() && !difference.gone && !difference.here.is_empty() {
        show::wrap(out, "      gone on this way with ", &difference.here.join("; or "))?;
    }
    if all {
        for (event, moment) in difference.events.iter().zip(&difference.course) {
            writeln!(out, "        {event:<32} old {:<36} new {}", moment.old, moment.new)?;
        }
    }
    Ok(())
}
