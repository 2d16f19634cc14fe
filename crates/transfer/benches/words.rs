//! How fast a pair of layouts is proved in every value: plain registers against a profile with states.

#![allow(
    clippy::expect_used,
    clippy::disallowed_methods,
    reason = "a benchmark asks the clock and may stop at the first broken expectation"
)]

use plant::network::{ReferenceUnit, WordMeaning};
use plant::quantity::Frequency;
use transfer::words::block::block;
use transfer::words::pair::Pair;
use transfer::words::profiles;
use transfer::words::proof::{Proof, prove_block};
use transfer::words::scale::Settings;

fn main() {
    divan::main();
}

/// The whole proof of plain registers against CiA 402, which benches/words.py has too. Prints values and patterns per second, how many there
/// were, and the greatest errors, so that both can be held against each other.
#[divan::bench(sample_count = 1, sample_size = 1)]
fn proof_of_a_pair() {
    const ROUNDS: u32 = 5;
    let (old, new) = (profiles::modbus(), profiles::cia402());
    let sixty = Frequency::hz(60.0);
    let settings = Settings { full_scale: sixty, highest: sixty, unit: ReferenceUnit::Hertz, poles: 4.0 };
    let pair = Pair { old: &old, new: &new, old_settings: settings, new_settings: settings, old_faults: &[], new_faults: &[] };
    let project = block(&pair).expect("a block");
    let began = std::time::Instant::now();
    let mut proof = Proof::default();
    for _ in 0..ROUNDS {
        proof = divan::black_box(prove_block(&pair, &project).expect("a proof"));
        assert_eq!(proof.mismatches, 0);
    }
    let took = began.elapsed().as_secs_f64();
    let error = |meaning| proof.errors.iter().find(|(m, _)| *m == meaning).expect("proved").1.quantity;
    #[expect(clippy::cast_precision_loss, reason = "some hundred thousand values")]
    let values = proof.values_tested as f64;
    // On lines of their own: the table of the benchmark has begun one.
    println!("\nVALUES {values}");
    println!("SETPOINT_ERROR_HZ {:.9}", error(WordMeaning::SpeedSetpoint));
    println!("SPEED_ERROR_HZ {:.9}", error(WordMeaning::SpeedActual));
    println!("CHECKS_PER_SECOND {:.0}", f64::from(ROUNDS) * values / took);
}
