//! The candidates of a position: every rating of every pack that may replace, checked, with the remedies that
//! make findings hold, priced and ranked.

use std::cmp::Ordering;

use findings::candidate::{Candidate, Measure, Remedy};
use findings::check::{Check, Severity};
use findings::facts::FactSet;
use findings::registry::CHECKS;
use plant::decision::Accepted;
use plant::position::{Position, Site};
use plant::quantity::Time;
use plant::survey::RESISTOR;
use transfer::wires::Billed;

use crate::bounds::{Bounds, Depth, Verdict};
use crate::prices;
use crate::searches::Margins;

/// What a check says about a candidate, with what was done about it.
#[derive(Clone, Debug)]
pub struct Finding<'a> {
    /// The check.
    pub check: &'static Check,
    /// Its margins over the ranges.
    pub bounds: Bounds,
    /// Every fact that was read on the way there, before remedies were taken as well: what the choice of remedies rests on.
    pub looked: FactSet,
    /// The remedy that made it better and went into the candidate; its parts are priced in the site's currency.
    pub taken: Option<Remedy>,
    /// Who takes it on.
    pub accepted: Option<&'a Accepted>,
}

impl Finding<'_> {
    /// Puts other margins in the place of those it has.
    fn becomes(&mut self, bounds: Bounds) {
        self.looked.extend(&bounds.reads);
        self.bounds = bounds;
    }

    /// Its verdict; an accepted finding keeps it, it only no longer counts against the candidate.
    #[must_use]
    pub fn verdict(&self) -> Verdict {
        self.bounds.verdict()
    }

    /// Whether it counts against the candidate: nuisances are told, not counted, and what a person accepted is theirs.
    #[must_use]
    pub fn counts(&self) -> bool {
        self.check.severity > Severity::Nuisance && !self.is_taken_on()
    }

    /// Whether a person took it on. Nobody can take on what is not known and may not be assumed: with such a fact open the
    /// finding stays, and so does its remedy.
    #[must_use]
    pub fn is_taken_on(&self) -> bool {
        self.accepted.is_some() && self.bounds.open.is_empty()
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
    /// How it comes.
    pub delivery: Delivery,
}

/// How what stands in a line of the bill comes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Delivery {
    /// Nothing is ordered: it is work alone.
    Work,
    /// So long after it is ordered; nobody has said how long where it is `None`.
    After(Option<Time>),
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
    /// Modules and parts for the conductors, where they are fitted.
    pub control_parts: Vec<BillLine>,
    /// The resistor of a chopper that is ordered where there is none.
    pub resistor: Option<BillLine>,
    /// Installed cost of everything that has a price.
    pub cost: f64,
    /// How many lines of its bill have no price.
    pub unpriced: usize,
    /// How far its findings were searched.
    pub depth: Depth,
    /// Findings that fail, or that fail over more than half of their range, weighed by what they may do: orders candidates that a
    /// choice does not settle.
    pub likely_to_fail: f64,
    /// How each finding stands, and whether it counts: what candidates are ranked by, again and again.
    standings: Vec<(Standing, bool)>,
}

/// What is the same for all candidates of a position.
#[derive(Clone, Copy, Debug)]
pub struct Context<'a, 's> {
    /// The survey with its margins.
    pub margins: &'s Margins<'s, 's>,
    /// The site: labour rates, currency.
    pub site: &'a Site,
    /// Deviations accepted at this position.
    pub accepted: &'a [Accepted],
}

/// The facts that each check read for an earlier candidate; saves the search for them.
pub type Hints = Vec<FactSet>;

