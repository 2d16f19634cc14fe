//! Splits CSV text into cells that know their bytes (RFC 4180, with comma, semicolon or tab between cells, `#` lines
//! and blank lines skipped). The usual CSV crate does not tell where a quoted cell stands; the tests compare with it.

use std::borrow::Cow;

use crate::problem::{At, Wrong};

/// A cell's text, without its quotes and the spaces around it, and where it stands.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct GridCell<'s> {
    pub(crate) text: Cow<'s, str>,
    pub(crate) at: At,
}

/// Goes through a text row by row.
#[derive(Debug)]
pub(crate) struct Rows<'s> {
    text: &'s str,
    next: usize,
    delimiter: u8,
}

/// A row that cannot be split.
#[derive(Debug)]
pub(crate) struct BadRow {
    pub(crate) at: At,
    pub(crate) wrong: Wrong,
}

impl<'s> Rows<'s> {
    pub(crate) fn new(text: &'s str) -> Self {
        let start = if text.starts_with('\u{feff}') { '\u{feff}'.len_utf8() } else { 0 };
        Self { text, next: start, delimiter: delimiter(text.get(start..).unwrap_or_default()) }
    }

    /// The same with what stands between the cells already known.
    pub(crate) fn with_delimiter(text: &'s str, delimiter: u8) -> Self {
        Self { delimiter, ..Self::new(text) }
    }

    /// True when semicolons stand between the cells, as spreadsheets write where the comma is the decimal sign.
    pub(crate) fn has_semicolons(&self) -> bool {
        self.delimiter == b';'
    }

    /// Puts the cells of the next row into `cells`; `None` at the end.
    pub(crate) fn next_row(&mut self, cells: &mut Vec<GridCell<'s>>) -> Option<Result<(), BadRow>> {
        cells.clear();
        loop {
            let line_end = self.line_end(self.next);
            let line = self.text.get(self.next..line_end)?;
            if self.next >= self.text.len() {
                return None;
            }
            let content = line.trim_start();
            if !content.is_empty() && !content.starts_with('#') {
                break;
            }
            self.next = self.behind_line_end(line_end);
        }
        loop {
            match self.cell() {
                Ok(cell) => cells.push(cell),
                Err(bad) => return Some(Err(bad)),
            }
            if self.byte() == Some(self.delimiter) {
                self.next += 1;
            } else {
                self.next = self.behind_line_end(self.next);
                return Some(Ok(()));
            }
        }
    }

    fn byte(&self) -> Option<u8> {
        self.text.as_bytes().get(self.next).copied()
    }

    /// Where the line that holds a byte ends, before its line end.
    fn line_end(&self, from: usize) -> usize {
        let rest = self.text.as_bytes().get(from..).unwrap_or_default();
        rest.iter().position(|b| matches!(b, b'\n' | b'\r')).map_or(self.text.len(), |i| from + i)
    }

    fn behind_line_end(&self, end: usize) -> usize {
        let bytes = self.text.as_bytes();
        match (bytes.get(end), bytes.get(end + 1)) {
            (Some(b'\r'), Some(b'\n')) => end + 2,
            (Some(_), _) => end + 1,
            (None, _) => end,
        }
    }

    fn skip_spaces(&mut self) {
        while self.byte().is_some_and(|b| (b == b' ' || b == b'\t') && b != self.delimiter) {
            self.next += 1;
        }
    }

    /// The cell that begins here; afterwards the delimiter, a line end or the end is next.
    fn cell(&mut self) -> Result<GridCell<'s>, BadRow> {
        self.skip_spaces();
        if self.byte() == Some(b'"') {
            return self.quoted();
        }
        let start = self.next;
        while self.byte().is_some_and(|b| b != self.delimiter && b != b'\n' && b != b'\r') {
            self.next += 1;
        }
        // Delimiters and line ends are ASCII, so both ends are character boundaries.
        let text = self.text.get(start..self.next).unwrap_or_default().trim_end();
        Ok(GridCell { text: text.into(), at: At::Text { start, end: start + text.len() } })
    }

    fn quoted(&mut self) -> Result<GridCell<'s>, BadRow> {
        let start = self.next;
        let bytes = self.text.as_bytes();
        let mut end = start + 1;
        let mut doubled = false;
        loop {
            match (bytes.get(end), bytes.get(end + 1)) {
                (Some(b'"'), Some(b'"')) => {
                    doubled = true;
                    end += 2;
                }
                (Some(b'"'), _) => break,
                (Some(_), _) => end += 1,
                (None, _) => {
                    self.next = self.text.len();
                    let wrong = Wrong::new("the quote that opens here is never closed", "nothing behind it was read");
                    return Err(BadRow { at: At::Text { start, end: self.line_end(start) }, wrong });
                }
            }
        }
        let inner = self.text.get(start + 1..end).unwrap_or_default();
        self.next = end + 1;
        self.skip_spaces();
        if self.byte().is_some_and(|b| b != self.delimiter && b != b'\n' && b != b'\r') {
            let at = At::Text { start: self.next, end: self.line_end(self.next) };
            self.next = self.behind_line_end(self.line_end(self.next));
            return Err(BadRow {
                at,
                wrong: Wrong::new("text stands behind the closing quote", "write a quote inside quotes twice: \"\"; the row was not read"),
            });
        }
        let text = if doubled { inner.replace("\"\"", "\"").into() } else { inner.into() };
        Ok(GridCell { text, at: At::Text { start, end: end + 1 } })
    }
}

