//! PDF files, opened by poppler and by pikepdf, and checked with pdfua.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::OnceLock;

use relook::document::{Block, Deck, Document, FirstColumn, Phrase};
use relook::export::format::{Format, Options};
use relook::export::pdf::{DECK, FORMAT};
use serde_json::Value;

use super::readers::{Folder, pages, read_with, words};
use super::said::{Said, plain};
use super::{CONFIDENTIAL, Told, cases};

fn rendered<T>(format: &Format<T>, of: &T) -> Vec<u8> {
    (format.render)(of, &Options::default()).unwrap()
}

/// Every case with its summary and its file, made once.
fn summaries() -> &'static [(Told, Document, Vec<u8>)] {
    static MADE: OnceLock<Vec<(Told, Document, Vec<u8>)>> = OnceLock::new();
    MADE.get_or_init(|| {
        let make = |told: Told| {
            let mut summary = told.summary();
            summary.stands_as(CONFIDENTIAL);
            let bytes = rendered(&FORMAT, &summary);
            (told, summary, bytes)
        };
        cases::all().into_iter().map(make).collect()
    })
}

/// Every case with its deck and its file, made once.
fn decks() -> &'static [(Told, Deck, Vec<u8>)] {
    static MADE: OnceLock<Vec<(Told, Deck, Vec<u8>)>> = OnceLock::new();
    MADE.get_or_init(|| {
        let make = |told: Told| {
            let deck = told.deck();
            let bytes = rendered(&DECK, &deck);
            (told, deck, bytes)
        };
        cases::all().into_iter().map(make).collect()
    })
}

/// The files in a folder, in the order of the cases.
fn written<T>(made: &[(Told, T, Vec<u8>)], what: &str, folder: &Path) -> Vec<PathBuf> {
    made.iter()
        .map(|(told, _, bytes)| {
            let path = folder.join(format!("{}-{what}.pdf", told.name));
            std::fs::write(&path, bytes).unwrap();
            path
        })
        .collect()
}

/// The text of a PDF in the order of its tags, as poppler reads them, in one line without white space: a word
/// may be torn over two lines.
fn struct_text(pdf: &Path) -> String {
    let output = Command::new("pdfinfo").arg("-struct-text").arg(pdf).output().expect("poppler-utils");
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    // A line of text stands in quotation marks; the others name tags.
    let said = text.lines().map(str::trim).filter_map(|line| line.strip_prefix('"')?.strip_suffix('"'));
    squeezed(&said.collect::<String>())
}

/// The text of each page, as poppler reads it.
fn page_texts(pdf: &Path) -> Vec<String> {
    let output = Command::new("pdftotext").arg("-layout").arg(pdf).arg("-").output().expect("poppler-utils");
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    text.split('\u{c}').filter(|page| !page.trim().is_empty()).map(plain).collect()
}

/// Letters alone: how a text is broken over lines and runs says nothing.
fn squeezed(text: &str) -> String {
    let text = text.replace('µ', "μ");
    text.chars().filter(|c| !c.is_whitespace() && !matches!(c, '\u{200B}' | '"' | '\u{AD}')).collect()
}

/// The words that are read from left to right: poppler gives the others in the order in which they are drawn.
fn reads_from_the_left(text: &str) -> bool {
    !text.chars().any(|c| matches!(c as u32, 0x0590..=0x08FF | 0xFB1D..=0xFDFF | 0xFE70..=0xFEFC))
}

/// Whether all letters of a text are ones that stand for themselves in a file: pictures of letters may be
/// joined of several signs.
fn stands_for_itself(text: &str) -> bool {
    reads_from_the_left(text)
        && !text
            .chars()
            .any(|c| (c as u32) >= 0x1F000 || matches!(c as u32, 0x2600..=0x27BF | 0xFE0F | 0x200D))
}

/// Whether a text can be looked for in a file's: its letters are read from the left and stand for themselves,
/// and the machine has a font for them; where it has none the file says so.
fn is_found(words: &str, text: &str) -> bool {
    let is_lacking = text.contains("Somelettersofthistextstandhere");
    let is_han = |c: char| matches!(c as u32, 0x3000..=0x9FFF | 0xFF00..=0xFFEF);
    stands_for_itself(words) && !(is_lacking && words.contains(is_han))
}

/// What stands on paper: what is folded on a page does not.
fn on_paper(document: &Document) -> Vec<Block> {
    document.blocks().iter().filter(|block| !matches!(block, Block::Details { .. })).cloned().collect()
}

