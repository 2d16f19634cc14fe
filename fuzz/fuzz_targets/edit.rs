//! Values written into any position and any decisions: no panic, and a text that had no error gets none.
#![no_main]

use changeout_fuzz::{NAME, text};
use libfuzzer_sys::fuzz_target;
use packs::{Problem, Source, add_reading, read_decisions, read_position, record};
use plant::fact::Origin;

fuzz_target!(|bytes: &[u8]| {
    let Some(source) = text(bytes) else { return };
    let sound = |problems: &[Problem]| !problems.iter().any(Problem::is_error);
    if let Ok(after) = record(&source, "motor.current", "52 A", None)
        && sound(&read_position(&source).problems)
    {
        let read = read_position(&Source::new(NAME, after.as_str()));
        assert!(sound(&read.problems), "{after}\n{:?}", read.problems);
    }
    if let Ok(after) = add_reading(&source, "T-1", "motor.current", "50..52 A", &Origin::default())
        && sound(&read_decisions(&source).problems)
    {
        let read = read_decisions(&Source::new(NAME, after.as_str()));
        assert!(sound(&read.problems), "{after}\n{:?}", read.problems);
    }
});
