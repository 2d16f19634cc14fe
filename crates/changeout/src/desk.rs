//! The world of the desk: a site's folder on this machine's disk, its date and its clock.

use std::collections::{BTreeMap, HashMap};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};

use dossier::paper::Binder;
use packs::{DecisionsFile, HISTORY};
use web::{File, Folder, Unsaved, World};

use crate::{commands, date, disk};

/// How often a folder is read again that changes while it is read.
const READINGS: usize = 4;

/// A site's folder, read again whenever something in it has changed.
#[derive(Debug)]
pub(crate) struct OnDisk {
    site: PathBuf,
    /// The date that was asked for on the command line.
    date: Option<String>,
    kept: Mutex<Reading>,
}

/// What was read the last time.
#[derive(Debug, Default)]
struct Reading {
    folder: Option<Arc<Folder>>,
    /// Its parts, so that only what has changed is read again.
    parts: disk::Kept,
}

impl OnDisk {
    pub(crate) fn new(site: &Path, date: Option<String>) -> Self {
        Self { site: site.to_owned(), date, kept: Mutex::default() }
    }

    fn read(&self, parts: &mut disk::Kept, states: &disk::States) -> Result<Folder, String> {
        let loaded = disk::load_again(&self.site, parts, states).map_err(|failure| failure.to_string())?;
        let history = disk::text_if_there(&self.site.join(HISTORY)).map_err(|e| format!("{HISTORY} cannot be read: {e}"))?;
        let mut marks = loaded.marks;
        let mut texts: HashMap<Arc<str>, Arc<str>> = loaded.found.texts.into_iter().collect();
        if let Some(text) = &history {
            texts.insert(HISTORY.into(), text.as_str().into());
            marks.insert(HISTORY.into(), 0);
        }
        let files = marks.into_iter().map(|(name, mark)| {
            let text = texts.remove(&name);
            (name, File { text, mark })
        });
        Ok(Folder {
            stamp: 0,
            site: loaded.site,
            positions: loaded.positions,
            packs: loaded.packs,
            decisions: DecisionsFile { decisions: loaded.decisions, readings: loaded.readings },
            ticks: loaded.ticks,
            problems: loaded.found.problems,
            files: files.collect(),
            ..Folder::default()
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
        let Reading { folder: last, parts } = &mut *kept;
        let mut before =
            disk::States::now(&self.site, last.iter().flat_map(|folder| folder.files.keys()).map(|name| &**name).chain(parts.missing()));
        if let Some(folder) = last
            && before.stamp() == folder.stamp
        {
            return Ok(Arc::clone(folder));
        }
        let mut folder = Folder::default();
        for _ in 0..READINGS {
            folder = self.read(parts, &before)?;
            let after = disk::States::now(&self.site, folder.files.keys().map(|name| &**name).chain(parts.missing()));
            // A file that changes while others are read would leave a mixture: read again, now or when somebody asks the next time.
            folder.stamp = before.stamp();
            if parts.is_of_one_state(&before, &after) {
                folder.stamp = after.stamp();
                break;
            }
            before = after;
        }
        let folder = Arc::new(folder);
        *last = Some(Arc::clone(&folder));
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

    fn keep(&self, name: &str, bytes: &[u8]) -> Result<(), Unsaved> {
        let path = self.path(name).map_err(Unsaved::Disk)?;
        if disk::is_there(&path) {
            return Err(Unsaved::Changed);
        }
        disk::write_new(&path, bytes).map_err(|failure| Unsaved::Disk(failure.to_string()))
    }

    fn proof(&self, name: &str) -> Option<Vec<u8>> {
        disk::bytes_inside(&self.site, &self.path(name).ok()?, web::LONGEST_UPLOAD)
    }

    fn append(&self, name: &str, head: &str, text: &str) -> Result<(), String> {
        disk::append(&self.path(name)?, head, text).map_err(|e| format!("{name} cannot be written: {e}"))
    }

    fn papers(&self, folder: &Folder, binder: &Binder) -> Result<BTreeMap<String, Vec<u8>>, String> {
        let texts = folder.files.iter().filter_map(|(name, file)| Some((&**name, &**file.text.as_ref()?)));
        let (files, _) =
            commands::dossier::all_files(binder, texts, commands::dossier::size(folder.site.units, None)).map_err(|f| f.to_string())?;
        Ok(files)
    }

    fn today(&self) -> String {
        self.date.clone().unwrap_or_else(date::today)
    }

    fn now(&self) -> String {
        date::now()
    }
}
