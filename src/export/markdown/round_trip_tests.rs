//! What is written reads back: a CommonMark reader that is not ours finds the same words.

use proptest::prelude::*;
use pulldown_cmark::{Event, HeadingLevel, Options, Parser, Tag, TagEnd};

use super::super::user_markdown::{self, words};
use super::*;
use crate::document::{Column, Inline, Level, Svg, Table};

/// The document's own words, block by block, as a reader of the file is to find them again.
fn words_of(document: &Document) -> Vec<String> {
    let mut found = vec![document.title().to_owned()];
    found.extend(document.standing().map(str::to_owned));
    for block in document.blocks() {
        collect(block, &mut found);
    }
    found.iter().map(|text| normal(text)).filter(|text| !text.is_empty()).collect()
}

fn collect(block: &Block, found: &mut Vec<String>) {
    match block {
        Block::Heading(heading) => found.push(heading.text.clone()),
        Block::Paragraph(phrase) => found.push(phrase.to_text()),
        Block::List { items, .. } => found.extend(items.iter().map(Phrase::to_text)),
        Block::Table(table) => collect_table(table, found),
        Block::Figure(figure) => {
            found.push(format!("Figure: {}", figure.title));
            found.extend([figure.summary.clone(), figure.description.clone()]);
            figure.values.iter().for_each(|table| collect_table(table, found));
            if !figure.source.trim().is_empty() {
                found.push(format!("Source: {}", figure.source));
            }
        }
        Block::Picture(picture) => {
            found.push(format!("Picture: {}", picture.caption.to_text()));
            found.push(format!("{} {}", picture.alternative, super::NOT_HERE));
        }
        Block::Facts(facts) => {
            found.extend(facts.iter().map(|fact| format!("{}: {}", fact.label.trim(), fact.value.to_text())))
        }
        Block::Missing(what) => found.push(format!("Not recorded: {what}")),
        Block::Markdown(text) => found.push(words(user_markdown::read(text, 2))),
        Block::Note(phrase) => found.push(format!("Note. {}", phrase.to_text())),
        Block::Caution(phrase) => found.push(format!("Caution. {}", phrase.to_text())),
        Block::Details { summary, blocks } => {
            found.push(summary.clone());
            blocks.iter().for_each(|block| collect(block, found));
        }
    }
}

fn collect_table(table: &Table, found: &mut Vec<String>) {
    found.push(table.caption().to_owned());
    found.extend(table.columns().iter().map(|column| column.label.clone()));
    found.extend(table.rows().iter().flatten().map(Phrase::to_text));
}

