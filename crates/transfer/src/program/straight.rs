//! A program laid out for running: one list of acts on slots with jumps between them, each block of one's own put in where it is called.

use std::collections::HashMap;

use dossier::program::{Block, Span, Type};

use super::code::{Bits, Called, Change, Code, Compare, Line, Node, Step, Whole};

/// One act. Slots and places in the list are counted from 0.
#[derive(Clone, Copy, Debug)]
pub(super) enum Act {
    Copy(One),
    Bits(Bits, Two),
    Negate(Type, One),
    Absolute(Type, One),
    Whole(Whole, Type, Two),
    Real(Whole, Two),
    Compare(Compare, Two),
    CompareReal(Compare, Two),
    /// By so many places; the mask is that of the type.
    Left(i64, Two),
    Right(Two),
    Smaller(bool, Two),
    Greater(bool, Two),
    Select {
        to: usize,
        which: usize,
        no: usize,
        yes: usize,
    },
    Change(Change, One),
    /// Goes on at that act if the slot is zero.
    Unless(usize, usize),
    GoTo(usize),
    /// Goes on where the table of that number sends the slot's value.
    Switch(usize, usize),
    /// Runs the standard block of that number.
    Standard(usize),
}

/// An act on one slot.
#[derive(Clone, Copy, Debug)]
pub(super) struct One {
    pub(super) to: usize,
    pub(super) from: usize,
}

/// An act on two slots.
#[derive(Clone, Copy, Debug)]
pub(super) struct Two {
    pub(super) to: usize,
    pub(super) a: usize,
    pub(super) b: usize,
}

/// Where a value goes on.
#[derive(Clone, Debug, Default)]
pub(super) struct Table {
    arms: Vec<(Vec<Span>, usize)>,
    otherwise: usize,
}

impl Table {
    /// The act at which a value goes on.
    pub(super) fn leads(&self, value: i64) -> usize {
        let hit = |spans: &[Span]| spans.iter().any(|s| (s.first..=s.last).contains(&value));
        self.arms.iter().find(|(spans, _)| hit(spans)).map_or(self.otherwise, |(_, to)| *to)
    }
}

/// A unit laid out.
#[derive(Clone, Debug, Default)]
pub(super) struct Straight {
    pub(super) acts: Vec<Act>,
    /// For each act, its unit and the number of its statement.
    pub(super) places: Vec<(usize, usize)>,
    /// Slots before the first cycle: those of the instance, then constants and what is worked out on the way.
    pub(super) initial: Vec<i64>,
    pub(super) tables: Vec<Table>,
    /// Standard blocks and where their slots begin.
    pub(super) standard: Vec<(Block, usize)>,
}

/// Lays a unit out.
pub(super) fn straight(code: &[Code], unit: usize) -> Straight {
    let initial = code.get(unit).map(|c| c.initial.clone()).unwrap_or_default();
    let made = Straight { initial, ..Straight::default() };
    let mut laying = Laying { code, made, at: (unit, 0), constants: HashMap::new(), free: Vec::new(), used: 0, returns: Vec::new() };
    laying.unit(unit, 0);
    laying.made
}

struct Laying<'c> {
    code: &'c [Code],
    made: Straight,
    at: (usize, usize),
    constants: HashMap<i64, usize>,
    /// Slots for what is worked out on the way, of which `used` hold something.
    free: Vec<usize>,
    used: usize,
    /// Jumps out of the unit that is being laid out.
    returns: Vec<usize>,
}

