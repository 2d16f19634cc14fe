//! Every step of two units side by side in any order: what a remedy is judged by needs no shortest way. Pairs that share what stands at
//! their inputs are taken together, so that what one step asks for lies close to what the last one did.

use super::explore::{Edge, MOST_STATES, TooMany};
use super::graph::{Ways, Yard};

/// Where the pairs of a slot stand.
#[derive(Clone, Copy)]
struct Slot {
    /// Number of its first pair, in words of 64.
    word: usize,
    /// First node of each side.
    first: [usize; 2],
    /// Nodes of the new side.
    width: usize,
}

/// Shows every step that both can take, once for each pair and event, and gives the number of pairs. `None` where a slot is so crowded that
/// places have no room.
///
/// # Errors
/// When more than [`MOST_STATES`] pairs can be reached.
pub(super) fn sweep(ways: [&Ways; 2], looks: [&[u32]; 2], mut see: impl FnMut(Edge)) -> Option<Result<usize, TooMany>> {
    let [Some(old), Some(new)] = ways.map(Ways::yard) else { return None };
    let [old_looks, new_looks] = [0, 1].map(|side: usize| ways[side].in_slots(looks[side]));
    let slots = slots([old, new]);
    let words = slots.last().map_or(0, |s| s.word);
    let (mut met, mut open) = (vec![0_u64; words], vec![0_u64; words]);
    let events = ways[0].events.len();
    let mut waiting = vec![false; slots.len()];
    let mut queue = std::collections::VecDeque::from([0_usize]);
    (met[0], open[0], waiting[0]) = (1, 1, true);
    let mut count = 1;
    let mut taken: Vec<usize> = Vec::new();
    while let Some(number) = queue.pop_front() {
        waiting[number] = false;
        let slot = slots[number];
        let end = slots.get(number + 1).map_or(words, |s| s.word);
        taken.clear();
        for (at, word) in open[slot.word..end].iter_mut().enumerate() {
            let mut bits = std::mem::take(word);
            while bits != 0 {
                taken.push(at * 64 + bits.trailing_zeros() as usize);
                bits &= bits - 1;
            }
        }
        for event in 0..events {
            let target_number = ways[0].after(number, event);
            let Some(target) = slots.get(target_number).copied() else { continue };
            let mut grew = false;
            for pair in &taken {
                let (a, b) = (slot.first[0] + pair / slot.width, slot.first[1] + pair % slot.width);
                let (a_to, b_to) = (old.places[a * events + event], new.places[b * events + event]);
                if a_to == Yard::NEVER {
                    break;
                }
                let (a_to, b_to) = (usize::from(a_to), usize::from(b_to));
                let is = [old_looks[target.first[0] + a_to], new_looks[target.first[1] + b_to]];
                see(Edge { was: [old_looks[a], new_looks[b]], event, is, at: 0 });
                let to = a_to * target.width + b_to;
                let (word, bit) = (target.word + to / 64, 1_u64 << (to % 64));
                if met[word] & bit == 0 {
                    met[word] |= bit;
                    open[word] |= bit;
                    count += 1;
                    grew = true;
                }
            }
            if grew && !waiting[target_number] {
                waiting[target_number] = true;
                queue.push_back(target_number);
            }
        }
        if count > MOST_STATES {
            return Some(Err(TooMany { states: MOST_STATES }));
        }
    }
    Some(Ok(count))
}

/// The slots, and behind them where they end.
fn slots(yards: [&Yard; 2]) -> Vec<Slot> {
    let [old, new] = yards;
    let mut word = 0;
    let mut slots = Vec::with_capacity(old.first.len());
    for (a, b) in old.first.windows(2).zip(new.first.windows(2)) {
        let (high, width) = ((a[1] - a[0]) as usize, (b[1] - b[0]) as usize);
        slots.push(Slot { word, first: [a[0] as usize, b[0] as usize], width: width.max(1) });
        word += (high * width).div_ceil(64);
    }
    slots.push(Slot { word, first: [0; 2], width: 1 });
    slots
}
