//! A second opinion on printed control programs (`second_opinion/program.py`): random programs are printed, read and run by a reader and
//! runner written in Python from the standard, and run here from the tree; all outputs of all cycles have to agree bit for bit, and so do
//! faults and the count of results that did not fit. blark looks at the syntax, xmlschema holds the XML to PLCopen's schema.
#![allow(clippy::disallowed_methods, reason = "a test asks the environment for its interpreter")]
#![allow(clippy::expect_used, clippy::panic, reason = "a test stops at the first broken expectation")]

#[path = "common/random_program.rs"]
mod random_program;

use std::io::Write;
use std::path::Path;
use std::process::{Command, Stdio};

use dossier::program::build::*;
use dossier::program::{Literal, Project, Type, Unit};
use output::plcopen::{Made, plcopen};
use output::structured_text::structured_text;
use random_program::{Dice, Random, random};
use serde_json::{Value, json};
use transfer::program::Machine;

const CASES: u64 = 300;
const CYCLES: usize = 40;

fn ask(question: &Value) -> Vec<Value> {
    let python = std::env::var("CHANGEOUT_PYTHON").expect("CHANGEOUT_PYTHON names the interpreter; cargo xtask test sets it");
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/second_opinion/program.py");
    let mut child = Command::new(python).arg("-B").arg(script).stdin(Stdio::piped()).stdout(Stdio::piped()).spawn().expect("python starts");
    // Dropped at the end of the statement, which closes the pipe; the script reads all of it before it answers.
    child.stdin.take().expect("piped").write_all(question.to_string().as_bytes()).expect("written");
    let answer = child.wait_with_output().expect("python ends");
    assert!(answer.status.success(), "the script failed");
    let answer: Value = serde_json::from_slice(&answer.stdout).expect("JSON");
    answer["results"].as_array().expect("results").clone()
}

fn made() -> Made {
    Made { company: "not stated".into(), by: "changeout".into(), version: "0".into(), date: "2026-11-25".into() }
}

/// A value as a number: REAL by its bits.
fn number(value: Literal) -> i64 {
    match value {
        Literal::Bool(v) => i64::from(v),
        Literal::Byte(v) => i64::from(v),
        Literal::Word(v) | Literal::Uint(v) => i64::from(v),
        Literal::Dword(v) | Literal::Udint(v) => i64::from(v),
        Literal::Int(v) => i64::from(v),
        Literal::Dint(v) | Literal::Time(v) => i64::from(v),
        Literal::Real(v) => i64::from(v.to_bits()),
    }
}

/// A program, what goes in, and what came out here.
struct Case {
    question: Value,
    seen: Value,
}

fn case(seed: u64) -> Case {
    let mut dice = Dice::new(seed);
    let Random { project, inputs, outputs } = random(&mut dice);
    let mut machine =
        Machine::new(&project, "MAIN").unwrap_or_else(|w| panic!("seed {seed}: {w}\n{}", structured_text(&project).expect("printed")));
    let slots: Vec<_> = inputs.iter().map(|(name, _)| machine.input(name).expect("an input")).collect();
    let (mut cycles, mut seen, mut fault) = (Vec::new(), Vec::new(), Value::Null);
    for _ in 0..CYCLES {
        let elapsed = *dice.of(&[0_u32, 1, 7, 10, 10, 100, 1000]);
        let values: Vec<Literal> = inputs.iter().map(|(_, kind)| dice.literal(*kind)).collect();
        cycles.push(json!([elapsed, values.iter().map(|v| number(*v)).collect::<Vec<_>>()]));
        for (slot, value) in slots.iter().zip(values) {
            assert!(machine.set(*slot, value));
        }
        if let Err(stopped) = machine.cycle(elapsed) {
            fault = json!(match stopped.fault {
                transfer::program::Fault::DividedByZero => "divided by zero",
                transfer::program::Fault::NotFinite => "not finite",
                transfer::program::Fault::OutOfRange => "out of range",
                transfer::program::Fault::NegativeShift => "negative shift",
            });
            break;
        }
        seen.push(outputs.iter().map(|(name, _)| number(machine.get(machine.slot(name).expect("an output")))).collect::<Vec<_>>());
    }
    let kinds = |list: &[(String, Type)]| list.iter().map(|(name, kind)| json!([name, kind.keyword()])).collect::<Vec<_>>();
    let question = json!({
        "text": structured_text(&project).expect("printed"), "xml": plcopen(&project, &made()).expect("written"),
        "unit": "MAIN", "inputs": kinds(&inputs), "outputs": kinds(&outputs), "cycles": cycles,
    });
    Case { question, seen: json!({ "seen": seen, "fault": fault, "wraps": machine.wraps() }) }
}

