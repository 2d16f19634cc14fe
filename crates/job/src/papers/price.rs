//! What one assumption may do to the price: the fact is put to each end of what it may be, or to each of its words, and the units in
//! sight are worked out again with it.

use findings::candidate::{Candidate, Measures};
use plant::fact::Known;
use plant::position::Position;
use plant::survey::{self, FactId, Kind};
use rayon::prelude::*;

use super::sheet::Desk;
use crate::assess::{Input, survey_of};
use crate::bounds::Depth;
use crate::measure;
use crate::options::{Assessed, Context, Hints, assess, rank, shown};
use crate::searches::Margins;

/// Units that are worked out again, the first among them. Others are further away in price or in doubt.
const UNITS: usize = 4;

/// What an assumption may do to the installed cost.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Effect {
    /// Lowest installed cost less that of today's first unit, in the site's currency; 0 where nothing gets cheaper.
    pub(super) least: f64,
    /// Highest, likewise.
    pub(super) most: f64,
    /// Another unit that would then stand first.
    pub(super) other: Option<String>,
    /// More lines of the bill would have no price.
    pub(super) unpriced: usize,
}

/// The effect of each fact, in their order; `None` where a range cannot be played through.
pub(super) fn effects(desk: &Desk<'_>, ids: &[FactId]) -> Vec<Option<Effect>> {
    let Some(first) = desk.candidates.first() else { return vec![None; ids.len()] };
    // A person's choice stands whatever is read; what it costs may not.
    let units = if desk.report.chosen_by.is_some() { 1 } else { UNITS };
    let units = shown(desk.candidates, units).into_iter().filter_map(|at| desk.candidates.get(at)).map(|c| {
        let mut unit = c.unit.clone();
        unit.measures = Measures::default();
        unit
    });
    let units: Vec<Candidate<'_>> = units.collect();
    let asked: Vec<(FactId, Vec<f64>)> = ids.iter().map(|id| (*id, values(desk, *id))).collect();
    let (input, position) = (desk.input, desk.survey.position());
    asked.par_iter().map(|(id, values)| effect(input, position, first, &units, *id, values)).collect()
}

/// The ends of what a fact may be; every word of one that is assumed to be one of them.
fn values(desk: &Desk<'_>, id: FactId) -> Vec<f64> {
    let values = measure::possible(desk.survey, id, 2);
    match survey::def(id).kind {
        #[expect(clippy::cast_precision_loss, reason = "a handful of words")]
        Kind::Choice(info) if values.is_empty() => (0..info.words.len()).map(|word| word as f64).collect(),
        _ => values,
    }
}

fn effect(
    input: Input<'_>,
    position: &Position,
    first: &Assessed<'_>,
    units: &[Candidate<'_>],
    id: FactId,
    values: &[f64],
) -> Option<Effect> {
    if values.is_empty() {
        return None;
    }
    let mut effect = Effect::default();
    for value in values {
        let mut position = position.clone();
        position.fact_mut(id)?.known = Known::Value(*value);
        let survey = survey_of(input, &position);
        let margins = Margins::of(&survey, input.searches);
        let context = Context { margins: &margins, site: input.site, accepted: &input.decisions.accepted };
        let mut hints = Hints::new();
        let mut again: Vec<Assessed<'_>> = units.iter().map(|unit| assess(context, unit.clone(), &mut hints, Depth::Screen)).collect();
        rank(&mut again);
        let Some(then) = again.first() else { continue };
        effect.least = effect.least.min(then.cost - first.cost);
        effect.most = effect.most.max(then.cost - first.cost);
        effect.unpriced = effect.unpriced.max(then.unpriced.saturating_sub(first.unpriced));
        if then.unit.id() != first.unit.id() {
            effect.other = Some(format!("{} {}", then.unit.series.name, then.unit.rating.code));
        }
    }
    Some(effect)
}
