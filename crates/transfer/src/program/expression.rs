//! Types of expressions.

use dossier::program::{Expression, Function, Literal, Operator, Sign, Type};

use super::code::{Bits, Change, Code, Compare, Node, Place, What, Whole};
use super::number;

/// Operators and functions inside each other; beyond that nobody can read them, and a deeper tree could exhaust the stack.
const DEEPEST: usize = 100;

/// Where an expression stands: what can be named there, and where problems go.
pub(super) struct Around<'a> {
    pub(super) places: &'a [Place],
    pub(super) before: &'a [Code],
    pub(super) problems: Vec<String>,
    /// Operators and functions seen so far in this unit.
    pub(super) work: u64,
}

impl Around<'_> {
    pub(super) fn place(&self, name: &str) -> Option<&Place> {
        let name = name.to_uppercase();
        self.places.iter().find(|p| p.name == name)
    }

    fn wrong<T>(&mut self, what: String) -> Option<T> {
        self.problems.push(what);
        None
    }

    /// The expression with its type; `None` when it is wrong and that was told.
    pub(super) fn typed(&mut self, expression: &Expression) -> Option<(Type, Node)> {
        self.inside(expression, 0)
    }

    /// The expression, which has to be of that type.
    pub(super) fn expect(&mut self, expression: &Expression, kind: Type, what: &str) -> Option<Node> {
        let (found, node) = self.typed(expression)?;
        if found == kind { Some(node) } else { self.wrong(format!("{what} is a {found}: {kind} expected")) }
    }

    fn inside(&mut self, expression: &Expression, depth: usize) -> Option<(Type, Node)> {
        if depth > DEEPEST {
            return self.wrong(format!("more than {DEEPEST} operators and functions stand inside each other"));
        }
        self.work += 1;
        match expression {
            Expression::Literal(Literal::Real(value)) if !value.is_finite() => self.wrong(format!("the number {value} is not finite")),
            Expression::Literal(value) => Some((value.kind(), Node::Constant(number::written(*value)))),
            Expression::Variable(name) => match self.place(name).map(|p| (&p.what, p.at)) {
                Some((What::Value(kind), at)) => Some((*kind, Node::Slot(at))),
                Some(_) => self.wrong(format!("{name} is an instance: name one of its outputs")),
                None => self.wrong(format!("{name} is not declared")),
            },
            Expression::Output { instance, output } => self.output(instance, output),
            Expression::Unary(sign, operand) => {
                let (kind, node) = self.inside(operand, depth + 1)?;
                match sign {
                    Sign::Not if kind == Type::Bool || kind.is_bits() => Some((kind, Node::Flip(number::mask(kind), Box::new(node)))),
                    Sign::Minus if signed(kind) || kind == Type::Time => Some((kind, Node::Negate(kind, Box::new(node)))),
                    Sign::Not => self.wrong(format!("NOT of a {kind}: BOOL, BYTE, WORD or DWORD expected")),
                    Sign::Minus => self.wrong(format!("minus before a {kind}: INT, DINT, REAL or TIME expected")),
                }
            }
            Expression::Binary(operator, left, right) => {
                let (left, right) = (self.inside(left, depth + 1), self.inside(right, depth + 1));
                let ((a, left), (b, right)) = (left?, right?);
                if a != b {
                    return self.wrong(format!("{} between a {a} and a {b}: both of one type expected", operator.symbol()));
                }
                self.binary(*operator, a, Box::new((left, right)))
            }
            Expression::Call(function, arguments) => {
                if arguments.len() != function.arguments() {
                    let (name, wanted) = (function.name(), function.arguments());
                    return self.wrong(format!("{name} with {} arguments: {wanted} expected", arguments.len()));
                }
                let arguments: Vec<Option<(Type, Node)>> = arguments.iter().map(|a| self.inside(a, depth + 1)).collect();
                let arguments: Option<Vec<(Type, Node)>> = arguments.into_iter().collect();
                self.call(*function, arguments?)
            }
        }
    }

    fn output(&mut self, instance: &str, output: &str) -> Option<(Type, Node)> {
        use dossier::program::Section::{Input, Output};
        let found = self.place(instance).map(|p| (p.at, p.what.pin(output, self.before), matches!(p.what, What::Value(_))));
        match found {
            None => self.wrong(format!("{instance} is not declared")),
            Some((_, _, true)) => self.wrong(format!("{instance} is not an instance and has no output {output}")),
            Some((at, Some((Input | Output, kind, pin)), _)) => Some((kind, Node::Slot(at + pin))),
            Some(_) => self.wrong(format!("{instance} has no input or output {output}")),
        }
    }

    fn binary(&mut self, operator: Operator, kind: Type, operands: Box<(Node, Node)>) -> Option<(Type, Node)> {
        let arithmetic = |whole: Whole| match kind {
            Type::Real => Node::Real(whole, operands.clone()),
            _ => Node::Whole(whole, kind, operands.clone()),
        };
        let comparison = |compare: Compare| match kind {
            Type::Real => Node::CompareReal(compare, operands.clone()),
            _ => Node::Compare(compare, operands.clone()),
        };
        let number = kind.is_integer() || kind == Type::Real;
        let (fits, wanted, result) = match operator {
            Operator::And | Operator::Or | Operator::Xor => {
                let bits = match operator {
                    Operator::And => Bits::And,
                    Operator::Or => Bits::Or,
                    _ => Bits::Xor,
                };
                (kind == Type::Bool || kind.is_bits(), "BOOL, BYTE, WORD or DWORD", (kind, Node::Bits(bits, operands)))
            }
            Operator::Add => (number || kind == Type::Time, "whole numbers, REAL or TIME", (kind, arithmetic(Whole::Add))),
            Operator::Subtract => (number || kind == Type::Time, "whole numbers, REAL or TIME", (kind, arithmetic(Whole::Subtract))),
            Operator::Multiply => (number, "whole numbers or REAL", (kind, arithmetic(Whole::Multiply))),
            Operator::Divide => (number, "whole numbers or REAL", (kind, arithmetic(Whole::Divide))),
            Operator::Modulo => (kind.is_integer(), "whole numbers", (kind, arithmetic(Whole::Modulo))),
            Operator::Equal => (true, "", (Type::Bool, comparison(Compare::Equal))),
            Operator::Differs => (true, "", (Type::Bool, comparison(Compare::Differs))),
            Operator::Below => (kind != Type::Bool, "anything but BOOL", (Type::Bool, comparison(Compare::Below))),
            Operator::AtMost => (kind != Type::Bool, "anything but BOOL", (Type::Bool, comparison(Compare::AtMost))),
            Operator::Above => (kind != Type::Bool, "anything but BOOL", (Type::Bool, comparison(Compare::Above))),
            Operator::AtLeast => (kind != Type::Bool, "anything but BOOL", (Type::Bool, comparison(Compare::AtLeast))),
        };
        if fits { Some(result) } else { self.wrong(format!("{} between two {kind}: {wanted} expected", operator.symbol())) }
    }

    fn call(&mut self, function: Function, arguments: Vec<(Type, Node)>) -> Option<(Type, Node)> {
        let kinds: Vec<Type> = arguments.iter().map(|(kind, _)| *kind).collect();
        let mut nodes = arguments.into_iter().map(|(_, node)| node);
        let shown = || kinds.iter().map(|k| k.keyword()).collect::<Vec<_>>().join(", ");
        let ordered = |kind: Type| kind.is_integer() || matches!(kind, Type::Real | Type::Time);
        let wanted = match (function, kinds.as_slice()) {
            (Function::ShiftLeft | Function::ShiftRight, [bits, Type::Int | Type::Uint]) if bits.is_bits() => {
                let (bits, operands) = (*bits, Box::new((nodes.next()?, nodes.next()?)));
                if let Node::Constant(places) = operands.1
                    && !(0..i64::from(bits.bits())).contains(&places)
                {
                    return self.wrong(format!("a {bits} is shifted by {places} places: 0 to {} expected", bits.bits() - 1));
                }
                let left = function == Function::ShiftLeft;
                return Some((bits, if left { Node::Left(number::mask(bits), operands) } else { Node::Right(operands) }));
            }
            (Function::ShiftLeft | Function::ShiftRight, _) => "BYTE, WORD or DWORD and a number of places as INT or UINT",
            (Function::Absolute, [kind]) if signed(*kind) => return Some((*kind, Node::Absolute(*kind, Box::new(nodes.next()?)))),
            (Function::Absolute, _) => "INT, DINT or REAL",
            (Function::Minimum | Function::Maximum, [a, b]) if a == b && ordered(*a) => {
                let (real, operands) = (*a == Type::Real, Box::new((nodes.next()?, nodes.next()?)));
                let least = function == Function::Minimum;
                return Some((*a, if least { Node::Smaller(real, operands) } else { Node::Greater(real, operands) }));
            }
            (Function::Limit, [a, b, c]) if a == b && b == c && ordered(*a) => {
                let operands = Box::new((nodes.next()?, nodes.next()?, nodes.next()?));
                return Some((*a, Node::Limit(*a == Type::Real, operands)));
            }
            (Function::Minimum | Function::Maximum | Function::Limit, _) => "whole numbers, REAL or TIME, all of one type",
            (Function::Select, [Type::Bool, a, b]) if a == b => {
                let operands = Box::new((nodes.next()?, nodes.next()?, nodes.next()?));
                return Some((*a, Node::Select(operands)));
            }
            (Function::Select, _) => "a BOOL and two values of one type",
            (Function::Truncate, [Type::Real]) => return Some((Type::Dint, Node::Change(Change::Truncate, Box::new(nodes.next()?)))),
            (Function::Truncate, _) => "a REAL",
            (Function::Convert { from, to }, [kind]) if *kind == from => {
                let Some(change) = conversion(from, to) else {
                    return self.wrong(format!(
                        "{}: controllers do not agree on what it does, and it is not part of this language",
                        function.name()
                    ));
                };
                return Some((to, Node::Change(change, Box::new(nodes.next()?))));
            }
            (Function::Convert { from, .. }, _) => from.keyword(),
        };
        self.wrong(format!("{} of {}: {wanted} expected", function.name(), shown()))
    }
}

