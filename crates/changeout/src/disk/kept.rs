//! What was read of a site's folder, kept, so that only what has changed is read again.

use std::collections::{BTreeMap, HashMap};
use std::path::Path;
use std::sync::Arc;

use packs::{DecisionsFile, Problem, Source};
use plant::position::{Position, Site};
use plant::product::Series;
use rayon::prelude::*;

use super::{Shelf, States, state_of};

/// A site's folder as it was read the last time.
#[derive(Debug, Default)]
pub(crate) struct Kept {
    pub(super) site: Parts<Site>,
    pub(super) positions: Parts<Position>,
    pub(super) decisions: Parts<DecisionsFile>,
    pub(super) packs: Parts<Series>,
    /// The packs together, shared by all who read them.
    pub(super) series: Arc<Vec<Series>>,
    /// The positions together, with later readings put in.
    pub(super) joined: Arc<Vec<Position>>,
    /// What is wrong between the files.
    pub(super) between: Vec<Problem>,
}

/// What one file, or some that belong together, gave: the value, and what the shelf noted on the way.
#[derive(Debug)]
struct Part<T> {
    value: Option<T>,
    sources: Vec<Source>,
    problems: Vec<Problem>,
    files: usize,
    marks: BTreeMap<Arc<str>, u64>,
    /// Files and folders that were looked at, each with its state from before it was read.
    seen: Vec<(String, u64)>,
}

impl<T> Part<T> {
    fn read(folder: &Path, read: impl FnOnce(&mut Shelf<'_>) -> Option<T>) -> Self {
        let mut shelf = Shelf::new(folder);
        let value = read(&mut shelf);
        let Shelf { sources, problems, files, marks, seen, .. } = shelf;
        Self { value, sources, problems, files, marks, seen }
    }

    fn is_current(&self, folder: &Path, states: &States) -> bool {
        self.seen.iter().all(|(name, state)| states.of(name).unwrap_or_else(|| state_of(&folder.join(name))) == *state)
    }
}

impl Kept {
    /// Whether what was read is the folder in one state: nothing has changed from before it was read until afterwards. Files that nobody
    /// knew of before were looked at before each was read.
    pub(crate) fn is_of_one_state(&self, before: &States, after: &States) -> bool {
        let gone = before.names().any(|name| after.of(name).is_none());
        let differ = after.0.iter().any(|(name, state)| before.of(name).is_some_and(|was| was != *state));
        let mut unknown = after.0.iter().filter(|(name, _)| before.of(name).is_none()).peekable();
        if gone || differ || unknown.peek().is_none() {
            return !gone && !differ;
        }
        let seen: HashMap<&str, u64> = [self.site.seen(), self.positions.seen(), self.decisions.seen(), self.packs.seen()]
            .into_iter()
            .flatten()
            .map(|(name, state)| (name.as_str(), *state))
            .collect();
        unknown.all(|(name, state)| seen.get(name.as_str()) == Some(state))
    }
}

/// Parts of one kind, by name.
#[derive(Debug)]
pub(super) struct Parts<T> {
    parts: HashMap<String, Part<T>>,
}

impl<T> Default for Parts<T> {
    fn default() -> Self {
        Self { parts: HashMap::new() }
    }
}

impl<T: Send> Parts<T> {
    /// Brings the parts of these names (in order) up to date and forgets all others; `true` when one was read again or has gone. States
    /// that are known already are not looked at again.
    pub(super) fn renew(
        &mut self,
        folder: &Path,
        states: &States,
        names: &[String],
        read: impl Fn(&mut Shelf<'_>, &str) -> Option<T> + Sync,
    ) -> bool {
        let count = self.parts.len();
        self.parts.retain(|name, part| names.binary_search(name).is_ok() && part.is_current(folder, states));
        let wanted: Vec<&String> = names.iter().filter(|name| !self.parts.contains_key(*name)).collect();
        let fresh = self.parts.len() != count || !wanted.is_empty();
        let parts: Vec<Part<T>> = wanted.par_iter().map(|name| Part::read(folder, |shelf| read(shelf, name))).collect();
        self.parts.extend(wanted.into_iter().cloned().zip(parts));
        fresh
    }

    /// Files and folders that were looked at, each with its state from before it was read.
    fn seen(&self) -> Box<dyn Iterator<Item = &(String, u64)> + '_> {
        Box::new(self.parts.values().flat_map(|part| &part.seen))
    }

    /// Puts what a part noted on the shelf and hands out its value.
    pub(super) fn lay(&self, shelf: &mut Shelf<'_>, name: &str) -> Option<&T> {
        let part = self.parts.get(name)?;
        shelf.sources.extend(part.sources.iter().cloned());
        shelf.problems.extend(part.problems.iter().cloned());
        shelf.files += part.files;
        shelf.marks.extend(part.marks.iter().map(|(name, mark)| (Arc::clone(name), *mark)));
        part.value.as_ref()
    }
}
