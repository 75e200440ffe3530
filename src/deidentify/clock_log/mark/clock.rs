//! The forms of a time of day.

mod around;
mod parts;

use self::around::{BEFORE, SIZES, behind, is_length, sized, stands_free};
pub(super) use self::parts::zone_at;
use self::parts::{Half, half_at, number, two_more};
use super::super::super::scan::{Made, Scan};
use super::Style;

const HOUR: i64 = 3600;

/// A time of day as it stands in a log. It is never handed out of this folder.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in super::super) struct Clock {
    /// Seconds since midnight, as written.
    pub(in super::super) seconds: i64,
    /// The half of the day may be the other one: the hour is 1 to 12, and nothing says which.
    pub(in super::super) open: bool,
    /// It was written on a clock that counts hours to 24.
    pub(in super::super) to_24: bool,
}

/// How much is taken for a time of day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Rule {
    /// A line begins here: every form.
    Start,
    /// A column begins here: every form with two digits for the hour.
    Cell,
    /// Among words: forms that are hardly anything else.
    Inside,
}

/// The clock time that begins at a token, and where it ends.
pub(super) fn at(scan: &Scan<'_>, at: usize, rule: Rule, style: Style) -> Option<(Clock, usize)> {
    if let Some(seconds) = by_name(scan.lower(at)) {
        return (rule != Rule::Cell).then_some((Clock { seconds, open: false, to_24: false }, at + 1));
    }
    scan.get(at).filter(|token| token.made == Made::Digits)?;
    if !stands_free(scan, at) {
        return None;
    }
    let (clock, end) = colons(scan, at, rule)
        .or_else(|| hours_letter(scan, at, rule))
        .or_else(|| half_alone(scan, at))
        .or_else(|| points(scan, at, rule, style))
        .or_else(|| four_digits(scan, at, rule))?;
    Some((clock, behind(scan, end)))
}

fn by_name(word: &str) -> Option<i64> {
    match word {
        "noon" | "midday" => Some(12 * HOUR),
        "midnight" => Some(0),
        _ => None,
    }
}

/// A clock from its parts; `half` is what am or pm adds, when it was said.
fn clock(hour: i64, minute: i64, second: i64, half: Option<Half>) -> Option<Clock> {
    let (hour, open) = match half {
        None => (hour, (1..=12).contains(&hour)),
        Some(_) if hour > 12 => (hour, false),
        Some(Half::Before) => (hour % 12, false),
        Some(Half::After) => (hour % 12 + 12, false),
    };
    // 24:00 is the midnight at the end of a day.
    let whole = hour < 24 || (minute == 0 && second == 0);
    let to_24 = half.is_none() && !open;
    whole.then_some(Clock { seconds: (hour * HOUR + minute * 60 + second) % (24 * HOUR), open, to_24 })
}

/// `14:05`, `14:05:30`, `14:05:30.250`, `2:05 pm`.
fn colons(scan: &Scan<'_>, at: usize, rule: Rule) -> Option<(Clock, usize)> {
    let hour = number(scan, at, 1..=2, 25)?;
    let minute = two_more(scan, at + 1, ":")?;
    let (mut second, mut end) = (0, at + 3);
    if let Some(more) = two_more(scan, end, ":") {
        (second, end) = (more, end + 2);
        let fraction = scan.glued_mark(end, ".") || scan.glued_mark(end, ",");
        if fraction && scan.glued(end + 1) && scan.get(end + 1)?.made == Made::Digits {
            end += 2;
        }
    }
    let digits_follow =
        scan.get(end + 1).is_some_and(|token| token.made == Made::Digits) && scan.glued(end + 1);
    let goes_on = digits_follow && scan.glued(end) && matches!(scan.lower(end), ":" | "/");
    // 1:10 000 is a dilution.
    let thousands =
        |at: usize| scan.get(at).is_some_and(|token| token.made == Made::Digits && token.text == "000");
    let dilution = thousands(end) || (matches!(scan.lower(end), "," | ".") && thousands(end + 1));
    if goes_on || dilution || (scan.glued(end) && scan.get(end)?.made == Made::Digits) {
        return None;
    }
    let half = half_at(scan, end);
    let end = half.map_or(end, |(_, end)| end);
    let two = scan.get(at)?.text.len() == 2;
    let said = two || half.is_some() || BEFORE.contains(&scan.lower_before(at));
    if rule == Rule::Inside && (!said || is_length(scan, at, end)) {
        return None;
    }
    Some((clock(hour, minute, second, half.map(|(half, _)| half))?, end))
}

