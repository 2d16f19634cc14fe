//! `cargo xtask scaffolds`: runs both scaffolds in a copy of the repository and tests what they make, so that they
//! never rot unseen. The copy has a target folder of its own: its packages pass for ours in a shared one.

use std::path::Path;

use crate::insert::Name;
use crate::tree::{paths, root, target};
use crate::{Done, Failure, new_calc, new_finding, no_arguments, process};

/// In a group that is there, and in one that is not.
const FINDINGS: &[&str] = &["rating/scaffolded-short", "scaffold/sagging"];
const CALCULATIONS: &[&str] = &["motor/scaffold-figure"];
/// How many tests each of them brings.
const TESTS_EACH: usize = 2;

/// Runs the command.
///
/// # Errors
/// A scaffold that can't be laid out, does not compile, draws a lint or fails its own tests.
pub(crate) fn run(arguments: &[String]) -> Done {
    no_arguments(arguments)?;
    let (stage, copy) = (target().join("scaffold-stage"), target().join("scaffold-check"));
    if stage.exists() {
        std::fs::remove_dir_all(&stage)?;
    }
    refresh(&root(), &stage)?;
    lay_out(&stage, FINDINGS, new_finding::create)?;
    lay_out(&stage, CALCULATIONS, new_calc::create)?;
    refresh(&stage, &copy)?;
    std::fs::remove_dir_all(stage)?;

    let within = |arguments: &[&str]| {
        let mut command = process::cargo(&copy, arguments);
        // Nothing here is shared with the build of the repository, so take the profile that is built soonest.
        command.env("CARGO_TARGET_DIR", target().join("scaffold-target")).env("CARGO_PROFILE_DEV_DEBUG", "0");
        command
    };
    process::run(&mut within(&["fmt", "-p", "calc", "-p", "findings", "--check"]))?;
    process::run(&mut within(&["clippy", "-p", "calc", "-p", "findings", "--all-targets", "--", "-D", "warnings"]))?;
    let units = (FINDINGS.len() + CALCULATIONS.len()) * TESTS_EACH;
    tested(&mut within(&["test", "-p", "calc", "-p", "findings", "--lib", "scaffold"]), units)?;
    // What every finding and every page must be.
    process::run(&mut within(&["test", "-p", "findings", "--lib", "registry"]))?;
    tested(&mut within(&["test", "-p", "calc", "--doc", "scaffold"]), CALCULATIONS.len())?;
    process::run(&mut within(&["test", "-p", "calc", "--test", "published"]))
}

/// Lays out each name, and sees that a second attempt is refused.
fn lay_out(root: &Path, names: &[&str], create: fn(&Path, &Name) -> Done) -> Done {
    for name in names {
        let name = Name::parse(name)?;
        create(root, &name)?;
        if create(root, &name).is_ok() {
            return Err(Failure::Work(format!("{}/{} was laid out twice, the second over the first", name.group, name.name)));
        }
    }
    Ok(())
}

/// Runs tests and counts: a filter that meets none would pass in silence.
fn tested(command: &mut std::process::Command, expected: usize) -> Done {
    let mut passed = 0;
    process::run_and_read(command, |line| passed += crate::test::Tally::of(line).map_or(0, |t| t.passed))?;
    if passed == expected { Ok(()) } else { Err(Failure::Work(format!("{passed} tests of the scaffolds ran, not {expected}"))) }
}

/// Makes `copy` equal to `root`. Files that are the same keep their time, so that little is built anew.
fn refresh(root: &Path, copy: &Path) -> Done {
    std::fs::create_dir_all(copy)?;
    let wanted = paths(root)?;
    for path in &wanted {
        let (from, to) = (root.join(path), copy.join(path));
        let text = std::fs::read(from)?;
        if std::fs::read(&to).is_ok_and(|there| there == text) {
            continue;
        }
        if let Some(folder) = to.parent() {
            std::fs::create_dir_all(folder)?;
        }
        std::fs::write(to, text)?;
    }
    for path in paths(copy)?.iter().filter(|p| wanted.binary_search(p).is_err()) {
        std::fs::remove_file(copy.join(path))?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_copy_follows_the_repository() {
        let place = target().join(format!("refresh-test-{}", std::process::id()));
        let (from, to) = (place.join("from"), place.join("to"));
        for (path, text) in [("from/a", "1"), ("from/b/c", "2"), ("to/a", "old"), ("to/gone", "x")] {
            let path = place.join(path);
            std::fs::create_dir_all(path.parent().unwrap()).unwrap();
            std::fs::write(path, text).unwrap();
        }
        refresh(&from, &to).unwrap();
        assert_eq!(paths(&to).unwrap(), ["a", "b/c"]);
        assert_eq!(std::fs::read_to_string(to.join("a")).unwrap(), "1");
        std::fs::remove_dir_all(place).unwrap();
    }
}
