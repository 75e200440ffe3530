//! Initials, alone and before a name.

use std::ops::Range;

use super::super::kind::Confidence::{self, High, Low};
use super::super::kind::Kind;
use super::super::lexicon::{Class, Classes};
use super::super::scan::{Made, Scan};
use super::shape::{is_known, name_end};
use super::words::Words;

/// `K.O.`, `J.R. Marlow`: dotted capitals that are no abbreviation of the trade.
pub(super) fn dotted(scan: &Scan<'_>, at: usize) -> Option<(Kind, Range<usize>, Confidence)> {
    let mut end = at;
    let mut letters = String::new();
    while scan.get(end).is_some_and(|token| token.is_initial() && (end == at || token.glued))
        && letters.len() < 12
    {
        letters.push_str(scan.get(end)?.text);
        end += 1;
        if !scan.glued_mark(end, ".") {
            break;
        }
        end += 1;
    }
    // `J. R. Marlow`: apart, when a name follows.
    let apart = letters.chars().count() == 1
        && end == at + 2
        && scan.get(end).is_some_and(|token| token.is_initial())
        && scan.glued_mark(end + 1, ".");
    if apart && scan.capitalised(end + 2) && !is_known(scan, end + 2) && !scan.glued(at) {
        return Some((Kind::Name, at..name_end(scan, end + 2), High));
    }
    let known = Classes::of(&letters.to_lowercase()).has(Class::Abbreviation);
    // `A.R.` beside an act is a person, whatever AR means.
    let acts =
        end > at + 2 && (scan.is(end, Class::PersonVerb) || matches!(scan.lower_before(at), "by" | "with"));
    let plausible = (2..=4).contains(&letters.chars().count()) && (!known || acts);
    if !plausible || scan.glued(at) && !matches!(scan.lower_before(at), "(" | "[" | "/" | ":" | "\"" | "“")
    {
        return None;
    }
    if scan.capitalised(end) && !is_known(scan, end) && !scan.glued(end) && !scan.is(end, Class::Common) {
        return Some((Kind::Name, at..name_end(scan, end), High));
    }
    Some((Kind::Initials, at..end, if known { Low } else { High }))
}

/// `seen by A. Quenby`; not `type C. Flow`, where a sentence ends.
pub(super) fn with_name(scan: &Scan<'_>, words: &Words<'_>, at: usize) -> Option<usize> {
    let initial = scan.get(at).filter(|token| token.is_initial())?;
    let name = at + 1 + usize::from(scan.glued_mark(at + 1, "."));
    let told_of = initial.opens
        || scan.is_before(at, Class::Role)
        || matches!(
            scan.lower_before(at),
            "by" | "with"
                | "from"
                | "to"
                | "and"
                | "asked"
                | "told"
                | "called"
                | ","
                | "for"
                | "informed"
                | "paged"
        );
    let dotted = name == at + 2;
    let hyphened = scan.glued(name);
    // "seen by J. Read"; at the beginning of a sentence a word of everyday English is no name.
    let surname = scan.is(name, Class::Eponym) && !scan.is(name, Class::Trade) && !initial.opens;
    let named = (surname || !words.is_ordinary(scan, name))
        && (!scan.is(name, Class::Common) || !initial.opens && scan.lower_before(at) != ",");
    (told_of && dotted && !hyphened && scan.capitalised(name) && named).then(|| name_end(scan, name))
}

/// `operator: KO`, `patient JM was`, `seen by KO`.
pub(super) fn after_role(scan: &Scan<'_>, at: usize) -> Option<Range<usize>> {
    let role = scan.is(at, Class::Role)
        || matches!(scan.lower(at), "pt" | "by" | "initials" | "signed" | "scrub" | "op" | "asst");
    if !role {
        return None;
    }
    let mut letters = at + 1;
    letters += usize::from(matches!(scan.lower(letters), ":" | "("));
    let token = scan.get(letters).filter(|token| {
        token.made == Made::Word
            && (!token.glued || scan.lower_before(letters) == "(" || scan.lower_before(letters) == ":")
    })?;
    let longest = if scan.lower(at) == "by" { 2 } else { 3 };
    let capitals =
        (2..=longest).contains(&token.text.len()) && token.text.chars().all(|c| c.is_ascii_uppercase());
    let free = scan.get(letters + 1).is_none_or(|next| next.made != Made::Digits && next.text != "-");
    (capitals && free && !token.is(Class::Abbreviation) && !token.is(Class::Unit))
        .then_some(letters..letters + 1)
}
