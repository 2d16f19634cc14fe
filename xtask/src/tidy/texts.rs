//! Rules about single files: their first line, words and names that have no place here, links.

use super::Problems;
use crate::tree::{File, Tree};

/// Longer Rust files are named, not refused.
const LONG: usize = 700;

// What is looked for is written in two halves, so that this file does not find itself.
const UNFINISHED: &[&str] = &[concat!("to", "do!("), concat!("unimplem", "ented!(")];
const NEIGHBOURS: &[&str] = &[concat!("..", "/shared"), concat!("/work", "/shared"), concat!("/work", "/main")];
const REGISTRIES: &[&str] = &[
    concat!("crates", ".io"),
    concat!("docs", ".rs/"),
    concat!("pypi", ".org"),
    concat!("python", "hosted.org"),
    concat!("npmjs", ".org"),
    concat!("npmjs", ".com"),
    concat!("deb.", "debian"),
    concat!("debian", ".org"),
    concat!("proxy.", "golang"),
];
const PRODUCT_WORDS: &[&str] = &[
    concat!("work", "bench"),
    concat!("stu", "dio"),
    concat!("explo", "rer"),
    concat!("execu", "tive"),
    concat!("wiz", "ard"),
    concat!("compo", "ser"),
    concat!("navi", "gator"),
    concat!("su", "ite"),
    concat!("assis", "tant"),
];

/// Rust files that do not begin with what belongs in them.
pub(super) fn without_opening(tree: &Tree) -> Problems {
    let opened = |f: &&File| f.text.lines().next().is_some_and(|l| l.strip_prefix("//! ").is_some_and(|rest| !rest.trim().is_empty()));
    Ok(tree.ending(".rs").filter(|f| !opened(f)).map(|f| f.path.clone()).collect())
}

/// Code that was left to do.
pub(super) fn left_to_do(tree: &Tree) -> Problems {
    Ok(tree.ending(".rs").flat_map(|f| lines_with(f, UNFINISHED)).collect())
}

/// Paths outside the repository.
pub(super) fn neighbours(tree: &Tree) -> Problems {
    Ok(tree.files.iter().flat_map(|f| lines_with(f, NEIGHBOURS)).collect())
}

/// Hosts of registries; lock files are cargo's own.
pub(super) fn registries(tree: &Tree) -> Problems {
    Ok(tree.files.iter().filter(|f| f.name() != "Cargo.lock").flat_map(|f| lines_with(f, REGISTRIES)).collect())
}

/// Words that many products wear: in names of files, in pages, and in the code of the crates, whose texts people read.
pub(super) fn product_words(tree: &Tree) -> Problems {
    let mut problems = Vec::new();
    for file in &tree.files {
        problems.extend(product_word(&file.path).map(|word| format!("{}: named “{word}”", file.path)));
        if file.path.ends_with(".md") || file.path.starts_with("crates/") {
            let lines = (1..).zip(file.text.lines());
            problems.extend(lines.filter_map(|(i, line)| product_word(line).map(|word| format!("{}:{i}: “{word}”", file.path))));
        }
    }
    Ok(problems)
}

fn product_word(text: &str) -> Option<&'static str> {
    let is = |word: &str, forbidden: &str| {
        word.eq_ignore_ascii_case(forbidden) || word.strip_suffix('s').is_some_and(|w| w.eq_ignore_ascii_case(forbidden))
    };
    text.split(|c: char| !c.is_alphabetic()).find_map(|word| PRODUCT_WORDS.iter().find(|forbidden| is(word, forbidden)).copied())
}

/// Links to files that are not there.
pub(super) fn dead_links(tree: &Tree) -> Problems {
    let mut problems = Vec::new();
    for page in tree.ending(".md") {
        for (i, line) in (1..).zip(page.text.lines()) {
            for link in links(line).filter(|l| !l.contains("://") && !l.starts_with('#') && !l.starts_with("mailto:")) {
                let target = resolve(&page.path, link.split('#').next().unwrap_or(link));
                if !target.as_deref().is_some_and(|t| tree.has(t) || tree.has_folder(t)) {
                    problems.push(format!("{}:{i}: {link}", page.path));
                }
            }
        }
    }
    Ok(problems)
}

/// The targets of "[text](target)" in a line, outside of code.
fn links(line: &str) -> impl Iterator<Item = &str> {
    let outside = line.split('`').step_by(2);
    outside.flat_map(|text| text.split("](").skip(1).filter_map(|rest| rest.split_once(')').map(|(target, _)| target)))
}

/// A path as seen from a page; `None` when it leads out of the repository.
fn resolve(page: &str, link: &str) -> Option<String> {
    let mut parts: Vec<&str> = page.split('/').collect();
    parts.pop();
    for part in link.trim_end_matches('/').split('/') {
        match part {
            "." | "" => {}
            ".." => drop(parts.pop()?),
            name => parts.push(name),
        }
    }
    Some(parts.join("/"))
}

/// Rust files of many lines.
pub(super) fn long(tree: &Tree) -> impl Iterator<Item = (&str, usize)> {
    tree.ending(".rs").map(|f| (f.path.as_str(), f.text.lines().count())).filter(|(_, lines)| *lines > LONG)
}

fn lines_with(file: &File, words: &[&str]) -> Vec<String> {
    let lines = (1..).zip(file.text.lines());
    lines.filter_map(|(i, line)| words.iter().find(|w| line.contains(**w)).map(|w| format!("{}:{i}: {w}", file.path))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_rule_sees_its_fault() {
        let left = format!("//! A.\nfn a() {{ {}) }}\n", UNFINISHED[0]);
        let near = format!("see {}\n", NEIGHBOURS[0]);
        let host = format!("get it from {}\n", REGISTRIES[0]);
        let tree = Tree::of(&[
            ("a.rs", &left),
            ("b.rs", "fn b() {}\n"),
            ("c.rs", "//!\nfn c() {}\n"),
            ("d.txt", &near),
            ("e.md", &host),
            ("Cargo.lock", &host),
        ]);
        assert_eq!(without_opening(&tree).unwrap(), ["b.rs", "c.rs"]);
        assert_eq!(left_to_do(&tree).unwrap().len(), 1);
        assert_eq!(neighbours(&tree).unwrap().len(), 1);
        assert_eq!(registries(&tree).unwrap().len(), 1);
    }

    #[test]
    fn product_words_are_whole_words() {
        let word = PRODUCT_WORDS[7];
        let (page, name) = (format!("the drive {}s\n", word.to_uppercase()), format!("docs/{word}_page.md"));
        let tree = Tree::of(&[("docs/a.md", &page), (&name, ""), ("xtask/a.rs", &page), ("docs/b.md", "suitable, suited")]);
        assert_eq!(product_words(&tree).unwrap().len(), 2);
    }

    #[test]
    fn links_are_followed_from_their_page() {
        let tree = Tree::of(&[
            ("README.md", "[a](docs/a.md#part) [b](docs/) [c](#here) [d](https://example.org/x) `[e](no)` [f](docs/none.md)"),
            ("docs/a.md", "[up](../README.md) [out](../../etc) [same](a.md)"),
        ]);
        assert_eq!(dead_links(&tree).unwrap(), ["README.md:1: docs/none.md", "docs/a.md:1: ../../etc"]);
    }

    #[test]
    fn long_files_are_noted() {
        let (many, few) = ("//\n".repeat(LONG + 1), "//\n".repeat(LONG));
        assert_eq!(long(&Tree::of(&[("a.rs", &many), ("b.rs", &few)])).collect::<Vec<_>>(), [("a.rs", LONG + 1)]);
    }
}
