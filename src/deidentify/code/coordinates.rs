//! Places on the map.

use super::super::scan::Scan;

/// `51.5074, -0.1278`, `51°30′26″N 0°7′39″W`, `lat 51.50`.
pub(super) fn at(scan: &Scan<'_>, at: usize) -> Option<usize> {
    decimal_pair(scan, at).or_else(|| in_minutes(scan, at)).or_else(|| latitude(scan, at))
}

/// Two numbers of degrees with four decimals or more, which no size or pressure has.
fn decimal_pair(scan: &Scan<'_>, at: usize) -> Option<usize> {
    let end = decimal(scan, at, 90, 4)?;
    let second = end + usize::from(matches!(scan.lower(end), "," | "/" | ";"));
    decimal(scan, second, 180, 4)
}

/// The end of a number of degrees with a sign and a side of the world, if it has them.
fn decimal(scan: &Scan<'_>, at: usize, most: u32, decimals: usize) -> Option<usize> {
    let first = at + usize::from(matches!(scan.lower(at), "-" | "−" | "+"));
    scan.number(first).filter(|degrees| *degrees <= most)?;
    let fraction =
        scan.glued_mark(first + 1, ".") && scan.glued(first + 2) && scan.digits(first + 2) >= decimals;
    let mut end = fraction.then_some(first + 3)?;
    end += usize::from(scan.lower(end) == "°");
    Some(end + usize::from(is_side(scan, end)))
}

fn is_side(scan: &Scan<'_>, at: usize) -> bool {
    scan.get(at).is_some_and(|token| matches!(token.text, "N" | "S" | "E" | "W"))
}

/// Degrees with minutes and a side of the world; an angle of a view has no side.
fn in_minutes(scan: &Scan<'_>, at: usize) -> Option<usize> {
    let one = |at: usize| {
        scan.number(at).filter(|degrees| *degrees <= 180)?;
        let minute = |at: usize| matches!(scan.lower(at), "'" | "′" | "’" | "\"" | "″" | "”");
        (scan.lower(at + 1) == "°" && scan.number(at + 2)? < 60 && minute(at + 3)).then_some(())?;
        let mut end = at + 4;
        if scan.number(end).is_some_and(|seconds| seconds < 60) {
            end += 1;
            end += if scan.glued_mark(end, ".") { 2 } else { 0 };
            while minute(end) {
                end += 1;
            }
        }
        is_side(scan, end).then_some(end + 1)
    };
    let end = one(at)?;
    Some(one(end + usize::from(scan.lower(end) == ",")).unwrap_or(end))
}

fn latitude(scan: &Scan<'_>, at: usize) -> Option<usize> {
    let value = |at: usize| at + usize::from(matches!(scan.lower(at), ":" | "="));
    matches!(scan.lower(at), "lat" | "latitude").then_some(())?;
    let end = decimal(scan, value(at + 1), 90, 1)?;
    let second = end + usize::from(scan.lower(end) == ",");
    let named = matches!(scan.lower(second), "long" | "lon" | "lng" | "longitude");
    Some(named.then(|| decimal(scan, value(second + 1), 180, 1)).flatten().unwrap_or(end))
}
