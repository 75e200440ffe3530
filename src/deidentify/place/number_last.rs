//! Street addresses with the number behind the name, and streets without one.

use super::super::kind::Confidence::{self, High, Low};
use super::super::lexicon::Class;
use super::super::scan::Scan;
use super::street::{house, names, with_flat};

/// The ends of words that are streets: `Quarzstraße`, `Molenlaan`.
const ENDINGS: &[&str] = &[
    "straße",
    "strasse",
    "str",
    "weg",
    "platz",
    "allee",
    "gasse",
    "gatan",
    "gata",
    "vägen",
    "väg",
    "gränd",
    "laan",
    "straat",
    "singel",
    "plein",
    "kade",
    "dreef",
    "gracht",
    "hof",
    "ring",
    "damm",
    "ufer",
    "steeg",
    "pad",
    "stigen",
    "torget",
    "baan",
    "boulevard",
    "markt",
];

/// `rue des Carmes 12`, `Viale Parisi, 171`, `ulica Okrężna 776`.
pub(super) fn kind_first(scan: &Scan<'_>, at: usize) -> Option<(usize, Confidence)> {
    let kind = scan.get(at).filter(|token| token.is(Class::StreetBefore) && !token.is_in_capitals())?;
    let stop = usize::from(scan.glued_mark(at + 1, "."));
    // `ul. Okrężna` and `av. Foch`; "al" alone is a word of many languages.
    if stop == 0 && kind.text.chars().count() < 3 {
        return None;
    }
    let start = at + 1 + stop;
    let end = names(scan, start, 6);
    if end == start {
        return None;
    }
    let number = end + usize::from(scan.lower(end) == ",");
    let measured = |end: usize| scan.unit_at(end) || (scan.glued_mark(end, ".") && scan.glued(end + 1));
    match house(scan, number).filter(|end| !measured(*end)) {
        Some(end) => Some((with_flat(scan, end), High)),
        None => matches!(
            scan.lower(at),
            "rue" | "calle" | "piazza" | "viale" | "ulica" | "rua" | "avenida" | "plaza"
        )
        .then_some((end, Low)),
    }
}

/// Whether a word ends as streets do in one word.
pub(super) fn is_compound(word: &str) -> bool {
    word.chars().count() >= 7 && ENDINGS.iter().any(|ending| word.ends_with(ending))
}

/// `Wesackstraße 26-83`, `Lange Gasse 4`, `Furuvägen 63`.
pub(super) fn compound(scan: &Scan<'_>, at: usize) -> Option<usize> {
    scan.capitalised(at).then_some(())?;
    let mut word = at;
    for _ in 0..3 {
        let lower = scan.lower(word);
        let whole = word > at && ENDINGS.contains(&lower) && lower.len() >= 3;
        if is_compound(lower) && !scan.is(word, Class::Common) || whole {
            let number = word + 1 + usize::from(scan.glued_mark(word + 1, "."));
            return house(scan, number).filter(|end| !scan.unit_at(*end));
        }
        word += if scan.glued_mark(word + 1, "-") { 2 } else { 1 };
        if !scan.capitalised(word) {
            return None;
        }
    }
    None
}

/// `on Larkspur Avenue`: a street without a number, after a word for a place.
pub(super) fn unnumbered(scan: &Scan<'_>, at: usize) -> Option<usize> {
    let street = |word: &str| {
        matches!(
            word,
            "street"
                | "road"
                | "avenue"
                | "lane"
                | "crescent"
                | "terrace"
                | "boulevard"
                | "drive"
                | "close"
                | "square"
                | "gardens"
        )
    };
    let placed =
        matches!(scan.lower_before(at), "in" | "on" | "at" | "of" | "near" | "off" | "from" | "along" | "to");
    let named = scan.capitalised(at) && !scan.is(at, Class::Trade) && !scan.is(at, Class::Eponym);
    let end = (at + 1..at + 3).find(|word| scan.capitalised(*word) && street(scan.lower(*word)))?;
    (placed && named && (at + 1..end).all(|word| scan.capitalised(word))).then_some(end + 1)
}
