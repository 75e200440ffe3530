//! What leaves the app: a document as a page or as a file.
//!
//! The pipeline: the record makes a [`Document`](crate::document::Document) → one of these writes
//! it in its own language and escapes for it. What a user wrote in Markdown passes through
//! `user_markdown`, which decides once, for every exporter, what of it a document may hold. `format` lists
//! what a file can be; `slides` and `word` share `office`, `screens` and `page` share `one_file`. Beside them, `everything` writes all of it, `case_file` writes the record itself, to be read again, and `picture` a drawing as a file.

pub mod case_file;
pub mod csv;
pub mod everything;
pub mod fhir;
pub mod format;
pub mod html;
pub mod markdown;
pub mod office;
mod one_file;
pub mod page;
#[cfg(feature = "pdf")]
pub mod pdf;
pub mod picture;
pub mod record;
pub mod references;
pub mod screens;
pub mod slides;
mod user_markdown;
pub mod word;
