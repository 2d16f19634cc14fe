//! Small helpers with which a control program is written down so that it reads like one.
//!
//! ```
//! use dossier::program::build::*;
//! use dossier::program::{Type, Unit};
//!
//! let block = Unit::block("SHOW_RUNNING")
//!     .note("Shows the new drive's status as the old program reads it.")
//!     .input("NEW_STATUS", Type::Word, "from the drive")
//!     .output("OLD_STATUS", Type::Word, "to the program")
//!     .body([
//!         assign("OLD_STATUS", word(0)),
//!         when(bit(var("NEW_STATUS"), 2), [assign("OLD_STATUS", var("OLD_STATUS") | word(0x0001))]),
//!     ]);
//! assert_eq!(block.variables.len(), 2);
//! ```

use std::ops::{Add, BitAnd, BitOr, BitXor, Div, Mul, Neg, Not, Rem, Sub};

use super::{
    Arm, Block, Branch, Expression, Function, Given, Holds, Literal, Operator, Project, Section, Sign, Span, Statement, Taken, Type, Unit,
    UnitKind, Variable,
};

impl Project {
    /// A project without units.
    #[must_use]
    pub fn new(name: &str) -> Self {
        Self { name: name.to_owned(), ..Self::default() }
    }

    /// Adds a line to its heading.
    #[must_use]
    pub fn note(mut self, line: &str) -> Self {
        self.notes.push(line.to_owned());
        self
    }

    /// Adds a unit.
    #[must_use]
    pub fn unit(mut self, unit: Unit) -> Self {
        self.units.push(unit);
        self
    }
}

impl Unit {
    fn new(kind: UnitKind, name: &str) -> Self {
        Self { kind, name: name.to_owned(), notes: Vec::new(), variables: Vec::new(), body: Vec::new() }
    }

    /// An empty function block.
    #[must_use]
    pub fn block(name: &str) -> Self {
        Self::new(UnitKind::FunctionBlock, name)
    }

    /// An empty program.
    #[must_use]
    pub fn program(name: &str) -> Self {
        Self::new(UnitKind::Program, name)
    }

    /// Adds a line that says what it does.
    #[must_use]
    pub fn note(mut self, line: &str) -> Self {
        self.notes.push(line.to_owned());
        self
    }

    fn with(mut self, section: Section, name: &str, holds: Holds, initial: Option<Literal>, note: &str) -> Self {
        self.variables.push(Variable { section, name: name.to_owned(), holds, initial, note: note.to_owned() });
        self
    }

    /// Adds an input.
    #[must_use]
    pub fn input(self, name: &str, kind: Type, note: &str) -> Self {
        self.with(Section::Input, name, Holds::Value(kind), None, note)
    }

    /// Adds an input that begins with a value.
    #[must_use]
    pub fn input_from(self, name: &str, initial: Literal, note: &str) -> Self {
        self.with(Section::Input, name, Holds::Value(initial.kind()), Some(initial), note)
    }

    /// Adds an output.
    #[must_use]
    pub fn output(self, name: &str, kind: Type, note: &str) -> Self {
        self.with(Section::Output, name, Holds::Value(kind), None, note)
    }

    /// Adds an output that begins with a value.
    #[must_use]
    pub fn output_from(self, name: &str, initial: Literal, note: &str) -> Self {
        self.with(Section::Output, name, Holds::Value(initial.kind()), Some(initial), note)
    }

    /// Adds a variable of its own that keeps its value from cycle to cycle.
    #[must_use]
    pub fn local(self, name: &str, kind: Type, note: &str) -> Self {
        self.with(Section::Local, name, Holds::Value(kind), None, note)
    }

    /// Adds a variable of its own that begins with a value.
    #[must_use]
    pub fn local_from(self, name: &str, initial: Literal, note: &str) -> Self {
        self.with(Section::Local, name, Holds::Value(initial.kind()), Some(initial), note)
    }

    /// Adds an instance of a function block.
    #[must_use]
    pub fn instance(self, name: &str, block: Block, note: &str) -> Self {
        self.with(Section::Local, name, Holds::Instance(block), None, note)
    }

    /// Adds a constant.
    #[must_use]
    pub fn constant(self, name: &str, value: Literal, note: &str) -> Self {
        self.with(Section::Constant, name, Holds::Value(value.kind()), Some(value), note)
    }

