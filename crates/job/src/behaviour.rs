//! Behaviour of a position's old and new drive: from its survey and two packs to a case of `transfer::behaviour`, and its answer in words.

mod figure;
mod units;
mod wiring;

pub use self::figure::figures;
pub use self::wiring::reads;

use std::sync::{Arc, Mutex, PoisonError};

use dossier::behaviour::{Behaviour, Difference, Left, Moment, Rule};
use plant::position::Position;
use plant::product::Series;
use transfer::behaviour::answer::{Answer, Found, Ruled};
use transfer::behaviour::case::{Case, Completion};
use transfer::behaviour::compare::{Danger, comes_again, compare, replay};
use transfer::behaviour::event::Event;
use transfer::behaviour::explore::TooMany;
use transfer::behaviour::explored::Explored;
use transfer::behaviour::output::Output;
use transfer::behaviour::plan::{Plan, plan};
use transfer::behaviour::remedy::{Act, Remedy, candidates, with};
use transfer::behaviour::rules::judge;
use transfer::behaviour::text::{Dips, motion, sequence, side};

/// A case with what people have to know of it.
#[derive(Debug)]
pub struct Posed {
    /// What is compared; without a completion where too little is known.
    pub case: Case,
    /// How many classes of dips differ, with their words.
    pub dips: Dips,
    /// Facts and habits that are open.
    pub open: Vec<String>,
    /// What to know beside.
    pub remarks: Vec<String>,
    /// The wiring in words.
    pub scheme: String,
}

/// Poses the case of a joined position for a new series.
#[must_use]
pub fn pose(position: &Position, old_series: Option<&Series>, new_series: &Series) -> Posed {
    let mut remarks = Vec::new();
    let wiring = wiring::variants(position);
    let (units, dips) = units::units(position, old_series, new_series, &wiring.variants, &mut remarks);
    if wiring.variants.is_empty() {
        return Posed { case: Case::default(), dips, open: wiring.open, remarks, scheme: wiring.text };
    }
    let case = Case::of(&units, &wiring.variants, wiring.axes);
    let mut open = wiring.open;
    open.extend(case.axes.iter().map(|a| format!("{}: {}", a.label, a.words.join(" or "))));
    if !case.is_whole() {
        remarks.push(format!(
            "of {} ways in which the rest may turn out, {} were gone through: nothing is called certain before more is known",
            case.of,
            case.completions.len()
        ));
    }
    Posed { case, dips, open, remarks, scheme: wiring.text }
}

/// Works the behaviour of a joined position out for a new series.
///
/// # Errors
/// A sentence when there are more states than can be looked at.
pub fn behaviour(position: &Position, old_series: Option<&Series>, new_series: &Series) -> Result<Behaviour, String> {
    let Posed { case, dips, open, remarks, scheme } = pose(position, old_series, new_series);
    let mut told = Behaviour {
        tag: position.tag.clone(),
        old: old_series.map_or_else(|| "a unit of which nothing is known".to_owned(), |s| s.name.clone()),
        new: new_series.name.clone(),
        scheme,
        open,
        remarks,
        ..Behaviour::default()
    };
    if case.completions.is_empty() {
        return Ok(told);
    }
    let many = |e: TooMany| format!("{}: {e}", position.tag);
    let classes = u8::try_from(dips.0.len()).unwrap_or(1);
    let remedies = candidates(&case, &new_series.habits);
    let worked = worked(&case, classes, &remedies).map_err(many)?;
    let Worked { first, tried } = &*worked;
    let acts: Vec<Act> = tried.taken.iter().filter_map(|t| remedies.get(*t)).map(|r| r.act).collect();
    let done = with(&case, &acts);
    told.states = first.states;
    told.differences = first
        .differences
        .iter()
        .zip(tried.each.iter().zip(&tried.here))
        .map(|(found, (remedy, here))| Difference {
            remedies: named(&remedies, remedy),
            here: named(&remedies, here),
            gone: !tried.after.has(&found.difference),
            mended: !comes_again(&done.completions[found.at].machines, &found.difference),
            after: side(found.difference.aspect, &ends(&done.completions[found.at], &found.difference.events)[1]),
            ..difference(&case, found, &dips)
        })
        .collect();
    let rules = first.rules.iter().zip(tried.rules.iter().zip(&tried.after.rules));
    told.rules = rules
        .map(|(r, (by, after))| Rule { remedies: named(&remedies, by), after: after.new.to_owned(), ..rule(&case, r, &dips) })
        .collect();
    if !acts.is_empty() {
        told.stays = tried.after.differences.iter().map(|found| difference(&done, found, &dips)).collect();
    }
    told.remedies = named(&remedies, &tried.taken);
    told.left = left(&tried.after);
    if tried.taken.iter().filter_map(|t| remedies.get(*t)).any(|r| r.safety) {
        told.remarks.push(
            "a remedy that alters a safety function has to be designed and validated by somebody qualified (ISO 13849, IEC 62061)"
                .to_owned(),
        );
    }
    Ok(told)
}

