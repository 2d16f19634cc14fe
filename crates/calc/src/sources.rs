//! The documents that the calculations rest on, each with edition and place, and how we know what they say.
//! A source used by one subject only stands in that subject's file; shared ones stand here.

/// How a figure or formula is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Knowledge {
    /// Follows from definitions and physics; anyone can derive it.
    Derived,
    /// Read in a copy of the document or in a handbook that quotes it.
    LookedUp,
    /// Recalled; to be verified in the document before relying on it.
    FromMemory,
    /// Done so in the trade; no document says it.
    CommonPractice,
    /// Stated by the product documents behind a pack.
    Pack,
    /// Stated in the survey of this site.
    Survey,
}

impl Knowledge {
    /// The words printed behind a source.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Derived => "derived",
            Self::LookedUp => "looked up in a public copy",
            Self::FromMemory => "from memory",
            Self::CommonPractice => "common practice, no source",
            Self::Pack => "product pack",
            Self::Survey => "survey",
        }
    }
}

/// A document, its edition, the place in it, and how it is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Source {
    /// Title with edition and clause or table.
    pub title: &'static str,
    /// How we know what it says.
    pub knowledge: Knowledge,
}

impl Source {
    /// A source.
    #[must_use]
    pub const fn new(title: &'static str, knowledge: Knowledge) -> Self {
        Self { title, knowledge }
    }

    /// Title and knowledge, as printed: "NEMA MG 1 12.35 (from memory)".
    #[must_use]
    pub fn text(&self) -> String {
        if self.title.is_empty() { self.knowledge.words().to_owned() } else { format!("{} ({})", self.title, self.knowledge.words()) }
    }
}

/// Definitions and elementary physics.
pub const DEFINITION: Source = Source::new("definition", Knowledge::Derived);
/// A habit of the trade.
pub const PRACTICE: Source = Source::new("", Knowledge::CommonPractice);
/// The product pack of the unit.
pub const PACK: Source = Source::new("the unit's documents, by its pack", Knowledge::Pack);
/// The survey.
pub const SURVEY: Source = Source::new("the survey of this position", Knowledge::Survey);
