//! Runs a checked program cycle by cycle.

use std::error::Error;
use std::fmt;
use std::sync::Arc;

use dossier::program::{Literal, Project, Section, Type};

use super::code::{Bits, Change, Code, Compare, What, Whole};
use super::straight::{Act, One, Straight, Two, straight};
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
///
/// A clone goes on from where the machine is and shares what does not change.
#[derive(Clone, Debug)]
pub struct Machine {
    code: Arc<[Code]>,
    unit: usize,
    straight: Arc<Straight>,
    state: State,
    stopped: Option<Stopped>,
}

#[derive(Clone, Debug)]
struct State {
    slots: Vec<i64>,
    now: i64,
    wraps: u64,
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
        let straight = Arc::new(straight(&code, unit));
        let state = State { slots: straight.initial.clone(), now: 0, wraps: 0 };
        Ok(Self { code: code.into(), unit, straight, state, stopped: None })
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
        match self.state.run(&self.straight) {
            Ok(()) => Ok(()),
            Err((fault, at)) => {
                let (unit, statement) = self.straight.places.get(at).copied().unwrap_or_default();
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
        self.state.slots.clone_from(&self.straight.initial);
        (self.state.now, self.state.wraps, self.stopped) = (0, 0, None);
    }
}

impl State {
    /// One cycle.
    ///
    /// # Errors
    /// The fault and the number of the act that met it.
    fn run(&mut self, straight: &Straight) -> Result<(), (Fault, usize)> {
        let mut at = 0;
        while let Some(act) = straight.acts.get(at) {
            let met = |fault: Fault| (fault, at);
            let (to, value) = match *act {
                Act::Unless(value, to) => {
                    at = if self.get(value) == 0 { to } else { at + 1 };
                    continue;
                }
                Act::GoTo(to) => {
                    at = to;
                    continue;
                }
                Act::Switch(value, table) => {
                    at = straight.tables.get(table).map_or(at + 1, |table| table.leads(self.get(value)));
                    continue;
                }
                Act::Standard(number) => {
                    let now = self.now;
                    if let Some((block, first)) = straight.standard.get(number)
                        && let Some(slots) = self.slots.get_mut(*first..)
                    {
                        blocks::call(block, slots, now);
                    }
                    at += 1;
                    continue;
                }
                Act::Copy(One { to, from }) => (to, self.get(from)),
                Act::Negate(kind, One { to, from }) => (to, self.negated(kind, self.get(from)).map_err(met)?),
                Act::Absolute(kind, One { to, from }) => (to, self.absolute(kind, self.get(from)).map_err(met)?),
                Act::Bits(bits, two) => {
                    let (a, b) = self.pair(two);
                    let value = match bits {
                        Bits::And => a & b,
                        Bits::Or => a | b,
                        Bits::Xor => a ^ b,
                    };
                    (two.to, value)
                }
                Act::Whole(operation, kind, two) => (two.to, self.whole(operation, kind, self.pair(two)).map_err(met)?),
                Act::Real(operation, two) => (two.to, real(operation, self.reals(two)).map_err(met)?),
                Act::Compare(compare, two) => {
                    let (a, b) = self.pair(two);
                    (two.to, i64::from(compared(compare, &a, &b)))
                }
                Act::CompareReal(compare, two) => {
                    let (a, b) = self.reals(two);
                    (two.to, i64::from(compared(compare, &a, &b)))
                }
                Act::Left(mask, two) => {
                    let (bits, places) = self.pair(two);
                    let places = places_of(places).map_err(met)?;
                    // 32 bits shifted by up to 31 places fit into a slot; beyond that nothing is left.
                    (two.to, if places < 32 { (bits << places) & mask } else { 0 })
                }
                Act::Right(two) => {
                    let (bits, places) = self.pair(two);
                    (two.to, bits.checked_shr(places_of(places).map_err(met)?).unwrap_or(0))
                }
                Act::Smaller(real, two) => {
                    let (a, b) = self.pair(two);
                    (two.to, if less(real, b, a) { b } else { a })
                }
                Act::Greater(real, two) => {
                    let (a, b) = self.pair(two);
                    (two.to, if less(real, a, b) { b } else { a })
                }
                Act::Select { to, which, no, yes } => (to, self.get(if self.get(which) == 0 { no } else { yes })),
                Act::Change(change, One { to, from }) => (to, self.changed(change, self.get(from)).map_err(met)?),
            };
            self.put(to, value);
            at += 1;
        }
        Ok(())
    }

    fn get(&self, at: usize) -> i64 {
        self.slots.get(at).copied().unwrap_or_default()
    }

    fn put(&mut self, at: usize, value: i64) {
        if let Some(slot) = self.slots.get_mut(at) {
            *slot = value;
        }
    }

    fn pair(&self, two: Two) -> (i64, i64) {
        (self.get(two.a), self.get(two.b))
    }

    fn reals(&self, two: Two) -> (f32, f32) {
        (number::real(self.get(two.a)), number::real(self.get(two.b)))
    }

    /// A whole result in its type; counts when it does not fit.
    fn fit(&mut self, kind: Type, value: i64, lost: bool) -> i64 {
        let kept = number::low(kind, value);
        if lost || kept != value {
            self.wraps += 1;
        }
        kept
    }

    fn negated(&mut self, kind: Type, value: i64) -> Result<i64, Fault> {
        if kind == Type::Real { number::slot(-number::real(value)) } else { Ok(self.fit(kind, -value, false)) }
    }

    fn absolute(&mut self, kind: Type, value: i64) -> Result<i64, Fault> {
        if kind == Type::Real { number::slot(number::real(value).abs()) } else { Ok(self.fit(kind, value.abs(), false)) }
    }

    fn whole(&mut self, operation: Whole, kind: Type, (a, b): (i64, i64)) -> Result<i64, Fault> {
        let (value, lost) = match operation {
            Whole::Add => (a + b, false),
            Whole::Subtract => (a - b, false),
            // Two UDINT may need 64 bits without a sign; the low 32 are right all the same.
            Whole::Multiply => a.overflowing_mul(b),
            Whole::Divide => (a.checked_div(b).ok_or(Fault::DividedByZero)?, false),
            Whole::Modulo => (a.checked_rem(b).ok_or(Fault::DividedByZero)?, false),
        };
        Ok(self.fit(kind, value, lost))
    }

    fn changed(&mut self, change: Change, value: i64) -> Result<i64, Fault> {
        Ok(match change {
            Change::Bits(kind) => number::low(kind, value),
            Change::Whole(kind) => self.fit(kind, value, false),
            Change::ToReal => number::slot(value as f32)?,
            Change::Round(kind) => number::whole(kind, number::real(value).round_ties_even())?,
            Change::Truncate => number::whole(Type::Dint, number::real(value).trunc())?,
            Change::Finite => number::slot(number::real(value))?,
        })
    }
}

fn real(operation: Whole, (a, b): (f32, f32)) -> Result<i64, Fault> {
    number::slot(match operation {
        Whole::Add => a + b,
        Whole::Subtract => a - b,
        Whole::Multiply => a * b,
        // MOD of REAL does not pass the check.
        Whole::Divide | Whole::Modulo if b.abs() > 0.0 => a / b,
        Whole::Divide | Whole::Modulo => return Err(Fault::DividedByZero),
    })
}

/// By how many places bits are shifted.
fn places_of(value: i64) -> Result<u32, Fault> {
    u32::try_from(value).map_err(|_| Fault::NegativeShift)
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
