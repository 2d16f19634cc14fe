//! `rehearse`: a simulated drive as a Modbus TCP server on this machine.

use std::io::{self, Write};

use clap::Args;
use job::assess::old_series;
use job::rehearsal::{Rehearsal, rehearsal};
use plant::choice::Choice;
use plant::network::{Bit, DataWord, Layout, Sense};
use serde_json::json;
use transfer::words::scale::one_count;

use super::words::{self, Which};
use crate::problems::Failure;
use crate::rehearse::{Simulated, rehearse};
use crate::{Common, End, say, show};

/// Which drive, and where it is served.
#[derive(Args, Debug)]
pub(crate) struct Options {
    #[command(flatten)]
    which: Which,
    /// The old drive instead of a new one: try the old program before anything is changed.
    #[arg(long, conflicts_with = "candidate")]
    old: bool,
    /// Port on 127.0.0.1; a free one when left out.
    #[arg(long, value_name = "N", default_value_t = 0)]
    port: u16,
}

pub(crate) fn run(options: &Options, common: &Common) -> Result<End, Failure> {
    let drive = words::with_position(&options.which, common, |input, loaded, position| {
        let new = if options.old { None } else { Some(words::candidate(&options.which, loaded, common)?) };
        rehearsal(position, old_series(input, position), new).map_err(Failure::Usage)
    })?;
    let device = Simulated::new(&drive.layout, drive.behaviour);
    rehearse(device, options.port, |address| {
        let mut out = say::out();
        if common.json {
            // One line, so that a script can go on while the server runs.
            let registers: Vec<_> = drive.layout.words.iter().map(|word| register_json(&drive, word)).collect();
            let said = json!({
                "host": address.ip().to_string(), "port": address.port(), "drive": drive.name, "registers": registers,
                "remarks": drive.remarks,
            });
            writeln!(out, "{said}")?;
        } else {
            print(&mut out, &drive, &options.which.tag)?;
            writeln!(out, "\nModbus TCP on {address}, this machine only, any unit address; Ctrl-C ends it")?;
        }
        out.flush()
    })
    .map_err(|e| Failure::Usage(format!("the server on port {} of 127.0.0.1: {e}", options.port)))?;
    Ok(End::Good)
}

fn print(out: &mut impl Write, drive: &Rehearsal, tag: &str) -> io::Result<()> {
    writeln!(out, "{tag}   simulated: {}\n", drive.name)?;
    writeln!(out, "  {:>8} {:>8}  {:<11} {:<22} what it carries", "address", "printed", "", "word")?;
    for word in &drive.layout.words {
        let address = drive.layout.address(word).map_or_else(String::new, |a| a.to_string());
        let head = format!("  {address:>8} {:>8}  {:<11} {:<22} ", word.number, word.direction.word(), word.name);
        writeln!(out, "{head}{}", carries(drive, word))?;
        for bit in &word.bits {
            writeln!(out, "{:33}{}", "", bit_line(bit))?;
        }
    }
    writeln!(out, "\nTo know")?;
    for remark in &drive.remarks {
        show::wrap(out, "  · ", remark)?;
    }
    show::wrap(
        out,
        "  · ",
        "a simulation after the pack's tables: it shows whether a master says the right things in the right order, not what the real drive does",
    )
}

/// Meaning, width and scale of a word.
fn carries(drive: &Rehearsal, word: &DataWord) -> String {
    let mut text = word.carries.clone().unwrap_or_else(|| word.meaning.word().to_owned());
    if word.width != 16 {
        text.push_str(&format!(", {} bits", word.width));
    }
    if word.width == 32 {
        text.push_str(&order(&drive.layout));
    }
    let scale = one_count(word, &drive.behaviour.settings);
    if !scale.is_empty() {
        text.push_str(", ");
        text.push_str(&scale);
    }
    text
}

fn order(layout: &Layout) -> String {
    layout.word_order.map_or_else(String::new, |o| format!(" {}", o.word()))
}

fn bit_line(bit: &Bit) -> String {
    let sense = if bit.sense == Sense::High { "" } else { " while 0" };
    format!(
        "bit {:<2} {}{sense}{}",
        bit.at,
        bit.meaning.word(),
        if bit.trigger == plant::network::Trigger::Edge { ", by its coming" } else { "" }
    )
}

fn register_json(drive: &Rehearsal, word: &DataWord) -> serde_json::Value {
    json!({
        "address": drive.layout.address(word), "printed": word.number, "direction": word.direction.word(), "word": word.name,
        "meaning": word.meaning.word(), "width": word.width, "scale": one_count(word, &drive.behaviour.settings),
    })
}
