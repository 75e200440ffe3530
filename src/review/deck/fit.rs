//! How much fits on a screen: text is laid out over as many screens as it takes, so that nothing
//! scrolls and nothing is set smaller than the last row can read.
//!
//! Lengths are lines of body text on a screen of 1920 × 1080, the tighter of the two sizes that are
//! looked at. They are estimates on the safe side; the stylesheet has the sizes they stand for.

use crate::case::reading::words::shorten;
use crate::document::{Block, Inline, Phrase};

/// Lines of body text that fit on a screen, its title counted in.
pub(super) const LINES: f64 = 17.4;
/// Characters in a line of body text, and of a title.
const PER_LINE: f64 = 84.0;
const PER_TITLE_LINE: f64 = 62.0;
/// A line of a title, a gap between two items, and a unit of a drawing's height, in lines of body text.
const TITLE_LINE: f64 = 1.3;
const GAP: f64 = 0.35;
const FIGURE_UNIT: f64 = 0.0635;
/// The narrowest that a drawing's share of the screen may leave for text.
const LEAST: f64 = 1.0;

/// How wide a text is, in characters of the Latin alphabet.
fn width(text: &str) -> f64 {
    text.chars().map(|c| if c.is_ascii() || ('\u{a0}'..='\u{24f}').contains(&c) { 1.0 } else { 2.0 }).sum()
}

/// How many lines a text takes.
pub(super) fn lines(text: &str) -> f64 {
    (width(text) / PER_LINE).ceil().max(1.0)
}

/// How many lines of body text a title takes.
pub(super) fn title_lines(title: &str) -> f64 {
    (width(title) / PER_TITLE_LINE).ceil().max(1.0) * TITLE_LINE
}

/// How many lines of body text a drawing takes that is as wide as the screen.
pub(super) fn figure_lines(svg: &str) -> f64 {
    let height = svg
        .split_once("viewBox=\"")
        .and_then(|(_, rest)| rest.split('"').next())
        .and_then(|numbers| numbers.split(' ').nth(3))
        .and_then(|height| height.parse::<f64>().ok())
        .unwrap_or(0.0);
    height * FIGURE_UNIT
}

/// The room under a title and, perhaps, a drawing.
pub(super) fn room(title: &str, drawing: f64) -> f64 {
    (LINES - title_lines(title) - drawing).max(LEAST)
}

/// Items over as many screens as they take, each with a gap before the next. An item that is longer
/// than a screen goes on on the next.
pub(super) fn pages(items: Vec<Phrase>, room: f64, at_most: usize) -> Vec<Vec<Phrase>> {
    let mut pages: Vec<Vec<Phrase>> = Vec::new();
    let mut left = 0.0;
    for item in items.into_iter().flat_map(|item| split(item, room)) {
        let needed = lines(&item.to_text()) + GAP;
        match pages.last_mut() {
            Some(page) if needed <= left && page.len() < at_most => page.push(item),
            _ => {
                pages.push(vec![item]);
                left = room;
            }
        }
        left -= needed;
    }
    pages
}

/// A phrase in pieces that each fit into the room.
fn split(phrase: Phrase, room: f64) -> Vec<Phrase> {
    if lines(&phrase.to_text()) <= room {
        return vec![phrase];
    }
    let most = room.floor().max(1.0) * PER_LINE;
    let mut pieces: Vec<Phrase> = Vec::new();
    let mut piece = Phrase::new();
    let mut filled = 0.0;
    for inline in phrase.inlines() {
        for part in parts(inline, most) {
            let wide = width(&part.to_text());
            if filled > 0.0 && filled + wide > most {
                pieces.push(std::mem::take(&mut piece));
                filled = 0.0;
            }
            piece = piece.then(part);
            filled += wide;
        }
    }
    pieces.push(piece);
    pieces
}

/// A piece of a phrase in parts: text by sentences, a sentence that is too long by words, anything
/// else as it is.
fn parts(inline: &Inline, most: f64) -> Vec<Phrase> {
    match inline {
        Inline::Text(text) => cut(text, most).into_iter().map(|part| Phrase::new().text(part)).collect(),
        Inline::Quiet(text) => cut(text, most).into_iter().map(|part| Phrase::new().quiet(part)).collect(),
        Inline::Strong(text) => cut(text, most).into_iter().map(|part| Phrase::new().strong(part)).collect(),
        other => vec![Phrase::new().with(other.clone())],
    }
}

