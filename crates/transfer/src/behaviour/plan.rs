//! Remedies tried one by one on every difference, and as many together as it takes until nothing dangerous is left.

use super::answer::{Answer, Found};
use super::case::Case;
use super::compare::{Danger, comes_again};
use super::explore::TooMany;
use super::explored::Explored;
use super::remedy::{Act, Remedy, with};

/// What came of the remedies.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Plan {
    /// For each difference of the answer, which remedies make it go away by themselves, by their places in the list of candidates.
    pub each: Vec<Vec<usize>>,
    /// For each difference, which others end its own sequence well, while another sequence may still lead to it.
    pub here: Vec<Vec<usize>>,
    /// For each rule, likewise: which make the new unit keep it.
    pub rules: Vec<Vec<usize>>,
    /// Remedies that were taken together, in the order in which they were found.
    pub taken: Vec<usize>,
    /// The answer with all of them.
    pub after: Answer,
}

/// Weight of a difference when remedies are weighed. Common practice, no source: the classes lie far apart.
const fn weight(danger: Danger) -> usize {
    match danger {
        Danger::MovesFromStill => 1_000,
        Danger::KeepsMoving => 1_000,
        Danger::MovesOtherwise => 30,
        Danger::SignalsOtherwise => 1,
    }
}

/// Weight of a rule that is broken where the old unit kept it, or that the machine needs.
const RULE: usize = 2_000;

fn badness(answer: &Answer) -> usize {
    let differences: usize = answer.differences.iter().map(|f| weight(f.difference.danger)).sum();
    differences + RULE * answer.rules.iter().filter(|r| r.new == "fails" || r.new == "depends").count()
}

/// Most remedies that are taken together.
const TOGETHER: usize = 8;

/// For each difference, which cases end its sequence well, apart from those in which it is gone altogether.
fn here(tried: &[Case], before: &Answer, each: &[Vec<usize>]) -> Vec<Vec<usize>> {
    let ends_well = |(found, gone): (&Found, &Vec<usize>)| {
        let well = |(at, case): (usize, &Case)| {
            let machines = case.completions.get(found.at).map(|c| &c.machines)?;
            (!gone.contains(&at) && !comes_again(machines, &found.difference)).then_some(at)
        };
        tried.iter().enumerate().filter_map(well).collect()
    };
    before.differences.iter().zip(each).map(ends_well).collect()
}

/// Tries remedies on a case whose answer is known.
///
/// # Errors
/// When there are more states than can be looked at.
pub fn plan(explored: &mut Explored, case: &Case, before: &Answer, remedies: &[Remedy]) -> Result<Plan, TooMany> {
    let tried: Vec<Case> = remedies.iter().map(|r| with(case, &[r.act])).collect();
    let alone = explored.answers(&tried)?;
    let goes = |place: usize| {
        let difference = &before.differences[place].difference;
        alone.iter().enumerate().filter(|(_, a)| !a.has(difference)).map(|(at, _)| at).collect()
    };
    let keeps = |place: usize| {
        let was = before.rules[place].new;
        let kept = |a: &Answer| was != "holds" && was != "not here" && a.rules.get(place).is_some_and(|r| r.new == "holds");
        alone.iter().enumerate().filter(|(_, a)| kept(a)).map(|(at, _)| at).collect()
    };
    let each: Vec<Vec<usize>> = (0..before.differences.len()).map(goes).collect();
    let mut plan = Plan {
        here: here(&tried, before, &each),
        each,
        rules: (0..before.rules.len()).map(keeps).collect(),
        taken: Vec::new(),
        after: before.clone(),
    };
    // What helps most by itself comes first; each further one has to help beside those before it.
    let first = badness(before);
    let mut helpful: Vec<(usize, usize)> =
        alone.iter().map(badness).enumerate().map(|(at, bad)| (bad, at)).filter(|(b, _)| *b < first).collect();
    helpful.sort_unstable();
    for (_, at) in helpful {
        if plan.taken.len() >= TOGETHER {
            break;
        }
        let acts: Vec<Act> = plan.taken.iter().chain([&at]).filter_map(|t| remedies.get(*t)).map(|r| r.act).collect();
        let looked = if plan.taken.is_empty() { alone[at].clone() } else { explored.answer(&with(case, &acts))? };
        if badness(&looked) < badness(&plan.after) {
            plan.taken.push(at);
            plan.after = looked;
        }
    }
    Ok(plan)
}
