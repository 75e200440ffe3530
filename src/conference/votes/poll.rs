//! A poll as it is kept: for the presenter with its counts, for a phone without.

use jiff::Timestamp;

use super::Phase;
use super::ballot::{Hands, Position};
use super::code::PollCode;
use crate::case::Key;

/// How many chose an option.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tally {
    /// The option's words.
    pub text: String,
    /// Hands that the presenter counted.
    pub hands: Hands,
    /// Votes from phones, one a device.
    pub phones: u32,
}

impl Tally {
    /// Hands and phones together.
    #[must_use]
    pub fn total(&self) -> u32 {
        u32::from(self.hands.count()) + self.phones
    }
}

/// A poll with its counts: for the presenter, never for a phone.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Poll {
    /// The case.
    pub case_id: i64,
    /// The decision point inside its case.
    pub decision: Key,
    /// Before the discussion or after.
    pub phase: Phase,
    /// The question as the room saw it.
    pub question: String,
    /// What phones open.
    pub code: PollCode,
    /// When it was opened.
    pub opened_at: Timestamp,
    /// When the presenter closed it; none while it is open.
    pub closed_at: Option<Timestamp>,
    /// The options in their order, each with its count.
    pub options: Vec<Tally>,
}

impl Poll {
    /// Whether phones may still answer.
    #[must_use]
    pub const fn is_open(&self) -> bool {
        self.closed_at.is_none()
    }

    /// How many answered: hands and phones over all options.
    #[must_use]
    pub fn total(&self) -> u32 {
        self.options.iter().map(Tally::total).sum()
    }
}

/// The poll that counts for a decision in a phase, among the polls of its case in the order in which
/// they were opened: the latest.
#[must_use]
pub fn that_counts<'a>(
    polls: impl IntoIterator<Item = &'a Poll, IntoIter: DoubleEndedIterator>,
    decision: &Key,
    phase: Phase,
) -> Option<&'a Poll> {
    polls.into_iter().rev().find(|poll| poll.decision == *decision && poll.phase == phase)
}

/// What a phone is shown of a poll: the question, the options and its own answer. It holds no count
/// and nothing of the case, so that neither can reach a page for phones.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Slip {
    /// The question.
    pub question: String,
    /// Before the discussion or after.
    pub phase: Phase,
    /// Whether it may still be answered.
    pub is_open: bool,
    /// The options in their order.
    pub options: Vec<String>,
    /// What this device chose.
    pub own: Option<Position>,
}

impl Slip {
    /// The words of what this device chose.
    #[must_use]
    pub fn own_words(&self) -> Option<&str> {
        self.options.get(self.own?.index()).map(String::as_str)
    }
}
