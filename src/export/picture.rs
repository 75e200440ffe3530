//! A drawing as a file: SVG to stand by itself, and PNG.
//!
//! Figures carry ink on white beside their classes, so the page's drawing is the file's drawing.
//! Fonts are inside the binary, so a picture is the same on every machine.

use std::sync::{Arc, LazyLock};

use resvg::tiny_skia::{Color, Pixmap, Transform};
use resvg::usvg::{self, fontdb};

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

const FONTS: [&[u8]; 6] = [
    include_bytes!("font/next-regular.ttf"),
    include_bytes!("font/next-bold.ttf"),
    include_bytes!("font/next-extended.ttf"),
    include_bytes!("font/next-signs.ttf"),
    include_bytes!("font/mono-regular.ttf"),
    include_bytes!("font/mono-signs.ttf"),
];

static DATABASE: LazyLock<Arc<fontdb::Database>> = LazyLock::new(|| {
    let mut fonts = fontdb::Database::new();
    for font in FONTS {
        fonts.load_font_data(font.to_vec());
    }
    fonts.set_sans_serif_family("Atkinson Hyperlegible Next");
    fonts.set_monospace_family("Atkinson Hyperlegible Mono");
    Arc::new(fonts)
});

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

fn draw(svg: &str, paper: Paper, scale: impl Fn(f32) -> f32) -> Result<Vec<u8>, PictureError> {
    let options = usvg::Options {
        font_family: "Atkinson Hyperlegible Next".to_owned(),
        fontdb: Arc::clone(&DATABASE),
        ..usvg::Options::default()
    };
    let tree = usvg::Tree::from_str(svg, &options).map_err(PictureError::Unreadable)?;
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
        assert_ne!(with("sans-serif", "σ"), empty);
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
