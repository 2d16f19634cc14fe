//! What both scaffolds share: names that are fit for a file and a module, lines put into existing lists, and edits that
//! are all written or none.

use std::io::Write;
use std::path::Path;
use std::process::{Command, Stdio};

use crate::Failure;

/// "group/some-name", taken apart and checked.
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct Name {
    /// "group".
    pub(crate) group: String,
    /// "some-name".
    pub(crate) name: String,
}

/// Words of the language that can't be a module's name, not even as `r#word`.
const NEVER_A_MODULE: &[&str] = &["self", "super", "crate"];
/// Words of the language that need `r#` before them.
const KEYWORDS: &[&str] = &[
    "abstract", "as", "async", "await", "become", "box", "break", "const", "continue", "do", "dyn", "else", "enum", "extern", "false",
    "final", "fn", "for", "gen", "if", "impl", "in", "let", "loop", "macro", "match", "mod", "move", "mut", "override", "priv", "pub",
    "ref", "return", "static", "struct", "trait", "true", "try", "type", "typeof", "unsafe", "unsized", "use", "virtual", "where", "while",
    "yield",
];

impl Name {
    /// Reads "group/some-name".
    ///
    /// # Errors
    /// A usage failure that says which characters do not fit.
    pub(crate) fn parse(text: &str) -> Result<Self, Failure> {
        let wrong = |why: &str| Failure::Usage(format!("“{text}” is no name: {why}"));
        let (group, name) = text.split_once('/').ok_or_else(|| wrong("it needs a group and a name, as in rating/overload-short"))?;
        for part in [group, name] {
            if !is_kebab(part) {
                return Err(wrong("each part is made of small letters and digits, words joined by one hyphen, a letter first"));
            }
            if NEVER_A_MODULE.contains(&part) {
                return Err(wrong("the language keeps self, super and crate for itself"));
            }
        }
        Ok(Self { group: group.to_owned(), name: name.to_owned() })
    }

    /// Folder and file stem of the group: "group".
    pub(crate) fn group_file(&self) -> String {
        self.group.replace('-', "_")
    }

    /// File stem of the name: "some_name".
    pub(crate) fn file(&self) -> String {
        self.name.replace('-', "_")
    }

    /// The group as a module: "group", "r#box".
    pub(crate) fn group_module(&self) -> String {
        module(&self.group_file())
    }

    /// The name as a module.
    pub(crate) fn module(&self) -> String {
        module(&self.file())
    }
}

fn module(file: &str) -> String {
    if KEYWORDS.contains(&file) { format!("r#{file}") } else { file.to_owned() }
}

/// True for "some-name-2".
pub(crate) fn is_kebab(text: &str) -> bool {
    text.starts_with(|c: char| c.is_ascii_lowercase())
        && text.split('-').all(|part| !part.is_empty() && part.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit()))
}

/// Puts a `mod` line beside the others of a file; rustfmt puts it in order. A file without any gets it at its end.
pub(crate) fn module_line(text: &str, line: &str) -> String {
    let is_mod = |l: &&str| l.starts_with("pub mod ") || l.starts_with("mod ");
    match text.lines().find(is_mod) {
        Some(first) => text.replacen(&format!("{first}\n"), &format!("{line}\n{first}\n"), 1),
        None => format!("{}\n\n{line}\n", text.trim_end()),
    }
}

/// Puts a line into a list, `declared` as in "pub const CHECKS:": behind the last line that holds `beside`, else at its end.
///
/// # Errors
/// When the list is not in the text, or has no end.
pub(crate) fn list_line(text: &str, declared: &str, beside: &str, line: &str) -> Result<String, Failure> {
    let missing = || Failure::Work(format!("no list “{declared} … = &[ … ];” is there: it was renamed, so teach its new name to xtask"));
    let start = text.find(declared).ok_or_else(missing)?;
    let open = start + text[start..].find("= &[").ok_or_else(missing)? + "= &[".len();
    let close = open + text[open..].find("];").ok_or_else(missing)?;
    let list = &text[open..close];
    let at = match list.rfind(beside).filter(|_| !beside.is_empty()) {
        Some(found) => open + found + list[found..].find('\n').map_or(list.len() - found, |end| end + 1),
        None => close,
    };
    let comma = if at == close && !list.trim().is_empty() && !list.trim_end().ends_with(',') { ",\n" } else { "" };
    Ok(format!("{}{comma}    {line}\n{}", &text[..at], &text[at..]))
}

