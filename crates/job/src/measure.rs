//! What to measure next: which one reading would settle most verdicts for its effort.
//!
//! For each unsettled fact of the leading candidates a few readings are played through: the fact is fixed at that
//! reading and the findings that depend on it are bounded again. A reading's worth is the number of verdicts it
//! settles, weighed by severity and averaged over what it may show, against the effort of taking it.

use std::collections::BTreeMap;

use findings::facts::{Domain, Survey};
use plant::survey::{self, FactId};

use crate::bounds::{Depth, Verdict};
use crate::options::Assessed;
use crate::searches::Margins;

/// Readings played through for a range; ends included.
pub const READINGS: usize = 5;

/// A settled verdict of a finding whose only open fact has no range to play through counts this much: the reading
/// may settle it, either way.
const UNPLAYED: f64 = 0.5;

/// One reading that is worth taking.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// The fact.
    pub fact: FactId,
    /// Verdicts that it settles on average, with its part of those that wait for it and for others as well.
    pub settles: f64,
    /// Those among them that it settles by itself; where it is 0, the reading is a step that nothing can go round.
    pub alone: f64,
    /// The same weighed by severity and divided by effort: what readings are ordered by.
    pub worth: f64,
    /// Names of the findings that it bears on.
    pub findings: Vec<&'static str>,
}

/// The readings that bear on the leading candidates, the most worthwhile first.
#[must_use]
pub fn readings(margins: &Margins<'_, '_>, leading: &[&Assessed<'_>], per_range: usize) -> Vec<Reading> {
    let survey = margins.survey;
    // A value that is played through stays for all findings that hang on its fact: what the load then asks for is worked out once.
    let mut values: BTreeMap<FactId, Vec<(f64, Survey<'_>)>> = BTreeMap::new();
    let mut found: BTreeMap<FactId, Reading> = BTreeMap::new();
    for candidate in leading {
        for finding in candidate.findings.iter().filter(|f| f.verdict() == Verdict::Depends && !f.is_taken_on()) {
            for id in margins.depends_on(finding.check, &candidate.unit, &finding.bounds) {
                let values = values.entry(id).or_insert_with(|| {
                    possible(survey, id, per_range).into_iter().map(|value| (value, survey.with_reading(id, value))).collect()
                });
                let Settled { whole, alone } = settled_by(margins, candidate, finding, id, values);
                let weight = finding.check.severity.weight() / survey::def(id).effort.weight();
                #[expect(clippy::cast_precision_loss, reason = "a handful of candidates")]
                let share = 1.0 / leading.len() as f64;
                let reading =
                    found.entry(id).or_insert_with(|| Reading { fact: id, settles: 0.0, alone: 0.0, worth: 0.0, findings: Vec::new() });
                reading.settles += whole * share;
                reading.alone += alone * share;
                reading.worth += whole * weight * share;
                if !reading.findings.contains(&finding.check.name) {
                    reading.findings.push(finding.check.name);
                }
            }
        }
    }
    let mut list: Vec<Reading> = found.into_values().collect();
    // Equal worth: the lesser effort first, then the order of the survey.
    list.sort_by(|a, b| {
        b.worth.total_cmp(&a.worth).then(survey::def(a.fact).effort.cmp(&survey::def(b.fact).effort)).then(a.fact.cmp(&b.fact))
    });
    list
}

/// What a reading does for one finding.
struct Settled {
    /// Share of its values that settle the finding, or its part of what the finding waits for.
    whole: f64,
    /// Share of its values that settle the finding with nothing else read.
    alone: f64,
}

/// Share of the readings of a fact that settle a finding; `values` with the survey as each would leave it.
fn settled_by(
    margins: &Margins<'_, '_>,
    candidate: &Assessed<'_>,
    finding: &crate::options::Finding<'_>,
    id: FactId,
    values: &[(f64, Survey<'_>)],
) -> Settled {
    if values.is_empty() {
        return Settled { whole: part_of_open(finding, id), alone: 0.0 };
    }
    let settles = |read: &Survey<'_>| {
        let read = margins.with(read, id);
        // Most readings leave a verdict open, which a screening sees soon; one that settles it is confirmed in full.
        [Depth::Screen, Depth::Full]
            .into_iter()
            .all(|depth| read.bounds(finding.check, &candidate.unit, &finding.bounds.reads, depth).verdict() != Verdict::Depends)
    };
    // The ends of a range stand for half as much of it as the readings between; words of a list count alike.
    let range = margins.survey.domain(id).listed().is_none() && values.len() > 2;
    let weight = |i: usize| if range && (i == 0 || i + 1 == values.len()) { 0.5 } else { 1.0 };
    let all: f64 = (0..values.len()).map(weight).sum();
    let settled: f64 = values.iter().enumerate().filter(|(_, (_, read))| settles(read)).map(|(i, _)| weight(i)).sum();
    // No single reading settles a finding that waits for several; each is a step on the way.
    let alone = settled / all;
    Settled { whole: if settled == 0.0 && !finding.bounds.open.is_empty() { part_of_open(finding, id) } else { alone }, alone }
}

/// What one of several readings is worth that a finding waits for; a fact that is not open itself decides which others are.
fn part_of_open(finding: &crate::options::Finding<'_>, id: FactId) -> f64 {
    let open = finding.bounds.open.iter().filter(|other| *other != id).count();
    #[expect(clippy::cast_precision_loss, reason = "a handful of facts")]
    let waits = open as f64 + 1.0;
    if open > 0 || finding.bounds.open.contains(id) { UNPLAYED / waits } else { 0.0 }
}

/// Values that a reading of an uncertain fact may show, evenly over its range.
#[must_use]
pub fn possible(survey: &Survey<'_>, id: FactId, per_range: usize) -> Vec<f64> {
    match survey.domain(id) {
        Domain::OneOf(values) | Domain::OpenWords(values) => values.clone(),
        Domain::Between(..) | Domain::Times(..) | Domain::TimesMotors(..) | Domain::By(_) => {
            let Some(at) = survey.place_of(id) else { return Vec::new() };
            let mut point = survey.middle();
            #[expect(clippy::cast_precision_loss, reason = "a handful of readings")]
            (0..per_range)
                .filter_map(|i| {
                    point.set(at, i as f64 / (per_range - 1).max(1) as f64);
                    survey.at(&point).raw(id).ok()
                })
                .collect()
        }
        Domain::Fixed(_) | Domain::Absent | Domain::Open => Vec::new(),
    }
}
