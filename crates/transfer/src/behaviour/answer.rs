//! What is certain and what depends, over all completions of a case.

use rayon::prelude::*;

use super::case::{Axis, Case, Completion};
use super::compare::{Aspect, Comparison, Danger, Difference, compare};
use super::event::Event;
use super::explore::TooMany;
use super::rules::{Rule, Verdict, judge};

/// A difference over all completions.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Found {
    /// As it comes in the first completion that has it.
    pub difference: Difference,
    /// Which completion that is.
    pub at: usize,
    /// It comes in every completion.
    pub certain: bool,
    /// What decides where it does not come in every one.
    pub on: Vec<String>,
}

/// A rule over all completions.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ruled {
    /// Which.
    pub rule: Rule,
    /// What is said of the old unit: "holds", "fails", "depends", "not here".
    pub old: &'static str,
    /// The same of the new one.
    pub new: &'static str,
    /// A shortest sequence that breaks it with the new unit, where some completion has one.
    pub events: Vec<Event>,
    /// The completion of that sequence.
    pub at: usize,
    /// What decides.
    pub on: Vec<String>,
}

/// The answer to a case.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Answer {
    /// Reachable states, of the completion with most.
    pub states: usize,
    /// Differences, the worst first, then the certain, then the shortest.
    pub differences: Vec<Found>,
    /// Rules.
    pub rules: Vec<Ruled>,
}

type Key = (Danger, Aspect, Option<Event>);

/// What a difference is known by from one completion to the next.
#[must_use]
pub fn key(difference: &Difference) -> Key {
    (difference.danger, difference.aspect, difference.events.last().copied())
}

struct Looked {
    comparison: Comparison,
    old: Vec<(Rule, Verdict)>,
    new: Vec<(Rule, Verdict)>,
}

/// Goes through a case. `dips`: how many classes of dips differ.
///
/// # Errors
/// When a completion has more states than can be looked at.
pub fn answer(case: &Case, dips: u8) -> Result<Answer, TooMany> {
    let looked = case.completions.par_iter().map(|c| look(c, dips)).collect::<Result<Vec<_>, _>>()?;
    let states = looked.iter().map(|l| l.comparison.states).max().unwrap_or(0);
    Ok(Answer { states, differences: differences(case, &looked), rules: rules(case, &looked) })
}

fn look(completion: &Completion, dips: u8) -> Result<Looked, TooMany> {
    let Completion { machines, needs, .. } = completion;
    let around = &machines[0].scheme;
    Ok(Looked {
        comparison: compare(machines, dips)?,
        old: judge(&machines[0], around, needs, dips)?,
        new: judge(&machines[1], around, needs, dips)?,
    })
}

fn differences(case: &Case, looked: &[Looked]) -> Vec<Found> {
    let mut found: Vec<(Key, Found, Vec<bool>)> = Vec::new();
    for (at, one) in looked.iter().enumerate() {
        for difference in &one.comparison.differences {
            let key = key(difference);
            let place = found.iter().position(|(k, _, _)| *k == key).unwrap_or_else(|| {
                let first = Found { difference: difference.clone(), at, certain: false, on: Vec::new() };
                found.push((key, first, vec![false; looked.len()]));
                found.len() - 1
            });
            if let Some((_, _, has)) = found.get_mut(place) {
                has[at] = true;
            }
        }
    }
    let mut answers: Vec<Found> = found
        .into_iter()
        .map(|(_, found, has)| {
            let certain = case.is_whole() && has.iter().all(|h| *h);
            let on = if certain { Vec::new() } else { deciding(case, &has) };
            Found { certain, on, ..found }
        })
        .collect();
    answers.sort_by(|a, b| {
        let order = |f: &Found| (f.difference.danger, !f.certain, f.difference.events.len());
        (order(a), &a.difference.events, a.difference.aspect).cmp(&(order(b), &b.difference.events, b.difference.aspect))
    });
    answers
}

/// The axes on which something depends: those along which it comes and goes while the others stand.
fn deciding<T: PartialEq>(case: &Case, has: &[T]) -> Vec<String> {
    let apart = |axis: usize| {
        case.completions.iter().enumerate().any(|(i, a)| {
            case.completions.iter().enumerate().skip(i + 1).any(|(j, b)| {
                has.get(i) != has.get(j) && a.picks.iter().zip(&b.picks).enumerate().all(|(at, (x, y))| (at == axis) == (x != y))
            })
        })
    };
    let on: Vec<String> =
        case.axes.iter().enumerate().filter(|(at, _)| apart(*at)).map(|(_, axis): (usize, &Axis)| axis.label.clone()).collect();
    // With completions left out, or only several axes together, everything open is named.
    if on.is_empty() { case.axes.iter().map(|a| a.label.clone()).collect() } else { on }
}

fn rules(case: &Case, looked: &[Looked]) -> Vec<Ruled> {
    let one = |(place, rule): (usize, &Rule)| {
        let words = |side: fn(&Looked) -> &Vec<(Rule, Verdict)>| -> Vec<&'static str> {
            looked.iter().map(|l| side(l).get(place).map_or("not here", |(_, v)| v.word())).collect()
        };
        let (old, new) = (words(|l| &l.old), words(|l| &l.new));
        let broken = looked.iter().enumerate().find_map(|(at, l)| match l.new.get(place) {
            Some((_, Verdict::Broken(events))) => Some((at, events.clone())),
            _ => None,
        });
        let said = merged(case, &new);
        let mut on = if said == "depends" { deciding(case, &new) } else { Vec::new() };
        if new.contains(&Verdict::Lacks.word()) {
            on.push(super::rules::lacking(*rule).to_owned());
        }
        let (at, events) = broken.unwrap_or_default();
        Ruled { rule: *rule, old: merged(case, &old), new: said, events, at, on }
    };
    Rule::ALL.iter().enumerate().map(one).collect()
}

/// One word for all completions.
fn merged(case: &Case, words: &[&'static str]) -> &'static str {
    match words {
        [first, rest @ ..] if case.is_whole() && rest.iter().all(|w| w == first) => first,
        [] => "not here",
        _ => "depends",
    }
}
