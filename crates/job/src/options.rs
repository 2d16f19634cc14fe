//! The candidates of a position: every rating of every pack that may replace, checked, with the remedies that
//! make findings hold, priced and ranked.

use std::cmp::Ordering;

use findings::candidate::{Candidate, Remedy};
use findings::check::{Check, Severity};
use findings::facts::{FactSet, Survey};
use findings::registry::CHECKS;
use plant::decision::Accepted;
use plant::position::Site;
use plant::product::Series;

use crate::bounds::{Bounds, Verdict, bounds};

/// What a check says about a candidate, with what was done about it.
#[derive(Clone, Debug)]
pub struct Finding<'a> {
    /// The check.
    pub check: &'static Check,
    /// Its margins over the ranges.
    pub bounds: Bounds,
    /// The remedy that made it better and went into the candidate.
    pub taken: Option<Remedy>,
    /// Who takes it on.
    pub accepted: Option<&'a Accepted>,
}

impl Finding<'_> {
    /// Its verdict; an accepted finding keeps it, it only no longer counts against the candidate.
    #[must_use]
    pub fn verdict(&self) -> Verdict {
        self.bounds.verdict()
    }

    /// Whether it counts against the candidate: nuisances are told, not counted, and what a person accepted is theirs.
    #[must_use]
    pub fn counts(&self) -> bool {
        self.check.severity > Severity::Nuisance && self.accepted.is_none()
    }
}

/// How a candidate came out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Standing {
    /// Holds whatever the rest turns out to be.
    Holds,
    /// Every margin holds; only facts that may not be assumed are open.
    HoldsButOpen,
    /// May hold.
    Depends,
    /// Cannot hold.
    Fails,
}

impl Standing {
    /// As a verdict.
    #[must_use]
    pub const fn verdict(self) -> Verdict {
        match self {
            Self::Holds => Verdict::Holds,
            Self::HoldsButOpen | Self::Depends => Verdict::Depends,
            Self::Fails => Verdict::Fails,
        }
    }
}

/// A line of the bill: what, and its price where one is stated.
#[derive(Clone, Debug, PartialEq)]
pub struct BillLine {
    /// What it is.
    pub what: String,
    /// Its price in the site's currency.
    pub price: Option<f64>,
}

/// A candidate with everything said about it.
#[derive(Clone, Debug)]
pub struct Assessed<'a> {
    /// The candidate, with the measures that were taken.
    pub unit: Candidate<'a>,
    /// One finding per check, in the order of the table.
    pub findings: Vec<Finding<'a>>,
    /// How it came out.
    pub standing: Standing,
    /// How it came out in what a choice of drive can decide: findings that no candidate does better in are the
    /// position's, not the candidate's.
    pub by_choice: Standing,
    /// Installed cost; `None` when the unit or a taken remedy has no price.
    pub cost: Option<f64>,
    /// How likely its open margins are to fail, weighed by severity: orders candidates that depend.
    pub risk: f64,
}

/// What is the same for all candidates of a position.
#[derive(Clone, Copy, Debug)]
pub struct Context<'a, 's> {
    /// The survey.
    pub survey: &'s Survey<'s>,
    /// The site: labour rates, currency.
    pub site: &'a Site,
    /// Deviations accepted at this position.
    pub accepted: &'a [Accepted],
}

/// The facts that each check read for an earlier candidate; saves the search for them.
pub type Hints = Vec<FactSet>;

/// Checks one candidate, takes the remedies that help, and prices it.
#[must_use]
pub fn assess<'a>(context: Context<'a, '_>, mut unit: Candidate<'a>, hints: &mut Hints) -> Assessed<'a> {
    hints.resize(CHECKS.len(), FactSet::default());
    let tag = &context.survey.position().tag;
    let mut findings: Vec<Finding<'a>> = Vec::with_capacity(CHECKS.len());
    for (check, hint) in CHECKS.iter().zip(hints.iter_mut()) {
        let found = bounds(check, &unit, context.survey, hint);
        hint.extend(&found.reads);
        let accepted = context.accepted.iter().find(|a| a.tag == *tag && a.finding == check.name);
        findings.push(Finding { check, bounds: found, taken: None, accepted });
    }
    take_remedies(context, &mut unit, &mut findings, hints);
    let (standing, risk) = standing(&findings);
    let mut assessed = Assessed { unit, findings, standing, by_choice: standing, cost: None, risk };
    assessed.cost = bill(&assessed, context.site).iter().try_fold(0.0, |sum, line| line.price.map(|p| sum + p));
    assessed
}

/// Takes each remedy that turns its finding's verdict for the better, then looks again at every check that the measure bears on.
fn take_remedies<'a>(context: Context<'a, '_>, unit: &mut Candidate<'a>, findings: &mut [Finding<'a>], hints: &Hints) {
    for index in 0..findings.len() {
        if findings[index].verdict() == Verdict::Holds || findings[index].accepted.is_some() {
            continue;
        }
        for remedy in (findings[index].check.remedies)(unit) {
            if unit.measures.has(remedy.measure) {
                continue;
            }
            let mut with = unit.clone();
            with.measures = unit.measures.with(remedy.measure);
            let after = bounds(findings[index].check, &with, context.survey, &hints[index]);
            if !helps(&after, &findings[index].bounds) {
                continue;
            }
            *unit = with;
            for (other, finding) in findings.iter_mut().enumerate() {
                if other != index && finding.check.measures.contains(&remedy.measure) {
                    finding.bounds = bounds(finding.check, unit, context.survey, &hints[other]);
                }
            }
            findings[index].bounds = after;
            findings[index].taken = Some(remedy);
            if findings[index].verdict() == Verdict::Holds {
                break;
            }
        }
    }
}

