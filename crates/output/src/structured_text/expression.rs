//! Expressions and numbers as text.

use dossier::program::{Expression, Function, Literal, Operator, Sign};

use super::{DEEPEST, Page};

/// Where an expression stands.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Beside {
    /// Beside something that says its type: a variable that it goes to or is compared with.
    Known,
    /// Alone: a number says its own type.
    Nothing,
}

impl Page<'_> {
    /// An expression whose type is known from where it goes.
    pub(super) fn alone(&mut self, expression: &Expression) -> String {
        self.expression(expression, Beside::Known, 0)
    }

    /// An expression that says its own type.
    pub(super) fn typed(&mut self, expression: &Expression) -> String {
        self.expression(expression, Beside::Nothing, 0)
    }

    fn expression(&mut self, expression: &Expression, beside: Beside, depth: usize) -> String {
        if depth > DEEPEST {
            self.wrong(&format!("more than {DEEPEST} operators and functions stand inside each other"));
            return String::new();
        }
        match expression {
            Expression::Literal(value) => {
                if matches!(value, Literal::Real(value) if !value.is_finite()) {
                    self.wrong("a number is not finite");
                }
                literal(*value, beside)
            }
            Expression::Variable(name) => self.name(name).to_owned(),
            Expression::Output { instance, output } => format!("{}.{}", self.name(instance), self.name(output)),
            Expression::Unary(sign, operand) => {
                let operand = self.operand(operand, Beside::Nothing, depth);
                match sign {
                    Sign::Not => format!("NOT {operand}"),
                    Sign::Minus => format!("-{operand}"),
                }
            }
            Expression::Binary(operator, left, right) => {
                let plain = |e: &Expression| matches!(e, Expression::Literal(_));
                let beside = if plain(left) && plain(right) { Beside::Nothing } else { Beside::Known };
                // A chain of one operator needs no brackets; two different ones always get them.
                let chain = matches!(operator, Operator::And | Operator::Or | Operator::Xor | Operator::Add | Operator::Multiply);
                let left = match &**left {
                    Expression::Binary(inner, ..) if inner == operator && chain => self.expression(left, beside, depth + 1),
                    _ => self.operand(left, beside, depth),
                };
                let right = self.operand(right, beside, depth);
                format!("{left} {} {right}", operator.symbol())
            }
            Expression::Call(function, arguments) => {
                let shift = matches!(function, Function::ShiftLeft | Function::ShiftRight);
                let mut shown = Vec::new();
                for (n, argument) in arguments.iter().enumerate() {
                    // Any whole number will do as a number of places.
                    let beside = if shift && n == 1 { Beside::Known } else { Beside::Nothing };
                    shown.push(self.expression(argument, beside, depth + 1));
                }
                format!("{}({})", function.name(), shown.join(", "))
            }
        }
    }

    /// An expression as an operand: in brackets unless it is one word.
    fn operand(&mut self, expression: &Expression, beside: Beside, depth: usize) -> String {
        let text = self.expression(expression, beside, depth + 1);
        match expression {
            Expression::Unary(..) | Expression::Binary(..) => format!("({text})"),
            Expression::Literal(_) if text.starts_with('-') => format!("({text})"),
            _ => text,
        }
    }
}

/// A value; with its type unless something beside it says it.
pub(super) fn literal(value: Literal, beside: Beside) -> String {
    let text = match value {
        Literal::Bool(value) => return if value { "TRUE" } else { "FALSE" }.to_owned(),
        Literal::Time(milliseconds) => return format!("T#{milliseconds}ms"),
        Literal::Real(value) => return real(value),
        Literal::Byte(value) => format!("16#{value:02X}"),
        Literal::Word(value) => format!("16#{value:04X}"),
        Literal::Dword(value) => format!("16#{:04X}_{:04X}", value >> 16, value & 0xFFFF),
        Literal::Int(value) => value.to_string(),
        Literal::Uint(value) => value.to_string(),
        Literal::Dint(value) => value.to_string(),
        Literal::Udint(value) => value.to_string(),
    };
    if beside == Beside::Known { text } else { format!("{}#{text}", value.kind()) }
}

/// The shortest decimal number that reads back as the same REAL, with a point as the standard asks.
fn real(value: f32) -> String {
    let text = format!("{value:?}");
    match text.split_once('e') {
        None => text,
        Some((mantissa, exponent)) if mantissa.contains('.') => format!("{mantissa}E{exponent}"),
        Some((mantissa, exponent)) => format!("{mantissa}.0E{exponent}"),
    }
}
