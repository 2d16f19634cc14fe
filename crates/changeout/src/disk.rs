//! The disk: reads a site's folder, and writes files so that a kill leaves the old one or the new one, never half of one.
#![expect(clippy::disallowed_methods, reason = "this file is the program's only door to the disk")]

mod kept;
mod states;

use std::collections::BTreeMap;
use std::fs;
use std::hash::{DefaultHasher, Hasher};
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use job::cutover::Ticks;
use packs::{
    DecisionsFile, LOG_BYTES, PackFile, Problem, SHEET_BYTES, Severity, Source, TEXT_BYTES, apply_readings, check_site, read_current_log,
    read_decisions, read_pack, read_position, read_settings_list, read_site, read_ticks, read_wire_list,
};
use plant::decision::Decisions;
use plant::fact::Place;
use plant::position::{Position, Site};
use plant::product::Series;

use crate::problems::{Failure, Found};
pub(crate) use kept::Kept;
pub(crate) use states::States;
use states::state_of;

/// A site as read from its folder.
#[derive(Debug)]
pub(crate) struct Loaded {
    /// Its folder.
    folder: PathBuf,
    /// The site.
    pub(crate) site: Site,
    /// Its positions with later readings put in, by tag.
    pub(crate) positions: Arc<Vec<Position>>,
    /// Its packs.
    pub(crate) packs: Arc<Vec<Series>>,
    /// What people decided.
    pub(crate) decisions: Decisions,
    /// What is ticked off of each position's cutover.
    pub(crate) ticks: Ticks,
    /// What is wrong.
    pub(crate) found: Found,
    /// Files that were read.
    pub(crate) files: usize,
    /// Readings taken later, which the positions hold already.
    pub(crate) readings: Vec<packs::Reading>,
    /// What stands for the contents of each file that was read, by its name.
    pub(crate) marks: BTreeMap<Arc<str>, u64>,
}

impl Loaded {
    /// The path behind a file's name as places show it.
    pub(crate) fn path_of(&self, name: &str) -> PathBuf {
        self.folder.join(name)
    }

    /// The texts of its files by their names.
    pub(crate) fn texts(&self) -> impl Iterator<Item = (&str, &str)> {
        self.found.texts.iter().map(|(name, text)| (&**name, &**text))
    }
}

/// What `check` learned of one path.
#[derive(Debug, Default)]
pub(crate) struct Checked {
    /// Problems and texts.
    pub(crate) found: Found,
    /// Files that were read.
    pub(crate) files: usize,
}

/// Reads the files of one folder, keeping texts and problems.
struct Shelf<'f> {
    folder: &'f Path,
    sources: Vec<Source>,
    problems: Vec<Problem>,
    files: usize,
    marks: BTreeMap<Arc<str>, u64>,
    /// What was looked at, each with its state from before.
    seen: Vec<(String, u64)>,
}

impl<'f> Shelf<'f> {
    fn new(folder: &'f Path) -> Self {
        Self { folder, sources: Vec::new(), problems: Vec::new(), files: 0, marks: BTreeMap::new(), seen: Vec::new() }
    }
}

