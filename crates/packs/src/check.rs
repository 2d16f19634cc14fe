//! What must agree between the files of a site.

use std::collections::HashMap;
use std::sync::Arc;

use plant::fact::Place;
use plant::position::{Position, Site};
use plant::product::Series;
use plant::survey;
use toml_edit::{Document, Item};

use crate::decisions::{Candidate, DecisionsFile, Reading};
use crate::problem::{At, Problem, Severity, Sink, did_you_mean};
use crate::source::Source;

/// Checks the files of a site against each other: names of supplies and boxes, tags, series, type codes, candidates,
/// currencies. `sources` are the texts that they were read from; where one is given, its problems point at the bytes.
#[must_use]
pub fn check_site(site: &Site, positions: &[Position], series: &[Series], decisions: &DecisionsFile, sources: &[Source]) -> Vec<Problem> {
    let mut check = Check { sources, documents: HashMap::new(), problems: Vec::new() };
    check.site(site, series, sources);
    check.shutdown(site, positions, sources);
    check.tags(positions);
    for position in positions {
        check.names(site, position);
        check.old_drive(position, series);
        check.network(position, series);
    }
    check.nodes(positions);
    check.decisions(positions, series, decisions);
    check.problems
}

/// Puts later readings in the place of the facts that they replace; of several readings of one fact, the one of the
/// latest date wins, and the last in the file among those of one date or without. Readings of tags and duty cells that
/// do not exist change nothing ([`check_site`] reports them).
pub fn apply_readings(positions: &mut [Position], readings: &[Reading]) {
    let mut order: Vec<&Reading> = readings.iter().collect();
    // ISO dates sort as text; a reading without date comes first. The sort keeps the order of the file.
    order.sort_by_key(|r| r.fact.origin.on.clone());
    for reading in order {
        let position = positions.iter_mut().find(|p| p.tag == reading.tag);
        if let Some(fact) = position.and_then(|p| p.fact_mut(reading.id)) {
            *fact = reading.fact.clone();
        }
    }
}

struct Check<'s> {
    sources: &'s [Source],
    documents: HashMap<Arc<str>, Option<Document<String>>>,
    problems: Vec<Problem>,
}