/// Checks one candidate, takes the remedies that help, and prices it.
#[must_use]
pub fn assess<'a>(context: Context<'a, '_>, mut unit: Candidate<'a>, hints: &mut Hints, depth: Depth) -> Assessed<'a> {
    hints.resize(CHECKS.len(), FactSet::default());
    let tag = &context.margins.survey.position().tag;
    let mut findings: Vec<Finding<'a>> = Vec::with_capacity(CHECKS.len());
    for (check, hint) in CHECKS.iter().zip(hints.iter_mut()) {
        let found = context.margins.bounds(check, &unit, hint, depth);
        hint.extend(&found.reads);
        let accepted = context.accepted.iter().find(|a| a.tag == *tag && a.finding == check.name);
        findings.push(Finding { check, looked: found.reads, bounds: found, taken: None, accepted });
    }
    take_remedies(context, &mut unit, &mut findings, hints, depth);
    leave_out_needless(context, &mut unit, &mut findings, hints, depth);
    let standings: Vec<(Standing, bool)> = findings.iter().map(|f| (standing_of(f), f.counts())).collect();
    let standing = standings.iter().filter(|(_, counts)| *counts).map(|(own, _)| *own).max().unwrap_or(Standing::Holds);
    let likely_to_fail = findings.iter().filter(|f| f.counts() && likely_to_fail(f)).map(|f| f.check.severity.weight()).sum();
    let (control_parts, resistor) = (control_parts(context, &unit), resistor(context, &unit));
    let mut assessed = Assessed {
        unit,
        findings,
        standing,
        by_choice: standing,
        control_parts,
        resistor,
        cost: 0.0,
        unpriced: 0,
        depth,
        likely_to_fail,
        standings,
    };
    let bill = bill(&assessed, context.site, context.margins.survey.position());
    assessed.cost = bill.iter().filter_map(|line| line.price).sum();
    assessed.unpriced = bill.iter().filter(|line| line.price.is_none()).count();
    assessed
}

/// Takes each remedy that turns its finding's verdict for the better, then looks again at every check that the measure bears on.
fn take_remedies<'a>(context: Context<'a, '_>, unit: &mut Candidate<'a>, findings: &mut [Finding<'a>], hints: &Hints, depth: Depth) {
    // What may do the worst is mended first: a later remedy must not undo it.
    let mut order: Vec<usize> = (0..findings.len()).collect();
    order.sort_by_key(|index| std::cmp::Reverse(findings[*index].check.severity));
    for index in order {
        if findings[index].verdict() == Verdict::Holds || findings[index].is_taken_on() {
            continue;
        }
        for remedy in (findings[index].check.remedies)(unit) {
            let remedy = of_position(context, unit, remedy);
            let early = remedy.measure.waits_for_certainty() && findings[index].verdict() != Verdict::Fails;
            if unit.measures.has(remedy.measure) || early {
                continue;
            }
            let mut with = unit.clone();
            with.measures = unit.measures.with(remedy.measure);
            let after = context.margins.bounds(findings[index].check, &with, &hints[index], depth);
            if !helps(&after, &findings[index].bounds) {
                continue;
            }
            let touched = (0..findings.len()).filter(|other| *other != index && findings[*other].check.measures.contains(&remedy.measure));
            let others: Vec<(usize, Bounds)> =
                touched.map(|other| (other, context.margins.bounds(findings[other].check, &with, &hints[other], depth))).collect();
            // What mends one thing and breaks another is no remedy.
            if others.iter().any(|(other, now)| helps(&findings[*other].bounds, now)) {
                continue;
            }
            *unit = with;
            for (other, now) in others {
                findings[other].becomes(now);
            }
            findings[index].becomes(after);
            prices::rests_on(remedy.measure).iter().for_each(|id| findings[index].looked.insert(*id));
            findings[index].taken = Some(remedy);
            if findings[index].verdict() == Verdict::Holds {
                break;
            }
        }
    }
}

/// A remedy that hangs on the position as well: what its conductors need is theirs, and its price.
fn of_position(context: Context<'_, '_>, unit: &Candidate<'_>, remedy: Remedy) -> Remedy {
    let remedy = match (remedy.measure, context.margins.survey.wired(unit)) {
        (Measure::ControlParts, Ok(Some(wired))) => Remedy { minutes: wired.minutes.max(1.0), ..remedy },
        _ => remedy,
    };
    prices::at_position(remedy, unit.series, context.site, context.margins.survey.position())
}