/// A text in parts of at most so many characters, cut after sentences where it can be.
pub(super) fn cut(text: &str, most: f64) -> Vec<String> {
    let mut parts: Vec<String> = Vec::new();
    for sentence in text.split_inclusive(['.', '!', '?', ';']) {
        if width(sentence) <= most {
            parts.push(sentence.to_owned());
            continue;
        }
        let mut part = String::new();
        for word in sentence.split_inclusive(char::is_whitespace) {
            for piece in pieces(word, most) {
                if !part.is_empty() && width(&part) + width(&piece) > most {
                    parts.push(std::mem::take(&mut part));
                }
                part.push_str(&piece);
            }
        }
        if !part.is_empty() {
            parts.push(part);
        }
    }
    parts
}

/// A word without an end, in pieces.
fn pieces(word: &str, most: f64) -> Vec<String> {
    if width(word) <= most {
        return vec![word.to_owned()];
    }
    let mut pieces = vec![String::new()];
    let mut wide = 0.0;
    for c in word.chars() {
        let letter = width(c.encode_utf8(&mut [0; 4]));
        if wide + letter > most {
            pieces.push(String::new());
            wide = 0.0;
        }
        if let Some(last) = pieces.last_mut() {
            last.push(c);
        }
        wide += letter;
    }
    pieces
}

/// A long text as a title and what is left for the body: all of it when it is short, else its first
/// sentence, else its beginning, with all of it left.
pub(super) fn headline(text: &str) -> (String, String) {
    headline_within(text, SHORT)
}

/// The longest title, in characters.
const SHORT: usize = 220;

/// The same, with a title of at most so many characters.
pub(super) fn headline_within(text: &str, most: usize) -> (String, String) {
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    if text.chars().count() <= most {
        return (text, String::new());
    }
    let ends = text.char_indices().filter(|(_, c)| matches!(c, '.' | '?' | '!'));
    let after = |(at, c): (usize, char)| at + c.len_utf8();
    let end = ends.map(after).find(|&end| text[end..].starts_with(' '));
    match end {
        Some(end) if text[..end].chars().count() <= most => {
            (text[..end].to_owned(), text[end..].trim().to_owned())
        }
        _ => (shorten(&text, most / 2), text),
    }
}

/// Paragraphs of a text that all fit on a screen of this title, a screen each.
pub(super) fn paragraphs(text: &str, room: f64) -> Vec<Vec<Block>> {
    pages(vec![Phrase::from(text)], room, 1)
        .into_iter()
        .map(|page| page.into_iter().map(Block::Paragraph).collect())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_of_a_text_is_lost_when_it_is_cut() {
        let words = "One sentence here. Another, longer, with a clause; and a last one? ".repeat(40);
        for text in [words.as_str(), &"x".repeat(3_000), "漢".repeat(900).as_str(), ""] {
            let parts = cut(text, 300.0);
            assert_eq!(parts.concat(), text);
            assert!(parts.iter().all(|part| width(part) <= 300.0), "{parts:?}");
        }
    }

    #[test]
    fn a_page_holds_what_fits_and_no_more_than_is_asked() {
        let items = vec![Phrase::from("short"); 7];
        assert_eq!(pages(items.clone(), 10.0, 3).iter().map(Vec::len).collect::<Vec<_>>(), [3, 3, 1]);
        assert_eq!(pages(items, 3.0, 9).iter().map(Vec::len).collect::<Vec<_>>(), [2, 2, 2, 1]);
        let long = Phrase::from("word ".repeat(400));
        let split = pages(vec![long.clone()], 6.0, 3);
        assert!(split.len() > 3);
        assert_eq!(split.concat().iter().map(Phrase::to_text).collect::<String>(), long.to_text());
    }

    #[test]
    fn a_headline_is_the_whole_the_first_sentence_or_the_beginning() {
        assert_eq!(headline("Wire first."), ("Wire first.".to_owned(), String::new()));
        let (title, rest) = headline(&format!("Wire first. {}", "More about why. ".repeat(20)));
        assert_eq!(title, "Wire first.");
        assert!(rest.starts_with("More about why."));
        let endless = "and on ".repeat(80);
        let (title, rest) = headline(&endless);
        assert!(title.ends_with('…') && rest == endless.trim());
    }

    #[test]
    fn a_drawing_takes_the_height_that_its_view_box_says() {
        assert!((figure_lines("<svg viewBox=\"0 0 600 200\">") - 200.0 * FIGURE_UNIT).abs() < 1e-9);
        assert!(figure_lines("<svg>").abs() < 1e-9);
    }
}
