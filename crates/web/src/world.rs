//! The one door to everything outside: the site's folder, the date, the clock.

use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock};

use job::cutover::Ticks;
use packs::{DecisionsFile, HISTORY, History, Problem, read_history};
use plant::position::{Position, Site};
use plant::product::Series;

/// What the desk needs of the machine it runs on. The binary provides it; tests may provide another.
pub trait World: Send + Sync + 'static {
    /// The folder as it stands now; cheap when nothing has changed.
    ///
    /// # Errors
    /// A sentence, when the folder cannot be read or is no site any more.
    fn folder(&self) -> Result<Arc<Folder>, String>;

    /// Writes a file of the site in one step, if it still holds `was` (`None`: is not there yet).
    ///
    /// # Errors
    /// When it holds something else by now, or cannot be written.
    fn save(&self, name: &str, was: Option<&str>, text: &str) -> Result<(), Unsaved>;

    /// Keeps a file that came with a form, if there is none of that name yet.
    ///
    /// # Errors
    /// [`Unsaved::Changed`] when there is one, or when it cannot be written.
    fn keep(&self, name: &str, bytes: &[u8]) -> Result<(), Unsaved>;

    /// A proof of the site that was kept or put there by hand; `None` when it is not there, too large, or not inside of the site's folder.
    fn proof(&self, name: &str) -> Option<Vec<u8>>;

    /// Appends to a file of the site, which is made first, beginning with `head`, where it is missing.
    ///
    /// # Errors
    /// A sentence, when that cannot be done.
    fn append(&self, name: &str, head: &str, text: &str) -> Result<(), String>;

    /// The files of a position's papers by their names, with "/" between folders: PDF, tables, drawings, and all of them as `all.zip`.
    ///
    /// # Errors
    /// A sentence, when one cannot be made.
    fn papers(&self, folder: &Folder, binder: &dossier::paper::Binder) -> Result<BTreeMap<String, Vec<u8>>, String>;

    /// The date of the papers, ISO 8601.
    fn today(&self) -> String;

    /// The time in UTC: "2026-03-02T10:15:00Z".
    fn now(&self) -> String;
}

/// Why a file was not written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Unsaved {
    /// Somebody else has changed it.
    Changed,
    /// The disk refused.
    Disk(String),
}

/// A site's folder as it was read.
#[derive(Debug, Default)]
pub struct Folder {
    /// Stands for all of its files: changes whenever one of them does.
    pub stamp: u64,
    /// The site.
    pub site: Site,
    /// Its positions with later readings put in, by tag.
    pub positions: Arc<Vec<Position>>,
    /// Its packs.
    pub packs: Arc<Vec<Series>>,
    /// What people decided.
    pub decisions: DecisionsFile,
    /// What is ticked off of each position's cutover.
    pub ticks: Ticks,
    /// What is wrong.
    pub problems: Vec<Problem>,
    /// Every file that was read, by its name from the site's folder, with "/" between its parts.
    pub files: BTreeMap<Arc<str>, File>,
    /// What was changed through the desk, once somebody has asked for it.
    pub history: OnceLock<History>,
}

/// One file of a site.
#[derive(Clone, Debug, Default)]
pub struct File {
    /// Its text; `None` for a workbook, or one that is no text.
    pub text: Option<Arc<str>>,
    /// Stands for its contents.
    pub mark: u64,
}

impl Folder {
    /// The text of a file.
    #[must_use]
    pub fn text(&self, name: &str) -> Option<&Arc<str>> {
        self.files.get(name).and_then(|f| f.text.as_ref())
    }

    /// What was changed through the desk.
    #[must_use]
    pub fn history(&self) -> &History {
        self.history.get_or_init(|| self.text(HISTORY).map(|text| read_history(text)).unwrap_or_default())
    }

    /// The position of that tag.
    #[must_use]
    pub fn position(&self, tag: &str) -> Option<&Position> {
        self.positions.iter().find(|p| p.tag == tag)
    }
}
