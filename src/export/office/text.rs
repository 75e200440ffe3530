//! A document's blocks as what a file of an office program has: paragraphs of runs, tables, figures.

use super::image::Image;
use super::user;
use crate::document::{Block, ColumnKind, FirstColumn, Href, Inline, Order, Phrase, Table};

/// What stands below each other.
#[derive(Debug, Clone, PartialEq)]
pub enum Piece<'a> {
    /// A paragraph.
    Paragraph(Paragraph),
    /// A table.
    Table(Cells),
    /// A drawing or a still.
    Image(Image<'a>),
}

/// A paragraph.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Paragraph {
    /// What it is.
    pub role: Role,
    /// What stands in it.
    pub runs: Vec<Run>,
}

/// What a paragraph is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// A heading, 1 to 6.
    Heading(u8),
    /// Text.
    Body,
    /// An item of a list.
    Item(Item),
    /// What goes on in an item, under its mark.
    InItem(u8),
    /// What somebody else said.
    Quote,
    /// A remark beside the text.
    Note,
    /// A warning.
    Caution,
    /// What a table or a figure shows.
    Caption,
}

/// An item of a list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Item {
    /// Which list, counted through the document.
    pub list: usize,
    /// How deep it stands, from 0.
    pub depth: u8,
    /// Its number; none in a list with bullets.
    pub number: Option<u32>,
}

/// Text that looks the same throughout.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Run {
    /// The words.
    pub text: String,
    /// How it looks.
    pub look: Look,
    /// Where it leads; only out of the app.
    pub link: Option<Href>,
    /// What it is to the places of its own document.
    pub inside: Option<Inside>,
}

/// What a run is to the places of its own document.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Inside {
    /// A heading of this name.
    Named(String),
    /// It leads to the heading of this name.
    LeadsTo(String),
}

/// How a run looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Look {
    /// It weighs more.
    pub bold: bool,
    /// It leans.
    pub italic: bool,
    /// It is in the face for numbers.
    pub mono: bool,
    /// It weighs less.
    pub quiet: bool,
}

/// A table of runs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cells {
    /// What it shows; may be empty.
    pub caption: String,
    /// The heads of its columns; empty where it has none.
    pub heads: Vec<Vec<Run>>,
    /// For each column whether it is aligned at its end.
    pub ends: Vec<bool>,
    /// Its rows, each as wide as `ends`.
    pub rows: Vec<Vec<Vec<Run>>>,
    /// Whether the first cell names its row.
    pub names_rows: bool,
}

/// Plain words as a run.
#[must_use]
pub fn plain(text: impl Into<String>) -> Run {
    Run { text: text.into(), look: Look::default(), link: None, inside: None }
}

/// Words that weigh more.
#[must_use]
pub fn strong(text: impl Into<String>) -> Run {
    Run { look: Look { bold: true, ..Look::default() }, ..plain(text) }
}

/// The words of runs.
#[must_use]
pub fn words(runs: &[Run]) -> String {
    runs.iter().map(|run| run.text.as_str()).collect()
}

/// Blocks as pieces.
#[must_use]
pub fn pieces(blocks: &[Block]) -> Vec<Piece<'_>> {
    let mut writer = Writer { level: 1, ..Writer::default() };
    writer.blocks(blocks);
    writer.pieces
}

/// Blocks in the making.
#[derive(Debug, Default)]
pub(super) struct Writer<'a> {
    pub(super) pieces: Vec<Piece<'a>>,
    /// How many lists there are.
    pub(super) lists: usize,
    /// The level of the heading that what comes stands under.
    pub(super) level: u8,
}

impl<'a> Writer<'a> {
    pub(super) fn paragraph(&mut self, role: Role, runs: Vec<Run>) {
        if words(&runs).trim().is_empty() {
            return;
        }
        self.pieces.push(Piece::Paragraph(Paragraph { role, runs }));
    }

    fn blocks(&mut self, blocks: &'a [Block]) {
        for block in blocks {
            self.block(block);
        }
    }

    fn block(&mut self, block: &'a Block) {
        match block {
            Block::Heading(heading) => {
                self.level = heading.level.number();
                let name = Some(Inside::Named(heading.anchor.as_str().to_owned()));
                self.paragraph(Role::Heading(self.level), vec![Run { inside: name, ..plain(&heading.text) }]);
            }
            Block::Paragraph(phrase) => self.paragraph(Role::Body, runs(phrase)),
            Block::List { order, items } => {
                self.lists += 1;
                for (number, item) in (1..).zip(items) {
                    let number = (*order == Order::Numbers).then_some(number);
                    self.paragraph(Role::Item(Item { list: self.lists, depth: 0, number }), runs(item));
                }
            }
            Block::Table(table) => self.pieces.push(Piece::Table(cells(table))),
            Block::Figure(figure) => self.pieces.push(Piece::Image(Image::Drawing(figure))),
            Block::Picture(picture) => {
                match Image::of(picture) {
                    Some(image) => self.pieces.push(Piece::Image(image)),
                    None => {
                        self.paragraph(Role::Note, vec![plain(format!("Picture: {}", picture.alternative))])
                    }
                }
                self.paragraph(Role::Note, runs(&picture.caption));
            }
            Block::Facts(facts) => self.pieces.push(Piece::Table(Cells {
                caption: String::new(),
                heads: Vec::new(),
                ends: vec![false, false],
                rows: facts.iter().map(|fact| vec![vec![strong(&fact.label)], runs(&fact.value)]).collect(),
                names_rows: true,
            })),
            Block::Missing(what) => {
                let look = Look { italic: true, quiet: true, ..Look::default() };
                self.paragraph(Role::Body, vec![Run { look, ..plain(format!("Not recorded: {what}")) }]);
            }
            Block::Markdown(text) => user::write(self, text),
            Block::Note(phrase) => self.paragraph(Role::Note, runs(phrase)),
            Block::Caution(phrase) => self.paragraph(Role::Caution, runs(phrase)),
            Block::Details { summary, blocks } => {
                self.paragraph(Role::Note, vec![strong(summary)]);
                self.blocks(blocks);
            }
        }
    }
}

