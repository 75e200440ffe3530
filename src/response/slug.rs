//! Slugs: the lasting names of lists, questions, steps, and of the words they are matched by.

use std::fmt;
use std::str::FromStr;

/// Why a text is not a slug.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("A slug is 2 to 48 characters: small letters, digits and single hyphens, starting with a letter.")]
pub struct SlugError;

/// A lasting name: 2 to 48 small letters, digits and single hyphens, starting with a letter.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Slug(String);

impl Slug {
    /// The slug as text.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl FromStr for Slug {
    type Err = SlugError;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let text = text.trim();
        let good = (2..=48).contains(&text.len())
            && text.starts_with(|c: char| c.is_ascii_lowercase())
            && !text.ends_with('-')
            && !text.contains("--")
            && text.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-');
        good.then(|| Self(text.to_owned())).ok_or(SlugError)
    }
}

impl fmt::Display for Slug {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl PartialEq<str> for Slug {
    fn eq(&self, other: &str) -> bool {
        self.0 == other
    }
}
