//! The lists that ship, one for each complication.

use super::list::PromptList;
use super::read::{Allowed, ListProblem};

macro_rules! lists {
    ($($slug:literal),+ $(,)?) => {
        /// The lists that ship: slug and text of each.
        pub const LISTS: &[(&str, &str)] = &[$(($slug, include_str!(concat!("lists/", $slug, ".toml"))),)+];
    };
}

lists!(
    "acute-vessel-closure",
    "perforation",
    "no-reflow",
    "side-branch-loss",
    "device-entrapment-embolisation",
    "access-bleeding",
    "anaphylaxis",
    "coronary-air",
);

/// A list that ships and cannot be read with the words that were passed.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("The list “{slug}” cannot be read. {}", problems.iter().map(ToString::to_string).collect::<Vec<_>>().join(" "))]
pub struct StandardListError {
    /// The list.
    pub slug: &'static str,
    /// What is wrong with it.
    pub problems: Vec<ListProblem>,
}

/// The lists that ship, read with the shipped trees and words.
///
/// # Errors
/// When a word that a list uses was not passed.
pub fn standard_lists(allowed: &Allowed) -> Result<Vec<PromptList>, StandardListError> {
    LISTS
        .iter()
        .map(|&(slug, text)| {
            PromptList::parse(text, allowed).map_err(|problems| StandardListError { slug, problems })
        })
        .collect()
}
