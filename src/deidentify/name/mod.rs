//! Names of people, and their initials.

mod context;
mod initials;
mod put;
mod shape;
mod thing;
mod titled;
mod words;

use std::ops::Range;

use super::kind::Confidence::{High, Low};
use super::kind::{Confidence, Kind, Suspicion};
use super::lexicon::Class;
use super::scan::Scan;
use words::Words;

pub(super) fn find(scan: &Scan<'_>) -> Vec<Suspicion> {
    let words = Words::of(scan);
    let mut found = Vec::new();
    let mut at = 0;
    while at < scan.tokens.len() {
        let next = found_at(scan, &words, at);
        if let Some((kind, ref tokens, confidence)) = next {
            let start = shape::with_particles(scan, tokens.start);
            found.push(put::suspicion(scan, kind, start..tokens.end, confidence));
        }
        at = next.map_or(at + 1, |(_, tokens, _)| tokens.end.max(at + 1));
    }
    found
}

fn found_at(scan: &Scan<'_>, words: &Words<'_>, at: usize) -> Option<(Kind, Range<usize>, Confidence)> {
    let high = |tokens| (Kind::Name, tokens, High);
    titled::at(scan, at)
        .map(|end| high(at..end))
        .or_else(|| titled::before_title(scan, at).map(high))
        .or_else(|| initials::dotted(scan, at))
        .or_else(|| initials::with_name(scan, words, at).map(|end| high(at..end)))
        .or_else(|| initials::after_role(scan, at).map(|tokens| (Kind::Initials, tokens, Low)))
        .or_else(|| surname_first(scan, words, at).map(|(end, sure)| (Kind::Name, at..end, sure)))
        .or_else(|| typed_in_haste(scan, at).map(|end| (Kind::Name, at..end, Low)))
        .or_else(|| {
            let confidence = words.confidence_at(scan, at)?;
            let end = shape::name_end(scan, at);
            if thing::is_after(scan, end) && end > at + 1 {
                return None;
            }
            // A given name and what follows it is surely a name; a single unknown word may be a town.
            let town = context::is_a_place(scan, at) && !words.is_given(scan, at);
            Some(if town { (Kind::Location, at..end, Low) } else { (Kind::Name, at..end, confidence) })
        })
}

/// `MARLOW, Imogen`: as forms have it.
fn surname_first(scan: &Scan<'_>, words: &Words<'_>, at: usize) -> Option<(usize, Confidence)> {
    let surname = scan.get(at).filter(|token| token.is_in_capitals() && token.text.chars().count() >= 3)?;
    let known = [Class::Abbreviation, Class::Common, Class::Trade, Class::Eponym]
        .iter()
        .any(|class| surname.is(*class));
    let given = scan.get(at + 2).filter(|token| token.is_capitalised() || token.is_in_capitals())?;
    let named = given.is(Class::Given) || (given.is(Class::GivenOrWord) && !given.is(Class::Trade));
    let unknown =
        !given.is(Class::Common) && !shape::is_known(scan, at + 2) && !words.is_ordinary(scan, at + 2);
    let plausible = !known
        || given.is(Class::Given) && !surname.is(Class::Abbreviation)
        || (surname.is(Class::Common) && !surname.is(Class::Trade) && !surname.is(Class::Abbreviation));
    (scan.glued_mark(at + 1, ",") && plausible && (named || unknown))
        .then(|| (shape::name_end(scan, at + 2), if named { High } else { Low }))
}

/// `handed over to imogen`, `then MARLOW scrubbed`: a name in small letters or in capitals, beside an act.
fn typed_in_haste(scan: &Scan<'_>, at: usize) -> Option<usize> {
    let token = scan.get(at).filter(|token| !token.glued)?;
    let other = [
        Class::Abbreviation,
        Class::Common,
        Class::Trade,
        Class::Eponym,
        Class::Role,
        Class::Unit,
        Class::Month,
    ];
    if other.iter().any(|class| token.is(*class)) {
        return None;
    }
    let told =
        matches!(scan.lower_before(at), "to" | "by" | "with" | "asked" | "told" | "called" | "and" | "from");
    let acts = scan.is(at + 1, Class::PersonVerb);
    let small = token.is(Class::Given)
        && token.text.chars().all(char::is_lowercase)
        && token.text.chars().count() > 3;
    let capitals = token.is_in_capitals() && token.text.chars().count() > 3;
    (small && (told || acts) || capitals && acts).then_some(at + 1)
}
