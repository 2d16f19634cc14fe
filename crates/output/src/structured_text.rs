//! IEC 61131-3 structured text of a control program: one statement a line, at most 100 columns where names allow it, remarks as
//! `(* … *)`. The same program always gives the same text.
//!
//! Written so that controllers read it alike: no bit access by a dot, no short spellings, brackets wherever two operators meet, numbers
//! with their type (`DINT#5`) unless a variable beside them says it. What would end a remark early (`*)`) is spread (`* )`), and line ends
//! in a remark become spaces; what turns the direction of writing is left out. Remarks keep their other characters: where a controller wants plain ASCII, write them so.

mod expression;

use std::error::Error;
use std::fmt::{self, Write as _};

use dossier::program::{Arm, Holds, Literal, Project, Section, Span, Statement, Unit, UnitKind, Variable};

/// Columns of a line, where names leave a choice.
const WIDTH: usize = 100;
const INDENT: &str = "    ";
/// Statements inside each other, and operators inside each other: deeper ones nobody reads.
const DEEPEST: usize = 100;

/// Why a program was not printed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unprintable {
    /// One line for each reason, with its unit.
    pub problems: Vec<String>,
}

impl fmt::Display for Unprintable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "the program cannot be printed: {}", self.problems.join("; "))
    }
}

impl Error for Unprintable {}

/// The whole project as one text.
///
/// ```
/// use dossier::program::build::*;
/// use dossier::program::{Project, Type, Unit};
///
/// let unit = Unit::block("SHOW").input("NEW", Type::Word, "status").output("RUNS", Type::Bool, "").body([assign("RUNS", bit(var("NEW"), 2))]);
/// let text = output::structured_text::structured_text(&Project::new("example").unit(unit))?;
/// assert!(text.contains("RUNS := (NEW AND 16#0004) <> 16#0000;"));
/// # Ok::<(), output::structured_text::Unprintable>(())
/// ```
///
/// # Errors
/// When a name is no identifier, a number is not finite, or it stands too deep inside itself.
pub fn structured_text(project: &Project) -> Result<String, Unprintable> {
    let mut problems = Vec::new();
    let mut text = String::new();
    remark(&mut text, 0, std::iter::once(project.name.as_str()).chain(project.notes.iter().map(String::as_str)));
    for unit in &project.units {
        let mut page = Page::new(&unit.name);
        page.unit(unit);
        text.push('\n');
        text.push_str(&page.text);
        problems.append(&mut page.problems);
    }
    if problems.is_empty() { Ok(text) } else { Err(Unprintable { problems }) }
}

/// The statements of a unit alone, for a body in another file.
pub(crate) fn body(unit: &Unit) -> Result<String, Unprintable> {
    let mut page = Page::new(&unit.name);
    page.statements(&unit.body, 0);
    if page.problems.is_empty() { Ok(page.text) } else { Err(Unprintable { problems: page.problems }) }
}

/// A value where its type is known.
pub(crate) fn value(value: Literal) -> String {
    expression::literal(value, expression::Beside::Known)
}

/// Whether a controller can read it as a name at all.
pub(crate) fn is_identifier(name: &str) -> bool {
    name.chars().all(|c| c.is_ascii_alphanumeric() || c == '_') && name.starts_with(|c: char| c.is_ascii_alphabetic() || c == '_')
}

/// A remark without what would end it early.
pub(crate) fn harmless(text: &str) -> String {
    let one_line: String = text
        .chars()
        .filter_map(|c| match c {
            // What turns the direction of writing could make a remark look like code; the last two no file may hold.
            '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}' | '\u{fffe}' | '\u{ffff}' => None,
            '\u{2028}' | '\u{2029}' => Some(' '),
            c if c.is_control() => Some(' '),
            c => Some(c),
        })
        .collect();
    // Twice, so that what the first pass brings together is spread too.
    let spread = |t: String| t.replace("*)", "* )").replace("(*", "( *");
    spread(spread(one_line))
}

/// Lines as one remark; nothing when there are none.
fn remark<'l>(text: &mut String, depth: usize, lines: impl Iterator<Item = &'l str>) {
    let room = WIDTH.saturating_sub(depth * INDENT.len() + 6);
    let mut opened = false;
    for line in lines.flat_map(|line| wrapped(&harmless(line), room, room)) {
        let start = if opened { "\n" } else { "" };
        let open = if opened { "  " } else { "(*" };
        let _ = write!(text, "{start}{}{open} {line}", INDENT.repeat(depth));
        opened = true;
    }
    if opened {
        text.push_str(" *)\n");
    }
}

