//! Any text as a quantity of any dimension: no panic, and a value that was taken is shown so that it reads the same.
#![no_main]

use libfuzzer_sys::fuzz_target;
use plant::quantity::{DIMENSIONS, System, parse, show};

/// What is shown has four significant digits.
const SHOWN: f64 = 1e-3;
/// At the very edge of what is read (10 to the ±24), the shown digits may lie beyond it.
const INNER: std::ops::Range<f64> = 1e-20..1e20;

fuzz_target!(|text: &str| {
    for info in DIMENSIONS {
        let Ok(value) = parse(text, info) else { continue };
        assert!(value.is_finite(), "“{text}” as {} is {value}", info.name);
        if value != 0.0 && !INNER.contains(&value.abs()) {
            continue;
        }
        // A kelvin is rounded as the −272.1 °C that it is shown as.
        let offset = info.units.iter().map(|u| u.offset.abs()).fold(0.0, f64::max);
        for system in [System::Metric, System::Us] {
            let shown = show(value, info, system);
            let again = parse(&shown, info).unwrap_or_else(|e| panic!("“{text}” is shown as “{shown}”, which can't be read: {e}"));
            assert!(
                (again - value).abs() <= SHOWN * (value.abs() + offset),
                "“{text}” as {} is {value}, shown “{shown}”, read {again}",
                info.name
            );
        }
    }
});
