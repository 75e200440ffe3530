//! The parts that times of day are made of.

use super::super::super::super::scan::{Made, Scan};

/// A whole number of so many digits, below a bound.
pub(super) fn number(
    scan: &Scan<'_>,
    at: usize,
    widths: std::ops::RangeInclusive<usize>,
    below: u32,
) -> Option<i64> {
    let token = scan.get(at).filter(|token| token.made == Made::Digits)?;
    let fits = widths.contains(&token.text.len());
    scan.number(at).filter(|number| fits && *number < below).map(i64::from)
}

/// `:05` or `.05`, touching what stands before.
pub(super) fn two_more(scan: &Scan<'_>, at: usize, mark: &str) -> Option<i64> {
    if !(scan.glued_mark(at, mark) && scan.glued(at + 1)) {
        return None;
    }
    number(scan, at + 1, 2..=2, 60)
}

/// Which half of the day was said.
#[derive(Clone, Copy)]
pub(super) enum Half {
    /// In the morning.
    Before,
    /// From noon on.
    After,
}

/// `am`, `p.m.`, and where it ends.
pub(super) fn half_at(scan: &Scan<'_>, at: usize) -> Option<(Half, usize)> {
    let half = |word: &str| match word {
        "am" | "a" => Some(Half::Before),
        "pm" | "p" => Some(Half::After),
        _ => None,
    };
    let word = scan.lower(at);
    if word.len() == 2 {
        return half(word).map(|half| (half, at + 1));
    }
    let dotted = scan.glued_mark(at + 1, ".") && scan.glued(at + 2) && scan.lower(at + 2) == "m";
    let end = if scan.glued_mark(at + 3, ".") { at + 4 } else { at + 3 };
    half(word).filter(|_| dotted).map(|half| (half, end))
}

/// `Z`, `UTC`, `+01:00`, `+0100` behind a time: minutes ahead of UTC, and where it ends.
pub(in super::super) fn zone_at(scan: &Scan<'_>, end: usize) -> (Option<i64>, usize) {
    if (scan.glued(end) && scan.lower(end) == "z") || matches!(scan.lower(end), "utc" | "gmt") {
        return (Some(0), end + 1);
    }
    let sign = match scan.lower(end) {
        "+" => 1,
        "-" | "−" => -1,
        _ => return (None, end),
    };
    if !(scan.glued(end) && scan.glued(end + 1)) {
        return (None, end);
    }
    let apart = number(scan, end + 1, 2..=2, 15).zip(two_more(scan, end + 2, ":"));
    if let Some((hours, minutes)) = apart {
        // `14:05-14:20` is a stretch of time; a zone goes in quarters of an hour.
        return if minutes % 15 == 0 && sign > 0 {
            (Some(hours * 60 + minutes), end + 4)
        } else {
            (None, end)
        };
    }
    match scan.get(end + 1).filter(|token| token.made == Made::Digits && token.text.len() == 4) {
        Some(token) if sign > 0 => {
            let number: i64 = token.text.parse().unwrap_or_default();
            (Some(sign * (number / 100 * 60 + number % 100)), end + 2)
        }
        _ => (None, end),
    }
}
