//! Answers kept as long as what they were made from stays the same: each position is worked out once for each state of the files
//! that bear on it, on demand or ahead of it.

use std::collections::HashMap;
use std::fmt::{self, Write as _};
use std::hash::{DefaultHasher, Hasher};
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use job::assess::{Input, assess_position};
use packs::DecisionsFile;
use plant::position::Position;

use crate::world::Folder;

/// Candidates that the desk shows side by side.
pub(crate) const SHOWN: usize = 6;

type Slot = Arc<OnceLock<Arc<dossier::Position>>>;

/// Answers by what they were made from.
#[derive(Debug, Default)]
pub(crate) struct Answers {
    kept: Mutex<HashMap<u64, Slot>>,
}

/// Everything that answers are made from, at one moment.
#[derive(Debug)]
pub(crate) struct Now {
    pub(crate) folder: Arc<Folder>,
    pub(crate) date: Arc<str>,
    /// What each position's answer is kept under, in their order.
    keys: HashMap<String, u64>,
}

impl Now {
    pub(crate) fn new(folder: Arc<Folder>, date: &str) -> Self {
        let mut common = DefaultHasher::new();
        // Everything but the files of single positions bears on all: lists and logs are named by positions, but by no one place here.
        let single = |name: &str| name.starts_with("positions/") || name == "decisions.toml" || name == packs::HISTORY;
        for (name, file) in folder.files.iter().filter(|(name, _)| !single(name)) {
            common.write(name.as_bytes());
            common.write_u64(file.mark);
        }
        common.write(date.as_bytes());
        let common = common.finish();
        let mut boxes: HashMap<&str, Vec<&Position>> = HashMap::new();
        for position in &folder.positions {
            if let Some(name) = &position.enclosure {
                boxes.entry(name).or_default().push(position);
            }
        }
        let keys = folder.positions.iter().map(|position| {
            let beside = position.enclosure.as_ref().and_then(|name| boxes.get(name.as_str())).map_or(&[][..], Vec::as_slice);
            (position.tag.clone(), key(&folder, common, position, beside))
        });
        Self { keys: keys.collect(), date: date.into(), folder: Arc::clone(&folder) }
    }

    pub(crate) fn input(&self) -> Input<'_> {
        let Folder { site, positions, packs, decisions, .. } = &*self.folder;
        Input { site, positions, only: None, packs, decisions: &decisions.decisions, date: &self.date, shown: SHOWN }
    }

    /// Why nothing can be worked out for a position; `None` when it can.
    pub(crate) fn hindered(&self, position: &Position) -> Option<&packs::Problem> {
        let own = |file: &str| !file.starts_with("positions/") || *file == *position.place.file;
        self.folder.problems.iter().find(|p| p.is_error() && own(&p.file))
    }

    fn key(&self, position: &Position) -> u64 {
        self.keys.get(&position.tag).copied().unwrap_or_default()
    }
}

/// Stands for everything that bears on a position: the files that hold for all, its own file and log, the other drives of its
/// box (`beside`), and what was decided about it.
fn key(folder: &Folder, common: u64, position: &Position, beside: &[&Position]) -> u64 {
    let mut hash = DefaultHasher::new();
    hash.write_u64(common);
    let log = position.current_log.as_ref().map(|log| &log.origin.place.file);
    for name in [Some(&position.place.file), log].into_iter().flatten().chain(beside.iter().map(|p| &p.place.file)) {
        hash.write(name.as_bytes());
        hash.write_u64(folder.files.get(name).map_or(0, |file| file.mark));
    }
    let DecisionsFile { decisions, readings } = &folder.decisions;
    let mut text = Hashed(&mut hash);
    for reading in readings.iter().filter(|r| r.tag == position.tag || beside.iter().any(|p| p.tag == r.tag)) {
        let _ = write!(text, "{reading:?}");
    }
    for accepted in decisions.accepted.iter().filter(|a| a.tag == position.tag) {
        let _ = write!(text, "{accepted:?}");
    }
    for chosen in decisions.chosen.iter().filter(|c| c.tag == position.tag) {
        let _ = write!(text, "{chosen:?}");
    }
    hash.finish()
}

/// Lets a hash be written to as text.
struct Hashed<'h>(&'h mut DefaultHasher);

impl fmt::Write for Hashed<'_> {
    fn write_str(&mut self, text: &str) -> fmt::Result {
        self.0.write(text.as_bytes());
        Ok(())
    }
}

impl Answers {
    /// The answer for a position; worked out first where it is not there yet. Whoever asks for the same one meanwhile waits for it.
    pub(crate) fn of(&self, now: &Now, position: &Position) -> Arc<dossier::Position> {
        let slot = Arc::clone(self.kept().entry(now.key(position)).or_default());
        Arc::clone(slot.get_or_init(|| Arc::new(assess_position(now.input(), position))))
    }

    /// The answer for a position, where it is there already.
    pub(crate) fn ready(&self, now: &Now, position: &Position) -> Option<Arc<dossier::Position>> {
        self.kept().get(&now.key(position)).and_then(|slot| slot.get().cloned())
    }

    /// Forgets what nobody can ask for any more: everything but the present state, once far more is kept.
    pub(crate) fn sweep(&self, now: &Now) {
        /// States of each position that may be kept: going back and forth with undo finds them again.
        const STATES: usize = 4;
        let mut kept = self.kept();
        if kept.len() > STATES * now.folder.positions.len().max(16) {
            let present: Vec<u64> = now.folder.positions.iter().map(|p| now.key(p)).collect();
            kept.retain(|key, _| present.contains(key));
        }
    }

    fn kept(&self) -> std::sync::MutexGuard<'_, HashMap<u64, Slot>> {
        self.kept.lock().unwrap_or_else(PoisonError::into_inner)
    }
}
