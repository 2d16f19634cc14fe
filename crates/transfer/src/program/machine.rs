//! Runs a checked program cycle by cycle.

use std::error::Error;
use std::fmt;

use dossier::program::{Literal, Project, Section, Type};

use super::code::{Bits, Called, Change, Code, Compare, Line, Node, Step, What, Whole};
use super::{Problem, Wrong, blocks, compile, number};

/// What stopped a machine.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fault {
    /// A whole number or REAL was divided by zero, or a MOD taken by zero.
    DividedByZero,
    /// A REAL became infinite or no number.
    NotFinite,
    /// A REAL does not fit into the whole type it was converted to.
    OutOfRange,
    /// Bits were shifted by fewer than zero places.
    NegativeShift,
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::DividedByZero => "divided by zero",
            Self::NotFinite => "a REAL is no longer a finite number",
            Self::OutOfRange => "a REAL does not fit into the whole number it is converted to",
            Self::NegativeShift => "shifted by fewer than zero places",
        })
    }
}

/// Where a machine stopped.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Place {
    /// Name of the unit, in capitals.
    pub unit: String,
    /// Number of its statement, from 1.
    pub statement: usize,
}

/// A machine that stopped: it stays so until it is reset.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stopped {
    /// Why.
    pub fault: Fault,
    /// Where.
    pub place: Place,
}

impl fmt::Display for Stopped {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}, statement {}: {}", self.place.unit, self.place.statement, self.fault)
    }
}

impl Error for Stopped {}

/// A variable of the unit that runs, looked up once.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Slot {
    at: usize,
    kind: Type,
    input: bool,
}

impl Slot {
    /// Its type.
    #[must_use]
    pub const fn kind(self) -> Type {
        self.kind
    }
}

/// One instance of a unit, with all that it keeps from cycle to cycle.
///
/// ```
/// use dossier::program::build::*;
/// use dossier::program::{Literal, Project, Type, Unit};
/// use transfer::program::Machine;
///
/// let half = Unit::block("HALF").input("X", Type::Int, "").output("Y", Type::Int, "").body([assign("Y", var("X") / int(2))]);
/// let mut machine = Machine::new(&Project::new("example").unit(half), "HALF")?;
/// let (x, y) = (machine.input("X").unwrap(), machine.slot("Y").unwrap());
/// machine.set(x, Literal::Int(-7));
/// machine.cycle(10)?;
/// assert_eq!(machine.get(y), Literal::Int(-3)); // towards zero
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug)]
pub struct Machine {
    code: Vec<Code>,
    unit: usize,
    state: State,
    stopped: Option<Stopped>,
}

#[derive(Clone, Debug)]
struct State {
    slots: Vec<i64>,
    now: i64,
    wraps: u64,
    at: (usize, usize),
}

enum Flow {
    On,
    Return,
}

impl Machine {
    /// An instance of a unit before its first cycle.
    ///
    /// # Errors
    /// Everything that is wrong with the project, or that it has no such unit.
    pub fn new(project: &Project, unit: &str) -> Result<Self, Wrong> {
        let code = compile::project(project)?;
        let name = unit.to_uppercase();
        let Some(unit) = code.iter().position(|c| c.name == name) else {
            let names = code.iter().map(|c| c.name.as_str()).collect::<Vec<_>>().join(", ");
            let what = format!("no unit {name}: one of {names} expected");
            return Err(Wrong { problems: vec![Problem { place: project.name.clone(), what }] });
        };
        let slots = code.get(unit).map(|c| c.initial.clone()).unwrap_or_default();
        Ok(Self { code, unit, state: State { slots, now: 0, wraps: 0, at: (0, 0) }, stopped: None })
    }

    /// A variable of any section by its name; of an instance by `instance.name`.
    #[must_use]
    pub fn slot(&self, name: &str) -> Option<Slot> {
        let code = self.code.get(self.unit)?;
        let (head, pin) = name.split_once('.').map_or((name, None), |(head, pin)| (head, Some(pin)));
        let head = head.to_uppercase();
        let place = code.places.iter().find(|p| p.name == head)?;
        match (&place.what, pin) {
            (What::Value(kind), None) => Some(Slot { at: place.at, kind: *kind, input: place.section == Section::Input }),
            (_, Some(pin)) => {
                let (_, kind, at) = place.what.pin(pin, self.code.get(..self.unit)?)?;
                Some(Slot { at: place.at + at, kind, input: false })
            }
            _ => None,
        }
    }

    /// An input of the unit by its name.
    #[must_use]
    pub fn input(&self, name: &str) -> Option<Slot> {
        self.slot(name).filter(|s| s.input)
    }

