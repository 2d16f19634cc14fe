//! Papers as PDF, set by a typesetting engine that only this crate names. The same papers, options and version give the same bytes.
//!
//! The papers of a binder are set once, in one pass; the PDF of all of them and those of single papers are bound from the same pages.

mod bind;
mod formula;
mod source;
mod world;

use std::collections::BTreeMap;
use std::error::Error;
use std::fmt;

use dossier::paper::Binder;
use typst::ecow::EcoString;
use typst::foundations::{Datetime, Label, Smart};
use typst::introspection::{Introspector, Location};
use typst::model::DocumentInfo;
use typst::utils::PicoStr;
use typst_layout::{Page, PagedDocument};
use typst_pdf::{PdfOptions, Timestamp};

use crate::bind::{Bound, Target};
use crate::source::{Foot, contents, feet, paper_anchor, papers};
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

impl Failed {
    fn because(problem: impl Into<String>) -> Self {
        Self { problems: vec![problem.into()] }
    }

    fn said(diagnostics: &[typst::diag::SourceDiagnostic]) -> Self {
        Self { problems: diagnostics.iter().map(|d| d.message.to_string()).collect() }
    }
}

/// The papers of a binder, set but not bound yet.
pub struct Papers<'b> {
    binder: &'b Binder,
    info: DocumentInfo,
    /// Pages of the contents, with their feet.
    contents: Vec<Page>,
    /// Pages of each paper.
    papers: Vec<Leaves>,
    /// Where links lead.
    places: BTreeMap<String, Place>,
}

impl fmt::Debug for Papers<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Papers").field("tag", &self.binder.tag).field("pages", &self.pages()).finish_non_exhaustive()
    }
}

/// The pages of one paper, with the feet that they have among all papers and by themselves.
struct Leaves {
    pages: Vec<Page>,
    among_all: Vec<Page>,
    alone: Vec<Page>,
}

/// Where an anchor stands.
struct Place {
    location: Location,
    paper: usize,
    /// Page of its paper, from 1.
    page: usize,
}

/// Sets all papers of a binder, with contents before them.
///
/// # Errors
/// A figure that cannot be drawn, or what the typesetter says against it.
pub fn set(binder: &Binder, size: Size) -> Result<Papers<'_>, Failed> {
    let source::Made { text, figures, anchors } = papers(binder, size)?;
    let mut document = compile(PAPERS, text, figures)?;
    let info = document.info_mut().clone();
    let found = |anchor: &str| -> Result<(Location, usize), Failed> {
        let lost = || Failed::because(format!("the anchor {anchor} is on no page"));
        let label = Label::new(PicoStr::intern(anchor)).ok_or_else(lost)?;
        let introspector = document.introspector();
        let location = introspector.query_label(label).ok().and_then(typst::foundations::Content::location).ok_or_else(lost)?;
        Ok((location, introspector.page(location).ok_or_else(lost)?.get()))
    };
    // Pages of the papers as they were set, from 1, and one past the last.
    let mut begins = Vec::with_capacity(binder.papers.len() + 1);
    for paper in &binder.papers {
        begins.push(found(&paper_anchor(paper))?.1);
    }
    let last = document.pages().len();
    begins.push(if binder.papers.is_empty() { 1 } else { last + 1 });
    let mut places = BTreeMap::new();
    for anchor in anchors {
        let (location, page) = found(&anchor)?;
        let paper = begins.partition_point(|begin| *begin <= page).saturating_sub(1);
        places.insert(anchor, Place { location, paper, page: page + 1 - begins[paper] });
    }
    let mut front = compile(CONTENTS, contents(binder, size, &shifted(&begins, 1)), Vec::new())?;
    if front.pages().len() > 1 {
        // A list of papers that is longer than a page moves them all.
        front = compile(CONTENTS, contents(binder, size, &shifted(&begins, front.pages().len())), Vec::new())?;
    }
    let before = front.pages().len();
    let of = before + last;
    let lengths: Vec<usize> = begins.windows(2).map(|pair| pair[1] - pair[0]).collect();
    let of_contents = (1..=before).map(|page| Foot { revision: "of each paper: see its pages", page, of });
    let revisions = || binder.papers.iter().map(|p| p.revision.as_str()).zip(&lengths);
    let among_all = (before + 1..).zip(revisions().flat_map(|(revision, length)| std::iter::repeat_n(revision, *length)));
    let among_all = among_all.map(|(page, revision)| Foot { revision, page, of });
    let alone = revisions().flat_map(|(revision, length)| (1..=*length).map(move |page| Foot { revision, page, of: *length }));
    let made = compile(FEET, feet(binder, size, of_contents.chain(among_all).chain(alone)), Vec::new())?;
    let mut feet = made.pages().iter().cloned();
    let mut take = |number: usize| feet.by_ref().take(number).collect::<Vec<Page>>();
    let contents = bind::with_feet(front.pages(), &take(before));
    let all_feet: Vec<Vec<Page>> = lengths.iter().map(|length| take(*length)).collect();
    let papers = lengths.iter().zip(&begins).zip(all_feet).map(|((length, begin), among_all)| Leaves {
        pages: document.pages()[begin - 1..begin - 1 + length].to_vec(),
        among_all,
        alone: take(*length),
    });
    let papers = papers.collect();
    Ok(Papers { binder, info, contents, papers, places })
}

