//! Rules about calculations: each that is written can be called by its name, and pages speak of none that is not there.

use calc::registry::find;

use super::Problems;
use crate::tree::Tree;

const SRC: &str = "crates/calc/src/";

/// Calculations that no list holds.
pub(super) fn unlisted(tree: &Tree) -> Problems {
    let files = tree.ending(".rs").filter(|f| f.path.starts_with(SRC));
    let problems = files.flat_map(|file| {
        let names = file.text.split(": Calculation = Calculation {").skip(1).filter_map(|rest| rest.split('"').nth(1));
        names.filter(|name| find(name).is_none()).map(|name| format!("{}: “{name}” stands in no list", file.path))
    });
    Ok(problems.collect())
}

/// Names behind `calc` on pages, that no calculation has.
pub(super) fn named_in_vain(tree: &Tree) -> Problems {
    let mut problems = Vec::new();
    for file in tree.ending(".md") {
        for (number, line) in (1..).zip(file.text.lines()) {
            for name in called(line).filter(|name| find(name).is_none()) {
                problems.push(format!("{}:{number}: there is no calculation “{name}”", file.path));
            }
        }
    }
    Ok(problems)
}

/// What a line calls: the words behind "`calc " and "changeout calc "; capitals stand for any name.
fn called(line: &str) -> impl Iterator<Item = &str> {
    ["`calc ", "changeout calc "].into_iter().flat_map(move |mark| line.split(mark).skip(1)).filter_map(|rest| {
        let end = rest.find(|c: char| !(c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-')).unwrap_or(rest.len());
        (end > 0).then(|| &rest[..end])
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_calculation_without_a_place_is_seen() {
        let written = |name: &str| format!("//! X.\npub const X: Calculation = Calculation {{\n    name: \"{name}\",\n");
        let (known, unknown) = (written("slip"), written("slop"));
        let tree = Tree::of(&[("crates/calc/src/motor/slip.rs", &known), ("crates/calc/src/motor/slop.rs", &unknown)]);
        assert_eq!(unlisted(&tree).unwrap(), ["crates/calc/src/motor/slop.rs: “slop” stands in no list"]);
    }

    #[test]
    fn a_page_that_names_one_in_vain_is_seen() {
        let page = "`calc slip` and `changeout calc slop poles=4`, `changeout calc NAME`\nthe crate `calc` knows `calc slap …`";
        let tree = Tree::of(&[("docs/a.md", page)]);
        let problems = named_in_vain(&tree).unwrap();
        assert_eq!(problems.len(), 2, "{problems:?}");
        assert!(problems[0].contains("a.md:1") && problems[1].ends_with("“slap”"), "{problems:?}");
    }
}
