//! `calc`: every calculation by name, with its working.

use std::io::{self, Write};

use calc::registry::{Calculation, InputKind, all, find, read_arguments};
use calc::working::Working;
use plant::quantity::{System, digits, unit_named};
use serde_json::{Value, json};

use crate::problems::Failure;
use crate::{Common, End, say};

pub(crate) fn run(name: Option<&str>, inputs: &[String], common: &Common) -> Result<End, Failure> {
    let mut out = say::out();
    let Some(name) = name else {
        if common.json {
            writeln!(out, "{:#}", Value::from_iter(all().map(describe)))?;
        } else {
            list(&mut out)?;
        }
        out.flush()?;
        return Ok(End::Good);
    };
    let Some(calculation) = find(name) else {
        let nearest = all().map(|c| c.name).min_by_key(|n| strsim::damerau_levenshtein(n, name)).unwrap_or_default();
        return Err(Failure::Usage(format!("there is no calculation “{name}”; did you mean “{nearest}”? changeout calc lists all")));
    };
    let mut pairs = Vec::new();
    for input in inputs {
        let Some((key, value)) = input.split_once('=') else {
            return Err(Failure::Usage(format!("“{input}” is no key=value; {}", usage(calculation))));
        };
        pairs.push((key.trim().to_owned(), value.trim().to_owned()));
    }
    let arguments = read_arguments(calculation, &pairs)
        .map_err(|problems| Failure::Usage(format!("{}\n  {}\n{}", calculation.name, problems.join("\n  "), usage(calculation))))?;
    let mut working = Working::default();
    let values =
        calculation.call(&arguments, &mut working).map_err(|refusal| Failure::Usage(format!("{}: {refusal}", calculation.name)))?;
    if common.json {
        writeln!(out, "{:#}", result_json(calculation, &values, &working))?;
    } else {
        print(&mut out, calculation, &values, &working)?;
    }
    out.flush()?;
    Ok(End::Good)
}

/// A result in the unit that the calculation gives it in.
fn in_unit(calculation: &Calculation, index: usize, value: f64) -> f64 {
    let output = &calculation.results[index];
    unit_named(output.dimension, output.unit).map_or(value, |unit| (value - unit.offset) / unit.factor)
}

fn result_json(calculation: &Calculation, values: &[f64], working: &Working) -> Value {
    let results: serde_json::Map<String, Value> = calculation
        .results
        .iter()
        .zip(values)
        .enumerate()
        .map(|(i, (output, value))| (output.name.to_owned(), json!({ "value": in_unit(calculation, i, *value), "unit": output.unit })))
        .collect();
    let steps: Vec<Value> = working
        .steps
        .iter()
        .map(|s| {
            json!({
                "symbol": s.symbol, "name": s.name, "formula": s.formula, "numbers": s.with_numbers(System::Metric),
                "value": s.value.text(System::Metric), "source": s.source.text(), "note": s.note,
            })
        })
        .collect();
    json!({ "name": calculation.name, "results": results, "working": steps, "sources": sources(calculation, working) })
}

/// The sources declared and those of the steps, each once.
fn sources(calculation: &Calculation, working: &Working) -> Vec<String> {
    let mut list: Vec<String> = Vec::new();
    for source in calculation.sources.iter().copied().chain(working.steps.iter().map(|s| s.source)) {
        let text = source.text();
        if !list.contains(&text) {
            list.push(text);
        }
    }
    list
}

fn print(out: &mut impl Write, calculation: &Calculation, values: &[f64], working: &Working) -> io::Result<()> {
    writeln!(out, "{}: {}\n", calculation.name, calculation.summary)?;
    for step in &working.steps {
        writeln!(out, "  {}", step.line(System::Metric))?;
        let note = if step.note.is_empty() { String::new() } else { format!("; {}", step.note) };
        writeln!(out, "      {}  [{}{note}]", step.name, step.source.text())?;
    }
    writeln!(out)?;
    for (i, (output, value)) in calculation.results.iter().zip(values).enumerate() {
        writeln!(out, "  {:<24} {} {}   ({})", output.name, digits(in_unit(calculation, i, *value), 6), output.unit, output.doc)?;
    }
    writeln!(out, "\nsources: {}", sources(calculation, working).join("; "))
}

fn usage(calculation: &Calculation) -> String {
    let inputs: Vec<String> = calculation
        .inputs
        .iter()
        .map(|input| {
            let kind = match input.kind {
                InputKind::Quantity(info) if info.units.iter().all(|u| u.symbol.is_empty()) => format!("{}, a bare number", info.name),
                InputKind::Quantity(info) => format!(
                    "{} in {}",
                    info.name,
                    info.units.iter().map(|u| u.symbol).filter(|s| !s.is_empty()).collect::<Vec<_>>().join(", ")
                ),
                InputKind::Word(words) => words.join(" | "),
                InputKind::Rows(infos) => {
                    format!("rows apart by “;”, cells apart by “, ”: {}", infos.iter().map(|i| i.name).collect::<Vec<_>>().join(", "))
                }
            };
            let default = match input.default {
                None => String::new(),
                Some("") => " (may be left out)".into(),
                Some(text) => format!(" (else {text})"),
            };
            format!("  {}=…  {}: {kind}{default}", input.name, input.doc)
        })
        .collect();
    format!("changeout calc {} KEY=VALUE …\n{}", calculation.name, inputs.join("\n"))
}

fn describe(calculation: &Calculation) -> Value {
    json!({
        "name": calculation.name,
        "summary": calculation.summary,
        "inputs": calculation.inputs.iter().map(|input| {
            let (kind, detail) = match input.kind {
                InputKind::Quantity(info) => ("quantity", json!({ "dimension": info.name, "units": info.units.iter().map(|u| u.symbol).collect::<Vec<_>>() })),
                InputKind::Word(words) => ("word", json!({ "words": words })),
                InputKind::Rows(infos) => ("rows", json!({ "columns": infos.iter().map(|i| i.name).collect::<Vec<_>>() })),
            };
            json!({ "name": input.name, "kind": kind, "detail": detail, "default": input.default, "doc": input.doc })
        }).collect::<Vec<_>>(),
        "results": calculation.results.iter().map(|r| json!({ "name": r.name, "dimension": r.dimension.name, "unit": r.unit, "doc": r.doc })).collect::<Vec<_>>(),
        "sources": calculation.sources.iter().map(|s| s.text()).collect::<Vec<_>>(),
    })
}

fn list(out: &mut impl Write) -> io::Result<()> {
    for calculation in all() {
        writeln!(out, "{:<26} {}", calculation.name, calculation.summary)?;
    }
    writeln!(out, "\nchangeout calc NAME shows the inputs of one; changeout calc NAME KEY=VALUE … runs it.")
}