    /// Gives an input a value; `false` when the slot is no input or the value of another type or not finite: then nothing changes.
    pub fn set(&mut self, slot: Slot, value: Literal) -> bool {
        let fits = slot.input && value.kind() == slot.kind && !matches!(value, Literal::Real(v) if !v.is_finite());
        match self.state.slots.get_mut(slot.at) {
            Some(place) if fits => {
                *place = number::written(value);
                true
            }
            _ => false,
        }
    }

    /// The value of a variable.
    #[must_use]
    pub fn get(&self, slot: Slot) -> Literal {
        number::read(slot.kind, self.state.slots.get(slot.at).copied().unwrap_or_default())
    }

    /// Runs one cycle, `elapsed` milliseconds after the last one (or after the start).
    ///
    /// # Errors
    /// When the machine stops, or had stopped before. Outputs then stand as they were at the fault: nothing may be concluded from them.
    pub fn cycle(&mut self, elapsed: u32) -> Result<(), Stopped> {
        if let Some(stopped) = &self.stopped {
            return Err(stopped.clone());
        }
        self.state.now = self.state.now.saturating_add(i64::from(elapsed));
        match run(&self.code, self.unit, 0, &mut self.state) {
            Ok(()) => Ok(()),
            Err(fault) => {
                let (unit, statement) = self.state.at;
                let unit = self.code.get(unit).map(|c| c.name.clone()).unwrap_or_default();
                let stopped = Stopped { fault, place: Place { unit, statement } };
                self.stopped = Some(stopped.clone());
                Err(stopped)
            }
        }
    }

    /// How many results did not fit and kept their low bits only, since the start.
    #[must_use]
    pub const fn wraps(&self) -> u64 {
        self.state.wraps
    }

    /// Back to before the first cycle.
    pub fn reset(&mut self) {
        self.state.slots = self.code.get(self.unit).map(|c| c.initial.clone()).unwrap_or_default();
        (self.state.now, self.state.wraps, self.stopped) = (0, 0, None);
    }
}

fn run(code: &[Code], unit: usize, base: usize, state: &mut State) -> Result<(), Fault> {
    let Some(this) = code.get(unit) else { return Ok(()) };
    lines(code, unit, &this.body, base, state).map(|_| ())
}

fn lines(code: &[Code], unit: usize, body: &[Line], base: usize, state: &mut State) -> Result<Flow, Fault> {
    for line in body {
        state.at = (unit, line.number);
        match &line.step {
            Step::Assign(target, value) => {
                let value = state.value(value, base)?;
                state.put(base + target, value);
            }
            Step::If(branches, otherwise) => {
                let mut taken = otherwise;
                for (condition, body) in branches {
                    if state.value(condition, base)? != 0 {
                        taken = body;
                        break;
                    }
                }
                if let Flow::Return = lines(code, unit, taken, base, state)? {
                    return Ok(Flow::Return);
                }
            }
            Step::Case(selector, arms, otherwise) => {
                let value = state.value(selector, base)?;
                let hit = |spans: &[dossier::program::Span]| spans.iter().any(|s| (s.first..=s.last).contains(&value));
                let taken = arms.iter().find(|(spans, _)| hit(spans)).map_or(otherwise, |(_, body)| body);
                if let Flow::Return = lines(code, unit, taken, base, state)? {
                    return Ok(Flow::Return);
                }
            }
            Step::Call { block, at, inputs, outputs } => {
                for (pin, value) in inputs {
                    let value = state.value(value, base)?;
                    state.put(base + pin, value);
                }
                match block {
                    Called::Own(callee) => run(code, *callee, base + at, state)?,
                    Called::Standard(block) => {
                        let now = state.now;
                        if let Some(slots) = state.slots.get_mut(base + at..) {
                            blocks::call(block, slots, now);
                        }
                    }
                }
                state.at = (unit, line.number);
                for (pin, target) in outputs {
                    let value = state.get(base + pin);
                    state.put(base + target, value);
                }
            }
            Step::Return => return Ok(Flow::Return),
        }
    }
    Ok(Flow::On)
}

impl State {
    fn get(&self, at: usize) -> i64 {
        self.slots.get(at).copied().unwrap_or_default()
    }

    fn put(&mut self, at: usize, value: i64) {
        if let Some(slot) = self.slots.get_mut(at) {
            *slot = value;
        }
    }

    /// A whole result in its type; counts when it does not fit.
    fn fit(&mut self, kind: Type, value: i64, lost: bool) -> i64 {
        let kept = number::low(kind, value);
        if lost || kept != value {
            self.wraps += 1;
        }
        kept
    }

    fn pair(&mut self, operands: &(Node, Node), base: usize) -> Result<(i64, i64), Fault> {
        Ok((self.value(&operands.0, base)?, self.value(&operands.1, base)?))
    }