impl Shelf<'_> {
    /// Bytes of a file below the folder; a little more than `most` at the most, so that too large a file is told, not read. `None`
    /// with a problem when it cannot be read: the other files are still looked at.
    fn bytes(&mut self, name: &str, most: usize) -> Option<Vec<u8>> {
        self.files += 1;
        self.look_at(name);
        let path = self.folder.join(name);
        let read = fs::metadata(&path).and_then(|data| {
            if !data.is_file() {
                // A pipe would be waited for without end.
                return Err(std::io::Error::other("it is no regular file"));
            }
            let mut bytes = Vec::new();
            fs::File::open(&path)?.take(most as u64 + 1).read_to_end(&mut bytes)?;
            Ok(bytes)
        });
        match read {
            Ok(bytes) => {
                let mut mark = DefaultHasher::new();
                mark.write(&bytes);
                self.marks.insert(name.into(), mark.finish());
                Some(bytes)
            }
            Err(error) => {
                self.problem(name, format!("this cannot be read: {error}"), "put a readable file there, or take it away");
                None
            }
        }
    }

    /// Notes the state of a file or folder before it is read: once it has another, what was read is out of date.
    fn look_at(&mut self, name: &str) {
        self.seen.push((name.to_owned(), state_of(&self.folder.join(name))));
    }

    /// Notes that a file as a whole is wrong.
    fn problem(&mut self, name: &str, message: String, help: &str) {
        self.problems.push(Problem {
            severity: Severity::Error,
            file: name.into(),
            span: None,
            line: 0,
            column: 0,
            cell: None,
            message,
            help: help.into(),
        });
    }

    /// The text of a file below the folder; `None` with a problem when it is no text.
    fn source(&mut self, name: &str, most: usize) -> Option<Source> {
        let bytes = self.bytes(name, most)?;
        match Source::from_bytes(name, &bytes, most) {
            Ok(source) => {
                self.sources.push(source.clone());
                Some(source)
            }
            Err(problem) => {
                self.problems.push(problem);
                None
            }
        }
    }

    fn keep<T>(&mut self, read: packs::Read<T>) -> Option<T> {
        self.problems.extend(read.problems);
        read.value
    }

    /// Names of the entries of a folder below this one, sorted; empty when there is none of that name.
    fn names(&mut self, below: &str, folders: bool) -> Vec<String> {
        self.look_at(below);
        let path = self.folder.join(below);
        if fs::symlink_metadata(&path).is_err() {
            return Vec::new();
        }
        let listed = fs::read_dir(&path).and_then(|entries| {
            let mut names = Vec::new();
            for entry in entries {
                let entry = entry?;
                let name = entry.file_name().to_string_lossy().into_owned();
                // What a link leads to is asked of the disk; all else the list tells.
                let kind = entry.file_type()?;
                let folder = if kind.is_symlink() { entry.path().is_dir() } else { kind.is_dir() };
                if folder == folders && !name.starts_with(['.', '~']) {
                    names.push(name);
                }
            }
            names.sort_unstable();
            Ok(names)
        });
        listed.unwrap_or_else(|error| {
            self.problem(below, format!("this folder cannot be read: {error}"), "put a readable folder there, or take it away");
            Vec::new()
        })
    }

    fn pack(&mut self, below: &str, series: &str) -> Option<Series> {
        let mut files = Vec::new();
        for name in self.names(below, false) {
            let full = if below.is_empty() { name } else { format!("{below}/{name}") };
            let (table, book) = (full.ends_with(".toml") || full.ends_with(".csv"), full.ends_with(".xlsx"));
            if (table || book)
                && let Some(bytes) = self.bytes(&full, if book { SHEET_BYTES } else { TEXT_BYTES })
            {
                if table && let Ok(text) = std::str::from_utf8(&bytes) {
                    self.sources.push(Source::new(full.as_str(), text));
                }
                files.push((full, bytes));
            }
        }
        let files: Vec<PackFile<'_>> = files.iter().map(|(name, bytes)| PackFile { name, bytes }).collect();
        let read = read_pack(&files, series);
        self.keep(read)
    }

    fn position(&mut self, name: &str) -> Option<Position> {
        let source = self.source(name, TEXT_BYTES)?;
        let read = read_position(&source);
        let file = self.keep(read)?;
        let mut position = file.position;
        if let Some(log) = file.log
            && self.is_named("log", "the log", &log.path, &log.place)
            && let Some(text) = self.source(&log.path, LOG_BYTES)
        {
            let read = read_current_log(&text, log.repeats);
            position.current_log = self.keep(read).map(Into::into);
        }
        if let Some(list) = file.list
            && self.is_named("settings", "the list", &list.path, &list.place)
        {
            let most = if list.path.ends_with(".xlsx") { SHEET_BYTES } else { TEXT_BYTES };
            if let Some(bytes) = self.bytes(&list.path, most) {
                if let Ok(text) = std::str::from_utf8(&bytes) {
                    self.sources.push(Source::new(list.path.as_str(), text));
                }
                let read = read_settings_list(&list.path, &bytes, list.extent, list.place);
                position.settings = self.keep(read).map(Into::into);
            }
        }
        if let Some(list) = file.wires
            && self.is_named("wires", "the list", &list.path, &list.place)
        {
            let most = if list.path.ends_with(".xlsx") { SHEET_BYTES } else { TEXT_BYTES };
            if let Some(bytes) = self.bytes(&list.path, most) {
                if let Ok(text) = std::str::from_utf8(&bytes) {
                    self.sources.push(Source::new(list.path.as_str(), text));
                }
                let read = read_wire_list(&list.path, &bytes, list.place);
                position.wires = self.keep(read).map(Into::into);
            }
        }
        Some(position)
    }

    /// Whether a file that a position names may be read; tells what is wrong otherwise.
    fn is_named(&mut self, table: &str, what: &str, path: &str, place: &Place) -> bool {
        self.look_at(path);
        let (message, help) = match self.inside(path) {
            Some(true) if self.folder.join(path).is_file() => return true,
            Some(true) => (format!("[{table}] names {path}, which is no file"), "the path starts at the site's folder".to_owned()),
            // What a link shows of the rest of the disk is nobody's business here.
            Some(false) => (format!("[{table}] names {path}, which leads out of the site's folder"), format!("copy {what} into the site")),
            None => (format!("[{table}] names {path}, which is not there"), "the path starts at the site's folder".to_owned()),
        };
        self.problems.push(Problem {
            severity: Severity::Error,
            file: place.file.clone(),
            span: None,
            line: place.line,
            column: 1,
            cell: None,
            message,
            help,
        });
        false
    }

    /// Whether a file, links followed, lies in the site's folder; `None` when there is none.
    fn inside(&self, name: &str) -> Option<bool> {
        let file = fs::canonicalize(self.folder.join(name)).ok()?;
        Some(fs::canonicalize(self.folder).is_ok_and(|folder| file.starts_with(folder)))
    }

    fn found(self) -> Found {
        Found { problems: self.problems, texts: self.sources.iter().map(|s| (s.name().clone(), Arc::clone(s.shared_text()))).collect() }
    }
}

