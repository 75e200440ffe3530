//! Suspects identifiers in free text, while it is typed and before a case is shown.
//!
//! The kinds follow Safe Harbor (45 CFR 164.514(b)(2)). A suspicion is a question to the writer: it
//! knows forms and the words beside them, and no list of the people in a department. What it passes
//! is not thereby anonymous; under the GDPR pseudonymised data stay personal, and local law decides.
//!
//! The language of the trade is left alone: TIMI 3, OM1, Judkins left 4, 3.0 × 28 mm at 14 atm.
//!
//! Each finder reads the tokens of `scan` once, with a bounded look ahead, so that the time grows
//! with the length of the text and no faster.

mod age;
mod clock;
pub mod clock_log;
mod code;
pub mod combination;
mod date;
mod fit;
mod kind;
mod lexicon;
mod lists;
mod name;
mod network;
mod number;
mod own;
mod phone;
mod place;
mod scan;
mod token;
mod zip;

#[cfg(test)]
mod tests;

pub use kind::{Confidence, Kind, Suspicion};
pub use own::{OwnDigest, OwnEntry, OwnSort, OwnWordError, OwnWords, WORDS_AT_MOST, suspect_with};

use scan::Scan;

/// What in a text may identify a person, in the order of the text. No two share a character.
#[must_use]
pub fn suspect(text: &str) -> Vec<Suspicion> {
    let scan = Scan::read(text);
    // From the form that leaves least doubt to the one that leaves most.
    let finders: [fn(&Scan<'_>) -> Vec<Suspicion>; 11] = [
        network::find,
        code::find,
        number::find,
        date::find,
        number::find_by_form,
        phone::find,
        clock::find,
        age::find,
        place::find,
        name::find,
        code::find_bare,
    ];
    let mut taken = vec![false; text.len()];
    let mut kept = Vec::new();
    for suspicion in finders.iter().flat_map(|find| find(&scan)) {
        let place = &mut taken[suspicion.span.clone()];
        if !place.contains(&true) {
            place.fill(true);
            kept.push(suspicion);
        }
    }
    kept.sort_by_key(|suspicion| suspicion.span.start);
    kept.into_iter().map(|suspicion| fit::fit(&scan, suspicion)).collect()
}
