//! What one kind of page makes for a position beside its answer, kept while what it was made from stays the same: people go to and fro
//! between such a page and the numbers on it.

use std::collections::VecDeque;
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use plant::position::Position;

use crate::answers::Now;

/// How many are kept, those asked for last.
const MADE: usize = 8;

/// The position's key, and what was asked for.
type Place = (u64, String);
type Slot<T> = Arc<OnceLock<Arc<T>>>;

/// What was made last.
#[derive(Debug)]
pub(crate) struct Made<T>(Mutex<VecDeque<(Place, Slot<T>)>>);

impl<T> Default for Made<T> {
    fn default() -> Self {
        Self(Mutex::default())
    }
}

impl<T> Made<T> {
    /// What is made of a position in one state of the files that bear on it; made first where it is not there yet, and whoever asks for
    /// the same meanwhile waits for it. `what` says which of it (a candidate), with all that it hangs on beside what the answer does.
    pub(crate) fn of(&self, now: &Now, position: &Position, what: &str, make: impl FnOnce() -> T) -> Arc<T> {
        let place = (now.key(position), what.to_owned());
        let slot = {
            let mut made = self.0.lock().unwrap_or_else(PoisonError::into_inner);
            let last = made.iter().position(|(own, _)| *own == place).and_then(|at| made.remove(at));
            let (place, slot) = last.unwrap_or_else(|| (place, Slot::default()));
            made.push_back((place, Arc::clone(&slot)));
            if made.len() > MADE {
                made.pop_front();
            }
            slot
        };
        Arc::clone(slot.get_or_init(|| Arc::new(make())))
    }
}
