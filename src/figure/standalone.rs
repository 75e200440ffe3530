//! A figure that stands by itself: with its title, a note, and paper behind it.

use super::Figure;
use super::scale::float;
use super::svg::{self, Anchor, INK_SOFT, PAPER};

/// The margin round the figure.
const MARGIN: f64 = 20.0;
/// The size of the title and the height of its lines.
const TITLE: (f64, f64) = (18.0, 24.0);
/// The size of the note and the height of its lines.
const NOTE: (f64, f64) = (12.5, 17.0);
/// The most lines of a title or a note.
const MOST_LINES: usize = 4;
/// The room for a drawing that does not say its size, so that it still has its note. The check of
/// every figure holds that it does say it.
const UNSAID: (f64, f64) = (960.0, 400.0);

impl Figure {
    /// The drawing with its title above and a note beneath, on paper: what becomes a file.
    #[must_use]
    pub fn standalone(&self, note: &str) -> String {
        let (width, height) = size(&self.svg).unwrap_or(UNSAID);
        let lines = |text: &str, size: f64| svg::wrap(text, size, width, MOST_LINES);
        let (titles, notes) = (lines(&self.title, TITLE.0), lines(note, NOTE.0));
        let top = MARGIN + float(titles.len()) * TITLE.1 + 8.0;
        let bottom = top + height + 8.0;
        let whole = bottom + float(notes.len()) * NOTE.1 + MARGIN;
        let mut text = String::new();
        for (at, line) in titles.iter().enumerate() {
            let y = MARGIN + float(at + 1) * TITLE.1 - 6.0;
            text += &svg::text(MARGIN, y, TITLE.0, Anchor::Start, line).write();
        }
        for (at, line) in notes.iter().enumerate() {
            let y = bottom + float(at + 1) * NOTE.1;
            text += &svg::text(MARGIN, y, NOTE.0, Anchor::Start, line).fill(INK_SOFT).write();
        }
        let wide = width + 2.0 * MARGIN;
        let inner = self.svg.replacen("<svg ", &format!("<svg x=\"{MARGIN}\" y=\"{top}\" "), 1);
        let paper = svg::rect(0.0, 0.0, wide, whole).fill(PAPER).write();
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{wide}\" height=\"{whole}\" \
             viewBox=\"0 0 {wide} {whole}\" font-family=\"{}\">{paper}{text}{inner}</svg>",
            svg::SANS
        )
    }
}

/// The width and height that the root of a drawing says.
pub(super) fn size(svg: &str) -> Option<(f64, f64)> {
    let number = |name: &str| {
        let start = svg.find(&format!(" {name}=\""))? + name.len() + 3;
        svg[start..].split('"').next()?.parse::<f64>().ok()
    };
    Some((number("width")?, number("height")?))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::figure::FigureTable;

    #[test]
    fn a_figure_by_itself_has_its_title_its_note_and_room_for_both() {
        let svg = svg::root("x", "t & u", "d", 300.0, 100.0).write();
        let figure = Figure {
            title: "Rates < 5 & more".to_owned(),
            description: String::new(),
            svg,
            table: FigureTable::default(),
            summary: String::new(),
        };
        let found = figure.standalone("For use inside the department.");
        assert!(!crate::figure::testing::parse(&found).is_empty(), "it is well-formed");
        assert!(
            found.starts_with("<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"340\" height=\"197\""),
            "{found}"
        );
        assert!(found.contains("Rates &lt; 5 &amp; more"));
        assert!(found.contains("<svg x=\"20\" y=\"52\" xmlns"));
        assert!(figure.standalone("").contains("height=\"180\""));
    }
}
