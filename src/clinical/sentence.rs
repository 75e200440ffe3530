//! How a finding is put into a sentence: what it is about, the result and the reason, each said once.

use std::borrow::Cow;

/// A result with its reason. `about` is what the result is about, where that has a name.
pub(super) fn decided(about: Option<&str>, headline: &str, clause: &str) -> String {
    let mut text = String::with_capacity(about.map_or(0, str::len) + headline.len() + clause.len() + 8);
    match about.map(|about| (about, Said::of(about, headline))) {
        None | Some((_, Said::InTheText)) => push_capital(&mut text, headline),
        Some((about, Said::InTheName)) => push_capital(&mut text, about),
        Some((about, Said::Partly(rest) | Said::Apart(rest))) => {
            push_capital(&mut text, about);
            text.push_str(": ");
            text.push_str(rest);
        }
    }
    text.push_str(". ");
    push_capital(&mut text, clause);
    text.push('.');
    text
}

/// What cannot be decided, with the reason in whole sentences.
pub(super) fn undecided(about: Option<&str>, name: &str, why: &str) -> String {
    const END: &str = "not decidable.";
    let mut text = String::with_capacity(about.map_or(0, str::len) + name.len() + why.len() + 24);
    match about.map(|about| (about, Said::of(about, name))) {
        None | Some((_, Said::InTheText)) => push_capital(&mut text, name),
        Some((about, Said::InTheName)) => push_capital(&mut text, about),
        // `Stent thrombosis, LAD proximal: ARC certainty not decidable.`
        Some((about, Said::Partly(rest)))
            if name.strip_suffix(rest).is_some_and(|head| head.ends_with(", ")) =>
        {
            push_capital(&mut text, about);
            text.push_str(": ");
            text.push_str(rest);
            text.push(' ');
        }
        Some((about, Said::Partly(_) | Said::Apart(_))) => {
            push_capital(&mut text, about);
            text.push_str(". ");
            push_capital(&mut text, name);
        }
    }
    if !text.ends_with(' ') {
        text.push_str(": ");
    }
    text.push_str(END);
    if !why.is_empty() {
        text.push(' ');
        text.push_str(why);
    }
    text
}

/// How far the name of a thing and what is told of it say the same.
#[derive(Debug, PartialEq, Eq)]
enum Said<'t> {
    /// The text says all that the name says: the text alone will do.
    InTheText,
    /// The name says all that the text says.
    InTheName,
    /// The name says how the text begins; the rest of the text.
    Partly(&'t str),
    /// They say different things; the whole text.
    Apart(&'t str),
}

impl<'t> Said<'t> {
    fn of(name: &str, text: &'t str) -> Self {
        if words(name).all(|word| has_word(text, word)) {
            return Self::InTheText;
        }
        let mut rest = text;
        while let Some(word) = words(rest).next().filter(|word| has_word(name, word)) {
            let start = rest.bytes().position(|byte| !is_between(byte)).unwrap_or(0);
            rest = rest[start + word.len()..]
                .trim_start_matches(|letter: char| u8::try_from(letter).is_ok_and(is_between));
        }
        match rest {
            "" => Self::InTheName,
            rest if rest.len() < text.len() => Self::Partly(rest),
            rest => Self::Apart(rest),
        }
    }
}

/// The words of a text, without what stands between them.
fn words(text: &str) -> impl Iterator<Item = &[u8]> {
    text.as_bytes().split(|byte| is_between(*byte)).filter(|word| !word.is_empty())
}

/// What stands between words. Every byte that is not of ASCII belongs to a word.
const fn is_between(byte: u8) -> bool {
    byte.is_ascii() && !byte.is_ascii_alphanumeric()
}

/// Whether a text has a word, in capitals or not.
fn has_word(text: &str, word: &[u8]) -> bool {
    let text = text.as_bytes();
    let stands_alone = |start: usize| {
        let (before, after) = (text[..start].last(), text.get(start + word.len()));
        [before, after].into_iter().flatten().all(|byte| is_between(*byte))
    };
    // Most places are ruled out by one letter.
    let first = word.first().map(u8::to_ascii_lowercase);
    text.iter().enumerate().any(|(start, byte)| {
        Some(byte.to_ascii_lowercase()) == first
            && text.get(start..start + word.len()).is_some_and(|one| is_same(one, word))
            && stands_alone(start)
    })
}

/// Whether two words are the same in small letters.
fn is_same(one: &[u8], other: &[u8]) -> bool {
    let small = |word: &[u8]| String::from_utf8_lossy(word).to_lowercase();
    one.eq_ignore_ascii_case(other) || (!one.is_ascii() && !other.is_ascii() && small(one) == small(other))
}

/// With a capital first letter, unless the word is written otherwise, as eGFR is.
pub(super) fn capital(text: &str) -> Cow<'_, str> {
    match text.chars().next() {
        Some(first) if first.is_lowercase() && !is_written_so(text) => {
            let mut with = String::with_capacity(text.len());
            push_capital(&mut with, text);
            Cow::Owned(with)
        }
        _ => Cow::Borrowed(text),
    }
}

