//! What is certain and what depends, over all completions of a case.

use rustc_hash::FxHashMap;

use super::case::Case;
use super::compare::{Aspect, Comparison, Danger, Difference};
use super::event::Event;
use super::explore::TooMany;
use super::explored::Explored;
use super::rules::{Rule, Verdict};

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

impl Answer {
    /// Whether a difference is among them.
    #[must_use]
    pub fn has(&self, difference: &Difference) -> bool {
        let wanted = key(difference);
        self.differences.iter().any(|f| key(&f.difference) == wanted)
    }
}

type Key = (Danger, Aspect, Option<Event>);

/// What a difference is known by from one completion to the next.
fn key(difference: &Difference) -> Key {
    (difference.danger, difference.aspect, difference.events.last().copied())
}

/// What was found of one completion: the comparison, and what the rules say of both sides.
struct Looked<'e> {
    comparison: &'e Comparison,
    rules: [&'e [(Rule, Verdict)]; 2],
}

/// Goes through a case. `dips`: how many classes of dips differ.
///
/// # Errors
/// When a completion has more states than can be looked at.
pub fn answer(case: &Case, dips: u8) -> Result<Answer, TooMany> {
    Explored::new(dips).answer(case)
}

impl Explored {
    /// Goes through a case, and explores what nobody has explored yet.
    ///
    /// # Errors
    /// When a completion has more states than can be looked at.
    pub fn answer(&mut self, case: &Case) -> Result<Answer, TooMany> {
        Ok(self.answers(std::slice::from_ref(case))?.pop().unwrap_or_default())
    }

    /// The same for several cases.
    ///
    /// # Errors
    /// As [`Explored::answer`].
    pub(super) fn answers(&mut self, cases: &[Case]) -> Result<Vec<Answer>, TooMany> {
        self.learn(cases)?;
        let nothing = Comparison::default();
        let answer = |case: &Case| {
            let look = |c| Looked { comparison: self.comparison(c).unwrap_or(&nothing), rules: self.verdicts(c) };
            let looked: Vec<Looked<'_>> = case.completions.iter().map(look).collect();
            let states = looked.iter().map(|l| l.comparison.states).max().unwrap_or(0);
            let neighbours = neighbours(case);
            Answer { states, differences: differences(case, &neighbours, &looked), rules: rules(case, &neighbours, &looked) }
        };
        Ok(cases.iter().map(answer).collect())
    }
}

fn differences(case: &Case, neighbours: &[Neighbours], looked: &[Looked<'_>]) -> Vec<Found> {
    let mut places: FxHashMap<Key, usize> = FxHashMap::default();
    let mut found: Vec<(Found, Vec<bool>)> = Vec::new();
    for (at, one) in looked.iter().enumerate() {
        for difference in &one.comparison.differences {
            let place = *places.entry(key(difference)).or_insert_with(|| {
                let first = Found { difference: difference.clone(), at, certain: false, on: Vec::new() };
                found.push((first, vec![false; looked.len()]));
                found.len() - 1
            });
            if let Some((_, has)) = found.get_mut(place) {
                has[at] = true;
            }
        }
    }
    let mut answers: Vec<Found> = found
        .into_iter()
        .map(|(found, has)| {
            let certain = case.is_whole() && has.iter().all(|h| *h);
            let on = if certain { Vec::new() } else { deciding(case, neighbours, &has) };
            Found { certain, on, ..found }
        })
        .collect();
    answers.sort_by(|a, b| {
        let order = |f: &Found| (f.difference.danger, !f.certain, f.difference.events.len());
        (order(a), &a.difference.events, a.difference.aspect).cmp(&(order(b), &b.difference.events, b.difference.aspect))
    });
    answers
}

/// Two completions that differ along one axis alone.
#[derive(Debug)]
struct Neighbours {
    axis: usize,
    at: [usize; 2],
}

/// All of them.
fn neighbours(case: &Case) -> Vec<Neighbours> {
    let mut found = Vec::new();
    for (i, a) in case.completions.iter().enumerate() {
        for (j, b) in case.completions.iter().enumerate().skip(i + 1) {
            let mut apart = a.picks.iter().zip(&b.picks).enumerate().filter(|(_, (x, y))| x != y).map(|(axis, _)| axis);
            if let (Some(axis), None) = (apart.next(), apart.next()) {
                found.push(Neighbours { axis, at: [i, j] });
            }
        }
    }
    found
}

/// The axes on which something depends: those along which it comes and goes while the others stand.
fn deciding<T: PartialEq>(case: &Case, neighbours: &[Neighbours], has: &[T]) -> Vec<String> {
    let mut apart = vec![false; case.axes.len()];
    for Neighbours { axis, at: [i, j] } in neighbours {
        if has.get(*i) != has.get(*j)
            && let Some(apart) = apart.get_mut(*axis)
        {
            *apart = true;
        }
    }
    let labels = |of: &dyn Fn(usize) -> bool| -> Vec<String> {
        case.axes.iter().enumerate().filter(|(at, _)| of(*at)).map(|(_, axis)| axis.label.clone()).collect()
    };
    let on = labels(&|at| apart[at]);
    // With completions left out, or only several axes together, everything open is named.
    if on.is_empty() { labels(&|_| true) } else { on }
}

fn rules(case: &Case, neighbours: &[Neighbours], looked: &[Looked<'_>]) -> Vec<Ruled> {
    let one = |(place, rule): (usize, &Rule)| {
        let [old, new] = [0, 1].map(|side: usize| -> Vec<&'static str> {
            looked.iter().map(|l| l.rules[side].get(place).map_or("not here", |(_, v)| v.word())).collect()
        });
        let broken = looked.iter().enumerate().find_map(|(at, l)| match l.rules[1].get(place) {
            Some((_, Verdict::Broken(events))) => Some((at, events.clone())),
            _ => None,
        });
        let said = merged(case, &new);
        let mut on = if said == "depends" { deciding(case, neighbours, &new) } else { Vec::new() };
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
