//! What is wrong in a file, where, and what would be right; and the sink in which one file's problems collect.

use std::fmt;
use std::ops::Range;
use std::sync::Arc;

use plant::fact::Place;

use crate::source::Source;

/// Most problems that are listed of one file; the rest are counted.
const MOST_PROBLEMS: usize = 200;

/// How bad it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// What stands there cannot be used; nothing is calculated from the file.
    Error,
    /// It can be used, but is probably not what was meant.
    Warning,
}

impl Severity {
    /// "error" or "warning".
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Error => "error",
            Self::Warning => "warning",
        }
    }
}

/// One thing that is wrong in a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// How bad it is.
    pub severity: Severity,
    /// The file, as shown to people.
    pub file: Arc<str>,
    /// Bytes in the file's text, where it has one.
    pub span: Option<Range<usize>>,
    /// Line (row of a sheet) from 1; 0 when the file as a whole is meant.
    pub line: u32,
    /// Column from 1; 0 when the file as a whole is meant.
    pub column: u32,
    /// Cell of a workbook: "Sheet1!B7".
    pub cell: Option<Box<str>>,
    /// What is wrong.
    pub message: String,
    /// What was expected, or what to do.
    pub help: String,
}

impl Problem {
    pub(crate) fn new(severity: Severity, file: Arc<str>, message: impl Into<String>) -> Self {
        Self { severity, file, span: None, line: 0, column: 0, cell: None, message: message.into(), help: String::new() }
    }

    /// True when nothing may be calculated from the file.
    #[must_use]
    pub fn is_error(&self) -> bool {
        self.severity == Severity::Error
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.file)?;
        match &self.cell {
            Some(cell) => write!(f, " {cell}")?,
            None if self.line > 0 => write!(f, ":{}:{}", self.line, self.column)?,
            None => {}
        }
        write!(f, ": {}: {}", self.severity.word(), self.message)?;
        if self.help.is_empty() { Ok(()) } else { write!(f, "; {}", self.help) }
    }
}

/// What a reader made of a file. A value is there as far as the file could be understood, also beside errors
/// (facts with an error are then missing), so that a screen can show it; to calculate, take [`Read::checked`].
#[derive(Clone, Debug)]
pub struct Read<T> {
    /// The value; `None` when the file is not readable as a whole or lacks what it cannot do without.
    pub value: Option<T>,
    /// Everything that is wrong, in the order of the text.
    pub problems: Vec<Problem>,
}

impl<T> Read<T> {
    /// The value, if nothing in the file is an error.
    #[must_use]
    pub fn checked(self) -> Option<T> {
        if self.problems.iter().any(Problem::is_error) { None } else { self.value }
    }
}

/// A place inside the file of a [`Sink`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum At {
    /// The file as a whole.
    File,
    /// Bytes of its text.
    Text {
        /// First.
        start: usize,
        /// Behind the last.
        end: usize,
    },
    /// A cell, both counted from 0.
    Cell {
        /// Row.
        row: u32,
        /// Column.
        column: u32,
    },
}

impl At {
    pub(crate) const fn span(span: &Range<usize>) -> Self {
        Self::Text { start: span.start, end: span.end }
    }
}

/// Why a text is not what it should be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wrong {
    /// What is wrong.
    pub message: String,
    /// What would be right.
    pub help: String,
}

impl Wrong {
    pub(crate) fn new(message: impl Into<String>, help: impl Into<String>) -> Self {
        Self { message: message.into(), help: help.into() }
    }
}

/// Collects the problems of one file.
#[derive(Debug)]
pub(crate) struct Sink<'s> {
    file: Arc<str>,
    source: Option<&'s Source>,
    sheet: String,
    problems: Vec<Problem>,
    unlisted: usize,
    unlisted_error: bool,
}

impl<'s> Sink<'s> {
    /// Of a text.
    pub(crate) fn of(source: &'s Source) -> Self {
        Self { source: Some(source), ..Self::named(source.name().clone()) }
    }

    /// Of a file without text: a workbook, or one that is not there.
    pub(crate) fn named(file: Arc<str>) -> Self {
        Self { file, source: None, sheet: String::new(), problems: Vec::new(), unlisted: 0, unlisted_error: false }
    }

    pub(crate) fn set_sheet(&mut self, sheet: String) {
        self.sheet = sheet;
    }

    pub(crate) fn error(&mut self, at: At, message: impl Into<String>, help: impl Into<String>) {
        self.report(Severity::Error, at, message.into(), help.into());
    }

    pub(crate) fn warning(&mut self, at: At, message: impl Into<String>, help: impl Into<String>) {
        self.report(Severity::Warning, at, message.into(), help.into());
    }

    /// Takes a problem that was made elsewhere.
    pub(crate) fn take(&mut self, problem: Problem) {
        if self.problems.len() < MOST_PROBLEMS {
            self.problems.push(problem);
        } else {
            self.unlisted += 1;
            self.unlisted_error |= problem.is_error();
        }
    }

    fn report(&mut self, severity: Severity, at: At, message: String, help: String) {
        let mut problem = Problem { help, ..Problem::new(severity, self.file.clone(), message) };
        match at {
            At::File => {}
            At::Text { start, end } => {
                let spot = self.source.map(|s| s.spot(start));
                problem.span = Some(start..end);
                problem.line = spot.map_or(0, |s| s.line);
                problem.column = spot.map_or(0, |s| s.column);
            }
            At::Cell { row, column } => {
                problem.line = row.saturating_add(1);
                problem.column = column.saturating_add(1);
                problem.cell = Some(format!("{}!{}{}", self.sheet, column_letters(column), row.saturating_add(1)).into());
            }
        }
        self.take(problem);
    }

