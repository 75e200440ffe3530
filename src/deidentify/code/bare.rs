//! Long numbers and codes that nothing explains.

use super::super::kind::Confidence::Low;
use super::super::kind::{Kind, Suspicion};
use super::super::scan::{Made, Scan};
use super::touching;

/// How many digits make a code of letters and digits suspect, and how many a number alone.
const DIGITS_IN_CODE: usize = 5;
const DIGITS_ALONE: usize = 7;

/// `123e4567-e89b-12d3-a456-426614174000`: a universally unique identifier (RFC 9562).
pub(super) fn universal(scan: &Scan<'_>, at: usize) -> Option<usize> {
    if !scan.glued(at + 1) || !scan.get(at)?.text.starts_with(|c: char| c.is_ascii_hexdigit()) {
        return None;
    }
    let (end, text) = touching(scan, at, "-");
    let lengths: Vec<usize> = text.split('-').map(str::len).collect();
    let hexadecimal = text.chars().all(|c| c.is_ascii_hexdigit() || c == '-');
    (hexadecimal && lengths == [8, 4, 4, 4, 12]).then_some(end)
}

pub(in super::super) fn find(scan: &Scan<'_>) -> Vec<Suspicion> {
    let mut found = Vec::new();
    let mut at = 0;
    while at < scan.tokens.len() {
        let free = !scan.glued(at) || matches!(scan.lower_before(at), "(" | "[" | "\"" | "“" | "#" | ",");
        if !free || scan.get(at).is_some_and(|token| token.made == Made::Mark) {
            at += 1;
            continue;
        }
        if scan.digits(at) < DIGITS_IN_CODE && !scan.glued(at + 1) {
            at += 1;
            continue;
        }
        let (end, text) = touching(scan, at, "-/_");
        let digits = text.chars().filter(char::is_ascii_digit).count();
        let alone = scan.digits(at) == text.len();
        if alone && digits >= DIGITS_ALONE && !is_published(scan, at) && !scan.unit_at(end) {
            found.push(Suspicion::new(Kind::RecordNumber, scan.span(at..end), Low));
        } else if !alone && digits >= DIGITS_IN_CODE && is_code(scan, at, text) && !is_published(scan, at) {
            found.push(Suspicion::new(Kind::UniqueCode, scan.span(at..end), Low));
        }
        at = end;
    }
    found
}

/// Whether letters and digits are mixed as in a code, and not as a number and its unit or a range.
fn is_code(scan: &Scan<'_>, at: usize, text: &str) -> bool {
    let measures = scan.digits(at) > 0 && scan.unit_at(at + 1);
    let marks = text.matches(['-', '_']).count();
    let lettered = text.contains(|c: char| c.is_ascii_uppercase() || c == '_');
    let range = scan.digits(at) > 0 && marks == 1 && !lettered;
    !measures && !range && (lettered || marks >= 2)
}

/// Whether a register of publications or studies gave the number.
fn is_published(scan: &Scan<'_>, at: usize) -> bool {
    const REGISTERS: &[&str] =
        &["pmid", "doi", "pubmed", "nct", "pmc", "isrctn", "eudract", "euctr", "arxiv", "isbn", "issn"];
    let last = scan.lower_before(at);
    let word = if last == ":" { at.checked_sub(2).map_or("", |word| scan.lower(word)) } else { last };
    REGISTERS.contains(&scan.lower(at)) || REGISTERS.contains(&word) || last == "/"
}
