//! `history.toml`: what was changed in the files of a site through the desk, by whom and when, with the lines before and after,
//! so that a change can be taken back. The file only grows; an entry that was cut off by a crash spoils no other.

use std::fmt::Write as _;

use toml_edit::{DocumentMut, Item};

use crate::SCHEMA;

/// Name of the file in the site's folder.
pub const HISTORY: &str = "history.toml";

/// Begins every entry, on a line of its own; texts inside entries have no line ends, so it stands nowhere else.
const MARK: &str = "[[change]]";

/// One change of one file.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Change {
    /// When, as UTC ("2026-03-02T10:15:00Z").
    pub when: String,
    /// Who.
    pub who: String,
    /// Which file, from the site's folder.
    pub file: String,
    /// What: the path of a fact, or a few words.
    pub what: String,
    /// The lines that were changed.
    pub hunk: Hunk,
    /// False for a change that somebody wanted, but that was not written because another came first.
    pub written: bool,
}

/// The lines in which two texts differ: the first to the last of them.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Hunk {
    /// The first line that differs, from 1.
    pub line: u32,
    /// Those lines before, with their line ends.
    pub old: String,
    /// Those lines afterwards.
    pub new: String,
}

impl Hunk {
    /// What makes one text out of the other.
    ///
    /// ```
    /// let hunk = packs::Hunk::between("a\nb\nc\n", "a\nB\nc\n");
    /// assert_eq!((hunk.line, hunk.old.as_str(), hunk.new.as_str()), (2, "b\n", "B\n"));
    /// ```
    #[must_use]
    pub fn between(old: &str, new: &str) -> Self {
        let (before, after): (Vec<&str>, Vec<&str>) = (old.split_inclusive('\n').collect(), new.split_inclusive('\n').collect());
        let head = before.iter().zip(&after).take_while(|(a, b)| a == b).count();
        let rest = before.len().min(after.len()) - head;
        let tail = before.iter().rev().zip(after.iter().rev()).take(rest).take_while(|(a, b)| a == b).count();
        Self {
            line: u32::try_from(head + 1).unwrap_or(u32::MAX),
            old: before[head..before.len() - tail].concat(),
            new: after[head..after.len() - tail].concat(),
        }
    }
}

/// The text of a change taken back; `None` when its lines are not there any more, or stand at several places of which none is
/// the one where they were written.
///
/// ```
/// use packs::{Change, Hunk, undone};
/// let change = Change { hunk: Hunk::between("a\nb\n", "a\nB\n"), ..Change::default() };
/// assert_eq!(undone("# later\na\nB\n", &change).as_deref(), Some("# later\na\nb\n"));
/// assert_eq!(undone("a\nc\n", &change), None);
/// ```
#[must_use]
pub fn undone(text: &str, change: &Change) -> Option<String> {
    let Hunk { line, old, new } = &change.hunk;
    let lines: Vec<&str> = text.split_inclusive('\n').collect();
    let wanted: Vec<&str> = new.split_inclusive('\n').collect();
    let stands_at = |at: usize| lines.get(at..at + wanted.len()).is_some_and(|there| there == wanted);
    let put = |at: usize| [lines[..at].concat().as_str(), old, lines[at + wanted.len()..].concat().as_str()].concat();
    let there = usize::try_from(*line).ok()?.checked_sub(1)?;
    if stands_at(there) && there <= lines.len() {
        return Some(put(there));
    }
    // Lines that were taken out leave nothing to find them by.
    if wanted.is_empty() {
        return None;
    }
    let mut places = (0..lines.len()).filter(|at| stands_at(*at));
    match (places.next(), places.next()) {
        (Some(only), None) => Some(put(only)),
        _ => None,
    }
}

/// What the file begins with.
#[must_use]
pub fn history_head() -> String {
    format!("# What was changed through the desk. It only grows; delete it if nobody needs it.\nschema = {SCHEMA}\n")
}

/// The text to append to the file for a change; `first` where the file is still empty.
#[must_use]
pub fn entry(change: &Change, first: bool) -> String {
    let mut out = String::new();
    if first {
        out.push_str(&history_head());
    }
    let Change { when, who, file, what, hunk: Hunk { line, old, new }, written } = change;
    // A line end first: the entry before may have been cut off.
    let _ = writeln!(
        out,
        "\n{MARK}\nwhen = {}\nwho = {}\nfile = {}\nwhat = {}\nline = {line}",
        quoted(when),
        quoted(who),
        quoted(file),
        quoted(what)
    );
    if !written {
        let _ = writeln!(out, "written = false");
    }
    let _ = writeln!(out, "old = {}\nnew = {}", quoted(old), quoted(new));
    out
}

