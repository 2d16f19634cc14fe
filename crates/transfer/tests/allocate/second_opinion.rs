//! Larger problems against SciPy's MILP (HiGHS), which `tests/second_opinion/allocate.py` states anew from the same problem.

use std::io::Write as _;
use std::process::{Command, Stdio};

use serde_json::{Value, json};
use transfer::allocate::{Home, Impossible, Problem, allocate};

use crate::generate::{Dice, Size, problem};
use crate::held::held;

/// Larger problems, up to 26 demands, 6 modules of up to 3, 3 bases.
const LARGE: usize = 100;

fn as_json(problem: &Problem) -> Value {
    let home = |home: Home| match home {
        Home::Base(at) => json!(["base", at]),
        Home::Module(at) => json!(["module", at]),
    };
    json!({
        "per_minute": problem.per_minute,
        "slots": problem.slots.len(),
        "demands": problem.demands.iter().map(|d| json!({
            "pair": d.pair,
            "landings": d.landings.iter().map(|l| json!({ "point": l.point, "cost": l.cost, "common": l.common })).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
        "points": problem.points.iter().map(|p| json!({
            "home": home(p.home), "group": p.group, "pair": p.pair, "capacity": p.capacity,
        })).collect::<Vec<_>>(),
        "modules": problem.modules.iter().map(|m| json!({
            "cost": m.cost, "minutes": m.minutes, "fits": m.fits, "limit": m.limit, "excludes": m.excludes,
        })).collect::<Vec<_>>(),
        "bases": problem.bases.iter().map(|b| json!({ "cost": b.cost, "slots": b.slots })).collect::<Vec<_>>(),
    })
}

#[expect(clippy::disallowed_methods, reason = "the test asks the environment for a Python interpreter")]
fn ask(cases: &Value) -> Vec<Value> {
    let python = std::env::var("CHANGEOUT_PYTHON").expect("CHANGEOUT_PYTHON names an interpreter with SciPy; cargo xtask test sets it");
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/second_opinion/allocate.py");
    let mut child = Command::new(python).args(["-B", script]).stdin(Stdio::piped()).stdout(Stdio::piped()).spawn().expect("Python starts");
    child.stdin.take().expect("piped").write_all(cases.to_string().as_bytes()).expect("Python listens");
    let output = child.wait_with_output().expect("Python ends");
    assert!(output.status.success(), "the second opinion failed");
    serde_json::from_slice(&output.stdout).expect("JSON")
}

#[test]
#[ignore = "needs the Python environment: cargo xtask test"]
fn scipy_finds_the_same_least_cost() {
    let mut dice = Dice(0x5851_f42d_4c95_7f2d);
    let problems: Vec<Problem> = (0..LARGE).map(|_| problem(&mut dice, Size::LARGE)).collect();
    let answers = ask(&json!(problems.iter().map(as_json).collect::<Vec<_>>()));
    assert_eq!(answers.len(), LARGE);
    let (mut met, mut most) = (0, 0);
    for (case, (problem, theirs)) in problems.iter().zip(&answers).enumerate() {
        match (allocate(problem), theirs.as_f64()) {
            (Ok(found), Some(cost)) => {
                held(problem, &found);
                assert!((found.cost - cost).abs() < 1e-3, "{case}: {} against {cost}", found.cost);
                met += 1;
                most = most.max(problem.demands.len());
            }
            (Err(Impossible::Together { .. }), None) => {}
            (ours, _) => panic!("{case}: {ours:?} against {theirs}"),
        }
    }
    println!("{met} of {LARGE} can be met, the largest with {most} demands: the same cost each time");
    assert!(met > LARGE / 4 && most > 15, "{met} met, {most} demands");
}
