//! Months: all that is kept of when a case was.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use super::MeasureError;
use crate::quantity::{MONTH_NAMES, serde_as_text};

/// A month of a year, `2025-03`. Cases have months, never days.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Month {
    year: i16,
    month: i8,
}

impl Month {
    const PROBLEM: MeasureError =
        MeasureError("A month is a year and a month, such as 2026-03, from 1990 to 2100.");

    /// A month, 1 to 12, of a year, 1990 to 2100.
    ///
    /// # Errors
    /// Outside those ranges.
    pub fn new(year: i64, month: i64) -> Result<Self, MeasureError> {
        match (i16::try_from(year), i8::try_from(month)) {
            (Ok(year @ 1990..=2100), Ok(month @ 1..=12)) => Ok(Self { year, month }),
            _ => Err(Self::PROBLEM),
        }
    }

    /// The year.
    #[must_use]
    pub const fn year(self) -> i64 {
        self.year as i64
    }

    /// The month of the year, 1 to 12.
    #[must_use]
    pub const fn month(self) -> i64 {
        self.month as i64
    }

    /// The month so many months later, or earlier when negative; stays within 1990 to 2100.
    #[must_use]
    pub fn plus(self, months: i64) -> Self {
        let index = (self.year() * 12 + self.month() - 1 + months).clamp(1990 * 12, 2100 * 12 + 11);
        Self::new(index.div_euclid(12), index.rem_euclid(12) + 1).unwrap_or(self)
    }

    /// How many months lie from this one to a later one, 0 for the same.
    #[must_use]
    pub const fn until(self, later: Self) -> i64 {
        (later.year() * 12 + later.month()) - (self.year() * 12 + self.month())
    }

    /// As a person reads it, `March 2025`.
    #[must_use]
    pub fn in_words(self) -> String {
        let index = usize::try_from(self.month - 1).unwrap_or(0);
        format!("{} {}", MONTH_NAMES[index], self.year)
    }
}

impl fmt::Display for Month {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-{:02}", self.year, self.month)
    }
}

impl FromStr for Month {
    type Err = MeasureError;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let text = text.trim();
        let (year, month) = text.split_once('-').ok_or(Self::PROBLEM)?;
        let number = |text: &str, length: usize| {
            (text.len() == length && text.bytes().all(|b| b.is_ascii_digit()))
                .then(|| text.parse::<i64>().ok())
                .flatten()
                .ok_or(Self::PROBLEM)
        };
        Self::new(number(year, 4)?, number(month, 2)?)
    }
}

serde_as_text!(Month, ToString::to_string, "Year and month", r"^\d{4}-(0[1-9]|1[0-2])$");
