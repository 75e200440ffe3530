//! Days, months and days of the week.

mod feast;
mod numbers;
mod put;
mod written;

use super::kind::Confidence::{High, Low};
use super::kind::{Confidence, Kind, Suspicion};
use super::lexicon::Class;
use super::scan::Scan;

/// Words after which "March" and "May" are months and no verbs.
#[rustfmt::skip]
const BEFORE_MONTH: &[&str] = &[
    "in", "since", "last", "this", "until", "till", "by", "during", "early", "late", "mid", "of", "from", "next",
    "every", "before", "after", "between", "and", "to", "-", "–",
];

pub(super) fn find(scan: &Scan<'_>) -> Vec<Suspicion> {
    let mut found = Vec::new();
    let mut at = 0;
    while at < scan.tokens.len() {
        let next = found_at(scan, at);
        if let Some((kind, end, confidence)) = next {
            found.push(put::suspicion(scan, kind, at..end, confidence));
        }
        at = next.map_or(at + 1, |(_, end, _)| end);
    }
    found
}

fn found_at(scan: &Scan<'_>, at: usize) -> Option<(Kind, usize, Confidence)> {
    date(scan, at)
        .map(|(end, confidence)| (Kind::Date, end, confidence))
        .or_else(|| weekday(scan, at))
        .or_else(|| month_alone(scan, at).map(|end| (Kind::Month, end, Low)))
}

fn date(scan: &Scan<'_>, at: usize) -> Option<(usize, Confidence)> {
    numbers::three(scan, at)
        .or_else(|| numbers::month_and_year(scan, at).map(|end| (end, High)))
        .or_else(|| numbers::eight_digits(scan, at).map(|end| (end, Low)))
        .or_else(|| written::day_then_month(scan, at).map(|end| (end, High)))
        .or_else(|| written::month_then_rest(scan, at).map(|end| (end, High)))
        .or_else(|| feast::feast(scan, at).map(|end| (end, High)))
        .or_else(|| written::ordinal_alone(scan, at))
        .or_else(|| numbers::day_and_month(scan, at).map(|end| (end, Low)))
}

fn is_year(scan: &Scan<'_>, at: usize) -> bool {
    scan.digits(at) == 4 && scan.number(at).is_some_and(|year| (1900..2100).contains(&year))
}

/// A single day of the week, with the date that follows; "Thursdays" is a habit and nobody's day.
fn weekday(scan: &Scan<'_>, at: usize) -> Option<(Kind, usize, Confidence)> {
    if let Some(end) = short_weekday(scan, at) {
        return Some((Kind::Weekday, end, Low));
    }
    scan.is(at, Class::Weekday).then_some(())?;
    // `sol` and `mar` are words; days of the week of other languages are longer.
    let next = at + 1 + usize::from(matches!(scan.lower(at + 1), "," | "." | "the"));
    let dated = date(scan, next)
        .filter(|_| scan.digits(next) > 0 || scan.is(next, Class::Month) || scan.lower(at + 1) == "the");
    // `Friday the 13th`, whose article belongs to the ordinal.
    let dated = dated
        .or_else(|| (scan.lower(at + 1) == "the").then(|| written::ordinal_alone(scan, at + 1)).flatten());
    Some(match dated {
        Some((end, _)) => (Kind::Date, end, High),
        None => (Kind::Weekday, at + 1, Low),
    })
}

fn month_alone(scan: &Scan<'_>, at: usize) -> Option<usize> {
    let token = scan.get(at)?;
    if !token.is(Class::Month) {
        // `im März`, `en mars`, `w marcu`: a month in another language after its own "in".
        let foreign =
            token.is(Class::ForeignMonth) && matches!(scan.lower_before(at), "im" | "en" | "em" | "w" | "i");
        return foreign.then_some(at + 1);
    }
    let end = written::month(scan, at)?;
    let verb = matches!(token.lower.as_str(), "may" | "march");
    (!verb || (!token.opens && BEFORE_MONTH.contains(&scan.lower_before(at)))).then_some(end)
}

/// `Fri night`, `last Tues`: short days of the week are words too, so that a word for time has to stand beside them.
fn short_weekday(scan: &Scan<'_>, at: usize) -> Option<usize> {
    let short = matches!(
        scan.lower(at),
        "mon" | "tue" | "tues" | "wed" | "weds" | "thu" | "thur" | "thurs" | "fri" | "sat" | "sun"
    );
    if !short || !scan.capitalised(at) {
        return None;
    }
    let before =
        matches!(scan.lower_before(at), "on" | "last" | "this" | "next" | "since" | "until" | "every" | "by");
    let after = matches!(scan.lower(at + 1), "night" | "morning" | "afternoon" | "evening" | "am" | "pm");
    (before || after).then_some(at + 1)
}