/// Pages on which papers begin, behind so many others.
fn shifted(begins: &[usize], by: usize) -> Vec<usize> {
    begins.iter().map(|begin| begin + by).collect()
}

/// Names of the three sources: what is set from one is never taken for what is set from another.
const PAPERS: &str = "papers.typ";
const CONTENTS: &str = "contents.typ";
const FEET: &str = "feet.typ";

fn compile(name: &str, text: String, figures: Vec<String>) -> Result<PagedDocument, Failed> {
    let desk = Desk::new(name, text, figures).ok_or_else(|| Failed::because("no name for the source"))?;
    typst::compile::<PagedDocument>(&desk).output.map_err(|all| Failed::said(&all))
}

impl Papers<'_> {
    /// Pages of the PDF of all papers.
    #[must_use]
    pub fn pages(&self) -> usize {
        self.contents.len() + self.papers.iter().map(|p| p.pages.len()).sum::<usize>()
    }

    /// All papers behind their contents, one PDF whose links lead from paper to paper. `inputs` is what stands before the name of an input
    /// file in links to it, as seen from the PDF: "inputs/"; `None` makes no such links.
    ///
    /// # Errors
    /// What the typesetter says against it.
    pub fn all(&self, inputs: Option<&str>) -> Result<Pdf, Failed> {
        let mut before = self.contents.len();
        let begins: Vec<usize> = self
            .papers
            .iter()
            .map(|paper| {
                before += paper.pages.len();
                before - paper.pages.len()
            })
            .collect();
        let place = |anchor: &str| {
            let place = self.places.get(anchor)?;
            Some((place.location, begins.get(place.paper)? + place.page))
        };
        let papers = self.papers.iter().flat_map(|paper| bind::with_feet(&paper.pages, &paper.among_all));
        let pages = self.contents.iter().cloned().chain(papers).collect();
        self.bound(pages, "all papers", "all", inputs, &place)
    }

    /// One paper by itself, by its place in the binder from 0; words that lead to other papers are plain. `inputs` as for [`Papers::all()`].
    ///
    /// # Errors
    /// A place that the binder does not have, or what the typesetter says against it.
    pub fn paper(&self, number: usize, inputs: Option<&str>) -> Result<Pdf, Failed> {
        let (Some(paper), Some(leaves)) = (self.binder.papers.get(number), self.papers.get(number)) else {
            return Err(Failed::because(format!("there is no paper {}", number + 1)));
        };
        let place = |anchor: &str| self.places.get(anchor).filter(|p| p.paper == number).map(|p| (p.location, p.page));
        self.bound(bind::with_feet(&leaves.pages, &leaves.alone), &paper.title, &paper.name, inputs, &place)
    }

    fn bound(
        &self,
        pages: Vec<Page>,
        title: &str,
        name: &str,
        inputs: Option<&str>,
        place: &dyn Fn(&str) -> Option<(Location, usize)>,
    ) -> Result<Pdf, Failed> {
        let Binder { site, tag, date, .. } = self.binder;
        let target = |link: &str| match link.strip_prefix(source::TO_ANCHOR) {
            Some(anchor) => place(anchor).map(|(location, page)| Target::Here { location, page }),
            None => inputs.map(|base| Target::File(format!("{base}{link}"))),
        };
        let pages = pages.into_iter();
        let mut bound = Bound::new(&target);
        let pages = pages.map(|page| bound.page(page)).collect();
        let info = DocumentInfo { title: Some(EcoString::from(format!("{site} {tag}: {title}"))), ..self.info.clone() };
        let document = PagedDocument::new(pages, info);
        let options = PdfOptions {
            ident: Smart::Custom(format!("{site}/{tag}/{name}")),
            creator: Smart::Custom(Some("changeout".to_owned())),
            timestamp: day(date).map(Timestamp::new_utc),
            ..PdfOptions::default()
        };
        let bytes = typst_pdf::pdf(&document, &options).map_err(|all| Failed::said(&all))?;
        Ok(Pdf { bytes, pages: document.pages().len() })
    }
}

/// Lets go of what the typesetter remembers, which may only be done while nothing is worth keeping: after all papers of a binder. Memory
/// would grow with each binder otherwise.
pub fn forget() {
    typst::comemo::evict(0);
}

/// The date of the papers; `None` where it is none.
fn day(text: &str) -> Option<Datetime> {
    let mut parts = text.split('-');
    let (year, month, day) = (parts.next()?.parse().ok()?, parts.next()?.parse().ok()?, parts.next()?.parse().ok()?);
    Datetime::from_ymd_hms(year, month, day, 0, 0, 0)
}
