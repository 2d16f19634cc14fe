//! `wires`: what becomes of every conductor at the old drive, with the proof of its landing, the modules and parts, the links.

use std::io::{self, Write};

use clap::Args;
use dossier::wires::{Conductor, Wires};
use job::assess::old_series;
use serde_json::json;

use super::settings::rating;
use super::words::{Which, candidate_id, series_of, with_position};
use crate::problems::Failure;
use crate::{Common, End, say, show};

/// Which wires, and how to print.
#[derive(Args, Debug)]
pub(crate) struct Options {
    #[command(flatten)]
    which: Which,
    /// Print the crosswalk as CSV instead of text.
    #[arg(long, conflicts_with = "json")]
    csv: bool,
}

pub(crate) fn run(options: &Options, common: &Common) -> Result<End, Failure> {
    with_position(&options.which, common, |input, loaded, position| {
        let id = candidate_id(&options.which, loaded, common)?;
        let series = series_of(&id, loaded)?;
        let rating = rating(&id, series)?.map(|(rating, _)| rating);
        let answer = job::wires::wires(position, old_series(input, position), series, rating, &loaded.site).map_err(Failure::Usage)?;
        let mut out = say::out();
        if common.json {
            writeln!(out, "{:#}", json!(answer))?;
        } else if options.csv {
            write!(out, "{}", output::wires::crosswalk_csv(&answer))?;
        } else {
            print(&mut out, &answer)?;
        }
        out.flush()?;
        let settled = answer.conductors.iter().all(|c| c.proof.iter().all(|l| l.verdict == "holds"));
        let closed = answer.start_conditions.iter().all(|c| c.closed_by.is_some());
        Ok(if settled && closed && answer.conflicts.is_empty() { End::Good } else { End::Unsettled })
    })
}

fn print(out: &mut impl Write, answer: &Wires) -> io::Result<()> {
    writeln!(out, "{}   old: {}   new: {}", answer.tag, answer.old, answer.new)?;
    let counts: Vec<String> = answer.counts.iter().map(|c| format!("{} {}", c.conductors, c.action)).collect();
    show::wrap(out, "  ", &format!("{} conductors: {}", answer.conductors.len(), counts.join(", ")))?;
    if !answer.schemes.is_empty() {
        show::wrap(out, "  ", &format!("start and stop: {}", answer.schemes.join("; ")))?;
    }
    writeln!(out, "\nEvery conductor")?;
    let mut circuit = "";
    for conductor in &answer.conductors {
        let again = conductor.old.circuit == circuit;
        circuit = &conductor.old.circuit;
        entry(out, conductor, again)?;
    }
    choice(out, answer)?;
    links(out, answer)?;
    permissives(out, answer)?;
    writeln!(out, "\nTo know")?;
    for line in &answer.remarks {
        show::wrap(out, "  · ", line)?;
    }
    writeln!(out)?;
    for letter in ['L', 'X', 'S'] {
        if let Some(caution) = findings::caution::find(letter) {
            show::wrap(out, "⚠ ", &format!("{}: {}", caution.hazard, caution.text))?;
        }
    }
    show::wrap(out, "", findings::caution::DEFERENCE)
}

/// One conductor; the proof stands once for those of a circuit that follow one another.
fn entry(out: &mut impl Write, conductor: &Conductor, again: bool) -> io::Result<()> {
    let old = format!("{} at {}", conductor.wire, conductor.old.terminal);
    let what = format!("{} {}", conductor.old.function, conductor.old.volts);
    let new = conductor.new.as_deref().unwrap_or("—");
    writeln!(out, "  {old:<14} {:<28} {:<11} {new}", what.trim_end(), conductor.action)?;
    if again {
        return Ok(());
    }
    show::wrap(out, "      ", &conductor.reason)?;
    for line in conductor.proof.iter().filter(|l| l.verdict != "holds") {
        show::wrap(out, "      ", &format!("{}: {}: {} against {}", line.verdict, line.what, line.have, line.need))?;
    }
    Ok(())
}

fn choice(out: &mut impl Write, answer: &Wires) -> io::Result<()> {
    writeln!(out, "\nTo order for the wires")?;
    if let Some(variant) = &answer.variant {
        writeln!(out, "  variant {variant}")?;
    }
    for module in &answer.modules {
        let price = module.price.map_or_else(|| "no price".to_owned(), |p| format!("{p:.0} {}", answer.currency));
        show::wrap(out, "  ", &format!("slot {}: {}, {}, {price}", module.slot, module.module, module.what))?;
        if !module.limits.is_empty() {
            show::wrap(out, "      ", &module.limits)?;
        }
    }
    let mut circuit = "";
    for conductor in answer.conductors.iter().filter(|c| !c.parts.is_empty()) {
        if conductor.old.circuit != circuit {
            circuit = &conductor.old.circuit;
            show::wrap(out, "  ", &format!("{circuit}: {}", conductor.parts.join(", ")))?;
        }
    }
    let open = match answer.unpriced {
        0 => String::new(),
        1 => " and one part without a price".to_owned(),
        n => format!(" and {n} parts without a price"),
    };
    writeln!(out, "  {:.0} {} with {:.0} minutes of work{open}", answer.cost, answer.currency, answer.minutes)?;
    for conflict in &answer.conflicts {
        let size = if conflict.smallest { "" } else { " (a smaller set may conflict)" };
        show::wrap(out, "  ", &format!("cannot be met together: {}{size}", conflict.circuits.join(", ")))?;
    }
    Ok(())
}

fn links(out: &mut impl Write, answer: &Wires) -> io::Result<()> {
    if !answer.links.is_empty() {
        writeln!(out, "\nLinks")?;
        for link in &answer.links {
            show::wrap(out, "  ", &format!("{}: {}; {}", link.link, link.action, link.reason))?;
        }
    }
    if !answer.start_conditions.is_empty() {
        writeln!(out, "\nThe unit is ready only with these closed")?;
        for condition in &answer.start_conditions {
            writeln!(out, "  {:<14} {}", condition.point, condition.closed_by.as_deref().unwrap_or("nothing closes it"))?;
        }
    }
    Ok(())
}

fn permissives(out: &mut impl Write, answer: &Wires) -> io::Result<()> {
    if answer.permissives.is_empty() {
        return Ok(());
    }
    writeln!(out, "\nWhat must be so before it runs")?;
    for permissive in &answer.permissives {
        let modes = permissive.modes.as_ref().map_or_else(|| "modes not listed".to_owned(), |m| m.join(", "));
        let new = permissive.new.as_deref().unwrap_or("nowhere");
        show::wrap(out, "  ", &format!("{} ({}), {modes}: now {new}; {}", permissive.circuit, permissive.function, permissive.remark))?;
    }
    Ok(())
}
