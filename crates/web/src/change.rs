//! Changes of the site's files: edited as text so that comments and order stay, read again before they are written, written in
//! one step only if nobody else wrote meanwhile, and put into the history with who, when, before and after.

use std::sync::{MutexGuard, PoisonError};

use hyper::StatusCode;
use packs::{Change, HISTORY, Hunk, Problem, Source, entry, history_head};

use crate::server::Desk;
use crate::view::Trouble;
use crate::world::{Folder, Unsaved};

/// Longest name of a person.
const LONGEST_NAME: usize = 80;

/// Who makes a change.
///
/// # Errors
/// When no name was given, or one that is none.
pub(crate) fn who(name: &str) -> Result<String, String> {
    let name = name.trim();
    if name.is_empty() {
        return Err("say who you are: every change is kept with a name".into());
    }
    if name.chars().count() > LONGEST_NAME || name.chars().any(char::is_control) {
        return Err(format!("a name has at most {LONGEST_NAME} characters and no line ends"));
    }
    Ok(name.to_owned())
}

/// One file that is being changed, step by step.
pub(crate) struct Draft {
    file: String,
    /// The text on the disk; `None` while there is no such file.
    was: Option<String>,
    text: String,
    steps: Vec<(String, Hunk)>,
}

impl Draft {
    /// Of a file as it stands, or of one to be made.
    pub(crate) fn of(folder: &Folder, file: &str) -> Self {
        let was = folder.text(file).map(|t| t.to_string());
        Self { file: file.to_owned(), text: was.clone().unwrap_or_default(), was, steps: Vec::new() }
    }

    /// The text as it would be now.
    pub(crate) fn source(&self) -> Source {
        Source::new(self.file.as_str(), self.text.as_str())
    }

    /// Makes one change more.
    pub(crate) fn step(&mut self, what: &str, text: String) {
        if text != self.text {
            self.steps.push((what.to_owned(), Hunk::between(&self.text, &text)));
            self.text = text;
        }
    }

    /// Errors that the file did not have before; `read` reads it.
    pub(crate) fn came(&self, read: impl Fn(&Source) -> Vec<Problem>) -> Vec<Problem> {
        let before = self.was.as_ref().map(|was| read(&Source::new(self.file.as_str(), was.as_str()))).unwrap_or_default();
        let after = read(&self.source());
        after.into_iter().filter(|p| p.is_error() && !before.iter().any(|b| b.message == p.message)).collect()
    }
}

impl Desk {
    /// Keeps everybody else's changes waiting: hold it from reading to writing.
    pub(crate) fn one_at_a_time(&self) -> MutexGuard<'_, ()> {
        self.writing.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Writes a draft, and its steps into the history. Returns how many steps there were; with none nothing is written.
    pub(crate) fn write(&self, draft: &Draft, who: &str) -> Result<usize, Trouble> {
        if draft.steps.is_empty() {
            return Ok(0);
        }
        self.world.save(&draft.file, draft.was.as_deref(), &draft.text).map_err(|unsaved| match unsaved {
            Unsaved::Changed => Trouble::new(
                StatusCode::CONFLICT,
                format!("{} was changed by another program at this moment; nothing was written, send it again", draft.file),
            ),
            Unsaved::Disk(why) => Trouble::new(StatusCode::INSUFFICIENT_STORAGE, format!("nothing was written: {why}")),
        })?;
        for (what, hunk) in &draft.steps {
            self.note(who, &draft.file, what, hunk.clone(), true)?;
        }
        Ok(draft.steps.len())
    }

    /// Puts a line into the history; `written` is false for what somebody wanted but that gave way to another change.
    pub(crate) fn note(&self, who: &str, file: &str, what: &str, hunk: Hunk, written: bool) -> Result<(), Trouble> {
        let change = Change { when: self.world.now(), who: who.to_owned(), file: file.to_owned(), what: what.to_owned(), hunk, written };
        self.world
            .append(HISTORY, &history_head(), &entry(&change, false))
            .map_err(|why| Trouble::new(StatusCode::INSUFFICIENT_STORAGE, format!("{file} was written, but not the history: {why}")))
    }
}
