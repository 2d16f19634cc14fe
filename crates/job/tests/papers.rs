//! The papers of the demo: one changed fact changes only the papers that say they read it, whatever fact it is; and no paper lets
//! anybody put volts on something while a fact that may not be assumed is open.
#![allow(clippy::disallowed_methods, reason = "these tests read the demo from the source tree")]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test stops at the first broken expectation")]

mod demo;

use std::collections::{BTreeMap, BTreeSet};

use demo::Demo;
use dossier::paper::{Binder, Link, Part, Run};
use findings::candidate::Candidate;
use findings::failure_modes::{ON_PAPER, find};
use job::assess::{Input, join};
use job::papers::binder;
use plant::decision::{Chosen, Decisions};
use plant::fact::{Fact, Known, Place};
use plant::position::Position;
use plant::product::Rating;
use plant::survey::{self, Assume, FACTS, FactId, Kind};
use rayon::prelude::*;

const DATE: &str = "2026-03-10";

impl Demo {
    /// With one series that may replace: others only take time where the choice does not matter.
    fn of_one_series(series: &str) -> Self {
        let mut demo = Self::read();
        demo.packs.retain(|s| s.id == series || !demo.site.offered.contains(&s.id));
        demo
    }

    fn input<'a>(&'a self, positions: &'a [Position], decisions: &'a Decisions) -> Input<'a> {
        Input { site: &self.site, positions, only: None, packs: &self.packs, decisions, date: DATE, shown: 4, searches: None }
    }

    fn binder(&self, positions: &[Position], decisions: &Decisions, tag: &str) -> Binder {
        binder(self.input(positions, decisions), tag).unwrap()
    }

    /// The demo with one unit that may replace; the old units stay, and others would only take time.
    fn offering(mut self, candidate: &str) -> Self {
        let (site, packs) = (&self.site, &mut self.packs);
        packs.retain(|s| candidate.starts_with(&format!("{}/", s.id)) || !site.offered.contains(&s.id));
        for series in packs.iter_mut().filter(|s| site.offered.contains(&s.id)) {
            let own: Vec<Rating> = Candidate::all(series).filter(|c| c.id() == candidate).map(|c| c.rating.clone()).collect();
            series.ratings = own;
        }
        self
    }

    /// The positions with one fact of one of them replaced.
    fn with(&self, tag: &str, id: FactId, fact: &Fact) -> Vec<Position> {
        let mut positions = self.positions.clone();
        let own = positions.iter_mut().find(|p| p.tag == tag).unwrap();
        *own.fact_mut(id).unwrap() = fact.clone();
        positions
    }
}

/// A decision for the unit that stands first today.
fn decided(demo: &Demo, tag: &str) -> Decisions {
    let open = demo.binder(&demo.positions, &Decisions::default(), tag);
    assert_eq!(open.papers.len(), 22);
    let none = Decisions::default();
    let assessed = job::assess::assess_position(demo.input(&demo.positions, &none), demo.positions.iter().find(|p| p.tag == tag).unwrap());
    let chosen = Chosen {
        tag: tag.to_owned(),
        candidate: assessed.chosen.unwrap(),
        by: "P. Annear".to_owned(),
        on: "2026-03-12".to_owned(),
        place: Place::default(),
    };
    Decisions { chosen: vec![chosen], accepted: Vec::new() }
}

/// Another fact in the place of this one: a little more of a quantity, the next word of a choice; of a missing one, something.
fn changed(fact: &Fact, id: FactId) -> Fact {
    let def = survey::def(id);
    let (low, high) = def.sensible;
    let other = |v: f64| match def.kind {
        Kind::Choice(info) => (v + 1.0) % info.words.len() as f64,
        Kind::Quantity(_) => {
            let up = if v.abs() < 1e-12 { high.min(1.0) * 0.5 } else { v * 1.03 };
            if up > high || up < low { v * 0.97 } else { up }
        }
    };
    let known = match &fact.known {
        Known::Value(v) => Known::Value(other(*v)),
        Known::Missing => Known::Value(match def.kind {
            Kind::Choice(_) => 0.0,
            Kind::Quantity(_) => (low.max(high * 1e-3) * high).abs().sqrt().clamp(low, high),
        }),
        known => Known::Value(other(known.bounds().unwrap().0)),
    };
    Fact { known, origin: fact.origin.clone() }
}