/// A TOML basic string on one line.
fn quoted(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 2);
    out.push('"');
    for c in text.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\n' => out.push_str("\\n"),
            '\r' => out.push_str("\\r"),
            '\t' => out.push_str("\\t"),
            c if c.is_control() => {
                let _ = write!(out, "\\u{:04X}", u32::from(c));
            }
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

/// What a history holds, the oldest first.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct History {
    /// Changes that can be read.
    pub changes: Vec<Change>,
    /// Entries that cannot: cut off, or changed by hand.
    pub unreadable: usize,
}

/// Reads a history entry by entry.
#[must_use]
pub fn read_history(text: &str) -> History {
    let mut history = History::default();
    let mut block: Option<String> = None;
    let mut close = |block: Option<String>| match block.as_deref().map(change) {
        Some(Some(change)) => history.changes.push(change),
        Some(None) => history.unreadable += 1,
        None => {}
    };
    for line in text.lines() {
        if line.trim_end() == MARK {
            close(block.replace(String::new()));
        } else if let Some(block) = &mut block {
            block.push_str(line);
            block.push('\n');
        }
    }
    close(block);
    history
}

fn change(block: &str) -> Option<Change> {
    let document: DocumentMut = block.parse().ok()?;
    let text = |key: &str| document.get(key).and_then(Item::as_str).map(str::to_owned);
    Some(Change {
        when: text("when")?,
        who: text("who")?,
        file: text("file")?,
        what: text("what")?,
        hunk: Hunk {
            line: document.get("line").and_then(Item::as_integer).and_then(|n| u32::try_from(n).ok())?,
            old: text("old")?,
            new: text("new")?,
        },
        written: document.get("written").and_then(Item::as_bool).unwrap_or(true),
    })
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn of(old: &str, new: &str) -> Change {
        Change {
            when: "2026-03-02T10:15:00Z".into(),
            who: "R. \"K\"\n[[change]]".into(),
            file: "positions/A.toml".into(),
            what: "motor.current".into(),
            hunk: Hunk::between(old, new),
            written: true,
        }
    }

    #[test]
    fn entries_come_back_and_a_cut_one_spoils_no_other() {
        let (a, b) = (of("x = 1\n", "x = \"\\u{7f}\\\\\"\n"), Change { written: false, ..of("", "y\n") });
        let text = entry(&a, true) + &entry(&b, false);
        assert_eq!(read_history(&text), History { changes: vec![a.clone(), b.clone()], unreadable: 0 });
        let cut = &text[..text.len() - 4];
        assert_eq!(read_history(cut).unreadable, 1);
        let on = cut.to_owned() + &entry(&b, false);
        assert_eq!(read_history(&on), History { changes: vec![a, b], unreadable: 1 });
    }

    #[test]
    fn a_change_is_taken_back_where_it_stands_or_where_its_lines_moved() {
        let change = of("a\nkind = 1\nz\nkind = 2\n", "a\nkind = 2\nz\nkind = 2\n");
        // Twice the same line: the place decides.
        assert_eq!(undone("a\nkind = 2\nz\nkind = 2\n", &change).as_deref(), Some("a\nkind = 1\nz\nkind = 2\n"));
        // Moved, and there twice: nobody can tell.
        assert_eq!(undone("\na\nkind = 2\nz\nkind = 2\n", &change), None);
        // An added line at the end, and a deleted one.
        assert_eq!(undone("a\nb\n", &of("a\n", "a\nb\n")).as_deref(), Some("a\n"));
        assert_eq!(undone("a\n", &of("a\nb\n", "a\n")).as_deref(), Some("a\nb\n"));
        assert_eq!(undone("", &of("a\nb\n", "a\n")), None);
    }

    proptest! {
        #[test]
        fn taking_back_gives_the_text_before(old in "([ab]\n){0,6}[ab]?", new in "([ab]\n){0,6}[ab]?") {
            let change = Change { hunk: Hunk::between(&old, &new), ..Change::default() };
            prop_assert_eq!(undone(&new, &change), Some(old));
        }

        #[test]
        fn any_text_comes_back(text in any::<String>()) {
            let change = of("", &text);
            prop_assert_eq!(read_history(&entry(&change, false)).changes, vec![change]);
        }
    }
}
