//! Days, months and days of the week.

use super::kind::Confidence::{High, Low};
use super::kind::{Confidence, Kind, Suspicion};
use super::lists::{FEASTS, MONTHS, SHORT_MONTHS, WEEKDAYS};
use super::scan::{Made, Scan};

/// Words after which "March" and "May" are months and no verbs.
#[rustfmt::skip]
const BEFORE_MONTH: &[&str] = &[
    "in", "since", "last", "this", "until", "till", "by", "during", "early", "late", "mid", "of", "from", "next",
    "every", "before", "after", "between", "and", "to", "-", "–",
];

/// Words after which two numbers and a stroke are a day.
const DAY_FOLLOWS: &[&str] =
    &["on", "seen", "admitted", "discharged", "transferred", "dated", "since", "until", "born"];

pub(super) fn find(scan: &Scan<'_>) -> Vec<Suspicion> {
    let mut found = Vec::new();
    let mut at = 0;
    while at < scan.tokens.len() {
        let next = found_at(scan, at);
        if let Some((kind, end, confidence)) = next {
            found.push(suspicion(scan, kind, at..end, confidence));
        }
        at = next.map_or(at + 1, |(_, end, _)| end);
    }
    found
}

fn found_at(scan: &Scan<'_>, at: usize) -> Option<(Kind, usize, Confidence)> {
    let date = |end, confidence| (Kind::Date, end, confidence);
    three_numbers(scan, at)
        .or_else(|| month_and_year_numbers(scan, at).map(|end| (end, High)))
        .or_else(|| day_then_month(scan, at).map(|end| (end, High)))
        .or_else(|| month_then_rest(scan, at).map(|end| (end, High)))
        .or_else(|| feast(scan, at).map(|end| (end, High)))
        .or_else(|| ordinal_alone(scan, at))
        .or_else(|| day_and_month_numbers(scan, at).map(|end| (end, Low)))
        .map(|(end, confidence)| date(end, confidence))
        .or_else(|| weekday(scan, at).map(|end| (Kind::Weekday, end, Low)))
        .or_else(|| month_alone(scan, at).map(|end| (Kind::Month, end, Low)))
}

/// A date offers its year, which may stay.
fn suspicion(
    scan: &Scan<'_>,
    kind: Kind,
    tokens: std::ops::Range<usize>,
    confidence: Confidence,
) -> Suspicion {
    let year = tokens.clone().rev().find(|at| is_year(scan, *at)).map(|at| scan.lower(at));
    let mut suspicion = Suspicion::new(kind, scan.span(tokens), confidence);
    if let Some(year) = year {
        suspicion.instead = format!("the year alone ({year}), or {}", suspicion.instead);
    }
    suspicion
}

fn is_year(scan: &Scan<'_>, at: usize) -> bool {
    scan.number(at).is_some_and(|year| (1900..2100).contains(&year))
        && scan.get(at).is_some_and(|t| t.text.len() == 4)
}

/// `03/04/24`, `3.4.2024`, `2024-03-04`.
fn three_numbers(scan: &Scan<'_>, at: usize) -> Option<(usize, Confidence)> {
    let mark = scan.lower(at + 1);
    let separated = matches!(mark, "/" | "." | "-") && scan.lower(at + 3) == mark;
    if !separated || touches_more(scan, at, at + 5) || !(at + 1..at + 5).all(|token| scan.glued(token)) {
        return None;
    }
    let part = |place: usize| Some((scan.number(place)?, scan.get(place)?.text.len()));
    let ((first, first_width), (second, second_width), (third, third_width)) =
        (part(at)?, part(at + 2)?, part(at + 4)?);
    if is_year(scan, at) {
        return is_day_in_month(third, second).then_some((at + 5, High));
    }
    let day_and_month = is_day_in_month(first, second) || is_day_in_month(second, first);
    let narrow = first_width <= 2 && second_width <= 2;
    if !day_and_month || !narrow {
        return None;
    }
    match third_width {
        4 if is_year(scan, at + 4) => Some((at + 5, High)),
        // Three short numbers may be sizes, versions or grades.
        2 if mark == "/" => Some((at + 5, High)),
        2 if first_width == 2 && second_width == 2 && third < 60 => {
            Some((at + 5, if mark == "." { High } else { Low }))
        }
        _ => None,
    }
}

/// Whether a run of numbers goes on before or after what was read.
fn touches_more(scan: &Scan<'_>, start: usize, end: usize) -> bool {
    let before = scan.glued(start) && !matches!(scan.lower_before(start), "(" | "[" | "\"" | "“" | ",");
    let after = scan.glued(end)
        && (matches!(scan.lower(end), "/" | "-")
            || (scan.lower(end) == "." && scan.glued(end + 1))
            || scan.unit_at(end));
    before || after
}

fn is_day_in_month(day: u32, month: u32) -> bool {
    (1..=31).contains(&day) && (1..=12).contains(&month)
}

/// `03/2024`, `2024-03`.
fn month_and_year_numbers(scan: &Scan<'_>, at: usize) -> Option<usize> {
    let separated = matches!(scan.lower(at + 1), "/" | "-" | ".") && scan.glued(at + 1) && scan.glued(at + 2);
    if !separated || touches_more(scan, at, at + 3) {
        return None;
    }
    let two_digits = |place: usize| scan.get(place).is_some_and(|token| token.text.len() == 2);
    let month = |place: usize| scan.number(place).is_some_and(|month| (1..=12).contains(&month));
    let forwards = month(at) && is_year(scan, at + 2) && (two_digits(at) || scan.lower(at + 1) == "/");
    let backwards = is_year(scan, at) && month(at + 2) && two_digits(at + 2) && scan.lower(at + 1) != ".";
    (forwards || backwards).then_some(at + 3)
}

