//! Addresses, wards and towns, hospitals by name.

use std::ops::Range;

use super::kind::Confidence::{High, Low};
use super::kind::{Confidence, Kind, Suspicion};
use super::lists::{GENERIC_HOSPITALS, HOSPITAL_WORDS, STREETS};
use super::scan::{Made, Scan};

pub(super) fn find(scan: &Scan<'_>) -> Vec<Suspicion> {
    let mut found = Vec::new();
    let mut at = 0;
    while at < scan.tokens.len() {
        let next = found_at(scan, at);
        if let Some((kind, ref tokens, confidence)) = next {
            found.push(Suspicion::new(kind, scan.span(tokens.clone()), confidence));
        }
        at = next.map_or(at + 1, |(_, tokens, _)| tokens.end.max(at + 1));
    }
    found
}

fn found_at(scan: &Scan<'_>, at: usize) -> Option<(Kind, Range<usize>, Confidence)> {
    let high = |kind, end| (kind, at..end, High);
    street(scan, at)
        .or_else(|| post_office_box(scan, at))
        .or_else(|| postcode(scan, at))
        .or_else(|| zip_code(scan, at))
        .map(|end| high(Kind::Address, end))
        .or_else(|| inside(scan, at).map(|(end, confidence)| (Kind::Location, at..end, confidence)))
        .or_else(|| hospital(scan, at).map(|tokens| (Kind::Hospital, tokens, High)))
        .or_else(|| hospital_of(scan, at).map(|end| high(Kind::Hospital, end)))
}

/// `22 Quarry Lane`.
fn street(scan: &Scan<'_>, at: usize) -> Option<usize> {
    scan.number(at).filter(|_| !scan.glued(at))?;
    let mut word = at + 1;
    // `22a Quarry Lane`
    word += usize::from(scan.glued(word) && scan.get(word).is_some_and(|token| token.text.len() == 1));
    word += usize::from(scan.lower(word) == ",");
    let first = word;
    while word < first + 4 && scan.capitalised(word) {
        if word > first && STREETS.contains(&scan.lower(word)) {
            return Some(word + 1);
        }
        word += 1;
    }
    None
}

fn post_office_box(scan: &Scan<'_>, at: usize) -> Option<usize> {
    let end = scan.words_at(at, "po box").or_else(|| scan.words_at(at, "p o box"))?;
    scan.number(end).map(|_| end + 1)
}

/// A British postcode, such as `ZZ9 9ZZ`.
fn postcode(scan: &Scan<'_>, at: usize) -> Option<usize> {
    let area = scan
        .get(at)
        .filter(|token| token.made == Made::Word && token.text.len() <= 2 && is_upper(token.text))?;
    let free = !area.glued || matches!(scan.lower_before(at), "(" | ",");
    scan.number(at + 1).filter(|district| *district < 100 && scan.glued(at + 1))?;
    let mut inward = at + 2;
    let letter =
        scan.get(inward).is_some_and(|token| token.glued && token.text.len() == 1 && is_upper(token.text));
    inward += usize::from(letter);
    let digit = scan
        .get(inward)
        .is_some_and(|token| token.made == Made::Digits && token.text.len() == 1 && !token.glued);
    let last = scan.get(inward + 1).filter(|token| token.glued && token.text.len() == 2)?;
    // The last two letters are none of C I K M O V (common practice, from memory), so that no unit fits.
    let letters = last.text.chars().all(|c| c.is_ascii_uppercase() && !"CIKMOV".contains(c));
    let ordinal = matches!(last.text, "ND" | "RD" | "TH" | "ST");
    (free && digit && letters && !ordinal && !scan.glued(inward + 2)).then_some(inward + 2)
}