    /// Adds statements.
    #[must_use]
    pub fn body(mut self, statements: impl IntoIterator<Item = Statement>) -> Self {
        self.body.extend(statements);
        self
    }
}

/// A variable.
#[must_use]
pub fn var(name: &str) -> Expression {
    Expression::Variable(name.to_owned())
}

/// `instance.output`
#[must_use]
pub fn out(instance: &str, output: &str) -> Expression {
    Expression::Output { instance: instance.to_owned(), output: output.to_owned() }
}

impl From<Literal> for Expression {
    fn from(literal: Literal) -> Self {
        Self::Literal(literal)
    }
}

/// A BOOL.
#[must_use]
pub fn bool(value: bool) -> Expression {
    Literal::Bool(value).into()
}

/// A BYTE.
#[must_use]
pub fn byte(value: u8) -> Expression {
    Literal::Byte(value).into()
}

/// A WORD.
#[must_use]
pub fn word(value: u16) -> Expression {
    Literal::Word(value).into()
}

/// A DWORD.
#[must_use]
pub fn dword(value: u32) -> Expression {
    Literal::Dword(value).into()
}

/// An INT.
#[must_use]
pub fn int(value: i16) -> Expression {
    Literal::Int(value).into()
}

/// A UINT.
#[must_use]
pub fn uint(value: u16) -> Expression {
    Literal::Uint(value).into()
}

/// A DINT.
#[must_use]
pub fn dint(value: i32) -> Expression {
    Literal::Dint(value).into()
}

/// A UDINT.
#[must_use]
pub fn udint(value: u32) -> Expression {
    Literal::Udint(value).into()
}

/// A REAL.
#[must_use]
pub fn real(value: f32) -> Expression {
    Literal::Real(value).into()
}

/// A TIME in milliseconds.
#[must_use]
pub fn time(milliseconds: i32) -> Expression {
    Literal::Time(milliseconds).into()
}

/// Whether bit `number` of a WORD, 0 to 15, is set, by its mask. A WORD has no bit above 15: that answer is always FALSE.
#[must_use]
pub fn bit(value: Expression, number: u32) -> Expression {
    masked(value, 1_u16.checked_shl(number).unwrap_or(0))
}

/// Whether any bit of the mask is set in a WORD.
#[must_use]
pub fn masked(value: Expression, mask: u16) -> Expression {
    (value & word(mask)).differs(word(0))
}

/// A standard function.
#[must_use]
pub fn function(function: Function, arguments: impl IntoIterator<Item = Expression>) -> Expression {
    Expression::Call(function, arguments.into_iter().collect())
}

/// A conversion: `WORD_TO_INT(value)`.
#[must_use]
pub fn convert(from: Type, to: Type, value: Expression) -> Expression {
    function(Function::Convert { from, to }, [value])
}

/// `LIMIT(lowest, value, highest)`
#[must_use]
pub fn limit(lowest: Expression, value: Expression, highest: Expression) -> Expression {
    function(Function::Limit, [lowest, value, highest])
}

/// `SEL(which, when FALSE, when TRUE)`
#[must_use]
pub fn select(which: Expression, when_false: Expression, when_true: Expression) -> Expression {
    function(Function::Select, [which, when_false, when_true])
}

/// `SHL(bits, places)`
#[must_use]
pub fn shift_left(bits: Expression, places: u16) -> Expression {
    function(Function::ShiftLeft, [bits, uint(places)])
}

/// `SHR(bits, places)`
#[must_use]
pub fn shift_right(bits: Expression, places: u16) -> Expression {
    function(Function::ShiftRight, [bits, uint(places)])
}

/// `ABS(number)`
#[must_use]
pub fn absolute(number: Expression) -> Expression {
    function(Function::Absolute, [number])
}

impl Expression {
    fn pair(self, operator: Operator, right: Self) -> Self {
        Self::Binary(operator, Box::new(self), Box::new(right))
    }

    /// `=`
    #[must_use]
    pub fn equals(self, right: Self) -> Self {
        self.pair(Operator::Equal, right)
    }

    /// `<>`
    #[must_use]
    pub fn differs(self, right: Self) -> Self {
        self.pair(Operator::Differs, right)
    }