/// `on 12/03`: without its year it may be a pressure or a grade, so only after a word for a day.
fn day_and_month_numbers(scan: &Scan<'_>, at: usize) -> Option<usize> {
    let separated =
        scan.glued_mark(at + 1, "/") && scan.glued(at + 2) && DAY_FOLLOWS.contains(&scan.lower_before(at));
    let (first, second) = (scan.number(at)?, scan.number(at + 2)?);
    let dated = is_day_in_month(first, second) || is_day_in_month(second, first);
    // "on 10/5 micrograms": what follows is measured.
    let stands_alone = scan.get(at + 3).is_none_or(|next| next.made == Made::Mark);
    let as_in_a_form = scan.get(at + 2)?.text.len() == 2;
    let plain = (stands_alone || as_in_a_form) && !touches_more(scan, at, at + 3) && !scan.unit_at(at + 3);
    (separated && dated && plain).then_some(at + 3)
}

/// The end of a day's number: `14`, `14th`.
fn day_at(scan: &Scan<'_>, at: usize) -> Option<(usize, bool)> {
    scan.number(at).filter(|day| (1..=31).contains(day))?;
    let ordinal = scan.glued(at + 1) && matches!(scan.lower(at + 1), "st" | "nd" | "rd" | "th");
    Some((if ordinal { at + 2 } else { at + 1 }, ordinal))
}

/// The end of a month's name. The short forms and the verbs among the months need their capital.
fn month_at(scan: &Scan<'_>, at: usize) -> Option<usize> {
    let token = scan.get(at)?;
    if MONTHS.contains(&token.lower.as_str()) {
        let verb = matches!(token.lower.as_str(), "may" | "march" | "august");
        return (token.is_capitalised() || !verb).then_some(at + 1);
    }
    let short = token.is_capitalised() && SHORT_MONTHS.contains(&token.lower.as_str());
    short.then(|| if scan.glued_mark(at + 1, ".") { at + 2 } else { at + 1 })
}

/// `3 March`, `3rd of March, 2024`.
fn day_then_month(scan: &Scan<'_>, at: usize) -> Option<usize> {
    if scan.glued(at) && !matches!(scan.lower_before(at), "(" | "[" | "–" | "-") {
        return None;
    }
    let (mut month, _) = day_at(scan, at)?;
    month += usize::from(scan.lower(month) == "." && scan.glued(month));
    month += usize::from(scan.lower(month) == "of");
    let lower_verb_with_year = matches!(scan.lower(month), "march" | "may") && is_year(scan, month + 1);
    let end = month_at(scan, month).or_else(|| lower_verb_with_year.then_some(month + 1))?;
    Some(year_at(scan, end).unwrap_or(end))
}

/// `March 3rd, 2024`, `May 2023`.
fn month_then_rest(scan: &Scan<'_>, at: usize) -> Option<usize> {
    let month = month_at(scan, at)?;
    if let Some(end) = year_at(scan, month) {
        return Some(end);
    }
    let (day, ordinal) = day_at(scan, month)?;
    let year = year_at(scan, day);
    let opening_verb =
        matches!(scan.lower(at), "may" | "march") && scan.get(at).is_some_and(|token| token.opens);
    let measures = scan.unit_at(day) || (scan.glued(day) && scan.lower(day) != "," && scan.lower(day) != ".");
    let plain = ordinal || (!measures && !opening_verb);
    year.or_else(|| plain.then_some(day))
}

fn year_at(scan: &Scan<'_>, at: usize) -> Option<usize> {
    let year = at + usize::from(scan.lower(at) == ",");
    is_year(scan, year).then_some(year + 1)
}

/// `Boxing Day`, `New Year's Eve`.
fn feast(scan: &Scan<'_>, at: usize) -> Option<usize> {
    if !scan.capitalised(at) {
        return None;
    }
    let end = FEASTS.iter().find_map(|feast| scan.words_at(at, feast))?;
    // Christmas disease and its factor belong to a family, not to a day.
    (!matches!(scan.lower(end), "disease" | "factor" | "tree")).then_some(end)
}

/// `the night of the 14th`, `on the 14th`: an ordinal that no thing follows.
fn ordinal_alone(scan: &Scan<'_>, at: usize) -> Option<(usize, Confidence)> {
    let (end, ordinal) = day_at(scan, at)?;
    if !ordinal || scan.lower_before(at) != "the" {
        return None;
    }
    let counts_a_thing = scan
        .get(end)
        .is_some_and(|next| next.made == Made::Word || next.made == Made::Digits || next.text == "-");
    let before = scan.lower_before(at - 1);
    let of_a_day = before == "of"
        && matches!(
            scan.lower_before(at.saturating_sub(2)),
            "night" | "morning" | "evening" | "afternoon" | "day" | "early" | "end"
        );
    if of_a_day {
        return Some((end, High));
    }
    let on_a_day = matches!(before, "on" | "by" | "since" | "until" | "from");
    (on_a_day && (!counts_a_thing || matches!(scan.lower(end), "at" | "and" | "in" | "when" | "she" | "he")))
        .then_some((end, Low))
}

/// A single day of the week; "Thursdays" is a habit and nobody's day.
fn weekday(scan: &Scan<'_>, at: usize) -> Option<usize> {
    WEEKDAYS.contains(&scan.lower(at)).then_some(at + 1)
}

fn month_alone(scan: &Scan<'_>, at: usize) -> Option<usize> {
    let token = scan.get(at)?;
    let end = month_at(scan, at).filter(|_| MONTHS.contains(&token.lower.as_str()))?;
    let verb = matches!(token.lower.as_str(), "may" | "march");
    (!verb || (!token.opens && BEFORE_MONTH.contains(&scan.lower_before(at)))).then_some(end)
}