/// Words with one space between them; a control character counts as a space.
pub(super) fn normal(text: &str) -> String {
    let spaced: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    spaced.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The words that a CommonMark reader finds, block by block.
fn read_back(markdown: &str) -> Vec<String> {
    let mut found = Vec::new();
    let mut text = String::new();
    for event in Parser::new_ext(markdown, Options::ENABLE_TABLES) {
        match event {
            Event::Text(part) | Event::Code(part) => text.push_str(&part),
            Event::SoftBreak | Event::HardBreak => text.push(' '),
            Event::Start(Tag::Emphasis | Tag::Strong | Tag::Link { .. })
            | Event::End(TagEnd::Emphasis | TagEnd::Strong | TagEnd::Link) => {}
            Event::Start(_) | Event::End(_) | Event::Rule => {
                found.push(std::mem::take(&mut text));
            }
            other => panic!("{other:?} has no place in the file:\n{markdown}"),
        }
    }
    found.push(text);
    found.iter().map(|text| normal(text)).filter(|text| !text.is_empty()).collect()
}

fn assert_reads_back(document: &Document) {
    let markdown = document_to_markdown(document);
    assert_eq!(read_back(&markdown), words_of(document), "{markdown}");
}

/// Whether the last block is a second-level heading, in nothing else.
pub(super) fn ends_in_a_section(markdown: &str) -> bool {
    let mut open = Vec::new();
    let mut last = Vec::new();
    for event in Parser::new_ext(markdown, Options::ENABLE_TABLES) {
        match event {
            Event::Start(tag) => {
                open.push(tag.to_end());
                last.clone_from(&open);
            }
            Event::End(_) => {
                open.pop();
            }
            _ => {}
        }
    }
    last == [TagEnd::Heading(HeadingLevel::H2)]
}

/// A document that uses every block around one text.
fn around(text: &str) -> Document {
    let phrase = Phrase::new()
        .text(text)
        .text(" ")
        .strong(text)
        .text(" ")
        .emphasis(text)
        .text(" ")
        .mono(text)
        .text(" ")
        .link(text, "https://example.org/a_(b)?c=1&copy=2*")
        .text(" ")
        .quiet(text)
        .text(" ")
        .missing(text);
    let mut document = Document::new(text);
    document
        .stands_as(text)
        .paragraph(text)
        .section(text)
        .paragraph(phrase.clone())
        .bullets([Phrase::from(text), phrase.clone()])
        .bullets([text, "last"])
        .numbered([text, "last"])
        .numbered([text])
        .facts([Fact::new(text, phrase.clone())])
        .table(Table::of(text, [Column::offset(text), Column::text(text), Column::number(text)]).rows([[
            phrase.clone(),
            text.into(),
            text.into(),
        ]]))
        .figure(Figure {
            title: text.into(),
            description: text.into(),
            svg: Svg::trusted("<svg></svg>"),
            values: Some(Table::of(text, [Column::text(text)]).rows([[text.into()]]).into()),
            summary: text.into(),
            source: text.into(),
        })
        .part(text)
        .missing(text)
        .note(text)
        .caution(phrase)
        .details(text, [Block::paragraph(text), Block::bullets([text])]);
    document
}

/// Texts that look like markup.
const NASTY: &[&str] = &[
    "a | b || c",
    "# not a heading",
    "ends with a mark #",
    "####### seven",
    "- not a list",
    "+ nor this",
    "* nor this",
    "1. nor this",
    "1986) nor this",
    "1.",
    "> not a quote",
    "---",
    "===",
    ":---:",
    "***",
    "```",
    "~~~ fence",
    "`code` and ``more`` `",
    "`",
    "*a* _b_ **c** __d__",
    "a*b*c snake_case_name __init__",
    "[text](https://example.org) [ref][1] [1]: https://example.org",
    "![picture](https://example.org/x.png)",
    "[^1] [^1]: note",
    "[x] done [ ] open",
    "<script>alert(1)</script>",
    "<b>bold</b> <!-- comment --> <? x ?>",
    "<https://example.org> <a@example.org>",
    "&lt; &amp; &#38; &copy; & alone &; &x",
    "back\\slash \\* \\| \\\\ \\",
    "ends with two spaces  ",
    "   leading spaces",
    "\ttab\tinside",
    "line\nbreak\r\nand\n\nblank",
    "NUL \u{0} and \u{1b} and \u{b}",
    "\u{a0}hard space\u{a0}",
    "~one~ ~~two~~ $math$ $$more$$ ^up^ ==mark==",
    "{#id .class} {{x}} {% y %}",
    "\"quotes\" 'single' -- --- ...",
    "−3:00 ≈ +12:30 (±5 min) 2.5 × 15 mm",
    "+12:30",
    "p<0.05, n>30, a<b>c",
    "1*2*3 = 6; 5 * 6 = 30",
    "|",
    "\\|",
    "| --- | --- |",
    "a\\",
    "(a)b *(c)*d",
    "http://example.org/a_b_c?x=*y*",
    "!",
    "![",
    "](",
    "日本語 *強調* テスト",
    "- - - x",
    "Term\n: definition",
    "+++\ntoml\n+++",
];

#[test]
fn what_looks_like_markup_reads_back_as_the_same_words() {
    for text in NASTY {
        assert_reads_back(&around(text));
    }
}

/// Text made of the characters that Markdown cares about, and some that it does not.
fn nasty_text() -> impl Strategy<Value = String> {
    let piece = prop_oneof![
        4 => prop::sample::select("\\`*_{}[]()<>#+-.!|~&=:;\"'$^/@ \n\t0123".chars().collect::<Vec<_>>())
            .prop_map(|c| c.to_string()),
        2 => prop::sample::select(vec!["a", "bc", "é", "−", "≈", "日"]).prop_map(str::to_owned),
        1 => prop::sample::select(NASTY.to_vec()).prop_map(str::to_owned),
    ];
    prop::collection::vec(piece, 0..14).prop_map(|pieces| pieces.concat())
}

fn any_inline() -> impl Strategy<Value = Inline> {
    (0..7_u8, nasty_text()).prop_map(|(kind, text)| match kind {
        0 => Inline::Strong(text),
        1 => Inline::Emphasis(text),
        2 => Inline::Mono(text),
        3 => Inline::Mark(text),
        4 => Inline::Missing(text),
        _ => Inline::Text(text),
    })
}

proptest! {
    #[test]
    fn any_text_reads_back_as_the_same_words(text in nasty_text()) {
        assert_reads_back(&around(&text));
    }

    #[test]
    fn any_line_reads_back_as_the_same_words(inlines in prop::collection::vec(any_inline(), 0..5)) {
        let phrase: Phrase = inlines.into_iter().collect();
        let mut document = Document::new("t");
        document
            .paragraph(phrase.clone())
            .bullets([phrase.clone(), "x".into()])
            .table(Table::of("c", [Column::text("h"), Column::text("i")])
                .rows([[phrase.clone(), phrase.clone()]]))
            .heading(Level::Point, "end");
        assert_reads_back(&document);
    }

    #[test]
    fn any_markdown_of_a_user_reads_back_as_the_same_words(text in nasty_text()) {
        let mut document = Document::new("t");
        document.section("Before").markdown(&text).section("After");
        let markdown = document_to_markdown(&document);
        let own = words(user_markdown::read(&text, 2));
        let found = words(Parser::new_ext(&markdown, Options::ENABLE_TABLES));
        prop_assert_eq!(found, normal(&format!("t Before {own} After")), "{}", markdown);
        prop_assert!(ends_in_a_section(&markdown), "{}", markdown);
    }
}