impl Check<'_> {
    fn report(&mut self, severity: Severity, place: &Place, path: &[&str], message: String, help: String) {
        let source = self.sources.iter().find(|s| s.name() == &place.file);
        let mut problem =
            Problem { line: place.line, column: u32::from(place.line > 0), help, ..Problem::new(severity, place.file.clone(), message) };
        if let Some(source) = source {
            let document = self.documents.entry(place.file.clone()).or_insert_with(|| Document::parse(source.text().to_owned()).ok());
            let found = document.as_ref().and_then(|d| span_of(d.as_item(), path)).filter(|_| !path.is_empty());
            let span = found.unwrap_or_else(|| source.line_span(place.line));
            let mut sink = Sink::of(source);
            let at = At::span(&span);
            match severity {
                Severity::Error => sink.error(at, problem.message, problem.help),
                Severity::Warning => sink.warning(at, problem.message, problem.help),
            }
            self.problems.extend(sink.finish());
        } else {
            problem.column = 1;
            self.problems.push(problem);
        }
    }

    /// Tags in the window and at isolation points are those of positions; one that is not read here may be another folder's.
    fn shutdown(&mut self, site: &Site, positions: &[Position], sources: &[Source]) {
        let file = sources.iter().map(Source::name).find(|n| n.ends_with("site.toml")).cloned().unwrap_or_else(|| "site.toml".into());
        let place = Place { file, line: 1 };
        let window = site.shutdown.window.iter().flat_map(|w| w.positions.iter().map(|tag| ("window", tag)));
        let points = site.shutdown.isolations.iter().flat_map(|i| i.positions.iter().map(|tag| ("isolations", tag)));
        for (table, tag) in window.chain(points) {
            if !positions.iter().any(|p| p.tag == *tag) {
                let help = did_you_mean(tag, positions.iter().map(|p| p.tag.as_str()));
                self.report(Severity::Warning, &place, &[table], format!("{table}: there is no position “{tag}”"), help);
            }
        }
    }

    fn site(&mut self, site: &Site, series: &[Series], sources: &[Source]) {
        let file = sources.iter().map(Source::name).find(|n| n.ends_with("site.toml")).cloned().unwrap_or_else(|| "site.toml".into());
        let place = Place { file, line: 1 };
        for name in &site.offered {
            match series.iter().find(|s| s.id == *name) {
                None => {
                    let help = format!("{}; packs are the folders in packs/", did_you_mean(name, series.iter().map(|s| s.id.as_str())));
                    self.report(Severity::Error, &place, &["offered"], format!("offered: there is no pack “{name}”"), help);
                }
                Some(s) if !s.offered => {
                    self.report(
                        Severity::Warning,
                        &place,
                        &["offered"],
                        format!("offered: the pack of “{name}” says that it cannot be bought"),
                        "offered = false in its pack.toml".into(),
                    );
                }
                Some(_) => {}
            }
        }
        let offered = |s: &&Series| if site.offered.is_empty() { s.offered } else { site.offered.contains(&s.id) };
        if !series.iter().any(|s| offered(&s)) {
            self.report(
                Severity::Warning,
                &place,
                &[],
                "no pack is offered: there is nothing to choose from".into(),
                "put a pack with offered = true into packs/".into(),
            );
        }
        for s in series.iter().filter(offered).filter(|s| s.currency != site.currency) {
            let message = format!("currency: prices are in {}, the site counts in {}", s.currency, site.currency);
            self.report(Severity::Warning, &s.place, &["currency"], message, "prices of different currencies are not added up".into());
        }
    }

    fn tags(&mut self, positions: &[Position]) {
        let mut seen: HashMap<&str, &Place> = HashMap::new();
        for position in positions {
            if let Some(first) = seen.get(position.tag.as_str()) {
                let message = format!("tag: “{}” is also the tag of {}", position.tag, first.file);
                self.report(Severity::Error, &position.place, &["tag"], message, "each position has a tag of its own".into());
            } else {
                seen.insert(&position.tag, &position.place);
            }
        }
    }

    fn names(&mut self, site: &Site, position: &Position) {
        let supplies: Vec<&str> = site.supplies.iter().map(|s| s.name.as_str()).collect();
        let boxes: Vec<&str> = site.boxes.iter().map(|b| b.named.name.as_str()).collect();
        for (key, name, list, table) in
            [("supply", &position.supply, supplies, "[[supplies]]"), ("box", &position.enclosure, boxes, "[[boxes]]")]
        {
            if let Some(name) = name.as_ref().filter(|n| !list.contains(&n.as_str())) {
                let help = if list.is_empty() { format!("add it to {table}") } else { did_you_mean(name, list.iter().copied()) };
                self.report(
                    Severity::Error,
                    &position.place,
                    &["place", key],
                    format!("{key}: site.toml has no {table} named “{name}”"),
                    help,
                );
            }
        }
    }

    fn old_drive(&mut self, position: &Position, series: &[Series]) {
        let Some(name) = &position.old_series else { return };
        let Some(old) = series.iter().find(|s| s.id == *name) else {
            let message = format!("series: there is no pack of the old series “{name}”");
            let help = match crate::problem::nearest(name, series.iter().map(|s| s.id.as_str())) {
                Some(near) => format!("did you mean “{near}”?"),
                None => "without it only the facts of this file tell about the old drive".into(),
            };
            self.report(Severity::Warning, &position.place, &["old", "series"], message, help);
            return;
        };
        let Some(code) = &position.old_code else { return };
        if old.code.is_empty() {
            let message = format!("code: the pack of “{name}” does not say how its type code reads");
            self.report(Severity::Warning, &position.place, &["old", "code"], message, "fill in its code.csv".into());
        } else if let Err(sentence) = old.decode(code) {
            self.report(Severity::Error, &position.place, &["old", "code"], format!("code: {sentence}"), "compare with the plate".into());
        }
    }

    /// The layout in use must be one of the old series, where its pack is there.
    fn network(&mut self, position: &Position, series: &[Series]) {
        let Some(layout) = position.network.as_ref().and_then(|n| n.layout.as_ref()) else { return };
        let old = position.old_series.as_ref().and_then(|name| series.iter().find(|s| s.id == *name));
        let Some(old) = old.filter(|s| s.layout(layout).is_none()) else { return };
        let message = format!("layout: the pack of “{}” has no layout “{layout}”", old.id);
        let help = if old.layouts.is_empty() {
            "fill in its layouts.csv, words.csv and bits.csv".into()
        } else {
            did_you_mean(layout, old.layouts.iter().map(|l| l.name.as_str()))
        };
        self.report(Severity::Error, &position.place, &["network", "layout"], message, help);
    }

    /// Two stations of one line may not share an address.
    fn nodes(&mut self, positions: &[Position]) {
        let mut seen: HashMap<(&str, u32), &Position> = HashMap::new();
        for position in positions {
            let Some((line, node)) = position.network.as_ref().and_then(|n| n.line.as_deref().zip(n.node)) else { continue };
            if let Some(first) = seen.get(&(line, node)) {
                let message = format!("node: {node} on “{line}” is also the address of {}", first.tag);
                self.report(Severity::Warning, &position.place, &["network", "node"], message, "each station of a line has its own".into());
            } else {
                seen.insert((line, node), position);
            }
        }
    }

    fn decisions(&mut self, positions: &[Position], series: &[Series], file: &DecisionsFile) {
        let no_tag = |tag: &str| {
            (!positions.iter().any(|p| p.tag == tag))
                .then(|| (format!("tag: there is no position “{tag}”"), did_you_mean(tag, positions.iter().map(|p| p.tag.as_str()))))
        };
        let tags = file.decisions.chosen.iter().map(|c| (&c.tag, &c.place));
        let tags =
            tags.chain(file.decisions.accepted.iter().map(|a| (&a.tag, &a.place))).chain(file.readings.iter().map(|r| (&r.tag, &r.place)));
        for (tag, place) in tags {
            if let Some((message, help)) = no_tag(tag) {
                self.report(Severity::Error, place, &[], message, help);
            }
        }
        for chosen in &file.decisions.chosen {
            let Some(candidate) = Candidate::parse(&chosen.candidate) else { continue };
            let (message, help) = match series.iter().find(|s| s.id == candidate.series) {
                None => (
                    format!("candidate: there is no pack “{}”", candidate.series),
                    did_you_mean(candidate.series, series.iter().map(|s| s.id.as_str())),
                ),
                Some(s) if s.ratings.iter().any(|r| r.code == candidate.code && r.duty == candidate.duty) => continue,
                Some(s) => {
                    let message = format!("candidate: “{}” has no such rating in {}", candidate.code, s.id);
                    (message, did_you_mean(candidate.code, s.ratings.iter().filter(|r| r.duty == candidate.duty).map(|r| r.code.as_str())))
                }
            };
            self.report(Severity::Error, &chosen.place, &[], message, help);
        }
        for reading in &file.readings {
            let position = positions.iter().find(|p| p.tag == reading.tag);
            if let Some(position) = position.filter(|p| p.fact(reading.id).is_none()) {
                let message = format!("fact: {} has no {}", position.tag, survey::path(reading.id));
                self.report(Severity::Error, &reading.place, &[], message, format!("its duty table has {} rows", position.duty.len()));
            }
        }
    }
}

/// Bytes of the value behind a path of keys.
fn span_of(root: &Item, path: &[&str]) -> Option<std::ops::Range<usize>> {
    path.iter().try_fold(root, |item, key| item.as_table_like()?.get(key)).and_then(Item::span)
}