impl Laying<'_> {
    fn push(&mut self, act: Act) -> usize {
        self.made.acts.push(act);
        self.made.places.push(self.at);
        self.made.acts.len() - 1
    }

    fn next(&self) -> usize {
        self.made.acts.len()
    }

    /// Lets a jump lead to what is laid out next.
    fn land(&mut self, jump: usize) {
        let next = self.next();
        if let Some(Act::Unless(_, to) | Act::GoTo(to)) = self.made.acts.get_mut(jump) {
            *to = next;
        }
    }

    fn unit(&mut self, unit: usize, base: usize) {
        let code = self.code;
        let Some(this) = code.get(unit) else { return };
        let outer = std::mem::take(&mut self.returns);
        self.lines(unit, &this.body, base);
        for jump in std::mem::replace(&mut self.returns, outer) {
            self.land(jump);
        }
    }

    fn lines(&mut self, unit: usize, body: &[Line], base: usize) {
        for line in body {
            self.at = (unit, line.number);
            self.used = 0;
            match &line.step {
                Step::Assign(target, value) => self.into(value, base, base + target),
                Step::If(branches, otherwise) => {
                    let mut ends = Vec::new();
                    for (condition, body) in branches {
                        self.at = (unit, line.number);
                        let condition = self.value(condition, base);
                        let past = self.push(Act::Unless(condition, 0));
                        self.lines(unit, body, base);
                        ends.push(self.push(Act::GoTo(0)));
                        self.land(past);
                    }
                    self.lines(unit, otherwise, base);
                    for end in ends {
                        self.land(end);
                    }
                }
                Step::Case(selector, arms, otherwise) => {
                    let selector = self.value(selector, base);
                    let number = self.made.tables.len();
                    self.made.tables.push(Table::default());
                    self.push(Act::Switch(selector, number));
                    let mut table = Table::default();
                    let mut ends = Vec::new();
                    for (spans, body) in arms {
                        table.arms.push((spans.clone(), self.next()));
                        self.lines(unit, body, base);
                        ends.push(self.push(Act::GoTo(0)));
                    }
                    table.otherwise = self.next();
                    self.lines(unit, otherwise, base);
                    for end in ends {
                        self.land(end);
                    }
                    if let Some(place) = self.made.tables.get_mut(number) {
                        *place = table;
                    }
                }
                Step::Call { block, at, inputs, outputs } => {
                    for (pin, value) in inputs {
                        self.into(value, base, base + pin);
                    }
                    match block {
                        Called::Own(callee) => self.unit(*callee, base + at),
                        Called::Standard(block) => {
                            self.made.standard.push((block.clone(), base + at));
                            self.push(Act::Standard(self.made.standard.len() - 1));
                        }
                    }
                    self.at = (unit, line.number);
                    for (pin, target) in outputs {
                        self.push(Act::Copy(One { to: base + target, from: base + pin }));
                    }
                }
                Step::Return => {
                    let jump = self.push(Act::GoTo(0));
                    self.returns.push(jump);
                }
            }
        }
    }

    /// The slot of a constant.
    fn constant(&mut self, value: i64) -> usize {
        let slots = &mut self.made.initial;
        *self.constants.entry(value).or_insert_with(|| {
            slots.push(value);
            slots.len() - 1
        })
    }

    /// A slot for what is worked out on the way.
    fn take(&mut self) -> usize {
        if self.used == self.free.len() {
            self.made.initial.push(0);
            self.free.push(self.made.initial.len() - 1);
        }
        self.used += 1;
        self.free[self.used - 1]
    }

    /// The slot in which the value of an expression stands.
    fn value(&mut self, node: &Node, base: usize) -> usize {
        match node {
            Node::Constant(value) => self.constant(*value),
            Node::Slot(at) => base + at,
            _ => {
                let to = self.take();
                self.into(node, base, to);
                to
            }
        }
    }

    fn one(&mut self, operand: &Node, base: usize, to: usize) -> One {
        One { to, from: self.value(operand, base) }
    }

    fn two(&mut self, operands: &(Node, Node), base: usize, to: usize) -> Two {
        Two { to, a: self.value(&operands.0, base), b: self.value(&operands.1, base) }
    }

    /// Works an expression out into a slot, which is written last: the expression may read what stood there.
    fn into(&mut self, node: &Node, base: usize, to: usize) {
        let used = self.used;
        let act = match node {
            Node::Constant(_) | Node::Slot(_) => Act::Copy(One { to, from: self.value(node, base) }),
            Node::Flip(mask, operand) => Act::Bits(Bits::Xor, Two { to, a: self.value(operand, base), b: self.constant(*mask) }),
            Node::Negate(kind, operand) => Act::Negate(*kind, self.one(operand, base, to)),
            Node::Absolute(kind, operand) => Act::Absolute(*kind, self.one(operand, base, to)),
            Node::Bits(bits, operands) => Act::Bits(*bits, self.two(operands, base, to)),
            Node::Whole(operation, kind, operands) => Act::Whole(*operation, *kind, self.two(operands, base, to)),
            Node::Real(operation, operands) => Act::Real(*operation, self.two(operands, base, to)),
            Node::Compare(compare, operands) => Act::Compare(*compare, self.two(operands, base, to)),
            Node::CompareReal(compare, operands) => Act::CompareReal(*compare, self.two(operands, base, to)),
            Node::Left(mask, operands) => Act::Left(*mask, self.two(operands, base, to)),
            Node::Right(operands) => Act::Right(self.two(operands, base, to)),
            Node::Smaller(real, operands) => Act::Smaller(*real, self.two(operands, base, to)),
            Node::Greater(real, operands) => Act::Greater(*real, self.two(operands, base, to)),
            Node::Limit(real, operands) => {
                let (lowest, value, highest) = &**operands;
                let [lowest, value, highest] = [lowest, value, highest].map(|n| self.value(n, base));
                let raised = self.take();
                self.push(Act::Greater(*real, Two { to: raised, a: value, b: lowest }));
                Act::Smaller(*real, Two { to, a: raised, b: highest })
            }
            Node::Select(operands) => {
                // A function works out all its arguments, so that a fault in the one that is not taken counts.
                let (which, no, yes) = &**operands;
                let [which, no, yes] = [which, no, yes].map(|n| self.value(n, base));
                Act::Select { to, which, no, yes }
            }
            Node::Change(change, operand) => Act::Change(*change, self.one(operand, base, to)),
        };
        self.used = used;
        self.push(act);
    }
}
