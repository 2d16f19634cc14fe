//! Names that a controller takes: IEC 61131-3 identifiers (edition 2, 2.1.2, from memory), no longer than it allows, different even when
//! capitals and small letters count as the same, and none of its reserved words. What had to be renamed is listed.

use std::collections::BTreeSet;

use dossier::program::{Block, Expression, Holds, Project, Statement, Unit};

use super::{Problem, Wrong};

/// Words that no controller takes as a name, or that a name would hide: keywords, types, standard functions and blocks, operators of the
/// instruction list (edition 2, annex C, from memory). In capitals, a space between two.
pub const KEYWORDS: &str = "\
    ABS ACTION ADD AND ANDN ANY ARRAY ASIN ACOS AT ATAN BOOL BY BYTE CAL CALC CALCN CASE CONCAT CONFIGURATION CONSTANT COS \
    CTD CTU CTUD DATE DELETE DINT DIV DO DT DWORD ELSE ELSIF EN END_ACTION END_CASE END_CONFIGURATION END_FOR END_FUNCTION \
    END_FUNCTION_BLOCK END_IF END_PROGRAM END_REPEAT END_RESOURCE END_STEP END_STRUCT END_TRANSITION END_TYPE END_VAR \
    END_WHILE ENO EQ EXIT EXP EXPT FALSE FIND FOR FROM FUNCTION FUNCTION_BLOCK F_EDGE F_TRIG GE GT IF INITIAL_STEP INSERT \
    INT INTERVAL JMP JMPC JMPCN LD LDN LE LEFT LEN LIMIT LINT LN LOG LREAL LT LWORD MAX MID MIN MOD MOVE MUL MUX NE NEG NOT \
    OF ON OR ORN PRIORITY PROGRAM READ_ONLY READ_WRITE REAL REPEAT REPLACE RESOURCE RET RETAIN RETC RETCN RETURN RIGHT ROL \
    ROR RS RTC R_EDGE R_TRIG SEL SHL SHR SIN SINGLE SINT SQRT SR ST STEP STN STRING STRUCT SUB TAN TASK THEN TIME \
    TIME_OF_DAY TO TOD TOF TON TP TRANSITION TRUE TRUNC TYPE UDINT UINT ULINT UNTIL USINT VAR VAR_ACCESS VAR_EXTERNAL \
    VAR_GLOBAL VAR_INPUT VAR_IN_OUT VAR_OUTPUT WHILE WITH WORD WSTRING XOR XORN";

/// Shortest limit that still tells names apart: the standard asks every controller for six characters.
const SHORTEST_LIMIT: usize = 6;

/// What a controller asks of names.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rules {
    /// Most characters of a name; 6 or more.
    pub longest: usize,
    /// Whether a name may begin with `_`.
    pub underscore_first: bool,
    /// Its own reserved words, beside `KEYWORDS`, in capitals or small letters.
    pub reserved: Vec<String>,
}

impl Default for Rules {
    /// 24 characters, no `_` at the start, no further words: narrow enough for older controllers. Common practice, no source.
    fn default() -> Self {
        Self { longest: 24, underscore_first: false, reserved: Vec::new() }
    }
}

/// A name that was changed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Renamed {
    /// The unit that it belongs to, by its old name; empty for the name of a unit.
    pub unit: String,
    /// Before.
    pub old: String,
    /// After.
    pub new: String,
    /// Why.
    pub why: String,
}

/// A project with names that the controller takes.
#[derive(Clone, Debug, PartialEq)]
pub struct Fitted {
    /// The project.
    pub project: Project,
    /// What was renamed, in the order of the text.
    pub renamed: Vec<Renamed>,
}

/// What is wrong with a name, if anything is.
#[must_use]
pub fn fault(name: &str, rules: &Rules) -> Option<String> {
    let upper = name.to_uppercase();
    let first = name.chars().next();
    if !name.chars().all(|c| c.is_ascii_alphanumeric() || c == '_') {
        return Some("has characters other than A to Z, 0 to 9 and _".to_owned());
    }
    match first {
        None => return Some("is empty".to_owned()),
        Some('0'..='9') => return Some("begins with a digit".to_owned()),
        Some('_') if !rules.underscore_first => return Some("begins with _".to_owned()),
        Some(_) => {}
    }
    if name.contains("__") || name.ends_with('_') {
        return Some("has two _ in a row or one at the end".to_owned());
    }
    if name.len() > rules.longest {
        return Some(format!("is longer than {} characters", rules.longest));
    }
    if KEYWORDS.split(' ').any(|k| k == upper) || rules.reserved.iter().any(|r| r.to_uppercase() == upper) || is_conversion(&upper) {
        return Some("is a reserved word".to_owned());
    }
    None
}