fn ids(position: &Position) -> Vec<FactId> {
    let table = FACTS.iter().filter_map(|def| survey::find(def.path));
    let duty = (0..position.duty.len()).flat_map(|row| (0..survey::DUTY_COLUMNS.len()).map(move |column| survey::duty_cell(row, column)));
    table.chain(duty).collect()
}

/// Changes every fact in turn and gives, for each, the names of the papers that came out differently.
fn differences(demo: &Demo, tag: &str, decisions: &Decisions) -> BTreeMap<String, BTreeSet<String>> {
    let before = demo.binder(&demo.positions, decisions, tag);
    let surveyed = demo.positions.iter().find(|p| p.tag == tag).unwrap();
    let joined = join(demo.input(&demo.positions, decisions), surveyed, &mut Vec::new());
    let one = |id: FactId| {
        let fact = changed(joined.fact(id).unwrap(), id);
        let positions = demo.with(tag, id, &fact);
        let after = demo.binder(&positions, decisions, tag);
        let path = survey::path(id);
        let mut different = BTreeSet::new();
        for (old, new) in before.papers.iter().zip(&after.papers) {
            if old.fingerprint != new.fingerprint {
                assert!(old.reads.contains(&path), "{tag}: {path} changed the {}, which does not say that it reads it", old.title);
                different.insert(old.name.clone());
            } else {
                assert!(old.parts == new.parts && old.revision == new.revision, "one fingerprint, two contents");
            }
        }
        (path, different)
    };
    ids(&joined).into_par_iter().map(one).collect()
}

#[test]
fn one_fact_changes_only_the_papers_that_read_it() {
    let demo = Demo::read();
    for tag in ["BE-101", "SF-512"] {
        let decisions = decided(&demo, tag);
        let demo = Demo::read().offering(&decisions.chosen[0].candidate);
        let changes = differences(&demo, tag, &decisions);
        assert!(changes.len() >= FACTS.len());
        for (path, papers) in &changes {
            // Whatever is read stands in the register, and on the day nobody's card is reprinted for it.
            assert!(papers.contains("register"), "{tag}: {path} changes {papers:?}");
            for card in ["door-card", "as-left-record"] {
                assert!(!papers.contains(card), "{tag}: {path} changes the {card} of a unit that a person chose");
            }
        }
        // The bench test is barred while anything is open that may not be assumed: few facts open something.
        let bench = changes.values().filter(|papers| papers.contains("bench-test")).count();
        assert!(bench * 10 < changes.len(), "{tag}: {bench} facts change the bench test");
        let sum: usize = changes.values().map(BTreeSet::len).sum();
        assert!(sum < changes.len() * 9, "{tag}: {sum} papers are different after {} changes", changes.len());
    }
}

#[test]
fn without_a_decision_the_choice_is_read_as_well() {
    let chosen = decided(&Demo::read(), "BE-101").chosen[0].candidate.clone();
    let demo = Demo::of_one_series(chosen.split('/').next().unwrap());
    let changes = differences(&demo, "BE-101", &Decisions::default());
    assert!(changes.values().any(|papers| papers.contains("door-card")), "no fact moves the choice: this test cannot fail");
}

/// Every step of a binder: paper, words, whether it puts volts on something, whether it is barred.
fn steps(binder: &Binder) -> Vec<(&str, String, bool, bool)> {
    let ticks = binder.papers.iter().flat_map(|paper| {
        paper
            .parts
            .iter()
            .filter_map(|part| if let Part::Ticks(ticks) = part { Some(ticks) } else { None })
            .flatten()
            .map(|t| (&paper.name, t))
    });
    ticks.map(|(name, t)| (name.as_str(), dossier::paper::printed(&t.what), t.energises, t.barred.is_some())).collect()
}

/// Words of a step that puts volts on something or turns a motor.
const POWER: &[&str] = &["line on by", "line on;", "energise", "power given", "jog", "slow run", "start with", "motor run"];

#[test]
fn no_step_energises_while_a_fact_that_may_not_be_assumed_is_open() {
    let whole = Demo::read();
    let counts: Vec<(usize, usize)> = whole.positions.par_iter().map(|position| barred_and_free(&position.tag)).collect();
    let (barred, free) = counts.into_iter().fold((0, 0), |(b, f), (barred, free)| (b + barred, f + free));
    assert!(barred > 100 && free > 50, "{barred} barred, {free} free: the demo has both");
}

