//! A drawing on a page: with its table, its words, its rule and its files.

use askama::Template;

use crate::figure::Figure;

/// A drawing with its table, its words and its files.
#[derive(Template)]
#[template(path = "part/figure.html")]
pub(super) struct FigurePart {
    pub(super) id: &'static str,
    pub(super) name: String,
    pub(super) figure: Figure,
    /// What stands beside the title; may be empty.
    pub(super) note: String,
    pub(super) rule: String,
    /// What a file is called, and where it is.
    pub(super) files: Vec<(&'static str, String)>,
}
