//! What stands below each other.

use std::sync::Arc;

use super::inline::Phrase;
use super::table::Table;

/// One block of a document.
#[derive(Debug, Clone, PartialEq)]
pub enum Block {
    /// A heading.
    Heading(Heading),
    /// A paragraph.
    Paragraph(Phrase),
    /// A list, an item a line.
    List {
        /// Bullets or numbers.
        order: Order,
        /// The items.
        items: Vec<Phrase>,
    },
    /// A table.
    Table(Table),
    /// A drawing with its values and its text.
    Figure(Figure),
    /// A still.
    Picture(Picture),
    /// Labelled values.
    Facts(Vec<Fact>),
    /// What the record does not hold; the text is what stands after "Not recorded: ".
    Missing(String),
    /// What a user wrote, in Markdown. It is not trusted: exporters clean it.
    Markdown(String),
    /// A remark beside the main text.
    Note(Phrase),
    /// A warning that the reader must not miss.
    Caution(Phrase),
    /// Blocks that a reader opens when they want them: inputs, rule and source of a number.
    Details {
        /// What the closed block says.
        summary: String,
        /// What it opens to.
        blocks: Vec<Block>,
    },
}

impl Block {
    /// A paragraph.
    pub fn paragraph(phrase: impl Into<Phrase>) -> Self {
        Self::Paragraph(phrase.into())
    }

    /// A list with bullets.
    pub fn bullets<P: Into<Phrase>>(items: impl IntoIterator<Item = P>) -> Self {
        Self::List { order: Order::Bullets, items: items.into_iter().map(Into::into).collect() }
    }

    /// Labelled values.
    pub fn facts(facts: impl IntoIterator<Item = Fact>) -> Self {
        Self::Facts(facts.into_iter().collect())
    }
}

impl From<Heading> for Block {
    fn from(heading: Heading) -> Self {
        Self::Heading(heading)
    }
}

impl From<Table> for Block {
    fn from(table: Table) -> Self {
        Self::Table(table)
    }
}

impl From<Picture> for Block {
    fn from(picture: Picture) -> Self {
        Self::Picture(picture)
    }
}

impl From<Figure> for Block {
    fn from(figure: Figure) -> Self {
        Self::Figure(figure)
    }
}

/// A heading.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Heading {
    /// How deep it stands.
    pub level: Level,
    /// The name that a link can lead to.
    pub anchor: Anchor,
    /// What it says.
    pub text: String,
}

/// How deep a heading stands; the document's title is the first level.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Level {
    /// Second level.
    Section,
    /// Third level.
    Part,
    /// Fourth level.
    Point,
}

impl Level {
    /// The level as a number, 2 to 4.
    #[must_use]
    pub const fn number(self) -> u8 {
        match self {
            Self::Section => 2,
            Self::Part => 3,
            Self::Point => 4,
        }
    }
}

/// The name of a place in a document: lowercase letters, digits and single hyphens, never empty.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Anchor(String);

impl Anchor {
    /// The anchor that a text gives: `What it was` is `what-it-was`. A text without a Latin letter
    /// or digit gives `section`.
    #[must_use]
    pub fn from_text(text: &str) -> Self {
        let words: Vec<String> = text
            .split(|c: char| !c.is_ascii_alphanumeric())
            .filter(|word| !word.is_empty())
            .map(str::to_ascii_lowercase)
            .collect();
        if words.is_empty() {
            return Self("section".to_owned());
        }
        Self(words.join("-"))
    }

    /// The same anchor with a number behind it.
    #[must_use]
    pub fn numbered(&self, number: usize) -> Self {
        Self(format!("{}-{number}", self.0))
    }

    /// The anchor as text.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

/// How a list counts its items.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Order {
    /// It does not: bullets.
    Bullets,
    /// From one.
    Numbers,
}

/// A labelled value.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fact {
    /// What it is.
    pub label: String,
    /// What it is worth.
    pub value: Phrase,
}

impl Fact {
    /// A labelled value.
    pub fn new(label: impl Into<String>, value: impl Into<Phrase>) -> Self {
        Self { label: label.into(), value: value.into() }
    }

    /// A labelled value, or "not recorded" where the record holds none.
    pub fn or_missing(label: impl Into<String>, value: Option<impl Into<Phrase>>) -> Self {
        match value {
            Some(value) => Self::new(label, value),
            None => Self::new(label, Phrase::new().missing("not recorded")),
        }
    }
}

/// A drawing that can also be read without seeing it.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    /// What the figure shows, said as the finding.
    pub title: String,
    /// What is drawn, for a reader who does not see it.
    pub description: String,
    /// The drawing.
    pub svg: Svg,
    /// The values that were drawn; a legend has none.
    pub values: Option<Table>,
    /// What the figure says, in a sentence or two.
    pub summary: String,
    /// Where the values are from; may be empty.
    pub source: String,
}

/// Gives each still among blocks its PNG.
pub(super) fn fill_pictures(blocks: &mut [Block], find: &impl Fn(&str) -> Option<Arc<[u8]>>) {
    for block in blocks {
        match block {
            Block::Picture(picture) => picture.png = find(&picture.address),
            Block::Details { blocks, .. } => fill_pictures(blocks, find),
            _ => {}
        }
    }
}

/// A still, of pixels.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// Where a page of this app finds it: a path.
    pub address: String,
    /// The PNG, for a file that holds it; a page needs the address alone.
    pub png: Option<Arc<[u8]>>,
    /// Pixels in a line.
    pub width: u32,
    /// Lines.
    pub height: u32,
    /// What is to be seen, for a reader who does not see it.
    pub alternative: String,
    /// What stands under it.
    pub caption: Phrase,
}

/// A drawing that our own code made. It goes into a page as it is, so it is never made from text
/// that was not escaped.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Svg(String);

impl Svg {
    /// A drawing made by our own code, with every text in it already escaped.
    pub fn trusted(source: impl Into<String>) -> Self {
        Self(source.into())
    }

    /// The drawing's source, from `<svg` to `</svg>`.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_anchor_is_made_of_lowercase_words_and_hyphens() {
        assert_eq!(Anchor::from_text("What it was").as_str(), "what-it-was");
        assert_eq!(Anchor::from_text("  TIMI 3 → 0 ").as_str(), "timi-3-0");
        assert_eq!(Anchor::from_text("\"><script>").as_str(), "script");
        assert_eq!(Anchor::from_text("¿?").as_str(), "section");
    }

    #[test]
    fn a_fact_without_a_value_says_so() {
        let fact = Fact::or_missing("eGFR", None::<String>);
        assert_eq!(fact.value.to_text(), "not recorded");
    }
}
