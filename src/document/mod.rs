//! A document as data: what a teaching summary or a report says, before it is HTML, Markdown or paper.
//!
//! The pipeline: the record fills a [`Document`] (here), an exporter turns its [`Block`]s into a
//! page or a file. Nothing here knows HTML, and nothing here escapes: text is text, and every
//! exporter escapes for its own language.
//!
//! - [`inline`]: what stands in a line, a [`Phrase`] of [`Inline`]s;
//! - [`block`]: what stands below each other;
//! - [`table`]: rows that are as wide as their columns;
//! - [`deck`]: slides, each with blocks of its own.

pub mod block;
pub mod deck;
pub mod inline;
pub mod table;
mod words;

pub use block::{Anchor, Block, Fact, Figure, Heading, Level, Order, Picture, Svg};
pub use deck::{Deck, Slide, SlideKind};
pub use inline::{Href, Inline, Phrase, uncertain_time};
pub use table::{Column, ColumnKind, FirstColumn, Grid, Table, TableError};

/// A titled run of blocks, assembled from top to bottom.
///
/// # Examples
/// ```
/// use relook::document::{Document, Phrase};
///
/// let mut summary = Document::new("Flow lost after a stent, restored in 38 minutes");
/// summary
///     .section("Situation")
///     .paragraph("A 67-year-old with a lateral infarction.")
///     .section("What it was")
///     .paragraph(Phrase::new().strong("No-reflow").text(", first seen at ").mono("+12:30"))
///     .missing("when flow returned");
/// assert_eq!(summary.blocks().len(), 5);
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Document {
    title: String,
    standing: Option<String>,
    blocks: Vec<Block>,
}

impl Document {
    /// An empty document of this title.
    #[must_use]
    pub fn new(title: impl Into<String>) -> Self {
        Self { title: title.into(), standing: None, blocks: Vec::new() }
    }

    /// The title, which stands above the first heading.
    #[must_use]
    pub fn title(&self) -> &str {
        &self.title
    }

    /// Says what this is and who may read it, above the title: "Confidential. Peer review and
    /// teaching."
    pub fn stands_as(&mut self, text: impl Into<String>) -> &mut Self {
        self.standing = Some(text.into());
        self
    }

    /// What stands above the title.
    #[must_use]
    pub fn standing(&self) -> Option<&str> {
        self.standing.as_deref()
    }

    /// The blocks, in reading order.
    #[must_use]
    pub fn blocks(&self) -> &[Block] {
        &self.blocks
    }

    /// Adds a block that was made elsewhere.
    pub fn push(&mut self, block: impl Into<Block>) -> &mut Self {
        self.blocks.push(block.into());
        self
    }

    /// Starts a section (a heading of the second level).
    pub fn section(&mut self, text: impl Into<String>) -> &mut Self {
        self.heading(Level::Section, text)
    }

    /// Starts a part of a section (a heading of the third level).
    pub fn part(&mut self, text: impl Into<String>) -> &mut Self {
        self.heading(Level::Part, text)
    }

    /// Adds a heading whose anchor is made from its text and is unique in this document.
    pub fn heading(&mut self, level: Level, text: impl Into<String>) -> &mut Self {
        let text = text.into();
        let anchor = self.free_anchor(&Anchor::from_text(&text));
        self.push(Heading { level, anchor, text })
    }

    /// Adds a paragraph; an empty one is left out.
    pub fn paragraph(&mut self, phrase: impl Into<Phrase>) -> &mut Self {
        let phrase = phrase.into();
        if phrase.is_blank() {
            return self;
        }
        self.push(Block::Paragraph(phrase))
    }

    /// Adds a list with bullets; an empty one is left out.
    pub fn bullets<P: Into<Phrase>>(&mut self, items: impl IntoIterator<Item = P>) -> &mut Self {
        self.list(Order::Bullets, items)
    }

