//! Postcodes.

use super::super::kind::Confidence::{High, Low};
use super::super::lexicon::Class;
use super::super::scan::Scan;
use super::super::zip;
use super::Found;

/// Words after which a postcode stands.
fn is_cue(word: &str) -> bool {
    matches!(
        word,
        "zip"
            | "postcode"
            | "postal"
            | "postleitzahl"
            | "plz"
            | "cap"
            | "cep"
            | "pincode"
            | "pin"
            | "postnummer"
    )
}

pub(super) fn at(scan: &Scan<'_>, at: usize) -> Option<Found> {
    if let Some(end) = british(scan, at).or_else(|| canadian(scan, at)) {
        return Some(Found { put: Some("the region".to_owned()), ..Found::address(at..end, High) });
    }
    cued(scan, at).or_else(|| with_state(scan, at)).or_else(|| {
        let end = before_town(scan, at)?;
        Some(Found { put: Some("the region".to_owned()), ..Found::address(at..end, Low) })
    })
}

pub(super) fn is_upper(text: &str) -> bool {
    text.chars().all(|c| c.is_ascii_uppercase())
}

/// Whether nothing touches a token but a mark of the sentence.
fn is_free(scan: &Scan<'_>, at: usize) -> bool {
    !scan.glued(at) || matches!(scan.lower_before(at), "(" | "," | ":" | "/" | "[")
}

/// A British postcode, such as `ZZ9 9ZZ`.
pub(super) fn british(scan: &Scan<'_>, at: usize) -> Option<usize> {
    scan.get(at).filter(|token| scan.is_word(at) && token.text.len() <= 2 && is_upper(token.text))?;
    scan.number(at + 1).filter(|district| *district < 100 && scan.glued(at + 1))?;
    let mut inward = at + 2;
    let letter =
        scan.get(inward).is_some_and(|token| token.glued && token.text.len() == 1 && is_upper(token.text));
    inward += usize::from(letter);
    let digit = scan.digits(inward) == 1 && !scan.glued(inward);
    let last = scan.get(inward + 1).filter(|token| token.glued && token.text.len() == 2)?;
    // The last two letters are none of C I K M O V (common practice, from memory), so that no unit fits.
    let letters = last.text.chars().all(|c| c.is_ascii_uppercase() && !"CIKMOV".contains(c));
    let ordinal = matches!(last.text, "ND" | "RD" | "TH" | "ST");
    let ends = !scan.glued(inward + 2) || matches!(scan.lower(inward + 2), "." | "," | ")" | ";");
    (is_free(scan, at) && digit && letters && !ordinal && ends).then_some(inward + 2)
}

/// `K1A 0B1`
pub(super) fn canadian(scan: &Scan<'_>, at: usize) -> Option<usize> {
    let letter = |at: usize| {
        scan.get(at).is_some_and(|token| token.text.len() == 1 && is_upper(token.text) && scan.is_word(at))
    };
    let digit = |at: usize| scan.digits(at) == 1;
    let first = letter(at) && digit(at + 1) && letter(at + 2) && scan.glued(at + 1) && scan.glued(at + 2);
    let second = digit(at + 3) && letter(at + 4) && digit(at + 5) && scan.glued(at + 4) && scan.glued(at + 5);
    (first && second && is_free(scan, at) && !scan.glued(at + 3)).then_some(at + 6)
}

/// The end of five digits, with four more where they have them.
pub(super) fn zip_digits(scan: &Scan<'_>, at: usize) -> Option<usize> {
    (scan.digits(at) == 5).then_some(())?;
    let long = scan.glued_mark(at + 1, "-") && scan.digits(at + 2) == 4 && scan.glued(at + 2);
    Some(if long { at + 3 } else { at + 1 })
}

