//! What is accepted as a new password.
//!
//! # Source
//! NIST SP 800-63B-4 (August 2025), 3.1.1.2: at least 15 characters where the password is all there is, at
//! least 8 beside a second factor (its wording as OWASP/ASVS issue 3242 quotes it); long ones, spaces and
//! all of Unicode are taken, a code point counts as one character; no rules on which characters; the whole
//! password, not its parts, is compared with a list of common, expected and context-specific ones, and the
//! reason is said. OWASP ASVS 5.0, 6.2.4, asks for the 3,000 most common ones at least.

use std::collections::HashSet;
use std::sync::LazyLock;

use super::{hash, normalised};
use crate::accounts::UserName;

/// Why a password is not accepted or cannot be kept.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PasswordError {
    /// Fewer characters than are needed.
    #[error("A password has at least {0} characters{when}. A few words in a row make a good one.", when = when(*.0))]
    TooShort(usize),
    /// More than [`NewPassword::AT_MOST`] characters.
    #[error("A password has at most 200 characters.")]
    TooLong,
    /// It is on the list of common ones, or is one of them with a little hung on.
    #[error(
        "Many people use this one, so it is guessed first. Choose a few words that do not belong together."
    )]
    Common,
    /// It repeats one short piece, or runs along the keyboard or the alphabet.
    #[error(
        "This repeats itself or runs along the keyboard, so it is guessed early. Choose a few words that do not belong together."
    )]
    Pattern,
    /// It is made of the account's name, or of words that everybody here knows.
    #[error(
        "This is your name or a word of this place, so it is guessed early. Choose a few words that do not belong together."
    )]
    Expected,
    /// Hashing failed.
    #[error("The password could not be kept: {0}")]
    Hashing(String),
}

/// Where so many characters are needed.
const fn when(at_least: usize) -> &'static str {
    if at_least < PasswordRules::ALONE { "" } else { " when nothing else is asked for" }
}

/// What a new password is held against.
#[derive(Debug, Clone, Copy)]
pub struct PasswordRules<'a> {
    /// The name of the account, which nobody is to use as its password.
    pub name: &'a UserName,
    /// Whether a code is asked for too.
    pub second_factor: bool,
}

impl PasswordRules<'_> {
    /// Fewest characters where the password is all there is.
    const ALONE: usize = 15;
    /// Fewest characters beside a second factor.
    const WITH_CODE: usize = 8;

    /// The fewest characters.
    #[must_use]
    pub const fn at_least(&self) -> usize {
        if self.second_factor { Self::WITH_CODE } else { Self::ALONE }
    }
}

/// A password that somebody chose and that may be kept. `Debug` shows nothing of it.
pub struct NewPassword(String);

impl std::fmt::Debug for NewPassword {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("NewPassword")
    }
}

impl NewPassword {
    /// Most characters: far above the 64 that are to be taken, and little enough to hash.
    pub const AT_MOST: usize = 200;

    /// A password that the rules accept.
    ///
    /// # Errors
    /// Which rule it does not meet, in a sentence.
    pub fn parse(text: &str, rules: &PasswordRules<'_>) -> Result<Self, PasswordError> {
        let whole = normalised(text);
        match whole.chars().count() {
            count if count < rules.at_least() => return Err(PasswordError::TooShort(rules.at_least())),
            count if count > Self::AT_MOST => return Err(PasswordError::TooLong),
            _ => {}
        }
        let folded = whole.to_lowercase();
        if is_common(&folded) {
            return Err(PasswordError::Common);
        }
        if is_pattern(&folded) {
            return Err(PasswordError::Pattern);
        }
        if is_expected(&folded, rules.name) {
            return Err(PasswordError::Expected);
        }
        Ok(Self(whole.into_owned()))
    }

    /// Its hash, with what it takes to compare with it. Takes some 30 ms: off the request's thread.
    ///
    /// # Errors
    /// When hashing fails.
    pub fn hash(&self) -> Result<String, PasswordError> {
        hash(&self.0)
    }
}