const fn signed(kind: Type) -> bool {
    matches!(kind, Type::Int | Type::Dint | Type::Real)
}

/// What a conversion does; `None` where controllers differ: a signed number into more bits than it has (some repeat the sign, some do not), a
/// number into fewer bits, bits into a narrower number, anything into BOOL.
pub(super) fn conversion(from: Type, to: Type) -> Option<Change> {
    let (bits_in, bits_out) = (from.is_bits(), to.is_bits());
    let (whole_in, whole_out) = (from.is_integer(), to.is_integer());
    match (from, to) {
        _ if from == to => None,
        (Type::Bool, _) if bits_out || whole_out => Some(Change::Bits(to)),
        (Type::Dword, Type::Real) => Some(Change::Finite),
        (Type::Real, Type::Dword) => Some(Change::Bits(to)),
        (Type::Time, Type::Dint) | (Type::Dint, Type::Time) => Some(Change::Bits(to)),
        (Type::Real, _) if whole_out => Some(Change::Round(to)),
        (_, Type::Real) if whole_in => Some(Change::ToReal),
        _ if bits_in && bits_out => Some(Change::Bits(to)),
        _ if bits_in && whole_out && from.bits() <= to.bits() => Some(Change::Bits(to)),
        _ if whole_in && bits_out && (from.bits() == to.bits() || (from == Type::Uint && to == Type::Dword)) => Some(Change::Bits(to)),
        _ if whole_in && whole_out => Some(Change::Whole(to)),
        _ => None,
    }
}
