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
use super::office::xml::is_right_to_left;
use super::slides::laid_out;
use crate::document::{Block, Deck, Document};
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
    use_for: "The slides with what you want to say beneath each, to rehearse from and to have at hand. What was chosen at a stop point is never on the page that asks.",
    render: slides,
};

/// What stands at the foot of a page beside its number: a line.
fn foot(title: &str) -> String {
    crate::figure::svg::fit(title, FOOT_SIZE, FOOT_WIDTH)
}

/// The size of the line at the foot and the room beside the number of the page, in points.
const FOOT_SIZE: f64 = 8.5;
const FOOT_WIDTH: f64 = 390.0;

const MEDIA_TYPE: &str = "application/pdf";

fn document(document: &Document, _: &Options) -> Result<Vec<u8>, ExportError> {
    let mut content = Content::default();
    let pieces = content.pieces(&pieces(&on_paper(document.blocks())));
    let standing = document.standing().unwrap_or_default();
    let data = json!({
        "named": document.title(),
        "heading": title(document.title()),
        "rtl": is_right_to_left(document.title()),
        "foot": foot(document.title()),
        "standing": standing,
        "language": LANGUAGE,
        "pieces": pieces,
    });
    press::print("document.typ", data, content)
}

/// What is folded on a page is not on paper, as in the browser's print.
fn on_paper(blocks: &[Block]) -> Vec<Block> {
    blocks.iter().filter(|block| !matches!(block, Block::Details { .. })).cloned().collect()
}

fn slides(deck: &Deck, _: &Options) -> Result<Vec<u8>, ExportError> {
    let mut content = Content::default();
    let laid_out = laid_out(deck);
    let data = json!({
        "named": deck.title,
        "foot": foot(&deck.title),
        "standing": deck.standing,
        "language": LANGUAGE,
        "size": [laid_out.size.0, laid_out.size.1],
        "slides": deck::slides(&laid_out, &mut content),
    });
    press::print("slides.typ", data, content)
}

#[cfg(test)]
mod tests;