/// Refuses a folder that is no site.
pub(crate) fn is_site(folder: &Path) -> Result<(), Failure> {
    if folder.join("site.toml").is_file() {
        return Ok(());
    }
    Err(Failure::Usage(format!("{0} is no site: it has no site.toml; changeout new {0} lays one out", folder.display())))
}

/// Reads a site's folder.
pub(crate) fn load_site(folder: &Path) -> Result<Loaded, Failure> {
    load_again(folder, &mut Kept::default(), &States::default())
}

/// Reads a site's folder; of what is kept from the last time only that which has changed since, by the states of its files where they are
/// known.
pub(crate) fn load_again(folder: &Path, kept: &mut Kept, states: &States) -> Result<Loaded, Failure> {
    is_site(folder)?;
    let mut shelf = Shelf::new(folder);
    let mut fresh = kept.site.renew(folder, states, &["site.toml".to_owned()], |shelf, name| {
        let read = read_site(&shelf.source(name, TEXT_BYTES)?);
        shelf.keep(read)
    });
    let site = kept.site.lay(&mut shelf, "site.toml").cloned();
    let names: Vec<String> =
        shelf.names("positions", false).into_iter().filter(|n| n.ends_with(".toml")).map(|n| format!("positions/{n}")).collect();
    let mut surveyed = kept.positions.renew(folder, states, &names, |shelf, name| shelf.position(name));
    let positions: Vec<&Position> = names.iter().filter_map(|name| kept.positions.lay(&mut shelf, name)).collect();
    let file = Some("decisions.toml".to_owned()).filter(|name| fs::symlink_metadata(folder.join(name)).is_ok());
    surveyed |= kept.decisions.renew(folder, states, file.as_slice(), |shelf, name| {
        let read = read_decisions(&shelf.source(name, TEXT_BYTES)?);
        shelf.keep(read)
    });
    let decisions = kept.decisions.lay(&mut shelf, "decisions.toml").cloned().unwrap_or_default();
    if surveyed {
        kept.joined = Arc::new(positions.into_iter().cloned().collect());
    }
    let ticks = ticks(&mut shelf, site.as_ref(), &kept.joined);
    let series = shelf.names("packs", true);
    let packed = kept.packs.renew(folder, states, &series, |shelf, series| shelf.pack(&format!("packs/{series}"), series));
    let packs: Vec<&Series> = series.iter().filter_map(|series| kept.packs.lay(&mut shelf, series)).collect();
    if packed {
        kept.series = Arc::new(packs.into_iter().cloned().collect());
    }
    fresh |= surveyed || packed;
    if fresh {
        // Without a site nothing can be held against it: what it does not say would all come out wrong.
        kept.between = site.as_ref().map_or_else(Vec::new, |s| check_site(s, &kept.joined, &kept.series, &decisions, &shelf.sources));
    }
    shelf.problems.extend(kept.between.iter().cloned());
    if surveyed {
        let joined = Arc::make_mut(&mut kept.joined);
        apply_readings(joined, &decisions.readings);
        joined.sort_by(|a, b| a.tag.cmp(&b.tag));
    }
    let (files, marks) = (shelf.files, std::mem::take(&mut shelf.marks));
    let DecisionsFile { decisions, readings } = decisions;
    Ok(Loaded {
        folder: folder.to_owned(),
        site: site.unwrap_or_default(),
        positions: Arc::clone(&kept.joined),
        packs: Arc::clone(&kept.series),
        decisions,
        ticks,
        found: shelf.found(),
        files,
        readings,
        marks,
    })
}