#[test]
fn what_the_summary_says_stands_in_the_file_in_its_order() {
    let folder = Folder::new();
    for ((told, summary, _), path) in summaries().iter().zip(written(summaries(), "summary", folder.path())) {
        let text = struct_text(&path);
        let said = Said::of(&on_paper(summary));
        let mut from = 0;
        for heading in said.headings.iter().filter(|heading| is_found(heading, &text)) {
            let at = text[from..].find(&squeezed(heading));
            from += at.unwrap_or_else(|| panic!("{}: no {heading:?} after {from} in {text}", told.name));
        }
        let cells = said.tables.iter().flatten().flatten();
        let mut looked = 0;
        for words in said.paragraphs.iter().chain(cells).filter(|words| is_found(words, &text)) {
            looked += 1;
            assert!(text.contains(&squeezed(words)), "{}: no {words:?} in {text}", told.name);
        }
        assert!(looked > 5, "{}: {looked}", told.name);
    }
}

#[test]
fn each_page_says_who_may_read_it_and_which_it_is() {
    let folder = Folder::new();
    for path in written(summaries(), "paged", folder.path()).iter().chain(&written(
        decks(),
        "paged-deck",
        folder.path(),
    )) {
        let all = page_texts(path);
        assert_eq!(all.len(), pages(path), "{}", path.display());
        for (number, text) in (1..).zip(&all) {
            assert!(text.contains(CONFIDENTIAL), "{}: {text}", path.display());
            assert!(text.contains(&format!("Page {number} of {}", all.len())), "{}: {text}", path.display());
        }
    }
}

#[test]
fn fonts_are_inside_and_drawings_stay_lines() {
    let folder = Folder::new();
    for path in written(summaries(), "fonts", folder.path()).iter().chain(&written(
        decks(),
        "fonts-deck",
        folder.path(),
    )) {
        // Poppler's table: name, type, encoding, emb, sub, uni, object.
        let output = Command::new("pdffonts").arg(path).output().expect("poppler-utils");
        let text = String::from_utf8_lossy(&output.stdout).into_owned();
        let fonts: Vec<&str> = text.lines().skip(2).collect();
        assert!(!fonts.is_empty(), "{}", path.display());
        for font in fonts {
            let marks: Vec<&str> = font.split_whitespace().rev().skip(2).take(3).collect();
            // Letters that are pictures are drawings of their own (Type 3), of which nothing is left out.
            let part = if font.contains("Type 3") { "no" } else { "yes" };
            assert_eq!(marks, ["yes", part, "yes"], "{}: {text}", path.display());
        }
    }
    for (file, (told, _, _)) in read_with("read_pdf.py", &written(summaries(), "lines", folder.path()))
        .as_array()
        .unwrap()
        .iter()
        .zip(summaries())
    {
        // Letters that are pictures (emoji) are pixels in their fonts, not on the page.
        assert_eq!(file["images"], told.case.pictures.len(), "{}", told.name);
    }
}

/// What every file is to an independent reader of tags.
fn is_tagged(file: &Value, title: &str, name: &str) {
    assert_eq!(file["findings"], Value::Array(Vec::new()), "{name}");
    assert_eq!(file["conforms"], "1", "{name}: ISO 14289-1, 5");
    assert_eq!(file["language"], "en-GB", "{name}");
    assert_eq!(file["marked"], true, "{name}");
    assert_eq!(file["outline"], true, "{name}");
    assert_eq!(plain(file["described"].as_str().unwrap()), plain(title), "{name}");
    assert_eq!(file["dates"], Value::Array(Vec::new()), "{name}: no clock in it");
}

fn count(file: &Value, tag: &str) -> usize {
    file["tags"][tag].as_u64().map_or(0, |count| usize::try_from(count).unwrap())
}

