//! The world of the desk: a site's folder on this machine's disk, its date and its clock.

use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};

use packs::{DecisionsFile, HISTORY, read_history};
use web::{File, Folder, Unsaved, World};

use crate::{date, disk};

/// How often a folder is read again that changes while it is read.
const READINGS: usize = 4;

/// A site's folder, read again whenever something in it has changed.
#[derive(Debug)]
pub(crate) struct OnDisk {
    site: PathBuf,
    /// The date that was asked for on the command line.
    date: Option<String>,
    kept: Mutex<Option<(u64, Arc<Folder>)>>,
}

impl OnDisk {
    pub(crate) fn new(site: &Path, date: Option<String>) -> Self {
        Self { site: site.to_owned(), date, kept: Mutex::default() }
    }

    fn read(&self) -> Result<Folder, String> {
        let loaded = disk::load_site(&self.site).map_err(|failure| failure.to_string())?;
        let history = disk::text_if_there(&self.site.join(HISTORY)).map_err(|e| format!("{HISTORY} cannot be read: {e}"))?;
        let mut marks = loaded.marks;
        let mut texts: std::collections::HashMap<Arc<str>, Arc<str>> = loaded.found.texts.into_iter().collect();
        if let Some(text) = &history {
            texts.insert(HISTORY.into(), text.as_str().into());
            marks.insert(HISTORY.to_owned(), 0);
        }
        let files = marks.into_iter().map(|(name, mark)| {
            let name: Arc<str> = name.into();
            (name.clone(), File { text: texts.get(&name).cloned(), mark })
        });
        Ok(Folder {
            stamp: 0,
            site: loaded.site,
            positions: loaded.positions,
            packs: loaded.packs,
            decisions: DecisionsFile { decisions: loaded.decisions, readings: loaded.readings },
            problems: loaded.found.problems,
            files: files.collect(),
            history: history.as_deref().map(read_history).unwrap_or_default(),
        })
    }

    fn path(&self, name: &str) -> Result<PathBuf, String> {
        // Names come from what was read of this site or from a tag that was looked at; this is the last gate before the disk.
        let plain = |part: &str| !part.is_empty() && part != ".." && part != "." && !part.contains(['\\', ':', '\0']);
        if name.split('/').all(plain) { Ok(self.site.join(name)) } else { Err(format!("“{name}” is no file of the site")) }
    }
}

impl World for OnDisk {
    fn folder(&self) -> Result<Arc<Folder>, String> {
        let mut kept = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        let names = |folder: &Folder| folder.files.keys().map(|n| PathBuf::from(&**n)).collect::<Vec<_>>();
        if let Some((stamp, folder)) = &*kept
            && disk::stamp(&self.site, names(folder).iter()) == *stamp
        {
            return Ok(Arc::clone(folder));
        }
        // A file that changes while others are read would leave a mixture, and one that changes before it is looked at, unnoticed.
        let before = kept.as_ref().map_or_else(Vec::new, |(_, folder)| names(folder));
        let mut folder = Folder::default();
        for _ in 0..READINGS {
            let seen = disk::stamp(&self.site, before.iter());
            folder = self.read()?;
            if disk::stamp(&self.site, before.iter()) == seen {
                break;
            }
        }
        let stamp = disk::stamp(&self.site, names(&folder).iter());
        folder.stamp = stamp;
        let folder = Arc::new(folder);
        *kept = Some((stamp, Arc::clone(&folder)));
        Ok(folder)
    }

    fn save(&self, name: &str, was: Option<&str>, text: &str) -> Result<(), Unsaved> {
        let path = self.path(name).map_err(Unsaved::Disk)?;
        let own = disk::text_if_there(&path).map_err(|e| Unsaved::Disk(format!("{name} cannot be read: {e}")))?;
        if own.as_deref() != was {
            return Err(Unsaved::Changed);
        }
        let written = if was.is_none() { disk::write_new(&path, text) } else { disk::write_atomically(&path, text) };
        written.map_err(|failure| Unsaved::Disk(failure.to_string()))
    }

    fn append(&self, name: &str, text: &str) -> Result<(), String> {
        disk::append(&self.path(name)?, text).map_err(|e| format!("{name} cannot be written: {e}"))
    }

    fn today(&self) -> String {
        self.date.clone().unwrap_or_else(date::today)
    }

    fn now(&self) -> String {
        date::now()
    }
}