/// A file with its new text.
#[derive(Debug)]
pub(crate) struct Edit {
    /// Path from the root.
    pub(crate) path: String,
    /// All of its text.
    pub(crate) text: String,
}

impl Edit {
    /// A file of that path with that text.
    pub(crate) fn new(path: impl Into<String>, text: impl Into<String>) -> Self {
        Self { path: path.into(), text: text.into() }
    }
}

/// Formats every Rust text, then writes all files and says so.
///
/// # Errors
/// When rustfmt does not take a text (nothing is written then) or a file can't be written.
pub(crate) fn write_all(root: &Path, edits: Vec<Edit>) -> Result<(), Failure> {
    let formatted = edits.into_iter().map(|edit| {
        let text = if edit.path.ends_with(".rs") { rustfmt(root, &edit.text)? } else { edit.text };
        Ok(Edit { text, ..edit })
    });
    for edit in formatted.collect::<Result<Vec<_>, Failure>>()? {
        let path = root.join(&edit.path);
        if let Some(folder) = path.parent() {
            std::fs::create_dir_all(folder)?;
        }
        println!("{} {}", if path.exists() { "changed" } else { "made   " }, edit.path);
        std::fs::write(path, edit.text)?;
    }
    Ok(())
}

/// A text as rustfmt lays it out with the settings of the repository; from standard input, so that no other file is touched.
fn rustfmt(root: &Path, text: &str) -> Result<String, Failure> {
    let mut command = Command::new("rustfmt");
    command.args(["--edition", "2024", "--config-path"]).arg(root.join("rustfmt.toml"));
    let mut child = command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn()?;
    if let Some(mut input) = child.stdin.take() {
        input.write_all(text.as_bytes())?;
    }
    let output = child.wait_with_output()?;
    if output.status.success() {
        return Ok(String::from_utf8_lossy(&output.stdout).into_owned());
    }
    Err(Failure::Work(format!("rustfmt does not take the new text:\n{}", String::from_utf8_lossy(&output.stderr))))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_taken_apart_or_refused() {
        let name = Name::parse("wires/voltage-on-input").unwrap();
        assert_eq!((name.group_module().as_str(), name.file().as_str()), ("wires", "voltage_on_input"));
        assert_eq!(Name::parse("box/too-hot").unwrap().group_module(), "r#box");
        for bad in [
            "",
            "rating",
            "rating/",
            "/x",
            "Rating/x",
            "rating/over_load",
            "rating/a--b",
            "rating/-a",
            "rating/a-",
            "rating/a/b",
            "rating/2x",
            "rating/ü",
            "../x",
            "rating/super",
        ] {
            assert!(matches!(Name::parse(bad), Err(Failure::Usage(_))), "{bad}");
        }
    }

    #[test]
    fn a_module_goes_beside_the_others() {
        assert_eq!(module_line("//! A.\n\npub mod b;\nmod c;\n", "pub mod a;"), "//! A.\n\npub mod a;\npub mod b;\nmod c;\n");
        assert_eq!(module_line("//! A.\n", "pub mod a;"), "//! A.\n\npub mod a;\n");
    }

    #[test]
    fn a_line_goes_behind_its_group_or_at_the_end() {
        let list = "const L: &[&str] = &[\n    &a::x,\n    &b::y,\n];\nconst M: &[u8] = &[];\n";
        let anchor = "const L:";
        assert_eq!(list_line(list, anchor, "&a::", "&a::new,").unwrap(), list.replace("&a::x,\n", "&a::x,\n    &a::new,\n"));
        assert_eq!(list_line(list, anchor, "&c::", "&c::new,").unwrap(), list.replace("&b::y,\n", "&b::y,\n    &c::new,\n"));
        assert!(list_line(list, anchor, "", "&z,").unwrap().contains("&b::y,\n    &z,\n];"));
        assert!(list_line("const L: &[&S] = &[&a];", anchor, "", "&z,").unwrap().contains("&[&a,\n    &z,\n];"));
        assert!(list_line("const K: u8 = 1;", anchor, "", "&z,").is_err());
    }

    #[test]
    fn rustfmt_speaks_up_and_sorts() {
        let root = crate::tree::root();
        assert_eq!(rustfmt(&root, "//! X.\n\npub mod b;\npub mod a;\n").unwrap(), "//! X.\n\npub mod a;\npub mod b;\n");
        assert!(rustfmt(&root, "fn (").is_err());
    }
}
