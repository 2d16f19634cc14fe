//! Any text as a file of this kind: no panic, and every problem points into the text.
#![no_main]

use changeout_fuzz::{NAME, point_into, text};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    if let Some(source) = text(bytes) {
        point_into(&[(NAME, source.text())], &packs::read_position(&source).problems);
    }
});
