//! Papers as PDF, set by a typesetting engine that only this crate names. The same papers, options and version give the same bytes.

mod formula;
mod source;
mod world;

use std::error::Error;
use std::fmt;

use dossier::paper::{Binder, Paper};
use typst::foundations::{Datetime, Smart};
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, Timestamp};

use crate::source::{Made, single, whole};
use crate::world::Desk;

/// Size of the sheets.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Size {
    /// 210 mm × 297 mm.
    #[default]
    A4,
    /// 8.5 in × 11 in.
    Letter,
}

/// How papers are set.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Options {
    /// Size of the sheets.
    pub size: Size,
    /// What stands before the name of an input file in links to it, as seen from the PDF: "../inputs/"; `None` makes no such links.
    pub inputs: Option<String>,
}

/// A finished PDF.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Pdf {
    /// Its bytes.
    pub bytes: Vec<u8>,
    /// How many pages it has.
    pub pages: usize,
}

/// Why there is no PDF.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Failed {
    /// One line for each thing that is wrong.
    pub problems: Vec<String>,
}

impl fmt::Display for Failed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "the papers cannot be set: {}", self.problems.join("; "))
    }
}

impl Error for Failed {}

impl From<output::Refused> for Failed {
    fn from(refused: output::Refused) -> Self {
        Self { problems: refused.problems }
    }
}

/// All papers of a binder behind their contents, one PDF whose links lead from paper to paper.
///
/// # Errors
/// A figure that cannot be drawn, or what the typesetter says against it.
pub fn binder(binder: &Binder, options: &Options) -> Result<Pdf, Failed> {
    set(whole(binder, options)?, binder, "all")
}

/// One paper of a binder by itself; words that lead to other papers are plain.
///
/// # Errors
/// As [`binder()`].
pub fn paper(binder: &Binder, paper: &Paper, options: &Options) -> Result<Pdf, Failed> {
    set(single(binder, paper, options)?, binder, &paper.name)
}

fn set(made: Made, binder: &Binder, name: &str) -> Result<Pdf, Failed> {
    let said =
        |diagnostics: &[typst::diag::SourceDiagnostic]| Failed { problems: diagnostics.iter().map(|d| d.message.to_string()).collect() };
    let desk = Desk::new(made.text, made.figures).ok_or_else(|| Failed { problems: vec!["no name for the source".to_owned()] })?;
    let document = typst::compile::<PagedDocument>(&desk).output.map_err(|all| said(&all))?;
    let options = PdfOptions {
        ident: Smart::Custom(format!("{}/{}/{name}", binder.site, binder.tag)),
        creator: Smart::Custom(Some("changeout".to_owned())),
        timestamp: date(&binder.date).map(Timestamp::new_utc),
        ..PdfOptions::default()
    };
    let bytes = typst_pdf::pdf(&document, &options).map_err(|all| said(&all))?;
    Ok(Pdf { bytes, pages: document.pages().len() })
}

/// Lets go of what the typesetter remembers, which may only be done while nothing is worth keeping: after all papers of a binder, which
/// are set side by side. Memory would grow with each binder otherwise.
pub fn forget() {
    typst::comemo::evict(0);
}

/// The date of the papers; `None` where it is none.
fn date(text: &str) -> Option<Datetime> {
    let mut parts = text.split('-');
    let (year, month, day) = (parts.next()?.parse().ok()?, parts.next()?.parse().ok()?, parts.next()?.parse().ok()?);
    Datetime::from_ymd_hms(year, month, day, 0, 0, 0)
}
