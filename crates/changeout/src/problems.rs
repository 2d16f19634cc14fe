//! What goes wrong, shown to people: problems of files with their line and caret, and failures of a command.

use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use miette::{GraphicalReportHandler, GraphicalTheme, LabeledSpan, MietteDiagnostic, NamedSource, Report, Severity};
use packs::Problem;
use serde_json::json;

/// Why a command cannot go on.
#[derive(Debug)]
pub(crate) enum Failure {
    /// A file or folder could not be read or written.
    Disk {
        /// What was tried: "read", "write", "create".
        what: &'static str,
        /// Where.
        path: PathBuf,
        /// What the system said.
        error: io::Error,
    },
    /// The user asked for something that is not there; says what to do.
    Usage(String),
    /// Files with errors were found; they have been printed.
    Problems,
    /// Printing failed.
    Print(io::Error),
}

impl Failure {
    pub(crate) fn disk(what: &'static str, path: &Path) -> impl FnOnce(io::Error) -> Self {
        let path = path.to_owned();
        move |error| Self::Disk { what, path, error }
    }

    pub(crate) fn is_broken_pipe(&self) -> bool {
        matches!(self, Self::Print(error) if error.kind() == io::ErrorKind::BrokenPipe)
    }

    fn text(&self) -> Option<String> {
        match self {
            Self::Disk { what, path, error } => Some(format!("could not {what} {}: {error}", path.display())),
            Self::Usage(text) => Some(text.clone()),
            Self::Problems => None,
            Self::Print(error) => Some(format!("could not print: {error}")),
        }
    }
}

impl std::fmt::Display for Failure {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.text().as_deref().unwrap_or("files have mistakes"))
    }
}

impl From<io::Error> for Failure {
    fn from(error: io::Error) -> Self {
        Self::Print(error)
    }
}

/// Prints why a command ended.
pub(crate) fn print_failure(failure: &Failure, as_json: bool) {
    let Some(text) = failure.text() else { return };
    if as_json {
        // When this cannot be printed either there is nobody left to tell; the exit code says it.
        let _ = crate::say::line(json!({ "error": text }));
    } else {
        crate::say::aside(format_args!("changeout: {text}"));
    }
}

/// Problems with the texts they point into.
#[derive(Debug, Default)]
pub(crate) struct Found {
    /// The problems, file by file.
    pub(crate) problems: Vec<Problem>,
    /// Texts by the name that problems use.
    pub(crate) texts: Vec<(Arc<str>, Arc<str>)>,
}

impl Found {
    /// True when something cannot be used.
    pub(crate) fn has_errors(&self) -> bool {
        self.problems.iter().any(Problem::is_error)
    }

    /// Puts the path that was asked for before the names of the files below it.
    pub(crate) fn name_below(&mut self, path: &Path) {
        let below = |name: &str| {
            // A file that was named itself is the path.
            let full = if path.is_dir() { path.join(name) } else { path.with_file_name(name) };
            full.display().to_string()
        };
        self.problems.iter_mut().for_each(|p| p.file = below(&p.file).into());
        self.texts.iter_mut().for_each(|(name, _)| *name = below(name).into());
    }

    /// Prints all of them to standard error, with a count at the end.
    pub(crate) fn print(&self) {
        let handler = GraphicalReportHandler::new_themed(GraphicalTheme::unicode_nocolor()).with_width(110).with_links(false);
        for problem in &self.problems {
            let mut text = String::new();
            if handler.render_report(&mut text, report(problem, &self.texts).as_ref()).is_err() {
                text = problem.to_string();
            }
            crate::say::aside(text.trim_end());
        }
        let errors = self.problems.iter().filter(|p| p.is_error()).count();
        let warnings = self.problems.len() - errors;
        if !self.problems.is_empty() {
            crate::say::aside(format_args!("{}, {}", count(errors, "error"), count(warnings, "warning")));
        }
    }

    /// As JSON.
    pub(crate) fn json(&self) -> serde_json::Value {
        self.problems
            .iter()
            .map(|p| {
                json!({
                    "severity": p.severity.word(), "file": p.file.as_ref(), "line": p.line, "column": p.column, "cell": p.cell,
                    "message": p.message, "help": p.help,
                })
            })
            .collect()
    }
}

/// "1 error", "3 errors".
pub(crate) fn count(number: usize, what: &str) -> String {
    if number == 1 { format!("1 {what}") } else { format!("{number} {what}s") }
}

/// Longest line that is shown with a mark under it; a longer one is named by its line and column alone.
const LONGEST_LINE: usize = 2_000;

fn report(problem: &Problem, texts: &[(Arc<str>, Arc<str>)]) -> Report {
    let text = texts.iter().find(|(name, _)| *name == problem.file).map(|(_, text)| text);
    let shown = problem.span.as_ref().zip(text).filter(|(span, text)| {
        let fits = |from: usize| text.get(from..).is_some_and(|rest| rest.split('\n').next().unwrap_or_default().len() <= LONGEST_LINE);
        let line = text.get(..span.start).map(|before| before.rfind('\n').map_or(0, |at| at + 1));
        span.end <= text.len() && line.is_some_and(fits) && span.len() <= LONGEST_LINE
    });
    let place = match (&problem.cell, problem.line) {
        _ if shown.is_some() => String::new(),
        (Some(cell), _) => format!("{} {cell}: ", problem.file),
        (None, 0) => format!("{}: ", problem.file),
        (None, line) => format!("{}:{line}:{}: ", problem.file, problem.column),
    };
    let severity = if problem.is_error() { Severity::Error } else { Severity::Warning };
    let mut diagnostic = MietteDiagnostic::new(format!("{place}{}", problem.message)).with_severity(severity);
    if !problem.help.is_empty() {
        diagnostic = diagnostic.with_help(problem.help.clone());
    }
    match shown {
        Some((span, text)) => {
            let span = if span.is_empty() { span.start..(span.start + 1).min(text.len()) } else { span.clone() };
            Report::from(diagnostic.with_label(LabeledSpan::at(span, "here")))
                .with_source_code(NamedSource::new(&*problem.file, text.to_string()))
        }
        None => Report::from(diagnostic),
    }
}
