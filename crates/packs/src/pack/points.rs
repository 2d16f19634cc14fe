//! Control points and links of a pack: what their rows build, and what must agree between them.

use std::collections::HashMap;

use plant::choice::Choice;
use plant::wires::{ControlPoint, FUNCTIONS, Flow, Function, PointKind, Pole, WireLink, function};

use super::Table;
use super::checks::named;
use crate::problem::{Sink, Wrong, did_you_mean, one_of};
use crate::record::Record;

type Rows<'r, 's> = Option<(&'r [Record], &'r Sink<'s>)>;

/// Builds the points; rows with a mistake are left out, and told by [`check`].
pub(super) fn points(rows: Rows<'_, '_>) -> Vec<ControlPoint> {
    let Some((rows, sink)) = rows else { return Vec::new() };
    rows.iter().filter_map(|row| point(row, sink)).collect()
}

/// Builds the links.
pub(super) fn links(rows: Rows<'_, '_>) -> Vec<WireLink> {
    let link = |row: &Record| {
        Some(WireLink {
            name: row.string("link")?,
            point: row.string("point")?,
            purpose: row.word("purpose")?,
            fitted: row.word("fitted")?,
        })
    };
    rows.map_or_else(Vec::new, |(rows, _)| rows.iter().filter_map(link).collect())
}

fn point(row: &Record, sink: &Sink<'_>) -> Option<ControlPoint> {
    Some(ControlPoint {
        name: row.string("point")?,
        module: row.string("module"),
        variant: row.string("variant"),
        kind: Some(row.word::<PointKind>("kind")?),
        terminals: row.texts("terminals")?.iter().map(|t| terminal(t).ok()).collect::<Option<_>>()?,
        functions: row.texts("functions").unwrap_or_default().iter().map(|t| function(t)).collect::<Option<_>>()?,
        group: row.string("group"),
        isolated: row.flag("isolated"),
        flow: row.word::<Flow>("flow"),
        highest: row.quantity("highest"),
        on: row.quantity("on"),
        off: row.quantity("off"),
        impedance: row.quantity("impedance"),
        draws: row.quantity("draws"),
        wiring: row.word("wiring"),
        ac15: row.quantity("ac15"),
        dc13: row.quantity("dc13"),
        makes: row.quantity("makes"),
        highest_dc: row.quantity("highest_dc"),
        least: row.quantity("least"),
        leakage: row.quantity("leakage"),
        sense: row.word("sense"),
        ranges: row.words("ranges").unwrap_or_default(),
        burden: row.quantity("burden"),
        drives: row.quantity("drives"),
        levels: row.words("levels").unwrap_or_default(),
        frequency: row.quantity("frequency"),
        supply: row.quantity("supply"),
        supply_load: row.quantity("supply_load"),
        sensors: row.words("sensors").unwrap_or_default(),
        pair: row.string("pair"),
        must_close: row.flag("must_close").unwrap_or(false),
        place: sink.place(row.at),
    })
}

/// A terminal behind its pole: "signal 4".
fn terminal(text: &str) -> Result<(Pole, String), Wrong> {
    let (word, name) = text.split_once(' ').ok_or_else(|| Wrong::new(format!("“{text}” names no pole"), "write: signal 4 | return 9"))?;
    let pole =
        Pole::from_word(word).ok_or_else(|| Wrong::new(format!("“{word}” is no pole"), one_of(Pole::INFO.words.iter().map(|w| w.word))))?;
    Ok((pole, name.trim().to_owned()))
}

/// Both tables against each other, the functions, and the tables of modules and variants.
pub(super) fn check(tables: &mut [Table<'_>]) {
    let mut names: Vec<String> = Vec::new();
    if let Some(Table { sink, rows, .. }) = named(tables, "points") {
        let mut pairs: HashMap<String, (usize, crate::problem::At)> = HashMap::new();
        for row in rows.iter() {
            names.extend(row.string("point"));
            names.extend(row.string("group"));
            one(row, sink);
            if let Some(pair) = row.string("pair") {
                let entry = pairs.entry(format!("{pair} {}", row.text("module").unwrap_or_default())).or_insert((0, row.at("pair")));
                entry.0 += 1;
            }
        }
        let mut lone: Vec<_> = pairs.into_iter().filter(|(_, (count, _))| *count != 2).collect();
        lone.sort_by(|a, b| a.0.cmp(&b.0));
        for (pair, (count, at)) in lone {
            sink.error(at, format!("pair: {} has {count} points", pair.trim()), "a safety function has two channels");
        }
    }
    let Some(Table { sink, rows, .. }) = named(tables, "links") else { return };
    for row in rows.iter() {
        if let Some(name) = row.text("point").filter(|n| !names.iter().any(|own| own == n)) {
            sink.error(
                row.at("point"),
                format!("point: there is no point or group “{name}” in points.csv"),
                did_you_mean(name, names.iter().map(String::as_str)),
            );
        }
    }
}

fn one(row: &Record, sink: &mut Sink<'_>) {
    for text in row.texts("terminals").unwrap_or_default() {
        if let Err(wrong) = terminal(text) {
            sink.error(row.at("terminals"), format!("terminals: {}", wrong.message), wrong.help);
        }
    }
    let kind = row.word::<PointKind>("kind");
    for text in row.texts("functions").unwrap_or_default() {
        match function(text) {
            None => sink.error(
                row.at("functions"),
                format!("functions: “{text}” is no function"),
                did_you_mean(text, FUNCTIONS.iter().map(|f| f.id)),
            ),
            Some(function) if !fits(function, kind) => sink.error(
                row.at("functions"),
                format!("functions: {text} has no place at this kind of point"),
                function.kind.map_or_else(String::new, |k| format!("it needs {}", k.word())),
            ),
            Some(_) => {}
        }
    }
    if let (Some(on), Some(off)) = (row.number("on"), row.number("off"))
        && off >= on
    {
        sink.error(row.at("off"), "off: an input cannot be off above where it is on", "were both interchanged?");
    }
}

fn fits(function: &Function, kind: Option<PointKind>) -> bool {
    kind.is_none() || function.kind == kind || (kind == Some(PointKind::TransistorOutput) && function.kind == Some(PointKind::RelayOutput))
}
