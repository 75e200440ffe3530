//! A page: a slide as it stands in the file, with all that is on it in its place.

use super::grid::Grid;
use super::look::{Place, Want};
use super::title::Title;
use crate::export::office::image::Image;
use crate::export::office::text::Paragraph;

/// A page.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::export) struct Page<'a> {
    pub(in crate::export) want: Want,
    pub(in crate::export) part: String,
    pub(in crate::export) title: Title,
    pub(in crate::export) items: Vec<Placed<'a>>,
    pub(in crate::export) notes: String,
}

/// What stands on a page, from top to bottom.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::export) enum Placed<'a> {
    /// Paragraphs; without a place they stand where the layout has them.
    Text { place: Option<Place>, paragraphs: Vec<Paragraph> },
    /// A table.
    Table { place: Place, grid: Grid },
    /// A drawing.
    Picture { place: Place, image: Image<'a> },
}
