//! A model checker from outside (spin, Debian's package) explores the same pairs of units: as many reachable states, and the same
//! differences, each by its danger, aspect and last event, also where it keeps what our states let go of; and the same rules of safety are
//! broken by the same side.

#![allow(
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    clippy::cast_possible_truncation,
    reason = "a test stops at the first broken expectation, runs the checker, and draws small random numbers"
)]

mod behaviour_random;

use std::path::Path;
use std::process::Command;

use behaviour_random::{Random, needs, pair};
use transfer::behaviour::compare::compare;
use transfer::behaviour::model::{broken, model, signatures};
use transfer::behaviour::rules::judge;

/// States, differences and broken rules that the checker finds.
fn checked(folder: &Path, text: &str) -> (usize, Vec<String>, Vec<String>) {
    let run = |program: &str, arguments: &[&str]| {
        let done = Command::new(program).args(arguments).current_dir(folder).output().expect("the program starts");
        let said = String::from_utf8_lossy(&done.stdout).into_owned();
        assert!(done.status.success(), "{program} {arguments:?}: {said}{}", String::from_utf8_lossy(&done.stderr));
        said
    };
    std::fs::write(folder.join("pair.pml"), text).expect("written");
    let spin = std::env::var("CHANGEOUT_SPIN").unwrap_or_else(|_| "spin".to_owned());
    let explored = |asked: &[&str]| {
        run(&spin, &[asked, &["-a", "pair.pml"]].concat());
        run("cc", &["-O1", "-w", "-DSAFETY", "-DNOREDUCE", "-DNOFAIR", "-o", "pan", "pan.c"]);
        let said = run("./pan", &["-m2000000", "-w22"]);
        assert!(!said.contains("max search depth too small"), "{said}");
        said
    };
    let told = |said: &str, word: &str| {
        let mut lines: Vec<String> = said.lines().filter_map(|l| l.strip_prefix(word)).map(str::to_owned).collect();
        lines.sort();
        lines
    };
    let said = explored(&[]);
    let states = said
        .lines()
        .find_map(|l| l.trim().strip_suffix(" states, stored"))
        .unwrap_or_else(|| panic!("{said}"))
        .trim()
        .parse::<f64>()
        .expect("a number");
    let differences = told(&said, "DIFFERENCE ");
    assert_eq!(told(&explored(&["-DPAST"]), "DIFFERENCE "), differences, "a state without its past acts otherwise");
    #[expect(clippy::cast_sign_loss, reason = "a count")]
    (states as usize, differences, told(&explored(&["-DRULES", "-DPAST"]), "RULE "))
}

#[test]
#[ignore = "needs spin: cargo xtask test brings it"]
fn spin_reaches_the_same_states_differences_and_verdicts() {
    let folder = std::env::temp_dir().join(format!("changeout-spin-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder");
    let mut random = Random(0x9E37_79B9_7F4A_7C15);
    let (mut told, mut ruled) = (0, 0);
    for number in 0..12 {
        let machines = pair(&mut random);
        let found = compare(&machines, 2).expect("small");
        let needs = needs(&mut random, &machines[0].scheme);
        let verdicts = machines.map(|m| judge(&m, &machines[0].scheme, &needs, 2).expect("small"));
        let (states, differences, rules) = checked(&folder, &model(&machines, &needs, 2, &found, &verdicts));
        assert_eq!(states, found.states, "pair {number}: {machines:?}");
        assert_eq!(differences, signatures(&found), "pair {number}: {machines:?}");
        assert_eq!(rules, broken(&verdicts), "pair {number}: {machines:?} {needs:?}");
        told += differences.len();
        ruled += rules.len();
    }
    assert!(told > 100, "the pairs must differ: {told}");
    assert!(ruled > 10, "rules must be broken: {ruled}");
    std::fs::remove_dir_all(&folder).expect("removed");
}
