//! Types, literals, operators and functions of a control program.

use std::fmt;

use serde::Serialize;

/// Kind of a program organisation unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum UnitKind {
    /// `FUNCTION_BLOCK`.
    FunctionBlock,
    /// `PROGRAM`.
    Program,
}

/// Section of a declaration.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Section {
    /// `VAR_INPUT`: given by the caller, not written inside.
    Input,
    /// `VAR_OUTPUT`.
    Output,
    /// `VAR`: kept from cycle to cycle.
    Local,
    /// `VAR CONSTANT`.
    Constant,
}

/// An elementary type.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "UPPERCASE")]
pub enum Type {
    /// One bit.
    Bool,
    /// 8 bits.
    Byte,
    /// 16 bits.
    Word,
    /// 32 bits.
    Dword,
    /// Signed, 16 bits.
    Int,
    /// Unsigned, 16 bits.
    Uint,
    /// Signed, 32 bits.
    Dint,
    /// Unsigned, 32 bits.
    Udint,
    /// IEEE 754 single.
    Real,
    /// A duration: here whole milliseconds in signed 32 bits.
    Time,
}

impl Type {
    /// All of them.
    pub const ALL: [Self; 10] =
        [Self::Bool, Self::Byte, Self::Word, Self::Dword, Self::Int, Self::Uint, Self::Dint, Self::Udint, Self::Real, Self::Time];

    /// Its keyword.
    #[must_use]
    pub const fn keyword(self) -> &'static str {
        match self {
            Self::Bool => "BOOL",
            Self::Byte => "BYTE",
            Self::Word => "WORD",
            Self::Dword => "DWORD",
            Self::Int => "INT",
            Self::Uint => "UINT",
            Self::Dint => "DINT",
            Self::Udint => "UDINT",
            Self::Real => "REAL",
            Self::Time => "TIME",
        }
    }

    /// BYTE, WORD or DWORD: bits without a number.
    #[must_use]
    pub const fn is_bits(self) -> bool {
        matches!(self, Self::Byte | Self::Word | Self::Dword)
    }

    /// INT, UINT, DINT or UDINT.
    #[must_use]
    pub const fn is_integer(self) -> bool {
        matches!(self, Self::Int | Self::Uint | Self::Dint | Self::Udint)
    }

    /// How many bits it takes.
    #[must_use]
    pub const fn bits(self) -> u32 {
        match self {
            Self::Bool => 1,
            Self::Byte => 8,
            Self::Word | Self::Int | Self::Uint => 16,
            Self::Dword | Self::Dint | Self::Udint | Self::Real | Self::Time => 32,
        }
    }
}

impl fmt::Display for Type {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.keyword())
    }
}

/// A function block of which there can be instances.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Block {
    /// `R_TRIG`: CLK, Q.
    RisingEdge,
    /// `F_TRIG`: CLK, Q.
    FallingEdge,
    /// `TON`: IN, PT, Q, ET.
    OnDelay,
    /// `TOF`: IN, PT, Q, ET.
    OffDelay,
    /// One of the project.
    Own(String),
}

impl Block {
    /// Its name in a declaration.
    #[must_use]
    pub fn name(&self) -> &str {
        match self {
            Self::RisingEdge => "R_TRIG",
            Self::FallingEdge => "F_TRIG",
            Self::OnDelay => "TON",
            Self::OffDelay => "TOF",
            Self::Own(name) => name,
        }
    }
}

/// A value as written.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "UPPERCASE")]
pub enum Literal {
    /// `TRUE`, `FALSE`.
    Bool(bool),
    /// `16#0F`.
    Byte(u8),
    /// `16#00FF`.
    Word(u16),
    /// `16#0000_00FF`.
    Dword(u32),
    /// `-5`.
    Int(i16),
    /// `5`.
    Uint(u16),
    /// `-70000`.
    Dint(i32),
    /// `70000`.
    Udint(u32),
    /// `0.25`; finite.
    Real(f32),
    /// `T#500ms`: milliseconds.
    Time(i32),
}

