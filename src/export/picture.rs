//! A drawing as a file: SVG to stand by itself, and PNG.
//!
//! Figures carry ink on white beside their classes, so the page's drawing is the file's drawing.
//! Fonts are inside the binary, so a picture is the same on every machine; letters that these lack are drawn with
//! those of the machine.

mod fonts;

use std::collections::BTreeSet;
use std::sync::{Arc, PoisonError};

use resvg::tiny_skia::{Color, Pixmap, Transform};
use resvg::usvg;

#[cfg(feature = "pdf")]
pub(super) use fonts::OURS;
pub(super) use fonts::is_seen;
use fonts::{DATABASE, Lacking, resolver};

/// Dots of the picture for one unit of the drawing: a figure of 960 units fills a page of 160 mm at
/// 300 dots an inch.
pub const SCALE: f32 = 2.0;

/// The widest and highest picture, in dots.
const MOST: f32 = 12_000.0;

/// Why a drawing could not become a picture.
#[derive(Debug, thiserror::Error)]
pub enum PictureError {
    /// It is no SVG.
    #[error("the drawing cannot be read: {0}")]
    Unreadable(usvg::Error),
    /// It has no size, or too large a one.
    #[error("the drawing is {0} by {1} units, too large for a picture")]
    Size(f32, f32),
    /// The picture could not be written.
    #[error("the picture cannot be written: {0}")]
    Unwritable(String),
}

/// What stands for a letter that neither our fonts nor those of the machine have: a letter that is seen to be missing, not
/// a box that looks like a sign. The words stand beside the drawing too, in its description and its table.
const INSTEAD: char = '?';

/// A drawing as an SVG file.
#[must_use]
pub fn svg_file(svg: &str) -> String {
    format!("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n{svg}\n")
}

/// A drawing as a PNG file, ink on white, [`SCALE`] dots a unit.
///
/// # Errors
/// [`PictureError`]; a drawing of ours gives none.
pub fn png_file(svg: &str) -> Result<Vec<u8>, PictureError> {
    draw(svg, Paper::White, |_| SCALE)
}

/// What a drawing stands on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Paper {
    /// On white, whatever is behind it.
    White,
    /// On what is behind it.
    Clear,
}

/// A drawing as a PNG of so many dots across: as many as the place needs that it is put into.
///
/// # Errors
/// [`PictureError`]; a drawing of ours gives none.
pub fn png_across(svg: &str, dots: f64, paper: Paper) -> Result<Vec<u8>, PictureError> {
    #[expect(clippy::cast_possible_truncation, reason = "a scale between a hundredth and a hundred")]
    draw(svg, paper, |width| (dots.round() / f64::from(width).max(1.0)) as f32)
}

/// A drawing in letters of ours where those look the same or say the same: a drawing of ours needs no other font.
pub(super) fn in_our_letters(svg: &str) -> String {
    let ours = |letter: char| match letter {
        // The sign for micro is the letter mu (Unicode NFKC).
        'µ' => 'μ',
        '→' => '›',
        '←' => '‹',
        '′' => '’',
        '″' => '”',
        letter => letter,
    };
    svg.chars().map(ours).collect()
}

/// A drawing in paths, each letter from a font that has it.
fn tree_of(svg: &str) -> Result<usvg::Tree, PictureError> {
    let lacking = Lacking::default();
    let parse = |svg: &str| {
        let options = usvg::Options {
            font_family: "Atkinson Hyperlegible Next".to_owned(),
            fontdb: Arc::clone(&DATABASE),
            font_resolver: resolver(&lacking),
            ..usvg::Options::default()
        };
        usvg::Tree::from_str(svg, &options).map_err(PictureError::Unreadable)
    };
    let svg = in_our_letters(svg);
    let tree = parse(&svg)?;
    let none_has = std::mem::take(&mut *lacking.lock().unwrap_or_else(PoisonError::into_inner));
    if none_has.is_empty() {
        return Ok(tree);
    }
    parse(&without(&svg, &none_has))
}

/// A drawing in which [`INSTEAD`] stands for letters that no font has; those that only steer their neighbours go.
fn without(svg: &str, letters: &BTreeSet<char>) -> String {
    let instead = |letter: char| match letter {
        letter if !letters.contains(&letter) => Some(letter),
        letter => is_seen(letter).then_some(INSTEAD),
    };
    svg.chars().filter_map(instead).collect()
}

