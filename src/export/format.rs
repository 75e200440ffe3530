//! A format that a file can have, and the lists of them. A new one is a module with its [`Format`], and a
//! line here.

#[cfg(feature = "pdf")]
use super::pdf;
use super::record::Record;
use super::references::{self, References};
use super::{case_file, fhir, markdown, page, screens, slides, word};
use crate::document::{Deck, Document};

/// A format of files that hold a `T`: a [`Document`], a [`Deck`], a [`Record`], [`References`].
#[derive(Debug)]
pub struct Format<T: 'static> {
    /// Its name in an address, unlike that of any other format.
    pub slug: &'static str,
    /// What people call it.
    pub name: &'static str,
    /// How a file of it ends.
    pub extension: &'static str,
    /// Its media type.
    pub media_type: &'static str,
    /// What a file of it is good for, in a sentence.
    pub use_for: &'static str,
    /// Makes the file. The same input gives the same bytes.
    pub render: fn(&T, &Options) -> Result<Vec<u8>, ExportError>,
}

/// What a renderer may be told beside what it renders.
#[derive(Debug, Default, Clone)]
pub struct Options {
    /// The department's own slides to build on, as [`slides::template::clean`] gave them.
    pub template: Option<std::sync::Arc<slides::Base>>,
}

/// The language that our own words are written in (BCP 47).
pub const LANGUAGE: &str = "en-GB";

/// Why a file could not be made. None of these is the reader's doing.
#[derive(Debug, thiserror::Error)]
pub enum ExportError {
    /// A drawing could not become a picture.
    #[error(transparent)]
    Picture(#[from] super::picture::PictureError),
    /// The parts could not be put into one file.
    #[error("the file cannot be packed: {0}")]
    Packing(String),
    /// The pages could not be set.
    #[error("the pages cannot be set: {0}")]
    Typesetting(String),
}

/// Whether this program makes PDF files: they take long to build, and stand behind a feature of that name.
pub const HAS_PDF: bool = cfg!(feature = "pdf");

/// The formats of a document: teaching summary, minutes, report, lessons booklet.
pub static DOCUMENTS: &[&Format<Document>] = &[
    #[cfg(feature = "pdf")]
    &pdf::FORMAT,
    &word::FORMAT,
    &page::FORMAT,
    &markdown::FORMAT,
];

/// The formats of a deck.
pub static DECKS: &[&Format<Deck>] = &[
    &slides::FORMAT,
    #[cfg(feature = "pdf")]
    &pdf::DECK,
];

/// The formats of a deck that has a slide for each screen, as they are presented.
pub static SCREENS: [&Format<Deck>; 1] = [&screens::FORMAT];

/// The formats of the record of a case.
pub static RECORDS: [&Format<Record>; 3] = [&case_file::TOML, &case_file::JSON, &fhir::FORMAT];

/// The formats of the publications that a case rests on.
pub static REFERENCES: [&Format<References>; 2] = [&references::BIBTEX, &references::RIS];
