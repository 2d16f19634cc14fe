//! The network words of a position: from its survey and two packs to the mapping, the block and the proof.

use std::sync::{Mutex, PoisonError};

use dossier::program::Project;
use dossier::words::{At, Mapped, MaxError, Proof, Renamed, Source, Table, Words};
use plant::choice::Choice;
use plant::fact::Known;
use plant::network::{Direction, FullScale, Layout, LossAction, ReferenceUnit, Scale, WordMeaning};
use plant::position::Position;
use plant::product::Series;
use plant::quantity::{Frequency, System};
use plant::survey::{
    FactId, MOTOR_FREQUENCY, MOTOR_SPEED, NETWORK_FULL_SCALE, NETWORK_LOSS_ACTION, NETWORK_TIMEOUT, NETWORK_UNIT, SPEED_HIGHEST, def, path,
};
use transfer::program::names::{self, Rules, fit};
use transfer::words::arbitration::arbitration;
use transfer::words::block::{BLOCK, block};
use transfer::words::map::{Entry, map, with_errors};
use transfer::words::pair::{Pair, Quantity, quantity};
use transfer::words::proof::{self, prove_block};
use transfer::words::scale::Settings;
use transfer::words::vectors::vector_tables;
use transfer::words::{choose, tables};

/// What was worked out.
#[derive(Clone, Debug)]
pub struct Answer {
    /// For people and scripts.
    pub words: Words,
    /// The block with the program that tests it; `None` while something is open or nothing can be written.
    pub project: Option<Project>,
}

/// Works the words of a joined position out for a new series.
///
/// # Errors
/// A sentence that says what is missing before anything can be compared: no network, no layout, no pack.
pub fn words(position: &Position, old_series: Option<&Series>, new_series: &Series, rules: &Rules) -> Result<Answer, String> {
    let tag = &position.tag;
    let Sides { old_series: series, old, new } = sides(position, old_series, new_series)?;
    let mut made = Making { position, open: Vec::new(), remarks: Vec::new() };
    let (old_settings, new_settings) = made.settings(old, new, new_series);
    let pair = Pair { old, new, old_settings, new_settings, old_faults: &series.faults, new_faults: &new_series.faults };
    made.say(old, new, &pair);
    let mut entries = map(&pair);
    let mut proof = None;
    let mut project = None;
    let mut vectors = None;
    if made.open.is_empty() {
        match block(&pair) {
            Ok(written) => {
                proof = proved(&pair, &written);
                vectors = vector_tables(&pair, &written);
                project = tables::with_test(&pair, &written).or(Some(written));
            }
            Err(no) => made.remarks.extend(no.why.iter().map(|why| format!("no block is written: {why}"))),
        }
    }
    if let Some(proof) = &proof {
        with_errors(&mut entries, &proof.errors);
        made.remarks.extend(proof.remarks.iter().cloned());
    }
    let mut tables: Vec<Table> = [tables::crosswalk(&pair), tables::symbols(&pair)]
        .into_iter()
        .chain(vectors.into_iter().flat_map(|v| [v.settled, v.scans]))
        .collect();
    let mut renamed = Vec::new();
    if let Some(whole) = &project {
        let fitted = fit(whole, rules)
            .map_err(|wrong| wrong.problems.iter().map(|p| format!("{}: {}", p.place, p.what)).collect::<Vec<_>>().join("; "))?;
        in_tables(&mut tables, &fitted.renamed);
        renamed = fitted.renamed;
        project = Some(fitted.project);
    }
    made.say_orders(&pair);
    let Making { open, remarks, .. } = made;
    let words = Words {
        tag: tag.clone(),
        old: format!("{}, {}", series.name, old.name),
        new: format!("{}, {}", new_series.name, new.name),
        map: entries.iter().map(|e| mapped(e, &pair, proof.as_ref())).collect(),
        arbitration: arbitration(&pair)
            .into_iter()
            .map(|l| Source { what: l.what.to_owned(), old: l.old, new: l.new, then: l.then })
            .collect(),
        renamed: renamed.into_iter().map(|r| Renamed { unit: r.unit, old: r.old, new: r.new, why: r.why }).collect(),
        proof: proof.as_ref().map(|p| Proof {
            words_tested: p.words_tested,
            values_tested: p.values_tested,
            mismatches: p.mismatches + p.wraps,
            examples: p.examples.clone(),
        }),
        // Lines with a number in them wait for what is open.
        lines: if open.is_empty() { tables::lines(&pair) } else { Vec::new() },
        open,
        remarks,
        tables,
        files: Vec::new(),
    };
    Ok(Answer { words, project })
}

