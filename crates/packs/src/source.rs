//! The text of one file with its name, and where its lines begin.

use std::ops::Range;
use std::sync::Arc;

use crate::problem::{Problem, Severity};

/// Largest text file that is read: a survey or a table typed by people stays far below.
pub const TEXT_BYTES: usize = 8 << 20;
/// Largest workbook that is read, packed and (as its own directory states) unpacked eight times that.
pub const SHEET_BYTES: usize = 32 << 20;
/// Largest current log that is read.
pub const LOG_BYTES: usize = 32 << 20;
/// Most rows of one table.
pub const ROWS: usize = 100_000;
/// Most samples of a current log: eleven days at one each second.
pub const LOG_ROWS: usize = 1_000_000;

/// A file's text as it came, under the name that people know it by.
#[derive(Clone, Debug)]
pub struct Source {
    name: Arc<str>,
    text: Arc<str>,
    /// Byte at which each line begins.
    lines: Arc<[usize]>,
}

/// A place in a text, both counted from 1; columns count characters.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Spot {
    /// Line.
    pub line: u32,
    /// Column.
    pub column: u32,
}

impl Source {
    /// From a text.
    #[must_use]
    pub fn new(name: impl Into<Arc<str>>, text: impl Into<Arc<str>>) -> Self {
        let (name, text) = (name.into(), text.into());
        let bytes = text.as_bytes();
        let ends = |(i, b): (usize, &u8)| (*b == b'\n' || (*b == b'\r' && bytes.get(i + 1) != Some(&b'\n'))).then_some(i + 1);
        let lines = std::iter::once(0).chain(bytes.iter().enumerate().filter_map(ends)).collect();
        Self { name, text, lines }
    }

    /// From a file's bytes.
    ///
    /// # Errors
    /// When they are more than `most`, or no UTF-8 text.
    pub fn from_bytes(name: impl Into<Arc<str>>, bytes: &[u8], most: usize) -> Result<Self, Problem> {
        let name = name.into();
        if bytes.len() > most {
            return Err(too_large(&name, bytes.len(), most));
        }
        match std::str::from_utf8(bytes) {
            Ok(text) => Ok(Self::new(name, text)),
            Err(e) => {
                let read = bytes.get(..e.valid_up_to()).and_then(|b| std::str::from_utf8(b).ok()).unwrap_or_default();
                let spot = Self::new(name.clone(), read).spot(read.len());
                let found = if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) { "UTF-16" } else { "no UTF-8 text" };
                Err(Problem {
                    line: spot.line,
                    column: spot.column,
                    help: "save the file as UTF-8 (spreadsheets call it “CSV UTF-8”); until then nothing of it is read".into(),
                    ..Problem::new(Severity::Error, name, format!("this is {found}"))
                })
            }
        }
    }

    /// Name of the file, as shown to people.
    #[must_use]
    pub fn name(&self) -> &Arc<str> {
        &self.name
    }

    /// The whole text.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The same, shared.
    #[must_use]
    pub const fn shared_text(&self) -> &Arc<str> {
        &self.text
    }

    /// Line and column of a byte; beyond the end, of the end.
    #[must_use]
    pub fn spot(&self, byte: usize) -> Spot {
        let mut byte = byte.min(self.text.len());
        while !self.text.is_char_boundary(byte) {
            byte -= 1;
        }
        let line = self.lines.partition_point(|start| *start <= byte).max(1);
        let start = self.lines.get(line - 1).copied().unwrap_or(0);
        let column = self.text.get(start..byte).map_or(0, |t| t.trim_start_matches('\u{feff}').chars().count());
        Spot { line: u32::try_from(line).unwrap_or(u32::MAX), column: u32::try_from(column + 1).unwrap_or(u32::MAX) }
    }

    /// The bytes of a line (counted from 1) without its line end; empty beyond the last.
    #[must_use]
    pub fn line_span(&self, line: u32) -> Range<usize> {
        let index = usize::try_from(line).unwrap_or(usize::MAX).saturating_sub(1);
        let Some(start) = self.lines.get(index).copied() else { return self.text.len()..self.text.len() };
        let next = self.lines.get(index + 1).copied().unwrap_or(self.text.len());
        let line = self.text.get(start..next).unwrap_or_default();
        start..start + line.trim_end_matches(['\n', '\r']).len()
    }
}

/// The problem of a file that is too large.
pub(crate) fn too_large(name: &Arc<str>, bytes: usize, most: usize) -> Problem {
    let message = format!("the file has {} KiB; {} KiB are the most that is read", bytes.div_ceil(1024), most / 1024);
    Problem { help: "nothing of it was read".into(), ..Problem::new(Severity::Error, name.clone(), message) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spots_count_lines_and_characters_from_one() {
        let source = Source::new("a", "ab\nµ°x\r\n\rz");
        let spot = |byte| source.spot(byte);
        assert_eq!(spot(0), Spot { line: 1, column: 1 });
        assert_eq!(spot(3), Spot { line: 2, column: 1 });
        assert_eq!(spot(7), Spot { line: 2, column: 3 });
        assert_eq!(spot(10), Spot { line: 3, column: 1 }, "the lone carriage return ends a line");
        assert_eq!(spot(11), Spot { line: 4, column: 1 });
        assert_eq!(spot(999), Spot { line: 4, column: 2 });
        assert_eq!(&source.text()[source.line_span(2)], "µ°x");
        assert_eq!(source.line_span(9), 12..12);
        assert_eq!(Source::new("a", "\u{feff}ab").spot(4), Spot { line: 1, column: 2 }, "a byte order mark is no column");
    }

    #[test]
    fn bytes_that_are_no_text_say_on_which_line() {
        let problem = Source::from_bytes("a.csv", b"code\nx,\xb0C\n", TEXT_BYTES).expect_err("latin 1");
        assert_eq!((problem.line, problem.column), (2, 3));
        assert!(Source::from_bytes("a.csv", b"\xff\xfea\0", TEXT_BYTES).expect_err("utf-16").message.contains("UTF-16"));
        assert!(Source::from_bytes("a.csv", &[b' '; 2048], 1024).expect_err("large").message.contains("2 KiB"));
    }
}