/// `Eastmere, OH 44113`, `ZIP 44113`.
fn zip_code(scan: &Scan<'_>, at: usize) -> Option<usize> {
    let five =
        |at: usize| scan.get(at).is_some_and(|token| token.made == Made::Digits && token.text.len() == 5);
    if matches!(scan.lower(at), "zip" | "postcode" | "postal") {
        let value = at + 1 + usize::from(matches!(scan.lower(at + 1), "code" | ":"));
        return five(value).then_some(value + 1);
    }
    let town = scan.capitalised(at) && scan.lower(at + 1) == ",";
    let state = scan.get(at + 2).is_some_and(|token| token.text.len() == 2 && is_upper(token.text));
    (town && state && five(at + 3)).then_some(at + 4)
}

fn is_upper(text: &str) -> bool {
    text.chars().all(|c| c.is_ascii_uppercase())
}

/// `bed 14, Ward 7B`, `room 3`: the house's own map.
fn inside(scan: &Scan<'_>, at: usize) -> Option<(usize, Confidence)> {
    let (mut end, mut confidence) = one_inside(scan, at)?;
    loop {
        let next = end + usize::from(matches!(scan.lower(end), "," | "on" | "of"));
        let Some((further, other)) = one_inside(scan, next) else { return Some((end, confidence)) };
        (end, confidence) = (further, confidence.min(other));
    }
}

fn one_inside(scan: &Scan<'_>, at: usize) -> Option<(usize, Confidence)> {
    let confidence = match scan.lower(at) {
        "ward" | "bed" | "bay" | "cubicle" => High,
        "room" | "theatre" | "lab" | "laboratory" | "floor" | "level" => Low,
        _ => return None,
    };
    let number = scan
        .get(at + 1)
        .filter(|token| token.made == Made::Digits && token.text.len() <= 3 && !token.glued)?;
    let letter = scan
        .get(at + 2)
        .is_some_and(|token| token.glued && token.text.len() == 1 && token.made == Made::Word);
    let end = at + 2 + usize::from(letter);
    // `bed 3 min later`, `level 0.5`: a number that measures or counts.
    let measures = scan.unit_at(at + 2)
        || (scan.glued(end) && !matches!(scan.lower(end), "," | "." | ";" | ")" | ":"))
        || (scan.glued_mark(end, ".") && scan.glued(end + 1));
    let whole = number.text.parse::<u32>().is_ok() && !measures;
    let level = scan.lower(at) == "level" || scan.lower(at) == "floor";
    (whole && (!level || scan.capitalised(at))).then_some((end, confidence))
}

/// `Eastmere Infirmary`, `St Mary's Hospital`, `Eastmere General hospital`.
fn hospital(scan: &Scan<'_>, at: usize) -> Option<Range<usize>> {
    if !scan.capitalised(at) {
        return None;
    }
    let mut word = at;
    let mut named = false;
    while word < at + 6 {
        let lower = scan.lower(word);
        let is_last = HOSPITAL_WORDS.contains(&lower) && (scan.capitalised(word) || lower == "hospital");
        if is_last && word > at {
            let end = if scan.lower(word + 1) == "trust" { word + 2 } else { word + 1 };
            return (named && (scan.capitalised(word) || !scan.get(at)?.opens)).then_some(at..end);
        }
        let token = scan.get(word)?;
        let joins = matches!(token.text, "." | "'s" | "’s" | "-" | "’" | "'" | "&" | "s") && token.glued
            || lower == "s";
        if token.is_capitalised() {
            named |= !GENERIC_HOSPITALS.contains(&lower);
        } else if !joins && !matches!(token.text, "NHS" | "and") {
            return None;
        }
        word += 1;
    }
    None
}

/// `University Hospital of Eastmere`, `Klinikum Eastmere`.
fn hospital_of(scan: &Scan<'_>, at: usize) -> Option<usize> {
    let generic = scan.capitalised(at) && GENERIC_HOSPITALS.contains(&scan.lower(at));
    let at = at + usize::from(generic);
    let head =
        matches!(scan.lower(at), "hospital" | "klinikum" | "hôpital" | "ospedale" | "infirmary" | "clinique");
    let name = at + 1 + usize::from(matches!(scan.lower(at + 1), "of" | "de" | "di"));
    (head && scan.capitalised(at) && scan.capitalised(name)).then_some(name + 1)
}