/// A chopper alone takes no energy: where no resistor is known of, one is bought with it.
fn resistor(context: Context<'_, '_>, unit: &Candidate<'_>) -> Option<BillLine> {
    let position = context.margins.survey.position();
    let there = position.fact(RESISTOR.id).is_some_and(|fact| !fact.is_missing());
    let bought = unit.measures.has(Measure::Chopper) && !unit.measures.has(Measure::NewResistor) && !there;
    bought.then(|| BillLine {
        what: "brake resistor for the chopper, ohms and watts as the workings of the braking findings have them, with a thermal contact"
            .into(),
        price: prices::brake_resistor(context.site, position),
        delivery: Delivery::After(prices::lead_time(Measure::NewResistor, unit.series, context.site, position)),
    })
}

/// The lines of the bill for what the conductors of the position need, where it is fitted.
fn control_parts(context: Context<'_, '_>, unit: &Candidate<'_>) -> Vec<BillLine> {
    if !unit.measures.has(Measure::ControlParts) {
        return Vec::new();
    }
    let Ok(Some(wired)) = context.margins.survey.wired(unit) else { return Vec::new() };
    let (series, site, position) = (unit.series, context.site, context.margins.survey.position());
    let line = |b: &Billed| BillLine {
        what: b.what.clone(),
        price: b.price_at_site(series.currency == site.currency),
        delivery: Delivery::After(prices::lead_time_of(b.bought, series, site, position)),
    };
    wired.bill.iter().map(line).collect()
}

