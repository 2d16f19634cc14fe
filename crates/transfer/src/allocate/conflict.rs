//! The smallest set of demands that cannot be met together: smallest hitting sets of what has to be left out (the method of implicit hitting
//! sets; Ignatiev, Previti, Liffiton, Marques-Silva 2015, from memory). Whatever can be met stays so when a demand is taken away, which is all that
//! the method asks for.

use super::search::feasible;
use super::{Impossible, Problem, Spent, Work};

/// Work for looking for the smallest one; beyond it, one from which demands were left out as far as can be seen is told instead.
const WORK: u64 = 300_000_000;
/// Work for each try at leaving a demand out.
const EACH: u64 = 60_000_000;

/// Names the conflict of a problem that has no allocation.
pub(super) fn smallest(problem: &Problem) -> Impossible {
    match by_hitting(problem, &mut Work { left: WORK }) {
        Ok(demands) => Impossible::Together { demands, smallest: true },
        Err(Spent) => Impossible::Together { demands: by_leaving_out(problem), smallest: false },
    }
}

fn by_hitting(problem: &Problem, work: &mut Work) -> Result<Vec<usize>, Spent> {
    let all: Vec<usize> = (0..problem.demands.len()).collect();
    // Of each of these sets every conflict holds a demand.
    let mut to_hit: Vec<Vec<usize>> = Vec::new();
    loop {
        let trial = hitting(&to_hit, work)?;
        if !feasible(problem, &trial, work)? {
            return Ok(trial);
        }
        let mut met = trial;
        let mut left = Vec::new();
        for demand in all.iter().filter(|d| !met.contains(d)).copied().collect::<Vec<_>>() {
            met.push(demand);
            met.sort_unstable();
            if !feasible(problem, &met, work)? {
                met.retain(|d| *d != demand);
                left.push(demand);
            }
        }
        if left.is_empty() {
            // Everything can be met: only a problem with an allocation comes here.
            return Ok(Vec::new());
        }
        to_hit.push(left);
    }
}

/// A smallest set that holds a member of each, ascending.
fn hitting(sets: &[Vec<usize>], work: &mut Work) -> Result<Vec<usize>, Spent> {
    for size in 0..=sets.len() {
        let mut chosen = Vec::new();
        if hit(sets, size, &mut chosen, work)? {
            chosen.sort_unstable();
            return Ok(chosen);
        }
    }
    Ok(Vec::new())
}

fn hit(sets: &[Vec<usize>], size: usize, chosen: &mut Vec<usize>, work: &mut Work) -> Result<bool, Spent> {
    work.take(sets.len() + 1)?;
    let open: Vec<&Vec<usize>> = sets.iter().filter(|s| !s.iter().any(|d| chosen.contains(d))).collect();
    let Some(next) = open.iter().min_by_key(|s| s.len()) else { return Ok(true) };
    // Sets without a common member need one each.
    let mut apart: Vec<usize> = Vec::new();
    let mut needed = 0;
    for set in &open {
        if !set.iter().any(|d| apart.contains(d)) {
            apart.extend(set.iter());
            needed += 1;
        }
    }
    if needed > size {
        return Ok(false);
    }
    for demand in *next {
        chosen.push(*demand);
        if hit(sets, size - 1, chosen, work)? {
            return Ok(true);
        }
        chosen.pop();
    }
    Ok(false)
}

fn by_leaving_out(problem: &Problem) -> Vec<usize> {
    let mut kept: Vec<usize> = (0..problem.demands.len()).collect();
    for demand in kept.clone() {
        let without: Vec<usize> = kept.iter().copied().filter(|d| *d != demand).collect();
        // Only what is proved leaves the set, so that it conflicts whatever was given up.
        if let Ok(false) = feasible(problem, &without, &mut Work { left: EACH }) {
            kept = without;
        }
    }
    kept
}
