//! Hindsight: what could be judged only afterwards.

use super::finding::{Finding, Rule};
use super::text::Text;

/// Phrases that look back, the longer first.
const LOOKING_BACK: &[&str] = &[
    "should|could|would|might|must not? have",
    "ought not? to have",
    "in hindsight|retrospect",
    "with hindsight",
    "retrospectively",
    "in the cold? light of",
];

/// What says the same words without looking back; the star is on the first of them.
#[rustfmt::skip]
const INNOCENT: &[&str] = &[
    // An obligation or a need in time to come, as it was seen then.
    "*should|could|would|might not? have to",
    // What an alternative would have cost, weighed at the time.
    "*would have meant|cost|required|needed|taken|added",
    // What could not be known or seen then.
    "*could not have",
    // Views that people gave when they were asked.
    "people|reviewers|operators|colleagues|peers|them|us|of|most|some|several|others|many *would have",
    // A guess about what happened, not about what was right.
    "*must|might have",
];

/// Finds phrases that look back.
pub(super) fn check(text: &Text<'_>) -> Vec<Finding> {
    let found = (0..text.tokens.len()).filter_map(|at| {
        let end = text.any_at(at, LOOKING_BACK)?;
        if INNOCENT.iter().any(|pattern| text.around(at, pattern)) {
            return None;
        }
        let why = format!(
            "“{}” is seen from the end of the case. Those who were there did not have that view.",
            text.phrase(at..end)
        );
        let ask = "What was known, seen or at hand at that minute, and what was hidden?";
        Some(text.finding(Rule::Hindsight, at..end, why, ask))
    });
    found.collect()
}
