//! Ages above 89, which Safe Harbor groups as "90 or older".

use super::kind::Confidence::{High, Low};
use super::kind::{Confidence, Kind, Suspicion};
use super::lists::{GIVEN_NAMES, PERSONS, TITLES};
use super::scan::Scan;

/// The highest age that is taken for one.
const OLDEST: u32 = 125;

pub(super) fn find(scan: &Scan<'_>) -> Vec<Suspicion> {
    let found = (0..scan.tokens.len()).filter_map(|at| {
        let (end, confidence) = in_words(scan, at).or_else(|| in_digits(scan, at))?;
        Some(Suspicion::new(Kind::AgeAbove89, scan.span(at..end), confidence))
    });
    found.collect()
}

fn in_digits(scan: &Scan<'_>, at: usize) -> Option<(usize, Confidence)> {
    scan.number(at).filter(|age| (90..=OLDEST).contains(age) && !scan.glued(at))?;
    let end = at + 1;
    let grouped = scan.glued_mark(end, "+")
        || (scan.lower(end) == "or" || scan.lower(end) == "and")
            && matches!(scan.lower(end + 1), "older" | "above" | "over" | "more");
    if grouped {
        return None;
    }
    if let Some(end) = years_old(scan, end) {
        return Some((end, High));
    }
    let years = matches!(scan.lower(end), "years" | "yrs" | "y");
    if after_age_word(scan, at)
        && (years || !scan.unit_at(end))
        && !matches!(scan.lower(end), "%" | "/" | ".")
    {
        return Some((end + usize::from(years), High));
    }
    if after_person(scan, at) && matches!(scan.lower(end), "" | "," | "." | ")" | ";") {
        return Some((end, High));
    }
    // `91F`, `93 M`: age and sex, as notes begin.
    let sex = scan.get(end).is_some_and(|next| matches!(next.text, "F" | "M" | "f" | "m") && next.glued);
    if sex && !matches!(scan.lower(end + 1), "/" | "²") {
        return Some((end + 1, Low));
    }
    (scan.lower(end) == "years" && !matches!(scan.lower_before(at), "for" | "of" | "within" | "over" | "in"))
        .then_some((end + 1, Low))
}

/// The end of `-year-old`, `years old`, `yo`, `y/o`, `years of age`.
fn years_old(scan: &Scan<'_>, at: usize) -> Option<usize> {
    let dash = |at: usize| if matches!(scan.lower(at), "-" | "‑" | "–") { at + 1 } else { at };
    let unit = dash(at);
    match scan.lower(unit) {
        "yo" => Some(unit + 1),
        "y" if scan.lower(unit + 1) == "/" && scan.lower(unit + 2) == "o" => Some(unit + 3),
        "year" | "years" | "yr" | "yrs" | "y" => {
            let old = dash(unit + 1);
            if matches!(scan.lower(old), "old" | "o") {
                return Some(old + 1);
            }
            (scan.lower(unit + 1) == "of" && scan.lower(unit + 2) == "age").then_some(unit + 3)
        }
        _ => None,
    }
}

/// `aged 91`, `age: 91`, `age of 91`.
fn after_age_word(scan: &Scan<'_>, at: usize) -> bool {
    let mut word = at;
    for _ in 0..2 {
        match scan.lower_before(word) {
            "aged" | "age" => return true,
            ":" | "of" | "is" | "was" | "=" => word -= 1,
            _ => return false,
        }
    }
    false
}

/// `Mrs Tolland, 91,`, `a woman (91)`, `a man of 93`.
fn after_person(scan: &Scan<'_>, at: usize) -> bool {
    let Some(mark) = at.checked_sub(1).filter(|mark| matches!(scan.lower(*mark), "," | "(" | "of")) else {
        return false;
    };
    let person = PERSONS.contains(&scan.lower_before(mark));
    let named = scan.before(mark).is_some_and(|word| {
        let mut title = mark - 1;
        title -= usize::from(scan.lower_before(title) == ".");
        let titled = scan.before(title).is_some_and(|before| TITLES.contains(&before.text));
        word.is_capitalised() && (titled || GIVEN_NAMES.contains(&word.lower.as_str()))
    });
    person || named
}

/// `ninety-two-year-old`, `in her nineties`, `a nonagenarian`, `centenarian`.
fn in_words(scan: &Scan<'_>, at: usize) -> Option<(usize, Confidence)> {
    match scan.lower(at) {
        "nineties"
            if matches!(
                scan.lower_before(at),
                "her" | "his" | "their" | "the" | "early" | "mid" | "late"
            ) =>
        {
            // The decade of a century is in the same words: "in the nineties".
            let confidence = if scan.lower_before(at) == "the" { Low } else { High };
            Some((at + 1, confidence))
        }
        "nonagenarian" | "centenarian" | "nonagenarians" | "centenarians" => Some((at + 1, High)),
        "ninety" | "hundred" => {
            let one_more = || (scan.lower(at + 1) == "-").then(|| years_old(scan, at + 3)).flatten();
            years_old(scan, at + 1).or_else(one_more).map(|end| (end, High))
        }
        _ => None,
    }
}
