//! What to measure next, against brute force: each fact of a position is read at many values and all findings of the
//! leading candidates are bounded again; the recommended reading must be nearly as good as the best one.
#![allow(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "random numbers of tests are small"
)]

mod common;

use common::{Random, position, series};
use findings::facts::{FactSet, Survey};
use job::assess::{Input, all_candidates, leading};
use job::bounds::{Depth, Verdict, bounds};
use job::measure::{READINGS, Reading, possible, readings};
use job::options::{Assessed, Finding};
use job::searches::Margins;
use plant::decision::Decisions;
use plant::position::Site;
use plant::survey::{self, FactId};

/// Readings per range in the brute-force search.
const MANY: usize = 17;
/// The recommended reading settles at least this share of what the best one settles per effort: five readings stand for a range.
const NEARLY: f64 = 0.7;

/// Weighed number of verdicts that a reading of one fact settles, over all findings that looked at it, whether they are known to
/// depend on it or not.
fn worth(survey: &Survey<'_>, leading: &[&Assessed<'_>], id: FactId) -> f64 {
    let values = possible(survey, id, MANY);
    if values.is_empty() {
        return 0.0;
    }
    let mut sum = 0.0;
    for value in &values {
        let read = survey.with_reading(id, *value);
        for candidate in leading {
            // A fact that no completion had the check read settles nothing there.
            let read_it = |f: &&Finding<'_>| f.verdict() == Verdict::Depends && (f.bounds.reads.contains(id) || f.bounds.open.contains(id));
            for finding in candidate.findings.iter().filter(read_it) {
                if bounds(finding.check, &candidate.unit, &read, &FactSet::default(), Depth::Full).verdict() != Verdict::Depends {
                    sum += finding.check.severity.weight();
                }
            }
        }
    }
    sum / values.len() as f64 / leading.len() as f64 / survey::def(id).effort.weight()
}

/// Whether some finding stays unsettled without this fact, however everything else turns out.
fn cannot_be_gone_round(survey: &Survey<'_>, leading: &[&Assessed<'_>], id: FactId, random: &mut Random) -> bool {
    let others: Vec<FactId> = survey.uncertain().iter().copied().filter(|other| *other != id).collect();
    let completions: Vec<Survey<'_>> = (0..8)
        .map(|_| {
            others.iter().fold(Survey::new(survey.position()), |read, other| {
                let values = possible(&read, *other, 3);
                if values.is_empty() { read } else { read.with_reading(*other, values[random.below(values.len())]) }
            })
        })
        .collect();
    let unsettled = |candidate: &Assessed<'_>, finding: &Finding<'_>| {
        completions
            .iter()
            .all(|read| bounds(finding.check, &candidate.unit, read, &FactSet::default(), Depth::Full).verdict() == Verdict::Depends)
    };
    leading.iter().any(|c| c.findings.iter().filter(|f| f.bounds.open.contains(id)).any(|f| unsettled(c, f)))
}

#[test]
fn the_recommended_reading_is_nearly_the_best() {
    let (mut compared, mut first_is_best, mut steps) = (0, 0, 0);
    for seed in 1..=30u64 {
        let mut random = Random(seed.wrapping_mul(0xA076_1D64_78BD_642F) | 1);
        let packs = [series(&mut random)];
        let position = position(&mut random);
        let site = Site::default();
        let decisions = Decisions::default();
        let positions = [position];
        let input = Input {
            site: &site,
            positions: &positions,
            only: None,
            packs: &packs,
            decisions: &decisions,
            date: "2026-01-01",
            shown: 4,
            searches: None,
        };
        let survey = Survey::new(&positions[0]);
        let candidates = all_candidates(input, &survey);
        let leading = leading(&candidates);
        if leading.is_empty() {
            continue;
        }
        let recommended = readings(&Margins::of(&survey, None), &leading, READINGS);
        let best = survey.uncertain().iter().map(|id| worth(&survey, &leading, *id)).fold(0.0, f64::max);
        let playable = |r: &&Reading| !possible(&survey, r.fact, 2).is_empty();
        // What comes ahead without settling anything by itself is a step that nothing can go round.
        for step in recommended.iter().filter(playable).take_while(|r| r.alone == 0.0) {
            assert!(cannot_be_gone_round(&survey, &leading, step.fact, &mut random), "seed {seed}: {}", survey::path(step.fact));
            steps += 1;
        }
        let Some(first) = recommended.iter().filter(playable).find(|r| r.alone > 0.0) else {
            assert!(best == 0.0, "seed {seed}: nothing recommended, yet a reading would settle something");
            continue;
        };
        let own = worth(&survey, &leading, first.fact);
        if best > 0.0 {
            compared += 1;
            assert!(own >= NEARLY * best, "seed {seed}: {} settles {own}, the best reading {best}", survey::path(first.fact));
            first_is_best += usize::from(own >= best * (1.0 - 1e-9));
        }
    }
    println!("{compared} positions, the first recommendation was the best reading in {first_is_best}; {steps} steps came ahead");
    assert!(compared >= 20 && first_is_best * 10 >= compared * 7, "{first_is_best} of {compared}");
}