/// Looks at every step of a position's papers, as it is and with each fact taken away that may not be assumed.
fn barred_and_free(tag: &str) -> (usize, usize) {
    let none = Decisions::default();
    let first = decided(&Demo::read(), tag).chosen[0].candidate.clone();
    let demo = Demo::read().offering(&first);
    let (mut barred, mut free) = (0, 0);
    check(&demo, tag, &mut barred, &mut free);
    // Everything that may not be assumed and that the papers rest on is taken away in turn, from the position and from what it inherits.
    let reads = demo.binder(&demo.positions, &none, tag).paper("commissioning-sheet").unwrap().reads.clone();
    for id in reads.iter().filter_map(|path| survey::find(path)).filter(|id| survey::def(*id).assume == Assume::Nothing) {
        let mut site = demo.site.clone();
        let of_supplies = site.supplies.iter_mut().flat_map(|s| &mut s.facts);
        let of_boxes = site.boxes.iter_mut().flat_map(|b| &mut b.named.facts);
        for (_, fact) in of_supplies.chain(of_boxes).chain(&mut site.facts).filter(|(own, _)| *own == id) {
            *fact = Fact::default();
        }
        let positions = demo.with(tag, id, &Fact::default());
        check(&Demo { site, positions, packs: demo.packs.clone() }, tag, &mut barred, &mut free);
    }
    (barred, free)
}

fn check(demo: &Demo, tag: &str, barred: &mut usize, free: &mut usize) {
    let none = Decisions::default();
    let position = demo.positions.iter().find(|p| p.tag == tag).unwrap();
    let assessed = job::assess::assess_position(demo.input(&demo.positions, &none), position);
    let binder = demo.binder(&demo.positions, &none, tag);
    // An open fact shows in the first candidate's findings as a reason that nothing may be assumed.
    let open = assessed
        .candidates
        .first()
        .is_some_and(|c| c.findings.iter().any(|f| f.reason.as_ref().is_some_and(|r| r.contains("nothing may be assumed"))));
    for (paper, words, energises, is_barred) in steps(&binder) {
        let speaks = POWER.iter().any(|w| words.to_lowercase().contains(w)) && !words.to_lowercase().starts_with("power taken");
        assert!(energises || !speaks || words.starts_with("Date code"), "{paper}: “{words}” is not marked as a step with power");
        // What waits for power is not done without it either.
        if energises || words.starts_with("Power taken") || words.starts_with("Reference wire opened while it runs") {
            assert!(!open || is_barred, "{tag}, {paper}: “{words}” may be done although {:?} are open", assessed.open);
            *(if is_barred { &mut *barred } else { &mut *free }) += 1;
        }
    }
}

fn runs(part: &Part) -> Vec<&Run> {
    match part {
        Part::Paragraph(runs) | Part::Statement(runs) => runs.iter().collect(),
        Part::List(items) => items.iter().flatten().collect(),
        Part::Table(table) => {
            let cells = table.rows.iter().flat_map(|row| &row.cells);
            cells.filter_map(|c| if let dossier::paper::Cell::Words(runs) = c { Some(runs) } else { None }).flatten().collect()
        }
        Part::Ticks(ticks) => ticks.iter().flat_map(|t| &t.what).collect(),
        _ => Vec::new(),
    }
}

#[test]
fn every_link_leads_to_an_anchor_and_every_table_is_whole() {
    let demo = Demo::read();
    for position in &demo.positions {
        let binder = demo.binder(&demo.positions, &Decisions::default(), &position.tag);
        let parts = || binder.papers.iter().flat_map(|p| &p.parts);
        let headings = parts().filter_map(|p| if let Part::Heading(h) = p { h.anchor.clone() } else { None });
        let rows = binder.papers.iter().flat_map(dossier::paper::Paper::tables).flat_map(|t| &t.rows).filter_map(|r| r.anchor.clone());
        let anchors: Vec<String> = headings.chain(rows).collect();
        let set: BTreeSet<&String> = anchors.iter().collect();
        assert_eq!(set.len(), anchors.len(), "an anchor stands twice");
        let working = parts()
            .filter_map(|p| if let Part::Working(lines) = p { Some(lines) } else { None })
            .flatten()
            .filter_map(|l| l.source.as_ref());
        for link in parts().flat_map(runs).filter_map(|r| r.link.as_ref()).chain(working) {
            match link {
                Link::Anchor(name) => assert!(set.contains(name), "{}: {name} leads nowhere", binder.tag),
                Link::File { file, line } => assert!(*line > 0 && file.ends_with(".toml"), "{file}:{line}"),
            }
        }
        conductors_are_whole(position, &binder);
        let mut names = BTreeSet::new();
        for table in binder.papers.iter().flat_map(dossier::paper::Paper::tables) {
            assert!(names.insert(&table.name), "{}: two tables are called {}", binder.tag, table.name);
            for row in &table.rows {
                assert_eq!(row.cells.len(), table.columns.len(), "{}", table.name);
            }
        }
    }
}

