//! What is kept of earlier searches changes no answer: positions are edited fact by fact, and after each edit the answer that goes on from
//! what was searched before is held against one that is worked out from nothing.
#![allow(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::unwrap_used,
    clippy::disallowed_methods,
    reason = "random numbers of tests are small, and a test reads the demo and stops at the first broken expectation"
)]

mod common;
mod demo;

use common::{Random, position, series};
use demo::Demo;
use job::assess::{Input, assess_position};
use job::searches::Searches;
use packs::read_settings_list;
use plant::cutover::Counted;
use plant::decision::Decisions;
use plant::fact::{Fact, Known, Place};
use plant::position::{Position, Site};
use plant::product::Series;
use plant::settings::Extent;
use plant::survey::{
    self, FACTS, FactId, Kind, MOTOR_CURRENT, MOTOR_FREQUENCY, MOTOR_POWER, MOTOR_SPEED, MOTOR_VOLTAGE, OLD_CURRENT, SUPPLY_VOLTAGE,
};

/// Some other state of a fact than it may have: not known, a word or several, a number near the one that was there, or a range.
fn edited(was: &Known, id: FactId, random: &mut Random) -> Known {
    if random.below(4) == 0 {
        return Known::Missing;
    }
    match survey::def(id).kind {
        Kind::Choice(info) => {
            let word = random.below(info.words.len()) as f64;
            let other = random.below(info.words.len()) as f64;
            if random.below(3) == 0 && word < other { Known::OneOf(vec![word, other]) } else { Known::Value(word) }
        }
        Kind::Quantity(_) => {
            let Some((low, high)) = was.bounds() else { return Known::Missing };
            let (a, b) = (low * (0.8 + 0.2 * random.share()), high * (1.0 + 0.2 * random.share()));
            if random.below(2) == 0 && a < b { Known::Range(a, b) } else { Known::Value(b) }
        }
    }
}

/// The same with its upper end moved alone: what is kept has to tell both ends apart.
fn stretched(known: &Known) -> Option<Known> {
    let (low, high) = known.bounds().filter(|(low, high)| low < high)?;
    matches!(known, Known::Range(..)).then(|| Known::Range(low, high + 0.5 * (high - low)))
}

/// The answer for a position; that of the store is the one that is worked out anew.
fn same(site: &Site, packs: &[Series], position: &Position, searches: &Searches, last: &str) -> dossier::Position {
    let decisions = Decisions::default();
    let positions = [position.clone()];
    let input =
        Input { site, positions: &positions, only: None, packs, decisions: &decisions, date: "2026-01-01", shown: 4, searches: None };
    let fresh = assess_position(input, &positions[0]);
    let kept = assess_position(Input { searches: Some(searches), ..input }, &positions[0]);
    // Twice: what is found must not hang on what was kept by the asking before.
    let again = assess_position(Input { searches: Some(searches), ..input }, &positions[0]);
    for answer in [kept, again] {
        assert_eq!(format!("{answer:#?}"), format!("{fresh:#?}"), "{}: {last}", position.tag);
    }
    fresh
}

/// Edits a position so many times; each answer of the store is the answer that is worked out anew.
fn same_after_edits(site: &Site, packs: &[Series], mut position: Position, edits: usize, random: &mut Random) {
    let searches = Searches::default();
    let facts: Vec<FactId> = (0..FACTS.len() as u16).map(FactId).collect();
    let before: Vec<Known> = facts.iter().map(|id| position.fact(*id).unwrap().known.clone()).collect();
    let mut last = String::from("as it was");
    let mut range: Option<FactId> = None;
    for edit in 0..=edits {
        same(site, packs, &position, &searches, &format!("edit {edit}, {last}"));
        // A range that was just put in is stretched by the next edit.
        if let Some(id) = range.take()
            && let Some(known) = stretched(&position.fact(id).unwrap().known)
        {
            last = format!("{} = {known:?}", survey::path(id));
            *position.fact_mut(id).unwrap() = Fact { known, ..Fact::default() };
            continue;
        }
        // Facts that stand in the survey are edited more often than those that nobody has read: the answer hangs on them.
        let known: Vec<FactId> = facts.iter().copied().filter(|id| position.fact(*id).is_some_and(|f| !f.is_missing())).collect();
        let from = if random.below(3) == 0 || known.is_empty() { &facts } else { &known };
        let id = from[random.below(from.len())];
        let known = edited(&before[id.index()], id, random);
        last = format!("{} = {known:?}", survey::path(id));
        *position.fact_mut(id).unwrap() = Fact { known, ..Fact::default() };
        range = Some(id);
    }
}

