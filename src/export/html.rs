//! A document as a page: HTML that may stand in a template as it is.
//!
//! The pipeline: blocks → sections by their headings → elements, every text escaped on the way.
//! A user's Markdown is read by `user_markdown`, turned into HTML, and cleaned as the last step, so
//! that no fault before it can let a script through. Figures are our own drawings and go in as
//! they are. There is no `style=` and no script: the page's content policy allows neither.

mod block;
mod inline;
mod screen;

use std::collections::{HashMap, HashSet};
use std::sync::LazyLock;

use pulldown_cmark::html::push_html;

use super::user_markdown;
use crate::document::{Block, Document, Href, Level, Picture};
use block::Writer;
pub use screen::screen_to_html;

/// The whole document: an article with its title, its sections, and the cautions that end it. Stills are
/// found where the app has them.
#[must_use]
pub fn document_to_html(document: &Document) -> String {
    document_to_html_with(document, |picture| Some(picture.address.clone()))
}

/// The same with the address of each still as `source` gives it; without one its words stand in its place.
#[must_use]
pub fn document_to_html_with(document: &Document, source: fn(&Picture) -> Option<String>) -> String {
    let blocks = document.blocks();
    let end = blocks.iter().rposition(|block| !matches!(block, Block::Caution(_))).map_or(0, |last| last + 1);
    let (body, cautions) = blocks.split_at(end);
    let first_section = body.iter().position(starts_section).unwrap_or(end);
    let (preface, sections) = body.split_at(first_section);

    let mut writer = Writer::under(1, source);
    writer.raw("<article class=\"summary\">\n<header>\n");
    if let Some(standing) = document.standing() {
        writer.element("p", " class=\"confidential\"", standing);
    }
    writer.element("h1", "", document.title());
    writer.preface(preface);
    writer.raw("</header>\n");
    write_sections(&mut writer, sections);
    if !cautions.is_empty() {
        writer.raw("<footer>\n");
        writer.blocks(cautions);
        writer.raw("</footer>\n");
    }
    writer.raw("</article>\n");
    writer.finish()
}

/// Blocks without a title, for a part of a page that stands under a second-level heading.
#[must_use]
pub fn blocks_to_html(blocks: &[Block]) -> String {
    let first_section = blocks.iter().position(starts_section).unwrap_or(blocks.len());
    let (before, sections) = blocks.split_at(first_section);
    let mut writer = Writer::under(2, |picture| Some(picture.address.clone()));
    writer.blocks(before);
    write_sections(&mut writer, sections);
    writer.finish()
}

/// What a user wrote in Markdown, as HTML that is safe on a page. Its highest heading becomes a
/// third-level one, because it stands in a section of a page.
#[must_use]
pub fn markdown_to_html(text: &str) -> String {
    markdown_to_html_below(text, 2)
}

/// What a user wrote in Markdown, as safe HTML whose highest heading stands one level below
/// `level` (1 to 6; nothing goes below the sixth).
///
/// HTML in the text is shown as it was typed; pictures are their alternative text; links keep
/// only safe addresses and tell the browser not to pass on where the reader came from.
#[must_use]
pub fn markdown_to_html_below(text: &str, level: u8) -> String {
    let mut html = String::with_capacity(text.len() * 3 / 2);
    push_html(&mut html, user_markdown::read(text, level).into_iter());
    clean(&html)
}

/// Text with the five characters that mean something in HTML written as references; safe between
/// tags and inside quoted attributes.
#[must_use]
pub fn escape(text: &str) -> String {
    let mut escaped = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => escaped.push_str("&amp;"),
            '<' => escaped.push_str("&lt;"),
            '>' => escaped.push_str("&gt;"),
            '"' => escaped.push_str("&quot;"),
            '\'' => escaped.push_str("&#39;"),
            _ => escaped.push(c),
        }
    }
    escaped
}

fn starts_section(block: &Block) -> bool {
    matches!(block, Block::Heading(heading) if heading.level == Level::Section)
}

fn write_sections(writer: &mut Writer, mut blocks: &[Block]) {
    while let Some((Block::Heading(heading), rest)) = blocks.split_first() {
        let length = rest.iter().position(starts_section).unwrap_or(rest.len());
        let (content, others) = rest.split_at(length);
        writer.raw("<section aria-labelledby=\"");
        writer.raw(heading.anchor.as_str());
        writer.raw("\">\n");
        writer.heading(heading);
        writer.blocks(content);
        writer.raw("</section>\n");
        blocks = others;
    }
}

/// Removes from HTML whatever a user's text may not bring: the last step, and enough by itself.
fn clean(html: &str) -> String {
    static CLEANER: LazyLock<ammonia::Builder<'static>> = LazyLock::new(cleaner);
    CLEANER.clean(html).to_string()
}

fn cleaner() -> ammonia::Builder<'static> {
    const TAGS: [&str; 23] = [
        "p",
        "h2",
        "h3",
        "h4",
        "h5",
        "h6",
        "ul",
        "ol",
        "li",
        "blockquote",
        "pre",
        "code",
        "em",
        "strong",
        "a",
        "hr",
        "br",
        "table",
        "thead",
        "tbody",
        "tr",
        "th",
        "td",
    ];
    let mut cleaner = ammonia::Builder::empty();
    cleaner
        .tags(HashSet::from(TAGS))
        .clean_content_tags(HashSet::from(["script", "style"]))
        .tag_attributes(HashMap::from([("a", HashSet::from(["href"])), ("ol", HashSet::from(["start"]))]))
        .set_tag_attribute_value("table", "class", "data")
        .set_tag_attribute_value("th", "scope", "col")
        // A long line scrolls inside its block, and must be reachable by keyboard to do so.
        .set_tag_attribute_value("pre", "tabindex", "0")
        .generic_attributes(HashSet::new())
        .url_schemes(HashSet::from(["http", "https", "mailto"]))
        .attribute_filter(|_, name, value| match name {
            "href" => Href::parse(value).map(|_| value.into()),
            _ => Some(value.into()),
        })
        .link_rel(Some("noopener noreferrer nofollow"))
        .strip_comments(true);
    cleaner
}

#[cfg(test)]
mod script_tests;
#[cfg(test)]
mod tests;