/// What stands between the cells, by the first line that counts.
fn delimiter(text: &str) -> u8 {
    let header = text.lines().find(|l| !l.trim().is_empty() && !l.trim_start().starts_with('#')).unwrap_or_default();
    let mut counts = [(b',', 0), (b';', 0), (b'\t', 0)];
    let mut quoted = false;
    for b in header.bytes() {
        quoted ^= b == b'"';
        counts.iter_mut().filter(|(d, _)| *d == b && !quoted).for_each(|(_, n)| *n += 1);
    }
    // The comma stands first, so that it wins when nothing decides.
    counts.iter().rev().max_by_key(|(_, n)| *n).map_or(b',', |(d, _)| *d)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn split(text: &str) -> Vec<Vec<String>> {
        let mut rows = Rows::new(text);
        let (mut cells, mut all) = (Vec::new(), Vec::new());
        while let Some(row) = rows.next_row(&mut cells) {
            row.unwrap_or_else(|b| panic!("{b:?}"));
            all.push(cells.iter().map(|c| c.text.clone().into_owned()).collect());
        }
        all
    }

    #[test]
    fn cells_know_their_bytes() {
        let text = "a , \"b \"\"x\"\"\" ,°C\r\n# no row, at all\n\n1,,3";
        let mut rows = Rows::new(text);
        let mut cells = Vec::new();
        assert!(matches!(rows.next_row(&mut cells), Some(Ok(()))));
        let at = |i: usize| match cells[i].at {
            At::Text { start, end } => &text[start..end],
            _ => "",
        };
        assert_eq!((at(0), at(1), at(2)), ("a", "\"b \"\"x\"\"\"", "°C"));
        assert_eq!(cells[1].text, "b \"x\"");
        assert!(matches!(rows.next_row(&mut cells), Some(Ok(()))));
        assert_eq!(cells.iter().map(|c| &*c.text).collect::<Vec<_>>(), ["1", "", "3"]);
        assert!(rows.next_row(&mut cells).is_none());
    }

    #[test]
    fn the_delimiter_is_found_on_the_header() {
        assert_eq!(split("# a,b,c,d\n\u{20}\na;b\n1,5;2"), [["a", "b"], ["1,5", "2"]]);
        assert_eq!(split("\u{feff}a\tb\n1\t\n"), [["a", "b"], ["1", ""]]);
        assert_eq!(split("a\n1,5"), vec![vec!["a"], vec!["1", "5"]]);
        assert_eq!(split("\"a;b\",c\rx,y\r"), [["a;b", "c"], ["x", "y"]]);
    }

    #[test]
    fn bad_quotes_are_told_and_the_next_row_is_read() {
        let mut rows = Rows::new("a,b\n\"x\"y,1\n2,\"open\n3,4");
        let mut cells = Vec::new();
        assert!(matches!(rows.next_row(&mut cells), Some(Ok(()))));
        assert!(matches!(rows.next_row(&mut cells), Some(Err(b)) if b.at == At::Text { start: 7, end: 10 }));
        assert!(matches!(rows.next_row(&mut cells), Some(Err(b)) if b.wrong.message.contains("never closed")));
        assert!(rows.next_row(&mut cells).is_none());
    }

    proptest::proptest! {
        #[test]
        fn any_text_ends(text in "[a\", ;#\n\r\té]{0,60}") {
            let mut rows = Rows::new(&text);
            let mut cells = Vec::new();
            let mut count = 0;
            while rows.next_row(&mut cells).is_some() { count += 1; }
            assert!(count <= text.len());
        }

        #[test]
        fn what_the_csv_crate_writes_is_split_alike(table in proptest::collection::vec(proptest::collection::vec("[a-c\",;\n é]{0,6}", 3), 1..6)) {
            let mut writer = ::csv::WriterBuilder::new().quote_style(::csv::QuoteStyle::Always).from_writer(Vec::new());
            // The header decides the delimiter.
            writer.write_record(["x", "y", "z"]).expect("memory");
            for row in &table { writer.write_record(row).expect("memory"); }
            let text = String::from_utf8(writer.into_inner().expect("memory")).expect("utf-8");
            assert_eq!(&split(&text)[1..], &table[..]);
        }

        #[test]
        fn plain_cells_are_split_as_the_csv_crate_splits_them(text in "x,y\n([a-c.]{1,3},[a-c.]{0,3}\n){0,8}") {
            let mut reader = ::csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
            let theirs: Vec<Vec<String>> = reader.records().map(|r| r.expect("rows of two").iter().map(str::to_owned).collect()).collect();
            assert_eq!(split(&text), theirs);
        }
    }
}
