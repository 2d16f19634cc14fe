//! A checked program with every name resolved to a slot: what the machine runs.

use dossier::program::{Block, Section, Span, Type};

/// An expression. Slots count from the start of the instance that runs.
#[derive(Clone, Debug)]
pub(super) enum Node {
    Constant(i64),
    Slot(usize),
    /// Flips the bits of the mask.
    Flip(i64, Box<Node>),
    Negate(Type, Box<Node>),
    Absolute(Type, Box<Node>),
    Bits(Bits, Box<(Node, Node)>),
    Whole(Whole, Type, Box<(Node, Node)>),
    Real(Whole, Box<(Node, Node)>),
    /// Whole numbers, bits, BOOL, TIME.
    Compare(Compare, Box<(Node, Node)>),
    CompareReal(Compare, Box<(Node, Node)>),
    /// By so many places; the mask is that of the type.
    Left(i64, Box<(Node, Node)>),
    Right(Box<(Node, Node)>),
    Smaller(bool, Box<(Node, Node)>),
    Greater(bool, Box<(Node, Node)>),
    /// Lowest, value, highest; `true` for REAL.
    Limit(bool, Box<(Node, Node, Node)>),
    Select(Box<(Node, Node, Node)>),
    Change(Change, Box<Node>),
}

#[derive(Clone, Copy, Debug)]
pub(super) enum Bits {
    And,
    Or,
    Xor,
}

#[derive(Clone, Copy, Debug)]
pub(super) enum Whole {
    Add,
    Subtract,
    Multiply,
    Divide,
    Modulo,
}

#[derive(Clone, Copy, Debug)]
pub(super) enum Compare {
    Equal,
    Differs,
    Below,
    AtMost,
    Above,
    AtLeast,
}

/// What a conversion does to the slot.
#[derive(Clone, Copy, Debug)]
pub(super) enum Change {
    /// The bits as they are, in the new type; nothing is lost that counts.
    Bits(Type),
    /// A whole number into another type; what does not fit is counted.
    Whole(Type),
    /// A whole number to REAL.
    ToReal,
    /// REAL to a whole number, to the nearest.
    Round(Type),
    /// REAL to DINT, towards zero.
    Truncate,
    /// DWORD to REAL by its bits.
    Finite,
}

/// A statement.
#[derive(Clone, Debug)]
pub(super) enum Step {
    Assign(usize, Node),
    If(Vec<(Node, Vec<Line>)>, Vec<Line>),
    Case(Node, Vec<(Vec<Span>, Vec<Line>)>, Vec<Line>),
    Call { block: Called, at: usize, inputs: Vec<(usize, Node)>, outputs: Vec<(usize, usize)> },
    Return,
}

/// What is called.
#[derive(Clone, Debug)]
pub(super) enum Called {
    Own(usize),
    Standard(Block),
}

/// A statement and its number in the text.
#[derive(Clone, Debug)]
pub(super) struct Line {
    pub(super) step: Step,
    pub(super) number: usize,
}

/// A variable of a unit and where it stands.
#[derive(Clone, Debug)]
pub(super) struct Place {
    /// In capitals.
    pub(super) name: String,
    pub(super) section: Section,
    pub(super) what: What,
    pub(super) at: usize,
}

/// What stands there.
#[derive(Clone, Debug)]
pub(super) enum What {
    Value(Type),
    Own(usize),
    Standard(Block),
}

/// A unit.
#[derive(Clone, Debug)]
pub(super) struct Code {
    pub(super) name: String,
    pub(super) program: bool,
    pub(super) places: Vec<Place>,
    /// The slots of an instance before its first cycle.
    pub(super) initial: Vec<i64>,
    pub(super) body: Vec<Line>,
    /// Steps that a cycle takes at most.
    pub(super) cost: u64,
    /// Instances inside each other, this one included.
    pub(super) depth: usize,
}
