//! Days, for what has one: never for a case.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use super::{MeasureError, Month};
use crate::quantity::serde_as_text;

/// A day, for what has one: a conference, an action's due date, a signature. Never for a case.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Day(jiff::civil::Date);

impl Day {
    /// The calendar date.
    #[must_use]
    pub const fn date(self) -> jiff::civil::Date {
        self.0
    }

    /// As a person reads it, `30 June 2025`.
    #[must_use]
    pub fn in_words(self) -> String {
        self.0.strftime("%-d %B %Y").to_string()
    }

    /// The month that the day is in.
    #[must_use]
    pub fn month(self) -> Option<Month> {
        Month::new(self.0.year().into(), self.0.month().into()).ok()
    }
}

impl From<jiff::civil::Date> for Day {
    fn from(date: jiff::civil::Date) -> Self {
        Self(date)
    }
}

impl fmt::Display for Day {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

impl FromStr for Day {
    type Err = MeasureError;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let problem = MeasureError("A day is year, month and day, such as 2026-06-30, from 1990 to 2100.");
        let text = text.trim();
        if text.len() != 10 {
            return Err(problem);
        }
        text.parse::<jiff::civil::Date>()
            .ok()
            .filter(|date| (1990..=2100).contains(&date.year()))
            .map(Self)
            .ok_or(problem)
    }
}

serde_as_text!(Day, ToString::to_string, "A day, for follow-up only", r"^\d{4}-\d{2}-\d{2}$");