/// Proofs that were made: whoever changes a fact that no number of the words hangs on need not wait for the same proof again. What a
/// proof is made from tells them apart, so that none can be out of date.
static PROVED: Mutex<Vec<(String, proof::Proof)>> = Mutex::new(Vec::new());
/// How many are kept; a site has a handful of pairs of layouts.
const KEPT: usize = 16;

/// The proof of a block; `None` when the block is wrong.
fn proved(pair: &Pair<'_>, written: &Project) -> Option<proof::Proof> {
    let made_from = format!("{pair:?} {written:?}");
    let kept = || PROVED.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some((_, known)) = kept().iter().find(|(from, _)| *from == made_from) {
        return Some(known.clone());
    }
    let proof = prove_block(pair, written).ok()?;
    let mut kept = kept();
    if kept.len() >= KEPT {
        kept.remove(0);
    }
    kept.push((made_from, proof.clone()));
    Some(proof)
}

/// Both layouts of a replacement.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Sides<'s> {
    pub(crate) old_series: &'s Series,
    pub(crate) old: &'s Layout,
    pub(crate) new: &'s Layout,
}

/// Finds them, or says what is missing.
pub(crate) fn sides<'s>(position: &Position, old_series: Option<&'s Series>, new_series: &'s Series) -> Result<Sides<'s>, String> {
    let (series, old) = old_side(position, old_series)?;
    let used = position.network.as_ref();
    let new = match used.and_then(|u| u.wanted.as_ref()) {
        Some(wanted) => new_series
            .layout(wanted)
            .ok_or_else(|| format!("the pack of {} has no layout “{wanted}”; it has: {}", new_series.name, layouts_of(new_series)))?,
        None => choose(old, &new_series.layouts).ok_or_else(|| format!("the pack of {} has no network layout", new_series.name))?,
    };
    Ok(Sides { old_series: series, old, new })
}

/// The old series and the layout that the old drive uses, or what is missing.
pub(crate) fn old_side<'s>(position: &Position, old_series: Option<&'s Series>) -> Result<(&'s Series, &'s Layout), String> {
    let tag = &position.tag;
    let Some(used) = &position.network else {
        return Err(format!("{tag} says nothing of a network: its position file has no [network] table"));
    };
    let series = old_series.ok_or_else(|| format!("{tag}: there is no pack of the old series, so its words are not known"))?;
    let name = used.layout.as_deref().ok_or_else(|| format!("{tag}: [network] does not say which layout the old drive uses"))?;
    let old =
        series.layout(name).ok_or_else(|| format!("the pack of {} has no layout “{name}”; it has: {}", series.name, layouts_of(series)))?;
    Ok((series, old))
}

fn layouts_of(series: &Series) -> String {
    series.layouts.iter().map(|l| l.name.as_str()).collect::<Vec<_>>().join(", ")
}

/// Puts new names of the block's variables into the tables that name them.
fn in_tables(tables: &mut [Table], renamed: &[names::Renamed]) {
    let new = |old: &str| renamed.iter().find(|r| r.unit == BLOCK && r.old == old).map(|r| r.new.clone());
    for table in tables {
        for head in &mut table.head {
            // "write OLD_COMMAND"
            if let Some((verb, name)) = head.split_once(' ')
                && let Some(name) = new(name)
            {
                *head = format!("{verb} {name}");
            }
        }
        if table.head.first().is_some_and(|h| h == "variable") {
            for cell in table.rows.iter_mut().filter_map(|row| row.first_mut()) {
                if let Some(name) = new(cell) {
                    *cell = name;
                }
            }
        }
    }
}

/// What scales and remarks need of a position, with what is open in it.
pub(crate) struct Making<'p> {
    pub(crate) position: &'p Position,
    pub(crate) open: Vec<String>,
    pub(crate) remarks: Vec<String>,
}

