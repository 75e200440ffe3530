//! Times of day. A ratio, a length of time and an offset look alike and are left alone.

use super::kind::Confidence::Low;
use super::kind::{Kind, Suspicion};
use super::scan::{Made, Scan};

/// Words before which a single-digit hour is a time of day and no ratio.
const BEFORE: &[&str] = &["at", "from", "until", "till", "since", "before", "after", "by", "around", "about"];

/// Words after which the figure was a length of time.
const LENGTH: &[&str] = &["min", "mins", "minutes", "minute", "s", "sec", "seconds", "into", "mm", "mins."];

pub(super) fn find(scan: &Scan<'_>) -> Vec<Suspicion> {
    let found = (0..scan.tokens.len()).filter_map(|at| {
        let end = with_colon(scan, at)
            .or_else(|| with_half_of_day(scan, at))
            .or_else(|| four_digits(scan, at))
            .or_else(|| abroad(scan, at))?;
        Some(Suspicion::new(Kind::ClockTime, scan.span(at..end), Low))
    });
    found.collect()
}

/// `14:05`, `14:05:30`, `at 9:05`.
fn with_colon(scan: &Scan<'_>, at: usize) -> Option<usize> {
    let hour = scan.number(at).filter(|hour| *hour < 24)?;
    let width = scan.get(at)?.text.len();
    let mut end = minutes_at(scan, at + 1)?;
    end = minutes_at(scan, end).unwrap_or(end);
    let before = scan.lower_before(at);
    // `2024-03-04T14:05` touches its date; any other mark or digit before makes it something else.
    let follows_date = scan.glued(at) && before == "t";
    let stands_free = follows_date || !scan.glued(at) || matches!(before, "(" | "[" | "\"" | "“" | "@");
    let signed = matches!(before, "+" | "−" | "-" | "±");
    let goes_on = scan.glued(end) && matches!(scan.lower(end), ":" | "," | "/" | "-") && scan.glued(end + 1);
    let plain = width == 2 || BEFORE.contains(&before) || half_of_day_at(scan, end).is_some() || hour > 12;
    let measures = LENGTH.contains(&scan.lower(end));
    (stands_free && !signed && plain && !goes_on && !measures)
        .then(|| half_of_day_at(scan, end).unwrap_or(end))
}

/// The end of `:05`.
fn minutes_at(scan: &Scan<'_>, at: usize) -> Option<usize> {
    let two = scan.glued_mark(at, ":") && scan.glued(at + 1) && scan.get(at + 1)?.text.len() == 2;
    (two && scan.number(at + 1)? < 60).then_some(at + 2)
}

/// `2 pm`, `2.30 p.m.`
fn with_half_of_day(scan: &Scan<'_>, at: usize) -> Option<usize> {
    scan.number(at).filter(|hour| (1..=12).contains(hour) && !scan.glued(at))?;
    let minutes =
        scan.glued_mark(at + 1, ".") && scan.glued(at + 2) && scan.number(at + 2).is_some_and(|m| m < 60);
    half_of_day_at(scan, if minutes { at + 3 } else { at + 1 })
}

fn half_of_day_at(scan: &Scan<'_>, at: usize) -> Option<usize> {
    if matches!(scan.lower(at), "am" | "pm") {
        // "6 AM" is a time; "10 am" before a word may be a slip, and is asked about all the same.
        return Some(at + 1);
    }
    let dotted = matches!(scan.lower(at), "a" | "p")
        && scan.glued_mark(at + 1, ".")
        && scan.glued(at + 2)
        && scan.lower(at + 2) == "m";
    dotted.then(|| if scan.glued_mark(at + 3, ".") { at + 4 } else { at + 3 })
}

/// `1405 h`, `0930 hours`: four digits with the hour in front.
fn four_digits(scan: &Scan<'_>, at: usize) -> Option<usize> {
    let token = scan.get(at).filter(|token| token.made == Made::Digits && token.text.len() == 4)?;
    let number = scan.number(at)?;
    // `at 0905`: an amount does not begin with 0.
    let early =
        token.text.starts_with('0') && BEFORE.contains(&scan.lower_before(at)) && !scan.unit_at(at + 1);
    if early && !token.glued && !scan.glued(at + 1) && number / 100 < 24 && number % 100 < 60 {
        return Some(at + 1);
    }
    let hours = matches!(scan.lower(at + 1), "h" | "hrs" | "hours");
    (hours && !token.glued && number / 100 < 24 && number % 100 < 60).then_some(at + 2)
}

/// `14h05`, `14.05 Uhr`.
fn abroad(scan: &Scan<'_>, at: usize) -> Option<usize> {
    let token = scan.get(at).filter(|token| !token.glued)?;
    (token.made == Made::Digits && scan.number(at)? < 24).then_some(())?;
    let minutes = |at: usize| {
        scan.digits(at) == 2 && scan.glued(at) && scan.number(at).is_some_and(|minutes| minutes < 60)
    };
    if scan.lower(at + 1) == "h" && scan.glued(at + 1) && minutes(at + 2) {
        return Some(at + 3);
    }
    let dotted = matches!(scan.lower(at + 1), "." | ":") && scan.glued(at + 1) && minutes(at + 2);
    let end = if dotted { at + 3 } else { at + 1 };
    (scan.lower(end) == "uhr").then_some(end + 1)
}
