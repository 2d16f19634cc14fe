//! A control program as plain data: the part of IEC 61131-3 structured text that a mapping between two network layouts needs. No loops
//! and no recursion, so that every cycle ends; no conversion that is not written, so that every controller reads it alike.
//!
//! Single bits are reached by masks (`bit`), never by a dot behind a word: that spelling differs between controllers.

pub mod build;
mod types;

use serde::Serialize;

pub use types::{Block, Function, Literal, Operator, Section, Sign, Type, UnitKind};

/// A set of program organisation units that belong together. A unit stands behind those that it has instances of.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Project {
    /// Name, for the heading and the project file.
    pub name: String,
    /// Lines for the heading of the text: what it is for, and what to heed.
    pub notes: Vec<String>,
    /// The units.
    pub units: Vec<Unit>,
}

/// A program organisation unit.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Unit {
    /// Function block or program.
    pub kind: UnitKind,
    /// Name.
    pub name: String,
    /// Lines that say what it does.
    pub notes: Vec<String>,
    /// Its variables in the order of declaration; neighbours of one section are printed as one.
    pub variables: Vec<Variable>,
    /// What it does in each cycle.
    pub body: Vec<Statement>,
}

/// A variable.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Variable {
    /// Where it is declared.
    pub section: Section,
    /// Name.
    pub name: String,
    /// What it holds.
    pub holds: Holds,
    /// Its value before the first cycle; `None` is zero, `FALSE` or `T#0ms`. Constants need one, instances have none.
    pub initial: Option<Literal>,
    /// What it means; may be empty.
    pub note: String,
}

/// What a variable holds.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Holds {
    /// A value.
    Value(Type),
    /// An instance of a function block.
    Instance(Block),
}

/// A statement.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Statement {
    /// A remark on a line of its own.
    Note(String),
    /// `target := value;`
    Assign {
        /// A variable that may be written: an output or a local.
        target: String,
        /// What it gets.
        value: Expression,
    },
    /// `IF … ELSIF … ELSE … END_IF;`
    If {
        /// Conditions and what is done under the first that holds; one or more.
        branches: Vec<Branch>,
        /// What is done when none holds; may be empty.
        otherwise: Vec<Statement>,
    },
    /// `CASE … OF … END_CASE;`
    Case {
        /// An integer (INT, UINT, DINT or UDINT).
        selector: Expression,
        /// What is done for which values; one or more.
        arms: Vec<Arm>,
        /// What is done for all other values; may be empty.
        otherwise: Vec<Statement>,
    },
    /// `instance(IN := …, Q => …);`
    Call {
        /// Name of the variable that holds the instance.
        instance: String,
        /// Inputs that are given; the others keep what they had.
        inputs: Vec<Given>,
        /// Outputs that are taken into variables.
        outputs: Vec<Taken>,
    },
    /// `RETURN;`
    Return,
}

/// A condition and what is done when it holds.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Branch {
    /// A BOOL.
    pub condition: Expression,
    /// What is done.
    pub body: Vec<Statement>,
}

/// Values of a selector and what is done for them.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Arm {
    /// Values, each from a first to a last one; they overlap with none of another arm.
    pub values: Vec<Span>,
    /// What they mean; may be empty.
    pub note: String,
    /// What is done.
    pub body: Vec<Statement>,
}

/// Integers from the first to the last, both included.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Span {
    /// First.
    pub first: i64,
    /// Last; the same as the first for one value.
    pub last: i64,
}

/// An input of an instance and its value.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Given {
    /// Name of the input.
    pub input: String,
    /// Its value.
    pub value: Expression,
}

/// An output of an instance and where it goes.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Taken {
    /// Name of the output.
    pub output: String,
    /// The variable that takes it.
    pub target: String,
}

/// An expression. Operands have one type; whatever changes a type is a written conversion.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Expression {
    /// A value.
    Literal(Literal),
    /// A variable.
    Variable(String),
    /// An output of an instance.
    Output {
        /// Name of the variable that holds the instance.
        instance: String,
        /// Name of the output.
        output: String,
    },
    /// One operand.
    Unary(Sign, Box<Expression>),
    /// Two operands.
    Binary(Operator, Box<Expression>, Box<Expression>),
    /// A standard function.
    Call(Function, Vec<Expression>),
}

impl Expression {
    /// Calls `with` for the name of each variable that is read.
    pub fn each_variable(&mut self, with: &mut dyn FnMut(&mut String)) {
        match self {
            Self::Literal(_) | Self::Output { .. } => {}
            Self::Variable(name) => with(name),
            Self::Unary(_, operand) => operand.each_variable(with),
            Self::Binary(_, left, right) => {
                left.each_variable(with);
                right.each_variable(with);
            }
            Self::Call(_, arguments) => arguments.iter_mut().for_each(|a| a.each_variable(with)),
        }
    }
}

impl Statement {
    /// Calls `with` for the name of each variable that is read in it; targets of assignments are none.
    pub fn each_variable(&mut self, with: &mut dyn FnMut(&mut String)) {
        let all = |body: &mut Vec<Self>, with: &mut dyn FnMut(&mut String)| body.iter_mut().for_each(|s| s.each_variable(with));
        match self {
            Self::Note(_) | Self::Return => {}
            Self::Assign { value, .. } => value.each_variable(with),
            Self::If { branches, otherwise } => {
                for branch in branches {
                    branch.condition.each_variable(with);
                    all(&mut branch.body, with);
                }
                all(otherwise, with);
            }
            Self::Case { selector, arms, otherwise } => {
                selector.each_variable(with);
                arms.iter_mut().for_each(|arm| all(&mut arm.body, with));
                all(otherwise, with);
            }
            Self::Call { inputs, .. } => inputs.iter_mut().for_each(|given| given.value.each_variable(with)),
        }
    }
}
