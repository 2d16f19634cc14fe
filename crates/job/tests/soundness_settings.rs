//! The same honesty as in `soundness.rs`, for the checks of settings: two units whose settings are drawn at random, a list of the old one,
//! and surveys in which the motor, its supply and the old unit's current are open.
#![allow(clippy::cast_precision_loss, reason = "random numbers of tests are small")]

mod common;

use calc::working::Silent;
use common::{Random, position, series};
use findings::candidate::{Candidate, Measure};
use findings::check::{Check, Outcome};
use findings::facts::{FactSet, Point, Survey};
use findings::registry::CHECKS;
use job::bounds::{Bounds, Depth, Verdict, bounds};
use plant::fact::Place;
use plant::settings::{Access, Extent, Form, Found, FoundList, Listed, Meaning, Raw, SETTABLE, Scale, Setting, Values};

/// Positions, and completions of each.
const POSITIONS: u64 = 200;
const COMPLETIONS: usize = 60;
/// A completion read back from a completed survey may differ in the last digits.
const LAST_DIGITS: f64 = 1e-6;

/// One setting of each concept, with what it stands at.
fn settings(random: &mut Random, prefix: &str) -> Vec<Setting> {
    let mut list = Vec::new();
    for (at, concept) in SETTABLE.iter().enumerate() {
        if random.one_in(6) {
            continue;
        }
        let (values, default) = match concept.form {
            Form::Number(definitions) => {
                let definition = definitions[random.below(definitions.len())];
                let Some(of) = concept.dimension() else { continue };
                let Some(unit) = definition.dimension(of).units.first() else { continue };
                let range = random.one_in(2).then(|| (0.0, random.between(20.0, 500.0)));
                let scale = Scale { definition, unit, step: 0.01, range, counts: 100.0 };
                (Values::Number(scale), Raw::Number((random.between(0.0, 20.0) * 100.0).round() / 100.0))
            }
            Form::Words(words) => {
                let listed = words.iter().map(|w| Listed { value: w.word.into(), text: w.word.into(), word: Some(w.word) }).collect();
                (Values::Choice(listed), Raw::Text(words[random.below(words.len())].word.into()))
            }
        };
        list.push(Setting {
            id: format!("{prefix}{at}"),
            text: concept.id.into(),
            meaning: Some(Meaning { concept, number: 1, values }),
            default: (!random.one_in(8)).then_some(default),
            access: Access::Stopped,
            object: None,
            data_type: None,
            note: String::new(),
            place: Place::default(),
        });
    }
    list
}

/// Somebody's list: each setting at another of its values, one in ten not read.
fn found(random: &mut Random, settings: &[Setting]) -> FoundList {
    let rows = settings.iter().map(|setting| {
        let text = match setting.scale() {
            Some(_) => format!("{:.2}", random.between(0.0, 20.0)),
            None => setting.choices()[random.below(setting.choices().len())].value.clone(),
        };
        let unread = if random.one_in(10) { "its value was not read".to_owned() } else { String::new() };
        Found { id: setting.id.clone(), number: text.parse().ok(), text, unit: String::new(), unread, place: Place::default() }
    });
    let rows = rows.collect();
    FoundList { extent: Some(if random.one_in(2) { Extent::Full } else { Extent::ChangedOnly }), rows, place: Place::default() }
}

fn margin(check: &Check, survey: &Survey<'_>, point: &Point, unit: &Candidate<'_>) -> Option<f64> {
    match (check.quick)(&mut survey.at(point), unit, &mut Silent) {
        Ok(Outcome::Margin(m)) => Some(m),
        Ok(Outcome::NotHere) => Some(f64::INFINITY),
        Err(_) => None,
    }
}

#[test]
fn no_completion_turns_a_verdict_on_settings() {
    let checks: Vec<&'static Check> = CHECKS.iter().copied().filter(|c| c.name.starts_with("settings/")).collect();
    let (mut holds, mut fails, mut depends, mut margins) = (0, 0, 0, 0);
    for seed in 1..=POSITIONS {
        let mut random = Random(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1);
        let mut series = series(&mut random);
        series.settings = settings(&mut random, "n");
        let old = settings(&mut random, "o");
        let mut position = position(&mut random);
        position.settings = Some(found(&mut random, &old).into());
        let survey = Survey::new(&position).with_old_settings(old.clone());
        let units: Vec<Candidate<'_>> = Candidate::all(&series).collect();
        let mut unit = units[random.below(units.len())].clone();
        if random.one_in(2) {
            unit.measures = unit.measures.with(Measure::SettingsSheet);
        }
        let all: Vec<Bounds> = checks.iter().map(|c| bounds(c, &unit, &survey, &FactSet::default(), Depth::Full)).collect();
        for bounds in &all {
            match bounds.verdict() {
                Verdict::Holds => holds += 1,
                Verdict::Fails => fails += 1,
                Verdict::Depends => depends += 1,
            }
        }
        for _ in 0..COMPLETIONS {
            let mut point = survey.middle();
            for at in 0..point.len() {
                let coordinate = match survey.domain(survey.uncertain()[at]).listed() {
                    Some(count) => random.below(count) as f64,
                    None => random.share(),
                };
                point.set(at, coordinate);
            }
            let completed = survey.complete(&point);
            let known = Survey::new(&completed).with_old_settings(old.clone());
            let there = known.middle();
            for (check, bounds) in checks.iter().zip(&all) {
                let Some(margin) = margin(check, &known, &there, &unit) else { continue };
                margins += 1;
                match bounds.verdict() {
                    Verdict::Holds => assert!(margin >= -LAST_DIGITS, "seed {seed}: {} holds, yet a completion gives {margin}", check.name),
                    Verdict::Fails => assert!(margin < LAST_DIGITS, "seed {seed}: {} fails, yet a completion gives {margin}", check.name),
                    Verdict::Depends => {}
                }
            }
        }
    }
    println!("{margins} margins; verdicts: {holds} hold, {fails} fail, {depends} depend");
    assert!(holds > 200 && fails > 200 && depends > 100, "{holds} hold, {fails} fail, {depends} depend");
}
