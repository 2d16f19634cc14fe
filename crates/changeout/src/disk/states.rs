//! In which state the files of a site are, told without opening one.

use std::fs;
use std::hash::{DefaultHasher, Hasher};
use std::path::Path;

/// The states of a site's files by their names, in order.
#[derive(Debug, Default)]
pub(crate) struct States(pub(super) Vec<(String, u64)>);

impl States {
    /// Which files there are where files are looked for, and the state of each, and of every other file that was read the last time.
    /// Cheap: no file is opened.
    pub(crate) fn now(folder: &Path, read: impl Iterator<Item = impl AsRef<str>>) -> Self {
        let mut names: Vec<String> = read.map(|name| name.as_ref().to_owned()).collect();
        names.extend(["site.toml", "decisions.toml", packs::HISTORY].map(str::to_owned));
        let inside = |below: &str| -> Vec<String> {
            let entries = fs::read_dir(folder.join(below)).into_iter().flatten().flatten();
            entries.map(|entry| format!("{below}/{}", entry.file_name().to_string_lossy())).collect()
        };
        names.extend(["positions", "cutover"].into_iter().flat_map(inside));
        names.extend(inside("packs").iter().flat_map(|pack| inside(pack)));
        names.sort_unstable();
        names.dedup();
        let state = |name: String| {
            let state = state_of(&folder.join(&name));
            (name, state)
        };
        Self(names.into_iter().map(state).collect())
    }

    pub(super) fn names(&self) -> impl Iterator<Item = &str> {
        self.0.iter().map(|(name, _)| name.as_str())
    }

    /// The state of a file; `None` where it is not known.
    pub(super) fn of(&self, name: &str) -> Option<u64> {
        let at = self.0.binary_search_by(|(own, _)| own.as_str().cmp(name)).ok()?;
        self.0.get(at).map(|(_, state)| *state)
    }

    /// Stands for all of them.
    pub(crate) fn stamp(&self) -> u64 {
        let mut stamp = DefaultHasher::new();
        for (name, state) in &self.0 {
            stamp.write(name.as_bytes());
            // No name holds this byte, so that none runs into the next.
            stamp.write_u8(0xff);
            stamp.write_u64(*state);
        }
        stamp.finish()
    }
}

/// Stands for the state of a file or folder: its size, time and number; 0 for what is not there. No file is opened.
pub(super) fn state_of(path: &Path) -> u64 {
    let Ok(data) = fs::metadata(path) else { return 0 };
    let mut state = DefaultHasher::new();
    state.write_u64(data.len());
    let time = data.modified().ok().and_then(|t| t.duration_since(std::time::UNIX_EPOCH).ok());
    state.write_u128(time.map_or(0, |t| t.as_nanos()));
    state.write_u64(number_of(&data));
    state.finish().max(1)
}

/// A file's number on its disk: a file that was written anew in one step has another.
#[cfg(unix)]
fn number_of(data: &fs::Metadata) -> u64 {
    std::os::unix::fs::MetadataExt::ino(data)
}

#[cfg(not(unix))]
fn number_of(_: &fs::Metadata) -> u64 {
    0
}
