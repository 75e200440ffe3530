//! The forms of a calendar day.

use jiff::civil::Date;

use super::super::super::scan::{Made, Scan};

/// A day as it is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in super::super) enum DateText {
    /// Year, month and day are plain.
    Plain(Date),
    /// `03/04/2024`: day first or month first; the year may be missing.
    Numbers(i8, i8, Option<i16>),
    /// `3 March` without a year.
    Yearless { day: i8, month: i8 },
    /// It has the shape of a date and is none, such as 32/13/2024.
    None,
}

impl DateText {
    /// Whether it is a day only where a clock time follows.
    pub(super) const fn needs_clock(self) -> bool {
        matches!(self, Self::Numbers(_, _, None))
    }
}

const MONTHS: [&str; 12] =
    ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"];
const DAYS: [&str; 7] = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"];

fn month(word: &str) -> Option<i8> {
    let full = |index: usize| crate::quantity::MONTH_NAMES[index].to_lowercase();
    let at = (0..12)
        .find(|&index| word == MONTHS[index] || word == full(index) || (index == 8 && word == "sept"))?;
    i8::try_from(at + 1).ok()
}

/// `mon`, `monday`.
pub(super) fn is_weekday(word: &str) -> bool {
    word.len() >= 3
        && DAYS.iter().any(|day| word.starts_with(day))
        && (word.len() == 3 || word.ends_with("day"))
}

fn digits(scan: &Scan<'_>, at: usize, widths: std::ops::RangeInclusive<usize>) -> Option<i16> {
    let token = scan.get(at).filter(|token| token.made == Made::Digits)?;
    widths.contains(&token.text.len()).then(|| token.text.parse().ok()).flatten()
}

/// The date that begins at a token, and where it ends; a weekday before it belongs to it.
pub(super) fn at(scan: &Scan<'_>, at: usize) -> Option<(DateText, usize)> {
    if is_weekday(scan.lower(at)) {
        let next = if matches!(scan.lower(at + 1), "," | ".") { at + 2 } else { at + 1 };
        return bare(scan, next);
    }
    bare(scan, at)
}

fn bare(scan: &Scan<'_>, at: usize) -> Option<(DateText, usize)> {
    let opened = matches!(scan.lower_before(at), "(" | "[" | "\"" | "," | ";" | "|" | "");
    if scan.glued(at) && !opened {
        return None;
    }
    numbers(scan, at).or_else(|| day_first(scan, at)).or_else(|| month_first(scan, at))
}

fn two_digit_year(year: i16) -> i16 {
    if year < 100 { 2000 + year } else { year }
}

/// `2024-03-04`, `03/04/2024`, `3.4.24`, `03/04`.
fn numbers(scan: &Scan<'_>, at: usize) -> Option<(DateText, usize)> {
    let mark = scan.lower(at + 1);
    let separated = |at: usize| scan.glued_mark(at, mark) && scan.glued(at + 1);
    if !matches!(mark, "/" | "-" | ".") || !separated(at + 1) {
        return None;
    }
    if let Some(year) = digits(scan, at, 4..=4) {
        let (month, day) =
            (digits(scan, at + 2, 1..=2)?, digits(scan, at + 4, 1..=2).filter(|_| separated(at + 3))?);
        let date = i8::try_from(month).ok().zip(i8::try_from(day).ok());
        let date = date.and_then(|(month, day)| Date::new(year, month, day).ok());
        return Some((date.map_or(DateText::None, DateText::Plain), at + 5));
    }
    let (first, second) = (digits(scan, at, 1..=2)?, digits(scan, at + 2, 1..=2)?);
    let (first, second) = (i8::try_from(first).ok()?, i8::try_from(second).ok()?);
    let fits = |day: i8, month: i8| (1..=31).contains(&day) && (1..=12).contains(&month);
    let plausible = fits(first, second) || fits(second, first);
    let year = digits(scan, at + 4, 2..=4).filter(|year| separated(at + 3) && (*year < 100 || *year > 1900));
    match year {
        Some(year) if plausible => {
            Some((DateText::Numbers(first, second, Some(two_digit_year(year))), at + 5))
        }
        // With a whole year it can be nothing else.
        Some(year) if year > 1900 => Some((DateText::None, at + 5)),
        Some(_) => None,
        None if plausible && mark != "-" && !separated(at + 3) => {
            // `03/03 14:05`, `3.3. 14:05`
            let end = if mark == "." && scan.glued_mark(at + 3, ".") { at + 4 } else { at + 3 };
            (mark == "/" || end == at + 4).then_some((DateText::Numbers(first, second, None), end))
        }
        None => None,
    }
}

/// `3 March 2024`, `3rd Mar`, `03-Mar-2024`.
fn day_first(scan: &Scan<'_>, at: usize) -> Option<(DateText, usize)> {
    let day = i8::try_from(digits(scan, at, 1..=2)?).ok()?;
    let mut next = at + 1;
    if scan.glued(next) && matches!(scan.lower(next), "st" | "nd" | "rd" | "th" | ".") {
        next += 1;
    }
    for between in ["-", "/", "of"] {
        if scan.lower(next) == between {
            next += 1;
        }
    }
    // `2 may close` holds no day.
    let verb =
        matches!(scan.lower(next), "may" | "mar" | "march") && scan.get(next)?.text == scan.lower(next);
    let month = month(scan.lower(next)).filter(|_| !verb)?;
    with_year(scan, next + 1, day, month)
}

/// `March 3, 2024`. A small letter would be the verb: `may 3 …`.
fn month_first(scan: &Scan<'_>, at: usize) -> Option<(DateText, usize)> {
    let month = month(scan.lower(at)).filter(|_| scan.capitalised(at))?;
    let day = i8::try_from(digits(scan, at + 1, 1..=2)?).ok()?;
    let mut next = at + 2;
    if scan.glued(next) && matches!(scan.lower(next), "st" | "nd" | "rd" | "th") {
        next += 1;
    }
    // `March 14:05` is no day.
    if matches!(scan.lower(next), "mm" | "x" | "ml")
        || (scan.glued(next) && matches!(scan.lower(next), ":" | "." | "h"))
    {
        return None;
    }
    with_year(scan, next, day, month)
}

fn with_year(scan: &Scan<'_>, at: usize, day: i8, month: i8) -> Option<(DateText, usize)> {
    let year_at = if matches!(scan.lower(at), "," | "-" | "/" | ".") { at + 1 } else { at };
    // `3 Mar 1405` may be a clock time; a year of ours begins 19 or 20.
    let whole = digits(scan, year_at, 4..=4).filter(|year| (1900..2100).contains(year));
    match whole {
        Some(year) => {
            Some((Date::new(year, month, day).map_or(DateText::None, DateText::Plain), year_at + 1))
        }
        None => Some((DateText::Yearless { day, month }, at)),
    }
}
