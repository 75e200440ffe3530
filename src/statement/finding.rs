//! What the check says.

use std::ops::Range;

/// What a finding rests on: the five rules of causation, and two of our own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Rule {
    /// A statement shows what led to what, and how.
    CauseAndEffect,
    /// A word that judges says less than what was seen or measured.
    VagueWord,
    /// A human error has a cause that came before it.
    HumanError,
    /// A procedure that was not followed has a cause that came before it.
    BrokenProcedure,
    /// Not acting is a cause only where somebody had the duty to act.
    FailureToAct,
    /// No role carries the cause without the condition that it worked in.
    RoleBlamed,
    /// A cause lies in what could be known then, not in what is known now.
    Hindsight,
}

impl Rule {
    /// The rule in a few words, as a person reads it.
    #[must_use]
    pub const fn label(self) -> &'static str {
        match self {
            Self::CauseAndEffect => "Show what led to what",
            Self::VagueWord => "Say what was seen",
            Self::HumanError => "What came before the error",
            Self::BrokenProcedure => "What came before the departure",
            Self::FailureToAct => "Whose task it was",
            Self::RoleBlamed => "The condition, not the person",
            Self::Hindsight => "What was known then",
        }
    }
}

/// One piece of advice on a statement.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// What it rests on.
    pub rule: Rule,
    /// Where it is in the statement, in bytes; both ends lie between characters.
    pub span: Range<usize>,
    /// The words in that place, as typed.
    pub phrase: String,
    /// Why it is worth a look, a sentence or two.
    pub why: String,
    /// A question whose answer mends it.
    pub ask: String,
}

impl Finding {
    /// Whether it shares a character with a place.
    pub(super) fn touches(&self, span: &Range<usize>) -> bool {
        self.span.start < span.end && span.start < self.span.end
    }
}
