//! What one kind of page makes beside the answer of a position, kept while what it was made from stays the same: people go to and fro
//! between such a page and the numbers on it.

use std::collections::VecDeque;
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

/// How many are kept, those asked for last.
const MADE: usize = 8;

/// What stands for all that it was made from, and what was asked for.
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
    /// What is made in one state of the files that bear on it; made first where it is not there yet, and whoever asks for the same
    /// meanwhile waits for it. `from` stands for those files: the key of a position, or that of the whole site; `what` says what is
    /// made of them (a tag, a candidate), with all that it hangs on beside them.
    pub(crate) fn of(&self, from: u64, what: &str, make: impl FnOnce() -> T) -> Arc<T> {
        let place = (from, what.to_owned());
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
