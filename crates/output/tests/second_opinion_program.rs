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
use dossier::program::{Block, Holds, Literal, Project, Section, Statement, Type, Unit};
use output::plcopen::{Made, plcopen};
use output::structured_text::structured_text;
use plant::network::ReferenceUnit;
use plant::quantity::Frequency;
use random_program::{Dice, Random, random};
use serde_json::{Value, json};
use transfer::program::Machine;
use transfer::words::block::{BLOCK, block};
use transfer::words::pair::Pair;
use transfer::words::profiles;
use transfer::words::scale::Settings;

const CASES: u64 = 150;
const CYCLES: usize = 40;
const BLOCK_CYCLES: usize = 200;

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

fn try_out(seed: u64) -> Case {
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
    let cases: Vec<Case> = (1..=CASES).map(try_out).collect();
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
        .constant("C", Literal::Real(-1e-7), "")
        .local_from("D", Literal::Dword(0x8000_0001), "")
        .local_from("N", Literal::Int(-32768), "")
        .instance("DELAY", Block::OnDelay, "")
        .body([note("line\nends"), assign("B", long), when(bool(true), [note("nothing but a remark")])])
        .body([
            call("DELAY", [("IN", !var("B")), ("PT", time(-5))], [("Q", "B")]),
            case(-var("N"), [arm(-3, "below", [Statement::Return]), arm(4, "", [])], [assign("N", limit(int(-5), var("N"), int(5)))]),
            first_of(
                [branch(out("DELAY", "ET").above(time(10)), []), branch(var("C").at_most(real(2.5)), [assign("N", var("N") + int(-1))])],
                [assign("D", shift_left(var("D") ^ dword(1), 3))],
            ),
        ]);
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
    let run = json!({
        "text": text, "xml": xml, "unit": "MAIN", "inputs": [], "outputs": [["R", "INT"]], "cycles": [[1, []]], "syntax": true,
    });
    let wrong = json!({ "text": text.replace("R := 2;", "R := := 2;"), "xml": xml, "syntax": true, "unread": true });
    let answer = ask(&json!({ "cases": [run, wrong] }));
    assert_eq!((&answer[0]["run"]["seen"], &answer[0]["same"], &answer[0]["syntax"]), (&json!([[2]]), &json!(false), &Value::Null));
    assert!(answer[0]["schema"].as_array().is_some_and(|s| !s.is_empty()));
    assert!(answer[1]["syntax"].is_string());
}

/// What may come over the network: small words, ends of the range, and anything.
fn raw_word(dice: &mut Dice, before: u16) -> u16 {
    match dice.below(4) {
        0 => before,
        1 => before ^ (1 << dice.below(16)),
        2 => *dice.of(&[0_u16, 1, 0x7FFF, 0x8000, 0xFFFF, 0x4000, 3000]),
        _ => u16::try_from(dice.below(65_536)).expect("16 bits"),
    }
}

#[test]
#[ignore = "needs the Python environment: cargo xtask test"]
fn blocks_between_all_open_profiles_do_the_same_there() {
    let sixty = Frequency::hz(60.0);
    let settings = Settings { full_scale: sixty, highest: sixty, unit: ReferenceUnit::Hertz, poles: 4.0 };
    let profiles = profiles::all();
    let (mut questions, mut all_seen, mut about) = (Vec::new(), Vec::new(), Vec::new());
    for (from, old) in profiles.iter().enumerate() {
        for (to, new) in profiles.iter().enumerate() {
            let (old, new) = (&old.layout, &new.layout);
            let pair = Pair { old, new, old_settings: settings, new_settings: settings, old_faults: &[], new_faults: &[] };
            let project = block(&pair).unwrap_or_else(|no| panic!("{} to {}: {no:?}", old.name, new.name));
            let unit = &project.units[0];
            let of = |section: Section| -> Vec<(String, Type)> {
                let all = unit.variables.iter().filter(|v| v.section == section);
                all.filter_map(|v| if let Holds::Value(kind) = v.holds { Some((v.name.clone(), kind)) } else { None }).collect()
            };
            let (inputs, outputs) = (of(Section::Input), of(Section::Output));
            let mut machine = Machine::new(&project, BLOCK).expect("a block");
            let mut dice = Dice::new(1 + from as u64 * 100 + to as u64);
            let mut values = vec![0_u16; inputs.len()];
            let (mut cycles, mut seen) = (Vec::new(), Vec::new());
            for _ in 0..BLOCK_CYCLES {
                let elapsed = *dice.of(&[10_u32, 100, 600]);
                let mut given = Vec::new();
                for ((name, kind), value) in inputs.iter().zip(&mut values) {
                    *value = if *kind == Type::Bool { u16::from(dice.below(10) > 0) } else { raw_word(&mut dice, *value) };
                    let literal = if *kind == Type::Bool { Literal::Bool(*value == 1) } else { Literal::Word(*value) };
                    assert!(machine.set(machine.input(name).expect("an input"), literal));
                    given.push(number(literal));
                }
                cycles.push(json!([elapsed, given]));
                machine.cycle(elapsed).expect("no fault");
                seen.push(outputs.iter().map(|(n, _)| number(machine.get(machine.slot(n).expect("an output")))).collect::<Vec<_>>());
            }
            let kinds = |list: &[(String, Type)]| list.iter().map(|(name, kind)| json!([name, kind.keyword()])).collect::<Vec<_>>();
            questions.push(json!({
                "text": structured_text(&project).expect("printed"), "xml": plcopen(&project, &made()).expect("written"),
                "unit": BLOCK, "inputs": kinds(&inputs), "outputs": kinds(&outputs), "cycles": cycles,
            }));
            all_seen.push(json!({ "seen": seen, "fault": null, "wraps": machine.wraps() }));
            about.push(format!("{} to {}", old.name, new.name));
        }
    }
    let answers = ask(&json!({ "cases": questions }));
    assert_eq!(answers.len(), profiles.len() * profiles.len());
    for ((about, seen), answer) in about.iter().zip(&all_seen).zip(&answers) {
        assert_eq!(&answer["run"], seen, "{about}");
        assert_eq!((&answer["schema"], &answer["same"]), (&json!([]), &json!(true)), "{about}");
    }
    println!("{} blocks, {BLOCK_CYCLES} scans each, bit for bit", answers.len());
}