/// Appends a text with a capital first letter.
fn push_capital(into: &mut String, text: &str) {
    match text.chars().next() {
        Some(first) if first.is_lowercase() && !is_written_so(text) => {
            if first.is_ascii() {
                into.push(first.to_ascii_uppercase());
            } else {
                into.extend(first.to_uppercase());
            }
            into.push_str(&text[first.len_utf8()..]);
        }
        _ => into.push_str(text),
    }
}

/// Whether a word begins with a small letter before a capital one, as eGFR and pH do.
fn is_written_so(text: &str) -> bool {
    text.chars().nth(1).is_some_and(char::is_uppercase)
}

#[cfg(test)]
mod tests {
    use super::{capital, decided, undecided};

    #[test]
    fn a_sentence_begins_with_a_capital_whatever_it_is_about() {
        assert_eq!(
            decided(Some("right groin"), "femoral haematoma below 5 cm", "3 cm in the groin"),
            "Right groin: femoral haematoma below 5 cm. 3 cm in the groin."
        );
        assert_eq!(
            undecided(Some("polymer-jacketed wire"), "Device complication", "Not recorded: a break."),
            "Polymer-jacketed wire. Device complication: not decidable. Not recorded: a break."
        );
        assert_eq!(decided(None, "eGFR 82.1", "by the equation"), "eGFR 82.1. By the equation.");
        assert_eq!((&*capital("eGFR"), &*capital("éclair"), &*capital("")), ("eGFR", "Éclair", ""));
    }

    #[test]
    fn a_name_is_said_once() {
        let told = |about: &str, headline: &str| decided(Some(about), headline, "it broke");
        assert_eq!(told("Stent loss", "stent loss"), "Stent loss. It broke.");
        assert_eq!(told("stent LOSS", "stent loss"), "Stent loss. It broke.");
        assert_eq!(told("Stent loss, LCx mid", "stent loss"), "Stent loss, LCx mid. It broke.");
        assert_eq!(told("device", "no device complication"), "No device complication. It broke.");
        assert_eq!(
            told("Balloon dissection, LAD mid", "dissection type D, complex"),
            "Balloon dissection, LAD mid: type D, complex. It broke."
        );
        assert_eq!(
            told("Wire fracture", "device fracture"),
            "Wire fracture: device fracture. It broke.",
            "only the beginning is left out"
        );
        assert_eq!(told("LAD", "TIMI 0"), "LAD: TIMI 0. It broke.");
        assert_eq!(told("Élan", "élan"), "Élan. It broke.");
    }

    #[test]
    fn the_name_of_a_definition_is_said_once() {
        let told = |about: &str, name: &str| undecided(Some(about), name, "");
        assert_eq!(told("LAD", "Myocardial blush"), "LAD. Myocardial blush: not decidable.");
        assert_eq!(told("Tamponade, late", "Tamponade"), "Tamponade, late: not decidable.");
        assert_eq!(
            told("Aortocoronary dissection", "Aortocoronary dissection, Dunning class"),
            "Aortocoronary dissection, Dunning class: not decidable."
        );
        assert_eq!(
            told("Stent thrombosis, LAD proximal", "Stent thrombosis, ARC certainty"),
            "Stent thrombosis, LAD proximal: ARC certainty not decidable."
        );
        assert_eq!(
            told("Access-site bleed or haematoma", "Access-site complication, VARC-3"),
            "Access-site bleed or haematoma. Access-site complication, VARC-3: not decidable.",
            "half a name is no name"
        );
        assert_eq!(
            undecided(None, "Tamponade", "Not recorded: x."),
            "Tamponade: not decidable. Not recorded: x."
        );
    }
}
