//! Hospitals by their names.

use std::ops::Range;

use super::super::kind::Confidence::{self, High, Low};
use super::super::lexicon::Class;
use super::super::scan::Scan;

/// How many tokens a name may span.
const LONGEST: usize = 7;

/// Whether somebody came from there: "transferred from", "referred by".
pub(super) fn is_where_from(scan: &Scan<'_>, at: usize) -> bool {
    let word = at.checked_sub(1 + usize::from(scan.lower_before(at) == "the"));
    word.is_some_and(|word| matches!(scan.lower(word), "from" | "by"))
}

/// `Eastmere Infirmary`, `St Mary's Hospital`, `Eastmere General hospital`.
pub(super) fn before_word(scan: &Scan<'_>, at: usize) -> Option<(Range<usize>, Confidence)> {
    if !scan.capitalised(at) || scan.glued_mark(at, "-") {
        return None;
    }
    let mut word = at;
    let mut named = false;
    let mut unknown = false;
    while word < at + LONGEST {
        let lower = scan.lower(word);
        let is_last = scan.is(word, Class::Hospital)
            && (scan.capitalised(word) || matches!(lower, "hospital" | "infirmary" | "clinic"));
        let is_medical = lower == "medical"
            && matches!(scan.lower(word + 1), "center" | "centre")
            && scan.capitalised(word);
        if (is_last || is_medical) && word > at {
            let mut end = if is_medical { word + 2 } else { word + 1 };
            while matches!(scan.lower(end), "trust" | "foundation" | "nhs")
                && (scan.capitalised(end) || scan.get(end)?.is_in_capitals())
            {
                end += 1;
            }
            let capital = scan.capitalised(word) || !scan.get(at)?.opens || unknown;
            let sure = if unknown || scan.capitalised(word) { High } else { Low };
            return (named && capital).then_some((at..end, sure));
        }
        let token = scan.get(word)?;
        let joins = matches!(token.text, "." | "'s" | "’s" | "-" | "’" | "'" | "&" | "s") && token.glued
            || matches!(lower, "s" | "of" | "the" | "de" | "la" | "and") && word > at;
        if token.is_capitalised() {
            let particular = !token.is(Class::GenericHospital) && !token.is(Class::Trade);
            named |= particular;
            unknown |= particular && !token.is(Class::Common);
        } else if !joins && token.text != "NHS" {
            return None;
        }
        word += 1;
    }
    None
}

/// `University Hospital of Eastmere`, `Klinikum Eastmere`, `CHU de Nantes`, `Ospedale San Raffaele`.
pub(super) fn after_word(scan: &Scan<'_>, at: usize) -> Option<usize> {
    let generic = scan.capitalised(at) && scan.is(at, Class::GenericHospital);
    let mut head = at + usize::from(generic);
    (scan.is(head, Class::HospitalBefore)
        && (scan.capitalised(head)
            || scan.get(head).is_some_and(|token| token.is_in_capitals() && token.text.len() <= 4)))
    .then_some(())?;
    // `Hospital Universitario La Paz`, `Hospital Clínico`
    while scan.capitalised(head + 1) && scan.is(head + 1, Class::GenericHospital) {
        head += 1;
    }
    let mut name = head + 1;
    while matches!(
        scan.lower(name),
        "of" | "de" | "di" | "du" | "della" | "del" | "do" | "da" | "in" | "the" | "im" | "am" | "św" | "."
    ) {
        name += 1;
    }
    let particular = |at: usize| scan.capitalised(at) && !scan.is(at, Class::Trade);
    if !particular(name)
        || (scan.is(name, Class::Common) && !matches!(scan.lower_before(name), "of" | "de"))
            && scan.lower(at) == "hospital"
            && scan.get(at)?.opens
    {
        return None;
    }
    let mut end = name + 1;
    while end < name + 5
        && (particular(end)
            || scan.glued_mark(end, "-") && scan.capitalised(end + 1)
            || matches!(scan.lower(end), "de" | "la" | "w" | "im" | "in") && scan.capitalised(end + 1))
    {
        end += 1;
    }
    Some(end)
}

/// `at St Mary's`: a saint after a word for a place.
pub(super) fn saint(scan: &Scan<'_>, at: usize) -> Option<(usize, Confidence)> {
    let saint = matches!(scan.get(at)?.text, "St" | "Saint" | "Sankt" | "Sainte");
    let moved = matches!(scan.lower_before(at), "from" | "at" | "to" | "in" | "near");
    let name = at + 1 + usize::from(scan.glued_mark(at + 1, "."));
    let named = scan.capitalised(name) && !scan.is(name, Class::Trade) && scan.is_word(name);
    let mut end = name + 1;
    if matches!(scan.lower(end), "'" | "’") && scan.glued(end) {
        end += if scan.lower(end + 1) == "s" && scan.glued(end + 1) { 2 } else { 1 };
    }
    (saint && moved && named).then_some((end, if end > name + 1 { High } else { Low }))
}