/// The first completion as a model for a checker from outside, with what is found here in its first lines; `None` where too little is known.
///
/// # Errors
/// A sentence when there are more states than can be looked at.
pub fn model(position: &Position, old_series: Option<&Series>, new_series: &Series) -> Result<Option<String>, String> {
    let Posed { case, dips, .. } = pose(position, old_series, new_series);
    let Some(first) = case.completions.first() else { return Ok(None) };
    let classes = u8::try_from(dips.0.len()).unwrap_or(1);
    let many = |e: TooMany| format!("{}: {e}", position.tag);
    let found = compare(&first.machines, classes).map_err(many)?;
    let [old, new] = first.machines.map(|machine| judge(&machine, &first.machines[0].scheme, &first.needs, classes).map_err(many));
    Ok(Some(transfer::behaviour::model::model(&first.machines, &first.needs, classes, &found, &[old?, new?])))
}

/// What came of a case, without and with remedies.
#[derive(Debug)]
struct Worked {
    first: Answer,
    tried: Plan,
}

/// What a case was worked out from.
type From = (Case, u8, Vec<Remedy>);

/// What was worked out: whoever changes a fact that no wiring and no habit hangs on need not wait for the same answer again. What an answer
/// is made from tells them apart, so that none can be out of date.
static WORKED: Mutex<Vec<(From, Arc<Worked>)>> = Mutex::new(Vec::new());
/// How many are kept; a site has a few schemes.
const KEPT: usize = 32;

/// Works a case out, or takes what is known of it.
fn worked(case: &Case, dips: u8, remedies: &[Remedy]) -> Result<Arc<Worked>, TooMany> {
    let kept = || WORKED.lock().unwrap_or_else(PoisonError::into_inner);
    let same = |(from, _): &&(From, Arc<Worked>)| from.0 == *case && from.1 == dips && from.2 == remedies;
    if let Some((_, known)) = kept().iter().find(same) {
        return Ok(Arc::clone(known));
    }
    let mut explored = Explored::new(dips);
    let first = explored.answer(case)?;
    let tried = plan(&mut explored, case, &first, remedies)?;
    let worked = Arc::new(Worked { first, tried });
    let mut kept = kept();
    if kept.len() >= KEPT {
        kept.remove(0);
    }
    kept.push(((case.clone(), dips, remedies.to_vec()), Arc::clone(&worked)));
    Ok(worked)
}

fn named(remedies: &[Remedy], places: &[usize]) -> Vec<String> {
    places.iter().filter_map(|at| remedies.get(*at)).map(|r| r.what.clone()).collect()
}

fn difference(case: &Case, found: &Found, dips: &Dips) -> Difference {
    let Found { difference, at, certain, on } = found;
    let completion = &case.completions[*at];
    let [old, new] = &difference.outputs;
    Difference {
        danger: difference.danger.word().to_owned(),
        certain: *certain,
        on: on.clone(),
        events: sequence(&completion.machines[0].scheme, &difference.events, dips),
        old: side(difference.aspect, old),
        new: side(difference.aspect, new),
        course: course(completion, &difference.events),
        ..Difference::default()
    }
}

/// What is seen of both after the last event.
fn ends(completion: &Completion, events: &[Event]) -> [Output; 2] {
    replay(&completion.machines, events).pop().unwrap_or_default()
}

/// What both did after each event.
fn course(completion: &Completion, events: &[Event]) -> Vec<Moment> {
    let seen = replay(&completion.machines, events);
    seen.iter().skip(1).map(|[old, new]| Moment { old: motion(old), new: motion(new) }).collect()
}

fn rule(case: &Case, ruled: &Ruled, dips: &Dips) -> Rule {
    let scheme = &case.completions[ruled.at].machines[0].scheme;
    Rule {
        rule: ruled.rule.text().to_owned(),
        verdict: ruled.new.to_owned(),
        old: ruled.old.to_owned(),
        events: sequence(scheme, &ruled.events, dips),
        on: ruled.on.clone(),
        ..Rule::default()
    }
}

fn left(after: &Answer) -> Vec<Left> {
    [Danger::MovesFromStill, Danger::KeepsMoving, Danger::MovesOtherwise, Danger::SignalsOtherwise]
        .into_iter()
        .map(|danger| Left {
            danger: danger.word().to_owned(),
            differences: after.differences.iter().filter(|f| f.difference.danger == danger).count(),
        })
        .filter(|l| l.differences > 0)
        .collect()
}
