//! Random control programs that pass the check: a block, a main block that has two instances of it, edges and timers. The same seed gives
//! the same program.

use dossier::program::build::*;
use dossier::program::{Arm, Block, Expression, Function, Literal, Operator, Project, Sign, Span, Statement, Type, Unit};

/// Numbers by xorshift (Marsaglia 2003), so that a seed stands for a program on every machine.
pub(crate) struct Dice(u64);

impl Dice {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1)
    }

    fn roll(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0 >> 16
    }

    pub(crate) fn below(&mut self, end: usize) -> usize {
        usize::try_from(self.roll() % u64::try_from(end).expect("small")).expect("small")
    }

    pub(crate) fn of<'a, T>(&mut self, list: &'a [T]) -> &'a T {
        let at = self.below(list.len());
        &list[at]
    }

    /// A value with a liking for corners.
    pub(crate) fn literal(&mut self, kind: Type) -> Literal {
        let [a, b, c, d] = u32::try_from(self.roll() & 0xFFFF_FFFF).expect("masked").to_be_bytes();
        let (half, full) = (u16::from_be_bytes([a, b]), u32::from_be_bytes([a, b, c, d]));
        let corner = self.below(3) == 0;
        match kind {
            Type::Bool => Literal::Bool(a > 127),
            Type::Byte => Literal::Byte(if corner { *self.of(&[0, 1, 0x80, 0xFF]) } else { a }),
            Type::Word => Literal::Word(if corner { *self.of(&[0, 1, 0x7FFF, 0x8000, 0xFFFF]) } else { half }),
            Type::Dword => Literal::Dword(if corner { *self.of(&[0, 1, 0x3F80_0000, 0x8000_0000, u32::MAX]) } else { full }),
            Type::Int => Literal::Int(if corner { *self.of(&[0, 1, -1, i16::MAX, i16::MIN]) } else { half.cast_signed() }),
            Type::Uint => Literal::Uint(if corner { *self.of(&[0, 1, 100, u16::MAX]) } else { half }),
            Type::Dint => Literal::Dint(if corner { *self.of(&[0, 1, -1, i32::MAX, i32::MIN]) } else { full.cast_signed() }),
            Type::Udint => Literal::Udint(if corner { *self.of(&[0, 1, 100, u32::MAX]) } else { full }),
            Type::Real => Literal::Real(match self.below(4) {
                0 => *self.of(&[0.0, -0.0, 0.5, 2.5, -1.5, 1e-7, 3.0e9, 16_777_216.0, 1.0e20]),
                1 => f32::from(half.cast_signed()) / 8.0,
                _ => f32::from(half.cast_signed()) / 300.0,
            }),
            Type::Time => Literal::Time(if corner { *self.of(&[0, 1, -1, 50, i32::MAX]) } else { i32::from(half % 500) }),
        }
    }
}

/// A program with its inputs and outputs.
pub(crate) struct Random {
    pub(crate) project: Project,
    pub(crate) inputs: Vec<(String, Type)>,
    pub(crate) outputs: Vec<(String, Type)>,
}

/// What can be named in a unit.
struct Scope<'d> {
    dice: &'d mut Dice,
    readable: Vec<(Expression, Type)>,
    writable: Vec<(String, Type)>,
    instances: Vec<(String, Block)>,
}

pub(crate) fn random(dice: &mut Dice) -> Random {
    let (inner, _, _) = unit(dice, "INNER", &[Block::RisingEdge, Block::OnDelay], 4);
    let blocks = [Block::Own("INNER".into()), Block::Own("inner".into()), Block::FallingEdge, Block::OnDelay, Block::OffDelay];
    let (main, inputs, outputs) = unit(dice, "MAIN", &blocks, 10);
    Random { project: Project::new("random").note("of no use").unit(inner).unit(main), inputs, outputs }
}

type Named = Vec<(String, Type)>;

