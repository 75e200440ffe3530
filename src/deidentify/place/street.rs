//! Street addresses.

use super::super::kind::Confidence::{self, High, Low};
use super::super::lexicon::Class;
use super::super::scan::Scan;
use super::number_last;

pub(super) fn at(scan: &Scan<'_>, at: usize) -> Option<(usize, Confidence)> {
    let first = house_word(scan, at).unwrap_or(at);
    number_first(scan, first)
        .or_else(|| post_office_box(scan, at).map(|end| (end, High)))
        .or_else(|| flat(scan, at))
        .or_else(|| number_last::kind_first(scan, at))
        .or_else(|| number_last::compound(scan, at).map(|end| (end, High)))
        .or_else(|| number_last::unnumbered(scan, at).map(|end| (end, Low)))
}

/// The number after `H.No.`, `House no.`.
fn house_word(scan: &Scan<'_>, at: usize) -> Option<usize> {
    if !matches!(scan.lower(at), "h" | "house") {
        return None;
    }
    scan.words_at(at, "h|house no").filter(|value| scan.digits(*value) > 0)
}

/// The end of a house's number: `22`, `22a`, `26-83`.
pub(super) fn house(scan: &Scan<'_>, at: usize) -> Option<usize> {
    (1..=5).contains(&scan.digits(at)).then_some(())?;
    let mut end = at + 1;
    let lettered = |end: usize| {
        scan.glued(end) && scan.is_word(end) && scan.get(end).is_some_and(|token| token.text.len() == 1)
    };
    end += usize::from(lettered(end));
    if matches!(scan.lower(end), "-" | "/" | "–") && scan.glued(end) && scan.digits(end + 1) > 0 {
        end += 2;
    }
    Some(end + usize::from(lettered(end)))
}

/// `22 Quarry Lane`, `8, avenue Manon Gillet`, `7631 Johnson Village Suite 690`.
fn number_first(scan: &Scan<'_>, at: usize) -> Option<(usize, Confidence)> {
    if scan.glued(at) && !matches!(scan.lower_before(at), "(" | "," | "/" | ":" | "#" | ".") {
        return None;
    }
    let mut word = house(scan, at)?;
    word += usize::from(matches!(scan.lower(word), "," | "bis" | "ter"));
    if scan.is(word, Class::StreetBefore) && !scan.is(word, Class::Trade) && !scan.get(word)?.is_in_capitals()
    {
        let end = names(scan, word + 1, 5);
        return (end > word + 1).then_some((end, High));
    }
    let first = word;
    while word < first + 5 && (scan.capitalised(word) || (word > first && is_joint(scan, word))) {
        // "2 Side Branch" and "1 Diagonal Branch" are vessels.
        let ours = scan.is(first, Class::Trade) || scan.is(first, Class::Eponym) && word == first;
        let longer = scan.capitalised(word + 1) && scan.is(word + 1, Class::Street);
        if word > first && scan.is(word, Class::Street) && !ours && !longer {
            let end = word + 1 + usize::from(scan.glued_mark(word + 1, ".") && scan.lower(word).len() <= 3);
            let sure = if scan.is(first, Class::Common) && is_weak(scan.lower(word)) { Low } else { High };
            return Some((with_flat(scan, end), sure));
        }
        word += 1;
    }
    let compound = first + 1;
    (scan.capitalised(first) && number_last::is_compound(scan.lower(first)) && !scan.glued(first))
        .then_some((compound, High))
}

/// Words that end a street and stand in other names too.
fn is_weak(word: &str) -> bool {
    matches!(
        word,
        "track"
            | "pass"
            | "passage"
            | "point"
            | "union"
            | "course"
            | "club"
            | "ring"
            | "path"
            | "bend"
            | "lock"
            | "key"
            | "close"
            | "rise"
            | "drive"
            | "way"
            | "run"
            | "place"
            | "view"
            | "station"
            | "extension"
            | "flat"
            | "common"
            | "falls"
    )
}

fn is_joint(scan: &Scan<'_>, at: usize) -> bool {
    matches!(scan.lower(at), "-" | "." | "'s" | "'" | "’" | "s" | "of" | "the")
        && (scan.glued(at) || scan.is_word(at))
}

/// The end of capitalised names and the small words between them.
pub(super) fn names(scan: &Scan<'_>, start: usize, most: usize) -> usize {
    let mut end = start;
    for at in start..start + most {
        let particle = matches!(
            scan.lower(at),
            "de" | "du"
                | "des"
                | "la"
                | "le"
                | "les"
                | "del"
                | "della"
                | "di"
                | "da"
                | "do"
                | "dos"
                | "das"
                | "d"
                | "'"
                | "’"
                | "l"
                | "-"
                | "y"
                | "e"
                | "el"
                | "św"
                | "."
        );
        if scan.capitalised(at) || (scan.digits(at) > 0 && at == start) {
            end = at + 1;
        } else if !particle {
            break;
        }
    }
    end
}

/// `Suite 690`, `Apt. 66`, `Flat 3` after a street.
pub(super) fn with_flat(scan: &Scan<'_>, end: usize) -> usize {
    let word = end + usize::from(scan.lower(end) == ",");
    if !matches!(
        scan.lower(word),
        "suite"
            | "piso"
            | "puerta"
            | "apartamento"
            | "bloque"
            | "escalera"
            | "apt"
            | "apartment"
            | "flat"
            | "unit"
            | "appartamento"
            | "interno"
            | "floor"
            | "no"
    ) {
        return end;
    }
    let value = word + 1 + usize::from(scan.glued_mark(word + 1, "."));
    if scan.digits(value) > 0 { value + 1 } else { end }
}

fn post_office_box(scan: &Scan<'_>, at: usize) -> Option<usize> {
    if scan.lower(at) != "po" && scan.lower(at) != "p" {
        return None;
    }
    let end = scan.words_at(at, "po box").or_else(|| scan.words_at(at, "p o box"))?;
    (scan.digits(end) > 0).then_some(end + 1)
}

/// `Flat 7, …`: the first line of an address.
fn flat(scan: &Scan<'_>, at: usize) -> Option<(usize, Confidence)> {
    let named = matches!(scan.lower(at), "flat" | "apartment" | "apt" | "studio") && scan.capitalised(at);
    let value = at + 1 + usize::from(scan.glued_mark(at + 1, "."));
    if !named || !(1..=4).contains(&scan.digits(value)) || scan.unit_at(value + 1) {
        return None;
    }
    let mut end = value + 1;
    end += usize::from(
        scan.glued(end) && scan.is_word(end) && scan.get(end).is_some_and(|token| token.text.len() == 1),
    );
    let next = end + usize::from(matches!(scan.lower(end), "," | "/"));
    let street = next > end && scan.capitalised(next);
    if street {
        let last = (next + 1..next + 4).take_while(|word| scan.capitalised(*word)).last();
        let last = last.filter(|word| scan.is(*word, Class::Street));
        return Some((
            self::at(scan, next).map_or_else(|| last.map_or(end, |word| word + 1), |(end, _)| end),
            High,
        ));
    }
    Some((end, Low))
}
