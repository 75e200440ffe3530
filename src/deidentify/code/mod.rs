//! Codes that their form gives away: accounts, cards, vehicles, places on the map, and long numbers that
//! nothing explains.

mod account;
mod bare;
mod coordinates;
mod vehicle;

use super::kind::{Confidence, Kind, Suspicion};
use super::scan::Scan;

pub(super) use bare::find as find_bare;

pub(super) fn find(scan: &Scan<'_>) -> Vec<Suspicion> {
    let mut found = Vec::new();
    let mut at = 0;
    while at < scan.tokens.len() {
        let next = found_at(scan, at);
        if let Some((kind, end, confidence)) = next {
            found.push(Suspicion::new(kind, scan.span(at..end), confidence));
        }
        at = next.map_or(at + 1, |(_, end, _)| end);
    }
    found
}

fn found_at(scan: &Scan<'_>, at: usize) -> Option<(Kind, usize, Confidence)> {
    if scan.glued(at) && !matches!(scan.lower_before(at), "(" | "[" | ":" | "," | "=" | "\"" | "“") {
        return None;
    }
    let named = scan.lower(at) == "iban";
    account::at(scan, at + usize::from(named) + usize::from(named && scan.lower(at + 1) == ":"))
        .map(|(end, confidence)| (Kind::Account, end, confidence))
        .or_else(|| coordinates::at(scan, at).map(|end| (Kind::Coordinates, end, Confidence::High)))
        .or_else(|| vehicle::at(scan, at).map(|(end, confidence)| (Kind::Vehicle, end, confidence)))
        .or_else(|| bare::universal(scan, at).map(|end| (Kind::UniqueCode, end, Confidence::High)))
}

/// The tokens that touch from here on, letters and digits and these marks between them, and the text of them.
fn touching<'a>(scan: &Scan<'a>, at: usize, marks: &str) -> (usize, &'a str) {
    /// No code is longer.
    const LONGEST: usize = 48;
    let is_part =
        |place: usize| scan.get(place).is_some_and(|token| token.text.chars().all(char::is_alphanumeric));
    let mut end = at + 1;
    while end < at + LONGEST && scan.glued(end) {
        let joins = scan.get(end).is_some_and(|token| marks.contains(token.text))
            && scan.glued(end + 1)
            && is_part(end + 1);
        if !is_part(end) && !joins {
            break;
        }
        end += 1;
    }
    (end, &scan.text[scan.span(at..end)])
}
