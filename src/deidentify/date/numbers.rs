//! Dates in digits alone.

use super::super::kind::Confidence::{self, High, Low};
use super::super::scan::{Made, Scan};
use super::is_year;

/// Words after which two numbers and a mark are a day.
#[rustfmt::skip]
const DAY_FOLLOWS: &[&str] = &[
    "on", "seen", "admitted", "discharged", "transferred", "dated", "since", "until", "born", "dob", "am", "vom", "den", "le", "el", "il",
    "dnia", "op", "em", "date", "reviewed",
];

/// Words after which three short numbers are a date and no sizes.
const DATE_FOLLOWS: &[&str] = &[
    "on",
    "dob",
    "born",
    "dated",
    "date",
    "since",
    "until",
    "from",
    "am",
    "vom",
    "le",
    ":",
    "admitted",
    "discharged",
];

/// `03/04/24`, `3.4.2024`, `2024-03-04`.
pub(super) fn three(scan: &Scan<'_>, at: usize) -> Option<(usize, Confidence)> {
    scan.number(at)?;
    let mark = scan.lower(at + 1);
    let separated = matches!(mark, "/" | "." | "-" | "‑" | "–") && scan.lower(at + 3) == mark;
    if !separated || touches_more(scan, at, at + 5) || !(at + 1..at + 5).all(|token| scan.glued(token)) {
        return None;
    }
    let part = |place: usize| Some((scan.number(place)?, scan.digits(place)));
    let ((first, first_width), (second, second_width), (third, third_width)) =
        (part(at)?, part(at + 2)?, part(at + 4)?);
    if is_year(scan, at) {
        return is_day_in_month(third, second).then_some((at + 5, High));
    }
    let day_and_month = is_day_in_month(first, second) || is_day_in_month(second, first);
    let narrow = first_width <= 2 && second_width <= 2;
    if !day_and_month || !narrow {
        return None;
    }
    match third_width {
        4 if is_year(scan, at + 4) => Some((at + 5, High)),
        // Three short numbers may be sizes, versions or grades.
        2 if mark == "/" => Some((at + 5, High)),
        2 if DATE_FOLLOWS.contains(&scan.lower_before(at)) => Some((at + 5, High)),
        2 if first_width == 2 && second_width == 2 && third < 60 => {
            Some((at + 5, if mark == "." { High } else { Low }))
        }
        _ => None,
    }
}

/// Whether a run of numbers goes on before or after what was read.
fn touches_more(scan: &Scan<'_>, start: usize, end: usize) -> bool {
    let before =
        scan.glued(start) && !matches!(scan.lower_before(start), "(" | "[" | "\"" | "“" | "," | ":" | "–");
    let after = scan.glued(end)
        && (matches!(scan.lower(end), "/" | "-")
            || (scan.lower(end) == "." && scan.glued(end + 1) && scan.digits(end + 1) > 0)
            || scan.unit_at(end));
    before || after
}

fn is_day_in_month(day: u32, month: u32) -> bool {
    (1..=31).contains(&day) && (1..=12).contains(&month)
}

/// `03/2024`, `2024-03`.
pub(super) fn month_and_year(scan: &Scan<'_>, at: usize) -> Option<usize> {
    scan.number(at)?;
    let separated = matches!(scan.lower(at + 1), "/" | "-" | ".") && scan.glued(at + 1) && scan.glued(at + 2);
    if !separated || touches_more(scan, at, at + 3) {
        return None;
    }
    let two_digits = |place: usize| scan.digits(place) == 2;
    let month = |place: usize| scan.number(place).is_some_and(|month| (1..=12).contains(&month));
    let forwards = month(at) && is_year(scan, at + 2) && (two_digits(at) || scan.lower(at + 1) == "/");
    let backwards = is_year(scan, at) && month(at + 2) && two_digits(at + 2) && scan.lower(at + 1) != ".";
    (forwards || backwards).then_some(at + 3)
}

/// `20240304`, as machines write a day.
pub(super) fn eight_digits(scan: &Scan<'_>, at: usize) -> Option<usize> {
    let text = scan.get(at).filter(|token| scan.digits(at) == 8 && !token.glued)?.text;
    let part = |range: std::ops::Range<usize>| text.get(range).and_then(|part| part.parse::<u32>().ok());
    let (year, month, day) = (part(0..4)?, part(4..6)?, part(6..8)?);
    let free = !scan.glued(at + 1) || matches!(scan.lower(at + 1), "." | "," | ")" | ";" | ":" | "t");
    ((1900..2100).contains(&year) && is_day_in_month(day, month) && free).then_some(at + 1)
}

/// `on 12/03`, `am 04.03.`: without its year it may be a pressure or a grade, so only after a word for a day.
pub(super) fn day_and_month(scan: &Scan<'_>, at: usize) -> Option<usize> {
    let (first, second) = (scan.number(at)?, scan.number(at + 2)?);
    let dotted = scan.glued_mark(at + 1, ".")
        && scan.glued_mark(at + 3, ".")
        && scan.digits(at) == 2
        && scan.digits(at + 2) == 2;
    let separated = (scan.glued_mark(at + 1, "/") || dotted)
        && scan.glued(at + 2)
        && DAY_FOLLOWS.contains(&scan.lower_before(at));
    let dated = is_day_in_month(first, second) || is_day_in_month(second, first);
    // "on 10/5 micrograms": what follows is measured.
    let stands_alone = scan.get(at + 3).is_none_or(|next| next.made == Made::Mark);
    let as_in_a_form = scan.digits(at + 2) == 2;
    let plain = (stands_alone || as_in_a_form) && !touches_more(scan, at, at + 3) && !scan.unit_at(at + 3);
    (separated && dated && plain).then_some(at + 3)
}
