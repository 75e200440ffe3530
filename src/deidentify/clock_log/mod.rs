//! A log with clock times, as people paste it, turned into moments from a named time zero.
//!
//! The clock is used here and goes no further: what comes out ([`LogRow`]) holds offsets and words,
//! and no type outside this folder can hold a time of day or a date of the log.
//!
//! How a log is read:
//!
//! - A line begins an entry when it has a clock time at its start, in a column of its own, in
//!   brackets or at its end; without any time it goes on with the entry before.
//! - Each time is read after the one before. What would be more than twelve hours later is earlier
//!   instead, and said to run backwards, unless the clock has twelve hours and half a day more fits
//!   better. Past midnight is counted on, and told.
//! - A date counts days where it is there. `03/04` is read day first or month first, whichever makes
//!   the log shorter.
//! - Clock times among the words become offsets, dates become days from time zero.
//!
//! What is no clock time is left alone: 1:1, 3.0 × 28, TIMI 3, 92/54, 12:30 min.
//!
//! All of this is our own convention over how logs are written (common practice).

mod chain;
mod entry;
mod mark;
mod words;

#[cfg(test)]
mod tests;

use std::fmt;
use std::str::FromStr;

use crate::quantity::{Certainty, Offset};

use self::chain::Chain;
use self::entry::entries;
use self::mark::Style;

/// The most entries that one log may have.
pub const MOST_ROWS: usize = 150;

/// Which moment of a log is its time zero.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum TimeZero {
    /// A clock time, as it was typed; with a date where there is one.
    Clock(String),
    /// The time of this line of the log, counted from 1.
    Line(usize),
}

impl FromStr for TimeZero {
    type Err = LogError;
    fn from_str(text: &str) -> Result<Self, LogError> {
        let typed = text.trim();
        let lower = typed.to_lowercase();
        let number = lower.strip_prefix("line").or_else(|| lower.strip_prefix('#')).map(str::trim);
        match number {
            Some(number) => match number.parse() {
                Ok(line) if line > 0 => Ok(Self::Line(line)),
                _ => Err(LogError::ZeroUnread),
            },
            None if mark::whole(typed).is_some() => Ok(Self::Clock(typed.to_owned())),
            None => Err(LogError::ZeroUnread),
        }
    }
}

/// Why a log cannot be read. No sentence repeats a time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum LogError {
    /// Nothing was pasted.
    #[error("Paste the log: one line for each thing that happened, with its clock time.")]
    Empty,
    /// No line has a clock time.
    #[error(
        "No line here has a clock time, such as 14:05, 14:05:30, 1405, 2:05 pm or 14h05. What has no clock time can be typed on the timeline."
    )]
    NoTimes,
    /// More entries than [`MOST_ROWS`].
    #[error(
        "This log has more than {MOST_ROWS} entries. Paste the part around the complication, or one part after the other."
    )]
    TooLong,
    /// What was typed as time zero is neither a clock time nor a line.
    #[error(
        "Name time zero by its clock time as the log has it, such as 14:05 or 2:05 pm, or by its line, such as line 3."
    )]
    ZeroUnread,
    /// The line named as time zero is not there or has no time.
    #[error("This line is not in the log or has no clock time. Name another line, or the clock time itself.")]
    ZeroLine,
    /// The hour of time zero fits only with half a day added.
    #[error(
        "Say whether time zero is before or after noon: the log has this hour in the other half of the day. Add am or pm, or count hours to 24."
    )]
    ZeroHalf,
}

/// What there is to say about an entry of a log.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LogNote {
    /// Its time is earlier than that of the line before.
    Backwards,
    /// Midnight lies between the line before and this one.
    Midnight,
    /// It was read half a day later than written.
    TwelveHours,
    /// Its date is none, or contradicts the line before.
    DateDoesNotFit,
    /// More than a day from time zero.
    OverADay,
    /// Further from time zero than a case reaches.
    TooFar,
    /// Nothing before it and nothing in it says when it was.
    NoTime,
    /// Its time was found among its words.
    TimeInside,
    /// A date among its words was taken out.
    DateTakenOut,
    /// Nothing is left of it but its time.
    NoWords,
}

impl LogNote {
    /// What there is to look at, a sentence.
    #[must_use]
    pub const fn sentence(self) -> &'static str {
        match self {
            Self::Backwards => "Its time is earlier than that of the line before. Check it.",
            Self::Midnight => "Midnight lies before it; counted on into the next day.",
            Self::TwelveHours => {
                "The log does not say which half of the day. Read so that it follows the line before; check it."
            }
            Self::DateDoesNotFit => "Its date is none, or does not fit the line before. Check the time.",
            Self::OverADay => "More than a day from time zero. Check it.",
            Self::TooFar => "More than 14 days from time zero: it has no place in a case.",
            Self::NoTime => "No time stands before it. Give it one, or leave it out.",
            Self::TimeInside => "Its time stood among the words. Check that it is the time of the event.",
            Self::DateTakenOut => "A date was taken out of the words.",
            Self::NoWords => "The line has no words.",
        }
    }
}

impl fmt::Display for LogNote {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.sentence())
    }
}

/// An entry of a log without its clock.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LogRow {
    /// The line of the pasted text where it begins, from 1.
    pub line: usize,
    /// When it was, from time zero; `None` when nothing says so.
    pub at: Option<Offset>,
    /// How sure the log is of it: within five minutes where it says about.
    pub sure: Certainty,
    /// The words, in which every clock time is an offset and every date is a day from time zero.
    pub words: String,
    /// What there is to look at.
    pub notes: Vec<LogNote>,
}

/// Turns a log into moments from its time zero, in the order of the log.
///
/// # Errors
/// When there is no log, no time in it, too much of it, or time zero is not to be found.
pub fn read_log(text: &str, zero: &TimeZero) -> Result<Vec<LogRow>, LogError> {
    if text.trim().is_empty() {
        return Err(LogError::Empty);
    }
    let entries = entries(text);
    if entries.len() > MOST_ROWS {
        return Err(LogError::TooLong);
    }
    if entries.iter().all(|entry| entry.lead.is_none()) {
        return Err(LogError::NoTimes);
    }
    let chain = Chain::of(&entries);
    let zero = chain.zero(&entries, zero)?;
    Ok(entries.iter().enumerate().map(|(at, entry)| words::row(entry, &chain, at, zero)).collect())
}

/// Whether words hold a clock time, by the same rules as a log.
#[must_use]
pub fn holds_clock(text: &str) -> bool {
    text.lines().any(|line| mark::marks(line, Style::default()).iter().any(|mark| mark.clock.is_some()))
}
