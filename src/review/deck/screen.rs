//! A screen: what the room sees, and what the presenter may say to it.

use std::fmt;
use std::str::FromStr;

use crate::case::Key;
use crate::document::Block;

/// The most characters of a screen's key.
const KEY_AT_MOST: usize = 80;

/// The name of a screen, which stays while what it shows stays: `situation`, `stop-d1`, `lesson-12`.
/// What stands behind a low line, which no key of a case holds, tells screens of one thing apart.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ScreenKey(String);

/// Why a text names no screen.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("A screen is named by small letters, digits, hyphens and low lines, such as stop-d1.")]
pub struct ScreenKeyError;

impl ScreenKey {
    /// The key of our own words, an id or a key of the case.
    pub(super) fn of(text: impl Into<String>) -> Self {
        Self(text.into())
    }

    /// The key of the screen on which this one goes on, from 2.
    pub(super) fn part(&self, number: usize) -> Self {
        Self(format!("{}_{number}", self.0))
    }

    /// The key of the screen that this one goes on from, or its own.
    pub(super) fn begun_by(&self) -> &str {
        match self.0.rsplit_once('_') {
            Some((first, number)) if number.bytes().all(|b| b.is_ascii_digit()) => first,
            _ => &self.0,
        }
    }

    /// The key as text.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl FromStr for ScreenKey {
    type Err = ScreenKeyError;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let good = (1..=KEY_AT_MOST).contains(&text.len())
            && text.starts_with(|c: char| c.is_ascii_lowercase())
            && text.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || matches!(b, b'-' | b'_'));
        good.then(|| Self(text.to_owned())).ok_or(ScreenKeyError)
    }
}

impl fmt::Display for ScreenKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// What a screen is for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Purpose {
    /// It tells something.
    Tell,
    /// The question of a stop point, with its options.
    Question(StopPoint),
    /// What speaks for and against one of the options.
    Reasons(StopPoint),
    /// The question once more, after the reasons: the room answers.
    Answer(StopPoint),
    /// What was chosen and what followed.
    Revealed(StopPoint),
}

/// A decision point at which the room has to decide.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StopPoint {
    /// The key of the decision.
    pub decision: Key,
    /// The options in their order.
    pub options: Vec<String>,
    /// The number of the one that was chosen, from 1; told only on the screen that reveals it.
    pub chosen: Option<i64>,
}

impl Purpose {
    /// The stop point that the screen is part of.
    #[must_use]
    pub const fn stop(&self) -> Option<&StopPoint> {
        match self {
            Self::Tell => None,
            Self::Question(stop) | Self::Reasons(stop) | Self::Answer(stop) | Self::Revealed(stop) => {
                Some(stop)
            }
        }
    }

    /// What pages and scripts call it.
    #[must_use]
    pub const fn word(&self) -> &'static str {
        match self {
            Self::Tell => "tell",
            Self::Question(_) => "question",
            Self::Reasons(_) => "reasons",
            Self::Answer(_) => "answer",
            Self::Revealed(_) => "revealed",
        }
    }

    /// Whether the screen shows what the room answered.
    #[must_use]
    pub const fn shows_answers(&self) -> bool {
        matches!(self, Self::Question(_) | Self::Answer(_) | Self::Revealed(_))
    }

    /// Whether the screen asks a question first.
    #[must_use]
    pub const fn is_question(&self) -> bool {
        matches!(self, Self::Question(_))
    }
}

/// A screen.
#[derive(Debug, Clone, PartialEq)]
pub struct Screen {
    /// Its name.
    pub key: ScreenKey,
    /// What it is for.
    pub purpose: Purpose,
    /// The part of the case, small above the title: `Timeline`, `Why`.
    pub part: &'static str,
    /// What it shows, said as the finding.
    pub title: String,
    /// What stands under the title.
    pub body: Vec<Block>,
    /// What the record suggests to say.
    pub notes: String,
    /// How many stop points have to be passed before it may be seen.
    pub after: usize,
}