#[test]
fn a_reader_of_tags_finds_headings_tables_lists_and_what_drawings_show() {
    let folder = Folder::new();
    let files = read_with("read_pdf.py", &written(summaries(), "tags", folder.path()));
    for (file, (told, summary, _)) in files.as_array().unwrap().iter().zip(summaries()) {
        is_tagged(file, summary.title(), told.name);
        let said = Said::of(&on_paper(summary));
        let headings = ["H1", "H2", "H3", "H4"].map(|tag| count(file, tag)).iter().sum::<usize>();
        assert!(headings >= said.headings.len(), "{}: {headings}", told.name);
        assert!(count(file, "Table") >= said.tables.len(), "{}", told.name);
        let alternatives: Vec<String> = file["alternatives"]
            .as_array()
            .unwrap()
            .iter()
            .map(|text| plain(text.as_str().unwrap()))
            .collect();
        for drawing in &said.drawings {
            assert!(
                alternatives.iter().any(|text| text.contains(drawing)),
                "{}: {drawing:?} in {alternatives:?}",
                told.name
            );
        }
        let scope = |name: &str| file["scopes"][name].as_u64().unwrap_or(0);
        let tables = summary.blocks().iter().filter_map(|block| match block {
            Block::Table(table) => Some(table.first_column() == FirstColumn::NamesTheRow),
            _ => None,
        });
        let names_rows: Vec<bool> = tables.collect();
        assert_eq!(scope("Column") > 0, !names_rows.is_empty(), "{}: {}", told.name, file["scopes"]);
        let has_facts = summary.blocks().iter().any(|block| matches!(block, Block::Facts(_)));
        assert_eq!(
            scope("Row") > 0,
            has_facts || names_rows.contains(&true),
            "{}: {}",
            told.name,
            file["scopes"]
        );
    }
}

#[test]
fn each_slide_is_a_page_with_its_notes_and_a_question_comes_before_its_answer() {
    let folder = Folder::new();
    let paths = written(decks(), "deck", folder.path());
    let files = read_with("read_pdf.py", &paths);
    for ((file, path), (told, deck, _)) in files.as_array().unwrap().iter().zip(&paths).zip(decks()) {
        is_tagged(file, &deck.title, told.name);
        let text = struct_text(path);
        let mut from = 0;
        for slide in &deck.slides {
            let title = squeezed(&slide.title);
            if is_found(&slide.title, &text) && title.chars().count() < 80 {
                let at = text[from..].find(&title);
                from += at
                    .unwrap_or_else(|| panic!("{}: no {:?} after {from} in {text}", told.name, slide.title));
            }
            for line in slide.notes.lines().filter(|line| is_found(line, &text)) {
                assert!(text.contains(&squeezed(line)), "{}: no {line:?}", told.name);
            }
        }
        for page in page_texts(path) {
            let Some((_, behind)) = page.rsplit_once("stop point: let the room answer") else { continue };
            assert!(!behind.contains("Slide "), "{}: more follows the question: {page}", told.name);
        }
    }
}

#[test]
fn a_link_within_the_document_and_one_out_of_it_lead_somewhere() {
    let mut document = Document::new("Links");
    document
        .paragraph(
            Phrase::new()
                .link("to the end", "#the-end")
                .link("nowhere", "#not-there")
                .link("paper", "https://doi.org/10.1000/x"),
        )
        .section("The end");
    let folder = Folder::new();
    let path = folder.path().join("links.pdf");
    std::fs::write(&path, rendered(&FORMAT, &document)).unwrap();
    let file = &read_with("read_pdf.py", &[path])[0];
    is_tagged(file, "Links", "links");
    assert_eq!(file["links"], serde_json::json!({ "inside": 1, "outside": ["https://doi.org/10.1000/x"] }));
}

#[test]
fn nothing_leaves_the_page() {
    let folder = Folder::new();
    let summaries = written(summaries(), "edges", folder.path());
    for path in summaries.iter().chain(&written(decks(), "edges-deck", folder.path())) {
        for (number, page) in (1..).zip(words(path)) {
            // The box of a letter that is a picture is larger than what is drawn of it.
            for ([left, top, right, bottom], word) in
                page.into_iter().filter(|(_, word)| stands_for_itself(word))
            {
                // A4 is 595.3 by 841.9 points; the margins are 56.
                let inside = left > 50.0 && right < 546.0 && top > 20.0 && bottom < 825.0;
                assert!(
                    inside,
                    "{}, page {number}: {word:?} at {left}, {top}, {right}, {bottom}",
                    path.display()
                );
            }
        }
    }
}

#[test]
fn a_letter_that_no_font_has_is_named() {
    let mut document = Document::new("Letters");
    document.paragraph("before \u{10FFFD} after");
    let folder = Folder::new();
    let path = folder.path().join("letters.pdf");
    std::fs::write(&path, rendered(&FORMAT, &document)).unwrap();
    let text = page_texts(&path).join(" ").replace('\u{200B}', "");
    assert!(text.contains("before ? after"), "{text}");
    assert!(text.contains("no font for them (U+10FFFD)"), "{text}");
}
