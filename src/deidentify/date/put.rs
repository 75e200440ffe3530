//! What can stand in the place of a day.

use std::ops::Range;

use super::super::kind::{Confidence, Kind, Suspicion};
use super::super::scan::Scan;
use super::is_year;

/// A date offers its year, which may stay.
pub(super) fn suspicion(
    scan: &Scan<'_>,
    kind: Kind,
    tokens: Range<usize>,
    confidence: Confidence,
) -> Suspicion {
    let mut suspicion = Suspicion::new(kind, scan.span(tokens.clone()), confidence);
    let year = tokens.clone().rev().find(|at| is_year(scan, *at)).map(|at| scan.lower(at));
    // `20240304` begins with its year.
    let year = year.or_else(|| scan.lower(tokens.start).get(..4).filter(|_| scan.digits(tokens.start) == 8));
    suspicion.put = match kind {
        Kind::Weekday => weekday(scan, tokens.start),
        Kind::Month => month(scan, tokens.start),
        _ if is_birth(scan, tokens.start) => {
            suspicion.instead = "the age in years, or 90 or older above 89".to_owned();
            return suspicion;
        }
        _ => Some(date(scan, &tokens, year)),
    };
    if let Some(year) = year {
        suspicion.instead = format!("the year alone ({year}), or {}", suspicion.instead);
    }
    suspicion
}

/// Whether a day of birth is told: its year would tell an age above 89.
fn is_birth(scan: &Scan<'_>, at: usize) -> bool {
    let words = at.saturating_sub(4)..at;
    words.into_iter().any(|word| {
        matches!(scan.lower(word), "dob" | "born" | "birth" | "birthday" | "geb" | "geboren" | "née" | "né")
    })
}

fn date(scan: &Scan<'_>, tokens: &Range<usize>, year: Option<&str>) -> String {
    let digits = tokens.clone().filter(|at| scan.digits(*at) > 0).count();
    let month_and_year =
        year.is_some() && digits == if tokens.clone().any(|at| scan.is_word(at)) { 1 } else { 2 };
    let named = digits == 0;
    match year {
        Some(year) if month_and_year => year.to_owned(),
        // "on a day in 2024", "since a day in 2024"
        Some(year) => format!("a day in {year}"),
        None if named => "a holiday".to_owned(),
        None => "that day".to_owned(),
    }
}

/// "on Friday" becomes "on a weekday", "Sunday morning" "a weekend morning", "a Friday" "a weekday".
fn weekday(scan: &Scan<'_>, at: usize) -> Option<String> {
    let weekend = ["sat", "sun", "sam", "son", "dim", "dom", "sáb", "sab", "zat", "zon", "lör", "sön"]
        .iter()
        .any(|first| scan.lower(at).starts_with(first));
    let part = ["morning", "afternoon", "evening", "night", "lunchtime"].contains(&scan.lower(at + 1));
    Some(match (weekend, part) {
        (true, true) => "a weekend".to_owned(),
        (true, false) => "a weekend day".to_owned(),
        (false, _) => "a weekday".to_owned(),
    })
}

/// "in March" becomes "in that month"; "last March" is left to the writer.
fn month(scan: &Scan<'_>, at: usize) -> Option<String> {
    let plain = matches!(
        scan.lower_before(at),
        "in" | "since" | "until" | "till" | "by" | "during" | "from" | "before" | "after" | "of"
    );
    plain.then(|| "that month".to_owned())
}
