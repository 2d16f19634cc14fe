//! A small set of facts.

use plant::survey::{FACT_IDS, FactId};

/// A set of facts.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct FactSet([u64; FACT_IDS.div_ceil(64)]);

impl FactSet {
    /// Puts a fact in.
    pub fn insert(&mut self, id: FactId) {
        self.0[id.index() / 64] |= 1 << (id.index() % 64);
    }

    /// Whether a fact is in.
    #[must_use]
    pub const fn contains(&self, id: FactId) -> bool {
        self.0[id.index() / 64] >> (id.index() % 64) & 1 == 1
    }

    /// Puts all of another set in.
    pub fn extend(&mut self, other: &Self) {
        for (own, more) in self.0.iter_mut().zip(other.0) {
            *own |= more;
        }
    }

    /// What both hold.
    #[must_use]
    pub fn both(&self, other: &Self) -> Self {
        let mut set = *self;
        for (own, more) in set.0.iter_mut().zip(other.0) {
            *own &= more;
        }
        set
    }

    /// True when every fact of this set is in the other.
    #[must_use]
    pub fn is_within(&self, other: &Self) -> bool {
        self.0.iter().zip(other.0).all(|(own, more)| own & !more == 0)
    }

    /// The set as numbers, to be told apart from others by.
    pub fn words(&self) -> impl Iterator<Item = u64> {
        self.0.into_iter()
    }

    /// True when nothing is in.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.iter().all(|w| *w == 0)
    }

    /// Every fact in it, in the table's order.
    pub fn iter(&self) -> impl Iterator<Item = FactId> {
        let words = self.0;
        (0..words.len()).flat_map(move |w| {
            let mut bits = words[w];
            std::iter::from_fn(move || {
                (bits != 0).then(|| {
                    let bit = bits.trailing_zeros();
                    bits &= bits - 1;
                    #[expect(clippy::cast_possible_truncation, reason = "fewer than a thousand facts")]
                    FactId((w * 64) as u16 + bit as u16)
                })
            })
        })
    }
}
