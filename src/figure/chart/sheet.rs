//! A chart put together: what is drawn, its notes beneath it, its table and its words.

use super::notes::Notes;
use super::plot::WIDTH;
use crate::figure::svg::{self, Element};
use crate::figure::{Figure, FigureTable};

/// What a chart says besides its drawing.
pub(super) struct Told {
    pub(super) description: String,
    pub(super) table: FigureTable,
    pub(super) summary: String,
}

/// The figure of what is drawn down to `bottom`, with its notes beneath from `left` on.
pub(super) fn figure(
    (prefix, title): (&str, &str),
    drawn: Element,
    (left, bottom): (f64, f64),
    notes: &Notes,
    told: Told,
) -> Figure {
    let width = WIDTH - left;
    let mut root = svg::root(prefix, title, &told.summary, WIDTH, bottom + notes.height(width));
    root.add(drawn);
    notes.draw(&mut root, left, bottom, width);
    Figure {
        title: title.to_owned(),
        description: told.description,
        svg: root.write(),
        table: told.table,
        summary: told.summary,
    }
}