    /// Adds a numbered list; an empty one is left out.
    pub fn numbered<P: Into<Phrase>>(&mut self, items: impl IntoIterator<Item = P>) -> &mut Self {
        self.list(Order::Numbers, items)
    }

    fn list<P: Into<Phrase>>(&mut self, order: Order, items: impl IntoIterator<Item = P>) -> &mut Self {
        let items: Vec<Phrase> = items.into_iter().map(Into::into).collect();
        if items.is_empty() {
            return self;
        }
        self.push(Block::List { order, items })
    }

    /// Adds labelled values, one a line; an empty list is left out.
    pub fn facts(&mut self, facts: impl IntoIterator<Item = Fact>) -> &mut Self {
        let facts: Vec<Fact> = facts.into_iter().collect();
        if facts.is_empty() {
            return self;
        }
        self.push(Block::Facts(facts))
    }

    /// Adds a table.
    pub fn table(&mut self, table: impl Into<Table>) -> &mut Self {
        self.push(table.into())
    }

    /// Adds a drawn figure with its values and its text.
    pub fn figure(&mut self, figure: Figure) -> &mut Self {
        self.push(figure)
    }

    /// Adds a still.
    pub fn picture(&mut self, picture: Picture) -> &mut Self {
        self.push(picture)
    }

    /// Gives each still its PNG, for a file that holds them. One that is not found keeps none.
    pub fn fill_pictures(&mut self, find: impl Fn(&str) -> Option<std::sync::Arc<[u8]>>) {
        block::fill_pictures(&mut self.blocks, &find);
    }

    /// Says what the record does not hold; shown as "Not recorded: …".
    pub fn missing(&mut self, what: impl Into<String>) -> &mut Self {
        self.push(Block::Missing(what.into()))
    }

    /// Adds what a user wrote in Markdown; blank text is left out.
    pub fn markdown(&mut self, text: impl Into<String>) -> &mut Self {
        let text = text.into();
        if text.trim().is_empty() {
            return self;
        }
        self.push(Block::Markdown(text))
    }

    /// Adds a remark beside the main text.
    pub fn note(&mut self, phrase: impl Into<Phrase>) -> &mut Self {
        self.push(Block::Note(phrase.into()))
    }

    /// Adds a warning that the reader must not miss.
    pub fn caution(&mut self, phrase: impl Into<Phrase>) -> &mut Self {
        self.push(Block::Caution(phrase.into()))
    }

    /// Adds blocks that a reader opens when they want them.
    pub fn details(
        &mut self,
        summary: impl Into<String>,
        blocks: impl IntoIterator<Item = Block>,
    ) -> &mut Self {
        self.push(Block::Details { summary: summary.into(), blocks: blocks.into_iter().collect() })
    }

    /// The anchor itself, or with the first number behind it that no heading has yet.
    fn free_anchor(&self, wanted: &Anchor) -> Anchor {
        let mut anchor = wanted.clone();
        let mut number = 1_usize;
        while self.has_anchor(&anchor) {
            number += 1;
            anchor = wanted.numbered(number);
        }
        anchor
    }

    fn has_anchor(&self, anchor: &Anchor) -> bool {
        self.blocks.iter().any(|block| matches!(block, Block::Heading(heading) if heading.anchor == *anchor))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn headings_of_the_same_text_get_different_anchors() {
        let mut document = Document::new("t");
        document.section("What it was").section("What it was!").part("What it was");
        let anchors: Vec<&str> = document
            .blocks()
            .iter()
            .filter_map(|block| match block {
                Block::Heading(heading) => Some(heading.anchor.as_str()),
                _ => None,
            })
            .collect();
        assert_eq!(anchors, ["what-it-was", "what-it-was-2", "what-it-was-3"]);
    }

    #[test]
    fn blank_paragraphs_and_empty_lists_leave_no_trace() {
        let mut document = Document::new("t");
        document.paragraph("  \n").bullets(Vec::<Phrase>::new()).facts([]).markdown("\n\n");
        assert!(document.blocks().is_empty());
    }
}
