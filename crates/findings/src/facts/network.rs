//! The network words of both sides, for checks.

use plant::network::{FaultCode, Layout};

use super::{Reader, Stop};
use crate::candidate::Candidate;

/// The old drive's layout, and the one that the new series would use.
#[derive(Clone, Copy, Debug)]
pub struct WordPair<'s, 'c> {
    /// In use at the position.
    pub old: &'s Layout,
    /// Wanted, or the best of the new series; `None` when it has none, or not the wanted one.
    pub new: Option<&'c Layout>,
}

impl<'s> Reader<'s> {
    /// The layouts of both sides; `None` at a position that is on no network.
    ///
    /// # Errors
    /// [`Stop::PackSilent`] when the old drive is on a network and its layout is not known.
    pub fn words<'c>(&self, unit: &Candidate<'c>) -> Result<Option<WordPair<'s, 'c>>, Stop> {
        let Some(used) = &self.survey.position.network else { return Ok(None) };
        let Some(old) = &self.survey.old_words.layout else {
            return Err(Stop::PackSilent("the words of the old drive ([network] layout, and layouts.csv of its series)"));
        };
        let new = match &used.wanted {
            Some(name) => unit.series.layout(name),
            None => transfer::words::choose(old, &unit.series.layouts),
        };
        Ok(Some(WordPair { old, new }))
    }

    /// The same, but `None` also where the new series has no layout to compare: that alone is `words/refused-by-master`.
    ///
    /// # Errors
    /// As [`Reader::words`].
    pub fn both_words<'c>(&self, unit: &Candidate<'c>) -> Result<Option<(&'s Layout, &'c Layout)>, Stop> {
        Ok(self.words(unit)?.and_then(|pair| pair.new.map(|new| (pair.old, new))))
    }

    /// Fault codes of the old series; empty when its pack is not there or has none.
    #[must_use]
    pub fn old_faults(&self) -> &'s [FaultCode] {
        &self.survey.old_words.faults
    }
}
