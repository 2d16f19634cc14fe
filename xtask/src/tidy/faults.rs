//! Rules about findings: each in its place, registered once, and named for the fault.

use std::collections::BTreeSet;

use super::Problems;
use crate::insert::is_kebab;
use crate::tree::Tree;

const SRC: &str = "crates/findings/src/";
const PATTERNS: &str = include_str!("../forbidden_names.txt");

/// Names and files of findings that do not belong together.
pub(super) fn out_of_place(tree: &Tree) -> Problems {
    let registry = tree.text(&format!("{SRC}registry.rs"));
    let mut problems = Vec::new();
    let mut stems = BTreeSet::new();
    for (path, name) in declared(tree) {
        let stem = path.trim_end_matches(".rs");
        stems.insert(stem);
        let expected = format!("{SRC}{}", name.replace('-', "_"));
        if stem != expected {
            problems.push(format!("{path} holds “{name}”, which belongs in {expected}.rs"));
        }
        if !tree.has(&format!("{stem}.md")) {
            problems.push(format!("{stem}.md, its page, is missing"));
        }
        let line = format!("{}::CHECK,", name.replace('-', "_").replace('/', "::"));
        match registry.lines().filter(|l| l.trim().trim_start_matches('&').replace("r#", "") == line).count() {
            1 => {}
            times => problems.push(format!("{name} stands {times} times in registry.rs, as &{line}")),
        }
    }
    let orphan = tree.ending(".md").filter(|f| f.path.starts_with(SRC) && !stems.contains(f.path.trim_end_matches(".md")));
    problems.extend(orphan.map(|f| format!("{} is the page of no finding", f.path)));
    Ok(problems)
}

/// Findings whose name tells a cure or a check, or is badly written.
pub(super) fn named_for_cures(tree: &Tree) -> Problems {
    let problem = |(path, name): (&str, &str)| {
        if !name.split_once('/').is_some_and(|(group, own)| is_kebab(group) && is_kebab(own)) {
            return Some(format!("{path}: “{name}” is not group/name in small letters with hyphens"));
        }
        forbidden_pattern(name).map(|pattern| format!("{path}: “{name}” matches “{pattern}”"))
    };
    Ok(declared(tree).filter_map(problem).collect())
}

/// Path and name of every finding: the files that use `check!`.
fn declared(tree: &Tree) -> impl Iterator<Item = (&str, &str)> {
    tree.ending(".rs").filter(|f| f.path.starts_with(SRC)).filter_map(|file| {
        let (_, call) = file.text.split_once("\ncheck! {")?;
        let (_, rest) = call.split_once("name: \"")?;
        Some((file.path.as_str(), rest.split_once('"')?.0))
    })
}

/// The pattern of `forbidden_names.txt` that a name matches.
pub(crate) fn forbidden_pattern(name: &str) -> Option<&'static str> {
    PATTERNS.lines().map(str::trim).filter(|l| !l.is_empty() && !l.starts_with('#')).find(|pattern| matches(pattern, name))
}

/// Whether a text matches a pattern in which "*" stands for any text.
fn matches(pattern: &str, text: &str) -> bool {
    let mut parts = pattern.split('*');
    let Some(mut rest) = text.strip_prefix(parts.next().unwrap_or_default()) else { return false };
    let mut parts = parts.peekable();
    if parts.peek().is_none() {
        return rest.is_empty();
    }
    while let Some(part) = parts.next() {
        if parts.peek().is_none() {
            return rest.ends_with(part);
        }
        match rest.find(part) {
            Some(at) => rest = &rest[at + part.len()..],
            None => return false,
        }
    }
    true
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn patterns_match_as_a_whole() {
        for (pattern, text, fits) in [
            ("*/fix-*", "rating/fix-it", true),
            ("*/fix-*", "rating/unfixed", false),
            ("*/wrong", "rating/wrong", true),
            ("*/wrong", "rating/wrong-class", false),
            ("a*b*c", "a-b-b-c", true),
            ("abc", "abcd", false),
            ("*", "", true),
        ] {
            assert_eq!(matches(pattern, text), fits, "{pattern} {text}");
        }
        assert!(forbidden_pattern("supply/check-grounding").is_some() && forbidden_pattern("rating/overload-short").is_none());
    }

    #[test]
    fn a_finding_out_of_place_is_seen() {
        let check = |name: &str| format!("//! X.\n\ncheck! {{\n    name: \"{name}\",\n}}\n");
        let (good, moved, cure) = (check("rating/short"), check("rating/other"), check("rating/fix-it"));
        let tree = Tree::of(&[
            ("crates/findings/src/registry.rs", "    &rating::short::CHECK,\n    &rating::other::CHECK,\n    &rating::other::CHECK,\n"),
            ("crates/findings/src/rating/short.rs", &good),
            ("crates/findings/src/rating/short.md", ""),
            ("crates/findings/src/rating/moved.rs", &moved),
            ("crates/findings/src/rating/fix_it.rs", &cure),
            ("crates/findings/src/rating/orphan.md", ""),
        ]);
        let problems = out_of_place(&tree).unwrap();
        for part in
            ["fix_it.md", "fix-it stands 0", "belongs in crates/findings/src/rating/other.rs", "moved.md", "other stands 2", "orphan.md"]
        {
            assert!(problems.iter().any(|p| p.contains(part)), "{part}: {problems:?}");
        }
        assert_eq!(problems.len(), 6, "{problems:?}");
        assert_eq!(named_for_cures(&tree).unwrap().len(), 1);
    }
}
