//! `check`: reads files and folders and reports everything that is wrong in them.

use std::path::PathBuf;

use serde_json::json;

use crate::disk;
use crate::problems::{Failure, Found};
use crate::{Common, End};

pub(crate) fn run(paths: &[PathBuf], common: &Common) -> Result<End, Failure> {
    let mut found = Found::default();
    let mut files = 0;
    for path in paths {
        let one = disk::check_path(path)?;
        files += one.files;
        found.problems.extend(one.found.problems);
        found.texts.extend(one.found.texts);
    }
    let errors = found.has_errors();
    if common.json {
        println!("{}", json!({ "files": files, "problems": found.json() }));
    } else {
        found.print();
        if found.problems.is_empty() {
            println!("{}: nothing wrong", crate::problems::count(files, "file"));
        }
    }
    Ok(if errors { End::BadInput } else { End::Good })
}
