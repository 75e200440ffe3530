//! Blocks as HTML.

use std::fmt::Write as _;

use crate::document::{Block, ColumnKind, Fact, Figure, FirstColumn, Heading, Order, Phrase, Picture, Table};

use super::inline::phrase;
use super::{escape, markdown_to_html_below};
use crate::export::office::xml::is_right_to_left;

/// A value longer than this many characters gets a line of its own among the facts.
const LONG_FACT: usize = 40;

/// Writes blocks one below the other, and knows under which heading it is.
pub(super) struct Writer {
    html: String,
    level: u8,
    /// The block before was a heading, which names a table that follows.
    under_heading: bool,
    /// Inside an opened explanation facts are a plain list of inputs, rule and source.
    in_details: bool,
    /// Where a still is found.
    source: fn(&Picture) -> Option<String>,
}

impl Writer {
    /// A writer of blocks that stand under a heading of this level.
    pub(super) const fn under(level: u8, source: fn(&Picture) -> Option<String>) -> Self {
        Self { html: String::new(), level, under_heading: false, in_details: false, source }
    }

    pub(super) fn finish(self) -> String {
        self.html
    }

    /// Adds HTML that our own code wrote.
    pub(super) fn raw(&mut self, html: &str) {
        self.html.push_str(html);
    }

    /// Adds an element around escaped text, on its own line.
    pub(super) fn element(&mut self, tag: &str, attributes: &str, text: &str) {
        let direction = direction(text);
        self.line(tag, &format!("{attributes}{direction}"), &escape(text));
    }

    /// Adds an element around a phrase, on its own line.
    fn phrased(&mut self, tag: &str, attributes: &str, text: &Phrase) {
        let direction = direction(&text.to_text());
        self.line(tag, &format!("{attributes}{direction}"), &phrase(text));
    }

    fn line(&mut self, tag: &str, attributes: &str, html: &str) {
        self.add(format_args!("<{tag}{attributes}>{html}</{tag}>\n"));
    }

    fn add(&mut self, html: std::fmt::Arguments<'_>) {
        // Writing to a string cannot fail.
        let _ = self.html.write_fmt(html);
    }

    /// The blocks before the first section; the first paragraph leads.
    pub(super) fn preface(&mut self, blocks: &[Block]) {
        let lead = blocks.iter().position(|block| matches!(block, Block::Paragraph(_)));
        for (index, block) in blocks.iter().enumerate() {
            match block {
                Block::Paragraph(text) if Some(index) == lead => {
                    self.phrased("p", " class=\"lead\"", text);
                }
                _ => self.block(block),
            }
        }
    }

    pub(super) fn blocks(&mut self, blocks: &[Block]) {
        for block in blocks {
            self.block(block);
        }
    }

    pub(super) fn heading(&mut self, heading: &Heading) {
        self.level = heading.level.number();
        let (level, anchor) = (self.level, heading.anchor.as_str());
        let (text, direction) = (escape(&heading.text), direction(&heading.text));
        self.add(format_args!("<h{level} id=\"{anchor}\"{direction}>{text}</h{level}>\n"));
        self.under_heading = true;
    }

    fn block(&mut self, block: &Block) {
        let under_heading = std::mem::take(&mut self.under_heading);
        match block {
            Block::Heading(heading) => self.heading(heading),
            Block::Paragraph(text) => self.phrased("p", "", text),
            Block::List { order, items } => self.list(*order, items),
            Block::Table(table) => self.scrolling_table(table, under_heading),
            Block::Figure(figure) => self.figure(figure),
            Block::Picture(picture) => self.picture(picture),
            Block::Facts(facts) => self.facts(facts),
            Block::Missing(what) => {
                let text = format!("Not recorded: {what}");
                self.element("p", " class=\"missing\"", &text);
            }
            Block::Markdown(text) => {
                let (html, direction) = (markdown_to_html_below(text, self.level), direction(text));
                self.add(format_args!("<div class=\"prose\"{direction}>\n{html}</div>\n"));
            }
            Block::Note(text) => self.phrased("p", " class=\"note muted small\"", text),
            Block::Caution(text) => self.phrased("p", " class=\"caution\"", text),
            Block::Details { summary, blocks } => {
                self.raw("<details class=\"rule\">");
                self.element("summary", "", summary);
                let outer = std::mem::replace(&mut self.in_details, true);
                self.blocks(blocks);
                self.in_details = outer;
                self.raw("</details>\n");
            }
        }
    }