fn cells(table: &Table) -> Cells {
    Cells {
        caption: table.caption().to_owned(),
        heads: table.columns().iter().map(|column| vec![strong(&column.label)]).collect(),
        ends: table.columns().iter().map(|column| column.kind != ColumnKind::Text).collect(),
        rows: table.rows().iter().map(|row| row.iter().map(runs).collect()).collect(),
        names_rows: table.first_column() == FirstColumn::NamesTheRow,
    }
}

/// A phrase as runs.
#[must_use]
pub fn runs(phrase: &Phrase) -> Vec<Run> {
    phrase.inlines().iter().map(run).filter(|run| !run.text.is_empty()).collect()
}

fn run(inline: &Inline) -> Run {
    let plain_look = Look::default();
    let look = match inline {
        Inline::Text(_) | Inline::Mark(_) | Inline::Link { .. } => plain_look,
        Inline::Strong(_) => Look { bold: true, ..plain_look },
        Inline::Emphasis(_) => Look { italic: true, ..plain_look },
        Inline::Mono(_) => Look { mono: true, ..plain_look },
        Inline::Quiet(_) | Inline::Signed(_) => Look { quiet: true, ..plain_look },
        Inline::Missing(_) => Look { quiet: true, italic: true, ..plain_look },
    };
    // A path of the app leads nowhere from a file.
    let link = match inline {
        Inline::Link { href, .. } if href.is_outside() => Some(href.clone()),
        _ => None,
    };
    let inside = match inline {
        Inline::Link { href, .. } => {
            href.as_str().strip_prefix('#').map(|name| Inside::LeadsTo(name.to_owned()))
        }
        _ => None,
    };
    Run { text: one_line(inline.as_text()), look, link, inside }
}

/// Text with a space for each stretch of white space, as a page shows it.
pub(super) fn one_line(text: &str) -> String {
    let mut line = String::with_capacity(text.len());
    let mut spaced = false;
    for c in text.chars() {
        let space = c.is_whitespace() && c != '\u{a0}' && c != '\u{202f}';
        if !space {
            line.push(c);
        } else if !spaced {
            line.push(' ');
        }
        spaced = space;
    }
    line
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::document::Fact;

    fn said(pieces: &[Piece<'_>]) -> Vec<(Role, String)> {
        pieces
            .iter()
            .filter_map(|piece| match piece {
                Piece::Paragraph(paragraph) => Some((paragraph.role, words(&paragraph.runs))),
                _ => None,
            })
            .collect()
    }

    #[test]
    fn facts_are_a_table_whose_rows_are_named() {
        let blocks = [Block::facts([Fact::new("eGFR", "62")])];
        let found = pieces(&blocks);
        let [Piece::Table(cells)] = found.as_slice() else { panic!("{found:?}") };
        assert!(cells.names_rows && cells.heads.is_empty());
        assert_eq!(words(&cells.rows[0][1]), "62");
    }

    #[test]
    fn a_link_into_the_app_keeps_its_words_alone() {
        let phrase = Phrase::new().link("here", "/cases/2026-001").link("there", "https://example.org/");
        let found = runs(&phrase);
        assert_eq!(found[0].link, None);
        assert!(found[1].link.is_some());
    }

    #[test]
    fn what_a_user_wrote_keeps_its_lists_and_its_emphasis() {
        let blocks = [Block::Markdown("# Top\n\nOne **two**\n\n1. a\n2. b\n   - c\n\n> said".to_owned())];
        let found = pieces(&blocks);
        let item = |list, depth, number| Role::Item(Item { list, depth, number });
        let expected = [
            (Role::Heading(2), "Top"),
            (Role::Body, "One two"),
            (item(1, 0, Some(1)), "a"),
            (item(1, 0, Some(2)), "b"),
            (item(2, 1, None), "c"),
            (Role::Quote, "said"),
        ];
        let found = said(&found);
        assert_eq!(found.iter().map(|(r, t)| (*r, t.as_str())).collect::<Vec<_>>(), expected);
    }
}
