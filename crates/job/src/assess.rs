//! The pipeline for a whole site: positions in parallel, each against every rating of every pack that may replace, side by side as well.

use findings::candidate::{Candidate, Measures, points};
use findings::facts::{FactSet, Survey};
use plant::choice::{Choice, Duty, Fixing, Style};
use plant::decision::Decisions;
use plant::fact::{Known, Origin};
use plant::position::{Neighbour, Position, Site, Thing};
use plant::product::{FixingHole, Frame, Rating, Series};
use plant::quantity::{Length, Power};
use plant::survey::{OLD_BOTTOM, OLD_CURRENT, OLD_DUTY, OLD_HEAT_SINK, OLD_LEFT};
use rayon::prelude::*;

use crate::bounds::Depth;
use crate::measure;
use crate::options::{Assessed, Context, Hints, Standing, assess, rank, shown};
use crate::report;
use crate::searches::{Margins, Searches};

/// Everything that an answer is made from.
#[derive(Clone, Copy, Debug)]
pub struct Input<'a> {
    /// The site.
    pub site: &'a Site,
    /// Its positions, all of them: neighbours in a box count.
    pub positions: &'a [Position],
    /// Only this one is asked for; all when `None`.
    pub only: Option<&'a str>,
    /// All packs, old series and new.
    pub packs: &'a [Series],
    /// What people decided.
    pub decisions: &'a Decisions,
    /// The date of the papers, ISO 8601.
    pub date: &'a str,
    /// How many candidates to show per position, chosen one included.
    pub shown: usize,
    /// What was searched before in this state of site and packs, where somebody keeps it: the answers are the same and come sooner.
    pub searches: Option<&'a Searches>,
}

/// Candidates whose open questions decide what to measure next.
const LEADING: usize = 4;

/// Assesses every position that is asked for; `done` is called after each with its tag.
#[must_use]
pub fn assess_site(input: Input<'_>, done: &(dyn Fn(&str) + Sync)) -> dossier::Dossier {
    let positions = input
        .positions
        .par_iter()
        .filter(|position| input.only.is_none_or(|tag| position.tag == tag))
        .map(|position| {
            let report = assess_position(input, position);
            done(&position.tag);
            report
        })
        .collect();
    dossier::Dossier {
        schema: 1,
        site: input.site.name.clone(),
        date: input.date.to_owned(),
        currency: input.site.currency.clone(),
        positions,
    }
}

/// One position: survey joined with supply, box, site and the old drive's pack; candidates; report.
#[must_use]
pub fn assess_position(input: Input<'_>, surveyed: &Position) -> dossier::Position {
    with_assessed(input, surveyed, |_, _, report| report)
}

/// The same with what the report was made from: the survey of the joined position, and all candidates, best first.
pub(crate) fn with_assessed<'a, T>(
    input: Input<'a>,
    surveyed: &Position,
    then: impl FnOnce(&Survey<'_>, &[Assessed<'a>], dossier::Position) -> T,
) -> T {
    let mut remarks = Vec::new();
    let position = join(input, surveyed, &mut remarks);
    let mut survey = survey_of(input, &position);
    if let Some(searches) = input.searches {
        survey = survey.with_wired(searches.wired(&position));
    }
    let margins = Margins::of(&survey, input.searches);
    let candidates = candidates(input, &margins);
    let leading = leading(&candidates);
    let readings = measure::readings(&margins, &leading, measure::READINGS);
    let mut report = report::position(input, &margins, &candidates, &readings, remarks);
    if let (Some(series), Some(code)) = (old_series(input, &position), &position.old_code) {
        report.old_decoded = report::decoded(series, code, input.site.units);
        report.cautions.extend(report::unit_cautions(series, "old unit"));
    }
    if let Some(first) = candidates.first() {
        report.cautions.extend(report::unit_cautions(first.unit.series, "new unit"));
    }
    then(&survey, &candidates, report)
}

/// The candidates whose open questions count: those that are shown, unless they are ruled out.
#[must_use]
pub fn leading<'a, 'b>(candidates: &'b [Assessed<'a>]) -> Vec<&'b Assessed<'a>> {
    shown(candidates, LEADING).into_iter().map(|i| &candidates[i]).filter(|c| c.by_choice != Standing::Fails).collect()
}

/// Every rating of every pack that may replace, checked; best first, a person's choice before all.
#[must_use]
pub fn all_candidates<'a>(input: Input<'a>, survey: &Survey<'_>) -> Vec<Assessed<'a>> {
    candidates(input, &Margins::of(survey, input.searches))
}

