//! What a user wrote in Markdown, read once for every exporter.
//!
//! The pipeline: parse (CommonMark with tables) → merge text → keep what a document may hold:
//!
//! - HTML is shown as it was typed, never interpreted;
//! - a picture is its alternative text: nothing is fetched from outside;
//! - a link stays when its address is safe ([`Href`]), otherwise only its text;
//! - headings move below the heading that they stand under;
//! - nesting ends at [`DEEPEST`], so that no text makes the exporters slow or deep.

use pulldown_cmark::{CowStr, Event, HeadingLevel, LinkType, Options, Parser, Tag, TagEnd, TextMergeStream};

use crate::document::Href;

/// How deep quotes and lists nest, and how deep emphasis does; our own limit, far above what a
/// case needs.
pub(super) const DEEPEST: usize = 12;

/// The extensions that are read: tables, because a narrative may hold one; nothing else.
pub(super) const OPTIONS: Options = Options::ENABLE_TABLES;

/// Reads a text whose highest heading is to stand one level below `below`.
pub(super) fn read(text: &str, below: u8) -> Vec<Event<'_>> {
    let events: Vec<Event<'_>> = Parser::new_ext(text, OPTIONS).collect();
    let highest = events.iter().filter_map(heading_level).min().unwrap_or(1);
    let mut reader = Reader {
        kept: Vec::new(),
        open: Vec::new(),
        containers: 0,
        emphases: 0,
        shift: i16::from(below) + 1 - i16::from(highest),
    };
    for event in events {
        reader.take(event);
    }
    TextMergeStream::new(reader.kept.into_iter()).collect()
}

/// A text without control characters but line breaks and tabs; a space stands for each.
fn legible(text: CowStr<'_>) -> CowStr<'_> {
    let harmful = |c: char| c.is_control() && c != '\n' && c != '\t';
    if text.contains(harmful) { text.replace(harmful, " ").into() } else { text }
}

fn heading_level(event: &Event<'_>) -> Option<u8> {
    match event {
        Event::Start(Tag::Heading { level, .. }) => Some(number(*level)),
        _ => None,
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

struct Reader<'a> {
    kept: Vec<Event<'a>>,
    /// For every element that is open, its kind and the end that closes it in what is kept;
    /// `None` when its start was left out.
    open: Vec<(Family, Option<TagEnd>)>,
    containers: usize,
    emphases: usize,
    shift: i16,
}

/// What an element adds to the depth.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Family {
    Container,
    Item,
    Emphasis,
    Other,
}

impl<'a> Reader<'a> {
    fn take(&mut self, event: Event<'a>) {
        match event {
            Event::Start(tag) => self.start(tag),
            Event::End(_) => self.end(),
            Event::Code(text) => self.kept.push(Event::Code(legible(text))),
            // The last three are not read with these options.
            Event::Text(text)
            | Event::Html(text)
            | Event::InlineHtml(text)
            | Event::InlineMath(text)
            | Event::DisplayMath(text)
            | Event::FootnoteReference(text) => self.kept.push(Event::Text(legible(text))),
            Event::SoftBreak | Event::HardBreak | Event::Rule => self.kept.push(event),
            Event::TaskListMarker(_) => {}
        }
    }

    fn start(&mut self, tag: Tag<'a>) {
        let family = match tag {
            Tag::BlockQuote(_) | Tag::List(_) => Family::Container,
            Tag::Item => Family::Item,
            Tag::Emphasis | Tag::Strong => Family::Emphasis,
            _ => Family::Other,
        };
        let kept = self.may_keep(family).then(|| self.translate(tag)).flatten();
        match family {
            Family::Container => self.containers += 1,
            Family::Emphasis => self.emphases += 1,
            Family::Item | Family::Other => {}
        }
        self.open.push((family, kept.as_ref().map(Tag::to_end)));
        self.kept.extend(kept.map(Event::Start));
    }

    fn end(&mut self) {
        let Some((family, kept)) = self.open.pop() else {
            return;
        };
        match family {
            Family::Container => self.containers -= 1,
            Family::Emphasis => self.emphases -= 1,
            Family::Item | Family::Other => {}
        }
        match kept {
            Some(end) => self.kept.push(Event::End(end)),
            // What stood in an item that was left out does not run into the next one.
            None if family == Family::Item => self.kept.push(Event::SoftBreak),
            None => {}
        }
    }

    fn may_keep(&self, family: Family) -> bool {
        match family {
            Family::Container => self.containers < DEEPEST,
            Family::Emphasis => self.emphases < DEEPEST,
            Family::Item => self.open.last().is_some_and(|(_, end)| end.is_some()),
            Family::Other => true,
        }
    }

    /// The element as a document may hold it; `None` when only its content stays.
    fn translate(&self, tag: Tag<'a>) -> Option<Tag<'a>> {
        match tag {
            Tag::Paragraph
            | Tag::BlockQuote(_)
            | Tag::List(_)
            | Tag::Item
            | Tag::CodeBlock(_)
            | Tag::TableHead
            | Tag::TableRow
            | Tag::TableCell
            | Tag::Emphasis
            | Tag::Strong => Some(tag),
            Tag::HtmlBlock => Some(Tag::Paragraph),
            // Alignment would need inline style, which pages do not allow.
            Tag::Table(columns) => Some(Tag::Table(vec![pulldown_cmark::Alignment::None; columns.len()])),
            Tag::Heading { level, .. } => Some(Tag::Heading {
                level: self.moved(level),
                id: None,
                classes: Vec::new(),
                attrs: Vec::new(),
            }),
            Tag::Link { link_type, dest_url, .. } => safe_link(link_type, &dest_url),
            _ => None,
        }
    }

    fn moved(&self, level: HeadingLevel) -> HeadingLevel {
        let wanted = (i16::from(number(level)) + self.shift).clamp(1, 6);
        usize::try_from(wanted)
            .ok()
            .and_then(|level| HeadingLevel::try_from(level).ok())
            .unwrap_or(HeadingLevel::H6)
    }
}

fn safe_link<'a>(link_type: LinkType, address: &str) -> Option<Tag<'a>> {
    let address = match link_type {
        LinkType::Email => format!("mailto:{address}"),
        _ => address.to_owned(),
    };
    let href = Href::parse(&address)?;
    Some(Tag::Link {
        link_type: LinkType::Inline,
        dest_url: href.as_str().to_owned().into(),
        title: "".into(),
        id: "".into(),
    })
}

/// The words of a text as a reader sees them, with one space between words and blocks.
pub(super) fn words<'a>(events: impl IntoIterator<Item = Event<'a>>) -> String {
    let mut text = String::new();
    for event in events {
        match event {
            Event::Text(part) | Event::Code(part) => text.push_str(&part),
            Event::Start(tag) if !is_inline(tag.to_end()) => text.push(' '),
            Event::End(tag) if !is_inline(tag) => text.push(' '),
            Event::SoftBreak | Event::HardBreak => text.push(' '),
            _ => {}
        }
    }
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

const fn is_inline(tag: TagEnd) -> bool {
    matches!(tag, TagEnd::Emphasis | TagEnd::Strong | TagEnd::Link)
}