#[test]
fn papers_that_send_people_to_the_equipment_carry_cautions() {
    let demo = Demo::read();
    for position in &demo.positions {
        let binder = demo.binder(&demo.positions, &Decisions::default(), &position.tag);
        for name in [
            "survey-sheet",
            "isolation-sheet",
            "commissioning-sheet",
            "bench-test",
            "layout-and-heat",
            "door-card",
            "safety-file",
            "what-changed-card",
            "power-sheet",
            "wire-crosswalk",
            "wire-labels",
            "interlock-table",
        ] {
            let paper = binder.paper(name).unwrap();
            let text = format!("{:?}", paper.parts);
            assert!(paper.not_examined.is_some() || text.contains("Caution(") && text.contains("remind; they replace nothing"), "{name}");
            assert!(!text.contains("complies"), "{name} speaks of compliance");
        }
    }
}

#[test]
fn each_row_of_the_list_of_failure_modes_that_belongs_to_a_paper_stands_there_with_its_cautions() {
    let demo = Demo::read();
    let binder = demo.binder(&demo.positions, &Decisions::default(), "BE-101");
    for own in ON_PAPER {
        let paper = binder.paper(own.paper).unwrap_or_else(|| panic!("row {}: no paper {}", own.row, own.paper));
        let rows: Vec<Vec<String>> = table(&binder, own.paper, "known").rows.iter().map(printed).collect();
        assert!(rows.iter().any(|row| row[0] == own.row.to_string() && row[2] == own.against), "row {}: {rows:?}", own.row);
        for letter in find(own.row).unwrap().cautions.chars() {
            let hazard = findings::caution::find(letter).unwrap().hazard;
            let there = paper.parts.iter().any(|part| matches!(part, Part::Caution(caution) if caution.hazard == hazard));
            assert!(there, "row {} asks for “{hazard}” on the {}", own.row, own.paper);
        }
    }
}

/// The cells of a table of a paper, as printed.
fn table<'b>(binder: &'b Binder, paper: &str, name: &str) -> &'b dossier::paper::Table {
    let found = binder.paper(paper).unwrap().tables().find(|t| t.name == format!("{paper}-{name}"));
    found.unwrap_or_else(|| panic!("{paper} has no table {name}"))
}

fn printed(row: &dossier::paper::Row) -> Vec<String> {
    row.cells.iter().map(dossier::paper::Cell::printed).collect()
}

/// Every conductor stands on the crosswalk with its boxes, both its ends have a label; without a list the papers say how to give one.
fn conductors_are_whole(position: &Position, binder: &Binder) {
    let Some(list) = &position.wires else {
        for name in ["wire-crosswalk", "wire-labels", "interlock-table"] {
            let why = binder.paper(name).unwrap().not_examined.as_ref().unwrap();
            assert!(why.contains("[wires]") && why.contains("trace every one"), "{name}: {why}");
        }
        return;
    };
    let conductors = table(binder, "wire-crosswalk", "conductors");
    assert!(conductors.large, "it is read at arm's length");
    for (conductor, row) in list.conductors.iter().zip(&conductors.rows) {
        let text = printed(row);
        assert_eq!((&text[0], &text[1]), (&conductor.wire, &conductor.terminal), "{}", position.tag);
        assert!(!text[3].is_empty() && !text[4].is_empty() && !text[5].is_empty(), "{text:?}");
        assert_eq!(row.cells.iter().filter(|c| **c == dossier::paper::Cell::Tick).count(), 3, "off, on, proved: {text:?}");
    }
    assert_eq!(conductors.rows.len(), list.conductors.len());
    let parts = &binder.paper("wire-labels").unwrap().parts;
    let labels = parts.iter().find_map(|p| if let Part::Labels(labels) = p { Some(labels) } else { None }).unwrap();
    let gone = conductors.rows.iter().filter(|row| printed(row)[3] == "removed").count();
    // A part before the unit's input brings a conductor of its own.
    let brought = labels.iter().filter(|l| l.end == "part").count();
    assert_eq!(labels.len(), 2 * (list.conductors.len() - gone + brought), "{}", position.tag);
    for short in labels.iter().filter(|l| l.end == "part") {
        let other = labels.iter().find(|l| l.wire == short.wire && l.end == "drive").unwrap();
        assert!(short.note.ends_with(&other.at) && !list.conductors.iter().any(|c| c.wire == short.wire), "{short:?} {other:?}");
    }
}

