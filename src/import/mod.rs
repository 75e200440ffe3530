//! What comes in from outside: case files, and the procedures at risk as a table.
//!
//! The pipeline of a case file: bytes → text with its lines (`source`) → a tree in which every
//! value knows its place, from TOML or JSON (`tree`, `from_toml`, `from_json`) → the types of the
//! record, field by field (`field`, `case_file`) → the rules across its parts
//! ([`crate::case::check`]). Each step adds to one list of problems and goes on, so that a person
//! mends a file in one pass. Nothing here touches the database.

pub mod at_risk;
pub mod case_file;

mod field;
mod from_json;
mod from_toml;
mod nearest;
mod source;
mod tree;
mod value;

use std::fmt;

pub use source::FILE_AT_MOST;

/// The most problems that are told about one file; a file with more has one cause for most of them.
pub const PROBLEMS_AT_MOST: usize = 100;

/// Something in a file that cannot be taken in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FileProblem {
    /// The line, from 1.
    pub line: usize,
    /// The character in that line, from 1.
    pub column: usize,
    /// Where in the case: `events[3].at`, rows counted from 0; in a table of procedures at risk the
    /// column's name. Empty for the file as a whole.
    pub path: String,
    /// What is wrong and what to do, in a sentence.
    pub message: String,
}

impl fmt::Display for FileProblem {
    /// `line:column: path: message`, to stand behind the name of the file.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}: ", self.line, self.column)?;
        if !self.path.is_empty() {
            write!(f, "{}: ", self.path)?;
        }
        f.write_str(&self.message)
    }
}
