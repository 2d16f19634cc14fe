//! `cargo xtask docs [--check]`: pages that are written from the tables of the crates, so that they never differ from the
//! program. One file per page below; a page is a function that gives its text.

use crate::tree::{Tree, root};
use crate::{Done, Failure};

mod calculations;
mod facts;
mod failure_modes;
mod vocabulary;

/// A generated page.
struct Page {
    path: &'static str,
    write: fn() -> String,
}

const PAGES: &[Page] = &[
    Page { path: "docs/calculations.md", write: calculations::page },
    Page { path: "docs/facts.md", write: facts::page },
    Page { path: "docs/failure-modes.md", write: failure_modes::page },
    Page { path: "docs/vocabulary.md", write: vocabulary::page },
];

/// First line of each page.
const MARK: &str = "<!-- Written by `cargo xtask docs` from the tables of the crates: change those, not this. -->";

/// Runs the command.
///
/// # Errors
/// A usage failure, a page that can't be written, or with `--check` a stale one.
pub(crate) fn run(arguments: &[String]) -> Done {
    let check = match arguments {
        [] => false,
        [only] if only == "--check" => true,
        [first, ..] => return Err(Failure::Usage(format!("“{first}” is not understood; docs takes --check or nothing"))),
    };
    let tree = Tree::read(&root())?;
    if check {
        let stale = stale(&tree)?;
        return match stale.as_slice() {
            [] => Ok(()),
            _ => Err(Failure::Work(format!("stale: {}; write them with\n  cargo xtask docs", stale.join(", ")))),
        };
    }
    for page in PAGES.iter().filter(|p| p.is_stale(&tree)) {
        let path = root().join(page.path);
        if let Some(folder) = path.parent() {
            std::fs::create_dir_all(folder)?;
        }
        std::fs::write(path, page.text())?;
        println!("written {}", page.path);
    }
    Ok(())
}

/// Pages that are not as they would be written now.
///
/// # Errors
/// None; it has the form of a house rule.
pub(crate) fn stale(tree: &Tree) -> Result<Vec<String>, Failure> {
    Ok(PAGES.iter().filter(|p| p.is_stale(tree)).map(|p| p.path.to_owned()).collect())
}

impl Page {
    fn text(&self) -> String {
        format!("{MARK}\n\n{}\n", (self.write)().trim_end())
    }

    fn is_stale(&self, tree: &Tree) -> bool {
        tree.text(self.path) != self.text()
    }
}

/// A table: its heads, then its rows.
fn table(heads: &[&str], rows: impl IntoIterator<Item = Vec<String>>) -> String {
    let line = |cells: Vec<String>| format!("| {} |\n", cells.join(" | "));
    let mut text = line(heads.iter().map(|h| (*h).to_owned()).collect()) + &line(vec!["---".into(); heads.len()]);
    for row in rows {
        // A bar would end the cell, an asterisk might start an emphasis.
        text += &line(row.iter().map(|cell| cell.replace('|', "\\|").replace('*', "\\*").replace('\n', " ")).collect());
    }
    text
}

/// As code, where there is something.
fn code(text: &str) -> String {
    if text.is_empty() { String::new() } else { format!("`{text}`") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_page_that_was_changed_is_stale() {
        let pages: Vec<(&str, String)> = PAGES.iter().map(|p| (p.path, p.text())).collect();
        let mut files: Vec<(&str, &str)> = pages.iter().map(|(path, text)| (*path, text.as_str())).collect();
        assert!(stale(&Tree::of(&files)).unwrap().is_empty());
        files[1].1 = "by hand\n";
        assert_eq!(stale(&Tree::of(&files)).unwrap(), [files[1].0]);
    }

    #[test]
    fn cells_stay_in_their_row() {
        assert_eq!(table(&["a", "b"], [vec!["1|2".into(), "x\ny".into()]]), "| a | b |\n| --- | --- |\n| 1\\|2 | x y |\n");
    }
}
