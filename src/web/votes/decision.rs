//! What votes take from elsewhere: the words of a decision point, and the drawing of an address.

use crate::case::{Key, StoredCase};
use crate::figure::qr;

/// The question of a decision point and its options in their order, and nothing of what was chosen or
/// followed; none when the case has no such decision point.
pub(super) fn decision_of(case: &StoredCase, key: &Key) -> Option<(String, Vec<String>)> {
    let decision = case.decisions.iter().map(|row| &row.value).find(|decision| decision.key == *key)?;
    let options = decision.options.iter().map(|option| option.text.to_string()).collect();
    Some((decision.question.to_string(), options))
}

/// An address as a QR code, an SVG drawing as text; none when it is longer than a code holds.
pub(super) fn qr(address: &str) -> Option<String> {
    qr::draw("vote-code", address, "vote").ok().map(|figure| figure.svg)
}