    /// True when further problems are only counted, so that help for them need not be thought out.
    pub(crate) fn is_full(&self) -> bool {
        self.problems.len() >= MOST_PROBLEMS
    }

    pub(crate) fn has_errors(&self) -> bool {
        self.unlisted_error || self.problems.iter().any(Problem::is_error)
    }

    /// File and line of a place.
    pub(crate) fn place(&self, at: At) -> Place {
        let line = match at {
            At::File => 1,
            At::Text { start, .. } => self.source.map_or(0, |s| s.spot(start).line),
            At::Cell { row, .. } => row.saturating_add(1),
        };
        Place { file: self.file.clone(), line }
    }

    /// Throws away what was collected: for a file that is refused as a whole.
    pub(crate) fn clear(&mut self) {
        (self.problems, self.unlisted, self.unlisted_error) = (Vec::new(), 0, false);
    }

    /// All problems in the order of the text.
    pub(crate) fn finish(mut self) -> Vec<Problem> {
        self.problems.sort_by_key(|p| (p.line, p.column));
        if self.unlisted > 0 {
            let severity = if self.unlisted_error { Severity::Error } else { Severity::Warning };
            self.problems.push(Problem::new(severity, self.file, format!("{} more problems of this file are not listed", self.unlisted)));
        }
        self.problems
    }
}

/// "A", "B", … "Z", "AA" for columns from 0.
fn column_letters(column: u32) -> String {
    let mut letters = Vec::new();
    let mut rest = column;
    loop {
        letters.push(b'A' + u8::try_from(rest % 26).unwrap_or(0));
        if rest < 26 {
            break;
        }
        rest = rest / 26 - 1;
    }
    letters.iter().rev().map(|b| char::from(*b)).collect()
}

/// The word nearest to what somebody wrote, if one is near enough to be meant.
pub(crate) fn nearest<'w>(written: &str, words: impl IntoIterator<Item = &'w str>) -> Option<&'w str> {
    /// Jaro-Winkler similarity from which words count as near: found by trying misspelt keys, no source.
    const NEAR: f64 = 0.9;
    /// Longest text that is worth comparing.
    const LONGEST: usize = 64;
    /// Most words that are compared, so that a list of thousands costs no time.
    const COMPARED: usize = 1_000;
    if written.is_empty() || written.len() > LONGEST {
        return None;
    }
    let plain = |w: &str| w.to_lowercase().replace([' ', '_'], "-");
    let own = plain(written);
    let length = own.chars().count();
    let score = |word: &str| {
        let other = plain(word);
        let edits = strsim::osa_distance(&own, &other);
        let likeness = strsim::jaro_winkler(&own, &other);
        let contained = length >= 4 && other.len() >= 4 && (other.contains(&own) || own.contains(&other));
        ((edits <= (length / 3).max(1) && edits * 2 <= length.max(other.chars().count())) || likeness >= NEAR || contained)
            .then_some((edits, 1.0 - likeness))
    };
    let scored = words.into_iter().take(COMPARED).filter_map(|word| score(word).map(|s| (s, word)));
    scored.min_by(|(a, _), (b, _)| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))).map(|(_, word)| word)
}

/// Help about a word that is not known: the nearest one if there is one, else all of them.
pub(crate) fn did_you_mean<'w>(written: &str, words: impl IntoIterator<Item = &'w str> + Clone) -> String {
    match nearest(written, words.clone()) {
        Some(word) => format!("did you mean “{word}”?"),
        None => one_of(words),
    }
}

/// "expected one of …", cut after a dozen.
pub(crate) fn one_of<'w>(words: impl IntoIterator<Item = &'w str>) -> String {
    const SHOWN: usize = 12;
    let words: Vec<&str> = words.into_iter().collect();
    match words.len() {
        0 => "there are none".into(),
        n if n > SHOWN => format!("expected one of {} and {} more", words[..SHOWN].join(", "), n - SHOWN),
        _ => format!("expected one of {}", words.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn near_words_are_found_and_far_ones_are_not() {
        let words = ["current", "voltage", "rated_current", "air_temperature", "self-ventilated", "B"];
        for (written, want) in [
            ("curent", Some("current")),
            ("Current", Some("current")),
            ("ratedcurrent", Some("rated_current")),
            ("Air Temperature", Some("air_temperature")),
            ("self_ventilated", Some("self-ventilated")),
            ("temperature", Some("air_temperature")),
            ("weight", None),
            ("x", None),
            ("", None),
        ] {
            assert_eq!(nearest(written, words), want, "{written}");
        }
        assert_eq!(nearest(&"c".repeat(10_000), words), None);
    }

    #[test]
    fn columns_have_the_letters_of_spreadsheets() {
        for (column, letters) in [(0, "A"), (1, "B"), (25, "Z"), (26, "AA"), (701, "ZZ"), (702, "AAA")] {
            assert_eq!(column_letters(column), letters);
        }
    }

    #[test]
    fn a_flood_of_problems_is_cut_and_stays_an_error() {
        let source = Source::new("x", "abc");
        let mut sink = Sink::of(&source);
        for _ in 0..MOST_PROBLEMS {
            sink.warning(At::File, "w", "");
        }
        sink.error(At::File, "e", "");
        let problems = sink.finish();
        assert_eq!(problems.len(), MOST_PROBLEMS + 1);
        assert!(problems.last().is_some_and(|p| p.is_error() && p.message.starts_with("1 more")));
    }
}
