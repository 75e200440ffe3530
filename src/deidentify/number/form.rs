//! National numbers that their form gives away, without a word before them.

use std::ops::Range;

use super::super::kind::Confidence::{self, High, Low};
use super::super::kind::{Kind, Suspicion};
use super::super::scan::Scan;

pub(in super::super) fn find(scan: &Scan<'_>) -> Vec<Suspicion> {
    let mut found = Vec::new();
    let mut at = 0;
    while at < scan.tokens.len() {
        let next = by_form(scan, at);
        if let Some((end, confidence)) = next {
            found.push(Suspicion::new(Kind::RecordNumber, scan.span(at..end), confidence));
        }
        at = next.map_or(at + 1, |(end, _)| end);
    }
    found
}

pub(super) fn by_form(scan: &Scan<'_>, at: usize) -> Option<(usize, Confidence)> {
    let token = scan.get(at)?;
    if token.glued && !matches!(scan.lower_before(at), "(" | "[" | ":" | ",") {
        return None;
    }
    if token.is_in_capitals() {
        return insurance_number(scan, at)
            .map(|end| (end, Low))
            .or_else(|| fiscal_code(scan, at).map(|end| (end, High)));
    }
    grouped(scan, at, &[3, 2, 4], "-")
        .or_else(|| tax_number(scan, at))
        .or_else(|| birth_number(scan, at))
        .or_else(|| grouped(scan, at, &[3, 3, 4], " ").filter(|end| check_digit_holds(scan, at..*end)))
        .map(|end| (end, High))
        .or_else(|| grouped(scan, at, &[4, 4, 4], " ").map(|end| (end, Low)))
}

/// The end of groups of digits of these lengths, with a mark or a space between them.
fn grouped(scan: &Scan<'_>, at: usize, lengths: &[usize], between: &str) -> Option<usize> {
    let mut end = at;
    for (index, length) in lengths.iter().enumerate() {
        if index > 0 && between != " " {
            if !scan.glued_mark(end, between) || !scan.glued(end + 1) {
                return None;
            }
            end += 1;
        }
        (scan.digits(end) == *length).then_some(())?;
        end += 1;
    }
    let goes_on = scan.digits(end) > 0 || scan.measure_at(end) || (scan.glued(end) && scan.is_word(end));
    (!goes_on).then_some(end)
}

/// Whether nothing but a mark of the sentence touches what ended here.
fn ends_free(scan: &Scan<'_>, end: usize) -> bool {
    !scan.glued(end) || matches!(scan.lower(end), "." | "," | ")" | ";" | ":")
}

/// `123.456.789-09`, a Brazilian number.
fn tax_number(scan: &Scan<'_>, at: usize) -> Option<usize> {
    let dotted = [1, 3].iter().all(|mark| scan.glued_mark(at + mark, "."))
        && [0, 2, 4].iter().all(|group| scan.digits(at + group) == 3);
    let whole = dotted && scan.glued_mark(at + 5, "-") && scan.digits(at + 6) == 2 && scan.glued(at + 6);
    whole.then_some(at + 7)
}

/// `590102-9446`, a number that begins with a day of birth, as in the Nordic countries.
fn birth_number(scan: &Scan<'_>, at: usize) -> Option<usize> {
    let text = scan.get(at).filter(|_| matches!(scan.digits(at), 6 | 8))?.text;
    let dated = |digits: &str| {
        let part =
            |range: Range<usize>| digits.get(range).and_then(|part| part.parse::<u32>().ok()).unwrap_or(0);
        let numbered = |value: u32, last: u32| (1..=last).contains(&value);
        (numbered(part(2..4), 12) && numbered(part(4..6), 31))
            || (numbered(part(0..2), 31) && numbered(part(2..4), 12))
    };
    let last = scan.digits(at + 2) == 4 && scan.glued(at + 2);
    let whole = dated(&text[text.len() - 6..]) && scan.glued_mark(at + 1, "-") && last;
    (whole && ends_free(scan, at + 3)).then_some(at + 3)
}

/// `QQ 12 34 56 C`, `QQ123456C`: a British insurance number.
fn insurance_number(scan: &Scan<'_>, at: usize) -> Option<usize> {
    (scan.get(at)?.text.len() == 2).then_some(())?;
    let (mut end, mut digits) = (at + 1, 0);
    while scan.digits(end) > 0 && digits < 6 {
        digits += scan.digits(end);
        end += 1;
    }
    let last = scan.get(end).is_some_and(|token| token.is_initial() && token.text.is_ascii());
    (digits == 6 && last && ends_free(scan, end + 1)).then_some(end + 1)
}

/// `TRCTNO50R68A345D`: an Italian fiscal code.
fn fiscal_code(scan: &Scan<'_>, at: usize) -> Option<usize> {
    let lengths: Vec<usize> = (at..at + 7).map_while(|place| Some(scan.get(place)?.text.len())).collect();
    let glued = (at + 1..at + 7).all(|place| scan.glued(place));
    let mixed = [at + 1, at + 3, at + 5].iter().all(|place| scan.digits(*place) > 0);
    (glued && mixed && lengths == [6, 2, 1, 2, 1, 3, 1]).then_some(at + 7)
}

/// The check digit of a ten-digit health number, modulo 11 (common practice, from memory).
fn check_digit_holds(scan: &Scan<'_>, tokens: Range<usize>) -> bool {
    let digits: Vec<u32> =
        scan.tokens[tokens].iter().flat_map(|t| t.text.chars()).filter_map(|c| c.to_digit(10)).collect();
    let sum: u32 = digits.iter().zip((2..=10).rev()).map(|(digit, weight)| digit * weight).sum();
    digits.len() == 10 && (11 - sum % 11) % 11 == digits[9]
}
