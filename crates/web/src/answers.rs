//! Answers kept as long as what they were made from stays the same: each position is worked out once for each state of the files
//! that bear on it, on demand or ahead of it.

use std::collections::{HashMap, HashSet};
use std::fmt::{self, Write as _};
use std::hash::{DefaultHasher, Hasher};
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use job::assess::{Input, assess_position};
use job::searches::{POSITIONS, Searches};
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
    /// Tags of positions that people look at and that nothing was searched of yet.
    looked_at: Mutex<Vec<String>>,
}

/// Everything that answers are made from, at one moment.
#[derive(Debug)]
pub(crate) struct Now {
    pub(crate) folder: Arc<Folder>,
    pub(crate) date: Arc<str>,
    /// What bears on all positions.
    common: u64,
    /// What was searched in this state of site and packs.
    searches: Arc<Searches>,
    /// What each position's answer is kept under.
    keys: HashMap<String, u64>,
    /// The first mistake (its place in the folder's problems) of each position's file.
    wrong: HashMap<Arc<str>, usize>,
    /// The first mistake of a file that all positions need.
    wrong_for_all: Option<usize>,
}

impl Now {
    /// The state of a folder after another one, whose searches go on while nothing has changed that bears on all positions.
    pub(crate) fn new(folder: Arc<Folder>, date: &str, before: Option<&Self>) -> Self {
        let mut common = DefaultHasher::new();
        // Everything but the files of single positions bears on all: lists and logs are named by positions, but by no one place here.
        let single = |name: &str| {
            name.starts_with("positions/") || name.starts_with("cutover/") || name == "decisions.toml" || name == packs::HISTORY
        };
        for (name, file) in folder.files.iter().filter(|(name, _)| !single(name)) {
            common.write(name.as_bytes());
            common.write_u64(file.mark);
        }
        common.write(date.as_bytes());
        let common = common.finish();
        let mut boxes: HashMap<&str, Vec<&Position>> = HashMap::new();
        let mut stations: HashMap<(&str, u32), Vec<&str>> = HashMap::new();
        for position in folder.positions.iter() {
            if let Some(name) = &position.enclosure {
                boxes.entry(name).or_default().push(position);
            }
            if let Some(station) = station(position) {
                stations.entry(station).or_default().push(&position.tag);
            }
        }
        let keys = folder.positions.iter().map(|position| {
            let beside = position.enclosure.as_ref().and_then(|name| boxes.get(name.as_str())).map_or(&[][..], Vec::as_slice);
            let twins = station(position).and_then(|s| stations.get(&s)).map_or(&[][..], Vec::as_slice);
            (position.tag.clone(), key(&folder, common, position, beside, twins))
        });
        let keys = keys.collect();
        let mut wrong = HashMap::new();
        let mut wrong_for_all = None;
        for (at, problem) in folder.problems.iter().enumerate().filter(|(_, p)| p.is_error()) {
            if problem.file.starts_with("positions/") {
                wrong.entry(Arc::clone(&problem.file)).or_insert(at);
            } else if !problem.file.starts_with("cutover/") {
                wrong_for_all.get_or_insert(at);
            }
        }
        let searches = before.filter(|b| b.common == common).map(|b| Arc::clone(&b.searches)).unwrap_or_default();
        Self { keys, wrong, wrong_for_all, date: date.into(), folder, common, searches }
    }

    pub(crate) fn input(&self) -> Input<'_> {
        let Folder { site, positions, packs, decisions, .. } = &*self.folder;
        let searches = Some(&*self.searches);
        Input { site, positions, only: None, packs, decisions: &decisions.decisions, date: &self.date, shown: SHOWN, searches }
    }

    /// Why nothing can be worked out for a position; `None` when it can.
    pub(crate) fn hindered(&self, position: &Position) -> Option<&packs::Problem> {
        let at = self.wrong.get(&position.place.file).copied().into_iter().chain(self.wrong_for_all).min()?;
        self.folder.problems.get(at)
    }

    /// Stands for every file of the site and the date: for what is made of more than one position.
    pub(crate) fn whole(&self) -> u64 {
        let mut hash = DefaultHasher::new();
        hash.write_u64(self.folder.stamp);
        hash.write(self.date.as_bytes());
        hash.finish()
    }

    /// What a position's answer is kept under.
    pub(crate) fn key(&self, position: &Position) -> u64 {
        self.keys.get(&position.tag).copied().unwrap_or_default()
    }
}

/// Line and address on a network.
fn station(position: &Position) -> Option<(&str, u32)> {
    position.network.as_ref().and_then(|n| n.line.as_deref().zip(n.node))
}

/// Stands for everything that bears on a position: the files that hold for all, its own file and log, the other drives of its
/// box (`beside`), the stations with its address (`twins`), and what was decided about it.
fn key(folder: &Folder, common: u64, position: &Position, beside: &[&Position], twins: &[&str]) -> u64 {
    let mut hash = DefaultHasher::new();
    hash.write_u64(common);
    let log = position.current_log.as_ref().map(|log| &log.origin.place.file);
    for name in [Some(&position.place.file), log].into_iter().flatten().chain(beside.iter().map(|p| &p.place.file)) {
        hash.write(name.as_bytes());
        hash.write_u64(folder.files.get(name).map_or(0, |file| file.mark));
    }
    let DecisionsFile { decisions, readings } = &folder.decisions;
    let mut text = Hashed(&mut hash);
    let _ = write!(text, "{twins:?}");
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
    /// The answer for a position that somebody asks for; worked out first where it is not there yet. Whoever asks for the same one
    /// meanwhile waits for it.
    pub(crate) fn of(&self, now: &Now, position: &Position) -> Arc<dossier::Position> {
        let slot = self.slot(now, position);
        if slot.get().is_some() && !now.searches.knows(&position.tag) {
            let mut looked_at = self.looked_at();
            if !looked_at.contains(&position.tag) {
                looked_at.push(position.tag.clone());
            }
        }
        Arc::clone(slot.get_or_init(|| Arc::new(assess_position(now.input(), position))))
    }

    /// Works out a position that nobody has asked for yet. Its searches are kept only at a small site: at a large one they would push out
    /// those of the positions that people work on.
    pub(crate) fn ahead(&self, now: &Now, position: &Position) {
        let input = if now.folder.positions.len() <= POSITIONS { now.input() } else { Input { searches: None, ..now.input() } };
        self.slot(now, position).get_or_init(|| Arc::new(assess_position(input, position)));
    }

    /// Searches once more what somebody looks at, so that an edit of it finds its searches; `false` when nobody waits for that.
    pub(crate) fn look_ahead(&self, now: &Now) -> bool {
        let Some(tag) = self.looked_at().pop() else { return false };
        if let Some(position) = now.folder.position(&tag).filter(|p| now.hindered(p).is_none() && !now.searches.knows(&p.tag)) {
            let _ = assess_position(now.input(), position);
        }
        true
    }

    fn slot(&self, now: &Now, position: &Position) -> Slot {
        Arc::clone(self.kept().entry(now.key(position)).or_default())
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
            let present: HashSet<u64> = now.folder.positions.iter().map(|p| now.key(p)).collect();
            kept.retain(|key, _| present.contains(key));
        }
    }

    fn looked_at(&self) -> std::sync::MutexGuard<'_, Vec<String>> {
        self.looked_at.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn kept(&self) -> std::sync::MutexGuard<'_, HashMap<u64, Slot>> {
        self.kept.lock().unwrap_or_else(PoisonError::into_inner)
    }
}
