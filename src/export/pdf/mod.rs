//! Documents and decks as PDF (ISO 32000-1), tagged as PDF/UA-1 (ISO 14289-1) asks: headings, lists, tables
//! with their heads, drawings with their words, a title, a language. The fonts are inside, drawings stay
//! lines. Behind the feature `pdf`, which takes several minutes to build.
//!
//! The pipeline: blocks → pieces (`office::text`) → data (`content`, `deck`) → `press` sets them with the
//! sheets in `sheet/`, which say how a page looks. What a person typed reaches the sheets as strings, never as
//! their language. Letters that our fonts lack are taken from the fonts of the machine (`font`), and where it
//! has none either, the document says so.

mod content;
mod deck;
mod font;
mod letter;
mod press;
mod tree;

use serde_json::json;

use super::format::{ExportError, Format, LANGUAGE, Options};
use super::office::text::pieces;
use super::slides::laid_out;
use crate::document::{Deck, Document};
use content::{Content, title};

/// The format of a document.
pub const FORMAT: Format<Document> = Format {
    slug: "pdf",
    name: "PDF",
    extension: "pdf",
    media_type: MEDIA_TYPE,
    use_for: "Pages to print and to send that look the same everywhere, with headings, tables and drawings that a screen reader can follow.",
    render: document,
};

/// The format of a deck.
pub const DECK: Format<Deck> = Format {
    slug: "slides-pdf",
    name: "Slides with notes (PDF)",
    extension: "pdf",
    media_type: MEDIA_TYPE,
    use_for: "Each slide on a page with what you want to say beneath it, to rehearse from and to have at hand. The page of a stop point comes before that of its answer.",
    render: slides,
};

const MEDIA_TYPE: &str = "application/pdf";

fn document(document: &Document, _: &Options) -> Result<Vec<u8>, ExportError> {
    let mut content = Content::default();
    let pieces = content.pieces(&pieces(document.blocks()));
    let standing = document.standing().unwrap_or_default();
    let data = json!({ "title": document.title(), "heading": title(document.title()), "standing": standing, "language": LANGUAGE, "pieces": pieces });
    press::print("document.typ", data, content)
}

fn slides(deck: &Deck, _: &Options) -> Result<Vec<u8>, ExportError> {
    let mut content = Content::default();
    let laid_out = laid_out(deck);
    let data = json!({
        "title": deck.title,
        "heading": title(&deck.title),
        "standing": deck.standing,
        "language": LANGUAGE,
        "size": [laid_out.size.0, laid_out.size.1],
        "slides": deck::slides(&laid_out, &mut content),
    });
    press::print("slides.typ", data, content)
}

#[cfg(test)]
mod tests;
