//! Addresses, wards and towns, hospitals by name.

mod after_street;
mod hospital;
mod inside;
mod number_last;
mod postcode;
mod street;
mod town;

use std::ops::Range;

use super::kind::Confidence::High;
use super::kind::{Confidence, Kind, Suspicion};
use super::scan::Scan;

/// What was found: its kind, its tokens, how sure it is, and what can stand there.
struct Found {
    kind: Kind,
    tokens: Range<usize>,
    confidence: Confidence,
    put: Option<String>,
}

impl Found {
    fn address(tokens: Range<usize>, confidence: Confidence) -> Self {
        Self { kind: Kind::Address, tokens, confidence, put: Some("an address".to_owned()) }
    }

    fn hospital(scan: &Scan<'_>, tokens: Range<usize>, confidence: Confidence) -> Self {
        let came = hospital::is_where_from(scan, tokens.start);
        let put = if came { "the referring hospital" } else { "another hospital" };
        Self { kind: Kind::Hospital, tokens, confidence, put: Some(put.to_owned()) }
    }
}

pub(super) fn find(scan: &Scan<'_>) -> Vec<Suspicion> {
    let mut found = Vec::new();
    let mut at = 0;
    while at < scan.tokens.len() {
        let next = found_at(scan, at);
        let end = next.as_ref().map_or(at + 1, |found| found.tokens.end.max(at + 1));
        if let Some(Found { kind, tokens, confidence, put }) = next {
            found.push(Suspicion::new(kind, scan.span(tokens), confidence).with_put(put));
        }
        at = end;
    }
    found
}

fn found_at(scan: &Scan<'_>, at: usize) -> Option<Found> {
    street::at(scan, at)
        .map(|(end, confidence)| {
            // A town and a postcode belong to the street before them.
            let end = after_street::end(scan, end);
            // A street alone has no number in it.
            let numbered = (at..end).any(|token| scan.digits(token) > 0);
            let put = if numbered { "an address" } else { "a street" };
            Found { put: Some(put.to_owned()), ..Found::address(at..end, confidence) }
        })
        .or_else(|| postcode::at(scan, at))
        .or_else(|| inside::at(scan, at))
        .or_else(|| hospital::before_word(scan, at).map(|(tokens, sure)| Found::hospital(scan, tokens, sure)))
        .or_else(|| hospital::after_word(scan, at).map(|end| Found::hospital(scan, at..end, High)))
        .or_else(|| hospital::saint(scan, at).map(|(end, sure)| Found::hospital(scan, at..end, sure)))
        .or_else(|| town::at(scan, at))
}