impl Making<'_> {
    /// The one value of a fact; `None` with the reading to take when it is a range, several, or missing.
    fn need(&mut self, id: FactId) -> Option<f64> {
        let value = self.one(id);
        if value.is_none() {
            self.open.push(format!("{}: {}", path(id), def(id).label));
        }
        value
    }

    pub(crate) fn one(&self, id: FactId) -> Option<f64> {
        match self.position.fact(id)?.known {
            Known::Value(value) => Some(value),
            _ => None,
        }
    }

    /// Settings of both sides; the new drive's full scale is set to the old one's.
    pub(crate) fn settings(&mut self, old: &Layout, new: &Layout, series: &Series) -> (Settings, Settings) {
        let scales = |layout: &Layout| -> Vec<Scale> { layout.words.iter().filter_map(|w| w.scale).collect() };
        let full =
            |layout: &Layout| scales(layout).into_iter().find_map(|s| if let Scale::FullScale { of, .. } = s { Some(of) } else { None });
        let by_setting = |layout: &Layout| scales(layout).iter().any(|s| matches!(s, Scale::BySetting { .. }));
        let in_rpm =
            |layout: &Layout| scales(layout).iter().any(|s| matches!(s, Scale::Rpm(_) | Scale::FloatRpm | Scale::BySetting { .. }));
        let top = self.position.fact(SPEED_HIGHEST.id).and_then(|f| f.known.bounds()).map(|(_, high)| Frequency::si(high));
        let full_scale = match full(old) {
            Some(_) => self.need(NETWORK_FULL_SCALE.id).map(Frequency::si),
            None => None,
        };
        let unit = if by_setting(old) {
            match self.need(NETWORK_UNIT.id) {
                Some(raw) if raw > 0.5 => ReferenceUnit::Rpm,
                _ => ReferenceUnit::Hertz,
            }
        } else {
            ReferenceUnit::Hertz
        };
        let poles = self.poles();
        if poles.is_none() && (in_rpm(old) || in_rpm(new)) {
            self.open.push(format!("{}: {}", path(MOTOR_SPEED.id), def(MOTOR_SPEED.id).label));
        }
        let value = full_scale.or(top).unwrap_or_else(|| {
            if self.open.is_empty() {
                self.open.push(format!("{}: {}", path(SPEED_HIGHEST.id), def(SPEED_HIGHEST.id).label));
            }
            Frequency::hz(60.0)
        });
        let highest = match full(old) {
            Some(FullScale::MaximumFrequency) => value,
            _ => top.map_or(value, |t| t.max(value)),
        };
        let most = series.control.highest_frequency;
        let poles = poles.unwrap_or(4.0);
        if highest > most {
            self.remarks.push(format!("the new drive goes no further than {}: setpoints above it are cut", most.text(System::Metric)));
        }
        if let Some(of) = full(new) {
            self.remarks.push(format!("set the new drive's {} to {}: the block counts on it", of.word(), value.text(System::Metric)));
        }
        if by_setting(new) {
            self.remarks.push("set the unit of the new drive's network reference to Hz: the block counts on it".to_owned());
        }
        self.remarks.push(format!("set the new drive's highest frequency to {}", highest.min(most).text(System::Metric)));
        let side = |unit, highest| Settings { full_scale: value, highest, unit, poles };
        (side(unit, highest), side(ReferenceUnit::Hertz, highest.min(most)))
    }

    /// Poles by the plate: the largest even number whose synchronous speed is not below the rated speed.
    fn poles(&self) -> Option<f64> {
        let (hertz, speed) = (self.one(MOTOR_FREQUENCY.id)?, self.one(MOTOR_SPEED.id)?);
        let rpm = plant::quantity::Speed::si(speed).in_rpm();
        let poles = (60.0 * hertz / rpm * (1.0 + 1e-9)).floor() * 2.0;
        (poles >= 2.0).then_some(poles)
    }

    /// What a programmer has to know beside the block.
    fn say(&mut self, old: &Layout, new: &Layout, pair: &Pair<'_>) {
        if old.protocol != new.protocol {
            self.remarks.push(format!(
                "the old words travel by {}, the new ones by {}: the master needs another interface",
                old.protocol.word(),
                new.protocol.word()
            ));
        }
        for direction in [Direction::ToDrive, Direction::FromDrive] {
            let (was, is) = (old.length(direction), new.length(direction));
            if was != is {
                self.remarks.push(format!("{}: {was} words before, {is} now", direction.word()));
            }
        }
        if !new.writes.is_empty() && old.writes.iter().any(|w| !new.writes.contains(w)) {
            let list = |l: &Layout| l.writes.iter().map(|w| w.word()).collect::<Vec<_>>().join(" or ");
            self.remarks.push(format!("registers were written {} at a time; the new drive takes {}", list(old), list(new)));
        }
        for (_, word) in new.words(Direction::ToDrive).filter(|(_, w)| !pair.uses_new(w)) {
            let what = word.carries.as_deref().unwrap_or("a setting");
            self.remarks.push(format!(
                "the block does not write “{}” ({what}): take it out of the cyclic words, or write the setting's value there; nought would be a value",
                word.name
            ));
        }
        match self.one(NETWORK_LOSS_ACTION.id).and_then(<LossAction as plant::survey::FactType>::from_raw) {
            Some(action) => {
                let time = self.one(NETWORK_TIMEOUT.id).map(|s| format!(" after {}", plant::quantity::Time::si(s).text(System::Metric)));
                let time = time.unwrap_or_else(|| " after a time that is still to be read".to_owned());
                if new.loss_actions.contains(&action) {
                    self.remarks.push(format!(
                        "set the new drive's action on loss of communication to {}{time}: the block cannot act when its controller stops",
                        action.word()
                    ));
                } else {
                    self.remarks.push(format!(
                        "the machine needs {} on loss of communication{time}, and the new layout is not known to offer it",
                        action.word()
                    ));
                }
            }
            None => self.open_remark(),
        }
        if pair.old.bit(Direction::ToDrive, plant::network::BitMeaning::FaultReset).is_none() {
            self.remarks.push("the old layout has no reset: faults are cleared at the drive".to_owned());
        }
    }

    /// Which words have their bytes turned, and on whose word.
    fn say_orders(&mut self, pair: &Pair<'_>) {
        for (side, layout) in [("old", pair.old), ("new", pair.new)] {
            let protocol = layout.protocol.word();
            let remark = match (layout.byte_order, layout.protocol.byte_order()) {
                (Some(own), Some(habit)) if own != habit => format!(
                    "the two bytes of the {side} layout's words come {}, against the habit of {protocol}: the block turns them; if the \
                     controller's interface turns them already, say the protocol's own order in the pack",
                    own.word()
                ),
                (None, Some(habit)) => {
                    format!(
                        "the pack does not say in which order the bytes of the {side} words come: {}, as {protocol} does, is taken",
                        habit.word()
                    )
                }
                (_, None) => {
                    format!("the {side} words travel by a protocol of the unit's own: the block takes them with their bytes in place")
                }
                _ => continue,
            };
            self.remarks.push(remark);
        }
    }

    fn open_remark(&mut self) {
        self.remarks.push(format!(
            "what the machine needs when the controller falls silent is not known ({}): read it, and prove it by pulling the cable",
            path(NETWORK_LOSS_ACTION.id)
        ));
    }
}

