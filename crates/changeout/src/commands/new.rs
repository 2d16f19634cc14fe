//! `new`: lays out a new site, position or pack, with every key explained.

use std::path::{Path, PathBuf};

use clap::Subcommand;
use packs::{NewFile, Source};

use crate::disk::{is_site, write_new};
use crate::problems::{Failure, Found};
use crate::{Common, End, date, disk};

/// What to lay out besides a site.
#[derive(Debug, Subcommand)]
pub(crate) enum What {
    /// An empty pack with every key and column explained.
    Pack {
        /// Name of the series: lower-case letters, digits and hyphens; it becomes the folder's name.
        series: String,
        /// Electronic data sheet (CiA 306, .eds) whose objects the settings begin with.
        #[arg(long, value_name = "FILE.eds")]
        from: Option<PathBuf>,
        /// Site folder.
        #[arg(long, default_value = ".")]
        site: PathBuf,
    },
    /// An empty survey of one position.
    Position {
        /// Its tag.
        tag: String,
        /// Site folder.
        #[arg(long, default_value = ".")]
        site: PathBuf,
    },
}

pub(crate) fn run(site: Option<&Path>, what: Option<What>, common: &Common) -> Result<End, Failure> {
    match (site, what) {
        (_, Some(What::Pack { series, from, site })) => {
            plain_name(&series)?;
            if series.chars().any(char::is_uppercase) {
                return Err(Failure::Usage(format!(
                    "“{series}” has capitals; series are named in lower case, since some disks do not tell them apart"
                )));
            }
            is_site(&site)?;
            match from {
                Some(file) => write_all(&site, &pack_from(&series, &file, common)?, common),
                None => write_all(&site, &packs::new_pack(&series), common),
            }
        }
        (_, Some(What::Position { tag, site })) => {
            plain_name(&tag)?;
            is_site(&site)?;
            write_all(&site, &[packs::new_position(&tag)], common)
        }
        (Some(folder), None) => {
            let name = folder.file_name().map_or_else(|| "new site".into(), |n| n.to_string_lossy().into_owned());
            if name.len() > LONGEST_NAME || name != name.trim() || name.chars().any(char::is_control) {
                return Err(Failure::Usage(format!(
                    "“{}” cannot name a site: no control characters, no blanks at its ends, at most {LONGEST_NAME} bytes",
                    name.escape_debug()
                )));
            }
            let date = common.date.clone().unwrap_or_else(date::today);
            write_all(folder, &packs::new_site(&name, &date), common)
        }
        (None, None) => Err(Failure::Usage(
            "say what to lay out: changeout new SITE, new position TAG --site SITE, or new pack SERIES --site SITE".into(),
        )),
    }
}

/// The files of a pack that begins with a data sheet; one with mistakes is told of and not used.
fn pack_from(series: &str, file: &Path, common: &Common) -> Result<Vec<NewFile>, Failure> {
    let name = file.display().to_string();
    let bytes = disk::read_bytes(file, packs::TEXT_BYTES)?;
    let mut found = Found::default();
    let eds = match Source::from_bytes(name.as_str(), &bytes, packs::TEXT_BYTES) {
        Err(problem) => {
            found.problems.push(problem);
            None
        }
        Ok(source) => {
            let read = packs::read_eds(&source);
            found.texts.push((source.name().clone(), source.text().into()));
            found.problems.extend(read.problems);
            read.value
        }
    };
    match eds.filter(|_| !found.has_errors()) {
        Some(eds) => Ok(packs::new_pack_from(series, &eds, &name)),
        None => {
            if common.json {
                crate::say::line(format_args!("{}", serde_json::json!({ "problems": found.json() })))?;
            } else {
                found.print();
            }
            Err(Failure::Problems)
        }
    }
}

/// Longest name of a site that a folder gives it; its file takes any name.
const LONGEST_NAME: usize = 120;

/// Names become names of files: nothing that could leave the folder.
fn plain_name(name: &str) -> Result<(), Failure> {
    let fine = !name.is_empty()
        && name.len() <= 64
        && !name.starts_with(['.', '-'])
        && name.chars().all(|c| c.is_alphanumeric() || "-_.".contains(c));
    if fine {
        Ok(())
    } else {
        Err(Failure::Usage(format!("“{name}” cannot name a file: use letters, digits, “-”, “_” and “.”")))
    }
}

fn write_all(folder: &Path, files: &[NewFile], common: &Common) -> Result<End, Failure> {
    // All or nothing: a file that is there already is never written over.
    if let Some(file) = files.iter().find(|f| folder.join(&f.path).exists()) {
        return Err(Failure::Usage(format!("{} is there already; nothing was written", folder.join(&file.path).display())));
    }
    for file in files {
        write_new(&folder.join(&file.path), &file.text)?;
    }
    if common.json {
        let paths: Vec<String> = files.iter().map(|f| folder.join(&f.path).display().to_string()).collect();
        crate::say::line(format_args!("{}", serde_json::json!({ "written": paths })))?;
    } else {
        for file in files {
            crate::say::line(format_args!("wrote {}", folder.join(&file.path).display()))?;
        }
    }
    Ok(End::Good)
}