/// The first three digits, or 000, stay of a ZIP code.
fn kept_area(scan: &Scan<'_>, at: usize) -> Option<&'static str> {
    Some(if zip::area(scan.lower(at))? == "000" { "000" } else { "" })
}

/// `ZIP 44113`, `postcode 66907-439`.
fn cued(scan: &Scan<'_>, at: usize) -> Option<Found> {
    is_cue(scan.lower(at)).then_some(())?;
    let mut value = at + 1;
    for _ in 0..3 {
        value += usize::from(matches!(scan.lower(value), "code" | ":" | "is" | "no" | "."));
    }
    if let Some(end) = zip_digits(scan, value).filter(|_| scan.lower(at) == "zip") {
        let area = kept_area(scan, value)
            .filter(|area| !area.is_empty())
            .map_or_else(|| scan.lower(value)[..3].to_owned(), str::to_owned);
        let put = Some(format!("ZIP area {area}"));
        return Some(Found { put, ..Found::address(at..end, High) });
    }
    let (mut end, mut digits) = (value, 0);
    while end < value + 4
        && (scan.digits(end) > 0
            || scan.glued_mark(end, "-")
            || (digits > 0
                && scan.get(end).is_some_and(|token| token.text.len() == 2 && is_upper(token.text))))
    {
        digits += scan.digits(end);
        end += 1;
    }
    (4..=8)
        .contains(&digits)
        .then(|| Found { put: Some("the region".to_owned()), ..Found::address(at..end, High) })
}

/// `Eastmere, OH 44113`: the state may stay.
pub(super) fn with_state(scan: &Scan<'_>, at: usize) -> Option<Found> {
    let mut state = at;
    while state < at + 4 && scan.capitalised(state) {
        state += 1;
    }
    (state > at).then_some(())?;
    state += usize::from(scan.lower(state) == ",");
    let named = scan
        .get(state)
        .is_some_and(|token| token.text.len() == 2 && is_upper(token.text) && scan.is_word(state));
    let end = named.then(|| zip_digits(scan, state + 1)).flatten()?;
    let area = zip::area(scan.lower(state + 1))?;
    let put = Some(format!("{} {area}", scan.get(state)?.text));
    Some(Found { put, ..Found::address(at..end, High) })
}

/// `66907 Werdau`, `27-097 Wołomin`, `170 66 Karlstad`, `7170 BM`, `66907-439`.
pub(super) fn before_town(scan: &Scan<'_>, at: usize) -> Option<usize> {
    is_free(scan, at).then_some(())?;
    let hyphened = |lengths: [usize; 2]| {
        scan.digits(at) == lengths[0]
            && scan.glued_mark(at + 1, "-")
            && scan.glued(at + 2)
            && scan.digits(at + 2) == lengths[1]
    };
    let dutch = scan.digits(at) == 4
        && scan.get(at + 1).is_some_and(|token| {
            token.text.len() == 2
                && is_upper(token.text)
                && scan.is_word(at + 1)
                && !token.is(Class::Unit)
                && !token.is(Class::Abbreviation)
        });
    let town = |at: usize| {
        scan.get(at).is_some_and(|token| {
            token.is_capitalised()
                && !token.is(Class::Common)
                && !token.is(Class::Trade)
                && token.text.chars().count() > 2
        })
    };
    let towns = |start: usize| {
        (start..start + 3).take_while(|at| scan.capitalised(*at)).last().map_or(start, |at| at + 1)
    };
    if dutch && (!scan.glued(at + 2) || matches!(scan.lower(at + 2), "," | "." | ")")) {
        return Some(if town(at + 2) { towns(at + 2) } else { at + 2 });
    }
    if hyphened([5, 3]) {
        return Some(at + 3);
    }
    let code = if (5..=6).contains(&scan.digits(at)) {
        at + 1
    } else if hyphened([2, 3]) || hyphened([4, 3]) {
        at + 3
    } else if scan.digits(at) == 3 && scan.digits(at + 1) == 2 && !scan.glued(at + 1) {
        at + 2
    } else {
        return None;
    };
    (town(code) && !scan.glued(code)).then(|| towns(code))
}