/// The common passwords, in small letters; where they are from stands at the head of the file.
static COMMON: LazyLock<HashSet<&str>> = LazyLock::new(|| {
    include_str!("common.txt").lines().filter(|line| !line.is_empty() && !line.starts_with('#')).collect()
});

/// Whether the whole password is a common one, or one with digits and signs hung on at its ends, or one
/// again and again.
fn is_common(folded: &str) -> bool {
    let hung_on = |c: char| !c.is_alphabetic();
    let core = folded.trim_end_matches(hung_on);
    [folded, core, folded.trim_matches(hung_on), piece(folded)].iter().any(|text| COMMON.contains(text))
}

/// The shortest piece that the text repeats, the last time perhaps in part; the text when it repeats none.
fn piece(text: &str) -> &str {
    let ends = text.char_indices().map(|(at, _)| at).skip(1).take_while(|at| at * 2 <= text.len());
    ends.map(|at| &text[..at])
        .find(|piece| text.bytes().zip(piece.bytes().cycle()).all(|(one, other)| one == other))
        .unwrap_or(text)
}

/// The longest piece whose repetition counts as a pattern: a long word.
const PIECE: usize = 10;
/// The rows of keyboards, forth and back, that fingers run along.
const ROWS: [&str; 5] = ["1234567890", "qwertyuiop", "asdfghjkl", "zxcvbnm", "qwertzuiop"];

/// Whether the text is one short piece again and again, or nothing but runs along the alphabet, the digits
/// or a row of keys.
fn is_pattern(folded: &str) -> bool {
    let repeated = piece(folded);
    if repeated.len() < folded.len() && repeated.chars().count() <= PIECE {
        return true;
    }
    let letters: Vec<char> = folded.chars().filter(|c| !c.is_whitespace()).collect();
    let steps = letters.windows(2).filter(|pair| is_step(pair[0], pair[1])).count();
    // Where a run ends and the next begins is no step: one such place in four characters is forgiven.
    letters.len() >= 4 && steps * 4 >= (letters.len() - 1) * 3
}

/// Whether the second of two characters is the same, or the next or the last one of a row.
fn is_step(one: char, next: char) -> bool {
    let apart = i64::from(u32::from(next)) - i64::from(u32::from(one));
    let beside = ROWS.iter().any(|row| {
        let place = |c: char| row.chars().position(|held| held == c);
        place(one).zip(place(next)).is_some_and(|(a, b)| a.abs_diff(b) == 1)
    });
    apart.abs() <= 1 || beside
}

/// Words that everybody knows who knows this place: the program, what it is for, where it is used, and
/// what accounts are called there. They may be a part of a password, and not all of it.
const HERE: [&str; 24] = [
    "relook",
    "cath",
    "cathlab",
    "catheter",
    "lab",
    "laboratory",
    "pci",
    "cardiology",
    "cardiologist",
    "angio",
    "angiography",
    "complication",
    "complications",
    "review",
    "conference",
    "department",
    "hospital",
    "ward",
    "quality",
    "lead",
    "fellow",
    "attending",
    "reader",
    "password",
];

/// Whether nothing is left of the text once the words of this place, the account's name, digits and signs
/// are taken out.
fn is_expected(folded: &str, name: &UserName) -> bool {
    let name = name.as_str().to_lowercase();
    let whole_name: String = name.chars().filter(|c| c.is_alphanumeric()).collect();
    let mut words: Vec<&str> =
        name.split(|c: char| !c.is_alphanumeric()).filter(|word| word.len() > 1).collect();
    words.push(&whole_name);
    words.extend(HERE);
    // The longest first, so that none leaves the end of a longer one behind.
    words.sort_by_key(|word| std::cmp::Reverse(word.len()));
    let letters: String = folded.chars().filter(|c| c.is_alphabetic()).collect();
    let any = !letters.is_empty();
    let left =
        words.iter().filter(|word| !word.is_empty()).fold(letters, |left, word| left.replace(word, ""));
    any && left.is_empty()
}

#[cfg(test)]
mod tests;