    /// `<`
    #[must_use]
    pub fn below(self, right: Self) -> Self {
        self.pair(Operator::Below, right)
    }

    /// `<=`
    #[must_use]
    pub fn at_most(self, right: Self) -> Self {
        self.pair(Operator::AtMost, right)
    }

    /// `>`
    #[must_use]
    pub fn above(self, right: Self) -> Self {
        self.pair(Operator::Above, right)
    }

    /// `>=`
    #[must_use]
    pub fn at_least(self, right: Self) -> Self {
        self.pair(Operator::AtLeast, right)
    }
}

macro_rules! operators {
    ($($of:ident $method:ident $operator:ident;)*) => {$(
        impl $of for Expression {
            type Output = Self;
            fn $method(self, right: Self) -> Self {
                self.pair(Operator::$operator, right)
            }
        }
    )*};
}

operators! {
    Add add Add;
    Sub sub Subtract;
    Mul mul Multiply;
    Div div Divide;
    Rem rem Modulo;
    BitAnd bitand And;
    BitOr bitor Or;
    BitXor bitxor Xor;
}

impl Not for Expression {
    type Output = Self;
    fn not(self) -> Self {
        Self::Unary(Sign::Not, Box::new(self))
    }
}

impl Neg for Expression {
    type Output = Self;
    fn neg(self) -> Self {
        Self::Unary(Sign::Minus, Box::new(self))
    }
}

/// A remark on a line of its own.
#[must_use]
pub fn note(text: &str) -> Statement {
    Statement::Note(text.to_owned())
}

/// `target := value;`
#[must_use]
pub fn assign(target: &str, value: Expression) -> Statement {
    Statement::Assign { target: target.to_owned(), value }
}

/// `IF condition THEN … END_IF;`
#[must_use]
pub fn when(condition: Expression, body: impl IntoIterator<Item = Statement>) -> Statement {
    Statement::If { branches: vec![branch(condition, body)], otherwise: Vec::new() }
}

/// `IF condition THEN … ELSE … END_IF;`
#[must_use]
pub fn either(
    condition: Expression,
    body: impl IntoIterator<Item = Statement>,
    otherwise: impl IntoIterator<Item = Statement>,
) -> Statement {
    Statement::If { branches: vec![branch(condition, body)], otherwise: otherwise.into_iter().collect() }
}

/// A condition and what is done under it: for an `IF` with `ELSIF`.
#[must_use]
pub fn branch(condition: Expression, body: impl IntoIterator<Item = Statement>) -> Branch {
    Branch { condition, body: body.into_iter().collect() }
}

/// `IF … ELSIF … ELSE … END_IF;`
#[must_use]
pub fn first_of(branches: impl IntoIterator<Item = Branch>, otherwise: impl IntoIterator<Item = Statement>) -> Statement {
    Statement::If { branches: branches.into_iter().collect(), otherwise: otherwise.into_iter().collect() }
}

/// `CASE selector OF … ELSE … END_CASE;`
#[must_use]
pub fn case(selector: Expression, arms: impl IntoIterator<Item = Arm>, otherwise: impl IntoIterator<Item = Statement>) -> Statement {
    Statement::Case { selector, arms: arms.into_iter().collect(), otherwise: otherwise.into_iter().collect() }
}

/// One value of a `CASE` and what is done for it.
#[must_use]
pub fn arm(value: i64, note: &str, body: impl IntoIterator<Item = Statement>) -> Arm {
    Arm { values: vec![Span { first: value, last: value }], note: note.to_owned(), body: body.into_iter().collect() }
}

/// `instance(input := value, …, output => target, …);`
#[must_use]
pub fn call<'n>(
    instance: &str,
    inputs: impl IntoIterator<Item = (&'n str, Expression)>,
    outputs: impl IntoIterator<Item = (&'n str, &'n str)>,
) -> Statement {
    Statement::Call {
        instance: instance.to_owned(),
        inputs: inputs.into_iter().map(|(input, value)| Given { input: input.to_owned(), value }).collect(),
        outputs: outputs.into_iter().map(|(output, target)| Taken { output: output.to_owned(), target: target.to_owned() }).collect(),
    }
}
