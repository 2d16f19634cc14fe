//! Rules about crates as a whole: ARCHITECTURE.md against the disk, and the lints that each crate takes.

use std::collections::BTreeMap;

use super::Problems;
use crate::tree::Tree;

const PAGE: &str = "ARCHITECTURE.md";
const SECTION: &str = "## Code map";
const INVARIANT: &str = "**Invariant:**";

/// The crates on the disk: name and manifest. The fuzz targets are a workspace of their own.
fn crates(tree: &Tree) -> BTreeMap<&str, &str> {
    let is_ours = |path: &str| path != "Cargo.toml" && !path.starts_with("fuzz/");
    let manifests = tree.files.iter().filter(|f| f.name() == "Cargo.toml" && is_ours(&f.path));
    manifests.filter_map(|f| Some((f.path.rsplit('/').nth(1)?, f.text.as_str()))).collect()
}

/// The crates that the code map names, each with its text: "- `NAME` — …" up to the next such line or heading.
fn mapped(page: &str) -> BTreeMap<&str, String> {
    let mut found: BTreeMap<&str, String> = BTreeMap::new();
    let mut current = None;
    for line in page.lines().skip_while(|l| *l != SECTION).skip(1).take_while(|l| !l.starts_with("## ")) {
        if let Some((name, _)) = line.strip_prefix("- `").and_then(|rest| rest.split_once("` — ")) {
            current = Some(name);
        }
        if let Some(name) = current {
            let text = found.entry(name).or_default();
            text.push_str(line);
            text.push('\n');
        }
    }
    found
}

/// Where page and disk differ, and crates without an invariant.
pub(super) fn differs(tree: &Tree) -> Problems {
    let (there, named) = (crates(tree), mapped(tree.text(PAGE)));
    let mut problems = Vec::new();
    if named.is_empty() {
        problems.push(format!("{PAGE} has no section “{SECTION}” with lines “- `NAME` — …”"));
    }
    problems.extend(
        there.keys().filter(|name| !named.contains_key(*name)).map(|name| format!("{name} is on the disk, but not in the code map")),
    );
    problems.extend(
        named.keys().filter(|name| !there.contains_key(*name)).map(|name| format!("{name} is in the code map, but not on the disk")),
    );
    let stated = |text: &str| text.split_once(INVARIANT).is_some_and(|(_, rest)| !rest.trim().is_empty());
    problems.extend(named.iter().filter(|(_, text)| !stated(text)).map(|(name, _)| format!("{name} has no “{INVARIANT}” in the code map")));
    Ok(problems)
}

/// Crates that go without the lints of the workspace.
pub(super) fn without_lints(tree: &Tree) -> Problems {
    let bare = crates(tree).into_iter().filter(|(_, manifest)| !manifest.contains("[lints]\nworkspace = true"));
    Ok(bare.map(|(name, _)| name.to_owned()).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn page_and_disk_are_compared_both_ways() {
        let page = "# A\n\n## Code map\n\n- `calc` — formulas.\n  **Invariant:** no files.\n- `gone` — left. **Invariant:** none.\n- `plant` — nouns.\n\n## Other\n\n- `x` — y\n";
        let lints = "[lints]\nworkspace = true\n";
        let tree = Tree::of(&[
            ("ARCHITECTURE.md", page),
            ("Cargo.toml", ""),
            ("fuzz/Cargo.toml", ""),
            ("crates/calc/Cargo.toml", lints),
            ("crates/plant/Cargo.toml", lints),
            ("xtask/Cargo.toml", "[package]\n"),
        ]);
        let problems = differs(&tree).unwrap();
        assert_eq!(problems.len(), 3, "{problems:?}");
        for (problem, name) in problems.iter().zip(["xtask", "gone", "plant"]) {
            assert!(problem.starts_with(name), "{problem}");
        }
        assert_eq!(without_lints(&tree).unwrap(), ["xtask"]);
    }

    #[test]
    fn no_page_is_a_problem() {
        assert!(!differs(&Tree::of(&[])).unwrap().is_empty());
    }
}
