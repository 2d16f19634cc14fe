//! The files of this repository as the chores see them: all that version control would keep, read once.

use std::path::{Path, PathBuf};

use crate::Failure;

/// The folder of the repository.
pub(crate) fn root() -> PathBuf {
    // Set by cargo at run time too, so that a folder that was moved is still found.
    let own = std::env::var_os("CARGO_MANIFEST_DIR").map_or_else(|| PathBuf::from(env!("CARGO_MANIFEST_DIR")), PathBuf::from);
    own.parent().map_or(own.clone(), Path::to_path_buf)
}

/// Where everything goes that can be made again.
pub(crate) fn target() -> PathBuf {
    std::env::var_os("CARGO_TARGET_DIR").map_or_else(|| root().join("target"), |dir| root().join(dir))
}

/// One file.
#[derive(Debug)]
pub(crate) struct File {
    /// Path from the root, with "/".
    pub(crate) path: String,
    /// Its text; empty when it is no text.
    pub(crate) text: String,
}

impl File {
    /// Name without folders.
    pub(crate) fn name(&self) -> &str {
        self.path.rsplit('/').next().unwrap_or(&self.path)
    }
}

/// Every file that version control would keep, in order of path.
#[derive(Debug, Default)]
pub(crate) struct Tree {
    /// The files.
    pub(crate) files: Vec<File>,
}

impl Tree {
    /// Reads the repository.
    ///
    /// # Errors
    /// When a folder or file can't be read.
    pub(crate) fn read(root: &Path) -> Result<Self, Failure> {
        let files = paths(root)?.into_iter().map(|path| {
            let text = String::from_utf8(std::fs::read(root.join(&path))?).unwrap_or_default();
            Ok(File { path, text })
        });
        Ok(Self { files: files.collect::<Result<_, Failure>>()? })
    }

    /// The text of a file; empty when there is none.
    pub(crate) fn text(&self, path: &str) -> &str {
        self.files.iter().find(|f| f.path == path).map_or("", |f| &f.text)
    }

    /// Whether a file is there.
    pub(crate) fn has(&self, path: &str) -> bool {
        self.files.iter().any(|f| f.path == path)
    }

    /// Whether a folder is there.
    pub(crate) fn has_folder(&self, path: &str) -> bool {
        let inside = format!("{}/", path.trim_end_matches('/'));
        self.files.iter().any(|f| f.path.starts_with(&inside))
    }

    /// The files whose name ends so.
    pub(crate) fn ending<'t>(&'t self, end: &'t str) -> impl Iterator<Item = &'t File> {
        self.files.iter().filter(move |f| f.path.ends_with(end))
    }

    /// A repository made up for a test.
    #[cfg(test)]
    pub(crate) fn of(files: &[(&str, &str)]) -> Self {
        Self { files: files.iter().map(|(path, text)| File { path: (*path).to_owned(), text: (*text).to_owned() }).collect() }
    }
}

/// The paths of every file that version control would keep, sorted.
///
/// # Errors
/// When a folder can't be read.
pub(crate) fn paths(root: &Path) -> Result<Vec<String>, Failure> {
    let ignored = std::fs::read_to_string(root.join(".gitignore")).unwrap_or_default();
    let ignored: Vec<&str> = ignored.lines().map(str::trim).filter(|l| !l.is_empty() && !l.starts_with('#')).collect();
    let mut paths = Vec::new();
    let mut folders = vec![String::new()];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(root.join(&folder))? {
            let entry = entry?;
            let name = entry.file_name().to_string_lossy().into_owned();
            let path = if folder.is_empty() { name.clone() } else { format!("{folder}/{name}") };
            if name == ".git" || ignored.iter().any(|i| is_ignored(&path, &name, i)) {
                continue;
            }
            if entry.file_type()?.is_dir() { folders.push(path) } else { paths.push(path) }
        }
    }
    paths.sort();
    Ok(paths)
}

/// The two forms of line that our .gitignore uses: "/path/from/root" and "name anywhere".
fn is_ignored(path: &str, name: &str, line: &str) -> bool {
    let line = line.trim_end_matches('/');
    line.strip_prefix('/').map_or(line == name, |anchored| anchored == path)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_ignored_is_not_seen() {
        assert!(is_ignored("fuzz/target", "target", "/fuzz/target") && is_ignored("a/__pycache__", "__pycache__", "__pycache__/"));
        assert!(!is_ignored("crates/target", "target", "/target") && !is_ignored("targets", "targets", "/target"));
    }

    #[test]
    fn the_repository_is_read_without_what_is_made_from_it() {
        let tree = Tree::read(&root()).unwrap();
        assert!(tree.has("xtask/src/tree.rs") && tree.has_folder("xtask/src/") && tree.has(".gitignore"));
        assert!(!tree.has_folder("target") && !tree.has_folder(".git"));
    }
}
