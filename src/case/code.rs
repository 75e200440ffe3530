//! The names that the record gives out: case codes, and keys inside a case.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use crate::quantity::serde_as_text;

/// Why a text is not a code or a key.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum CodeError {
    /// Not `YYYY-NNN`.
    #[error("A case code is a year and a number, such as 2026-014.")]
    NotACode,
    /// Not a key.
    #[error("A key is 1 to 40 characters: small letters, digits and hyphens, starting with a letter.")]
    NotAKey,
}

/// The code of a case, `YYYY-NNN`, given by the app: the year of its procedure month and a number
/// that counts up in that year. It names nobody.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct CaseCode {
    year: u16,
    number: u32,
}

impl CaseCode {
    /// The code of so many cases into a year.
    ///
    /// # Errors
    /// When the year is not 1990 to 2100, or the number not 1 to 999,999.
    pub fn new(year: i64, number: i64) -> Result<Self, CodeError> {
        match (u16::try_from(year), u32::try_from(number)) {
            (Ok(year @ 1990..=2100), Ok(number @ 1..=999_999)) => Ok(Self { year, number }),
            _ => Err(CodeError::NotACode),
        }
    }

    /// The year in the code.
    #[must_use]
    pub const fn year(self) -> i64 {
        self.year as i64
    }

    /// The number in the year.
    #[must_use]
    pub const fn number(self) -> i64 {
        self.number as i64
    }
}

impl fmt::Display for CaseCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-{:03}", self.year, self.number)
    }
}

impl FromStr for CaseCode {
    type Err = CodeError;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let (year, number) = text.trim().split_once('-').ok_or(CodeError::NotACode)?;
        let digits = |text: &str, lengths: std::ops::RangeInclusive<usize>| {
            (lengths.contains(&text.len()) && text.bytes().all(|b| b.is_ascii_digit()))
                .then(|| text.parse::<i64>().ok())
                .flatten()
                .ok_or(CodeError::NotACode)
        };
        let code = Self::new(digits(year, 4..=4)?, digits(number, 3..=6)?)?;
        (code.to_string() == text.trim()).then_some(code).ok_or(CodeError::NotACode)
    }
}

serde_as_text!(
    CaseCode,
    ToString::to_string,
    "The code of the case: year of the procedure month and a number",
    r"^\d{4}-\d{3,6}$"
);

/// The name of an event or a complication inside its case, by which others of the case point to it.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Key(String);

impl Key {
    /// The key as text.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// The first of `prefix1`, `prefix2` … that is not taken.
    #[must_use]
    pub fn next_free(prefix: &str, taken: impl Fn(&str) -> bool) -> Self {
        let mut number = 1_u32;
        loop {
            let key = format!("{prefix}{number}");
            if !taken(&key) {
                return Self(key);
            }
            number += 1;
        }
    }
}

impl FromStr for Key {
    type Err = CodeError;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let text = text.trim();
        let good = (1..=40).contains(&text.len())
            && text.starts_with(|c: char| c.is_ascii_lowercase())
            && text.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-');
        good.then(|| Self(text.to_owned())).ok_or(CodeError::NotAKey)
    }
}

impl fmt::Display for Key {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

serde_as_text!(Key, ToString::to_string, "A name inside the case", "^[a-z][a-z0-9-]{0,39}$");
