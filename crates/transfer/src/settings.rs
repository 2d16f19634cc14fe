//! Settings from old to new by meaning: each old value becomes a physical value or a word, and that becomes the new unit's number.
//! Nothing of the old list is dropped: every row has exactly one outcome. `side` reads values and bases of one unit, `translate` makes
//! the sheet, `load` orders it, `conflict` looks over what results, `copy` says
//! what a number would be if it were typed over as it stands.

pub mod conflict;
pub mod copy;
pub mod load;
mod number;
mod rows;
pub mod side;
pub mod translate;

pub use conflict::Conflict;
pub use copy::{Typed, as_delivered, typed_over};
pub use load::Step;
pub use number::{number_text, raw_text};
pub use rows::as_found;
pub use side::{Machine, Open, Side};
pub use translate::{Line, Sheet, Shown, Value, translate};
