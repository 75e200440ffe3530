use super::super::Base;
use super::*;
use crate::document::Figure;
use crate::document::{Block, Phrase, Svg};
use crate::export::office::text::words;

fn slide(title: &str, blocks: Vec<Block>) -> Slide {
    Slide {
        name: "s".to_owned(),
        kind: SlideKind::Telling,
        part: "Why".to_owned(),
        title: title.to_owned(),
        blocks,
        segment: 0,
        notes: "Say it.".to_owned(),
    }
}

fn figure(height: f64) -> Block {
    Block::Figure(Figure {
        title: "t".to_owned(),
        description: "d".to_owned(),
        svg: Svg::trusted(format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 600 {height}\"/>"
        )),
        values: None,
        summary: String::new(),
        source: String::new(),
    })
}

fn laid_out(slides: Vec<Slide>) -> Deck {
    Deck { title: "Deck".to_owned(), standing: "Confidential.".to_owned(), slides }
}

/// Nothing on a page overlaps, or leaves the place that there is.
fn check(pages: &[Page<'_>]) {
    for page in pages {
        let mut y = 147.9;
        for item in &page.items {
            let place = match item {
                Placed::Text { place, paragraphs } => {
                    let Some(place) = place else { continue };
                    assert!(!paragraphs.is_empty());
                    place
                }
                Placed::Table { place, .. } | Placed::Picture { place, .. } => place,
            };
            assert!(place.y >= y - 0.1, "{page:?}");
            y = place.bottom();
            assert!(y <= 484.1 && place.x >= 47.9 && place.x + place.width <= 912.1, "{page:?}");
        }
    }
}

fn told(pages: &[Page<'_>]) -> String {
    let paragraphs = pages.iter().flat_map(|page| &page.items).filter_map(|item| match item {
        Placed::Text { paragraphs, .. } => Some(paragraphs),
        _ => None,
    });
    paragraphs.flatten().map(|paragraph| words(&paragraph.runs)).collect()
}

#[test]
fn a_long_text_goes_on_and_loses_nothing() {
    let text = "A sentence of some words that goes on and on. ".repeat(60);
    let deck = laid_out(vec![slide("Why it was missed", vec![Block::paragraph(text.as_str())])]);
    let pages = pages(&deck, Base::ours().looks());
    assert!(pages.len() > 2);
    assert_eq!(told(&pages), text);
    assert_eq!(pages[0].title.text, "Why it was missed");
    assert_eq!(pages[1].title.text, "Why it was missed (continued)");
    assert_eq!(pages[1].notes, "");
    check(&pages);
}

#[test]
fn a_drawing_leaves_room_for_its_words_where_it_can() {
    let words = || Block::bullets([Phrase::from("One event"), Phrase::from("Another event")]);
    for (height, expected) in [(120.0, 1), (230.0, 1), (236.0, 1), (900.0, 1)] {
        let deck = laid_out(vec![slide("Flow", vec![figure(height), words()])]);
        let pages = pages(&deck, Base::ours().looks());
        assert_eq!(pages.len(), expected, "{height}");
        check(&pages);
    }
    let many = Block::bullets((0..9).map(|n| Phrase::from(format!("Event {n}"))));
    let deck = laid_out(vec![slide("Flow", vec![figure(230.0), many])]);
    let found = pages(&deck, Base::ours().looks());
    assert_eq!(found.len(), 2);
    assert_eq!((found[0].want, found[1].want), (Want::Figure, Want::Text));
    check(&found);
}

#[test]
fn a_title_that_is_too_long_stands_whole_beneath() {
    let title = "No flow after the stent in the main vessel and the branch ".repeat(8);
    let deck = laid_out(vec![slide(title.trim(), vec![Block::paragraph("Text.")])]);
    let pages = pages(&deck, Base::ours().looks());
    assert!(pages[0].title.text.ends_with('…'));
    assert!(told(&pages).starts_with(title.trim()));
    check(&pages);
}

#[test]
fn text_above_a_drawing_has_a_place_of_its_own() {
    let deck = laid_out(vec![slide("Rate", vec![Block::paragraph("5 of 1,000."), figure(150.0)])]);
    let pages = pages(&deck, Base::ours().looks());
    assert_eq!(pages.len(), 1);
    assert!(matches!(pages[0].items[0], Placed::Text { place: Some(_), .. }));
    assert_eq!(pages[0].want, Want::FigureAndText);
    check(&pages);
}
