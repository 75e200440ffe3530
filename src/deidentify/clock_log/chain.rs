//! The times of a log on one line of seconds, each read after the one before.

mod calendar;

use self::calendar::{Calendar, calendar};
use super::entry::{Entry, Piece};
use super::mark::{DateText, Mark, whole};
use super::{LogError, LogNote, TimeZero};

pub(super) const DAY: i64 = 24 * 3600;
const HALF: i64 = DAY / 2;

/// The entries of a log on one line, in seconds from the midnight before its first time.
#[derive(Debug)]
pub(super) struct Chain {
    /// For each entry; `None` before the first time of the log.
    pub(super) moments: Vec<Option<i64>>,
    /// What there was to say about each.
    pub(super) notes: Vec<Vec<LogNote>>,
    calendar: Calendar,
    /// No time shows that the log counts hours to 24.
    open: bool,
}

fn all_marks(entries: &[Entry]) -> impl Iterator<Item = &Mark> {
    entries.iter().flat_map(|entry| {
        let inner = entry.pieces.iter().filter_map(|piece| match piece {
            Piece::Time(mark) => Some(mark),
            Piece::Words(_) => None,
        });
        entry.heading.iter().chain(entry.lead.iter()).chain(inner)
    })
}

impl Chain {
    pub(super) fn of(entries: &[Entry]) -> Self {
        let calendar = calendar(entries);
        // One hour past noon, and the whole log counts to 24.
        let open = !all_marks(entries).filter_map(|mark| mark.clock).any(|clock| clock.to_24);
        let mut chain = Self { moments: Vec::new(), notes: Vec::new(), calendar, open };
        let mut last: Option<i64> = None;
        let mut heading: Option<DateText> = None;
        for entry in entries {
            if let Some(mark) = &entry.heading {
                heading = mark.date;
            }
            let mut notes = Vec::new();
            let moment = entry.lead.as_ref().map(|mark| {
                let date = mark.date.or_else(|| heading.take());
                chain.next(mark, date, last, &mut notes)
            });
            last = moment.or(last);
            if moment.is_none() {
                notes.push(LogNote::NoTime);
            }
            chain.moments.push(moment);
            chain.notes.push(notes);
        }
        chain
    }

    /// The moment of the next entry.
    fn next(
        &mut self,
        mark: &Mark,
        date: Option<DateText>,
        last: Option<i64>,
        notes: &mut Vec<LogNote>,
    ) -> i64 {
        let Some(clock) = mark.clock else { return last.unwrap_or(0) };
        let seconds = self.calendar.seconds(mark, clock);
        let by_clock = match last {
            None => (seconds, None),
            Some(last) => step(last, seconds, clock.open && self.open),
        };
        let Some(date) = date else {
            notes.extend(by_clock.1);
            return by_clock.0;
        };
        let near = by_clock.0.div_euclid(DAY);
        if self.calendar.anchor.is_none() {
            // The days before this one were counted by the clock alone.
            self.calendar.anchor = self.calendar.day(date).map(|day| day - near);
        }
        let Some(day) = self.calendar.placed(date, near) else {
            notes.push(LogNote::DateDoesNotFit);
            return by_clock.0;
        };
        let plain = day * DAY + seconds;
        let Some(last) = last else { return plain };
        let later = plain + HALF;
        // A clock of twelve hours on one day: the later half where the earlier would run backwards.
        let half = clock.open && self.open && plain < last && later.div_euclid(DAY) == day;
        let moment = if half { later } else { plain };
        if half {
            notes.push(LogNote::TwelveHours);
        }
        if moment < last {
            notes.push(if last - moment < HALF { LogNote::Backwards } else { LogNote::DateDoesNotFit });
        } else if moment - last > DAY {
            notes.push(LogNote::DateDoesNotFit);
        } else if moment.div_euclid(DAY) > last.div_euclid(DAY) {
            notes.push(LogNote::Midnight);
        }
        moment
    }