/// `A_TO_B` with types on both sides.
fn is_conversion(upper: &str) -> bool {
    let is_type = |word: &str| dossier::program::Type::ALL.iter().any(|t| t.keyword() == word);
    upper.split_once("_TO_").is_some_and(|(from, to)| is_type(from) && is_type(to))
}

/// Renames whatever the controller would not take. A project whose names are fine comes back as it was.
///
/// # Errors
/// When the rules leave fewer than six characters, or a name stands twice in one place so that nobody can tell which is meant.
pub fn fit(project: &Project, rules: &Rules) -> Result<Fitted, Wrong> {
    let mut problems = Vec::new();
    if rules.longest < SHORTEST_LIMIT {
        let what = format!("names of at most {} characters: {SHORTEST_LIMIT} or more expected", rules.longest);
        problems.push(Problem { place: project.name.clone(), what });
    }
    twice(&project.name, project.units.iter().map(|u| u.name.as_str()), &mut problems);
    for unit in &project.units {
        twice(&unit.name, unit.variables.iter().map(|v| v.name.as_str()), &mut problems);
    }
    if !problems.is_empty() {
        return Err(Wrong { problems });
    }
    let mut renamed = Vec::new();
    let units = Table::new("", project.units.iter().map(|u| u.name.as_str()), &BTreeSet::new(), rules, &mut renamed);
    // A variable that is called like a unit would hide it.
    let taken: BTreeSet<String> = units.pairs.iter().map(|(_, new)| new.to_uppercase()).collect();
    let inner: Vec<Table> = project
        .units
        .iter()
        .map(|unit| Table::new(&unit.name, unit.variables.iter().map(|v| v.name.as_str()), &taken, rules, &mut renamed))
        .collect();
    let all = Tables { units: &units, inner: &inner, project };
    let mut fitted = project.clone();
    for (unit, names) in fitted.units.iter_mut().zip(&inner) {
        all.unit(unit, names);
    }
    Ok(Fitted { project: fitted, renamed })
}

fn twice<'n>(place: &str, names: impl Iterator<Item = &'n str>, problems: &mut Vec<Problem>) {
    let mut seen = BTreeSet::new();
    for name in names {
        if !seen.insert(name.to_uppercase()) {
            problems.push(Problem { place: place.to_owned(), what: format!("the name {name} stands twice") });
        }
    }
}

/// Old names and new ones.
struct Table {
    pairs: Vec<(String, String)>,
}

impl Table {
    fn new<'n>(
        unit: &str,
        names: impl Iterator<Item = &'n str> + Clone,
        taken: &BTreeSet<String>,
        rules: &Rules,
        renamed: &mut Vec<Renamed>,
    ) -> Self {
        let mut used = taken.clone();
        // Names that are fine keep them; the others make way.
        let keeps = |name: &str| fault(name, rules).is_none() && !taken.contains(&name.to_uppercase());
        used.extend(names.clone().filter(|n| keeps(n)).map(str::to_uppercase));
        let mut pairs = Vec::new();
        for name in names {
            if keeps(name) {
                pairs.push((name.to_uppercase(), name.to_owned()));
                continue;
            }
            let why = fault(name, rules).unwrap_or_else(|| "is the name of a unit".to_owned());
            let new = free(&spelled(name), &used, rules);
            used.insert(new.to_uppercase());
            renamed.push(Renamed { unit: unit.to_owned(), old: name.to_owned(), new: new.clone(), why });
            pairs.push((name.to_uppercase(), new));
        }
        Self { pairs }
    }

    fn rename(&self, name: &mut String) {
        let upper = name.to_uppercase();
        if let Some((_, new)) = self.pairs.iter().find(|(old, _)| *old == upper) {
            name.clone_from(new);
        }
    }
}