/// Words in lines of so many columns, the first and the others; a longer word has a line of its own.
fn wrapped(text: &str, first: usize, others: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        let room = if lines.is_empty() { first } else { others };
        if !line.is_empty() && line.chars().count() + 1 + word.chars().count() > room {
            lines.push(std::mem::take(&mut line));
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(word);
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

/// The text of a unit as it grows.
struct Page<'a> {
    unit: &'a str,
    text: String,
    problems: Vec<String>,
}

impl<'a> Page<'a> {
    fn new(unit: &'a str) -> Self {
        Self { unit, text: String::new(), problems: Vec::new() }
    }

    fn wrong(&mut self, what: &str) {
        self.problems.push(format!("{}: {what}", self.unit));
    }

    fn name<'n>(&mut self, name: &'n str) -> &'n str {
        if !is_identifier(name) {
            self.wrong(&format!("\"{name}\" is no name: letters, digits and _ expected"));
        }
        name
    }

    /// A line of code, folded at spaces where it is too long.
    fn line(&mut self, depth: usize, code: &str) {
        let indent = INDENT.repeat(depth);
        let room = WIDTH.saturating_sub(indent.len());
        for (n, part) in wrapped(code, room, room.saturating_sub(2 * INDENT.len())).iter().enumerate() {
            let more = if n == 0 { String::new() } else { INDENT.repeat(2) };
            let _ = writeln!(self.text, "{indent}{more}{part}");
        }
    }

    fn unit(&mut self, unit: &Unit) {
        let (open, close) = match unit.kind {
            UnitKind::FunctionBlock => ("FUNCTION_BLOCK", "END_FUNCTION_BLOCK"),
            UnitKind::Program => ("PROGRAM", "END_PROGRAM"),
        };
        let name = self.name(&unit.name);
        let _ = writeln!(self.text, "{open} {name}");
        remark(&mut self.text, 0, unit.notes.iter().map(String::as_str));
        for section in sections(unit) {
            self.section(section);
        }
        self.text.push('\n');
        self.statements(&unit.body, 0);
        let _ = writeln!(self.text, "{close}");
    }

    fn section(&mut self, variables: &[Variable]) {
        let Some(first) = variables.first() else { return };
        let _ = writeln!(
            self.text,
            "{}",
            match first.section {
                Section::Input => "VAR_INPUT",
                Section::Output => "VAR_OUTPUT",
                Section::Local => "VAR",
                Section::Constant => "VAR CONSTANT",
            }
        );
        let width = variables.iter().map(|v| v.name.len()).max().unwrap_or(0);
        let mut lines = Vec::new();
        for variable in variables {
            let name = self.name(&variable.name);
            let holds = match &variable.holds {
                Holds::Value(kind) => kind.keyword(),
                Holds::Instance(block) => self.name(block.name()),
            };
            let initial = variable.initial.map(|initial| format!(" := {}", value(initial))).unwrap_or_default();
            if matches!(variable.initial, Some(Literal::Real(initial)) if !initial.is_finite()) {
                self.wrong(&format!("{name} begins with a number that is not finite"));
            }
            lines.push((format!("{INDENT}{name:width$} : {holds}{initial};"), harmless(variable.note.trim())));
        }
        let widest = lines.iter().map(|(code, _)| code.len()).max().unwrap_or(0).min(WIDTH / 2);
        for (code, note) in lines {
            if note.is_empty() {
                let _ = writeln!(self.text, "{code}");
            } else if widest.max(code.len()) + 1 + note.chars().count() + 6 <= WIDTH {
                let _ = writeln!(self.text, "{code:widest$} (* {note} *)");
            } else {
                remark(&mut self.text, 1, std::iter::once(note.as_str()));
                let _ = writeln!(self.text, "{code}");
            }
        }
        self.text.push_str("END_VAR\n");
    }

    /// Statements; one that does nothing where there are none, because a branch may not be empty.
    fn inner(&mut self, statements: &[Statement], depth: usize) {
        self.statements(statements, depth);
        if statements.iter().all(|s| matches!(s, Statement::Note(_))) {
            self.line(depth, ";");
        }
    }

    fn statements(&mut self, statements: &[Statement], depth: usize) {
        if depth > DEEPEST {
            return self.wrong(&format!("more than {DEEPEST} statements stand inside each other"));
        }
        for statement in statements {
            self.statement(statement, depth);
        }
    }

    fn statement(&mut self, statement: &Statement, depth: usize) {
        match statement {
            Statement::Note(text) => remark(&mut self.text, depth, std::iter::once(text.as_str())),
            Statement::Return => self.line(depth, "RETURN;"),
            Statement::Assign { target, value } => {
                let code = format!("{} := {};", self.name(target), self.alone(value));
                self.line(depth, &code);
            }
            Statement::If { branches, otherwise } => {
                for (n, branch) in branches.iter().enumerate() {
                    let code = format!("{} {} THEN", if n == 0 { "IF" } else { "ELSIF" }, self.typed(&branch.condition));
                    self.line(depth, &code);
                    self.inner(&branch.body, depth + 1);
                }
                if branches.is_empty() {
                    self.wrong("an IF without a condition");
                }
                if !otherwise.is_empty() {
                    self.line(depth, "ELSE");
                    self.inner(otherwise, depth + 1);
                }
                self.line(depth, "END_IF;");
            }
            Statement::Case { selector, arms, otherwise } => {
                let code = format!("CASE {} OF", self.typed(selector));
                self.line(depth, &code);
                for arm in arms {
                    self.arm(arm, depth + 1);
                }
                if !otherwise.is_empty() {
                    self.line(depth, "ELSE");
                    self.inner(otherwise, depth + 1);
                }
                self.line(depth, "END_CASE;");
            }
            Statement::Call { instance, inputs, outputs } => {
                let mut pins = Vec::new();
                for given in inputs {
                    pins.push(format!("{} := {}", self.name(&given.input), self.alone(&given.value)));
                }
                for taken in outputs {
                    pins.push(format!("{} => {}", self.name(&taken.output), self.name(&taken.target)));
                }
                let code = format!("{}({});", self.name(instance), pins.join(", "));
                self.line(depth, &code);
            }
        }
    }

    fn arm(&mut self, arm: &Arm, depth: usize) {
        let span = |s: &Span| if s.first == s.last { s.first.to_string() } else { format!("{}..{}", s.first, s.last) };
        let values = arm.values.iter().map(span).collect::<Vec<_>>().join(", ");
        let note = harmless(arm.note.trim());
        let note = if note.is_empty() { note } else { format!(" (* {note} *)") };
        self.line(depth, &format!("{values}:{note}"));
        self.inner(&arm.body, depth + 1);
    }
}

/// Neighbouring variables of one section.
pub(crate) fn sections(unit: &Unit) -> impl Iterator<Item = &[Variable]> {
    unit.variables.chunk_by(|a, b| a.section == b.section)
}