    /// Time zero on the line of the log.
    pub(super) fn zero(&self, entries: &[Entry], zero: &TimeZero) -> Result<i64, LogError> {
        let text = match zero {
            TimeZero::Line(number) => {
                let at = entries.iter().rposition(|entry| entry.line <= *number);
                let at = at.filter(|&at| entries[at].line == *number).ok_or(LogError::ZeroLine)?;
                // The first entry of that line.
                let first = entries.iter().position(|entry| entry.line == *number).unwrap_or(at);
                return self.moments[first].ok_or(LogError::ZeroLine);
            }
            TimeZero::Clock(text) => text,
        };
        let mark = whole(text).ok_or(LogError::ZeroUnread)?;
        let clock = mark.clock.ok_or(LogError::ZeroUnread)?;
        let held: Vec<i64> = self.moments.iter().copied().flatten().collect();
        let (first, last) = (*held.iter().min().unwrap_or(&0), *held.iter().max().unwrap_or(&0));
        let seconds = self.calendar.seconds(&mark, clock);
        if let Some(day) = mark.date.and_then(|date| self.calendar.placed(date, first.div_euclid(DAY))) {
            return Ok(day * DAY + seconds);
        }
        let days = first.div_euclid(DAY) - 1..=last.div_euclid(DAY) + 1;
        let near = |seconds: i64| {
            let away = |at: i64| (first - at).max(at - last).max(0);
            days.clone().map(|day| day * DAY + seconds).min_by_key(|&at| (!held.contains(&at), away(at), at))
        };
        let plain = near(seconds).unwrap_or(seconds);
        let other = near((seconds + HALF).rem_euclid(DAY)).unwrap_or(seconds);
        let inside = |at: i64| (first..=last).contains(&at);
        if clock.open
            && !held.contains(&plain)
            && (held.contains(&other) || (inside(other) && !inside(plain)))
        {
            // The hour as typed is not in the log; half a day later it is.
            return if self.open { Ok(other) } else { Err(LogError::ZeroHalf) };
        }
        Ok(plain)
    }

    /// The moment of a time among the words of an entry: the nearest to the entry's own.
    pub(super) fn inside(&self, mark: &Mark, entry: Option<i64>) -> Option<i64> {
        let clock = mark.clock?;
        let near = entry.or_else(|| self.moments.iter().copied().flatten().next())?;
        let seconds = self.calendar.seconds(mark, clock);
        if let Some(day) = mark.date.and_then(|date| self.calendar.placed(date, near.div_euclid(DAY))) {
            return Some(day * DAY + seconds);
        }
        let halves = if clock.open && self.open { 2 } else { 1 };
        let day = near.div_euclid(DAY);
        (day - 1..=day + 1)
            .flat_map(|day| (0..halves).map(move |half| day * DAY + (seconds + half * HALF).rem_euclid(DAY)))
            .min_by_key(|at| ((at - near).abs(), *at))
    }

    /// How many days after the day of time zero a date is, where the log's dates say so.
    pub(super) fn days_from(&self, date: DateText, zero: i64) -> Option<i64> {
        let of_zero = zero.div_euclid(DAY);
        self.calendar.placed(date, of_zero).map(|day| day - of_zero)
    }
}

/// The moment of a clock time after another moment, and what there is to say about it.
fn step(last: i64, seconds: i64, open: bool) -> (i64, Option<LogNote>) {
    let forward = (seconds - last).rem_euclid(DAY);
    if forward <= HALF {
        let moment = last + forward;
        let midnight = moment.div_euclid(DAY) > last.div_euclid(DAY);
        return (moment, midnight.then_some(LogNote::Midnight));
    }
    let back = DAY - forward;
    if open && forward - HALF < back {
        return (last + forward - HALF, Some(LogNote::TwelveHours));
    }
    (last - back, Some(LogNote::Backwards))
}
