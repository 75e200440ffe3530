use pulldown_cmark::{Event, Options, Parser, Tag};

use super::super::user_markdown::{self, words};
use super::round_trip_tests::{ends_in_a_section, normal};
use super::*;
use crate::document::{Column, Table};

#[test]
fn a_phrase_of_plain_words_stays_readable() {
    for text in [
        "A 67-year-old woman (eGFR 54) had 2.5 × 15 mm at 12 atm; flow was lost.",
        "What made this easy to miss: the tip moved freely!",
        "−3:00 to +12:30, TIMI 3 = normal",
    ] {
        assert_eq!(plain(text), text);
    }
    let phrase = Phrase::new().strong("38 min").text(" from ").mono("+12:30");
    assert_eq!(phrase::write(&phrase), "**38 min** from `+12:30`");
}

#[test]
fn emphasis_that_markdown_cannot_say_leaves_the_words() {
    // A closing mark behind a bracket and before a letter does not close.
    let phrase = Phrase::new().strong("(a)").text("b");
    assert_eq!(phrase::write(&phrase), "\\(a\\)b");
    // Spaces move out of the marks.
    let phrase = Phrase::new().text("x").strong(" a ").text("b");
    assert_eq!(phrase::write(&phrase), "x **a** b");
}

#[test]
fn the_file_of_a_document_is_the_one_expected() {
    let mut document = Document::new("Flow lost for 38 minutes");
    document
        .stands_as("Confidential.")
        .section("What it was")
        .paragraph(Phrase::new().strong("No-reflow").text(" at ").mono("+12:30"))
        .facts([Fact::new("Age", "67"), Fact::or_missing("eGFR", None::<String>)])
        .table(
            Table::of("Events", [Column::offset("Time"), Column::text("What")])
                .rows([["−3:00".into(), "Access | radial".into()]]),
        )
        .markdown("# Mine\n\ntext\n\n```\nopen")
        .section("Lessons")
        .numbered([Phrase::new().text("Look twice. ").signed("Signed.")])
        .missing("when flow returned")
        .caution("Local protocols decide.");
    let expected = "\
# Flow lost for 38 minutes

Confidential.

## What it was

**No-reflow** at `+12:30`

- **Age:** 67
- **eGFR:** *not recorded*

*Events*

| Time | What |
| ---: | --- |
| −3:00 | Access &#124; radial |

### Mine

text

```
open
```

## Lessons

1. Look twice. *Signed.*

*Not recorded: when flow returned*

> **Caution.** Local protocols decide.
";
    assert_eq!(document_to_markdown(&document), expected);
}

/// Users' texts that would swallow or disturb what follows if they went through as they are.
const OPEN_ENDED: &[&str] = &[
    "```\nan open fence",
    "~~~~\nan open fence",
    "<!-- an open comment",
    "<script>\nopen",
    "<div>\nopen",
    "> a quote\nlazy",
    "- a list\n\n  - deeper\n\n    ```\n    open",
    "1. one\n2. two\n\n   more",
    "| a | b |\n|---|---|\n| 1 | `x\\|y` |",
    "[Sections]: https://evil.example\n[What follows]: javascript:x",
    "a\n===\nb\n---",
    "text\\",
    "text  ",
    "* * *\n- ---\n* ___",
    "    indented code\n\n\ttab",
    "****a** b*c** ***d***",
    "[a *b `c` d*](https://example.org/x_(y)?a=1&lt=2) <a@example.org>",
    "![alt *x*](https://example.org/x.png)",
    "# h #\n## `code` #",
    "&lt;script&gt; &#35; heading &copy; &#10;# x",
    "- [ ] task\n- [x] done",
    "- \n-\n- x",
    "> > > - > 1. x",
    "a\\\nb  \nc",
    "999999999. x\n1000000000. y",
    "```` \n```\ninner\n```\n````",
    "*a*b*c* _d_e __f__",
    "\u{0}x\u{0}",
];

#[test]
fn a_users_markdown_ends_where_its_block_ends() {
    for text in OPEN_ENDED {
        let mut document = Document::new("t");
        document
            .section("Before")
            .bullets(["a bullet"])
            .markdown(*text)
            .bullets(["another bullet"])
            .section("What follows");
        let markdown = document_to_markdown(&document);
        let events: Vec<Event<'_>> = Parser::new_ext(&markdown, Options::ENABLE_TABLES).collect();
        assert!(ends_in_a_section(&markdown), "{text:?}:\n{markdown}");
        let found = words(events.iter().cloned());
        let own = words(user_markdown::read(text, 2));
        assert_eq!(
            found,
            normal(&format!("t Before a bullet {own} another bullet What follows")),
            "{text:?}:\n{markdown}"
        );
        let html = events.iter().any(|event| matches!(event, Event::Html(_) | Event::InlineHtml(_)));
        assert!(!html, "{text:?}:\n{markdown}");
    }
}

#[test]
fn a_users_headings_stand_below_the_section() {
    let mut document = Document::new("t");
    document.section("s").markdown("# a\n\n## b\n\n##### c").part("p").markdown("## d");
    let markdown = document_to_markdown(&document);
    for line in ["\n### a\n", "\n#### b\n", "\n###### c\n", "\n### p\n", "\n#### d\n"] {
        assert!(markdown.contains(line), "{line:?} in {markdown}");
    }
}

#[test]
fn a_link_of_this_app_is_only_its_words_and_one_to_outside_stays() {
    let phrase = Phrase::new()
        .link("case", "/cases/2026-001")
        .text(", ")
        .link("guide", "https://example.org/a?b=1&copy=2");
    let written = phrase::write(&phrase);
    assert_eq!(written, "case, [guide](<https://example.org/a?b=1\\&copy=2>)");
    let address = Parser::new(&written).find_map(|event| match event {
        Event::Start(Tag::Link { dest_url, .. }) => Some(dest_url.to_string()),
        _ => None,
    });
    assert_eq!(address.as_deref(), Some("https://example.org/a?b=1&copy=2"));
}

#[test]
fn lists_that_follow_each_other_stay_apart() {
    let mut document = Document::new("t");
    document.bullets(["a"]).bullets(["b"]).bullets(["c"]).numbered(["d"]).numbered(["e"]);
    let markdown = document_to_markdown(&document);
    let lists = Parser::new(&markdown).filter(|event| matches!(event, Event::Start(Tag::List(_)))).count();
    assert_eq!(lists, 5, "{markdown}");
}

#[test]
fn long_and_deep_texts_stay_quick() {
    let started = std::time::Instant::now();
    for piece in [">", "- ", "*a **b ", "[", "1. ", "word-", "1.", "`", "_a", "| ", "# "] {
        let text = piece.repeat(60_000 / piece.len());
        let mut document = Document::new("t");
        document.section("s").paragraph(text.as_str()).markdown(text);
        assert!(document_to_markdown(&document).starts_with("# t\n\n## s\n\n"));
    }
    // Far above what it takes; a quadratic writer would need minutes.
    assert!(started.elapsed().as_secs() < 20, "{:?}", started.elapsed());
}
