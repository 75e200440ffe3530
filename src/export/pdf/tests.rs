use super::*;
use crate::document::{Block, Column, Fact, Figure, Phrase, Slide, SlideKind, Svg, Table};

fn drawing(words: &str) -> Figure {
    let svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"96\" height=\"40\" viewBox=\"0 0 96 40\" font-family=\"'Atkinson Hyperlegible Next', sans-serif\"><text x=\"4\" y=\"20\" font-size=\"14\">{words}</text></svg>"
    );
    Figure {
        title: "Flow was lost once".to_owned(),
        description: "A line with one gap.".to_owned(),
        svg: Svg::trusted(svg),
        values: None,
        summary: "One gap of 38 minutes.".to_owned(),
        source: "The timeline.".to_owned(),
    }
}

fn summary() -> Document {
    let mut document = Document::new("Flow lost & restored");
    document
        .stands_as("Confidential. Peer review and teaching.")
        .section("Why")
        .paragraph(Phrase::new().text("See ").link("the paper", "https://doi.org/10.1/x").strong(" now"))
        .facts([Fact::new("Age", "67 years")])
        .push(drawing("gap"))
        .push(Block::Markdown("1. a\n   - b\n2. c\n\n> said".to_owned()))
        .push(Block::from(
            Table::of("Times", [Column::offset("Time"), Column::text("Event")])
                .rows([["+0:00".into(), "wire".into()]]),
        ))
        .push(Block::Caution("Look at the local protocol.".into()));
    document
}

fn pdf(document: &Document) -> Vec<u8> {
    super::document(document, &Options::default()).unwrap()
}

#[test]
fn the_same_document_is_the_same_bytes() {
    assert_eq!(pdf(&summary()), pdf(&summary()));
}

#[test]
fn it_is_a_tagged_pdf_that_says_so() {
    let bytes = pdf(&summary());
    assert!(bytes.starts_with(b"%PDF-1.7"));
    let text = String::from_utf8_lossy(&bytes).into_owned();
    assert!(text.contains("<pdfuaid:part>1</pdfuaid:part>"), "ISO 14289-1, 5: it says what it conforms to");
}

#[test]
fn what_a_person_typed_is_never_read_as_the_language_of_the_sheets() {
    let mut document = Document::new("#title() $x$ *bold* @a <b>");
    document
        .paragraph("#read(\"/etc/passwd\") \\ // /* #import \"x\" [ ] { } \u{0} \u{7}")
        .push(Block::Markdown("`#panic()` #panic()".to_owned()));
    assert!(pdf(&document).starts_with(b"%PDF"));
}

#[test]
fn a_letter_that_no_font_has_does_not_stop_the_file() {
    let mut document = Document::new("x");
    document.paragraph("a \u{10FFFD} b").push(drawing("\u{10FFFD}"));
    assert!(pdf(&document).starts_with(b"%PDF"));
}

#[test]
fn marks_that_only_steer_their_neighbours_need_no_font() {
    let mut document = Document::new("x");
    document
        .paragraph("12\u{202F}000 µmol/l, soft\u{AD}hyphen, no\u{200B}break, \u{200D}\u{FE0F}\u{2066}x\u{2069}\u{FEFF}")
        .paragraph("y".repeat(300))
        .section("z".repeat(300));
    assert!(pdf(&document).starts_with(b"%PDF"));
}

#[test]
fn an_empty_document_is_a_page() {
    assert!(pdf(&Document::new("Nothing yet")).starts_with(b"%PDF"));
}

#[test]
fn the_same_deck_is_the_same_bytes() {
    let slide = |kind, blocks| Slide {
        name: "one".to_owned(),
        kind,
        part: "Timeline".to_owned(),
        title: "Flow was lost".to_owned(),
        blocks,
        segment: 0,
        notes: "Say this.\nAnd that.".to_owned(),
    };
    let deck = Deck {
        title: "Flow lost".to_owned(),
        standing: "Confidential.".to_owned(),
        slides: vec![
            slide(SlideKind::Opening, vec![Block::paragraph("A case.")]),
            slide(SlideKind::Question("1".to_owned()), vec![Block::bullets(["this", "that"])]),
            slide(SlideKind::Telling, summary().blocks().to_vec()),
        ],
    };
    let bytes = || slides(&deck, &Options::default()).unwrap();
    assert_eq!(bytes(), bytes());
}
