//! A phrase as a line of Markdown.

use pulldown_cmark::{Event, Options, Parser, Tag, TagEnd};

use super::super::user_markdown::words;
use super::escape::{as_one_line, code_span, destination, escape_after, escape_everything};
use crate::document::{Inline, Phrase};

/// A phrase as one line. The line is read back: should its markup not read as the same words (a
/// star between two letters, say), the words are written without markup.
pub(super) fn write(phrase: &Phrase) -> String {
    let text = as_one_line(&phrase.to_text());
    let marked = with_markup(phrase);
    if reads_as(&marked, &text) { marked } else { escape_everything(&text) }
}

fn with_markup(phrase: &Phrase) -> String {
    let mut line = String::new();
    for inline in phrase.inlines() {
        let text: String = inline.as_text().chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
        match inline {
            Inline::Strong(_) | Inline::Mark(_) => add_marked(&mut line, "**", &text),
            Inline::Emphasis(_) | Inline::Signed(_) | Inline::Missing(_) => {
                add_marked(&mut line, "*", &text);
            }
            Inline::Mono(_) if text.trim().is_empty() || text.contains('|') => {
                add_text(&mut line, &text);
            }
            Inline::Mono(_) => line.push_str(&code_span(&text)),
            // An address of this app leads nowhere from a file.
            Inline::Link { href, .. } if href.is_outside() && !text.trim().is_empty() => {
                line.push('[');
                add_text(&mut line, &text);
                line.push_str("](");
                line.push_str(&destination(href.as_str()));
                line.push(')');
            }
            Inline::Text(_) | Inline::Quiet(_) | Inline::Link { .. } => add_text(&mut line, &text),
        }
    }
    line.trim_end().to_owned()
}

/// Adds escaped text; at the start of the line without the space that Markdown would drop.
fn add_text(line: &mut String, text: &str) {
    let text = if line.is_empty() { text.trim_start() } else { text };
    escape_after(line, text);
}

/// Adds text between marks, with its outer spaces outside of them: inside they would undo them.
fn add_marked(line: &mut String, mark: &str, text: &str) {
    let inner = text.trim();
    if inner.is_empty() {
        return add_text(line, text);
    }
    let before = &text[..text.len() - text.trim_start().len()];
    let after = &text[text.trim_end().len()..];
    add_text(line, before);
    line.push_str(mark);
    escape_after(line, inner);
    line.push_str(mark);
    add_text(line, after);
}

/// Whether a Markdown reader with common extensions sees one paragraph of these words.
fn reads_as(line: &str, text: &str) -> bool {
    let options = super::super::user_markdown::OPTIONS
        | Options::ENABLE_STRIKETHROUGH
        | Options::ENABLE_FOOTNOTES
        | Options::ENABLE_TASKLISTS
        | Options::ENABLE_MATH;
    let events: Vec<Event<'_>> = Parser::new_ext(line, options).collect();
    let only_inline = events.iter().all(|event| match event {
        Event::Text(_) | Event::Code(_) => true,
        Event::Start(tag) => is_expected(tag.to_end()),
        Event::End(tag) => is_expected(*tag),
        _ => false,
    });
    let paragraphs = events.iter().filter(|event| matches!(event, Event::Start(Tag::Paragraph))).count();
    only_inline && paragraphs <= 1 && words(events) == words([Event::Text(text.into())])
}

const fn is_expected(tag: TagEnd) -> bool {
    matches!(tag, TagEnd::Paragraph | TagEnd::Emphasis | TagEnd::Strong | TagEnd::Link)
}