/// The name with nothing but letters, digits and single `_` between them, beginning with a letter.
fn spelled(name: &str) -> String {
    let words = name.split(|c: char| !c.is_ascii_alphanumeric()).filter(|w| !w.is_empty()).collect::<Vec<_>>().join("_");
    if words.starts_with(|c: char| c.is_ascii_alphabetic()) { words } else { format!("V_{words}").trim_end_matches('_').to_owned() }
}

/// The name, shortened or numbered until the controller takes it.
fn free(name: &str, used: &BTreeSet<String>, rules: &Rules) -> String {
    let cut = |length: usize| name.get(..length.min(name.len())).unwrap_or(name).trim_end_matches('_');
    let fine = |candidate: &str| fault(candidate, rules).is_none() && !used.contains(&candidate.to_uppercase());
    let plain = cut(rules.longest);
    if fine(plain) {
        return plain.to_owned();
    }
    // There are more numbers than names, so that one of them is free.
    for number in 2..=used.len() + 3 + rules.reserved.len() {
        let tail = format!("_{number}");
        let candidate = format!("{}{tail}", cut(rules.longest.saturating_sub(tail.len()).max(1)));
        if fine(&candidate) {
            return candidate;
        }
    }
    plain.to_owned()
}

struct Tables<'a> {
    units: &'a Table,
    inner: &'a [Table],
    /// As it was: instances are looked up by their old names.
    project: &'a Project,
}

impl Tables<'_> {
    /// The names inside the block that a variable is an instance of; `None` for standard blocks.
    fn pins(&self, unit: &Unit, instance: &str) -> Option<&Table> {
        let variable = unit.variables.iter().find(|v| v.name.eq_ignore_ascii_case(instance))?;
        let Holds::Instance(Block::Own(block)) = &variable.holds else { return None };
        self.inner.get(self.project.units.iter().position(|u| u.name.eq_ignore_ascii_case(block))?)
    }

    fn unit(&self, unit: &mut Unit, names: &Table) {
        let old = unit.clone();
        self.units.rename(&mut unit.name);
        for variable in &mut unit.variables {
            names.rename(&mut variable.name);
            if let Holds::Instance(Block::Own(block)) = &mut variable.holds {
                self.units.rename(block);
            }
        }
        self.statements(&mut unit.body, &old, names);
    }

    fn statements(&self, statements: &mut [Statement], unit: &Unit, names: &Table) {
        for statement in statements {
            match statement {
                Statement::Note(_) | Statement::Return => {}
                Statement::Assign { target, value } => {
                    names.rename(target);
                    self.expression(value, unit, names);
                }
                Statement::If { branches, otherwise } => {
                    for branch in branches {
                        self.expression(&mut branch.condition, unit, names);
                        self.statements(&mut branch.body, unit, names);
                    }
                    self.statements(otherwise, unit, names);
                }
                Statement::Case { selector, arms, otherwise } => {
                    self.expression(selector, unit, names);
                    for arm in arms {
                        self.statements(&mut arm.body, unit, names);
                    }
                    self.statements(otherwise, unit, names);
                }
                Statement::Call { instance, inputs, outputs } => {
                    let pins = self.pins(unit, instance);
                    names.rename(instance);
                    for input in inputs {
                        if let Some(pins) = pins {
                            pins.rename(&mut input.input);
                        }
                        self.expression(&mut input.value, unit, names);
                    }
                    for output in outputs {
                        if let Some(pins) = pins {
                            pins.rename(&mut output.output);
                        }
                        names.rename(&mut output.target);
                    }
                }
            }
        }
    }

    fn expression(&self, expression: &mut Expression, unit: &Unit, names: &Table) {
        match expression {
            Expression::Literal(_) => {}
            Expression::Variable(name) => names.rename(name),
            Expression::Output { instance, output } => {
                if let Some(pins) = self.pins(unit, instance) {
                    pins.rename(output);
                }
                names.rename(instance);
            }
            Expression::Unary(_, operand) => self.expression(operand, unit, names),
            Expression::Binary(_, left, right) => {
                self.expression(left, unit, names);
                self.expression(right, unit, names);
            }
            Expression::Call(_, arguments) => arguments.iter_mut().for_each(|a| self.expression(a, unit, names)),
        }
    }
}
