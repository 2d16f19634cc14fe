//! Statements and units: everything that is wrong at once, or code to run.

use dossier::program::{Arm, Project, Section, Span, Statement, Type, Unit, UnitKind};

use super::code::{Called, Code, Line, Place, Step, What};
use super::expression::Around;
use super::{Problem, Wrong, number, scope};

/// Steps that one cycle may take: far more than any controller has time for.
const MOST_STEPS: u64 = 1_000_000;
/// Statements inside each other.
const DEEPEST: usize = 50;
/// Instances inside each other.
const DEEPEST_INSTANCES: usize = 20;

/// All units in their order.
pub(super) fn project(project: &Project) -> Result<Vec<Code>, Wrong> {
    let mut problems = Vec::new();
    let mut codes: Vec<Code> = Vec::new();
    for unit in &project.units {
        let name = unit.name.to_uppercase();
        if codes.iter().any(|c| c.name == name) {
            problems.push(Problem { place: unit.name.clone(), what: "another unit has the same name".to_owned() });
        }
        if ["R_TRIG", "F_TRIG", "TON", "TOF"].contains(&name.as_str()) {
            problems.push(Problem { place: unit.name.clone(), what: "that is the name of a standard function block".to_owned() });
        }
        codes.push(one(unit, &codes, &mut problems));
    }
    if problems.is_empty() { Ok(codes) } else { Err(Wrong { problems }) }
}

fn one(unit: &Unit, before: &[Code], problems: &mut Vec<Problem>) -> Code {
    let (places, initial) = scope::declare(unit, before, problems);
    let around = Around { places: &places, before, problems: Vec::new(), work: 0 };
    let mut body = Body { unit: &unit.name, around, number: 0, steps: 0, problems };
    let lines = body.statements(&unit.body, 0);
    let cost = body.steps.saturating_add(body.around.work);
    if cost > MOST_STEPS {
        problems.push(Problem {
            place: unit.name.clone(),
            what: format!("a cycle may take {cost} steps with all that it calls: at most {MOST_STEPS} expected"),
        });
    }
    let inner = places.iter().map(|p| match p.what {
        What::Own(index) => before.get(index).map_or(0, |c| c.depth),
        _ => 0,
    });
    let depth = 1 + inner.max().unwrap_or(0);
    if depth > DEEPEST_INSTANCES {
        let what = format!("more than {DEEPEST_INSTANCES} instances stand inside each other");
        problems.push(Problem { place: unit.name.clone(), what });
    }
    let name = unit.name.to_uppercase();
    Code { name, program: unit.kind == UnitKind::Program, places, initial, body: lines, cost, depth }
}

struct Body<'a> {
    unit: &'a str,
    around: Around<'a>,
    number: usize,
    steps: u64,
    problems: &'a mut Vec<Problem>,
}