    fn value(&mut self, node: &Node, base: usize) -> Result<i64, Fault> {
        Ok(match node {
            Node::Constant(value) => *value,
            Node::Slot(at) => self.get(base + at),
            Node::Flip(mask, operand) => self.value(operand, base)? ^ mask,
            Node::Negate(Type::Real, operand) => number::slot(-number::real(self.value(operand, base)?))?,
            Node::Negate(kind, operand) => {
                let value = self.value(operand, base)?;
                self.fit(*kind, -value, false)
            }
            Node::Absolute(Type::Real, operand) => number::slot(number::real(self.value(operand, base)?).abs())?,
            Node::Absolute(kind, operand) => {
                let value = self.value(operand, base)?;
                self.fit(*kind, value.abs(), false)
            }
            Node::Bits(bits, operands) => {
                let (a, b) = self.pair(operands, base)?;
                match bits {
                    Bits::And => a & b,
                    Bits::Or => a | b,
                    Bits::Xor => a ^ b,
                }
            }
            Node::Whole(operation, kind, operands) => {
                let (a, b) = self.pair(operands, base)?;
                let (value, lost) = match operation {
                    Whole::Add => (a + b, false),
                    Whole::Subtract => (a - b, false),
                    // Two UDINT may need 64 bits without a sign; the low 32 are right all the same.
                    Whole::Multiply => a.overflowing_mul(b),
                    Whole::Divide => (a.checked_div(b).ok_or(Fault::DividedByZero)?, false),
                    Whole::Modulo => (a.checked_rem(b).ok_or(Fault::DividedByZero)?, false),
                };
                self.fit(*kind, value, lost)
            }
            Node::Real(operation, operands) => {
                let (a, b) = self.pair(operands, base)?;
                let (a, b) = (number::real(a), number::real(b));
                number::slot(match operation {
                    Whole::Add => a + b,
                    Whole::Subtract => a - b,
                    Whole::Multiply => a * b,
                    // MOD of REAL does not pass the check.
                    Whole::Divide | Whole::Modulo if b.abs() > 0.0 => a / b,
                    Whole::Divide | Whole::Modulo => return Err(Fault::DividedByZero),
                })?
            }
            Node::Compare(compare, operands) => {
                let (a, b) = self.pair(operands, base)?;
                i64::from(compared(*compare, &a, &b))
            }
            Node::CompareReal(compare, operands) => {
                let (a, b) = self.pair(operands, base)?;
                i64::from(compared(*compare, &number::real(a), &number::real(b)))
            }
            Node::Left(mask, operands) => {
                let (bits, places) = self.pair(operands, base)?;
                let places = u32::try_from(places).map_err(|_| Fault::NegativeShift)?;
                // 32 bits shifted by up to 31 places fit into a slot; beyond that nothing is left.
                if places < 32 { (bits << places) & mask } else { 0 }
            }
            Node::Right(operands) => {
                let (bits, places) = self.pair(operands, base)?;
                let places = u32::try_from(places).map_err(|_| Fault::NegativeShift)?;
                bits.checked_shr(places).unwrap_or(0)
            }
            Node::Smaller(real, operands) => {
                let (a, b) = self.pair(operands, base)?;
                if less(*real, b, a) { b } else { a }
            }
            Node::Greater(real, operands) => {
                let (a, b) = self.pair(operands, base)?;
                if less(*real, a, b) { b } else { a }
            }
            Node::Limit(real, operands) => {
                let lowest = self.value(&operands.0, base)?;
                let value = self.value(&operands.1, base)?;
                let highest = self.value(&operands.2, base)?;
                let raised = if less(*real, value, lowest) { lowest } else { value };
                if less(*real, highest, raised) { highest } else { raised }
            }
            Node::Select(operands) => {
                let which = self.value(&operands.0, base)?;
                // A function works out all its arguments, so that a fault in the one that is not taken counts.
                let (no, yes) = (self.value(&operands.1, base)?, self.value(&operands.2, base)?);
                if which != 0 { yes } else { no }
            }
            Node::Change(change, operand) => {
                let value = self.value(operand, base)?;
                match change {
                    Change::Bits(kind) => number::low(*kind, value),
                    Change::Whole(kind) => self.fit(*kind, value, false),
                    Change::ToReal => number::slot(value as f32)?,
                    Change::Round(kind) => number::whole(*kind, number::real(value).round_ties_even())?,
                    Change::Truncate => number::whole(Type::Dint, number::real(value).trunc())?,
                    Change::Finite => number::slot(number::real(value))?,
                }
            }
        })
    }
}

fn less(real: bool, a: i64, b: i64) -> bool {
    if real { number::real(a) < number::real(b) } else { a < b }
}

fn compared<T: PartialOrd>(compare: Compare, a: &T, b: &T) -> bool {
    match compare {
        Compare::Equal => a == b,
        Compare::Differs => a != b,
        Compare::Below => a < b,
        Compare::AtMost => a <= b,
        Compare::Above => a > b,
        Compare::AtLeast => a >= b,
    }
}
