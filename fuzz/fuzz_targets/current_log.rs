//! Any text as a current log: no panic, every problem points into the text, and times of a log that is taken rise.
#![no_main]

use changeout_fuzz::{NAME, point_into, text};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let Some(source) = text(bytes) else { return };
    let read = packs::read_current_log(&source, false);
    point_into(&[(NAME, source.text())], &read.problems);
    if let Some(log) = read.checked() {
        assert!(log.samples.windows(2).all(|pair| pair[0].0 < pair[1].0), "times do not rise");
        assert!(log.samples.iter().all(|(time, current)| time.is_finite() && current.is_finite()), "a sample is no number");
    }
});