#[test]
fn kept_searches_change_no_answer_of_random_positions() {
    for seed in 1..=8u64 {
        let mut random = Random(seed.wrapping_mul(0xD1B5_4A32_D192_ED03) | 1);
        let packs = [series(&mut random), Series { id: "another".into(), ..series(&mut random) }];
        let position = position(&mut random);
        same_after_edits(&Site::default(), &packs, position, 8, &mut random);
    }
}

#[test]
fn kept_searches_change_no_answer_of_the_demo() {
    let demo = Demo::read();
    let mut random = Random(0x5DEE_CE66_D1CE_4E5B);
    for tag in ["BD-808", "BH-301", "BE-101"] {
        let position = demo.positions.iter().find(|p| p.tag == tag).unwrap().clone();
        same_after_edits(&demo.site, &demo.packs, position, 6, &mut random);
    }
}

#[test]
fn kept_counts_change_no_answer_as_the_settings_and_conductors_to_carry_over_become_more_and_fewer() {
    let mut demo = Demo::read();
    // One series that may replace: others would only take time.
    demo.packs.retain(|s| s.id == "lathmere" || !demo.site.offered.contains(&s.id));
    let mut position = demo.positions.iter().find(|p| p.tag == "BE-101").unwrap().clone();
    let root = concat!(env!("CARGO_MANIFEST_DIR"), "/../changeout/demo");
    let list = "evidence/be-101-settings.csv";
    let bytes = std::fs::read(format!("{root}/{list}")).unwrap();
    position.settings = Some(read_settings_list(list, &bytes, Extent::ChangedOnly, Place::default()).value.unwrap().into());
    // The survey's own counts would stand before those of the sheet and the crosswalk.
    position.cutover = Counted::default();
    let searches = Searches::default();
    let installed = |answer: &dossier::Position| answer.candidates.iter().map(|c| format!("{:?}", c.installed)).collect::<Vec<_>>();
    let as_found = installed(&same(&demo.site, &demo.packs, &position, &searches, "as found"));
    let mut moved = 0;
    let mut differs = |answer: &dossier::Position| moved += usize::from(installed(answer) != as_found);
    for key in [MOTOR_FREQUENCY.id, MOTOR_VOLTAGE.id, MOTOR_CURRENT.id, MOTOR_POWER.id, MOTOR_SPEED.id, SUPPLY_VOLTAGE.id, OLD_CURRENT.id] {
        let was = position.fact(key).unwrap().clone();
        let (low, _) = was.known.bounds().unwrap_or((1.0, 1.0));
        for known in [Known::Range(low, low * 1.01), Known::OneOf(vec![low])] {
            let last = format!("{} = {known:?}", survey::path(key));
            *position.fact_mut(key).unwrap() = Fact { known, ..Fact::default() };
            differs(&same(&demo.site, &demo.packs, &position, &searches, &last));
        }
        *position.fact_mut(key).unwrap() = was;
    }
    // Without one conductor the list is another one.
    position.wires.as_mut().unwrap().conductors.pop();
    let fewer = same(&demo.site, &demo.packs, &position, &searches, "without a conductor");
    assert!(installed(&fewer) != as_found, "the conductor moves no count: this test cannot fail");
    assert!(moved > 3, "facts move counts {moved} times: this test cannot fail");
}
