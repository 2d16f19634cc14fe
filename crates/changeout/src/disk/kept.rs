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
    /// Files that were asked for and are not there: one that comes is news.
    pub(crate) fn missing(&self) -> impl Iterator<Item = &str> {
        let seen = [self.site.seen(), self.positions.seen(), self.decisions.seen(), self.packs.seen()];
        seen.into_iter().flatten().filter(|(_, state)| *state == 0).map(|(name, _)| name.as_str())
    }

    /// Whether what was read is the folder in one state: nothing has changed from before it was read until afterwards. Files that nobody
    /// knew of before were looked at before each was read.
    pub(crate) fn is_of_one_state(&self, before: &States, after: &States) -> bool {
        let gone = before.names().any(|name| after.of(name).is_none());
        let differ = after.0.iter().any(|(name, state)| before.of(name).is_some_and(|was| was != *state));
        let mut unknown = after.0.iter().filter(|(name, _)| before.of(name).is_none()).peekable();
        if gone || differ || unknown.peek().is_none() {
            return !gone && !differ;
        }
        // Several parts may have read one file: `None` where they saw it in different states.
        let mut seen: HashMap<&str, Option<u64>> = HashMap::new();
        for (name, state) in [self.site.seen(), self.positions.seen(), self.decisions.seen(), self.packs.seen()].into_iter().flatten() {
            seen.entry(name).and_modify(|own| *own = own.filter(|own| own == state)).or_insert(Some(*state));
        }
        unknown.all(|(name, state)| seen.get(name.as_str()) == Some(&Some(*state)))
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

#[cfg(test)]
mod tests {
    use super::*;

    fn states(list: &[(&str, u64)]) -> States {
        States(list.iter().map(|(name, state)| ((*name).to_owned(), *state)).collect())
    }

    fn part(list: &[(&str, u64)]) -> Part<Position> {
        let States(seen) = states(list);
        Part { value: None, sources: Vec::new(), problems: Vec::new(), files: 0, marks: BTreeMap::new(), seen }
    }

    #[test]
    fn a_folder_that_changed_while_it_was_read_is_of_no_one_state() {
        let mut kept = Kept::default();
        kept.positions.parts.insert("a".into(), part(&[("a.toml", 1), ("list.csv", 7)]));
        let before = states(&[("a.toml", 1)]);
        let after = |list: &[(&str, u64)], kept: &Kept| kept.is_of_one_state(&before, &states(list));
        assert!(after(&[("a.toml", 1)], &kept));
        assert!(after(&[("a.toml", 1), ("list.csv", 7)], &kept), "what nobody knew of was looked at before it was read");
        assert!(!after(&[("a.toml", 2), ("list.csv", 7)], &kept), "a file was changed");
        assert!(!after(&[("a.toml", 1), ("list.csv", 8)], &kept), "a file that was named for the first time was changed");
        assert!(!after(&[("a.toml", 1), ("b.toml", 3)], &kept), "a file has come that nobody has read");
        assert!(!after(&[("list.csv", 7)], &kept), "a file has gone");
        kept.positions.parts.insert("b".into(), part(&[("list.csv", 6)]));
        assert!(!after(&[("a.toml", 1), ("list.csv", 7)], &kept), "two positions read one file in two states");
    }
}
