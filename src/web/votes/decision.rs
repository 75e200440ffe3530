//! What votes take from elsewhere: the words of a decision point, and the drawing of an address.

use crate::case::{Key, StoredCase};

/// The question of a decision point and its options in their order; none when the case has no such
/// decision point.
///
/// TO BE FILLED: the record holds no decision points yet. Once it does, look the key up in the
/// case and give its question and the words of its options, and nothing of what was chosen or followed.
pub(super) const fn decision_of(_: &StoredCase, _: &Key) -> Option<(String, Vec<String>)> {
    None
}

/// An address as a QR code, an SVG drawing as text; none when it cannot be drawn.
///
/// TO BE FILLED: call the drawing of `figure` once it is there.
pub(super) const fn qr(_: &str) -> Option<String> {
    None
}
