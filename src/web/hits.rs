//! A text with hits, in pieces that a template can mark.

use crate::case::search_sqlite::{HIT_END, HIT_START};

/// A piece of a text: plain, or a hit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Piece {
    pub(super) text: String,
    pub(super) hit: bool,
}

/// The pieces of a text that the search has marked.
pub(super) fn pieces(marked: &str) -> Vec<Piece> {
    let mut pieces = Vec::new();
    for (index, part) in marked.split(HIT_START).enumerate() {
        let (hit, rest) =
            if index == 0 { ("", part) } else { part.split_once(HIT_END).unwrap_or((part, "")) };
        pieces.push(Piece { text: hit.to_owned(), hit: true });
        pieces.push(Piece { text: rest.to_owned(), hit: false });
    }
    pieces.retain(|piece| !piece.text.is_empty());
    pieces
}
