//! What inputs are checked with before a formula sees them, and words for choices that a calculation takes by name.

use plant::quantity::{Count, Dimension, Quantity};

use crate::registry::Refusal;

/// Refuses what is no number above zero.
pub(crate) fn above_zero<D: Dimension>(name: &str, value: Quantity<D>) -> Result<(), Refusal> {
    if value.is_finite() && value.in_si() > 0.0 { Ok(()) } else { Err(Refusal::new(format!("{name} is above zero, not {value}"))) }
}

/// Refuses what is no number from zero up.
pub(crate) fn not_negative<D: Dimension>(name: &str, value: Quantity<D>) -> Result<(), Refusal> {
    if value.is_finite() && value.in_si() >= 0.0 { Ok(()) } else { Err(Refusal::new(format!("{name} is zero or more, not {value}"))) }
}

/// A whole number of things from one up; half a conductor is refused, not rounded.
pub(crate) fn whole(name: &str, count: Count) -> Result<u8, Refusal> {
    (1..=u8::MAX)
        .find(|n| (f64::from(*n) - count.in_count()).abs() < 1e-9)
        .ok_or_else(|| Refusal::new(format!("{name} is a whole number from 1 to 255, not {count}")))
}

/// One of a calculation's results that is a yes or a no.
pub(crate) fn flag(yes: bool) -> f64 {
    f64::from(u8::from(yes))
}

/// `worded! { Name "plain name" { Variant "word" "meaning"; … } }`: a choice whose values have a word each on the command line.
macro_rules! worded {
    ($(#[$doc:meta])* $name:ident $plain:literal { $($variant:ident $word:literal $meaning:literal;)+ }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
        pub enum $name {
            $(#[doc = $meaning] $variant),+
        }
        impl $name {
            /// All of them.
            pub const ALL: &'static [Self] = &[$(Self::$variant),+];
            /// The word of each, in the same order.
            pub const WORDS: &'static [&'static str] = &[$($word),+];

            /// From its word.
            ///
            /// # Errors
            /// For any other word.
            pub fn from_word(word: &str) -> Result<Self, $crate::registry::Refusal> {
                match word {
                    $($word => Ok(Self::$variant),)+
                    other => Err($crate::registry::Refusal::new(format!(
                        "“{other}” is no {}; expected one of {}", $plain, Self::WORDS.join(", ")
                    ))),
                }
            }

            /// Its word.
            #[must_use]
            pub const fn word(self) -> &'static str {
                match self { $(Self::$variant => $word),+ }
            }
        }
    };
}
pub(crate) use worded;