/// A unit with an input, an output, a local and a constant of each type, and an instance of each block.
fn unit(dice: &mut Dice, name: &str, blocks: &[Block], statements: usize) -> (Unit, Named, Named) {
    let mut unit = Unit::block(name);
    let mut scope = Scope { dice, readable: Vec::new(), writable: Vec::new(), instances: Vec::new() };
    let (mut inputs, mut outputs) = (Vec::new(), Vec::new());
    for kind in Type::ALL {
        let [input, output, local, fixed] = ["I", "O", "L", "C"].map(|letter| format!("{letter}_{kind}"));
        unit = unit.input(&input, kind, "in").output_from(&output, scope.dice.literal(kind), "").local(&local, kind, "");
        unit = unit.constant(&fixed, scope.dice.literal(kind), "never changes");
        for readable in [&input, &output, &local, &fixed] {
            scope.readable.push((var(readable), kind));
        }
        scope.writable.extend([(output.clone(), kind), (local, kind)]);
        inputs.push((input, kind));
        outputs.push((output, kind));
    }
    for (n, block) in blocks.iter().enumerate() {
        let instance = format!("B{n}");
        unit = unit.instance(&instance, block.clone(), "");
        let pins: &[(&str, Type)] = match block {
            Block::RisingEdge | Block::FallingEdge => &[("Q", Type::Bool)],
            Block::OnDelay | Block::OffDelay => &[("Q", Type::Bool), ("ET", Type::Time), ("PT", Type::Time)],
            Block::Own(_) => &[("O_WORD", Type::Word), ("o_int", Type::Int), ("O_REAL", Type::Real)],
        };
        scope.readable.extend(pins.iter().map(|(pin, kind)| (out(&instance, pin), *kind)));
        scope.instances.push((instance, block.clone()));
    }
    let body: Vec<Statement> = (0..statements).map(|_| scope.statement(0)).collect();
    (unit.body(body), inputs, outputs)
}