/// What is ticked off of each position's cutover.
fn ticks(shelf: &mut Shelf<'_>, site: Option<&Site>, positions: &[Position]) -> Ticks {
    let mut ticks = Ticks::new();
    for name in shelf.names("cutover", false).into_iter().filter(|n| n.ends_with(".toml")) {
        let window = site.and_then(|s| s.shutdown.window.as_ref());
        let tag = name.trim_end_matches(".toml").to_owned();
        if !positions.iter().any(|p| p.tag == tag) {
            shelf.problem(
                &format!("cutover/{name}"),
                format!("the site has no position “{tag}”"),
                "ticks stand in a file named after the tag",
            );
        }
        if let Some(source) = shelf.source(&format!("cutover/{name}"), TEXT_BYTES) {
            let read = read_ticks(&source, window);
            ticks.insert(tag, shelf.keep(read).unwrap_or_default());
        }
    }
    ticks
}

/// Reads a site's folder, a pack's folder or one file, for what is wrong in it.
pub(crate) fn check_path(path: &Path) -> Result<Checked, Failure> {
    if path.is_dir() {
        if path.join("site.toml").is_file() {
            let loaded = load_site(path)?;
            return Ok(Checked { found: loaded.found, files: loaded.files });
        }
        if !path.join("pack.toml").exists() {
            let shown = path.display();
            return Err(Failure::Usage(format!("{shown} is neither a site nor a pack: it has no site.toml and no pack.toml")));
        }
        let full = fs::canonicalize(path).map_err(Failure::disk("read", path))?;
        let series = full.file_name().map_or_else(String::new, |n| n.to_string_lossy().into_owned());
        let mut shelf = Shelf::new(path);
        shelf.pack("", &series);
        return Ok(Checked { files: shelf.files, found: shelf.found() });
    }
    let name = path.file_name().map_or_else(String::new, |n| n.to_string_lossy().into_owned());
    let folder = path.parent().unwrap_or_else(|| Path::new(""));
    match name.as_str() {
        "site.toml" | "decisions.toml" => {}
        // A table speaks only together with its pack.
        other if other == "pack.toml" || other.ends_with(".csv") || other.ends_with(".xlsx") => {
            return check_path(if folder.as_os_str().is_empty() { Path::new(".") } else { folder });
        }
        other if other.ends_with(".toml") => {}
        _ => {
            return Err(Failure::Usage(format!(
                "{} is no file of ours: name a site's or a pack's folder, site.toml, decisions.toml, or a position's .toml",
                path.display()
            )));
        }
    }
    let mut shelf = Shelf::new(folder);
    if let Err(error) = fs::metadata(path) {
        return Err(Failure::disk("read", path)(error));
    }
    if let Some(source) = shelf.source(&name, TEXT_BYTES) {
        match name.as_str() {
            "site.toml" => shelf.problems.extend(read_site(&source).problems),
            "decisions.toml" => shelf.problems.extend(read_decisions(&source).problems),
            _ if folder.file_name().is_some_and(|f| f == "cutover") => shelf.problems.extend(read_ticks(&source, None).problems),
            _ => shelf.problems.extend(read_position(&source).problems),
        }
    }
    Ok(Checked { files: shelf.files, found: shelf.found() })
}

/// Whether a file holds just these bytes.
pub(crate) fn has_contents(path: &Path, bytes: &[u8]) -> bool {
    fs::read(path).is_ok_and(|own| own == bytes)
}

/// The text of a file.
pub(crate) fn read_text(path: &Path) -> Result<String, Failure> {
    fs::read_to_string(path).map_err(Failure::disk("read", path))
}

/// The bytes of a file, and one more than `most` at the most, so that a huge one is seen to be and not read whole.
pub(crate) fn read_bytes(path: &Path, most: usize) -> Result<Vec<u8>, Failure> {
    let mut bytes = Vec::new();
    let file = fs::File::open(path).map_err(Failure::disk("read", path))?;
    file.take(most as u64 + 1).read_to_end(&mut bytes).map_err(Failure::disk("read", path))?;
    Ok(bytes)
}

