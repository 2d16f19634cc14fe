//! Any text as any fact of the survey: no panic, and what was taken is a number that can be written and read again.
#![no_main]

use libfuzzer_sys::fuzz_target;
use packs::text::{fact_text, parse_fact};
use plant::quantity::System;
use plant::survey::{DUTY_COLUMNS, FACTS};

fuzz_target!(|text: &str| {
    for fact in FACTS.iter().chain(DUTY_COLUMNS) {
        let Ok(known) = parse_fact(text, fact.kind) else { continue };
        if let Some((low, high)) = known.bounds() {
            assert!(low.is_finite() && high.is_finite() && low <= high, "{}: {known:?}", fact.path);
        }
        for system in [System::Metric, System::Us] {
            let shown = fact_text(&known, fact.kind, system);
            assert!(parse_fact(&shown, fact.kind).is_ok(), "{}: “{text}” is shown as “{shown}”, which can't be read", fact.path);
        }
    }
});
