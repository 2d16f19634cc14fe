//! A model checker from outside (spin, Debian's package) explores the same pairs of units: as many reachable states, and the same
//! differences, each by its danger, aspect and last event.

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

use behaviour_random::{Random, pair};
use transfer::behaviour::compare::compare;
use transfer::behaviour::model::{model, signatures};

/// States and differences that the checker finds.
fn checked(folder: &Path, text: &str) -> (usize, Vec<String>) {
    let run = |program: &str, arguments: &[&str]| {
        let done = Command::new(program).args(arguments).current_dir(folder).output().expect("the program starts");
        let said = String::from_utf8_lossy(&done.stdout).into_owned();
        assert!(done.status.success(), "{program} {arguments:?}: {said}{}", String::from_utf8_lossy(&done.stderr));
        said
    };
    std::fs::write(folder.join("pair.pml"), text).expect("written");
    let spin = std::env::var("CHANGEOUT_SPIN").unwrap_or_else(|_| "spin".to_owned());
    run(&spin, &["-a", "pair.pml"]);
    run("cc", &["-O1", "-w", "-DSAFETY", "-DNOREDUCE", "-DNOFAIR", "-o", "pan", "pan.c"]);
    let said = run("./pan", &["-m2000000", "-w22"]);
    let states = said
        .lines()
        .find_map(|l| l.trim().strip_suffix(" states, stored"))
        .unwrap_or_else(|| panic!("{said}"))
        .trim()
        .parse::<f64>()
        .expect("a number");
    assert!(!said.contains("max search depth too small"), "{said}");
    let mut differences: Vec<String> = said.lines().filter_map(|l| l.strip_prefix("DIFFERENCE ")).map(str::to_owned).collect();
    differences.sort();
    #[expect(clippy::cast_sign_loss, reason = "a count")]
    (states as usize, differences)
}

#[test]
#[ignore = "needs spin: cargo xtask test brings it"]
fn spin_reaches_the_same_states_and_differences() {
    let folder = std::env::temp_dir().join(format!("changeout-spin-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder");
    let mut random = Random(0x9E37_79B9_7F4A_7C15);
    let mut told = 0;
    for number in 0..12 {
        let machines = pair(&mut random);
        let found = compare(&machines, 2).expect("small");
        let (states, differences) = checked(&folder, &model(&machines, 2, &found));
        assert_eq!(states, found.states, "pair {number}: {machines:?}");
        assert_eq!(differences, signatures(&found), "pair {number}: {machines:?}");
        told += differences.len();
    }
    assert!(told > 100, "the pairs must differ: {told}");
    std::fs::remove_dir_all(&folder).expect("removed");
}