fn candidates<'a>(input: Input<'a>, margins: &Margins<'_, '_>) -> Vec<Assessed<'a>> {
    let chosen = input.decisions.chosen.iter().rev().find(|c| c.tag == margins.survey.position().tag).map(|c| c.candidate.as_str());
    let mut units = offered(input).flat_map(Candidate::all);
    // What the first reads spares the others the search for it.
    let mut hints = Hints::new();
    let first: Vec<Candidate<'a>> = units.next().into_iter().collect();
    let mut candidates = side_by_side(input, margins, first, &mut hints, Depth::Screen);
    candidates.extend(side_by_side(input, margins, units.collect(), &mut hints, Depth::Screen));
    // What people will see is searched in full; that may change the order, so that others come into sight.
    loop {
        rank(&mut candidates);
        if let Some(at) = candidates.iter().position(|c| chosen == Some(c.unit.id().as_str())) {
            candidates[..=at].rotate_right(1);
        }
        let seen = shown(&candidates, input.shown.max(LEADING));
        let screened: Vec<usize> = seen.into_iter().filter(|i| candidates[*i].depth == Depth::Screen).collect();
        if screened.is_empty() {
            return candidates;
        }
        let bare = |at: &usize| {
            let mut unit = candidates[*at].unit.clone();
            unit.measures = Measures::default();
            unit
        };
        let units = screened.iter().map(bare).collect();
        for (index, full) in screened.into_iter().zip(side_by_side(input, margins, units, &mut hints, Depth::Full)) {
            candidates[index] = full;
        }
    }
}

/// Assesses units side by side, each with the hints as they were; afterwards they know what all of them read.
fn side_by_side<'a>(
    input: Input<'a>,
    margins: &Margins<'_, '_>,
    units: Vec<Candidate<'a>>,
    hints: &mut Hints,
    depth: Depth,
) -> Vec<Assessed<'a>> {
    let known = &*hints;
    let all: Vec<(Assessed<'a>, Hints)> = units
        .into_par_iter()
        .map(|unit| {
            let (own, mut read) = (margins.beside(), known.clone());
            let context = Context { margins: &own, site: input.site, accepted: &input.decisions.accepted };
            (assess(context, unit, &mut read, depth), read)
        })
        .collect();
    let (assessed, read): (Vec<_>, Vec<_>) = all.into_iter().unzip();
    for read in read {
        hints.resize(read.len(), FactSet::default());
        hints.iter_mut().zip(&read).for_each(|(hint, read)| hint.extend(read));
    }
    assessed
}

/// The packs that may replace.
pub fn offered(input: Input<'_>) -> impl Iterator<Item = &Series> {
    input.packs.iter().filter(move |s| if input.site.offered.is_empty() { s.offered } else { input.site.offered.contains(&s.id) })
}

/// A position with what its supply, box, site and old type code add.
#[must_use]
pub fn join(input: Input<'_>, surveyed: &Position, remarks: &mut Vec<String>) -> Position {
    let mut position = surveyed.clone();
    position.inherit(input.site);
    if let (Some(series), Some(code)) = (old_series(input, &position), position.old_code.clone()) {
        match series.decode(&code) {
            Ok(decoded) => {
                let known_duty = position.fact(OLD_DUTY.id).and_then(|f| f.known.bounds()).and_then(|(low, high)| {
                    #[expect(clippy::float_cmp, reason = "indices of words are whole numbers")]
                    let one = low == high;
                    one.then_some(if low < 0.5 { Duty::Light } else { Duty::Heavy })
                });
                let currents: Vec<f64> =
                    decoded.ratings.iter().filter(|r| known_duty.is_none_or(|d| d == r.duty)).map(|r| r.current.in_a()).collect();
                if let Some(fact) = position.fact_mut(OLD_CURRENT.id)
                    && fact.is_missing()
                    && !currents.is_empty()
                {
                    fact.known = if let [one] = currents[..] { Known::Value(one) } else { Known::OneOf(currents) };
                    fact.origin =
                        Origin { proof: Some(format!("type code {code} read with the pack of {}", series.name)), ..Origin::default() };
                }
            }
            Err(problem) => remarks.push(format!("the old type code could not be read: {problem}")),
        }
    }
    position.old_frame = old_frame(input, &position);
    if let Some((series, rating)) = old_rating(input, &position) {
        position.old_input_current = Some(rating.input_current);
        position.old_line_side = series.line_side(&rating.frame).cloned();
    }
    position.neighbours = neighbours(input, &position, remarks);
    let twins = same_address(input, &position);
    if let Some(network) = &mut position.network {
        network.same_address = twins;
    }
    position
}

/// Series and first rating of the old drive, where its pack and type code tell.
fn old_rating<'a>(input: Input<'a>, position: &Position) -> Option<(&'a Series, &'a Rating)> {
    let series = old_series(input, position)?;
    Some((series, *series.decode(position.old_code.as_deref()?).ok()?.ratings.first()?))
}