/// `14h05`, `14 h 05`, `14h`.
fn hours_letter(scan: &Scan<'_>, at: usize, rule: Rule) -> Option<(Clock, usize)> {
    let hour = number(scan, at, 1..=2, 24)?;
    if !matches!(scan.lower(at + 1), "h" | "uhr") {
        return None;
    }
    let two = scan.get(at)?.text.len() == 2;
    let minute = number(scan, at + 2, 2..=2, 60).filter(|_| scan.glued(at + 1) == scan.glued(at + 2));
    let end = if minute.is_some() { at + 3 } else { at + 2 };
    let spaced = !scan.glued(at + 1);
    let taken = match (rule, minute) {
        (_, Some(_)) if spaced => two && !sized(scan, end),
        (Rule::Start, Some(_)) => true,
        (Rule::Cell | Rule::Inside, Some(_)) => two || BEFORE.contains(&scan.lower_before(at)),
        // `14h` alone, or `14 Uhr`: `2 h` is a length.
        (Rule::Start, None) => two && !spaced || scan.lower(at + 1) == "uhr",
        (_, None) => {
            scan.lower(at + 1) == "uhr" || (two && matches!(scan.lower_before(at), "at" | "@" | "um"))
        }
    };
    if !taken || is_length(scan, at, end) || matches!(scan.lower(end), "after" | "before" | "after,") {
        return None;
    }
    Some((clock(hour, minute.unwrap_or(0), 0, None)?, end))
}

/// `2 pm`.
fn half_alone(scan: &Scan<'_>, at: usize) -> Option<(Clock, usize)> {
    let hour = number(scan, at, 1..=2, 13).filter(|hour| *hour > 0)?;
    let (half, end) = half_at(scan, at + 1)?;
    Some((clock(hour, 0, 0, Some(half))?, end))
}

/// `14.05`, `2.05 pm`, `14.05 Uhr`.
fn points(scan: &Scan<'_>, at: usize, rule: Rule, style: Style) -> Option<(Clock, usize)> {
    let hour = number(scan, at, 1..=2, 24)?;
    let minute = two_more(scan, at + 1, ".")?;
    let (mut second, mut end) = (0, at + 3);
    if let Some(more) = two_more(scan, end, ".") {
        (second, end) = (more, end + 2);
    }
    let half = half_at(scan, end);
    let named = half.is_some() || matches!(scan.lower(end), "uhr" | "h" | "hrs");
    let size = sized(scan, end)
        || SIZES.contains(&scan.lower_before(at))
        || (scan.glued(end)
            && !matches!(scan.lower(end), ":" | "," | ";" | ")" | "]" | "|" | "-" | "–" | "\"" | "."));
    let two = scan.get(at)?.text.len() == 2;
    let taken = named
        || match rule {
            Rule::Start => two || !style.colons,
            Rule::Cell => two,
            Rule::Inside => two && matches!(scan.lower_before(at), "at" | "@" | "um" | "until" | "till"),
        };
    if (size && !named) || !taken {
        return None;
    }
    Some((clock(hour, minute, second, half.map(|(half, _)| half))?, half.map_or(end, |(_, end)| end)))
}

/// `1405`, `1405 h`.
fn four_digits(scan: &Scan<'_>, at: usize, rule: Rule) -> Option<(Clock, usize)> {
    let token = scan.get(at).filter(|token| token.text.len() == 4)?;
    let (hour, minute): (i64, i64) = (token.text[..2].parse().ok()?, token.text[2..].parse().ok()?);
    let end = at + 1;
    let named = matches!(scan.lower(end), "h" | "hrs" | "hours" | "uhr");
    let tied = scan.glued(end)
        && !matches!(
            scan.lower(end),
            ":" | "," | ";" | ")" | "]" | "|" | "-" | "–" | "\"" | "." | "h" | "hrs" | "z"
        );
    let size = sized(scan, end);
    let taken = match rule {
        Rule::Start | Rule::Cell => true,
        Rule::Inside => named || matches!(scan.lower_before(at), "at" | "@" | "~"),
    };
    if !taken || tied || size || hour > 23 || minute > 59 {
        return None;
    }
    // Four digits are written by a clock of 24 hours.
    Some((Clock { open: false, to_24: true, ..clock(hour, minute, 0, None)? }, end))
}