impl Body<'_> {
    fn wrong(&mut self, what: String) {
        self.around.problems.push(what);
    }

    fn statements(&mut self, statements: &[Statement], depth: usize) -> Vec<Line> {
        let mut lines = Vec::new();
        for statement in statements {
            if matches!(statement, Statement::Note(_)) {
                continue;
            }
            self.number += 1;
            self.steps += 1;
            let number = self.number;
            let step = if depth > DEEPEST {
                self.wrong(format!("more than {DEEPEST} statements stand inside each other"));
                None
            } else {
                self.statement(statement, depth)
            };
            // Problems of statements inside this one have gone out under their own numbers.
            self.tell(number);
            lines.extend(step.map(|step| Line { step, number }));
        }
        lines
    }

    /// Sends out what was found wrong in the statement of that number.
    fn tell(&mut self, number: usize) {
        let place = format!("{}, statement {number}", self.unit);
        self.problems.extend(self.around.problems.drain(..).map(|what| Problem { place: place.clone(), what }));
    }

    fn inside(&mut self, statements: &[Statement], depth: usize) -> Vec<Line> {
        self.statements(statements, depth + 1)
    }

    fn statement(&mut self, statement: &Statement, depth: usize) -> Option<Step> {
        let number = self.number;
        match statement {
            // Passed over by the caller.
            Statement::Note(_) => None,
            Statement::Return => Some(Step::Return),
            Statement::Assign { target, value } => {
                let target = self.target(target);
                let value = match target {
                    Some((kind, _)) => self.around.expect(value, kind, "the value"),
                    None => self.around.typed(value).map(|(_, node)| node),
                };
                Some(Step::Assign(target?.1, value?))
            }
            Statement::If { branches, otherwise } => {
                if branches.is_empty() {
                    self.wrong("an IF without a condition".to_owned());
                }
                let mut whole = Vec::new();
                for branch in branches {
                    let condition = self.around.expect(&branch.condition, Type::Bool, "the condition");
                    self.tell(number);
                    let body = self.inside(&branch.body, depth);
                    whole.push(condition.map(|c| (c, body)));
                }
                let otherwise = self.inside(otherwise, depth);
                Some(Step::If(whole.into_iter().collect::<Option<_>>()?, otherwise))
            }
            Statement::Case { selector, arms, otherwise } => {
                let typed = self.around.typed(selector);
                if let Some((kind, _)) = &typed {
                    self.arms(*kind, arms);
                }
                self.tell(number);
                let whole = arms.iter().map(|arm| (arm.values.clone(), self.inside(&arm.body, depth))).collect();
                let otherwise = self.inside(otherwise, depth);
                Some(Step::Case(typed?.1, whole, otherwise))
            }
            Statement::Call { instance, inputs, outputs } => {
                let found = self.around.place(instance).map(|p| (p.at, p.what.clone()));
                let block = match &found {
                    Some((_, What::Own(index))) => {
                        self.steps = self.steps.saturating_add(self.around.before.get(*index).map_or(0, |c| c.cost));
                        Some(Called::Own(*index))
                    }
                    Some((_, What::Standard(block))) => Some(Called::Standard(block.clone())),
                    _ => None,
                };
                let (Some((at, what)), Some(block)) = (found, block) else {
                    self.wrong(format!("{instance} is called but is no instance of a function block"));
                    return None;
                };
                let mut given = Vec::new();
                for input in inputs {
                    let pin = what.pin(&input.input, self.around.before).filter(|(section, ..)| *section == Section::Input);
                    match pin {
                        Some((_, kind, slot)) => {
                            let value = self.around.expect(&input.value, kind, &format!("the value for {}", input.input));
                            given.push(value.map(|v| (at + slot, v)));
                        }
                        None => self.wrong(format!("{instance} has no input {}", input.input)),
                    }
                    if inputs.iter().filter(|i| i.input.eq_ignore_ascii_case(&input.input)).count() > 1 {
                        self.wrong(format!("the input {} is given twice", input.input));
                    }
                }
                let mut taken = Vec::new();
                for output in outputs {
                    let pin = what.pin(&output.output, self.around.before).filter(|(section, ..)| *section == Section::Output);
                    let target = self.target(&output.target);
                    match (pin, target) {
                        (None, _) => self.wrong(format!("{instance} has no output {}", output.output)),
                        (Some((_, kind, _)), Some((into, _))) if kind != into => {
                            self.wrong(format!("the output {} is a {kind}, but {} is a {into}", output.output, output.target));
                        }
                        (Some((_, _, slot)), Some((_, into))) => taken.push((at + slot, into)),
                        (Some(_), None) => {}
                    }
                }
                Some(Step::Call { block, at, inputs: given.into_iter().collect::<Option<_>>()?, outputs: taken })
            }
        }
    }

    /// A variable that may be written here.
    fn target(&mut self, name: &str) -> Option<(Type, usize)> {
        let problem = match self.around.place(name) {
            Some(Place { section: Section::Input, .. }) => format!("{name} is an input and is not written inside"),
            Some(Place { section: Section::Constant, .. }) => format!("{name} is a constant"),
            Some(Place { what: What::Value(kind), at, .. }) => return Some((*kind, *at)),
            Some(_) => format!("{name} is an instance and takes no value"),
            None => format!("{name} is not declared"),
        };
        self.wrong(problem);
        None
    }

    fn arms(&mut self, kind: Type, arms: &[Arm]) {
        if !kind.is_integer() {
            return self.wrong(format!("CASE of a {kind}: INT, UINT, DINT or UDINT expected"));
        }
        if arms.is_empty() {
            self.wrong("a CASE without values".to_owned());
        }
        let (lowest, highest) = number::ends(kind);
        let mut all: Vec<Span> = Vec::new();
        for arm in arms {
            if arm.values.is_empty() {
                self.wrong("a part of a CASE names no value".to_owned());
            }
            for span in &arm.values {
                let Span { first, last } = *span;
                if first > last {
                    self.wrong(format!("the values {first}..{last} of a CASE stand the wrong way round"));
                } else if first < lowest || last > highest {
                    self.wrong(format!("{first}..{last} of a CASE lies outside {kind}: {lowest} to {highest} expected"));
                }
                all.push(*span);
            }
        }
        all.sort_by_key(|s| (s.first, s.last));
        for pair in all.windows(2) {
            if let [a, b] = pair
                && b.first <= a.last
            {
                self.wrong(format!("the value {} of a CASE stands there twice", b.first));
            }
        }
    }
}
