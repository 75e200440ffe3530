//! Rule 1: a statement shows what led to what, and how.

use super::finding::{Finding, Rule};
use super::links::Links;
use super::text::Text;

/// Verbs that claim a cause and do not say how.
#[rustfmt::skip]
const CLAIMS: &[&str] = &[
    "was|were|been|is caused|triggered|provoked|produced|induced by", "caused|causes", "provoked|provokes",
    "triggered|triggers", "induced", "worsened", "contributed|contributes to", "brought about",
];

/// Verbs that claim a cause when they stand between two things: "delayed recognition" is a thing.
const CLAIMS_BETWEEN: &str = "delayed|delays|prolonged|produced";

/// Words that tell how, beside such a verb.
const HOW: &[&str] = &["by ~ing", "when", "once", "through", "where", "under", "during"];

const ASK_HOW: &str = "What came in between: which force, which missing view, which hand or thing was where?";

/// Finds a claim without its how, half a link, or no link at all.
///
/// The last is said only when no other finding asks already what came before or after.
pub(super) fn check(text: &Text<'_>, links: &Links, others: &[Finding]) -> Option<Finding> {
    if links.any_joins_two() || !text.tokens.iter().any(|token| token.is_word) {
        return None;
    }
    let claim = (0..text.tokens.len()).find_map(|at| claim_at(text, at).map(|end| at..end));
    if let Some(claim) = claim {
        let how = text.sentence_of(claim.start);
        if HOW.iter().any(|pattern| text.contains(how.clone(), pattern)) {
            return None;
        }
        let why = format!("“{}” says that one led to the other and not how.", text.phrase(claim.clone()));
        return Some(text.finding(Rule::CauseAndEffect, claim, why, ASK_HOW));
    }
    if let Some(half) = links.0.first() {
        let why = format!(
            "“{}” joins two halves, and the {} is not there yet, or too short to say how.",
            text.phrase(half.tokens.clone()),
            half.lacks()
        );
        let ask = "What happened, and what followed from it?";
        return Some(text.finding(Rule::CauseAndEffect, half.tokens.clone(), why, ask));
    }
    let asked_already = others.iter().any(|finding| finding.rule != Rule::Hindsight);
    (!asked_already).then(|| whole(text)).flatten()
}

fn claim_at(text: &Text<'_>, at: usize) -> Option<usize> {
    text.any_at(at, CLAIMS).or_else(|| {
        let end = text.phrase_at(at, CLAIMS_BETWEEN)?;
        let before = text.word(at.checked_sub(1)?);
        let is_adjective =
            matches!(before, "a" | "an" | "the" | "and" | "was" | "were" | "is" | "been" | "be" | "had");
        let goes_on =
            text.tokens.get(end).is_some_and(|next| next.is_word) && !matches!(text.word(end), "by" | "and");
        (!is_adjective && goes_on).then_some(end)
    })
}

fn whole(text: &Text<'_>) -> Option<Finding> {
    let first = text.tokens.iter().position(|token| token.is_word)?;
    let last = text.tokens.iter().rposition(|token| token.is_word)?;
    let why = "The sentence tells one thing. A cause is read from two: what was there, and what it led to.";
    let ask = "What did this lead to in the case, and what made it possible? “So”, “because” or “which” joins them.";
    Some(text.finding(Rule::CauseAndEffect, first..last + 1, why.to_owned(), ask))
}
