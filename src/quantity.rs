//! The floor of the house: quantities that every ring may use.
//!
//! A value of these types is valid by construction. Each is parsed once, at the edge, and its
//! text form reads back to the same value.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

mod duration;
mod parse;
mod timi_flow;
mod words;

pub use duration::DurationWords;
use parse::{digits, parse_colon_form, parse_unit_form, shorten};
pub use timi_flow::TimiFlow;

pub(crate) use words::{unknown_word, words};

/// Why a text is not one of the quantities. The sentence says what is allowed.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct QuantityError(pub String);

impl QuantityError {
    fn new(text: impl Into<String>) -> Self {
        Self(text.into())
    }
}

/// The months by their names, from January on.
pub const MONTH_NAMES: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// A moment of a case, in whole seconds from its time zero; negative before it.
///
/// Range: fourteen days to either side ([`Offset::LIMIT`]), so that a late effusion or a creatinine
/// on day three has its place on the same line as the balloon.
///
/// Written `+12:30` (minutes and seconds), `−3:00`, and from one hour on `+1:05:00`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Offset(i64);

impl Offset {
    /// The furthest moment from time zero, in seconds: fourteen days.
    pub const LIMIT: i64 = 14 * 24 * 3600;
    /// Time zero itself.
    pub const ZERO: Self = Self(0);

    /// An offset of so many seconds.
    ///
    /// # Errors
    /// When it is further than [`Offset::LIMIT`] from time zero.
    pub fn from_seconds(seconds: i64) -> Result<Self, QuantityError> {
        if (-Self::LIMIT..=Self::LIMIT).contains(&seconds) {
            Ok(Self(seconds))
        } else {
            Err(QuantityError::new("A time lies within 14 days of time zero."))
        }
    }

    /// Whole seconds from time zero.
    #[must_use]
    pub const fn seconds(self) -> i64 {
        self.0
    }

    /// Minutes from time zero, with their fraction.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "at most 1.3 million seconds")]
    pub fn minutes(self) -> f64 {
        self.0 as f64 / 60.0
    }

    /// The offset as it is written in a case file: as on the page, with an ASCII minus.
    #[must_use]
    pub fn to_file_text(self) -> String {
        self.to_string().replace('−', "-")
    }

    /// Reads what a person types: `+12`, `12`, `12:30`, `-3`, `1h05`, `1:05:00`, `45 s`, `2 d`.
    ///
    /// A bare number is minutes. Two parts are minutes and seconds, three are hours, minutes and
    /// seconds. `h`, `min` and `s` may be written out. A typographic minus reads as a minus.
    ///
    /// # Errors
    /// A sentence that lists the allowed forms.
    pub fn parse_typed(text: &str) -> Result<Self, QuantityError> {
        let cleaned = text.trim().replace(['−', '–'], "-").to_lowercase();
        let (sign, rest) = match cleaned.as_bytes().first() {
            Some(b'+') => (1, cleaned[1..].trim_start()),
            Some(b'-') => (-1, cleaned[1..].trim_start()),
            _ => (1, cleaned.as_str()),
        };
        let seconds = parse_colon_form(rest).or_else(|| parse_unit_form(rest)).ok_or_else(|| {
            QuantityError::new(format!(
                "“{}” is not a time from time zero. Type minutes (+12), minutes and seconds (12:30), hours and minutes (1h05), or −3 for before time zero.",
                shorten(text)
            ))
        })?;
        Self::from_seconds(sign * seconds)
    }
}

impl fmt::Display for Offset {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.0 < 0 { '−' } else { '+' };
        let total = self.0.unsigned_abs();
        let (hours, minutes, seconds) = (total / 3600, total / 60 % 60, total % 60);
        if hours > 0 {
            write!(f, "{sign}{hours}:{minutes:02}:{seconds:02}")
        } else {
            write!(f, "{sign}{minutes}:{seconds:02}")
        }
    }
}

impl FromStr for Offset {
    type Err = QuantityError;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        Self::parse_typed(text)
    }
}

/// A time of day, `14:05` or `14:05:30`, used once to compute offsets and never stored.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ClockTime(i64);

impl ClockTime {
    /// How long before time zero a clock time may lie and still be read as before it, in seconds.
    /// What is earlier on the clock than that is read as past midnight. Our own convention.
    pub const REACH_BACK: i64 = 6 * 3600;

    /// The offset of this clock time from the clock time of time zero, across midnight if need be.
    #[must_use]
    pub fn offset_from(self, zero: Self) -> Offset {
        const DAY: i64 = 24 * 3600;
        let later = (self.0 - zero.0).rem_euclid(DAY);
        if later >= DAY - Self::REACH_BACK { Offset(later - DAY) } else { Offset(later) }
    }
}