impl Scope<'_> {
    fn variable(&mut self, kind: Type) -> Expression {
        let fitting: Vec<Expression> = self.readable.iter().filter(|(_, k)| *k == kind).map(|(e, _)| e.clone()).collect();
        self.dice.of(&fitting).clone()
    }

    fn expression(&mut self, kind: Type, depth: usize) -> Expression {
        if depth > 3 || self.dice.below(5) == 0 {
            return if self.dice.below(3) == 0 { self.dice.literal(kind).into() } else { self.variable(kind) };
        }
        match self.dice.below(8) {
            0..=3 => self.operation(kind, depth),
            4 => select(self.expression(Type::Bool, depth + 1), self.expression(kind, depth + 1), self.expression(kind, depth + 1)),
            5 => self.function(kind, depth),
            _ => self.conversion(kind, depth),
        }
    }

    fn pair(&mut self, operator: Operator, kind: Type, depth: usize) -> Expression {
        let (left, right) = (self.expression(kind, depth + 1), self.expression(kind, depth + 1));
        Expression::Binary(operator, Box::new(left), Box::new(right))
    }

    fn operation(&mut self, kind: Type, depth: usize) -> Expression {
        const COMPARISONS: [Operator; 6] =
            [Operator::Equal, Operator::Differs, Operator::Below, Operator::AtMost, Operator::Above, Operator::AtLeast];
        const SWAPS: [Operator; 3] = [Operator::And, Operator::Or, Operator::Xor];
        const SUMS: [Operator; 3] = [Operator::Add, Operator::Subtract, Operator::Multiply];
        match kind {
            Type::Bool if self.dice.below(2) == 0 => {
                let compared = *self.dice.of(&Type::ALL);
                let range = if compared == Type::Bool { 2 } else { 6 };
                let operator = COMPARISONS[self.dice.below(range)];
                self.pair(operator, compared, depth)
            }
            Type::Bool | Type::Byte | Type::Word | Type::Dword => {
                let operator = *self.dice.of(&SWAPS);
                if self.dice.below(4) == 0 { !self.expression(kind, depth + 1) } else { self.pair(operator, kind, depth) }
            }
            Type::Time => {
                let operator = SUMS[self.dice.below(2)];
                self.pair(operator, kind, depth)
            }
            _ if self.dice.below(5) == 0 => {
                // Mostly by something that is not zero.
                let by = match self.dice.literal(kind) {
                    Literal::Int(0) => Literal::Int(3),
                    Literal::Uint(0) => Literal::Uint(3),
                    Literal::Dint(0) => Literal::Dint(3),
                    Literal::Udint(0) => Literal::Udint(3),
                    Literal::Real(v) if v.abs() < 1e-3 => Literal::Real(-0.75),
                    other => other,
                };
                let operator = if kind != Type::Real && self.dice.below(2) == 0 { Operator::Modulo } else { Operator::Divide };
                let left = self.expression(kind, depth + 1);
                if self.dice.below(60) == 0 {
                    self.pair(operator, kind, depth)
                } else {
                    Expression::Binary(operator, left.into(), Box::new(by.into()))
                }
            }
            Type::Int | Type::Dint | Type::Real if self.dice.below(5) == 0 => {
                Expression::Unary(Sign::Minus, Box::new(self.expression(kind, depth + 1)))
            }
            _ => {
                let operator = *self.dice.of(&SUMS);
                self.pair(operator, kind, depth)
            }
        }
    }

    fn function(&mut self, kind: Type, depth: usize) -> Expression {
        match kind {
            Type::Bool => bit(self.expression(Type::Word, depth + 1), 7),
            Type::Byte | Type::Word | Type::Dword => {
                let bits = self.expression(kind, depth + 1);
                let places = if self.dice.below(3) == 0 {
                    // Sometimes more than there are, hardly ever fewer than none.
                    convert(Type::Byte, Type::Uint, self.variable(Type::Byte))
                } else {
                    uint(u16::try_from(self.dice.below(8)).expect("small"))
                };
                function(*self.dice.of(&[Function::ShiftLeft, Function::ShiftRight]), [bits, places])
            }
            Type::Int | Type::Dint if self.dice.below(4) == 0 => absolute(self.expression(kind, depth + 1)),
            _ => {
                let [a, b, c] = [(); 3].map(|()| self.expression(kind, depth + 1));
                match self.dice.below(3) {
                    0 => limit(a, b, c),
                    1 => function(Function::Minimum, [a, b]),
                    _ => function(Function::Maximum, [a, b]),
                }
            }
        }
    }

    fn conversion(&mut self, kind: Type, depth: usize) -> Expression {
        let from: &[Type] = match kind {
            Type::Bool => return self.operation(Type::Bool, depth),
            Type::Byte => &[Type::Bool, Type::Word, Type::Dword],
            Type::Word => &[Type::Bool, Type::Byte, Type::Dword, Type::Int, Type::Uint],
            Type::Dword => &[Type::Byte, Type::Word, Type::Uint, Type::Dint, Type::Udint, Type::Real],
            Type::Int => &[Type::Bool, Type::Byte, Type::Word, Type::Uint, Type::Dint, Type::Real],
            Type::Uint => &[Type::Byte, Type::Word, Type::Int, Type::Udint, Type::Real],
            Type::Dint => &[Type::Word, Type::Dword, Type::Int, Type::Udint, Type::Real, Type::Time],
            Type::Udint => &[Type::Word, Type::Dword, Type::Dint, Type::Real],
            Type::Real => &[Type::Int, Type::Uint, Type::Dint, Type::Udint],
            Type::Time => &[Type::Dint],
        };
        let from = *self.dice.of(from);
        let value = self.expression(from, depth + 1);
        if from != Type::Real || kind == Type::Dword {
            return convert(from, kind, value);
        }
        // Mostly inside the type.
        let lowest = if matches!(kind, Type::Uint | Type::Udint) { 0.0 } else { -30_000.0 };
        let inside = if self.dice.below(20) == 0 { value } else { limit(real(lowest), value, real(30_000.0)) };
        if kind == Type::Dint && self.dice.below(2) == 0 { function(Function::Truncate, [inside]) } else { convert(from, kind, inside) }
    }

    fn assignment(&mut self) -> Statement {
        let (target, kind) = self.dice.of(&self.writable.clone()).clone();
        assign(&target, self.expression(kind, 0))
    }

    fn statement(&mut self, depth: usize) -> Statement {
        match self.dice.below(if depth > 2 { 6 } else { 12 }) {
            0..=3 => self.assignment(),
            4 => note("a remark (* with *) brackets"),
            5 | 6 => self.call(),
            7..=9 => {
                let branches: Vec<_> = (0..=self.dice.below(3))
                    .map(|_| {
                        let condition = self.expression(Type::Bool, 1);
                        branch(condition, self.statements(depth))
                    })
                    .collect();
                first_of(branches, self.statements(depth))
            }
            10 => {
                let kind = *self.dice.of(&[Type::Int, Type::Uint, Type::Dint, Type::Udint]);
                let selector = self.expression(kind, 2);
                let low = if matches!(kind, Type::Int | Type::Dint) { -2 } else { 0 };
                let mut arms: Vec<Arm> = (low..3).map(|value| arm(value, "one value", self.statements(depth))).collect();
                let span = |first, last| Span { first, last };
                arms.push(Arm { values: vec![span(3, 9), span(100, 32_000)], note: String::new(), body: self.statements(depth) });
                case(selector, arms, self.statements(depth))
            }
            _ => when(self.expression(Type::Bool, 2) & self.expression(Type::Bool, 2), [self.assignment(), Statement::Return]),
        }
    }

    fn statements(&mut self, depth: usize) -> Vec<Statement> {
        (0..self.dice.below(3)).map(|_| self.statement(depth + 1)).collect()
    }

    fn call(&mut self) -> Statement {
        let (instance, block) = self.dice.of(&self.instances.clone()).clone();
        match block {
            Block::RisingEdge | Block::FallingEdge => call(&instance, [("CLK", self.expression(Type::Bool, 2))], [("Q", "L_BOOL")]),
            Block::OnDelay | Block::OffDelay => {
                let on = self.expression(Type::Bool, 2);
                call(&instance, [("IN", on), ("PT", self.expression(Type::Time, 3))], [("ET", "L_TIME")])
            }
            Block::Own(_) => {
                let word = self.expression(Type::Word, 2);
                call(&instance, [("I_WORD", word), ("i_real", self.expression(Type::Real, 2))], [("O_DINT", "L_DINT")])
            }
        }
    }
}
