//! How fast a pair of layouts is proved in every value: an old full-scale count against a profile with states.

#![allow(
    clippy::expect_used,
    clippy::disallowed_methods,
    reason = "a benchmark asks the clock and may stop at the first broken expectation"
)]

use plant::network::{FullScale, ReferenceUnit, Scale};
use plant::quantity::Frequency;
use transfer::words::block::block;
use transfer::words::pair::Pair;
use transfer::words::profiles;
use transfer::words::proof::prove_block;
use transfer::words::scale::{Line, Settings};

fn main() {
    divan::main();
}

/// The whole proof of plain registers against CiA 402.
#[divan::bench(sample_count = 5)]
fn proof_of_a_pair(bencher: divan::Bencher) {
    let (old, new) = (profiles::modbus(), profiles::cia402());
    let sixty = Frequency::hz(60.0);
    let settings = Settings { full_scale: sixty, highest: sixty, unit: ReferenceUnit::Hertz, poles: 4.0 };
    let pair = Pair { old: &old, new: &new, old_settings: settings, new_settings: settings, old_faults: &[], new_faults: &[] };
    let project = block(&pair).expect("a block");
    let tried = prove_block(&pair, &project).expect("a proof").values_tested;
    bencher.counter(divan::counter::ItemsCount::new(usize::try_from(tried).unwrap_or(usize::MAX))).bench_local(|| {
        let proof = prove_block(&pair, &project).expect("a proof");
        assert_eq!(proof.mismatches, 0);
    });
}

/// The loop that benches/words.py has too: all 65,536 values of a word through a line and back, with the greatest error. Prints values per second.
#[divan::bench(sample_count = 1, sample_size = 1)]
fn line_of_a_word() {
    const ROUNDS: u32 = 50;
    let scale = Scale::FullScale { counts: 32_767.0, of: FullScale::MaximumFrequency };
    let sixty = Frequency::hz(60.0);
    let settings = Settings { full_scale: sixty, highest: sixty, unit: ReferenceUnit::Hertz, poles: 4.0 };
    let old = transfer::words::scale::per_count(scale, &settings).expect("a speed");
    let line = Line::of(old / 0.01, 65_535).expect("a line");
    let began = std::time::Instant::now();
    let mut worst = 0.0_f64;
    for _ in 0..ROUNDS {
        for count in 0..=65_535_u32 {
            let count = divan::black_box(i64::from(count));
            #[expect(clippy::cast_precision_loss, reason = "counts of a word")]
            let gone = (line.at(count) as f64 * 0.01 - count as f64 * old).abs();
            worst = worst.max(gone);
        }
    }
    assert!(worst <= 0.005_001, "{worst}");
    // On a line of its own: the table of the benchmark has begun one.
    println!("\nCHECKS_PER_SECOND {:.0}", f64::from(ROUNDS) * 65_536.0 / began.elapsed().as_secs_f64());
}
