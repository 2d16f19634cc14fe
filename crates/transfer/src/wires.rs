//! Control wires from old to new: every conductor of the list is landed, landed over an interposing part, spared or removed, with the
//! proof of its landing line by line. `circuit` puts conductors together, `proof` holds one circuit against one point, `part` is what may
//! stand between, `scheme` reads how the machine is started and stopped, `place` chooses points and modules, `crosswalk` is the result.

mod circuit;
pub mod crosswalk;
mod part;
mod place;
pub mod proof;
mod scheme;
#[cfg(test)]
mod tests;

pub use circuit::{Circuit, circuits};
pub use crosswalk::{Action, Billed, Bought, Crosswalk, Row, crosswalk};
pub use part::{Part, PartKind};
pub use place::Rules;
pub use proof::{Fault, Line, Verdict, prove};
pub use scheme::{Permissive, Scheme, permissives, schemes};