/// A remedy is worth taking when it leads to a better verdict, or to one that only an open fact keeps open.
fn helps(after: &Bounds, before: &Bounds) -> bool {
    let rank = |b: &Bounds| (b.verdict(), !b.only_open());
    rank(after) < rank(before)
}

/// How one finding stands.
fn standing_of(finding: &Finding<'_>) -> Standing {
    match finding.verdict() {
        Verdict::Holds => Standing::Holds,
        Verdict::Fails => Standing::Fails,
        Verdict::Depends if finding.bounds.only_open() => Standing::HoldsButOpen,
        Verdict::Depends => Standing::Depends,
    }
}

fn standing(findings: &[Finding<'_>]) -> (Standing, f64) {
    let mut standing = Standing::Holds;
    let mut risk = 0.0;
    for finding in findings.iter().filter(|f| f.counts()) {
        let own = standing_of(finding);
        standing = standing.max(own);
        if own == Standing::Depends {
            // The share of the margin's range that fails; one half where no margin is known.
            let share = match (finding.bounds.low, finding.bounds.high) {
                (Some(low), Some(high)) if high > low && high.is_finite() => (-low / (high - low)).clamp(0.0, 1.0),
                _ => 0.5,
            };
            risk += finding.check.severity.weight() * share;
        }
    }
    (standing, risk)
}

/// Puts candidates in order, and tells what is theirs from what is the position's: a finding that no candidate does better in
/// is none that a choice of drive can mend.
pub fn rank(candidates: &mut [Assessed<'_>]) {
    let floor: Vec<Standing> = (0..CHECKS.len())
        .map(|check| candidates.iter().filter_map(|c| c.findings.get(check)).map(standing_of).min().unwrap_or(Standing::Holds))
        .collect();
    for candidate in candidates.iter_mut() {
        candidate.by_choice = candidate
            .findings
            .iter()
            .zip(&floor)
            .filter(|(f, _)| f.counts())
            .map(|(f, floor)| (standing_of(f), *floor))
            .filter(|(own, floor)| own > floor)
            .map(|(own, _)| own)
            .max()
            .unwrap_or(Standing::Holds);
    }
    candidates.sort_by(order);
}

/// Where the money goes.
#[must_use]
pub fn bill(assessed: &Assessed<'_>, site: &Site) -> Vec<BillLine> {
    let series = assessed.unit.series;
    // Prices in another currency are no prices here; the reader of packs says so.
    let priced = |price: Option<f64>| price.filter(|_| series.currency == site.currency);
    let labour = |minutes: f64| site.rates.map_or(0.0, |r| r.electrician * minutes / 60.0);
    let mut lines = vec![BillLine {
        what: format!("{} {}, {}", series.name, assessed.unit.rating.code, plant::choice::Choice::word(assessed.unit.rating.duty)),
        price: priced(assessed.unit.rating.price),
    }];
    if let Some(time) = series.swap_time
        && site.rates.is_some()
    {
        lines.push(BillLine { what: format!("swap one unit, {time}"), price: Some(labour(time.in_minutes())) });
    }
    for remedy in assessed.findings.iter().filter_map(|f| f.taken.as_ref()) {
        lines.push(BillLine { what: remedy.what.clone(), price: remedy_cost(remedy, series, site) });
    }
    lines
}

/// Price of a remedy: parts and minutes.
#[must_use]
pub fn remedy_cost(remedy: &Remedy, series: &Series, site: &Site) -> Option<f64> {
    let parts = if remedy.parts == Some(0.0) { remedy.parts } else { remedy.parts.filter(|_| series.currency == site.currency) };
    parts.map(|parts| parts + site.rates.map_or(0.0, |r| r.electrician * remedy.minutes / 60.0))
}

/// Order of candidates: what a choice of drive can decide comes first; where that is not settled, the least risk; then the least
/// cost; then the name.
#[must_use]
pub fn order(a: &Assessed<'_>, b: &Assessed<'_>) -> Ordering {
    let cost = |c: &Assessed<'_>| c.cost.unwrap_or(f64::INFINITY);
    let risk = |c: &Assessed<'_>| if c.by_choice == Standing::Holds { 0.0 } else { c.risk };
    a.by_choice
        .cmp(&b.by_choice)
        .then(a.standing.cmp(&b.standing))
        .then(risk(a).total_cmp(&risk(b)))
        .then(cost(a).total_cmp(&cost(b)))
        .then_with(|| a.unit.series.id.cmp(&b.unit.series.id))
        .then_with(|| a.unit.rating.code.cmp(&b.unit.rating.code))
        .then(a.unit.rating.duty.cmp(&b.unit.rating.duty))
}
