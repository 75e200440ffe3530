//! Time boxes: how long each part of a meeting has, and whether they fit.

use std::fmt;
use std::str::FromStr;

use serde::{Serialize, Serializer};

use super::Conference;
use crate::case::reading::words::{count, join, lower_first};

/// Whole minutes, 1 to 240.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Minutes(u8);

/// Not minutes of a time box.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("Minutes are a whole number from 1 to 240.")]
pub struct MinutesError;

impl Minutes {
    /// A conference where nobody set a length: an hour.
    pub const USUAL_LENGTH: Self = Self(60);
    /// The box of carried-over actions where nobody set one.
    pub const USUAL_CARRIED: Self = Self(10);
    /// The box of a case where nobody set one. Two cases of 25 minutes and ten for carried-over
    /// actions make the hour (common practice).
    pub const USUAL_CASE: Self = Self(25);

    /// The number.
    #[must_use]
    pub const fn get(self) -> u32 {
        self.0 as u32
    }

    /// `25 minutes`, `1 minute`.
    #[must_use]
    pub fn in_words(self) -> String {
        minutes_in_words(self.get())
    }
}

impl TryFrom<i64> for Minutes {
    type Error = MinutesError;
    fn try_from(number: i64) -> Result<Self, MinutesError> {
        match u8::try_from(number) {
            Ok(number @ 1..=240) => Ok(Self(number)),
            _ => Err(MinutesError),
        }
    }
}

impl FromStr for Minutes {
    type Err = MinutesError;
    fn from_str(text: &str) -> Result<Self, MinutesError> {
        let text = text.trim();
        // A plus sign would be read, too.
        if text.is_empty() || !text.bytes().all(|b| b.is_ascii_digit()) {
            return Err(MinutesError);
        }
        text.parse::<i64>().map_err(|_| MinutesError).and_then(Self::try_from)
    }
}

impl fmt::Display for Minutes {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

impl Serialize for Minutes {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_u8(self.0)
    }
}

/// The parts of a case's box: situation and background, timeline with stop points, discussion, lessons
/// and actions.
///
/// Of 25 minutes they are 5, 5, 10 and 5, so that discussion has the most (common practice); another box
/// is split alike, in whole minutes that add up to it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Split([u32; 4]);

impl Split {
    const USUAL: [u32; 4] = [5, 5, 10, 5];
    const NAMES: [&str; 4] =
        ["situation and background", "timeline with stop points", "discussion", "lessons and actions"];
    /// Below this a split into four says nothing.
    const SHORTEST: u32 = 10;

    /// The split of a box; `None` for one too short to split.
    #[must_use]
    pub fn of(time_box: Minutes) -> Option<Self> {
        let minutes = time_box.get();
        if minutes < Self::SHORTEST {
            return None;
        }
        let of_usual: u32 = Self::USUAL.iter().sum();
        let mut parts = Self::USUAL.map(|part| part * minutes / of_usual);
        // What rounding down left over goes to the discussion.
        parts[2] += minutes - parts.iter().sum::<u32>();
        Some(Self(parts))
    }

    /// `5 situation and background, 5 timeline with stop points, 10 discussion and …`.
    #[must_use]
    pub fn in_words(self) -> String {
        let parts: Vec<String> =
            self.0.iter().zip(Self::NAMES).map(|(minutes, name)| format!("{minutes} {name}")).collect();
        join(&parts)
    }
}

/// Whether the boxes of a conference fit into its length.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Fit {
    length: u32,
    carried: u32,
    of_cases: u32,
    cases: usize,
}

impl Fit {
    /// The fit of a conference as it is planned.
    #[must_use]
    pub fn of(conference: &Conference) -> Self {
        Self {
            length: conference.plan.length.get(),
            carried: conference.plan.carried.map_or(0, Minutes::get),
            of_cases: conference.cases.iter().map(|case| case.plan.time_box.get()).sum(),
            cases: conference.cases.len(),
        }
    }

    /// By how many minutes it does not fit; 0 when it does.
    const fn over(self) -> u32 {
        (self.carried + self.of_cases).saturating_sub(self.length)
    }

    /// How many minutes are left; 0 when it does not fit.
    const fn left(self) -> u32 {
        self.length.saturating_sub(self.carried + self.of_cases)
    }

    /// Whether it fits.
    #[must_use]
    pub const fn fits(self) -> bool {
        self.over() == 0
    }

    /// What is planned, what is left or too much, and what can be done when it is too much.
    #[must_use]
    pub fn in_words(self) -> String {
        let mut planned = Vec::new();
        if self.carried > 0 {
            planned.push(format!("{} for carried-over actions", self.carried));
        }
        if self.cases > 0 {
            let noun = if self.cases == 1 { "case" } else { "cases" };
            planned.push(format!("{} for {} {noun}", self.of_cases, lower_first(&count(self.cases))));
        }
        let planned = if planned.is_empty() { "nothing is planned yet".to_owned() } else { join(&planned) };
        let verdict = match (self.over(), self.left()) {
            (0, 0) => "It fits exactly.".to_owned(),
            (0, left) => format!("{} {} left.", minutes_in_words(left), if left == 1 { "is" } else { "are" }),
            (over, _) => format!(
                "It does not fit: {} too much. Shorten a box, take a case off, or make the conference longer.",
                minutes_in_words(over)
            ),
        };
        format!("Of {} minutes: {planned}. {verdict}", self.length)
    }

    /// What is to be done so that it fits; `None` when it does.
    #[must_use]
    pub fn to_do(self) -> Option<String> {
        (!self.fits()).then(|| format!("take {} out of its boxes", minutes_in_words(self.over())))
    }
}

fn minutes_in_words(number: u32) -> String {
    format!("{number} {}", if number == 1 { "minute" } else { "minutes" })
}

#[cfg(test)]
mod tests;