impl FromStr for ClockTime {
    type Err = QuantityError;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let problem = || {
            QuantityError::new(format!(
                "“{}” is not a time of day. Type hours and minutes, such as 14:05, or with seconds, 14:05:30.",
                shorten(text)
            ))
        };
        let parts: Vec<&str> = text.trim().split([':', '.']).collect();
        // Only the hours may have one digit: `9:05` is plain, `14:5` could be 14:05 or 14:50.
        let part = |index: usize, below: i64| match parts.get(index) {
            None => Ok(0),
            Some(text) if index > 0 && text.len() != 2 => Err(problem()),
            Some(text) => digits(text, 2).filter(|n| *n < below).ok_or_else(problem),
        };
        if !(2..=3).contains(&parts.len()) {
            return Err(problem());
        }
        Ok(Self(part(0, 24)? * 3600 + part(1, 60)? * 60 + part(2, 60)?))
    }
}

/// How sure the time of an event is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Certainty {
    /// Read off a log or a clock at the time.
    #[default]
    Exact,
    /// Estimated, within so many minutes to either side (1 to 240).
    Within(u8),
    /// Only its place among the other events is known.
    OrderOnly,
}

impl Certainty {
    /// An estimate within so many minutes to either side.
    ///
    /// # Errors
    /// When the minutes are not 1 to 240.
    pub fn within(minutes: i64) -> Result<Self, QuantityError> {
        u8::try_from(minutes)
            .ok()
            .filter(|m| (1..=240).contains(m))
            .map(Self::Within)
            .ok_or_else(|| QuantityError::new("An estimate is within 1 to 240 minutes."))
    }

    /// The earliest and latest moment that a time of this certainty may mean; an event of which
    /// only the order is known has no such bounds.
    #[must_use]
    pub fn bounds(self, at: Offset) -> Option<(Offset, Offset)> {
        match self {
            Self::Exact => Some((at, at)),
            Self::Within(minutes) => {
                let spread = i64::from(minutes) * 60;
                let within_limit = |s: i64| Offset(s.clamp(-Offset::LIMIT, Offset::LIMIT));
                Some((within_limit(at.0 - spread), within_limit(at.0 + spread)))
            }
            Self::OrderOnly => None,
        }
    }
}

impl fmt::Display for Certainty {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Exact => f.write_str("exact"),
            Self::Within(minutes) => write!(f, "within {minutes} min"),
            Self::OrderOnly => f.write_str("order only"),
        }
    }
}

impl FromStr for Certainty {
    type Err = QuantityError;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        match text.trim() {
            "exact" => Ok(Self::Exact),
            "order only" => Ok(Self::OrderOnly),
            other => other
                .strip_prefix("within ")
                .and_then(|rest| rest.strip_suffix(" min"))
                .and_then(|minutes| digits(minutes, 3))
                .ok_or_else(|| {
                    QuantityError::new(format!(
                        "“{}” does not say how sure a time is. Write exact, within 5 min (1 to 240), or order only.",
                        shorten(text)
                    ))
                })
                .and_then(Self::within),
        }
    }
}

/// Gives a type the text form of its `Display`/`FromStr` in serde and in the JSON Schema.
macro_rules! serde_as_text {
    ($type:ty, $write:expr, $description:literal, $pattern:literal) => {
        impl Serialize for $type {
            fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.serialize_str(&$write(self))
            }
        }
        impl<'de> Deserialize<'de> for $type {
            fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                let text = String::deserialize(deserializer)?;
                text.parse().map_err(serde::de::Error::custom)
            }
        }
        impl schemars::JsonSchema for $type {
            fn schema_name() -> std::borrow::Cow<'static, str> {
                stringify!($type).into()
            }
            fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
                schemars::json_schema!({
                    "type": "string", "description": $description, "pattern": $pattern
                })
            }
        }
    };
}
pub(crate) use serde_as_text;

serde_as_text!(
    Offset,
    |offset: &Offset| offset.to_file_text(),
    "Time from time zero: sign, then M:SS or H:MM:SS, such as +12:30 or -3:00",
    r"^[+-](\d{1,5}:[0-5]\d|\d{1,3}:[0-5]\d:[0-5]\d)$"
);
serde_as_text!(
    Certainty,
    ToString::to_string,
    "How sure the time is: exact, within N min (1 to 240), or order only",
    r"^(exact|within \d{1,3} min|order only)$"
);

#[cfg(test)]
mod tests;
