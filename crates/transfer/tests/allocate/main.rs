//! Allocation against what has nothing in common with it: everything tried (`brute`), and SciPy's MILP (`second_opinion`). Every answer is
//! held against the problem itself (`held`); `generate` makes the problems.
#![allow(clippy::expect_used, clippy::unwrap_used, clippy::panic, reason = "a test may stop at the first broken expectation")]

mod brute;
mod generate;
mod held;
mod second_opinion;

use transfer::allocate::{Impossible, allocate};

use brute::{least, meets, smallest_conflict};
use generate::{Dice, Size, problem};
use held::held;

/// Small problems; about a third of them are impossible.
const SMALL: usize = 6000;

#[test]
fn small_problems_agree_with_everything_tried() {
    let mut dice = Dice(0x9e37_79b9_7f4a_7c15);
    let (mut met, mut conflicts, mut paired, mut largest) = (0, 0, 0, 0);
    for case in 0..SMALL {
        let problem = problem(&mut dice, Size::SMALL);
        let all: Vec<usize> = (0..problem.demands.len()).collect();
        match (allocate(&problem), least(&problem, &all)) {
            (Ok(found), Some(cost)) => {
                met += 1;
                paired += usize::from(problem.demands.iter().any(|d| d.pair.is_some()));
                assert_eq!(held(&problem, &found), cost, "{case}: {problem:#?}\n{found:#?}");
            }
            (Err(Impossible::Together { demands, smallest }), None) => {
                conflicts += 1;
                largest = largest.max(demands.len());
                assert!(smallest, "{case}");
                assert!(!meets(&problem, &demands), "{case}: {demands:?} can be met\n{problem:#?}");
                assert_eq!(demands.len(), smallest_conflict(&problem), "{case}: {demands:?} of {problem:#?}");
            }
            (ours, theirs) => panic!("{case}: {ours:?} against {theirs:?} in {problem:#?}"),
        }
    }
    println!("{met} met ({paired} of them with safety pairs), {conflicts} impossible, the largest conflict of {largest} demands");
    // The generator makes both, or the test shows nothing.
    assert!(met > SMALL / 3 && conflicts > SMALL / 10 && paired > SMALL / 20 && largest > 3, "{met} {conflicts} {paired} {largest}");
}

#[test]
fn the_same_problem_has_the_same_answer() {
    let mut dice = Dice(77);
    for _ in 0..10 {
        let problem = problem(&mut dice, Size::LARGE);
        assert_eq!(allocate(&problem), allocate(&problem.clone()));
    }
}
