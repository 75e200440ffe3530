//! Clock times and dates on a line, with where they stand.

mod clock;
mod date;

use std::ops::Range;

pub(super) use self::clock::Clock;
use self::clock::Rule;
pub(super) use self::date::DateText;
use super::super::scan::{Made, Scan};

/// How the lines of a log begin.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) struct Style {
    /// Some line begins `14:05` or `14h05`, so that `3.50` at the start of another is a size.
    pub(super) colons: bool,
}

/// Where on its line a time stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Stands {
    /// At the start, behind bullets at most.
    First,
    /// In a column of its own, in brackets, or at the end.
    Apart,
    /// Among the words.
    Inside,
}

/// A clock time, a date, or a date with its clock time.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Mark {
    /// Its place in the line, in bytes.
    pub(super) span: Range<usize>,
    pub(super) clock: Option<Clock>,
    pub(super) date: Option<DateText>,
    /// Minutes ahead of UTC, where the log says so.
    pub(super) zone: Option<i64>,
    pub(super) stands: Stands,
    /// The log says about.
    pub(super) about: bool,
    /// Written with a colon or an `h`.
    pub(super) plain: bool,
}

/// Words before a time that say it is an estimate.
const ABOUT: [&str; 9] = ["about", "around", "approx", "approximately", "circa", "ca", "c", "~", "≈"];

/// Words that may stand between a line's start and its time, or between a date and a time.
const JOINS: [&str; 8] = ["t", ",", "at", "-", "–", "@", "time", ":"];

/// The marks of a line in their order.
pub(super) fn marks(line: &str, style: Style) -> Vec<Mark> {
    let scan = Scan::read(line);
    let start = first_word(&scan);
    let mut found: Vec<Mark> = Vec::new();
    let mut at = 0;
    while at < scan.tokens.len() {
        match mark_at(&scan, at, start, style) {
            Some((mark, end)) => {
                found.push(mark);
                at = end;
            }
            None => at += 1,
        }
    }
    join_dates(line, found)
}

/// The mark that a text is as a whole, such as the clock time of time zero.
pub(super) fn whole(text: &str) -> Option<Mark> {
    let mut found = marks(text, Style::default());
    let only = found.pop().filter(|_| found.is_empty())?;
    let rest = |part: &str| part.chars().all(|c| !c.is_alphanumeric());
    let fits = rest(&text[..only.span.start]) && rest(&text[only.span.end..]);
    (fits && only.clock.is_some()).then_some(only)
}

/// The first token that is no bullet, no number of a list, and no word like "about".
fn first_word(scan: &Scan<'_>) -> usize {
    let mut at = 0;
    while let Some(token) = scan.get(at) {
        let numbered = token.made == Made::Digits
            && (scan.glued_mark(at + 1, ")") || scan.glued_mark(at + 1, "."))
            && !scan.glued(at + 2)
            && scan.get(at + 2).is_some_and(|next| next.made == Made::Digits);
        let bullet = token.made == Made::Mark && !matches!(token.text, "+" | "±" | "−");
        // A minus that touches its number is an offset.
        let minus = matches!(token.text, "-" | "–") && scan.glued(at + 1);
        if numbered {
            at += 2;
        } else if (bullet && !minus)
            || ABOUT.contains(&token.lower.as_str())
            || matches!(token.lower.as_str(), "time" | "at")
            || date::is_weekday(&token.lower)
        {
            at += 1;
        } else {
            break;
        }
    }
    at
}

fn mark_at(scan: &Scan<'_>, at: usize, start: usize, style: Style) -> Option<(Mark, usize)> {
    let dated = date::at(scan, at);
    // `03/03` alone is a fraction or a pressure; before a clock time it is a day.
    let clocked = |from: usize, rule: Rule| clock::at(scan, from, rule, style);
    if let Some((date, end)) = dated {
        let joined = if JOINS.contains(&scan.lower(end)) { end + 1 } else { end };
        let clock = clocked(joined, Rule::Start).or_else(|| clocked(end, Rule::Start));
        if clock.is_none() && date.needs_clock() {
            return None;
        }
        let last = clock.as_ref().map_or(end, |(_, last)| *last);
        return Some(built(scan, at..last, start, clock.map(|(clock, _)| clock), Some(date)));
    }
    let cell = begins_cell(scan, at);
    let rule = if at == start { Rule::Start } else { Rule::Cell };
    if (at == start || cell)
        && let Some((clock, end)) = clocked(at, rule)
        && (at == start || ends_cell(scan, end))
    {
        return Some(built(scan, at..end, start, Some(clock), None));
    }
    let (clock, end) = clocked(at, Rule::Inside)?;
    Some(built(scan, at..end, start, Some(clock), None))
}

fn built(
    scan: &Scan<'_>,
    tokens: Range<usize>,
    start: usize,
    clock: Option<Clock>,
    date: Option<DateText>,
) -> (Mark, usize) {
    let end = tokens.end;
    let (zone, end) = clock.map_or((None, end), |_| clock::zone_at(scan, end));
    let first = tokens.start;
    let bracket = matches!(scan.lower_before(first), "[" | "(") && matches!(scan.lower(end), "]" | ")");
    let stands = if first <= start {
        Stands::First
    } else if bracket || (begins_cell(scan, first) && ends_cell(scan, end)) || end == scan.tokens.len() {
        Stands::Apart
    } else {
        Stands::Inside
    };
    let about = ABOUT.contains(&scan.lower_before(first))
        || (scan.lower_before(first) == "." && first >= 2 && ABOUT.contains(&scan.lower(first - 2)));
    let span = scan.span(first..end);
    let plain = clock.is_some() && scan.text[span.clone()].contains([':', 'h', 'H']);
    (Mark { span, clock, date, zone, stands, about, plain }, end)
}

/// The last character before a token, and the first behind one, that is no space; a tab counts.
fn begins_cell(scan: &Scan<'_>, at: usize) -> bool {
    let Some(token) = scan.get(at) else { return false };
    let before = scan.text[..token.span.start].trim_end_matches(' ');
    before.is_empty() || before.ends_with(['\t', ',', ';', '|', '"', '['])
}

fn ends_cell(scan: &Scan<'_>, end: usize) -> bool {
    let Some(last) = end.checked_sub(1).and_then(|at| scan.get(at)) else { return false };
    let after = scan.text[last.span.end..].trim_start_matches(' ');
    after.is_empty() || after.starts_with(['\t', ',', ';', '|', '"', ']'])
}

/// A date that stands directly behind a clock time, or in the column before it, belongs to it.
fn join_dates(line: &str, found: Vec<Mark>) -> Vec<Mark> {
    let mut joined: Vec<Mark> = Vec::with_capacity(found.len());
    for mark in found {
        if let Some(last) = joined.last_mut() {
            let between = &line[last.span.end..mark.span.start];
            let touch = between.chars().all(|c| c.is_whitespace() || matches!(c, ',' | ';' | '|' | '"'));
            let other =
                last.clock.is_some() != mark.clock.is_some() && last.date.is_some() != mark.date.is_some();
            if touch && other {
                last.span.end = mark.span.end;
                last.clock = last.clock.or(mark.clock);
                last.date = last.date.take().or(mark.date);
                last.zone = last.zone.or(mark.zone);
                last.about |= mark.about;
                last.plain |= mark.plain;
                continue;
            }
        }
        joined.push(mark);
    }
    joined
}
