//! The house's own map: wards, beds, rooms.

use super::super::kind::Confidence::{self, High, Low};
use super::super::kind::Kind;
use super::super::lexicon::Class;
use super::super::scan::Scan;
use super::Found;

/// `bed 14, Ward 7B`, `room 3`, `Elm Ward`.
pub(super) fn at(scan: &Scan<'_>, at: usize) -> Option<Found> {
    let (mut end, mut confidence) = one(scan, at)?;
    let mut ward = is_ward(scan, at, end);
    loop {
        let next = end + usize::from(matches!(scan.lower(end), "," | "on" | "of" | "in" | "/"));
        let Some((further, other)) = one(scan, next) else { break };
        ward |= is_ward(scan, next, further);
        (end, confidence) = (further, confidence.max(other).min(confidence));
    }
    let put = match scan.lower(at) {
        _ if ward => "the ward",
        "room" | "theatre" => "the room",
        "lab" | "laboratory" | "cathlab" => "the lab",
        "floor" | "level" => "the floor",
        _ => "a bed",
    };
    Some(Found { kind: Kind::Location, tokens: at..end, confidence, put: Some(put.to_owned()) })
}

fn is_ward(scan: &Scan<'_>, start: usize, end: usize) -> bool {
    (start..end).any(|at| matches!(scan.lower(at), "ward" | "station" | "wing" | "unit" | "suite"))
}

fn one(scan: &Scan<'_>, at: usize) -> Option<(usize, Confidence)> {
    numbered(scan, at).or_else(|| named_before(scan, at)).or_else(|| named_after(scan, at))
}

fn numbered(scan: &Scan<'_>, at: usize) -> Option<(usize, Confidence)> {
    let confidence = match scan.lower(at) {
        "ward" | "bed" | "bay" | "cubicle" => High,
        "room" | "theatre" | "lab" | "laboratory" | "floor" | "level" | "cathlab" | "pod" | "chair"
        | "trolley" => Low,
        "station" | "zimmer" | "chambre" | "habitación" | "stanza" | "kamer" if scan.capitalised(at) => Low,
        _ => return None,
    };
    let value = at + 1 + usize::from(matches!(scan.lower(at + 1), "no" | "number" | "#"));
    let value = value + usize::from(value > at + 1 && scan.glued_mark(value, "."));
    // `Ward B2`
    let lettered = scan.get(value).is_some_and(|token| token.is_initial())
        && scan.glued(value + 1)
        && scan.digits(value + 1) > 0;
    let number = value + usize::from(lettered);
    let width = scan.digits(number);
    if !(1..=4).contains(&width) || (scan.glued(number) && !lettered) {
        return letter_alone(scan, value, confidence);
    }
    let letter = scan.is_word(number + 1)
        && scan.glued(number + 1)
        && scan.get(number + 1).is_some_and(|token| token.text.len() == 1);
    let side = number + 1 + usize::from(letter);
    // `ward 5 West`
    let end = side
        + usize::from(
            matches!(scan.lower(side), "west" | "east" | "north" | "south") && scan.capitalised(side),
        );
    // `bed 3 min later`, `level 0.5`: a number that measures or counts.
    let counts = scan.unit_at(end) && !matches!(scan.lower(end), "in" | "or" | "of" | "d")
        || (letter && scan.unit_at(number + 1) && width > 2);
    let measures = counts
        || (scan.glued(end) && !matches!(scan.lower(end), "," | "." | ";" | ")" | ":" | "/" | "'" | "’"))
        || (scan.glued_mark(end, ".") && scan.glued(end + 1));
    let capital = matches!(scan.lower(at), "level" | "floor" | "pod" | "chair" | "trolley");
    (!measures && (!capital || scan.capitalised(at))).then_some((end, confidence))
}

/// `Ward B`, `Bay C`: with a capital on both, and no sentence after it.
fn letter_alone(scan: &Scan<'_>, at: usize, confidence: Confidence) -> Option<(usize, Confidence)> {
    let letter = scan.get(at).is_some_and(|token| token.is_initial() && token.text != "I" && !token.glued);
    let house = matches!(scan.lower_before(at), "ward" | "bay") && scan.capitalised(at.checked_sub(1)?);
    (letter && house).then_some((at + 1, confidence))
}

/// Whether a capitalised word can be the name of a ward.
fn can_name(scan: &Scan<'_>, at: usize) -> bool {
    scan.get(at).is_some_and(|token| {
        token.is_capitalised()
            && ![Class::GenericWard, Class::AfterWard, Class::Trade, Class::Weekday, Class::Role]
                .iter()
                .any(|class| token.is(*class))
    })
}

/// `Elm Ward`, `to Beech ward`, `the Quenby Unit`.
fn named_before(scan: &Scan<'_>, at: usize) -> Option<(usize, Confidence)> {
    (can_name(scan, at) && !scan.glued(at)).then_some(())?;
    let moved = matches!(scan.lower_before(at), "to" | "on" | "from" | "in" | "at" | "onto" | "the");
    let word = if can_name(scan, at + 1) && !scan.glued(at + 1) { at + 2 } else { at + 1 };
    let capital = scan.capitalised(word);
    match scan.lower(word) {
        "ward" if capital || (moved && !scan.is(at, Class::Common)) => {
            Some((word + 1, if moved || !scan.is(at, Class::Common) { High } else { Low }))
        }
        "ward" if moved => Some((word + 1, Low)),
        "unit" | "suite" | "wing" | "pavilion"
            if capital && !scan.is(at, Class::Common) && !scan.is(at, Class::Eponym) =>
        {
            Some((word + 1, Low))
        }
        _ => None,
    }
}

/// `Ward Beech`, which no heading is: a small word or a mark follows.
fn named_after(scan: &Scan<'_>, at: usize) -> Option<(usize, Confidence)> {
    let named =
        scan.lower(at) == "ward" && scan.capitalised(at) && can_name(scan, at + 1) && !scan.glued(at + 1);
    let heading = scan.capitalised(at + 2)
        || scan.is(at + 1, Class::Common) && scan.get(at).is_some_and(|token| token.opens);
    (named && !heading).then_some((at + 2, High))
}