/// Leaves out what a later remedy has made needless: a cover plate over a cut-out that a heat sink fills by now.
fn leave_out_needless<'a>(context: Context<'a, '_>, unit: &mut Candidate<'a>, findings: &mut [Finding<'a>], hints: &Hints, depth: Depth) {
    for index in 0..findings.len() {
        let Some(measure) = findings[index].taken.as_ref().map(|r| r.measure) else { continue };
        let mut less = unit.clone();
        less.measures = unit.measures.without(measure);
        let touched = (0..findings.len()).filter(|other| findings[*other].check.measures.contains(&measure));
        let without: Vec<(usize, Bounds)> =
            touched.map(|other| (other, context.margins.bounds(findings[other].check, &less, &hints[other], depth))).collect();
        if without.iter().any(|(other, now)| helps(&findings[*other].bounds, now)) {
            continue;
        }
        *unit = less;
        findings[index].taken = None;
        for (other, now) in without {
            findings[other].becomes(now);
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

/// Fails, or fails over more than half of its margin's range.
fn likely_to_fail(finding: &Finding<'_>) -> bool {
    match (finding.bounds.low, finding.bounds.high) {
        (Some(low), Some(high)) => low < 0.0 && -low > high,
        _ => false,
    }
}

/// Puts candidates in order, and tells what is theirs from what is the position's: a finding that no candidate does better in
/// is none that a choice of drive can mend.
pub fn rank(candidates: &mut [Assessed<'_>]) {
    let mut floor = vec![Standing::Fails; CHECKS.len()];
    for candidate in candidates.iter() {
        for (floor, (own, _)) in floor.iter_mut().zip(&candidate.standings) {
            *floor = (*floor).min(*own);
        }
    }
    for candidate in candidates.iter_mut() {
        let above = candidate.standings.iter().zip(&floor).filter(|((own, counts), floor)| *counts && own > floor);
        candidate.by_choice = above.map(|((own, _), _)| *own).max().unwrap_or(Standing::Holds);
    }
    candidates.sort_by(order);
}

/// Where the money goes.
#[must_use]
pub fn bill(assessed: &Assessed<'_>, site: &Site, position: &Position) -> Vec<BillLine> {
    let series = assessed.unit.series;
    // Prices in another currency are no prices here; the reader of packs says so.
    let priced = |price: Option<f64>| price.filter(|_| series.currency == site.currency);
    let labour = |minutes: f64| site.rates.map_or(0.0, |r| r.electrician * minutes / 60.0);
    let mut lines = vec![BillLine {
        what: format!("{} {}, {}", series.name, assessed.unit.rating.code, plant::choice::Choice::word(assessed.unit.rating.duty)),
        price: priced(assessed.unit.rating.price),
        delivery: Delivery::After(series.lead_time),
    }];
    if let Some(time) = series.swap_time
        && site.rates.is_some()
    {
        let price = Some(labour(time.in_minutes()));
        lines.push(BillLine { what: format!("swap one unit, {time}"), price, delivery: Delivery::Work });
    }
    for remedy in assessed.findings.iter().filter_map(|f| f.taken.as_ref()) {
        // What the conductors need is ordered line by line below it.
        let is_work = remedy.measure.is_work_alone() || remedy.measure == Measure::ControlParts;
        let delivery = if is_work { Delivery::Work } else { Delivery::After(prices::lead_time(remedy.measure, series, site, position)) };
        lines.push(BillLine { what: remedy.what.clone(), price: remedy_cost(remedy, site), delivery });
        if remedy.measure == Measure::ControlParts {
            lines.extend(assessed.control_parts.iter().cloned());
        }
        if remedy.measure == Measure::Chopper {
            lines.extend(assessed.resistor.clone());
        }
    }
    lines
}

/// Price of a remedy that was taken: parts and minutes.
#[must_use]
pub fn remedy_cost(remedy: &Remedy, site: &Site) -> Option<f64> {
    remedy.parts.map(|parts| parts + site.rates.map_or(0.0, |r| r.electrician * remedy.minutes / 60.0))
}

/// Order of candidates: what is sound in all that a choice of drive can decide comes first; where that is not settled, the one
/// with the least that is likely to fail, weighed by severity; then the least cost, reckoned with what nobody has priced; then the
/// name.
#[must_use]
pub fn order(a: &Assessed<'_>, b: &Assessed<'_>) -> Ordering {
    let likely = |c: &Assessed<'_>| if c.by_choice == Standing::Holds { 0.0 } else { c.likely_to_fail };
    // A unit without a price cannot be compared; it comes last among its like.
    let priced = |c: &Assessed<'_>| c.unit.rating.price.is_none();
    a.by_choice
        .cmp(&b.by_choice)
        .then_with(|| likely(a).total_cmp(&likely(b)))
        .then_with(|| priced(a).cmp(&priced(b)))
        .then_with(|| reckoned(a).total_cmp(&reckoned(b)))
        .then_with(|| a.unit.series.id.cmp(&b.unit.series.id))
        .then_with(|| a.unit.rating.code.cmp(&b.unit.rating.code))
        // At one price the unit in the duty class with the larger overload is the safer reading.
        .then_with(|| b.unit.rating.duty.cmp(&a.unit.rating.duty))
}

/// Share of the unit's price that a line without a price counts as in the order of candidates, so that what nobody has priced does
/// not make a unit look cheap. It stands in no bill. Common practice, no source.
const UNPRICED_SHARE: f64 = 0.15;

fn reckoned(candidate: &Assessed<'_>) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "a handful of lines")]
    let lines = candidate.unpriced as f64;
    candidate.cost + lines * UNPRICED_SHARE * candidate.unit.rating.price.unwrap_or(0.0)
}

/// Which candidates to show, as indices: the first, then those that are sound and those in doubt by turns, as far as there are
/// any; so that a dear but certain unit and a cheap but doubtful one stand side by side.
#[must_use]
pub fn shown(candidates: &[Assessed<'_>], count: usize) -> Vec<usize> {
    let after_first =
        |standing: fn(Standing) -> bool| candidates.iter().enumerate().skip(1).filter(move |(_, c)| standing(c.by_choice)).map(|(i, _)| i);
    let mut sound = after_first(|s| s == Standing::Holds);
    let mut doubt = after_first(|s| matches!(s, Standing::HoldsButOpen | Standing::Depends));
    let mut list: Vec<usize> = (0..candidates.len().min(1)).collect();
    while list.len() < count {
        let turn = if list.len() % 2 == 1 { sound.next().or_else(|| doubt.next()) } else { doubt.next().or_else(|| sound.next()) };
        match turn.or_else(|| (1..candidates.len()).find(|i| !list.contains(i))) {
            Some(index) => list.push(index),
            None => break,
        }
    }
    list.sort_unstable();
    list
}
