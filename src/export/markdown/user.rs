//! What a user wrote in Markdown, written out again so that it ends where it ends.

use pulldown_cmark::{Event, Parser, Tag, TagEnd};

use super::super::user_markdown::{self, OPTIONS, words};
use super::chunk::{self, Cells, Chunk};
use super::escape::{cell_of, code_span, destination, escape_after, escape_everything, longest_run};

/// The largest number that a list is taken to start from; above it, it starts from 1.
const LARGEST_START: u64 = 100_000;

/// A user's text whose highest heading stands one level below `below`.
///
/// What is written is read back: should it not read as the same words, it is written again
/// without emphasis, code and links, every mark escaped.
pub(super) fn write(text: &str, below: u8) -> Vec<Chunk> {
    let events = user_markdown::read(text, below);
    let marked = Writer::write(&events, Markup::Kept);
    let written = chunk::render(&marked);
    if words(Parser::new_ext(&written, OPTIONS)) == words(events.iter().cloned()) {
        marked
    } else {
        Writer::write(&events, Markup::Dropped)
    }
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Markup {
    Kept,
    Dropped,
}

/// An element that is open and holds chunks.
enum Open {
    Text(Vec<Chunk>),
    Quote(Vec<Chunk>),
    List(Option<u64>, Vec<Vec<Chunk>>),
    Item(Vec<Chunk>),
}

struct Writer {
    markup: Markup,
    /// From the text itself (always there) to the innermost element.
    open: Vec<Open>,
    /// The line that is being written.
    line: String,
    /// Lines of a paragraph may break; those of headings and cells may not.
    breaks: bool,
    code_block: bool,
    emphases: usize,
    links: Vec<String>,
    table: Option<Cells>,
    row: Vec<String>,
}

impl Writer {
    fn write(events: &[Event<'_>], markup: Markup) -> Vec<Chunk> {
        let mut writer = Self {
            markup,
            open: vec![Open::Text(Vec::new())],
            line: String::new(),
            breaks: true,
            code_block: false,
            emphases: 0,
            links: Vec::new(),
            table: None,
            row: Vec::new(),
        };
        for event in events {
            writer.take(event);
        }
        writer.end_line("");
        while writer.open.len() > 1 {
            writer.close();
        }
        match writer.open.pop() {
            Some(Open::Text(chunks)) => chunks,
            _ => Vec::new(),
        }
    }

    fn take(&mut self, event: &Event<'_>) {
        match event {
            Event::Start(tag) => self.start(tag),
            Event::End(tag) => self.end(*tag),
            Event::Text(text) if self.code_block => self.line.push_str(text),
            Event::Text(text) => self.text(text),
            Event::Code(text) => match self.markup {
                Markup::Kept if !text.contains('|') => self.line.push_str(&code_span(text)),
                _ => self.text(text),
            },
            Event::HardBreak if self.breaks => self.line.push_str("\\\n"),
            Event::SoftBreak if self.breaks => self.line.push('\n'),
            Event::HardBreak | Event::SoftBreak => self.line.push(' '),
            Event::Rule => {
                self.end_line("");
                // Dashes and stars would join the marker of a list item.
                self.push(Chunk::Lines("___".to_owned()));
            }
            _ => {}
        }
    }

    fn text(&mut self, text: &str) {
        for (index, part) in text.split(['\n', '\r']).enumerate() {
            if index > 0 && !self.line.is_empty() {
                self.line.push(if self.breaks { '\n' } else { ' ' });
            }
            let starts_line = self.line.is_empty() || self.line.ends_with('\n');
            let part = if starts_line { part.trim_start() } else { part };
            match self.markup {
                Markup::Kept => escape_after(&mut self.line, part),
                Markup::Dropped => self.line.push_str(&escape_everything(part)),
            }
        }
    }

    fn start(&mut self, tag: &Tag<'_>) {
        match tag {
            Tag::Emphasis | Tag::Strong => self.emphasis(matches!(tag, Tag::Strong), true),
            Tag::Link { dest_url, .. } => {
                self.links.push(dest_url.to_string());
                if self.markup == Markup::Kept {
                    self.line.push('[');
                }
            }
            Tag::TableCell | Tag::TableRow => {}
            _ => self.start_block(tag),
        }
    }

    fn start_block(&mut self, tag: &Tag<'_>) {
        self.end_line("");
        match tag {
            Tag::Heading { .. } => self.breaks = false,
            Tag::CodeBlock(_) => self.code_block = true,
            Tag::BlockQuote(_) => self.open.push(Open::Quote(Vec::new())),
            Tag::List(start) => {
                let start = start.map(|n| if n > LARGEST_START { 1 } else { n });
                self.open.push(Open::List(start, Vec::new()));
            }
            Tag::Item => self.open.push(Open::Item(Vec::new())),
            Tag::Table(columns) => {
                self.breaks = false;
                self.table =
                    Some(Cells { heads: Vec::new(), ends: vec![false; columns.len()], rows: Vec::new() });
            }
            _ => {}
        }
    }

    fn end(&mut self, tag: TagEnd) {
        match tag {
            TagEnd::Emphasis | TagEnd::Strong => self.emphasis(tag == TagEnd::Strong, false),
            TagEnd::Link => {
                if let (Some(address), Markup::Kept) = (self.links.pop(), self.markup) {
                    self.line.push_str("](");
                    self.line.push_str(&destination(&address));
                    self.line.push(')');
                }
            }
            TagEnd::Heading(level) => {
                let marks = "#".repeat(level as usize);
                self.end_line(&format!("{marks} "));
                self.breaks = true;
            }
            TagEnd::CodeBlock => self.end_code(),
            TagEnd::BlockQuote(_) | TagEnd::List(_) | TagEnd::Item => {
                self.end_line("");
                self.close();
            }
            TagEnd::TableCell | TagEnd::TableHead | TagEnd::TableRow | TagEnd::Table => {
                self.end_table_part(tag);
            }
            _ => self.end_line(""),
        }
    }

    /// Opens or closes emphasis. An inner one takes the other mark, so that two do not read as one.
    fn emphasis(&mut self, strong: bool, opens: bool) {
        if !opens {
            self.emphases = self.emphases.saturating_sub(1);
        }
        let mark = if self.emphases.is_multiple_of(2) { "*" } else { "_" };
        if self.markup == Markup::Kept {
            self.line.push_str(&mark.repeat(if strong { 2 } else { 1 }));
        }
        if opens {
            self.emphases += 1;
        }
    }

    fn end_table_part(&mut self, tag: TagEnd) {
        let Some(table) = &mut self.table else {
            return;
        };
        match tag {
            TagEnd::TableCell => {
                let line = std::mem::take(&mut self.line);
                self.row.push(cell_of(line.trim()));
            }
            TagEnd::TableHead => table.heads = std::mem::take(&mut self.row),
            TagEnd::TableRow => table.rows.push(std::mem::take(&mut self.row)),
            _ => {
                let lines = chunk::table(table);
                self.table = None;
                self.breaks = true;
                self.push(lines);
            }
        }
    }

    fn end_code(&mut self) {
        let code = std::mem::take(&mut self.line);
        let fence = "`".repeat((longest_run(&code, '`') + 1).max(3));
        let code = code.replace('\r', "");
        let line_break = if code.is_empty() || code.ends_with('\n') { "" } else { "\n" };
        self.code_block = false;
        self.push(Chunk::Lines(format!("{fence}\n{code}{line_break}{fence}")));
    }

    /// Ends the line that is being written, with something before it.
    fn end_line(&mut self, before: &str) {
        let line = std::mem::take(&mut self.line);
        if !line.trim().is_empty() {
            self.push(Chunk::Lines(format!("{before}{}", line.trim())));
        }
    }

    fn push(&mut self, chunk: Chunk) {
        match self.open.last_mut() {
            Some(Open::Text(chunks) | Open::Quote(chunks) | Open::Item(chunks)) => {
                chunks.push(chunk);
            }
            Some(Open::List(_, items)) => items.push(vec![chunk]),
            None => {}
        }
    }

    /// Closes the innermost element and hands it to the one around it.
    fn close(&mut self) {
        match self.open.pop() {
            Some(Open::Quote(chunks)) => self.push(Chunk::Quote(chunks)),
            Some(Open::List(start, items)) => self.push(Chunk::List { start, items }),
            Some(Open::Item(chunks)) => match self.open.last_mut() {
                Some(Open::List(_, items)) => items.push(chunks),
                _ => chunks.into_iter().for_each(|chunk| self.push(chunk)),
            },
            Some(text @ Open::Text(_)) => self.open.push(text),
            None => {}
        }
    }
}
