//! Network words: what becomes of every word and bit of the old drive when the new one answers instead.
//!
//! From two layouts follow the mapping ([`map`]), the function block that shows the old layout to the old program ([`block`]),
//! simulated drives of both ([`drive`]), and the proof over every value of every word ([`proof`]).

use plant::network::Direction::{FromDrive, ToDrive};
use plant::network::Layout;

pub mod arbitration;
pub mod block;
pub mod bytes;
pub mod drive;
mod logic;
pub mod map;
pub mod pair;
pub mod profiles;
pub mod proof;
pub mod rig;
pub mod scale;
pub mod script;
pub mod tables;
pub mod vectors;

/// The best new layout for an old one: the same protocol first, then the one that leaves fewest words and bits without counterpart, then the
/// first. `None` when there is none.
#[must_use]
pub fn choose<'l>(old: &Layout, layouts: &'l [Layout]) -> Option<&'l Layout> {
    layouts.iter().min_by_key(|new| {
        let direction_lost = |direction| {
            old.words(direction)
                .map(|(_, w)| {
                    let bits = w.bits.iter().filter(|b| new.bit(direction, b.meaning).is_none()).count();
                    bits + usize::from(new.word(w.meaning).is_none())
                })
                .sum::<usize>()
        };
        (new.protocol != old.protocol, direction_lost(ToDrive) + direction_lost(FromDrive))
    })
}
