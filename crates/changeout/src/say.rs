//! The way to the terminal: what is printed carries no control characters out of the files of a site, and a reader that went
//! away or a full disk ends the command instead of panicking.

use std::io::{self, BufWriter, StdoutLock, Write};

/// Standard output, buffered, without control characters other than line ends and tabs.
pub(crate) fn out() -> Plain<BufWriter<StdoutLock<'static>>> {
    Plain(BufWriter::new(io::stdout().lock()))
}

/// Prints a line.
pub(crate) fn line(text: impl std::fmt::Display) -> io::Result<()> {
    let mut out = out();
    writeln!(out, "{text}")?;
    out.flush()
}

/// Prints a line to standard error; when that is closed there is nobody left to tell.
pub(crate) fn aside(text: impl std::fmt::Display) {
    let _ = writeln!(Plain(io::stderr().lock()), "{text}");
}

/// Puts a mark in the place of control characters.
#[derive(Debug)]
pub(crate) struct Plain<W>(W);

impl<W: Write> Write for Plain<W> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        // C0 and DEL are single bytes in UTF-8; C1 is C2 80 to C2 9F.
        let control = |i: usize| {
            let byte = bytes[i];
            (byte < 0x20 && byte != b'\n' && byte != b'\t')
                || byte == 0x7f
                || ((0x80..=0x9f).contains(&byte) && i > 0 && bytes[i - 1] == 0xc2)
        };
        if !(0..bytes.len()).any(control) {
            return self.0.write(bytes);
        }
        let clean: Vec<u8> = (0..bytes.len())
            .map(|i| {
                if !control(i) {
                    bytes[i]
                } else if bytes[i] >= 0x80 {
                    0xbf
                } else {
                    b'?'
                }
            })
            .collect();
        self.0.write_all(&clean)?;
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        self.0.flush()
    }
}