impl Literal {
    /// Its type.
    #[must_use]
    pub const fn kind(self) -> Type {
        match self {
            Self::Bool(_) => Type::Bool,
            Self::Byte(_) => Type::Byte,
            Self::Word(_) => Type::Word,
            Self::Dword(_) => Type::Dword,
            Self::Int(_) => Type::Int,
            Self::Uint(_) => Type::Uint,
            Self::Dint(_) => Type::Dint,
            Self::Udint(_) => Type::Udint,
            Self::Real(_) => Type::Real,
            Self::Time(_) => Type::Time,
        }
    }
}

/// An operator with one operand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Sign {
    /// `NOT`: BOOL or bits.
    Not,
    /// `-`: INT, DINT, REAL or TIME.
    Minus,
}

/// An operator with two operands of one type.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Operator {
    /// `AND`: BOOL or bits. Both operands are worked out.
    And,
    /// `OR`: BOOL or bits. Both operands are worked out.
    Or,
    /// `XOR`: BOOL or bits.
    Xor,
    /// `+`: integers, REAL, TIME.
    Add,
    /// `-`: integers, REAL, TIME.
    Subtract,
    /// `*`: integers, REAL.
    Multiply,
    /// `/`: integers (towards zero), REAL.
    Divide,
    /// `MOD`: integers; the sign is that of the left operand.
    Modulo,
    /// `=`: any.
    Equal,
    /// `<>`: any.
    Differs,
    /// `<`: integers, bits, REAL, TIME.
    Below,
    /// `<=`: the same.
    AtMost,
    /// `>`: the same.
    Above,
    /// `>=`: the same.
    AtLeast,
}

impl Operator {
    /// Its spelling.
    #[must_use]
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::And => "AND",
            Self::Or => "OR",
            Self::Xor => "XOR",
            Self::Add => "+",
            Self::Subtract => "-",
            Self::Multiply => "*",
            Self::Divide => "/",
            Self::Modulo => "MOD",
            Self::Equal => "=",
            Self::Differs => "<>",
            Self::Below => "<",
            Self::AtMost => "<=",
            Self::Above => ">",
            Self::AtLeast => ">=",
        }
    }

    /// Whether its result is a BOOL whatever its operands are.
    #[must_use]
    pub const fn compares(self) -> bool {
        matches!(self, Self::Equal | Self::Differs | Self::Below | Self::AtMost | Self::Above | Self::AtLeast)
    }
}

/// A standard function.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Function {
    /// `SHL(bits, places)`: zeros come in from the right; places are an INT or UINT.
    ShiftLeft,
    /// `SHR(bits, places)`: zeros come in from the left.
    ShiftRight,
    /// `ABS(number)`: INT, DINT or REAL.
    Absolute,
    /// `MIN(a, b)`: integers, REAL, TIME.
    Minimum,
    /// `MAX(a, b)`: the same.
    Maximum,
    /// `LIMIT(lowest, value, highest)`: MIN(MAX(value, lowest), highest).
    Limit,
    /// `SEL(which, when FALSE, when TRUE)`.
    Select,
    /// `TRUNC(real)`: REAL to DINT, towards zero.
    Truncate,
    /// `FROM_TO_TO(value)`, for example `WORD_TO_INT`.
    Convert {
        /// From this type.
        from: Type,
        /// To that one.
        to: Type,
    },
}

impl Function {
    /// Its spelling.
    #[must_use]
    pub fn name(self) -> String {
        match self {
            Self::ShiftLeft => "SHL".to_owned(),
            Self::ShiftRight => "SHR".to_owned(),
            Self::Absolute => "ABS".to_owned(),
            Self::Minimum => "MIN".to_owned(),
            Self::Maximum => "MAX".to_owned(),
            Self::Limit => "LIMIT".to_owned(),
            Self::Select => "SEL".to_owned(),
            Self::Truncate => "TRUNC".to_owned(),
            Self::Convert { from, to } => format!("{from}_TO_{to}"),
        }
    }

    /// How many arguments it takes.
    #[must_use]
    pub const fn arguments(self) -> usize {
        match self {
            Self::Absolute | Self::Truncate | Self::Convert { .. } => 1,
            Self::ShiftLeft | Self::ShiftRight | Self::Minimum | Self::Maximum => 2,
            Self::Limit | Self::Select => 3,
        }
    }
}
