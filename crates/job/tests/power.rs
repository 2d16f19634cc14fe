//! The audit of the power path over the demo: what it says agrees with the assessment, and nothing stands there without its reason.
#![allow(clippy::disallowed_methods, reason = "these tests read the demo from the source tree")]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test stops at the first broken expectation")]

mod demo;

use std::sync::LazyLock;

use demo::Demo;
use dossier::power::{Audit, Line};
use job::assess::{Input, assess_position};
use job::power::audit;
use plant::decision::Decisions;
use plant::fact::{Fact, Known};
use plant::survey::{self, FactId};

/// Nothing decided.
static UNDECIDED: LazyLock<Decisions> = LazyLock::new(Decisions::default);

impl Demo {
    fn input(&self) -> Input<'_> {
        let Self { site, positions, packs } = self;
        Input { site, positions, only: None, packs, decisions: &UNDECIDED, date: "2026-03-10", shown: 4, searches: None }
    }

    fn audit(&self, tag: &str) -> Audit {
        audit(self.input(), tag, None).unwrap().unwrap()
    }

    /// With a fact of the site's supplies taken away.
    fn without_supply_fact(mut self, id: FactId) -> Self {
        for (_, fact) in self.site.supplies.iter_mut().flat_map(|s| &mut s.facts).filter(|(own, _)| *own == id) {
            *fact = Fact::default();
        }
        self
    }
}

fn lines(audit: &Audit) -> impl Iterator<Item = &Line> {
    audit.sections.iter().flat_map(|s| &s.lines)
}

fn line<'a>(audit: &'a Audit, what: &str) -> &'a Line {
    lines(audit).find(|l| l.what.starts_with(what)).unwrap_or_else(|| panic!("{what}"))
}

#[test]
fn verdicts_and_margins_are_those_of_the_assessment() {
    let demo = Demo::read();
    for position in &demo.positions {
        let audit = demo.audit(&position.tag);
        let report = assess_position(demo.input(), position);
        let first = &report.candidates[0];
        assert_eq!(audit.new, first.id);
        let mut judged = 0;
        for line in lines(&audit) {
            let Some(name) = &line.finding else { continue };
            let finding = first.findings.iter().find(|f| f.name == *name).unwrap();
            if line.verdict.is_empty() {
                // Where the fault cannot arise, nothing is judged.
                assert_eq!((finding.verdict.as_str(), finding.margin.low), ("holds", None), "{}: {name}", audit.tag);
                continue;
            }
            assert_eq!(
                (&line.verdict, line.margin.clone().unwrap_or_default().low),
                (&finding.verdict, finding.margin.low),
                "{}: {name}",
                audit.tag
            );
            judged += 1;
        }
        assert!(judged > 12, "{judged}");
        let worst = |v: &str| lines(&audit).any(|l| l.verdict == v);
        assert!(audit.verdict != "holds" || !worst("fails"), "{}: {}", audit.tag, audit.verdict);
    }
}

#[test]
fn every_figure_has_its_source_and_every_gap_its_reason() {
    let demo = Demo::read();
    for position in &demo.positions {
        let audit = demo.audit(&position.tag);
        assert!(!audit.cautions.is_empty() && !audit.remarks.is_empty());
        for line in lines(&audit) {
            let at = format!("{}: {}", audit.tag, line.what);
            for reading in [&line.before, &line.after, &line.limit] {
                assert!(reading.low.is_none() || !reading.text.is_empty() && reading.low <= reading.high, "{at}: {reading:?}");
                assert!(!reading.text.contains("NaN") && !reading.text.contains("inf"), "{at}: {reading:?}");
            }
            assert!(line.after.low.is_none() || !line.source.is_empty(), "{at} has no source");
            assert!(line.after.text != "not known" || !line.note.is_empty(), "{at} does not say why it is not known");
            assert!(line.verdict != "holds" || line.open.is_empty() || line.margin.is_none(), "{at} holds while {:?} is open", line.open);
        }
    }
}

#[test]
fn what_is_taken_away_stands_open_on_its_lines() {
    let audit = Demo::read().without_supply_fact(survey::TRANSFORMER.id).audit("BE-101");
    assert!(audit.open.contains(&"supply.transformer".to_owned()), "{:?}", audit.open);
    let at_transformer = line(&audit, "fault current at the transformer");
    assert_eq!(at_transformer.after.text, "not known");
    assert!(at_transformer.note.contains("supply.transformer"), "{}", at_transformer.note);
    let reactor = line(&audit, "impedance of the source");
    assert_eq!(reactor.verdict, "depends");
    assert_eq!(reactor.open, ["supply.transformer"]);
}

