//! What stands round a number and says whether it is a time of day.

use super::super::super::super::scan::{Made, Scan};

/// Words before which a number is a time of day.
pub(super) const BEFORE: [&str; 18] = [
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
pub(super) const SIZES: [&str; 36] = [
    "x", "×", "*", "%", "mm", "cm", "ml", "l", "dl", "atm", "bar", "mmhg", "u", "units", "unit", "iu", "mg",
    "mcg", "µg", "μg", "ug", "ng", "g", "kg", "fr", "french", "gy", "mgy", "cgy", "bpm", "s", "sec",
    "seconds", "min", "minutes", "ms",
];

/// Whether what stands here says that the number before it is a size, a dose or a count.
pub(super) fn sized(scan: &Scan<'_>, end: usize) -> bool {
    SIZES.contains(&scan.lower(end))
}

/// Whether a number is no part of something longer: of an offset, a fraction, a code.
pub(super) fn stands_free(scan: &Scan<'_>, at: usize) -> bool {
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

/// Whether the words round a number say that it is a length of time.
pub(super) fn is_length(scan: &Scan<'_>, at: usize, end: usize) -> bool {
    LENGTH_BEFORE.contains(&scan.lower_before(at)) || LENGTH_AFTER.contains(&scan.lower(end))
}

/// Past `h`, `hrs`, `Uhr` behind a time.
pub(super) fn behind(scan: &Scan<'_>, end: usize) -> usize {
    if matches!(scan.lower(end), "h" | "hrs" | "hours" | "uhr") { end + 1 } else { end }
}
