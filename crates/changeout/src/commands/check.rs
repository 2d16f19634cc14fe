//! `check`: reads files and folders and reports everything that is wrong in them.

use std::path::PathBuf;

use serde_json::json;

use crate::disk;
use crate::problems::{Failure, Found};
use crate::{Common, End};

pub(crate) fn run(paths: &[PathBuf], common: &Common) -> Result<End, Failure> {
    let mut found = Found::default();
    let mut files = 0;
    let mut unreadable: Vec<Failure> = Vec::new();
    for path in paths {
        match disk::check_path(path) {
            Ok(mut one) => {
                // Files of several paths may bear one name.
                if paths.len() > 1 {
                    one.found.name_below(path);
                }
                files += one.files;
                found.problems.extend(one.found.problems);
                found.texts.extend(one.found.texts);
            }
            Err(failure) => unreadable.push(failure),
        }
    }
    let errors = found.has_errors() || !unreadable.is_empty();
    if let ([only], true) = (&unreadable[..], found.problems.is_empty()) {
        crate::problems::print_failure(only, common.json);
        return Ok(End::BadInput);
    }
    for failure in &unreadable {
        crate::problems::print_failure(failure, false);
    }
    if common.json {
        crate::say::line(format_args!("{}", json!({ "files": files, "problems": found.json() })))?;
    } else {
        found.print();
        if found.problems.is_empty() {
            crate::say::line(format_args!("{}: nothing wrong", crate::problems::count(files, "file")))?;
        }
    }
    Ok(if errors { End::BadInput } else { End::Good })
}
