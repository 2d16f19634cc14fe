//! Demands on the points of one base with its modules, at least cost: a table of costs solved as an assignment (Hungarian method, Kuhn 1955,
//! as the library has it), and branching where two channels come apart or a common would carry two things.

use pathfinding::kuhn_munkres::kuhn_munkres_min;
use pathfinding::matrix::Matrix;

use super::{Home, Problem, Spent, Work, thousandths};

/// One point of a base or of one copy of a module.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Place {
    /// Index of the point.
    pub(super) point: usize,
    /// Which copy of its module, from 0; 0 on a base.
    pub(super) copy: u32,
    /// What landing here costs beside the landing, thousandths.
    pub(super) share: i64,
}

/// What is to be landed where.
pub(super) struct Question<'q> {
    pub(super) problem: &'q Problem,
    /// Indices of the demands, ascending.
    pub(super) wanted: &'q [usize],
    /// The places; one that takes two demands stands twice.
    pub(super) places: &'q [Place],
    /// Whether money counts; otherwise only whether it can be done.
    pub(super) priced: bool,
}

/// For each wanted demand its place and its landing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Answer {
    pub(super) cost: i64,
    pub(super) landed: Vec<(Place, usize)>,
}

/// A narrowing of the question.
#[derive(Clone, Copy)]
enum Rule {
    /// This row lands here.
    Here { row: usize, place: Place },
    /// This group of this home and copy carries this.
    Common { home: Home, copy: u32, group: u32, common: u32 },
}

/// Costs nothing reaches: more than all that can be paid together.
const BARRED: i64 = 1_000_000_000_000_000;

/// The least cost with pairs and commons left aside; `None` when even that cannot be done.
pub(super) fn relaxed(question: &Question<'_>, work: &mut Work) -> Result<Option<Answer>, Spent> {
    assigned(question, &[], work)
}

/// The least cost below a ceiling; `None` when there is none.
pub(super) fn exact(question: &Question<'_>, ceiling: i64, work: &mut Work) -> Result<Option<Answer>, Spent> {
    let mut best = None;
    branch(question, &mut Vec::new(), ceiling, &mut best, work)?;
    Ok(best)
}

fn branch(q: &Question<'_>, rules: &mut Vec<Rule>, ceiling: i64, best: &mut Option<Answer>, work: &mut Work) -> Result<(), Spent> {
    let Some(answer) = assigned(q, rules, work)? else { return Ok(()) };
    if answer.cost >= best.as_ref().map_or(ceiling, |b| b.cost) {
        return Ok(());
    }
    let Some(ways) = torn_pair(q, rules, &answer).or_else(|| torn_common(q, &answer)) else {
        *best = Some(answer);
        return Ok(());
    };
    for way in ways {
        let before = rules.len();
        rules.extend(way);
        branch(q, rules, ceiling, best, work)?;
        rules.truncate(before);
    }
    Ok(())
}

fn assigned(q: &Question<'_>, rules: &[Rule], work: &mut Work) -> Result<Option<Answer>, Spent> {
    let (rows, columns) = (q.wanted.len(), q.places.len());
    if rows == 0 {
        return Ok(Some(Answer { cost: 0, landed: Vec::new() }));
    }
    if columns < rows {
        return Ok(None);
    }
    work.take(rows.saturating_mul(rows).saturating_mul(columns))?;
    let mut costs = Matrix::new(rows, columns, BARRED);
    let mut landings = Matrix::new(rows, columns, usize::MAX);
    for row in 0..rows {
        for (column, place) in q.places.iter().enumerate() {
            if let Some((cost, landing)) = cell(q, rules, row, place) {
                costs[(row, column)] = cost;
                landings[(row, column)] = landing;
            }
        }
    }
    let (cost, columns) = kuhn_munkres_min(&costs);
    if cost >= BARRED {
        return Ok(None);
    }
    let landed = columns.iter().enumerate().map(|(row, column)| (q.places[*column], landings[(row, *column)])).collect();
    Ok(Some(Answer { cost, landed }))
}

/// The cheapest way of landing a row on a place that the rules leave.
fn cell(q: &Question<'_>, rules: &[Rule], row: usize, place: &Place) -> Option<(i64, usize)> {
    let demand = &q.problem.demands[q.wanted[row]];
    let point = &q.problem.points[place.point];
    let mut only = None;
    for rule in rules {
        match *rule {
            Rule::Here { row: of, place: here } if of == row && here != *place => return None,
            Rule::Common { home, copy, group, common } if home == point.home && copy == place.copy && point.group == Some(group) => {
                only = Some(common);
            }
            _ => {}
        }
    }
    let ways = demand.landings.iter().enumerate().filter(|(_, l)| l.point == place.point);
    ways.filter(|(_, l)| only.is_none() || l.common.is_none() || l.common == only)
        .map(|(at, l)| (if q.priced { thousandths(l.cost) + place.share } else { 0 }, at))
        .min()
}

