//! Set pages into the pages of one PDF: each gets its foot, and what was set as a link gets its target, which other pages decide. A link
//! that leads nowhere in this PDF becomes plain words.

use std::collections::HashSet;

use typst::ecow::{EcoString, eco_format};
use typst::introspection::{Location, Tag};
use typst::layout::{Frame, FrameItem, Point, Size};
use typst::model::{Destination, LinkMarker, Url};
use typst::visualize::{Color, Paint};
use typst_layout::Page;

use crate::source::{ACCENT, INK};

/// Where a link leads.
pub(crate) enum Target {
    /// To a place in this PDF, which is on that page, from 1.
    Here { location: Location, page: usize },
    /// To a file.
    File(String),
}

/// Pages, each with the foot of the page at the same place in `feet` laid over it.
pub(crate) fn with_feet(pages: &[Page], feet: &[Page]) -> Vec<Page> {
    let laid = |(page, foot): (&Page, &Page)| {
        let mut page = page.clone();
        page.frame.push_frame(Point::zero(), foot.frame.clone());
        page
    };
    pages.iter().zip(feet).map(laid).collect()
}

/// Pages of one PDF in the making.
pub(crate) struct Bound<'t> {
    /// Where a link that was set like this leads in this PDF; `None` where it leads nowhere.
    target: &'t dyn Fn(&str) -> Option<Target>,
    /// Links that lead nowhere, whose end has not come yet: it may come on a later page.
    plain: HashSet<Location>,
}

fn paint([red, green, blue]: [u8; 3]) -> Paint {
    Paint::Solid(Color::from_u8(red, green, blue, u8::MAX))
}

impl<'t> Bound<'t> {
    pub(crate) fn new(target: &'t dyn Fn(&str) -> Option<Target>) -> Self {
        Self { target, plain: HashSet::new() }
    }

    /// The page with its links; pages come in their order.
    pub(crate) fn page(&mut self, mut page: Page) -> Page {
        self.frame(&mut page.frame);
        page
    }

    fn frame(&mut self, frame: &mut Frame) {
        // Frames are shared between PDFs: what has no links is left alone.
        if !self.concerns(frame) {
            return;
        }
        let dead = |item: &(Point, FrameItem)| match &item.1 {
            FrameItem::Link(Destination::Url(url), size) if (self.target)(url).is_none() => Some((item.0, *size)),
            _ => None,
        };
        let dead: Vec<(Point, Size)> = frame.items().filter_map(dead).collect();
        let blackened: Vec<bool> = frame.items().map(|(at, _)| dead.iter().any(|(from, size)| inside(*at, *from, *size))).collect();
        let mut blackened = blackened.into_iter();
        frame.retain(|item| {
            let blackened = blackened.next().unwrap_or(false);
            self.item(item, blackened)
        });
    }

    /// Whether a frame holds anything that is changed.
    fn concerns(&self, frame: &Frame) -> bool {
        frame.items().any(|(_, item)| match item {
            FrameItem::Group(group) => self.concerns(&group.frame),
            FrameItem::Link(..) => true,
            FrameItem::Tag(Tag::Start(content, _)) => content.is::<LinkMarker>(),
            FrameItem::Tag(Tag::End(location, ..)) => self.plain.contains(location),
            _ => false,
        })
    }

    /// Changes one thing; `false` where it is left out.
    fn item(&mut self, item: &mut FrameItem, blackened: bool) -> bool {
        match item {
            FrameItem::Group(group) => self.frame(&mut group.frame),
            FrameItem::Text(text) if blackened && text.fill == paint(ACCENT) => text.fill = paint(INK),
            FrameItem::Link(destination, _) => {
                if let Destination::Url(url) = &*destination {
                    let Some(new) = (self.target)(url).and_then(destined) else { return false };
                    *destination = new;
                }
            }
            FrameItem::Tag(Tag::Start(content, _)) => {
                let location = content.location();
                if let Some(marker) = content.to_packed_mut::<LinkMarker>() {
                    match marker.alt.as_deref().and_then(|alt| (self.target)(alt)) {
                        Some(target) => marker.alt = Some(told(&target)),
                        None => {
                            self.plain.extend(location);
                            return false;
                        }
                    }
                }
            }
            FrameItem::Tag(Tag::End(location, ..)) => return !self.plain.remove(location),
            _ => {}
        }
        true
    }
}

/// Whether a text that begins there belongs to a link over that field.
fn inside(text: Point, from: Point, size: Size) -> bool {
    // Neighbours begin where the field ends, but for what is lost in adding up.
    let slack = typst::layout::Abs::pt(0.01);
    text.x >= from.x - slack && text.x < from.x + size.x - slack && text.y >= from.y && text.y <= from.y + size.y
}

fn destined(target: Target) -> Option<Destination> {
    match target {
        Target::Here { location, .. } => Some(Destination::Location(location)),
        Target::File(path) => Url::new(path).ok().map(Destination::Url),
    }
}

/// Words for those who do not see where a link leads.
fn told(target: &Target) -> EcoString {
    match target {
        Target::Here { page, .. } => eco_format!("page {page}"),
        Target::File(path) => path.into(),
    }
}
