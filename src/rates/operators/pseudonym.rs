//! What stands for a person.

use std::cmp::Ordering;
use std::fmt;
use std::str::FromStr;

/// What stands for an operator: 1 to 24 letters, digits, spaces and hyphens. Never a name.
///
/// They are in the order of their letters and, where these are the same, of the number at their end:
/// `Blue 2` before `Blue 10`.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Pseudonym(String);

/// Why a text is no pseudonym.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum PseudonymError {
    /// Nothing that could be read.
    #[error("Give a pseudonym, such as “Blue 4”.")]
    Empty,
    /// More than [`Pseudonym::MOST`] characters.
    #[error("A pseudonym has at most {most} characters.", most = Pseudonym::MOST)]
    TooLong,
    /// Something other than letters, digits, spaces and hyphens.
    #[error("A pseudonym is made of letters, digits, spaces and hyphens.")]
    OtherCharacters,
    /// A title, as it stands before a name.
    #[error(
        "This has a title in it, as a name has. Give a pseudonym that tells nobody who it is, such as “Blue 4”."
    )]
    Title,
}

/// What stands before or behind the names of people.
const TITLES: [&str; 14] = [
    "dr",
    "doctor",
    "prof",
    "professor",
    "pd",
    "md",
    "phd",
    "mr",
    "mrs",
    "ms",
    "miss",
    "sir",
    "herr",
    "frau",
];

impl Pseudonym {
    /// The most characters.
    pub const MOST: usize = 24;

    /// The text.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// Whether it reads as a name might: two words or more, all of letters. A page asks then.
    #[must_use]
    pub fn may_be_a_name(&self) -> bool {
        let of_letters = |word: &&str| word.chars().all(|c| c.is_alphabetic() || c == '-');
        self.0.split(' ').filter(of_letters).count() > 1
    }

    /// Whether one of its words is among these, such as the words of an account's name.
    #[must_use]
    pub fn has_a_word_of(&self, text: &str) -> bool {
        let words = |text: &str| {
            text.split(|c: char| !c.is_alphabetic())
                .filter(|word| word.chars().count() > 2)
                .map(str::to_lowercase)
                .collect::<Vec<_>>()
        };
        let own = words(&self.0);
        words(text).iter().any(|word| own.contains(word))
    }

    /// Whether another differs at most in capitals.
    #[must_use]
    pub fn is_like(&self, other: &Self) -> bool {
        self.0.to_lowercase() == other.0.to_lowercase()
    }

    fn order(&self) -> (String, u64, &str) {
        let stem = self.0.trim_end_matches(|c: char| c.is_ascii_digit());
        (stem.to_lowercase(), self.0[stem.len()..].parse().unwrap_or(0), &self.0)
    }
}

impl Ord for Pseudonym {
    fn cmp(&self, other: &Self) -> Ordering {
        self.order().cmp(&other.order())
    }
}

impl PartialOrd for Pseudonym {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl FromStr for Pseudonym {
    type Err = PseudonymError;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let mut words = text.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty()).peekable();
        if words.peek().is_none() && text.chars().all(|c| c.is_whitespace() || c == '-') {
            return Err(PseudonymError::Empty);
        }
        if words.any(|word| TITLES.contains(&word.to_lowercase().as_str())) {
            return Err(PseudonymError::Title);
        }
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        if text.chars().any(|c| !(c.is_alphanumeric() || c == ' ' || c == '-')) {
            return Err(PseudonymError::OtherCharacters);
        }
        if text.chars().count() > Self::MOST {
            return Err(PseudonymError::TooLong);
        }
        Ok(Self(text))
    }
}

impl fmt::Display for Pseudonym {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}
