//! How fast a list of 1,000 settings is carried over: each settable concept several times over, under one definition in the old unit and
//! under another in the new one. Invented.

#![allow(clippy::expect_used, reason = "a benchmark may stop at the first broken expectation")]
#![allow(clippy::disallowed_methods, reason = "a benchmark asks the clock")]

use std::time::Instant;

use plant::choice::Duty;
use plant::fact::Place;
use plant::settings::{Access, Extent, Form, Found, FoundList, Listed, Meaning, Raw, SETTABLE, Scale, Setting, Values};
use transfer::settings::{Machine, translate};

/// How many settings each unit has.
const SETTINGS: usize = 1000;

/// Runs of which the mean is told.
const RUNS: u32 = 50;

fn main() {
    let (old, new, list) = (unit("o", 0), unit("n", 1), list());
    let begin = Instant::now();
    for _ in 0..RUNS {
        divan::black_box(carried(divan::black_box(&list), &old, &new));
    }
    println!("SETTINGS_MS {:.3}", begin.elapsed().as_secs_f64() / f64::from(RUNS) * 1e3);
    divan::main();
}

/// The settings of a unit; `turn` chooses among the definitions.
fn unit(prefix: &str, turn: usize) -> Vec<Setting> {
    (0..SETTINGS)
        .map(|at| {
            let (concept, number) = (&SETTABLE[at % SETTABLE.len()], at / SETTABLE.len() + 1);
            let (values, default) = match concept.form {
                Form::Number(definitions) => {
                    let definition = definitions[turn % definitions.len()];
                    let of = concept.dimension().expect("numbers have a dimension");
                    let unit = definition.dimension(of).units.first().expect("a unit");
                    (Values::Number(Scale { definition, unit, step: 0.01, range: None, counts: 100.0 }), Raw::Number(5.0))
                }
                Form::Words(words) => {
                    let listed = words.iter().map(|w| Listed { value: w.word.into(), text: w.word.into(), word: Some(w.word) });
                    (Values::Choice(listed.collect()), Raw::Text(words[0].word.into()))
                }
            };
            let number = u32::try_from(number).expect("a few");
            Setting {
                id: format!("{prefix}{at}"),
                text: concept.id.into(),
                meaning: Some(Meaning { concept, number, values }),
                default: Some(default),
                access: Access::Stopped,
                object: None,
                data_type: None,
                note: String::new(),
                place: Place::default(),
            }
        })
        .collect()
}

/// The list as it was found in the old unit.
fn list() -> FoundList {
    let rows = unit("o", 0).into_iter().map(|setting| {
        let text = match &setting.default {
            Some(Raw::Text(word)) => word.clone(),
            _ => "7.5".into(),
        };
        Found { id: setting.id, number: text.parse().ok(), text, unit: String::new(), unread: String::new(), place: Place::default() }
    });
    FoundList { extent: Some(Extent::Full), rows: rows.collect(), place: Place::default() }
}

/// How many lines become of it.
fn carried(list: &FoundList, old: &[Setting], new: &[Setting]) -> usize {
    let machine = Machine {
        frequency: Some(60.0),
        voltage: Some(460.0),
        current: Some(52.0),
        power: Some(30e3),
        speed: Some(185.0),
        power_factor: Some(0.85),
        supply: Some(480.0),
    };
    translate(list, old, Some(60.0), new, Some(60.0), machine, Some(Duty::Heavy)).lines.len()
}

#[divan::bench]
fn a_thousand_settings(bencher: divan::Bencher<'_, '_>) {
    let (old, new, list) = (unit("o", 0), unit("n", 1), list());
    assert!(carried(&list, &old, &new) >= SETTINGS, "a line for each");
    bencher.bench(|| carried(&list, &old, &new));
}