fn draw(svg: &str, paper: Paper, scale: impl Fn(f32) -> f32) -> Result<Vec<u8>, PictureError> {
    let tree = tree_of(svg)?;
    let (width, height) = (tree.size().width(), tree.size().height());
    let scale = scale(width);
    // A thousandth of a dot is no dot.
    let (wide, high) = ((width * scale - 0.001).ceil(), (height * scale - 0.001).ceil());
    let too_large = || PictureError::Size(width, height);
    if wide > MOST || high > MOST {
        return Err(too_large());
    }
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "1 to 12,000")]
    let mut picture = Pixmap::new(wide as u32, high as u32).ok_or_else(too_large)?;
    if paper == Paper::White {
        picture.fill(Color::WHITE);
    }
    resvg::render(&tree, Transform::from_scale(scale, scale), &mut picture.as_mut());
    picture.encode_png().map_err(|error| PictureError::Unwritable(error.to_string()))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Width and height of a PNG, from its header (ISO/IEC 15948, 11.2.2).
    fn size(png: &[u8]) -> (u32, u32) {
        assert_eq!(&png[..8], b"\x89PNG\r\n\x1a\n");
        let number = |at: usize| u32::from_be_bytes(png[at..at + 4].try_into().unwrap());
        (number(16), number(20))
    }

    fn drawing(body: &str) -> String {
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"96\" height=\"40\" viewBox=\"0 0 96 40\">{body}</svg>"
        )
    }

    #[test]
    fn a_picture_has_two_dots_for_a_unit() {
        assert_eq!(size(&png_file(&drawing("")).unwrap()), (192, 80));
    }

    #[test]
    fn a_picture_has_the_dots_that_its_place_needs() {
        assert_eq!(size(&png_across(&drawing(""), 480.0, Paper::Clear).unwrap()), (480, 200));
        assert_eq!(size(&png_across(&drawing(""), 70.4, Paper::White).unwrap()), (70, 30));
        let clear = png_across(&drawing(""), 96.0, Paper::Clear).unwrap();
        assert_ne!(clear, png_across(&drawing(""), 96.0, Paper::White).unwrap());
    }

    #[test]
    fn text_is_drawn_from_the_fonts_inside() {
        let with = |family: &str, text: &str| {
            png_file(&drawing(&format!(
                "<text x=\"4\" y=\"30\" font-size=\"20\" font-family=\"{family}\">{text}</text>"
            )))
            .unwrap()
        };
        let empty = png_file(&drawing("")).unwrap();
        for family in [crate::figure::svg::SANS, crate::figure::svg::MONO] {
            assert_ne!(with(&family.replace('\'', "&#39;"), "lost"), empty, "{family}");
        }
        // A sign that only the font of signs holds.
        assert_ne!(with("sans-serif", "Ω"), empty);
    }

    fn letters(text: &str) -> Vec<u8> {
        png_file(&drawing(&format!(
            "<text x=\"4\" y=\"30\" font-size=\"20\" font-family=\"sans-serif\">{text}</text>"
        )))
        .unwrap()
    }

    #[test]
    fn a_letter_that_no_font_has_is_seen_to_be_missing() {
        // For private use (Unicode, 23.5), so that no font has a shape for it.
        assert_eq!(letters("a\u{10FFFD}b"), letters("a?b"));
        // What only steers its neighbours takes no place.
        assert_eq!(letters("a\u{200D}\u{FE0F}\u{10FFFD}b"), letters("a?b"));
        assert_eq!(letters("\u{2067}ab\u{2069}"), letters("ab"));
    }

    #[test]
    fn letters_that_ours_lack_leave_no_gap() {
        for text in ["خرج", "血管", "🫀", "Ж"] {
            assert_ne!(letters(text), letters(""), "{text}");
        }
    }

    #[test]
    fn our_own_letters_ask_no_other_font() {
        let usual = "TIMI 3 → 0 at +12:30 – “no-reflow” ≈ ≥ 90 mm² é ł Ω µ ′ ″ p′-chart ← …";
        let family = crate::figure::svg::SANS.replace('\'', "&#39;");
        let svg = drawing(&format!("<text x=\"4\" y=\"30\" font-family=\"{family}\">{usual}</text>"));
        assert_eq!(tree_of(&svg).unwrap().fontdb().len(), DATABASE.len(), "fonts of the machine were read");
    }

    #[test]
    fn what_is_no_drawing_or_too_large_is_refused() {
        assert!(matches!(png_file("<p>no</p>"), Err(PictureError::Unreadable(_))));
        let large = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"90000\" height=\"40\" viewBox=\"0 0 90000 40\"/>";
        assert!(matches!(png_file(large), Err(PictureError::Size(..))));
    }

    #[test]
    fn a_file_of_svg_begins_as_xml() {
        assert!(svg_file(&drawing("")).starts_with("<?xml"));
    }
}
