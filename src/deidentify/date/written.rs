//! Dates with the month in words.

use super::super::kind::Confidence::{self, High, Low};
use super::super::lexicon::Class;
use super::super::scan::Scan;
use super::is_year;

/// The end of a day's number: `14`, `14th`, `1er`, `3º`.
fn day(scan: &Scan<'_>, at: usize) -> Option<(usize, bool)> {
    scan.number(at).filter(|day| (1..=31).contains(day))?;
    let ordinal =
        scan.glued(at + 1) && matches!(scan.lower(at + 1), "st" | "nd" | "rd" | "th" | "er" | "º" | "e");
    Some((if ordinal { at + 2 } else { at + 1 }, ordinal))
}

/// The end of a month's name. The short forms and the verbs among the months need their capital.
pub(super) fn month(scan: &Scan<'_>, at: usize) -> Option<usize> {
    let token = scan.get(at)?;
    if token.is(Class::Month) {
        let verb = matches!(token.lower.as_str(), "may" | "march" | "august");
        return (token.is_capitalised() || !verb || scan.glued(at)).then_some(at + 1);
    }
    let short = token.is(Class::ShortMonth) && token.is_capitalised();
    short.then(|| if scan.glued_mark(at + 1, ".") { at + 2 } else { at + 1 })
}

/// The same after a day, where a month of another language and capitals can stand too: `3 MAR`, `3. März`.
fn month_after_day(scan: &Scan<'_>, at: usize) -> Option<usize> {
    let token = scan.get(at)?;
    let foreign = token.is(Class::ForeignMonth) && !token.is(Class::Unit);
    // `3 OCT` may be three pictures; with its year it is a day.
    let short_capitals = token.is(Class::ShortMonth)
        && (token.is_in_capitals() || is_year(scan, at + 1) || joined_year(scan, at + 1).is_some());
    let sure =
        short_capitals && (scan.glued(at) || is_year(scan, at + 1) || joined_year(scan, at + 1).is_some());
    month(scan, at)
        .or_else(|| (foreign || sure || (token.is(Class::Month) && is_year(scan, at + 1))).then_some(at + 1))
}

/// `-24`, `-2024`, `2024`, touching the month: `4-Mar-24`, `03MAR2024`.
fn joined_year(scan: &Scan<'_>, at: usize) -> Option<usize> {
    let year = at + usize::from(matches!(scan.lower(at), "-" | "/" | "." | "'" | "’") && scan.glued(at));
    let wide = scan.digits(year) == 4 && is_year(scan, year);
    let short = scan.digits(year) == 2 && year > at;
    (scan.glued(year) && (wide || short)).then_some(year + 1)
}

/// `3 March`, `3rd of March, 2024`, `3 de marzo de 2024`, `4-Mar-24`.
pub(super) fn day_then_month(scan: &Scan<'_>, at: usize) -> Option<usize> {
    if scan.glued(at) && !matches!(scan.lower_before(at), "(" | "[" | "–" | "-" | "," | ":" | "\"" | "“")
    {
        return None;
    }
    let (mut name, _) = day(scan, at)?;
    name += usize::from(matches!(scan.lower(name), "." | "-" | "/" | "‑") && scan.glued(name));
    name += usize::from(matches!(scan.lower(name), "of" | "de" | "di" | "d'"));
    if let Some(end) = roman(scan, name) {
        return Some(end);
    }
    let lower_verb_with_year = matches!(scan.lower(name), "march" | "may") && is_year(scan, name + 1);
    let end = month_after_day(scan, name).or_else(|| lower_verb_with_year.then_some(name + 1))?;
    Some(year(scan, end).or_else(|| joined_year(scan, end)).unwrap_or(end))
}

/// `March 3rd, 2024`, `May 2023`, `März 2024`.
pub(super) fn month_then_rest(scan: &Scan<'_>, at: usize) -> Option<usize> {
    if scan.is(at, Class::ForeignMonth) && !scan.is(at, Class::Month) {
        return year(scan, at + 1);
    }
    if scan.is(at, Class::ShortMonth) && !scan.capitalised(at) {
        // `mar 2024`, `MAR 2024`
        return is_year(scan, at + 1).then_some(at + 2).filter(|_| !scan.glued(at));
    }
    let name = month(scan, at)?;
    if let Some(end) =
        year(scan, name).or_else(|| joined_year(scan, name).filter(|_| scan.lower(name) != "."))
    {
        return Some(end);
    }
    let (after_day, ordinal) = day(scan, name + usize::from(scan.lower(name) == "the"))?;
    let year = year(scan, after_day);
    let opening_verb =
        matches!(scan.lower(at), "may" | "march") && scan.get(at).is_some_and(|token| token.opens);
    let measures = scan.unit_at(after_day)
        || (scan.glued(after_day) && !matches!(scan.lower(after_day), "," | "." | ")" | ";" | ":"));
    let plain = ordinal || (!measures && !opening_verb);
    year.or_else(|| plain.then_some(after_day))
}

fn year(scan: &Scan<'_>, at: usize) -> Option<usize> {
    // "March '24"
    let short = matches!(scan.lower(at), "'" | "’" | "‘") && scan.digits(at + 1) == 2 && scan.glued(at + 1);
    if short {
        return Some(at + 2);
    }
    let year = at + usize::from(matches!(scan.lower(at), "," | "de" | "del" | "of"));
    is_year(scan, year).then_some(year + 1)
}

/// `3.iii.2024`: the month in Roman digits.
fn roman(scan: &Scan<'_>, at: usize) -> Option<usize> {
    const MONTHS: [&str; 12] = ["i", "ii", "iii", "iv", "v", "vi", "vii", "viii", "ix", "x", "xi", "xii"];
    let mark = scan.lower_before(at);
    let framed = matches!(mark, "." | "/" | "-") && scan.glued_mark(at + 1, mark) && scan.glued(at);
    (framed && MONTHS.contains(&scan.lower(at)) && is_year(scan, at + 2)).then_some(at + 3)
}

/// `the night of the 14th`, `on the 14th`: an ordinal that no thing follows.
pub(super) fn ordinal_alone(scan: &Scan<'_>, at: usize) -> Option<(usize, Confidence)> {
    let (end, ordinal) = (scan.lower(at) == "the").then(|| day(scan, at + 1)).flatten()?;
    ordinal.then_some(())?;
    let counts_a_thing = scan
        .get(end)
        .is_some_and(|next| scan.is_word(end) || scan.digits(end) > 0 || matches!(next.text, "-" | "‑"));
    let before = scan.lower_before(at);
    let of_a_day = before == "of"
        && at.checked_sub(2).is_some_and(|part| {
            matches!(
                scan.lower(part),
                "night" | "morning" | "evening" | "afternoon" | "day" | "early" | "end" | "evenings"
            )
        });
    if of_a_day || scan.is_before(at, Class::Weekday) {
        return Some((end, High));
    }
    let on_a_day = matches!(before, "on" | "by" | "since" | "until" | "from" | "till" | "after" | "before");
    let goes_on = matches!(
        scan.lower(end),
        "at" | "and"
            | "in"
            | "when"
            | "she"
            | "he"
            | "after"
            | "with"
            | "for"
            | "the"
            | "we"
            | "they"
            | "because"
    );
    (on_a_day && (!counts_a_thing || goes_on)).then_some((end, Low))
}
