//! The words of an entry once its clock is gone.

use super::super::{Kind, suspect};
use super::chain::Chain;
use super::entry::{Entry, Piece};
use super::mark::{Mark, Stands};
use super::{LogNote, LogRow};
use crate::quantity::{Certainty, Offset};

/// How far a time may be off that the log calls about, in minutes (our own choice).
const ABOUT: Certainty = Certainty::Within(5);

pub(super) fn row(entry: &Entry, chain: &Chain, index: usize, zero: i64) -> LogRow {
    let moment = chain.moments[index];
    let mut notes = chain.notes[index].clone();
    let seconds = moment.map(|moment| moment - zero);
    let at = seconds.and_then(|seconds| Offset::from_seconds(seconds).ok());
    match seconds {
        Some(_) if at.is_none() => notes.push(LogNote::TooFar),
        Some(seconds) if seconds.abs() > super::chain::DAY => notes.push(LogNote::OverADay),
        _ => {}
    }
    if entry.inside || entry.lead.as_ref().is_some_and(|lead| lead.stands == Stands::Inside) {
        notes.push(LogNote::TimeInside);
    }
    let (words, dates_left) = written(entry, chain, moment, zero);
    let (words, more) = without_dates(&words);
    if dates_left || more {
        notes.push(LogNote::DateTakenOut);
    }
    let words = tidy(&words);
    if words.is_empty() {
        notes.push(LogNote::NoWords);
    }
    let about = entry.lead.as_ref().is_some_and(|lead| lead.about);
    LogRow { line: entry.line, at, sure: if about { ABOUT } else { Certainty::Exact }, words, notes }
}

/// The words with offsets and days in the place of times and dates, and whether a date could not be
/// placed.
fn written(entry: &Entry, chain: &Chain, moment: Option<i64>, zero: i64) -> (String, bool) {
    let (mut text, mut unplaced) = (String::new(), false);
    // `14:05–14:20 occluded` has its second time right at the start.
    let mut opens = entry.lead.as_ref().is_some_and(|lead| lead.stands == Stands::First);
    for piece in &entry.pieces {
        match piece {
            Piece::Words(words) => text.push_str(words),
            Piece::Time(mark) => {
                if opens && matches!(text.trim(), "-" | "–" | "—" | "to" | "until" | "till") {
                    text = "until ".to_owned();
                }
                let (said, known) = in_words(mark, chain, moment, zero);
                text.push_str(&said);
                unplaced |= !known;
            }
        }
        opens &= !text.chars().any(char::is_alphanumeric) || matches!(text.trim(), "to" | "until" | "till");
    }
    (text, unplaced)
}

/// A time or a date as it may stand in words, and whether it could be placed.
fn in_words(mark: &Mark, chain: &Chain, moment: Option<i64>, zero: i64) -> (String, bool) {
    if mark.clock.is_some() {
        return chain
            .inside(mark, moment)
            .map_or(("[time]".to_owned(), true), |at| (offset_words(at - zero), true));
    }
    match mark.date.and_then(|date| chain.days_from(date, zero)) {
        Some(0) => ("day 0".to_owned(), true),
        Some(days) if days > 0 => (format!("day +{days}"), true),
        Some(days) => (format!("day −{}", -days), true),
        None => ("[date]".to_owned(), false),
    }
}

/// `+15 min`, `−1 h 5 min`, `+40 s`; no form that a clock shows.
fn offset_words(seconds: i64) -> String {
    if seconds == 0 {
        return "time zero".to_owned();
    }
    let total = seconds.abs();
    let parts = [(total / 3600, "h"), (total / 60 % 60, "min"), (total % 60, "s")];
    let said: Vec<String> = parts
        .iter()
        .filter(|(number, _)| *number > 0)
        .map(|(number, unit)| format!("{number} {unit}"))
        .collect();
    format!("{}{}", if seconds < 0 { '−' } else { '+' }, said.join(" "))
}

/// The words without the dates that are left in them: `the night of the 14th`.
fn without_dates(words: &str) -> (String, bool) {
    let (mut text, mut from, mut any) = (String::new(), 0, false);
    for suspicion in suspect(words).iter().filter(|suspicion| suspicion.kind == Kind::Date) {
        text.push_str(&words[from..suspicion.span.start]);
        text.push_str("[date]");
        from = suspicion.span.end;
        any = true;
    }
    text.push_str(&words[from..]);
    (text, any)
}

/// Words without what is left of columns, brackets and bullets.
fn tidy(words: &str) -> String {
    let cells: Vec<String> = words
        .split('\t')
        .map(|cell| cell.split_whitespace().collect::<Vec<_>>().join(" "))
        .filter(|cell| !cell.is_empty())
        .collect();
    let mut text = cells.join(", ");
    for empty in ["()", "( )", "[]", "[ ]", "<>"] {
        text = text.replace(empty, "");
    }
    let mut text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for (twice, once) in [(" ,", ","), (",,", ","), (";;", ";"), (",;", ";")] {
        while text.contains(twice) {
            text = text.replace(twice, once);
        }
    }
    let ends = |c: char| {
        c.is_whitespace()
            || matches!(c, ',' | ';' | ':' | '|' | '-' | '–' | '—' | '•' | '*' | '·' | '=' | '/')
    };
    let opens = |c: char| ends(c) || matches!(c, ']' | ')' | '>' | '.' | '~' | '≈' | '@');
    let trimmed = text
        .trim_start_matches(opens)
        .trim_end_matches(ends)
        .trim_end_matches(['[', '(', '<'])
        .trim_end_matches(ends);
    if trimmed.chars().any(char::is_alphanumeric) { trimmed.to_owned() } else { String::new() }
}