    fn list(&mut self, order: Order, items: &[Phrase]) {
        let tag = match order {
            Order::Bullets => "ul",
            Order::Numbers => "ol",
        };
        self.add(format_args!("<{tag}>\n"));
        for item in items {
            self.phrased("li", "", item);
        }
        self.add(format_args!("</{tag}>\n"));
    }

    fn facts(&mut self, facts: &[Fact]) {
        self.raw(if self.in_details { "<dl>\n" } else { "<dl class=\"facts\">\n" });
        for fact in facts {
            let (label, value) = (escape(&fact.label), phrase(&fact.value));
            let direction = direction(&fact.value.to_text());
            let pair = format!("<dt>{label}</dt><dd{direction}>{value}</dd>");
            if self.in_details {
                self.add(format_args!("{pair}\n"));
            } else if fact.value.to_text().chars().count() > LONG_FACT {
                self.line("div", " class=\"span\"", &pair);
            } else {
                self.line("div", "", &pair);
            }
        }
        self.raw("</dl>\n");
    }

    fn picture(&mut self, picture: &Picture) {
        let alternative = escape(&picture.alternative);
        let Picture { width, height, caption, .. } = picture;
        match (self.source)(picture).as_deref().map(escape) {
            Some(address) => self.add(format_args!(
                "<figure class=\"still\"><img src=\"{address}\" width=\"{width}\" height=\"{height}\" alt=\"{alternative}\" loading=\"lazy\">"
            )),
            None => self.add(format_args!("<figure class=\"still\"><p class=\"missing\">{alternative}</p>")),
        }
        if !caption.is_blank() {
            self.phrased("figcaption", "", caption);
        }
        self.raw("</figure>\n");
    }

    fn figure(&mut self, figure: &Figure) {
        let (title, summary) = (escape(&figure.title), escape(&figure.summary));
        self.add(format_args!(
            "<figure class=\"figure-block\">\n<figcaption><strong>{title}</strong> <span>{summary}</span></figcaption>\n"
        ));
        let svg = figure.svg.as_str();
        self.add(format_args!(
            "<div class=\"fig-scroll\" role=\"region\" aria-label=\"{title}, drawn\" tabindex=\"0\">{svg}</div>\n"
        ));
        if let Some(values) = &figure.values {
            self.raw("<details><summary>The numbers</summary>\n");
            self.scrolling_table(values, true);
            self.raw("</details>\n");
        }
        if !figure.source.trim().is_empty() {
            let source = format!("Source: {}", figure.source);
            self.element("p", " class=\"muted small\"", &source);
        }
        self.raw("</figure>\n");
    }

    /// A table that scrolls by itself when the screen is narrow.
    fn scrolling_table(&mut self, table: &Table, caption_is_said: bool) {
        let label = escape(table.caption());
        self.add(format_args!(
            "<div class=\"table-scroll\" role=\"region\" aria-label=\"{label}\" tabindex=\"0\">\n"
        ));
        self.table(table, caption_is_said);
        self.raw("</div>\n");
    }

    fn table(&mut self, table: &Table, caption_is_said: bool) {
        let has_times = table.columns().iter().any(|column| column.kind == ColumnKind::Offset);
        let class = if has_times { "data entry" } else { "data" };
        self.add(format_args!("<table class=\"{class}\">\n"));
        let hidden = if caption_is_said { " class=\"visually-hidden\"" } else { "" };
        self.element("caption", hidden, table.caption());
        self.raw("<thead><tr>");
        for column in table.columns() {
            let (class, label) = (cell_class(column.kind), escape(&column.label));
            self.add(format_args!("<th scope=\"col\"{class}>{label}</th>"));
        }
        self.raw("</tr></thead>\n<tbody>\n");
        for row in table.rows() {
            self.raw("<tr>");
            for (index, (cell, column)) in row.iter().zip(table.columns()).enumerate() {
                let (class, html) = (cell_class(column.kind), phrase(cell));
                let direction = direction(&cell.to_text());
                if index == 0 && table.first_column() == FirstColumn::NamesTheRow {
                    self.add(format_args!("<th scope=\"row\"{class}{direction}>{html}</th>"));
                } else {
                    self.add(format_args!("<td{class}{direction}>{html}</td>"));
                }
            }
            self.raw("</tr>\n");
        }
        self.raw("</tbody>\n</table>\n");
    }
}

/// The attribute of an element whose text is read from right to left; nothing for any other.
fn direction(text: &str) -> &'static str {
    if is_right_to_left(text) { " dir=\"rtl\"" } else { "" }
}

const fn cell_class(kind: ColumnKind) -> &'static str {
    match kind {
        ColumnKind::Text => "",
        ColumnKind::Number => " class=\"num\"",
        ColumnKind::Offset => " class=\"c-time\"",
    }
}
