//! What the typesetter may see: one source, the figures, and the fonts that this crate brings along. No disk, no network, no clock.

use std::sync::OnceLock;

use typst::diag::{FileError, FileResult};
use typst::foundations::{Bytes, Datetime, Duration};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt, World};

/// Text in Open Sans, signs that it lacks from DejaVu Sans; both with their licences in fonts/.
const OWN: &[&[u8]] = &[
    include_bytes!("../fonts/OpenSans-Regular.ttf"),
    include_bytes!("../fonts/OpenSans-SemiBold.ttf"),
    include_bytes!("../fonts/OpenSans-Italic.ttf"),
    include_bytes!("../fonts/DejaVuSans-Symbols.ttf"),
];
/// Families that are taken from the typesetter's own assets: formulas, and text that is typed.
const FROM_ASSETS: &[&str] = &["New Computer Modern Math", "DejaVu Sans Mono"];

struct Shared {
    library: LazyHash<Library>,
    book: LazyHash<FontBook>,
    fonts: Vec<Font>,
}

/// The library and the fonts, made once.
fn shared() -> &'static Shared {
    static SHARED: OnceLock<Shared> = OnceLock::new();
    SHARED.get_or_init(|| {
        let own = OWN.iter().flat_map(|data| Font::iter(Bytes::new(*data)));
        let assets = typst_assets::fonts()
            .flat_map(|data| Font::iter(Bytes::new(data)))
            .filter(|font| FROM_ASSETS.contains(&font.info().family.as_str()));
        let fonts: Vec<Font> = own.chain(assets).collect();
        let book = FontBook::from_fonts(&fonts);
        Shared { library: LazyHash::new(Library::default()), book: LazyHash::new(book), fonts }
    })
}

/// One run of the typesetter.
pub(crate) struct Desk {
    main: Source,
    figures: Vec<Bytes>,
}

/// The id of a file that stands at the root; `None` for a name that is no name of a file.
fn id(name: &str) -> Option<FileId> {
    Some(RootedPath::new(VirtualRoot::Project, VirtualPath::new(name).ok()?).intern())
}

/// Name under which the source finds a figure, counted from 0.
pub(crate) fn figure_name(number: usize) -> String {
    format!("figure-{number}.svg")
}

impl Desk {
    /// A run over a source of that name with its figures; `None` only where the typesetter takes no such name.
    pub(crate) fn new(name: &str, source: String, figures: Vec<String>) -> Option<Self> {
        let main = Source::new(id(name)?, source);
        Some(Self { main, figures: figures.into_iter().map(|svg| Bytes::new(svg.into_bytes())).collect() })
    }
}

impl World for Desk {
    fn library(&self) -> &LazyHash<Library> {
        &shared().library
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &shared().book
    }

    fn main(&self) -> FileId {
        self.main.id()
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        if id == self.main.id() { Ok(self.main.clone()) } else { Err(FileError::AccessDenied) }
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        let name = id.get().vpath().get_without_slash();
        let number = name.strip_prefix("figure-").and_then(|n| n.strip_suffix(".svg")).and_then(|n| n.parse::<usize>().ok());
        number.and_then(|n| self.figures.get(n)).cloned().ok_or(FileError::AccessDenied)
    }

    fn font(&self, index: usize) -> Option<Font> {
        shared().fonts.get(index).cloned()
    }

    fn today(&self, _: Option<Duration>) -> Option<Datetime> {
        None
    }
}
