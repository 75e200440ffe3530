//! Telephone, fax and pager numbers.

use super::kind::Confidence::High;
use super::kind::{Kind, Suspicion};
use super::scan::{Made, Scan};

/// Words before a number that reaches a person, and how many digits it has at least.
#[rustfmt::skip]
const CUES: &[(&str, usize)] = &[
    ("tel|telephone|phone|mobile|fax|dial|ring|whatsapp", 4), ("bleep|pager|beeper", 3), ("ext|extn", 3), ("extension", 4),
];

/// How many tokens a number may span.
const LONGEST: usize = 24;

pub(super) fn find(scan: &Scan<'_>) -> Vec<Suspicion> {
    let mut found = Vec::new();
    let mut at = 0;
    while at < scan.tokens.len() {
        let end = cued(scan, at).or_else(|| by_form(scan, at));
        if let Some(end) = end {
            found.push(Suspicion::new(Kind::Phone, scan.span(at..end), High));
        }
        at = end.unwrap_or(at + 1);
    }
    found
}

fn cued(scan: &Scan<'_>, at: usize) -> Option<usize> {
    CUES.iter().find_map(|(words, least)| {
        let mut start = scan.words_at(at, words)?;
        for _ in 0..2 {
            start += usize::from(matches!(scan.lower(start), ":" | "no" | "number" | "." | "#" | "on"));
        }
        let (end, digits) = run(scan, start);
        (digits >= *least && digits <= 15 && !measures(scan, end)).then_some(end)
    })
}

/// `+1 (555) 010-2233`, `(555) 010-2233`, `0161 496 0000`, `555-010-2233`.
fn by_form(scan: &Scan<'_>, at: usize) -> Option<usize> {
    let token = scan.get(at)?;
    let touches = token.glued && !matches!(scan.lower_before(at), "(" | ":" | "[");
    if touches || !(token.made == Made::Digits || matches!(token.text, "+" | "(")) {
        return None;
    }
    let (end, digits) = run(scan, at);
    let international = token.text == "+" && scan.glued(at + 1);
    let area = token.text == "("
        && scan.lower(at + 2) == ")"
        && scan.get(at + 1).is_some_and(|code| code.text.len() >= 3);
    let zero = token.text.starts_with('0') && token.text.len() >= 3 && digits >= 9;
    let dashed = digits == 10
        && end - at == 5
        && scan.glued_mark(at + 1, "-")
        && scan.glued_mark(at + 3, "-")
        && token.text.len() == 3;
    let whole = (9..=15).contains(&digits) && !measures(scan, end);
    (whole && (international || area || zero || dashed)).then_some(end)
}

/// The end of a run of digits and the marks between them, and how many digits it has.
fn run(scan: &Scan<'_>, start: usize) -> (usize, usize) {
    let (mut end, mut digits) = (start, 0);
    for at in start..start + LONGEST {
        match scan.get(at) {
            Some(token) if token.made == Made::Digits => {
                digits += token.text.len();
                end = at + 1;
            }
            Some(token) if matches!(token.text, "+" | "(" | ")" | "-" | "/") => {}
            // A full stop inside a number touches on both sides.
            Some(token) if token.text == "." && token.glued && scan.glued(at + 1) => {}
            _ => break,
        }
    }
    (end, digits)
}

fn measures(scan: &Scan<'_>, end: usize) -> bool {
    scan.unit_at(end) || (scan.glued(end) && matches!(scan.lower(end), "%" | ":" | "°"))
}
