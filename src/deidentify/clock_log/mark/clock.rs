//! The forms of a time of day.

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

/// Words before which a number is a time of day.
const BEFORE: [&str; 18] = [
    "at", "from", "until", "till", "since", "before", "after", "by", "around", "about", "to", "and", "@",
    "approx", "ca", "circa", "um", "time",
];
/// Words before which it is a length of time or a ratio.
const LENGTH_BEFORE: [&str; 9] = ["for", "over", "lasting", "lasted", "of", "x", "×", "every", "ratio"];
/// Words after which it was a length of time.
const LENGTH_AFTER: [&str; 14] = [
    "min", "mins", "minutes", "minute", "s", "sec", "seconds", "later", "into", "ago", "post", "long",
    "ratio", "dilution",
];
/// Words after which a bare number was a size, a dose or a count.
const SIZES: [&str; 36] = [
    "x", "×", "*", "%", "mm", "cm", "ml", "l", "dl", "atm", "bar", "mmhg", "u", "units", "unit", "iu", "mg",
    "mcg", "µg", "μg", "ug", "ng", "g", "kg", "fr", "french", "gy", "mgy", "cgy", "bpm", "s", "sec",
    "seconds", "min", "minutes", "ms",
];

/// Whether what stands here says that the number before it is a size, a dose or a count.
fn sized(scan: &Scan<'_>, end: usize) -> bool {
    SIZES.contains(&scan.lower(end))
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

/// Whether a number is no part of something longer: of an offset, a fraction, a code.
fn stands_free(scan: &Scan<'_>, at: usize) -> bool {
    if !scan.glued(at) {
        return !matches!(scan.lower_before(at), "+" | "−" | "±");
    }
    let before = scan.lower_before(at);
    let range = matches!(before, "-" | "–" | "—") && at >= 2 && scan.glued(at - 1);
    let range =
        range && scan.get(at - 2).is_some_and(|token| token.made == Made::Digits || token.lower == "h");
    let date = before == "t" && scan.get(at.wrapping_sub(2)).is_some_and(|token| token.made == Made::Digits);
    let opened = matches!(
        before,
        "(" | "[" | "{" | "\"" | "“" | "'" | "@" | "~" | "≈" | "," | ";" | "|" | "<" | "=" | "*" | "•" | "·"
    );
    let abbreviated = before == "." && matches!(scan.lower(at.wrapping_sub(2)), "ca" | "c" | "approx");
    let labelled =
        before == ":" && scan.get(at.wrapping_sub(2)).is_some_and(|token| token.made == Made::Word);
    range || date || opened || abbreviated || labelled
}

fn number(scan: &Scan<'_>, at: usize, widths: std::ops::RangeInclusive<usize>, below: u32) -> Option<i64> {
    let token = scan.get(at).filter(|token| token.made == Made::Digits)?;
    let fits = widths.contains(&token.text.len());
    scan.number(at).filter(|number| fits && *number < below).map(i64::from)
}

/// `:05` or `.05`, touching what stands before.
fn two_more(scan: &Scan<'_>, at: usize, mark: &str) -> Option<i64> {
    if !(scan.glued_mark(at, mark) && scan.glued(at + 1)) {
        return None;
    }
    number(scan, at + 1, 2..=2, 60)
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

#[derive(Clone, Copy)]
enum Half {
    Before,
    After,
}

/// `am`, `p.m.`, and where it ends.
fn half_at(scan: &Scan<'_>, at: usize) -> Option<(Half, usize)> {
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

/// Whether the words round a number say that it is a length of time.
fn is_length(scan: &Scan<'_>, at: usize, end: usize) -> bool {
    LENGTH_BEFORE.contains(&scan.lower_before(at)) || LENGTH_AFTER.contains(&scan.lower(end))
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

/// Past `h`, `hrs`, `Uhr` behind a time.
fn behind(scan: &Scan<'_>, end: usize) -> usize {
    if matches!(scan.lower(end), "h" | "hrs" | "hours" | "uhr") { end + 1 } else { end }
}

/// `Z`, `UTC`, `+01:00`, `+0100` behind a time: minutes ahead of UTC, and where it ends.
pub(super) fn zone_at(scan: &Scan<'_>, end: usize) -> (Option<i64>, usize) {
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