/// Makes a folder with those above it.
pub(crate) fn make_folder(folder: &Path) -> Result<(), Failure> {
    fs::create_dir_all(folder).map_err(Failure::disk("create", folder))
}

/// Writes a file that is not there yet, with the folders above it.
pub(crate) fn write_new(path: &Path, contents: impl AsRef<[u8]>) -> Result<(), Failure> {
    if let Some(parent) = path.parent() {
        fs::create_dir_all(parent).map_err(Failure::disk("create", parent))?;
    }
    write_atomically(path, contents)
}

/// Whether something of that name is there, a link that leads nowhere included.
pub(crate) fn is_there(path: &Path) -> bool {
    fs::symlink_metadata(path).is_ok()
}

/// The bytes of a file that, links followed, lies in a folder; `None` when it does not, is no file, or has more than `most` bytes.
pub(crate) fn bytes_inside(folder: &Path, path: &Path, most: usize) -> Option<Vec<u8>> {
    let (folder, path) = (fs::canonicalize(folder).ok()?, fs::canonicalize(path).ok()?);
    if !path.starts_with(folder) || !fs::metadata(&path).ok()?.is_file() {
        return None;
    }
    let mut bytes = Vec::new();
    fs::File::open(&path).ok()?.take(most as u64 + 1).read_to_end(&mut bytes).ok()?;
    (bytes.len() <= most).then_some(bytes)
}

/// Writes a file in one step: into a neighbour first, flushed to the disk, then renamed over the old one, then the folder flushed.
/// A link is followed, so that it stays a link.
pub(crate) fn write_atomically(path: &Path, contents: impl AsRef<[u8]>) -> Result<(), Failure> {
    let target = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
    let folder = target.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or_else(|| Path::new("."));
    let failed = || Failure::disk("write", path);
    let mut file = tempfile::Builder::new().prefix(".changeout-").tempfile_in(folder).map_err(failed())?;
    file.write_all(contents.as_ref()).map_err(failed())?;
    keep_permissions(&target, file.as_file()).map_err(failed())?;
    file.as_file().sync_all().map_err(failed())?;
    file.persist(&target).map_err(|e| failed()(e.error))?;
    flush_folder(folder);
    Ok(())
}

/// The new file gets the old one's permissions; a file that was not there gets the usual ones instead of a temporary file's.
#[cfg(unix)]
fn keep_permissions(target: &Path, file: &fs::File) -> std::io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    let mode = fs::metadata(target).map_or(0o644, |m| m.permissions().mode());
    file.set_permissions(fs::Permissions::from_mode(mode))
}

#[cfg(not(unix))]
fn keep_permissions(_: &Path, _: &fs::File) -> std::io::Result<()> {
    Ok(())
}

/// Flushes the rename itself; where a system cannot, the rename is still in one step.
fn flush_folder(folder: &Path) {
    if let Ok(folder) = fs::File::open(folder) {
        let _ = folder.sync_all();
    }
}

/// Largest file of a certificate, a key or a password.
pub(crate) const SECRET_BYTES: usize = 1 << 20;

/// The bytes of a small file that nobody but its owner and its group may read.
pub(crate) fn read_secret(path: &Path) -> Result<Vec<u8>, Failure> {
    let data = fs::metadata(path).map_err(Failure::disk("read", path))?;
    if is_open_to_all(&data) {
        return Err(Failure::Usage(format!("everybody on this machine may read {0}: chmod o= {0}", path.display())));
    }
    read_bytes(path, SECRET_BYTES)
}

#[cfg(unix)]
fn is_open_to_all(data: &fs::Metadata) -> bool {
    std::os::unix::fs::PermissionsExt::mode(&data.permissions()) & 0o007 != 0
}

#[cfg(not(unix))]
fn is_open_to_all(_: &fs::Metadata) -> bool {
    false
}

/// The text of a file that may be missing.
pub(crate) fn text_if_there(path: &Path) -> io::Result<Option<String>> {
    match fs::read_to_string(path) {
        Ok(text) => Ok(Some(text)),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(None),
        Err(error) => Err(error),
    }
}

/// Appends to a file, which is made where it is missing and then begins with `head`, and flushes it to the disk.
pub(crate) fn append(path: &Path, head: &str, text: &str) -> io::Result<()> {
    let mut file = fs::OpenOptions::new().create(true).append(true).open(path)?;
    let head = if file.metadata()?.len() == 0 { head } else { "" };
    // In one write, so that two writers do not mix.
    file.write_all([head, text].concat().as_bytes())?;
    file.sync_all()
}
