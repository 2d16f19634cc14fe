//! What the fuzz targets share: what must hold of every reader, whatever it is given.

use packs::{Problem, Source};

/// Name that a text under test goes by.
pub const NAME: &str = "under-test";

/// A source of these bytes, where they are a text of a size that is read.
#[must_use]
pub fn text(bytes: &[u8]) -> Option<Source> {
    Source::from_bytes(NAME, bytes, packs::TEXT_BYTES).ok()
}

/// Every problem that names a file of `texts` points into its text, at a place where a caret can stand, and says something.
pub fn point_into(texts: &[(&str, &str)], problems: &[Problem]) {
    for problem in problems {
        assert!(!problem.message.is_empty(), "a problem without words: {problem:?}");
        let Some(span) = &problem.span else { continue };
        let text = texts.iter().find(|(name, _)| **name == *problem.file).map(|(_, text)| *text);
        let text = text.unwrap_or_else(|| panic!("a span in a file that was not given: {problem:?}"));
        assert!(span.start <= span.end && span.end <= text.len(), "beyond the text of {} bytes: {problem:?}", text.len());
        assert!(text.is_char_boundary(span.start) && text.is_char_boundary(span.end), "inside a character: {problem:?}");
        assert!(problem.line >= 1 && problem.column >= 1, "a span without line and column: {problem:?}");
    }
}

/// Lets panics inside the reader of workbooks unwind: `packs` catches them and reports the file as damaged. Without this,
/// the first one would end the run. A panic that nobody catches still does.
pub fn let_calamine_panic() {
    std::panic::set_hook(Box::new(|panic| {
        if !panic.location().is_some_and(|place| place.file().contains("calamine")) {
            eprintln!("{panic}");
        }
    }));
}

/// The smallest `pack.toml` that lets its tables be read.
pub const PACK: &str = r#"schema = 1
series = "s"
name = "S"
maker = "M"
documents = ["D"]
offered = true
currency = "EUR"
combine = "multiply"
single_phase = false

[motor]
kinds = ["induction"]
methods = ["scalar"]
highest_frequency = "400 Hz"
smallest_motor = "30 %"
"#;
