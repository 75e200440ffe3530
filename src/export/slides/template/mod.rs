//! A department's own presentation as what our slides are built on.
//!
//! Taken over are the first master, its layouts, its theme and the pictures that these show. All else
//! stays behind: slides, notes, comments, macros, embedded objects, links, properties, own XML. What is taken over
//! is written anew, element by element, so that nothing comes along unseen. A file that cannot be used, or that
//! tries to do harm, is refused with a sentence.

mod archive;
mod filter;
mod read;

use super::base::{Base, LAYOUT_TYPE, MASTER, MASTER_TYPE, THEME, THEME_TYPE, layout_name};
use super::look::{LookError, Looks};
use super::part::add_presentation;
use crate::export::format::{ExportError, LANGUAGE};
use crate::export::office::package::{Package, Relation};
use archive::Archive;

/// The largest file that is looked at, in bytes.
pub const LARGEST: usize = 20 * 1024 * 1024;

/// What a template became.
#[derive(Debug)]
pub struct Cleaned {
    /// What slides are built on from now on.
    pub base: Base,
    /// What of the file could not be taken over though it shows, in words; may be empty.
    pub left_out: Vec<String>,
}

/// Why a file cannot be a template. Each says what to do.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Refused {
    /// It is empty.
    #[error("This file holds nothing. Choose the presentation again.")]
    Empty,
    /// It is larger than is looked at.
    #[error(
        "This file is larger than 20 MB. Delete its slides and save it again: only the master is needed."
    )]
    TooLarge,
    /// It is of the old kind, or needs a password.
    #[error(
        "This file is protected by a password, or of the kind from before 2007. Open it, take the password off and save it as .pptx."
    )]
    Protected,
    /// It is something else.
    #[error("This is no presentation. Choose a .pptx file; a .potx can be saved as one.")]
    NoPresentation,
    /// It holds macros.
    #[error("This presentation holds macros. Save it as .pptx, without them.")]
    Macros,
    /// It unpacks to more than it may, has too many parts, or names that lead elsewhere.
    #[error("This file is not packed as a presentation is: {0}. It was not opened.")]
    Hostile(&'static str),
    /// A part that it needs is not there or cannot be read.
    #[error("This file is damaged: {0}. Open it in your program for slides, save it anew and try again.")]
    Damaged(String),
    /// There is nothing to write on.
    #[error(
        "None of the layouts of its first master has both a title and a large place for text. Add one, and try again."
    )]
    NoText,
    /// Its slides are too small for text that the last row can read.
    #[error("Its slides are smaller than 16 by 12 centimetres. Text of 24 points has no room on them.")]
    TooSmall,
}

impl From<LookError> for Refused {
    fn from(error: LookError) -> Self {
        match error {
            LookError::NoText => Self::NoText,
            LookError::Unreadable => Self::Damaged("a layout cannot be read".to_owned()),
        }
    }
}

/// Takes over from a presentation what slides can be built on.
///
/// # Errors
/// Why it cannot be used.
pub fn clean(bytes: &[u8]) -> Result<Cleaned, Refused> {
    if bytes.is_empty() {
        return Err(Refused::Empty);
    }
    if bytes.len() > LARGEST {
        return Err(Refused::TooLarge);
    }
    read::read(&mut Archive::open(bytes)?)
}

impl Base {
    /// A presentation without slides that holds this and nothing else: what is kept, and what
    /// [`clean`] reads again as the same.
    ///
    /// # Errors
    /// When it cannot be packed, which is a fault of ours.
    pub fn to_bytes(&self) -> Result<Vec<u8>, ExportError> {
        let mut package = self.parts().clone();
        add_presentation(&mut package, self.looks(), 0);
        package.describe("", LANGUAGE);
        package.into_bytes()
    }

    /// The names of its layouts that serve for: opening, text, a question, a figure, a table.
    #[must_use]
    pub fn layouts_used(&self) -> [(&'static str, String); 5] {
        use super::look::Want;
        [
            ("The first slide", Want::Opening),
            ("Text", Want::Text),
            ("A question to the room", Want::Question),
            ("A drawing", Want::Figure),
            ("A table", Want::Table),
        ]
        .map(|(what, want)| (what, self.looks().layout(want).name.clone()))
    }
}

/// A master, its layouts and its theme as a base.
struct Parts {
    size: (f64, f64),
    master: filter::Filtered,
    layouts: Vec<filter::Filtered>,
    theme: filter::Filtered,
    pictures: Vec<(String, &'static str, Vec<u8>)>,
}

impl Parts {
    fn into_base(self) -> Result<Base, Refused> {
        let layouts: Vec<&str> = self.layouts.iter().map(|layout| layout.xml.as_str()).collect();
        let looks = Looks::read(self.size, &self.master.xml, &layouts)?;
        let mut package = Package::new();
        let mut of_master: Vec<Relation> = (1..=self.layouts.len())
            .map(|number| Relation::to(number, "slideLayout", layout_name(number)))
            .collect();
        of_master.push(Relation::to(self.layouts.len() + 1, "theme", THEME));
        of_master.extend(self.master.relations);
        package.add(MASTER, MASTER_TYPE, self.master.xml, of_master);
        for (number, layout) in (1..).zip(self.layouts) {
            let mut relations = vec![Relation::to(1, "slideMaster", MASTER)];
            relations.extend(layout.relations);
            package.add(layout_name(number), LAYOUT_TYPE, layout.xml, relations);
        }
        package.add(THEME, THEME_TYPE, self.theme.xml, self.theme.relations);
        for (name, media_type, bytes) in self.pictures {
            package.add(name, media_type, bytes, Vec::new());
        }
        Ok(Base::new(package, looks))
    }
}

#[cfg(test)]
mod tests;