/// Tags of other positions with the same address on the same line.
fn same_address(input: Input<'_>, position: &Position) -> Vec<String> {
    let of = |p: &Position| p.network.as_ref().and_then(|n| n.line.clone().zip(n.node));
    let own = of(position);
    input.positions.iter().filter(|p| own.is_some() && p.tag != position.tag && of(p) == own).map(|p| p.tag.clone()).collect()
}

/// Frame and fixing holes of the old drive, where its pack and type code tell.
fn old_frame(input: Input<'_>, position: &Position) -> Option<(Frame, Vec<FixingHole>)> {
    let (series, rating) = old_rating(input, position)?;
    let frame = series.frame(&rating.frame)?;
    Some((frame.clone(), series.fixing(&frame.name).cloned().collect()))
}

/// The other drives of the box: their losses, and their room on the plate as things that stay.
fn neighbours(input: Input<'_>, position: &Position, remarks: &mut Vec<String>) -> Vec<Neighbour> {
    let Some(name) = &position.enclosure else { return Vec::new() };
    let others = input.positions.iter().filter(|p| p.enclosure.as_ref() == Some(name) && p.tag != position.tag);
    let mut list = Vec::new();
    for other in others {
        let stands = standing(input, other);
        if stands.is_none() {
            remarks.push(format!(
                "where the drive of {} stands on the plate of {name} is not known (old.plate_left, old.plate_bottom, its pack): it is not counted as being in the way",
                other.tag
            ));
        }
        list.push(Neighbour { tag: other.tag.clone(), losses: old_heat(input, other), stands });
    }
    list
}

/// Losses of the drive that stands there today at rated load, the largest of its duty classes.
pub(crate) fn old_losses(input: Input<'_>, position: &Position) -> Option<Power> {
    let decoded = old_series(input, position)?.decode(position.old_code.as_deref()?).ok()?;
    decoded.ratings.iter().filter_map(|r| r.losses).reduce(Power::max)
}

/// What of them stays in the box: all but what a heat sink outside takes along, where the old pack tells the share.
pub(crate) fn old_heat(input: Input<'_>, position: &Position) -> Option<Power> {
    let losses = old_losses(input, position)?;
    let outside = position.fact(OLD_HEAT_SINK.id).and_then(|f| f.known.bounds()).is_some_and(|(low, _)| low > 0.5);
    if !outside {
        return Some(losses);
    }
    let (frame, _) = old_frame(input, position)?;
    let style = old_series(input, position)?.mounting(&frame.name, Style::ThroughWall)?;
    Some(losses * style.heat_inside.in_of_one())
}

/// A neighbour's drive of today as a thing on the plate, with the greatest room that its place may take.
fn standing(input: Input<'_>, other: &Position) -> Option<Thing> {
    let (frame, _) = old_frame(input, other)?;
    let ((left, most_left), (bottom, most_bottom)) = (other.fact(OLD_LEFT.id)?.known.bounds()?, other.fact(OLD_BOTTOM.id)?.known.bounds()?);
    Some(Thing {
        name: format!("drive of {}", other.tag),
        left: Length::m(left),
        bottom: Length::m(bottom),
        width: frame.width + Length::m(most_left - left),
        height: frame.height + Length::m(most_bottom - bottom),
        depth: frame.depth,
        fixing: Fixing::Plate,
        movable: false,
    })
}

/// The pack of the old drive, where there is one.
#[must_use]
pub fn old_series<'a>(input: Input<'a>, position: &Position) -> Option<&'a Series> {
    position.old_series.as_ref().and_then(|id| input.packs.iter().find(|s| s.id == *id))
}

/// The survey of a joined position, with the old series' overload points.
#[must_use]
pub fn survey_of<'p>(input: Input<'_>, position: &'p Position) -> Survey<'p> {
    let survey = Survey::new(position).with_landing(crate::wires::rules(input.site, position));
    match old_series(input, position) {
        Some(series) => {
            let layout = position.network.as_ref().and_then(|n| series.layout(n.layout.as_deref()?)).cloned();
            // Only a position on a network goes by fault codes.
            let faults = if layout.is_some() { series.faults.clone() } else { Vec::new() };
            // Only a position whose list was taken goes by settings.
            let settings = if position.settings.is_some() { series.settings.clone() } else { Vec::new() };
            survey
                .with_old_points(points(series, Duty::Light), points(series, Duty::Heavy))
                .with_old_words(layout, faults)
                .with_old_settings(settings)
        }
        None => survey,
    }
}

/// A duty class' word, for reports.
pub(crate) fn duty_word(duty: Duty) -> &'static str {
    duty.word()
}
