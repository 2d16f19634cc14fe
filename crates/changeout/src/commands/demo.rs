//! `demo`: writes the invented demo site into a folder and assesses it.

use std::path::{Path, PathBuf};

use include_dir::{Dir, include_dir};

use super::assess;
use crate::disk::{has_contents, write_atomically};
use crate::problems::Failure;
use crate::{Common, End};

/// The demo, as kept beside this crate.
static DEMO: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/demo");

/// A file that only a demo has; a folder without it is never written over.
const MARK: &str = "INVENTED.txt";

pub(crate) fn run(folder: &Path, common: &Common) -> Result<End, Failure> {
    let occupied = folder.read_dir().is_ok_and(|mut entries| entries.next().is_some());
    if occupied && !folder.join(MARK).exists() {
        return Err(Failure::Usage(format!(
            "{} is there already and is no demo; name another folder: changeout demo FOLDER",
            folder.display()
        )));
    }
    let mut kept = Vec::new();
    write(&DEMO, folder, &mut kept)?;
    write_atomically(&folder.join(MARK), "Everything in this folder is invented: makers, series, plant, people and figures.\n")?;
    if !common.json {
        crate::say::aside(format_args!(
            "wrote the demo site to {0}; everything in it is invented. Look into it, change it, and run\n  changeout assess {0}\n",
            folder.display()
        ));
    }
    for path in kept.iter().filter(|_| !common.json) {
        crate::say::aside(format_args!("kept {}, which you changed", path.display()));
    }
    let loaded = assess::load(folder, common)?;
    let dossier = assess::dossier_of(&loaded, None, assess::SHOWN, common)?;
    assess::print(&dossier, &loaded, false, common)?;
    // The demo is full of trouble on purpose: showing it is a success.
    Ok(End::Good)
}

/// Writes the files of the demo; one that is there already with other contents is kept as it is and named in `kept`.
fn write(dir: &Dir<'_>, folder: &Path, kept: &mut Vec<PathBuf>) -> Result<(), Failure> {
    for file in dir.files() {
        let path = folder.join(file.path());
        if path.exists() {
            if !has_contents(&path, file.contents()) {
                kept.push(path);
            }
            continue;
        }
        if let Some(parent) = path.parent() {
            std::fs::create_dir_all(parent).map_err(Failure::disk("create", parent))?;
        }
        write_atomically(&path, file.contents())?;
    }
    dir.dirs().try_for_each(|inner| write(inner, folder, kept))
}