#[test]
#[ignore = "needs the Python environment: cargo xtask test"]
fn random_programs_do_the_same_there() {
    let cases: Vec<Case> = (1..=CASES).map(case).collect();
    let answers = ask(&json!({ "cases": cases.iter().map(|c| &c.question).collect::<Vec<_>>() }));
    assert_eq!(answers.len(), cases.len());
    let (mut whole, mut wrapped) = (0, 0);
    for (seed, (case, answer)) in cases.iter().zip(&answers).enumerate() {
        let text = case.question["text"].as_str().expect("text");
        assert_eq!(answer["run"], case.seen, "seed {}:\n{text}", seed + 1);
        assert_eq!(answer["schema"], json!([]), "{}", case.question["xml"].as_str().expect("xml"));
        assert_eq!(answer["same"], true, "{}", case.question["xml"].as_str().expect("xml"));
        whole += usize::from(case.seen["fault"].is_null());
        wrapped += usize::from(case.seen["wraps"] != 0);
    }
    println!("{CASES} programs, {CYCLES} cycles each: {whole} ran to the end, {wrapped} had results that did not fit");
    // Otherwise the comparison says little.
    assert!(whole * 2 > cases.len() && wrapped * 10 > cases.len(), "{whole} {wrapped}");
}

#[test]
#[ignore = "needs the Python environment: cargo xtask test"]
fn awkward_remarks_and_long_lines_are_read_too() {
    let long = (0..40).fold(bit(var("A"), 0), |e, n| e | bit(var("A"), n % 16));
    let unit = Unit::block("REMARKS")
        .note("ends *) early, (* begins *)) twice, <tags> & \"quotes\" and ]]> too")
        .input("A", Type::Word, "°C – *) ; A := 1; (*")
        .output("B", Type::Bool, &"a very long remark ".repeat(20))
        .body([note("line\nends"), assign("B", long), when(bool(true), [note("nothing but a remark")])]);
    let project = Project::new("awkward *) project <&>").note("first").note("second").unit(unit);
    let text = structured_text(&project).expect("printed");
    let answer = ask(&json!({ "cases": [{ "text": text, "xml": plcopen(&project, &made()).expect("written"), "syntax": true }] }));
    assert_eq!(answer[0], json!({ "syntax": null, "schema": [], "same": true, "run": null }), "{text}");
    assert!(text.lines().all(|line| line.chars().count() <= 100), "{text}");
}

#[test]
#[ignore = "needs the Python environment: cargo xtask test"]
fn the_second_opinion_can_disagree() {
    let unit = Unit::block("MAIN").output("R", Type::Int, "").body([assign("R", int(1))]);
    let project = Project::new("p").unit(unit);
    let text = structured_text(&project).expect("printed").replace("R := 1;", "R := 2;");
    let xml = plcopen(&project, &made()).expect("written").replace("<types>", "<kinds>").replace("</types>", "</kinds>");
    let run =
        |text: &str| json!({ "text": text, "xml": xml, "unit": "MAIN", "inputs": [], "outputs": [["R", "INT"]], "cycles": [[1, []]] });
    let answer = ask(&json!({ "cases": [run(&format!("{}", text.replace("R := 2", "R := 2;")))] }));
    assert_eq!((&answer[0]["run"]["seen"], &answer[0]["same"], &answer[0]["syntax"]), (&json!([[2]]), &json!(false), &Value::Null));
    assert!(answer[0]["schema"].as_array().is_some_and(|s| !s.is_empty()));
}
