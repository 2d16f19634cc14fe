//! Conditions that fold away what is always so, so that the printed block holds nothing that says nothing.

use dossier::program::Expression;
use dossier::program::build::bool;

/// A condition.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Cond {
    /// Always, or never.
    Always(bool),
    /// As this BOOL says.
    When(Expression),
}

impl Cond {
    pub(crate) fn and(self, other: Self) -> Self {
        match (self, other) {
            (Self::Always(true), other) | (other, Self::Always(true)) => other,
            (Self::Always(false), _) | (_, Self::Always(false)) => Self::Always(false),
            (Self::When(a), Self::When(b)) => Self::When(a & b),
        }
    }

    pub(crate) fn or(self, other: Self) -> Self {
        match (self, other) {
            (Self::Always(false), other) | (other, Self::Always(false)) => other,
            (Self::Always(true), _) | (_, Self::Always(true)) => Self::Always(true),
            (Self::When(a), Self::When(b)) => Self::When(a | b),
        }
    }

    pub(crate) fn not(self) -> Self {
        match self {
            Self::Always(so) => Self::Always(!so),
            Self::When(a) => Self::When(!a),
        }
    }

    pub(crate) fn expression(self) -> Expression {
        match self {
            Self::Always(so) => bool(so),
            Self::When(a) => a,
        }
    }
}

impl From<Expression> for Cond {
    fn from(expression: Expression) -> Self {
        Self::When(expression)
    }
}