/// Ways of bringing two channels onto one pair of points, where they have come apart.
fn torn_pair(q: &Question<'_>, rules: &[Rule], answer: &Answer) -> Option<Vec<Vec<Rule>>> {
    let pair_of = |row: usize| q.problem.demands[q.wanted[row]].pair;
    let rows = 0..q.wanted.len();
    let torn = rows
        .clone()
        .flat_map(|a| (a + 1..rows.end).map(move |b| (a, b)))
        .find(|(a, b)| pair_of(*a).is_some() && pair_of(*a) == pair_of(*b) && !belong(q, &answer.landed[*a].0, &answer.landed[*b].0))?;
    let mut ways = Vec::new();
    let mut seen = Vec::new();
    for first in q.places {
        for second in q.places.iter().filter(|s| belong(q, first, s)) {
            if seen.contains(&(*first, *second)) || !foremost(q, rules, first) {
                continue;
            }
            seen.push((*first, *second));
            if cell(q, &[], torn.0, first).is_some() && cell(q, &[], torn.1, second).is_some() {
                ways.push(vec![Rule::Here { row: torn.0, place: *first }, Rule::Here { row: torn.1, place: *second }]);
            }
        }
    }
    Some(ways)
}

/// Whether the safety functions find a pair of points each, the rest left aside: what cannot be is seen before anything is branched on.
pub(super) fn pairs_find_room(q: &Question<'_>, work: &mut Work) -> Result<bool, Spent> {
    let pair_of = |row: usize| q.problem.demands[q.wanted[row]].pair;
    let rows = 0..q.wanted.len();
    let torn = |(a, b): &(usize, usize)| pair_of(*a).is_some() && pair_of(*a) == pair_of(*b);
    let asked: Vec<(usize, usize)> = rows.clone().flat_map(|a| (a + 1..rows.end).map(move |b| (a, b))).filter(torn).collect();
    if asked.is_empty() {
        return Ok(true);
    }
    let safe: Vec<&Place> = q.places.iter().filter(|p| q.problem.points[p.point].pair.is_some()).collect();
    work.take(safe.len().saturating_mul(safe.len()))?;
    // A point that takes two demands stands twice, so that its pair stands up to four times: more room than there is, never less.
    let couples = safe.iter().enumerate().flat_map(|(i, a)| safe[i + 1..].iter().map(move |b| (*a, *b)));
    let room: Vec<(&Place, &Place)> = couples.filter(|(a, b)| belong(q, a, b)).collect();
    if room.len() < asked.len() {
        return Ok(false);
    }
    work.take(room.len().saturating_mul(asked.len().pow(2)))?;
    let lands = |row: usize, place: &Place| cell(q, &[], row, place).is_some();
    let goes = |(a, b): (usize, usize), (p, r): (&Place, &Place)| (lands(a, p) && lands(b, r)) || (lands(a, r) && lands(b, p));
    let table = Matrix::from_fn(asked.len(), room.len(), |(row, column)| i64::from(!goes(asked[row], room[column])));
    Ok(kuhn_munkres_min(&table).0 == 0)
}

/// Whether a place is on a copy that the rules name, or on the first that they do not: copies that nothing tells apart are tried once.
fn foremost(q: &Question<'_>, rules: &[Rule], place: &Place) -> bool {
    let home = q.problem.points[place.point].home;
    let named = |copy: u32| {
        rules.iter().any(|rule| match *rule {
            Rule::Here { place: here, .. } => q.problem.points[here.point].home == home && here.copy == copy,
            Rule::Common { home: of, copy: own, .. } => of == home && own == copy,
        })
    };
    named(place.copy) || (0..place.copy).all(named)
}

/// Whether two places are the two channels of one safety function.
fn belong(q: &Question<'_>, a: &Place, b: &Place) -> bool {
    let (of_a, of_b) = (&q.problem.points[a.point], &q.problem.points[b.point]);
    a.point != b.point && a.copy == b.copy && of_a.home == of_b.home && of_a.pair.is_some() && of_a.pair == of_b.pair
}

/// Ways of letting a common carry one thing, where it would have to carry two.
fn torn_common(q: &Question<'_>, answer: &Answer) -> Option<Vec<Vec<Rule>>> {
    let carried = |row: usize| {
        let (place, landing) = answer.landed[row];
        let point = &q.problem.points[place.point];
        let common = q.problem.demands[q.wanted[row]].landings[landing].common?;
        Some((point.home, place.copy, point.group?, common))
    };
    let all: Vec<(Home, u32, u32, u32)> = (0..q.wanted.len()).filter_map(carried).collect();
    let (home, copy, group, _) = *all
        .iter()
        .find(|(home, copy, group, common)| all.iter().any(|(h, c, g, x)| h == home && c == copy && g == group && x != common))?;
    let mut commons: Vec<u32> = q
        .wanted
        .iter()
        .flat_map(|d| &q.problem.demands[*d].landings)
        .filter(|l| q.problem.points[l.point].home == home && q.problem.points[l.point].group == Some(group))
        .filter_map(|l| l.common)
        .collect();
    commons.sort_unstable();
    commons.dedup();
    Some(commons.into_iter().map(|common| vec![Rule::Common { home, copy, group, common }]).collect())
}