#[test]
fn an_unknown_old_drive_leaves_its_column_empty_and_says_so() {
    let mut demo = Demo::read();
    for position in &mut demo.positions {
        position.old_code = None;
    }
    let audit = demo.audit("BE-101");
    assert!(audit.old.is_none() && lines(&audit).all(|l| l.before.text.is_empty() && l.verdict_before.is_empty()));
    assert!(audit.remarks.iter().any(|r| r.contains("old.code")), "{:?}", audit.remarks);
}

#[test]
fn fault_currents_fall_along_the_path() {
    let demo = Demo::read();
    for position in &demo.positions {
        let audit = demo.audit(&position.tag);
        let currents: Vec<f64> = ["fault current at the panel", "fault current at the drive", "fault current behind"]
            .iter()
            .filter_map(|w| line(&audit, w).after.high)
            .collect();
        assert!(currents.windows(2).all(|pair| pair[1] <= pair[0] * (1.0 + 1e-9)), "{}: {currents:?}", audit.tag);
    }
}

#[test]
fn a_candidate_can_be_named_and_a_wrong_name_is_told() {
    let demo = Demo::read();
    let position = demo.positions.iter().find(|p| p.tag == "BE-101").unwrap();
    let report = assess_position(demo.input(), position);
    let second = &report.candidates[1];
    let audit = audit(demo.input(), "BE-101", Some(&second.id)).unwrap().unwrap();
    assert_eq!(audit.new, second.id);
    for line in lines(&audit) {
        let Some(name) = &line.finding else { continue };
        let finding = second.findings.iter().find(|f| f.name == *name).unwrap();
        assert!(line.verdict == finding.verdict || line.verdict.is_empty() && finding.margin.low.is_none(), "{name}");
    }
    assert!(job::power::audit(demo.input(), "BE-101", Some("no/such/unit")).unwrap().is_err());
    assert!(job::power::audit(demo.input(), "XX-0", None).is_none());
}

#[test]
fn both_ends_of_the_terminals_and_the_bend_stand_in_the_audit() {
    let demo = Demo::read();
    for position in &demo.positions {
        let audit = demo.audit(&position.tag);
        let conductor = line(&audit, "conductor at the terminals");
        // A terminal block in between takes the conductors; nothing is held against the unit's terminals then.
        let blocked = audit.remedies.iter().any(|r| r.contains("terminal block"));
        assert_eq!(conductor.limit.text.contains('…'), !blocked, "{}: {:?}", audit.tag, conductor.limit);
        assert!(blocked || conductor.limit.low < conductor.limit.high, "{}: {:?}", audit.tag, conductor.limit);
        let (all, beyond) = (line(&audit, "space for bending"), line(&audit, "of that beyond the unit's outline"));
        // What lies inside the unit is no more room that is needed outside it; behind a terminal block nothing of it is asked.
        assert!(beyond.after.high <= all.after.high, "{}: {:?} of {:?}", audit.tag, beyond.after, all.after);
        assert!(beyond.limit.low.is_some(), "{}: {:?}", audit.tag, beyond.limit);
    }
    let bend = |tag: &str| line(&demo.audit(tag), "space for bending").after.low.is_some();
    assert!(bend("BE-101") && !bend("ML-701"));
}

/// A line of the bill of the unit that stands first.
fn billed<'a>(report: &'a dossier::Position, what: &str) -> &'a dossier::BillLine {
    let bill = &report.candidates[0].bill;
    bill.iter().find(|line| line.what.contains(what)).unwrap_or_else(|| panic!("{what}: {bill:?}"))
}

