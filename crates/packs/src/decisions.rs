//! Reads `decisions.toml`.

use plant::choice::{Choice, Duty};
use plant::decision::{Accepted, Chosen, Decisions};
use plant::fact::{Fact, Known, Place};
use plant::survey::{FactId, def};

use crate::problem::{Read, Sink, one_of};
use crate::record::Record;
use crate::shape::FileKind;
use crate::source::Source;
use crate::text::{fact_id, parse_fact_of};
use crate::toml::{open, read_origin};

/// What `decisions.toml` holds.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct DecisionsFile {
    /// What was chosen and accepted.
    pub decisions: Decisions,
    /// Readings taken later, in the order of the file.
    pub readings: Vec<Reading>,
}

/// A reading taken after the survey; it replaces the position's fact.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// Position.
    pub tag: String,
    /// Which fact.
    pub id: FactId,
    /// The reading with its origin.
    pub fact: Fact,
    /// Where it is written.
    pub place: Place,
}

/// Reads the decisions. Entries with an error are left out.
#[must_use]
pub fn read_decisions(source: &Source) -> Read<DecisionsFile> {
    let mut sink = Sink::of(source);
    let value = open(source, FileKind::Decisions, &mut sink).filter(|o| !o.cut).map(|o| {
        let record = &o.record;
        DecisionsFile {
            decisions: Decisions {
                chosen: record.rows("chosen").iter().filter_map(|row| chosen(row, &mut sink)).collect(),
                accepted: record.rows("accepted").iter().filter_map(|row| accepted(row, &mut sink)).collect(),
            },
            readings: record.rows("readings").iter().filter_map(|row| reading(row, &mut sink)).collect(),
        }
    });
    Read { value, problems: sink.finish() }
}

/// The parts of a candidate "series/code/duty"; a code may hold slashes, a series and a duty class not.
pub(crate) struct Candidate<'c> {
    pub(crate) series: &'c str,
    pub(crate) code: &'c str,
    pub(crate) duty: Duty,
}

impl<'c> Candidate<'c> {
    pub(crate) fn parse(text: &'c str) -> Option<Self> {
        let (series, rest) = text.split_once('/')?;
        let (code, duty) = rest.rsplit_once('/')?;
        let duty = Duty::from_word(duty)?;
        (!series.is_empty() && !code.is_empty()).then_some(Self { series, code, duty })
    }
}

fn chosen(row: &Record, sink: &mut Sink<'_>) -> Option<Chosen> {
    let candidate = row.string("candidate")?;
    if Candidate::parse(&candidate).is_none() {
        let duties = one_of(Duty::INFO.words.iter().map(|w| w.word));
        sink.error(
            row.at("candidate"),
            format!("candidate: “{candidate}” is no candidate"),
            format!("write series/code/duty; for the duty class {duties}"),
        );
        return None;
    }
    Some(Chosen { tag: row.string("tag")?, candidate, by: row.string("by")?, on: row.string("on")?, place: sink.place(row.at) })
}

fn accepted(row: &Record, sink: &mut Sink<'_>) -> Option<Accepted> {
    let finding = row.string("finding")?;
    let plain = |part: &str| !part.is_empty() && part.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-');
    if !finding.split_once('/').is_some_and(|(subject, fault)| plain(subject) && plain(fault)) {
        sink.error(row.at("finding"), format!("finding: “{finding}” is no name of a finding"), "names look like rating/breakaway-short");
        return None;
    }
    Some(Accepted {
        tag: row.string("tag")?,
        finding,
        by: row.string("by")?,
        reason: row.string("reason")?,
        on: row.string("on")?,
        place: sink.place(row.at),
    })
}

fn reading(row: &Record, sink: &mut Sink<'_>) -> Option<Reading> {
    let mut told = |key: &str, wrong: crate::text::Wrong| sink.error(row.at(key), format!("{key}: {}", wrong.message), wrong.help);
    let id = fact_id(row.text("fact")?).map_err(|wrong| told("fact", wrong)).ok()?;
    let known = parse_fact_of(row.text("value")?, def(id)).map_err(|wrong| told("value", wrong)).ok()?;
    if known == Known::Missing {
        told("value", crate::text::Wrong::new("a reading says what was read", "take the entry out while nothing was read"));
        return None;
    }
    let fact = Fact { known, origin: read_origin(row, sink.place(row.at("value"))) };
    Some(Reading { tag: row.string("tag")?, id, fact, place: sink.place(row.at) })
}
