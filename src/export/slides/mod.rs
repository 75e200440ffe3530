//! A deck as slides of PresentationML (ECMA-376-1), `.pptx`.
//!
//! The pipeline: a [`Deck`]'s slides are laid out over [`page`]s by `flow`, with sizes that `look` reads
//! from the master and layouts of a [`Base`]: our own, or a department's. `part` writes the XML. Text
//! stands in the placeholders of the layouts, so that another master restyles it.
//!
//! No text is smaller than 24 points but the line at the foot, the slide's number and its part; a table
//! may go down to 18 where its rows would otherwise be torn apart.

pub(super) mod base;
pub(in crate::export) mod flow;
pub(in crate::export) mod grid;
pub(in crate::export) mod look;
pub(in crate::export) mod page;
mod part;
pub mod template;
pub(in crate::export) mod title;

use super::format::{ExportError, Format, Options};
use crate::document::Deck;
#[cfg(feature = "pdf")]
use {look::Looks, page::Page};

pub use base::Base;

/// The media type of a presentation.
pub const MEDIA_TYPE: &str = "application/vnd.openxmlformats-officedocument.presentationml.presentation";

/// The format.
pub const FORMAT: Format<Deck> = Format {
    slug: "slides",
    name: "Slides (PowerPoint)",
    extension: "pptx",
    media_type: MEDIA_TYPE,
    use_for: "Slides to edit and to show where this server does not run, with what you want to say in the notes. Each stop point is two slides: the question, then what was chosen.",
    render,
};

/// A deck laid out on our own slides, for a file that draws them itself.
#[cfg(feature = "pdf")]
#[derive(Debug)]
pub(in crate::export) struct LaidOut<'a> {
    /// The width and the height of a slide, in points.
    pub(in crate::export) size: (f64, f64),
    pub(in crate::export) looks: &'static Looks,
    pub(in crate::export) pages: Vec<Page<'a>>,
}

/// Lays a deck out on our own slides.
#[cfg(feature = "pdf")]
pub(in crate::export) fn laid_out(deck: &Deck) -> LaidOut<'_> {
    let looks = Base::ours().looks();
    LaidOut { size: looks.size, looks, pages: flow::pages(deck, looks) }
}

fn render(deck: &Deck, options: &Options) -> Result<Vec<u8>, ExportError> {
    let base = options.template.as_deref().unwrap_or_else(|| Base::ours());
    let pages = flow::pages(deck, base.looks());
    part::package(deck, base, &pages)
}