#[test]
fn a_permissive_that_the_new_drive_does_not_carry_into_bypass_is_called_lost() {
    let mut demo = Demo::of_one_series("lathmere");
    let rows = |demo: &Demo| -> Vec<Vec<String>> {
        let binder = demo.binder(&demo.positions, &Decisions::default(), "BE-101");
        table(&binder, "interlock-table", "permissives").rows.iter().map(printed).collect()
    };
    let before = rows(&demo);
    assert!(!before.iter().flatten().any(|cell| cell == "LOST"), "{before:?}");
    let own = demo.positions.iter_mut().find(|p| p.tag == "BE-101").and_then(|p| p.wires.as_mut()).unwrap();
    let stop = own.conductors.iter_mut().find(|c| c.function.is_some_and(|f| f.id == "stop")).unwrap();
    stop.modes.push(plant::wires::Mode::Bypass);
    let after = rows(&demo);
    let at = after.iter().position(|row| row[0].contains("stop")).unwrap();
    // hand, auto, bypass, network: today, then after.
    assert_eq!(after[at][3..], ["acts", "acts", "acts", "—"]);
    assert_eq!(after[at + 1][3..], ["acts", "acts", "LOST", "—"]);
}

#[test]
fn the_direction_of_rotation_is_noted_for_each_way_of_feeding_the_motor() {
    let demo = Demo::of_one_series("lathmere");
    let binder = |tag: &str| demo.binder(&demo.positions, &Decisions::default(), tag);
    let mill = binder("ML-701");
    assert_eq!(table(&mill, "commissioning-sheet", "rotation").rows.len(), 2, "on the drive and on the bypass");
    let change: Vec<Vec<String>> = table(&mill, "commissioning-sheet", "rotation-change").rows.iter().map(printed).collect();
    assert_eq!(change.len(), 4);
    for row in &change {
        // Follows from the circuit: what turns wrong both ways is changed behind both, what turns wrong one way in that way alone.
        let expected = match (row[0].as_str(), row[1].as_str()) {
            ("right", "right") => "nothing",
            ("wrong", "right") => "unit's output",
            ("right", "wrong") => "bypass alone",
            ("wrong", "wrong") => "at the motor",
            other => panic!("{other:?}"),
        };
        assert!(row[2].contains(expected), "{row:?}");
    }
    let elevator = binder("BE-101");
    assert_eq!(table(&elevator, "commissioning-sheet", "rotation").rows.len(), 1);
    assert!(elevator.paper("commissioning-sheet").unwrap().tables().all(|t| t.name != "commissioning-sheet-rotation-change"));
}

#[test]
fn the_plan_counts_conductors_parts_and_links_by_the_crosswalk() {
    let mut demo = Demo::of_one_series("lathmere");
    let none = Decisions::default();
    let basis = |demo: &Demo, task: &str| {
        let plan =
            job::cutover::plan(demo.input(&demo.positions, &none), "BE-101", &job::cutover::Ticks::new(), job::cutover::Moment::LastTick)
                .unwrap();
        let found = plan.tasks.iter().find(|t| t.name == task).map(|t| t.basis.clone()).unwrap();
        (found, plan.assumed.concat(), plan.remarks.concat())
    };
    let (unwire, ..) = basis(&demo, "unwire");
    assert!(unwire.starts_with("14 control conductors of the wire crosswalk;"), "{unwire}");
    let (land, assumed, _) = basis(&demo, "land-control");
    assert!(land.contains("to land by the wire crosswalk") && land.contains("interposing part"), "{land}");
    assert!(!assumed.contains("control conductors"), "{assumed}");
    let own = demo.positions.iter_mut().find(|p| p.tag == "BE-101").unwrap();
    own.wires.as_mut().unwrap().conductors.pop();
    let (fewer, _, remarks) = basis(&demo, "unwire");
    assert!(fewer.starts_with("13 control") && remarks.contains("counts 14 control conductors, their list 13"), "{fewer}: {remarks}");
    // Without a list the survey's own count stands.
    demo.positions.iter_mut().find(|p| p.tag == "BE-101").unwrap().wires = None;
    assert!(basis(&demo, "land-control").0.starts_with("14 control conductors;"));
}
