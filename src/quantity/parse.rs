//! Reading the forms in which people type a time from time zero.

/// At most forty characters of a text, for quoting it back.
pub(super) fn shorten(text: &str) -> String {
    let mut short: String = text.trim().chars().take(40).collect();
    if text.trim().chars().count() > 40 {
        short.push('…');
    }
    short
}

/// A whole number of at most so many ASCII digits.
pub(super) fn digits(text: &str, at_most: usize) -> Option<i64> {
    let fits = !text.is_empty() && text.len() <= at_most;
    (fits && text.bytes().all(|b| b.is_ascii_digit())).then(|| text.parse().ok()).flatten()
}

/// `12`, `12:30`, `1:05:00`.
pub(super) fn parse_colon_form(text: &str) -> Option<i64> {
    let parts: Vec<&str> = text.split(':').collect();
    let below_sixty = |part: &str| (part.len() == 2).then(|| digits(part, 2)).flatten().filter(|n| *n < 60);
    match parts.as_slice() {
        [minutes] => Some(digits(minutes, 5)? * 60),
        [minutes, seconds] => Some(digits(minutes, 5)? * 60 + below_sixty(seconds)?),
        [hours, minutes, seconds] => {
            Some(digits(hours, 3)? * 3600 + below_sixty(minutes)? * 60 + below_sixty(seconds)?)
        }
        _ => None,
    }
}

/// `1h05`, `1 h 5 min`, `12 min 30 s`, `45s`, `2 d`.
pub(super) fn parse_unit_form(text: &str) -> Option<i64> {
    let mut rest = text.trim();
    let mut total = 0;
    let mut last_unit = i64::MAX;
    while !rest.is_empty() {
        let end = rest.find(|c: char| !c.is_ascii_digit()).unwrap_or(rest.len());
        let number = digits(&rest[..end], 5)?;
        rest = rest[end..].trim_start();
        let (unit, length) = unit_at(rest, last_unit)?;
        // `1h90` is a slip of the finger, not two hours and a half.
        let too_many = last_unit != i64::MAX && number * unit >= last_unit;
        if unit >= last_unit || too_many {
            return None;
        }
        total += number * unit;
        last_unit = unit;
        rest = rest[length..].trim_start();
    }
    (last_unit != i64::MAX).then_some(total)
}

/// Seconds in the unit that starts the text, and its length; a bare number after `h` is minutes
/// (`1h05`), after `min` seconds.
fn unit_at(text: &str, last_unit: i64) -> Option<(i64, usize)> {
    #[rustfmt::skip]
    const UNITS: [(&str, i64); 18] = [
        ("days", 86_400), ("day", 86_400), ("d", 86_400),
        ("hours", 3600), ("hour", 3600), ("hrs", 3600), ("hr", 3600), ("h", 3600),
        ("minutes", 60), ("minute", 60), ("mins", 60), ("min", 60), ("m", 60),
        ("seconds", 1), ("second", 1), ("secs", 1), ("sec", 1), ("s", 1),
    ];
    if text.is_empty() {
        return match last_unit {
            3600 => Some((60, 0)),
            60 => Some((1, 0)),
            _ => None,
        };
    }
    UNITS
        .iter()
        .find(|(word, _)| {
            text.strip_prefix(word).is_some_and(|after| !after.starts_with(char::is_alphabetic))
        })
        .map(|(word, seconds)| (*seconds, word.len()))
}
