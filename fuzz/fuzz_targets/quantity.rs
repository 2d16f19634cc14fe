//! Any text as a quantity of any dimension: no panic, and a value that was taken is shown so that it reads the same.
#![no_main]

use libfuzzer_sys::fuzz_target;
use plant::quantity::{DIMENSIONS, System, parse, show};

/// What is shown has four significant digits.
const SHOWN: f64 = 1e-3;
/// Below this a number is lost in the rounding of units with an offset (K against °C).
const TINY: f64 = 1e-9;

fuzz_target!(|text: &str| {
    for info in DIMENSIONS {
        let Ok(value) = parse(text, info) else { continue };
        assert!(value.is_finite(), "“{text}” as {} is {value}", info.name);
        for system in [System::Metric, System::Us] {
            let shown = show(value, info, system);
            let again = parse(&shown, info).unwrap_or_else(|e| panic!("“{text}” is shown as “{shown}”, which can't be read: {e}"));
            assert!((again - value).abs() <= SHOWN * value.abs() + TINY, "“{text}” as {} is {value}, shown “{shown}”, read {again}", info.name);
        }
    }
});