#[test]
fn remedies_of_the_power_path_have_their_price_in_the_bill() {
    let mut demo = Demo::read();
    let report = |demo: &Demo, tag: &str| {
        let position = demo.positions.iter().find(|p| p.tag == tag).unwrap();
        assess_position(demo.input(), position)
    };
    let hoist = report(&demo, "BH-301");
    // 1260 by the quotation, and 150 minutes at 96 an hour.
    assert_eq!(billed(&hoist, "fit a resistor inside the window").price, Some(1260.0 + 240.0));
    // 22 by the site's list, and 45 minutes.
    assert_eq!(billed(&report(&demo, "BE-101"), "opens before its poles").price, Some(22.0 + 72.0));
    // 115 ft are 35.052 m, at 58 a metre; and eight hours.
    let fan = report(&demo, "AF-204");
    let conductors = billed(&fan, "run new supply conductors");
    assert!(conductors.what.ends_with("at the most, 58 a metre)"), "{}", conductors.what);
    assert!(conductors.price.is_some_and(|p| (p - (35.052 * 58.0 + 768.0)).abs() < 1e-6), "{:?}", conductors.price);
    let (before, unpriced) = (hoist.candidates[0].cost, hoist.candidates[0].unpriced);
    demo.positions.iter_mut().find(|p| p.tag == "BH-301").unwrap().prices = plant::price::Prices::default();
    let without = report(&demo, "BH-301");
    assert_eq!(billed(&without, "fit a resistor inside the window").price, None);
    assert_eq!((without.candidates[0].cost, without.candidates[0].unpriced), (before - 1500.0, unpriced + 1));
}

#[test]
fn what_is_ordered_says_how_long_it_takes_where_somebody_has_said_it() {
    let mut demo = Demo::read();
    let report = |demo: &Demo, tag: &str| assess_position(demo.input(), demo.positions.iter().find(|p| p.tag == tag).unwrap());
    let comes = |report: &dossier::Position, what: &str| {
        let line = billed(report, what);
        (line.ordered, line.lead_weeks)
    };
    // By the quotation for the hoist, by the pack for the unit and for what it brings, by the site's list; of isolators nobody has said it,
    // and work is not ordered.
    let (hoist, fan) = (report(&demo, "BH-301"), report(&demo, "AF-204"));
    assert_eq!(comes(&hoist, "fit a resistor inside the window"), (true, Some(6.0)));
    assert_eq!(comes(&fan, "Lathmere H-169"), (true, Some(9.0)));
    assert_eq!(comes(&fan, "fit a harmonic filter"), (true, Some(7.0)));
    assert_eq!(comes(&report(&demo, "BE-101"), "LX-21 in slot 1"), (true, Some(4.0)));
    assert_eq!(comes(&fan, "interposing relay"), (true, Some(1.0)));
    assert_eq!(comes(&fan, "isolating converter"), (true, None));
    assert_eq!(comes(&fan, "swap one unit"), (false, None));
    assert_eq!(comes(&fan, "wire every permissive"), (false, None));
    demo.site.lead_times = plant::price::LeadTimes::default();
    assert_eq!(comes(&report(&demo, "AF-204"), "fit a harmonic filter"), (true, None));
}

#[test]
fn a_chopper_without_a_resistor_brings_one_into_the_bill() {
    let mut demo = Demo::read();
    let known = std::mem::take(demo.positions.iter_mut().find(|p| p.tag == "ML-701").unwrap().fact_mut(survey::RESISTOR.id).unwrap());
    let choppers = |demo: &Demo| -> Vec<(bool, Option<f64>)> {
        let position = demo.positions.iter().find(|p| p.tag == "ML-701").unwrap();
        let report = assess_position(Input { shown: 40, ..demo.input() }, position);
        let ordered = report.candidates.iter().filter(|c| c.bill.iter().any(|l| l.what.starts_with("order the brake chopper")));
        let resistor = |c: &dossier::Candidate| c.bill.iter().find(|l| l.what.starts_with("brake resistor for the chopper")).cloned();
        ordered.map(|c| resistor(c).map_or((false, None), |line| (true, line.price))).collect()
    };
    demo.site.prices = plant::price::Prices::by_key(|key| (key == "brake_resistor").then_some(690.0));
    let without = choppers(&demo);
    assert!(!without.is_empty() && without.iter().all(|found| *found == (true, Some(690.0))), "{without:?}");
    *demo.positions.iter_mut().find(|p| p.tag == "ML-701").unwrap().fact_mut(survey::RESISTOR.id).unwrap() = known;
    assert!(choppers(&demo).iter().all(|(there, _)| !there));
}

/// Known to hold a value: the tests above stand on the demo's own survey.
#[test]
fn the_demo_knows_its_transformers() {
    let demo = Demo::read();
    let mut known = demo.site.supplies.iter().flat_map(|s| &s.facts).filter(|(id, _)| *id == survey::TRANSFORMER.id);
    assert!(known.all(|(_, f)| !matches!(f.known, Known::Missing)));
}
