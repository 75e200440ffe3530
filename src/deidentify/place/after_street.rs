//! The towns and postcodes that follow a street.

use super::super::lexicon::Class;
use super::super::scan::Scan;
use super::postcode::{before_town, british, canadian, is_upper, with_state, zip_digits};

/// The end of the towns and postcodes that follow a street: `, North Harriet, B60 1RT`, ` 66907 Werdau`.
pub(super) fn end(scan: &Scan<'_>, street: usize) -> usize {
    let mut end = street;
    for _ in 0..4 {
        let comma = usize::from(scan.lower(end) == ",");
        let start = end + comma;
        let code = british(scan, start)
            .or_else(|| canadian(scan, start))
            .or_else(|| before_town(scan, start))
            .or_else(|| with_state(scan, start).map(|found| found.tokens.end))
            .or_else(|| {
                (comma == 1 && (4..=8).contains(&scan.digits(start)) && !scan.unit_at(start + 1))
                    .then_some(start + 1)
            });
        let code = code.or_else(|| state_and_zip(scan, start)).map(|end| after_code(scan, end));
        let Some(further) = code.or_else(|| (comma == 1).then(|| town(scan, start)).flatten()) else { break };
        end = province(scan, further);
    }
    end
}

/// `KN 12803` behind a town.
fn state_and_zip(scan: &Scan<'_>, at: usize) -> Option<usize> {
    let state =
        scan.get(at).is_some_and(|token| token.text.len() == 2 && is_upper(token.text) && scan.is_word(at));
    state.then(|| zip_digits(scan, at + 1)).flatten()
}

/// The end of the town that follows a code: `66907439 Dias`.
fn after_code(scan: &Scan<'_>, end: usize) -> usize {
    let named = |at: usize| {
        scan.get(at).is_some_and(|token| {
            token.is_capitalised() && !token.opens && !token.is(Class::Common) && !token.is(Class::Trade)
        })
    };
    let joins = |at: usize| {
        matches!(scan.lower(at), "de" | "do" | "da" | "dos" | "d" | "'" | "’" | "-" | "sur" | "la" | "le")
    };
    let mut last = end;
    let mut at = end;
    while at < end + 6 && (named(at) || (at > end && joins(at))) {
        at += 1;
        if named(at - 1) {
            last = at;
        }
    }
    last
}

/// The end of a province or state behind a town: `(PG)`, `/ SP`.
fn province(scan: &Scan<'_>, end: usize) -> usize {
    let capitals = |at: usize| {
        scan.get(at).is_some_and(|token| token.text.len() == 2 && is_upper(token.text) && scan.is_word(at))
    };
    match scan.lower(end) {
        "(" if capitals(end + 1) && scan.lower(end + 2) == ")" => end + 3,
        "/" if capitals(end + 1) => end + 2,
        _ => end,
    }
}

/// The end of a town in an address, with a number that follows it: `Kolhapur 992906`, `Solapur-087724`.
fn town(scan: &Scan<'_>, start: usize) -> Option<usize> {
    let named = |at: usize| {
        scan.get(at).is_some_and(|token| {
            token.is_capitalised()
                && ![Class::Trade, Class::Title, Class::Role, Class::Month, Class::Weekday]
                    .iter()
                    .any(|class| token.is(*class))
        })
    };
    let mut end = start;
    while end < start + 5
        && (named(end)
            || end > start
                && (matches!(
                    scan.lower(end),
                    "de" | "la" | "del" | "di" | "d" | "do" | "da" | "-" | "'" | "’" | "/"
                ) && named(end + 1)))
    {
        end += 1;
    }
    // A single word of everyday English may begin what comes next.
    if end == start || end == start + 1 && scan.is(start, Class::Common) {
        return None;
    }
    let number = end + usize::from(matches!(scan.lower(end), "-" | ","));
    let code = (4..=8).contains(&scan.digits(number)) && !scan.unit_at(number + 1);
    let state =
        scan.get(end).is_some_and(|token| token.text.len() == 2 && is_upper(token.text) && scan.is_word(end));
    let zip = end + 1;
    Some(if code {
        number + 1
    } else if state && zip_digits(scan, zip).is_some() {
        zip_digits(scan, zip)?
    } else {
        end
    })
}
