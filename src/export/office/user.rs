//! What a user wrote in Markdown, as pieces.

use pulldown_cmark::{Event, HeadingLevel, Tag, TagEnd};

use super::text::{Cells, Item, Look, Piece, Role, Run, Writer, one_line};
use crate::document::Href;
use crate::export::user_markdown;

/// The largest number that a list is taken to start from; above it, it starts from 1.
const LARGEST_START: u64 = 30_000;

/// Adds what a text says.
pub(super) fn write(writer: &mut Writer<'_>, text: &str) {
    let events = user_markdown::read(text, writer.level);
    let mut reader = Reader {
        writer,
        runs: Vec::new(),
        heading: None,
        bold: 0,
        italic: 0,
        code: false,
        quotes: 0,
        links: Vec::new(),
        lists: Vec::new(),
        item: None,
        table: None,
    };
    for event in events {
        reader.take(event);
    }
    reader.end_paragraph();
}

struct Reader<'w, 'a> {
    writer: &'w mut Writer<'a>,
    /// The paragraph that is being read.
    runs: Vec<Run>,
    heading: Option<u8>,
    bold: usize,
    italic: usize,
    code: bool,
    quotes: usize,
    links: Vec<Href>,
    /// The lists that are open: which, and the number of the next item.
    lists: Vec<(usize, Option<u32>)>,
    /// The item that begins with the next paragraph.
    item: Option<Item>,
    table: Option<Cells>,
}

impl Reader<'_, '_> {
    fn take(&mut self, event: Event<'_>) {
        match event {
            Event::Start(tag) => self.start(tag),
            Event::End(tag) => self.end(tag),
            Event::Code(text) => self.push(&text, true),
            Event::Text(text) if self.code => {
                for line in text.lines() {
                    self.push(line, true);
                    self.end_paragraph();
                }
            }
            Event::Text(text) => self.push(&text, false),
            Event::SoftBreak | Event::HardBreak => self.push(" ", false),
            _ => {}
        }
    }

    fn push(&mut self, text: &str, mono: bool) {
        let look = Look { bold: self.bold > 0, italic: self.italic > 0, mono, quiet: false };
        let text = if self.code { text.replace('\t', "    ") } else { one_line(text) };
        self.runs.push(Run { text, look, link: self.links.last().cloned(), inside: None });
    }

    fn start(&mut self, tag: Tag<'_>) {
        match tag {
            Tag::Heading { level, .. } => {
                self.end_paragraph();
                self.heading = Some(number(level));
            }
            Tag::Paragraph => self.end_paragraph(),
            Tag::BlockQuote(_) => {
                self.end_paragraph();
                self.quotes += 1;
            }
            Tag::CodeBlock(_) => {
                self.end_paragraph();
                self.code = true;
            }
            Tag::List(start) => {
                self.end_paragraph();
                self.writer.lists += 1;
                let start = start.map(|start| if start > LARGEST_START { 1 } else { start });
                let start = start.and_then(|start| u32::try_from(start).ok());
                self.lists.push((self.writer.lists, start));
            }
            Tag::Item => {
                self.end_paragraph();
                let depth = self.depth();
                if let Some((list, number)) = self.lists.last_mut() {
                    self.item = Some(Item { list: *list, depth, number: *number });
                    *number = number.map(|number| number + 1);
                }
            }
            Tag::Strong => self.bold += 1,
            Tag::Emphasis => self.italic += 1,
            Tag::Link { dest_url, .. } => self.links.extend(Href::parse(&dest_url).filter(Href::is_outside)),
            Tag::Table(columns) => {
                self.end_paragraph();
                self.table = Some(Cells {
                    caption: String::new(),
                    heads: Vec::new(),
                    ends: vec![false; columns.len()],
                    rows: Vec::new(),
                    names_rows: false,
                });
            }
            Tag::TableRow => {
                if let Some(table) = &mut self.table {
                    table.rows.push(Vec::new());
                }
            }
            _ => {}
        }
    }

    fn end(&mut self, tag: TagEnd) {
        match tag {
            TagEnd::Paragraph => self.end_paragraph(),
            TagEnd::Heading(_) => {
                self.end_paragraph();
                self.heading = None;
            }
            TagEnd::Item => {
                self.end_paragraph();
                self.item = None;
            }
            TagEnd::BlockQuote(_) => {
                self.end_paragraph();
                self.quotes = self.quotes.saturating_sub(1);
            }
            TagEnd::CodeBlock => {
                self.end_paragraph();
                self.code = false;
            }
            TagEnd::List(_) => {
                self.end_paragraph();
                self.lists.pop();
            }
            TagEnd::Strong => self.bold = self.bold.saturating_sub(1),
            TagEnd::Emphasis => self.italic = self.italic.saturating_sub(1),
            TagEnd::Link => {
                self.links.pop();
            }
            TagEnd::TableCell => self.end_cell(),
            TagEnd::Table => self.end_table(),
            _ => {}
        }
    }

    fn depth(&self) -> u8 {
        u8::try_from(self.lists.len().saturating_sub(1)).unwrap_or(u8::MAX).min(8)
    }

    fn end_paragraph(&mut self) {
        let mut runs = std::mem::take(&mut self.runs);
        if let Some(first) = runs.first_mut().filter(|_| !self.code) {
            first.text = first.text.trim_start().to_owned();
        }
        if runs.iter().all(|run| run.text.trim().is_empty()) {
            return;
        }
        let role = match (self.heading, self.item.take(), self.lists.is_empty()) {
            (Some(level), _, _) => Role::Heading(level),
            (None, Some(item), _) => Role::Item(item),
            (None, None, false) => Role::InItem(self.depth()),
            (None, None, true) if self.quotes > 0 => Role::Quote,
            (None, None, true) => Role::Body,
        };
        self.writer.paragraph(role, runs);
    }

    fn end_cell(&mut self) {
        let runs = std::mem::take(&mut self.runs);
        let Some(table) = &mut self.table else { return };
        match table.rows.last_mut() {
            Some(row) => row.push(runs),
            None => {
                let bold = |run: Run| Run { look: Look { bold: true, ..run.look }, ..run };
                table.heads.push(runs.into_iter().map(bold).collect());
            }
        }
    }

    fn end_table(&mut self) {
        let Some(mut table) = self.table.take() else { return };
        let columns = table.ends.len();
        for row in &mut table.rows {
            row.resize(columns, Vec::new());
        }
        table.heads.resize(columns, Vec::new());
        if columns > 0 {
            self.writer.pieces.push(Piece::Table(table));
        }
    }
}

const fn number(level: HeadingLevel) -> u8 {
    match level {
        HeadingLevel::H1 => 1,
        HeadingLevel::H2 => 2,
        HeadingLevel::H3 => 3,
        HeadingLevel::H4 => 4,
        HeadingLevel::H5 => 5,
        HeadingLevel::H6 => 6,
    }
}
