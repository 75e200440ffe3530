//! What files of words and files of slides share: a container of parts (Open Packaging Conventions,
//! ECMA-376-2), XML, and a document's blocks as paragraphs of runs, tables and figures.
//!
//! The pipeline: blocks → [`text::Piece`]s, which know nothing of XML → each format writes its own XML
//! → [`package::Package`] puts the parts into one file, the same bytes for the same parts.

pub mod columns;
pub mod image;
pub mod measure;
pub mod package;
pub mod text;
mod user;
pub mod xml;