fn mapped(entry: &Entry, pair: &Pair<'_>, proof: Option<&proof::Proof>) -> Mapped {
    let at = |a: &transfer::words::map::At| At { word: format!("{} ({})", a.word, a.number), bit: a.bit };
    let error = proof.and_then(|p| p.errors.iter().find(|(m, _)| entry.number == Some(*m)));
    Mapped {
        direction: entry.direction.word().to_owned(),
        old: entry.old.as_ref().map(at),
        meaning: entry.meaning.clone(),
        new: entry.new.as_ref().map(at),
        scale: entry.scale.clone(),
        max_error: error.map(|(meaning, error)| max_error(pair, *meaning, error)),
        outcome: entry.outcome.word().to_owned(),
        note: entry.note.clone(),
    }
}

fn max_error(pair: &Pair<'_>, meaning: WordMeaning, error: &transfer::words::map::NumberError) -> MaxError {
    let kind = pair.old.word(meaning).and_then(|(_, w)| w.scale).map(quantity);
    let (value, unit) = match kind {
        Some(Quantity::Current) => (error.quantity, "A"),
        Some(Quantity::Share) => (error.quantity * 100.0, "%"),
        _ => (error.quantity, "Hz"),
    };
    let rpm = (unit == "Hz").then(|| pair.old_settings.speed(Frequency::hz(error.quantity)).in_rpm());
    MaxError { counts: error.counts, value, unit: unit.to_owned(), rpm }
}
