//! The calendar of a log: in which order its dates are written, and where its days lie.

use jiff::civil::Date;

use super::super::entry::Entry;
use super::super::mark::{Clock, DateText, Mark};
use super::all_marks;

/// How the dates of a log are read.
#[derive(Debug, Clone, Copy)]
pub(super) struct Calendar {
    month_first: bool,
    /// The year where none is written.
    year: i16,
    /// The zone of the first time that has one, in minutes ahead of UTC.
    zone: i64,
    /// The day on the calendar of the line's day zero.
    pub(super) anchor: Option<i64>,
}

impl Calendar {
    fn date(self, text: DateText) -> Option<Date> {
        match text {
            DateText::Plain(date) => Some(date),
            DateText::None => None,
            DateText::Yearless { day, month } => Date::new(self.year, month, day).ok(),
            DateText::Numbers(first, second, year) => {
                let (day, month) = if self.month_first { (second, first) } else { (first, second) };
                Date::new(year.unwrap_or(self.year), month, day).ok()
            }
        }
    }

    pub(super) fn day(self, text: DateText) -> Option<i64> {
        self.date(text).map(day_number)
    }

    /// Seconds of the day on the log's own clock.
    pub(super) fn seconds(self, mark: &Mark, clock: Clock) -> i64 {
        clock.seconds - mark.zone.map_or(0, |zone| (zone - self.zone) * 60)
    }

    /// A day on the line of the log, where its dates say so. A date without a year is of the year
    /// that brings it nearest.
    pub(super) fn placed(self, text: DateText, near: i64) -> Option<i64> {
        let anchor = self.anchor?;
        let whole = !matches!(text, DateText::Yearless { .. } | DateText::Numbers(_, _, None));
        if whole {
            return self.day(text).map(|day| day - anchor);
        }
        let years = [self.year - 1, self.year, self.year + 1];
        let days = years.iter().filter_map(|&year| Self { year, ..self }.day(text)).map(|day| day - anchor);
        days.min_by_key(|day| (day - near).abs())
    }
}

/// Days since some day long ago.
fn day_number(date: Date) -> i64 {
    // Days of whole years before, then days of this one (proleptic Gregorian calendar).
    let before = i64::from(date.year()) - 1;
    before * 365 + before.div_euclid(4) - before.div_euclid(100)
        + before.div_euclid(400)
        + i64::from(date.day_of_year())
}

/// How the dates of a log are to be read: day first, unless month first makes it shorter or is the
/// only one that gives dates.
pub(super) fn calendar(entries: &[Entry]) -> Calendar {
    let dates: Vec<DateText> = all_marks(entries).filter_map(|mark| mark.date).collect();
    let year = dates.iter().find_map(|date| match date {
        DateText::Plain(date) => Some(date.year()),
        DateText::Numbers(_, _, year) => *year,
        _ => None,
    });
    let zone = all_marks(entries).find_map(|mark| mark.zone).unwrap_or(0);
    // A leap year, so that every day without a year is one.
    let day_first = Calendar { month_first: false, year: year.unwrap_or(2024), zone, anchor: None };
    let month_first = Calendar { month_first: true, ..day_first };
    let reach = |calendar: Calendar| {
        let days: Vec<Option<i64>> = dates.iter().map(|date| calendar.day(*date)).collect();
        let held: Vec<i64> = days.iter().copied().flatten().collect();
        let span = held.iter().max().zip(held.iter().min()).map_or(0, |(last, first)| last - first);
        (days.len() - held.len(), span)
    };
    if reach(month_first) < reach(day_first) { month_first } else { day_first }
}
