//! What was read of a site's folder, kept, so that only what has changed is read again.

use std::collections::{BTreeMap, HashMap};
use std::path::Path;
use std::sync::Arc;

use packs::{DecisionsFile, Problem, Source};
use plant::position::{Position, Site};
use plant::product::Series;
use rayon::prelude::*;

use super::{Shelf, state_of};

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
    marks: BTreeMap<String, u64>,
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

    fn is_current(&self, folder: &Path) -> bool {
        self.seen.iter().all(|(name, state)| state_of(&folder.join(name)) == *state)
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
    /// Brings the parts of these names up to date and forgets all others; `true` when one was read again or has gone.
    pub(super) fn renew(&mut self, folder: &Path, names: &[String], read: impl Fn(&mut Shelf<'_>, &str) -> Option<T> + Sync) -> bool {
        let wanted: Vec<(&String, Option<Part<T>>)> = names.iter().map(|name| (name, self.parts.remove(name))).collect();
        let gone = !self.parts.is_empty();
        let renewed: Vec<(String, Part<T>, bool)> = wanted
            .into_par_iter()
            .map(|(name, was)| match was.filter(|part| part.is_current(folder)) {
                Some(part) => (name.clone(), part, false),
                None => (name.clone(), Part::read(folder, |shelf| read(shelf, name)), true),
            })
            .collect();
        let fresh = gone || renewed.iter().any(|(_, _, fresh)| *fresh);
        self.parts = renewed.into_iter().map(|(name, part, _)| (name, part)).collect();
        fresh
    }

    /// Puts what a part noted on the shelf and hands out its value.
    pub(super) fn lay(&self, shelf: &mut Shelf<'_>, name: &str) -> Option<&T> {
        let part = self.parts.get(name)?;
        shelf.sources.extend(part.sources.iter().cloned());
        shelf.problems.extend(part.problems.iter().cloned());
        shelf.files += part.files;
        shelf.marks.extend(part.marks.iter().map(|(name, mark)| (name.clone(), *mark)));
        part.value.as_ref()
    }
}
